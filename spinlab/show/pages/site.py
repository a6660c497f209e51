"""A site: a folder of lessons to read, with the live panels in place, for any static host and for opening from disk."""

from __future__ import annotations

import json
import os
import re
import shutil
import tempfile
from pathlib import Path

from ...files import write_atomically
from ...panels import page as scene_page
from ...panels.every import SCENES
from . import build
from .catalogue import PAGES
from .reading import body, page_of


def title_of(notebook: Path) -> str:
    """The first heading of a lesson."""
    cells = json.loads(notebook.read_text(encoding="utf-8"))["cells"]
    found = re.search(r"^# (.+)$", "".join(cells[0]["source"]), flags=re.M)
    return found.group(1) if found else notebook.stem


def _links(notebooks, here, pages=""):
    """Where to go from here; all links are relative."""
    told = []
    for path in notebooks:
        number = path.stem[:2]
        name = "Start" if number == "00" else number
        words = f'<a href="{page_of(path.stem)}" title="{title_of(path)}">{name}</a>'
        told.append(f'<span aria-current="page"><strong>{name}</strong></span>' if path == here else words)
    return "Lessons: " + " · ".join(told) + pages


def _pages():
    rows = "".join(f'<li><a href="pages/{page.name}.html">{page.title}</a></li>' for page in PAGES.values())
    return (f'<div class="text"><h2>Five panels to touch</h2><p>Each is one file that works with the network off: save it, '
            f"send it.</p><ul>{rows}</ul></div>")


def lesson(notebook: Path, notebooks, say=lambda words: None) -> str:
    """One lesson as a page, with its live panel if there is one; `say` is told of steps that could not be run."""
    page = next((page for page in PAGES.values() if page.lesson and page.lesson == notebook.stem), None)
    live = build.panel(page, within=True) if page else ""
    told = body(notebook, panel=live, instead_of=page.instead_of if page else "", say=say)
    if notebook.stem.startswith("00_"):
        told = told.replace("</div>\n", f"</div>\n{_pages()}\n", 1)  # after the title and what it is about
    return build.assembled(title=title_of(notebook), about=title_of(notebook), body=told, links=_links(notebooks, notebook),
                           view=page.view if page else "", told=build.data(page) if page else "")


def write(notebooks: Path, folder, *, say=lambda words: None) -> Path:
    """Write the site into a folder; returns its start page.

    The lessons are run in a copy, so that what they write (sheets, clips) goes nowhere.

    Parameters
    ----------
    notebooks
        the folder of lessons; a folder ``data`` beside it goes along.
    folder
        where to; made if it is not there.  Files of the same name are replaced, others are left alone.
    """
    folder = Path(folder)
    folder.mkdir(parents=True, exist_ok=True)
    for name in PAGES:
        say(f"page {name}")
        build.write([name], folder / "pages")
    for scene in (make() for make in SCENES.values()):
        say(f"page {scene.name}")
        (folder / "pages").mkdir(exist_ok=True)
        scene_page.write(scene, folder / "pages" / f"{scene.name}.html")
    with tempfile.TemporaryDirectory() as scratch:
        copy = Path(scratch) / notebooks.name
        shutil.copytree(notebooks, copy, ignore=shutil.ignore_patterns("out", ".*"))
        if (notebooks.parent / "data").is_dir():
            shutil.copytree(notebooks.parent / "data", copy.parent / "data")
        lessons = sorted(copy.glob("*.ipynb"))
        for path in lessons:
            say(f"lesson {path.stem}")
            text = lesson(path, lessons, say)
            write_atomically(folder / page_of(path.stem), text.replace(scratch + os.sep, "").encode(), public=True)
    return folder / "index.html"
