"""A site: a folder of lessons to read, with their live scenes, for any static host and for opening
from disk."""

from __future__ import annotations

import html
import json
import os
import re
import shutil
import tempfile
from pathlib import Path

from ..files import write_atomically
from ..panels import page
from ..panels.every import SCENES
from ..show import still
from .reading import body, page_of

__all__ = ["lesson", "title_of", "write", "write_pages"]

STYLE = Path(__file__).with_name("site.css")


def title_of(notebook: Path) -> str:
    """The first heading of a lesson."""
    cells = json.loads(notebook.read_text(encoding="utf-8"))["cells"]
    found = re.search(r"^# (.+)$", "".join(cells[0]["source"]), flags=re.M)
    return found.group(1) if found else notebook.stem


def _links(notebooks, here):
    """Where to go from here; all links are relative."""
    links = []
    for path in notebooks:
        number = path.stem[:2]
        name = "Start" if number == "00" else number
        if path == here:
            links.append(f'<span aria-current="page"><strong>{name}</strong></span>')
        else:
            title = html.escape(title_of(path))
            links.append(f'<a href="{page_of(path.stem)}" title="{title}">{name}</a>')
    return f'<nav class="text" aria-label="Lessons">Lessons: {" · ".join(links)}</nav>'


def _pages():
    rows = "".join(
        f'<li><a href="pages/{name}.html">{html.escape(make().title)}</a></li>'
        for name, make in SCENES.items()
    )
    return (
        '<div class="text"><h2>Scenes to touch</h2><p>Each is one file that works with the network '
        f"off: save it, send it.</p><ul>{rows}</ul></div>"
    )


def lesson(notebook: Path, notebooks, say=lambda words: None) -> str:
    """One lesson as a page with its live scenes; `say` hears of steps that could not be run."""
    made = body(notebook, say=say)
    markup = made.markup
    if notebook.stem.startswith("00_"):
        markup = markup.replace("</div>\n", f"</div>\n{_pages()}\n", 1)  # after the title
    return page.document(
        title=title_of(notebook),
        body=f"""<a class="skip" href="#main">To the content</a>
{_links(notebooks, notebook)}
<div class="text"><button type="button" id="theme">Dark</button></div>
<main id="main" tabindex="-1">
{markup}
</main>
{page.footer()}""",
        scenes=made.scenes,
        styles=page.text("quiz.css") + STYLE.read_text(encoding="utf-8"),
        entry="lesson.js",
    )


def write_pages(names, folder) -> list[Path]:
    """Write scenes as pages into a folder, one file each; returns where they are."""
    unknown = [name for name in names if name not in SCENES]
    if unknown:
        raise ValueError(f"there is no page {unknown[0]!r}; there are {', '.join(SCENES)}")
    folder = Path(folder)
    folder.mkdir(parents=True, exist_ok=True)
    return [page.write(SCENES[name](), folder / f"{name}.html") for name in names]


def write(notebooks: Path, folder, *, say=lambda words: None) -> Path:
    """Write the site into a folder; returns its start page.

    The lessons are run in a copy, so that what they write (sheets, clips) goes nowhere.

    Parameters
    ----------
    notebooks
        the folder of lessons; a folder ``data`` beside it goes along.
    folder
        where to; made if it is not there.  Files of the same name are replaced, others are left
        alone.
    """
    folder = Path(folder)
    folder.mkdir(parents=True, exist_ok=True)
    for name in SCENES:
        say(f"page {name}")
        write_pages([name], folder / "pages")
    with tempfile.TemporaryDirectory() as scratch, still.in_both_themes():
        copy = Path(scratch) / notebooks.name
        shutil.copytree(notebooks, copy, ignore=shutil.ignore_patterns("out", ".*"))
        if (notebooks.parent / "data").is_dir():
            shutil.copytree(notebooks.parent / "data", copy.parent / "data")
        lessons = sorted(copy.glob("*.ipynb"))
        for path in lessons:
            say(f"lesson {path.stem}")
            text = lesson(path, lessons, say).replace(scratch + os.sep, "")
            write_atomically(folder / page_of(path.stem), text.encode(), public=True)
    return folder / "index.html"
