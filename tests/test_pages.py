"""Pages that need nothing installed: sums between knots, tables, lessons as text, the site; no browser needed here."""

import base64
import hashlib
import json
import re

import numpy as np
import pytest

from spinlab import shell
from spinlab.physics.contact import strike
from spinlab.records import Ball, Between, Delivery, Face
from spinlab.show.pages import build, contacts, reading, site
from spinlab.show.pages.catalogue import PAGES
from spinlab.show.pages.grid import WARPS, Axis, Table, filled, refined, weights
from spinlab.units import deg, um

KNOTS = np.array([0.0, 0.3, 1.0, 1.4, 3.0, 3.1, 4.0])


def through(u, y, x):
    first, w = weights(u, x)
    return sum(w[k] * y[np.minimum(first + k, len(u) - 1)] for k in range(4))


# -- between the knots ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("power", [0, 1, 2])
@pytest.mark.parametrize("count", [3, 4, 7])
def test_a_parabola_is_read_exactly_between_uneven_knots(power, count):
    """The slopes are those of parabolas through three knots, so a parabola comes back whole [C]."""
    u = KNOTS[:count]
    x = np.linspace(u[0], u[-1], 101)
    assert np.abs(through(u, u**power, x) - x**power).max() < 1e-12


def test_knots_are_met_and_outside_the_ends_stay():
    y = np.sin(3 * KNOTS)
    assert np.abs(through(KNOTS, y, KNOTS) - y).max() < 1e-12
    assert through(KNOTS, y, np.array([-5.0, 9.0])) == pytest.approx([y[0], y[-1]])
    assert through(np.array([0.0, 2.0]), np.array([1.0, 5.0]), np.array([0.5])) == pytest.approx(2.0)


def test_a_knot_told_twice_is_a_border():
    """|x − 1| has a corner at 1: with that knot told twice it comes back whole; told once it is rounded [C]."""
    twice, x = np.array([0.0, 0.4, 1.0, 1.0, 1.7, 2.5, 3.0]), np.linspace(0, 3, 61)
    assert np.abs(through(twice, np.abs(twice - 1), x) - np.abs(x - 1)).max() < 1e-12
    once = np.unique(twice)
    assert np.abs(through(once, np.abs(once - 1), x) - np.abs(x - 1)).max() > 0.05
    halved = Axis("x", tuple(twice)).halved(np.array([True, False, False, False, False, False]))
    assert halved.knots.count(1.0) == 2 and len(halved) == 8


def test_a_table_is_the_product_of_its_axes():
    """x² z + choice, in SI; a film of water stands in its logarithm, u = ln(1 + h/1 µm) [C]."""
    axes = (Axis("x", (0.0, 1.0, 3.0)), Axis("h", (0.0, 2 * um, 9 * um, 100 * um), "film"), Axis("kind", options=("a", "b")))

    def engine(x, h, kind):
        u = np.log1p(h / um)
        return {"y": x**2 * u**2 + 7 * kind, "pair": np.stack([x, u], axis=-1)}

    table = filled(engine, axes)
    at = {"x": np.array([0.5, 2.2]), "h": np.array([1 * um, 50 * um]), "kind": np.array([0, 1])}
    assert table.read(**at)["y"] == pytest.approx(engine(**at)["y"])
    assert table.read(**at)["pair"] == pytest.approx(engine(**at)["pair"])


def test_knots_gather_at_a_corner():
    def corner(x, z):
        return {"y": 2 + np.minimum(x, 0.62) + 0.1 * z}

    axes = refined(corner, (Axis("x", tuple(np.linspace(0, 1, 5))), Axis("z", (0.0, 0.5, 1.0))), {"y": ("share", 0.0005)})
    gaps = np.diff(axes[0].knots)
    near = int(np.searchsorted(axes[0].knots, 0.62)) - 1
    assert gaps[near] < 0.04 and gaps[0] == pytest.approx(0.25), "fine at the corner, coarse away from it"
    assert len(axes[1]) == 3, "a straight axis needs no more"
    x = np.random.default_rng(4).uniform(0, 1, 200)
    read = filled(corner, axes).read(x=x, z=np.full(200, 0.3))["y"]
    assert np.abs(read - corner(x, 0.3)["y"]).max() < 0.003


def test_what_is_packed_comes_back_within_half_a_step():
    table = Table((Axis("x", (0.0, 1.0, 2.0)),), {"y": np.array([-3.0, 0.1234567, 12.0]), "same": np.full(3, 4.0)})
    told = json.loads(json.dumps(table.packed()))["answers"]
    for name, values in table.answers.items():
        one = told[name]
        back = one["low"] + one["step"] * np.frombuffer(base64.b64decode(one["data"]), "<u2")
        assert np.abs(back - values).max() <= 0.5 * one["step"] + 1e-12
    assert told["y"]["step"] == pytest.approx(15 / 65535)


def test_choices_are_asked_one_combination_at_a_time():
    seen = []

    def ask(ball, x):
        seen.append(ball)
        return {"y": x * {"soft": 1, "hard": 10}[ball]}

    engine = contacts.by_choice(ask, ball={"one": "soft", "two": "hard"})
    assert engine(x=np.array([1.0, 2.0, 3.0]), ball=np.array([0, 1, 0]))["y"] == pytest.approx([1, 20, 3])
    assert sorted(seen) == ["hard", "soft"]


