"""Lessons to read and the site: cells run and shown, scenes in their places, links; no browser needed
here."""

import json
import re

import pytest

from spinlab import shell
from spinlab.panels import page
from spinlab.panels.every import SCENES
from spinlab.stage import reading, site

# -- pages ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", SCENES)
def test_a_page_is_one_small_file_that_asks_nobody(name):
    text = page.page(SCENES[name]())
    assert len(text.encode()) <= 200_000
    assert "default-src 'none'" in text and "practice" in text.lower() and "lightning" in text
    assert re.findall(r"""<[^>]*(?:src|href)\s*=\s*["']?(?!data:|#)[^"'\s>]+""", text.split("<script")[0]) == []
    assert not re.search(r"https?://(?!www\.w3\.org/)", text)


def test_a_page_that_is_not_there_is_named_with_those_that_are(tmp_path):
    with pytest.raises(ValueError, match="no page 'nonsense'; there are first-look"):
        site.write_pages(["nonsense"], tmp_path)


def test_the_command_lists_the_pages(monkeypatch, capsys):
    monkeypatch.setenv(shell.READY, "1")
    assert shell.run(["page"]) == 0
    assert [line.split()[0] for line in capsys.readouterr().out.splitlines()] == list(SCENES)
    assert shell.run(["page", "nonsense"]) == 2
    assert "there are first-look" in capsys.readouterr().err


# -- lessons as text --------------------------------------------------------------------------------------------------


def notebook(path, *cells):
    """Cells: text, or a tuple of code and whether it is hidden."""
    made = []
    for cell in cells:
        if isinstance(cell, str):
            made.append({"cell_type": "markdown", "metadata": {}, "source": [cell]})
        else:
            hidden = {"jupyter": {"source_hidden": True}} if cell[1] else {}
            made.append({"cell_type": "code", "metadata": hidden, "source": [cell[0]]})
    path.write_text(json.dumps({"cells": made}), encoding="utf-8")
    return path


def test_formulas_become_mathml():
    told = reading.as_html("The share $F \\le \\mu N$, and\n\n$$ h = \\frac{a}{b} $$\n\nthen more.")
    assert told.count("<math") == 2 and "<mfrac>" in told and "&#x003BC;" in told
    assert 'display="block"' in told and "$" not in told
    assert reading.formula("\\frac{") == "<code>\\frac{</code>" or "<math" in reading.formula("\\frac{")


def test_links_and_tables_are_ready_for_a_page():
    told = reading.as_html("[on](02_dry_and_wet.ipynb) [start](00_start_here.ipynb) [out](https://example.org/x.ipynb)\n\n"
                           '<img src="data:," style="width:100%" alt="a">\n\n| a | b |\n|---|---:|\n| 1 | 2 |')
    assert 'href="02_dry_and_wet.html"' in told and 'href="index.html"' in told and "example.org/x.ipynb" in told
    assert 'tabindex="0"' in told and "style=" not in told and '<img src="data:," alt="a">' in told


def test_cells_are_run_and_shown(tmp_path):
    path = notebook(tmp_path / "05_x.ipynb", "# A question", ("import math\nx = 2", True), ("print('twice')\nx * 21", False),
                    ("1 / 0", False))
    told = reading.body(path).markup
    assert "twice" in told and ">42<" in told and "import math" not in told and "x * 21" in told
    assert "runs in the notebook (ZeroDivisionError)" in told


def test_a_step_that_fails_is_told_and_a_lesson_without_its_beginning_is_refused(tmp_path):
    told = []
    reading.body(notebook(tmp_path / "05_x.ipynb", ("x = 2", True), ("1 / 0", True), ("x", True)), say=told.append)
    assert told == ["  a step could not be run: ZeroDivisionError: division by zero"]
    with pytest.raises(ValueError, match="lesson 06_y cannot be run: ModuleNotFoundError: .*no_such_room.*doctor"):
        reading.body(notebook(tmp_path / "06_y.ipynb", ("import no_such_room", True), ("1 + 1", True)))


def test_what_scrolls_has_a_name_of_its_own(tmp_path):
    """Two regions of one name on a page are no landmarks (axe-core, landmark-unique) [M]."""
    table = "| a |\n|---|\n| 1 |"
    told = reading.body(notebook(tmp_path / "05_x.ipynb", f"{table}\n\n$$ x $$", table)).markup
    assert re.findall(r'aria-label="([^"]+)"', told) == ["Table 1", "Formula 1", "Table 2"]


def test_a_site_is_a_folder_with_relative_links(tmp_path, monkeypatch):
    monkeypatch.setattr(site, "SCENES", {"impact": SCENES["impact"]})
    lessons = tmp_path / "lessons"
    lessons.mkdir()
    notebook(lessons / "00_start_here.ipynb", "# Start\n\n[next](01_more.ipynb)", ("import os\nprint(os.getcwd())", True))
    notebook(lessons / "01_more.ipynb", "# More\n\n[back](00_start_here.ipynb)", ("open('left.txt', 'w').write('x')", True))
    start = site.write(lessons, tmp_path / "my site")
    assert start.name == "index.html" and (start.parent / "01_more.html").is_file()
    text = start.read_text(encoding="utf-8")
    assert "<title>Start</title>" in text and str(tmp_path) not in text
    links = re.findall(r'href="([^"]+)"', text)
    assert "01_more.html" in links and all(not re.match(r"/|\w+:(?!,)", link) or link.startswith("data:") for link in links)
    assert not (lessons / "left.txt").exists(), "what a lesson writes goes nowhere"
    assert 'href="pages/impact.html"' in text and (start.parent / "pages" / "impact.html").is_file()


def test_scenes_and_quizzes_stand_where_the_lesson_has_them(tmp_path):
    scene = (
        "from spinlab.panels.every import SCENES\nfrom spinlab.panels.widget import Panel\n"
        "Panel(SCENES['impact']())"
    )
    quiz = (
        "from spinlab.show.quiz import Question, Quiz\n"
        "Quiz(Question('Why?', {'so': (True, 'yes'), 'not': (False, 'no')}))"
    )
    path = notebook(tmp_path / "05_x.ipynb", "# A question", (scene, True), "after", (quiz, True))
    made = reading.body(path)
    assert [one.name for one in made.scenes] == ["impact"]
    places = [made.markup.index(words) for words in ("A question", "scene-data", "after", "quiz-data")]
    assert places == sorted(places)
    told = re.search(r'class="quiz-data">(.*?)</script>', made.markup).group(1)
    assert json.loads(told)[0]["answers"][1] == {"words": "not", "right": False, "told": "Not quite. no"}


def test_what_only_the_notebook_has_is_left_out(tmp_path):
    path = notebook(tmp_path / "05_x.ipynb", "# A question", "Press the button.", ("x = 7", True), ("x", True))
    whole = json.loads(path.read_text(encoding="utf-8"))
    whole["cells"][1]["metadata"]["tags"] = ["notebook-only"]
    whole["cells"][2]["metadata"]["tags"] = ["notebook-only"]
    path.write_text(json.dumps(whole), encoding="utf-8")
    text = reading.body(path).markup
    assert "Press the button" not in text and ">7<" in text, "such a cell is run, and not shown"