def test_tables_hold_the_engine_in_si():
    """One table read in Python against the engine at random places: 1 % of spin, 0.3° of launch, over the whole range."""
    table, rng, n = contacts.lofts("water"), np.random.default_rng(21), 300
    at = {"dynamic_loft": rng.uniform(26, 64, n) * deg, "head_speed": rng.uniform(8, 40, n), "cover": np.zeros(n),
          "water": WARPS["film"][1](rng.uniform(0, np.log(151), n))}
    found = table.read(**at)
    arriving = Delivery(head_speed=at["head_speed"], dynamic_loft=at["dynamic_loft"], attack_angle=-6 * deg)
    true = strike(arriving, Face(), Ball.published_soft_cover(), Between(water=at["water"]))
    assert np.abs(found["spin"] * at["head_speed"] / true.spin_rate - 1).max() < 0.01
    assert np.abs(at["dynamic_loft"] - found["below"] - true.launch_angle).max() < 0.3 * deg


# -- the file ---------------------------------------------------------------------------------------------------------


def test_the_policy_lets_in_what_is_in_the_page_and_nothing_else():
    """Content Security Policy Level 3, hashes of inline style and script: base64 of SHA-256 of the element's text [M]."""
    text = build.assembled(title="T", about="A", body="<p>words</p>", view="swing", told='{"a":1}')
    policy = re.search(r'Content-Security-Policy" content="([^"]+)"', text).group(1)
    assert "default-src 'none'" in policy and "unsafe" not in policy
    for kind, tag in (("style", r"<style>(.*?)</style>"), ("script", r'<script type="module">(.*?)</script>')):
        inside = re.search(tag, text, flags=re.S).group(1)
        digest = base64.b64encode(hashlib.sha256(inside.encode()).digest()).decode()
        assert f"{kind}-src 'sha256-{digest}'" in policy
    inside = text.split("</style>")[1].split("<script")[0]
    assert not re.search(r"\sstyle=|\son\w+=", inside), "nothing that the policy stops"


def test_every_page_has_its_words_and_its_states_fit_its_knobs():
    for page in PAGES.values():
        knobs = {knob.name: knob for knob in page.knobs}
        for values in page.states.values():
            for name, value in values.items():
                build._value(knobs[name], value)  # a ValueError would name what does not fit
        assert len(page.lead) > 40 and len(page.touch) > 40 and len(page.look) > 60 and len(page.limits) > 100
        assert "practice ground" in build.notes(page)


def test_a_page_that_is_not_there_is_named_with_those_that_are(tmp_path):
    with pytest.raises(ValueError, match="no page 'nonsense'; there are dry-and-wet"):
        build.write(["nonsense"], tmp_path)


def test_the_command_lists_the_pages(monkeypatch, capsys):
    monkeypatch.setenv(shell.READY, "1")
    assert shell.run(["page"]) == 0
    assert [line.split()[0] for line in capsys.readouterr().out.splitlines()] == list(PAGES)
    assert shell.run(["page", "nonsense"]) == 2
    assert "there are dry-and-wet" in capsys.readouterr().err


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
    told = reading.body(path)
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
    told = reading.body(notebook(tmp_path / "05_x.ipynb", f"{table}\n\n$$ x $$", table))
    assert re.findall(r'aria-label="([^"]+)"', told) == ["Table 1", "Formula 1", "Table 2"]


def test_the_live_panel_stands_where_the_lesson_has_its_own(tmp_path):
    code = ("from spinlab.show import panels\npanels.words()", True)
    path = notebook(tmp_path / "05_x.ipynb", "# A question", code, "after")
    told = reading.body(path, panel="<p>LIVE</p>", instead_of="Where the ball goes")
    assert told.index("A question") < told.index("LIVE") < told.index("after") and "<img" not in told
    still = reading.body(path)
    assert re.search(r'<img src="data:image/jpeg;base64,[^"]+" alt="[^"]{40,}"', still)
    assert "A still picture: the notebook has sliders here" in still, "nobody looks for sliders that are not there"


def test_a_site_is_a_folder_with_relative_links(tmp_path, monkeypatch):
    monkeypatch.setattr(site, "PAGES", {})
    lessons = tmp_path / "lessons"
    lessons.mkdir()
    notebook(lessons / "00_start_here.ipynb", "# Start\n\n[next](01_more.ipynb)", ("import os\nprint(os.getcwd())", True))
    notebook(lessons / "01_more.ipynb", "# More\n\n[back](00_start_here.ipynb)", ("open('left.txt', 'w').write('x')", True))
    start = site.write(lessons, tmp_path / "my site")
    assert start.name == "index.html" and (start.parent / "01_more.html").is_file()
    text = start.read_text(encoding="utf-8")
    assert "<title>Start</title>" in text and str(tmp_path) not in text
    links = re.findall(r'href="([^"]+)"', text)
    assert "01_more.html" in links and all(not re.match(r"/|\w+:(?!,)", link) or link == "data:," for link in links)
    assert not (lessons / "left.txt").exists(), "what a lesson writes goes nowhere"
