"""Panels as people meet them: on the presenting page and in JupyterLab, in a real browser, by keyboard and by mouse."""

import contextlib
import math
import re

import browser as b
import pytest
import toy

from spinlab.show.style import METRIC, YARDS
from spinlab.units import deg

pytestmark = pytest.mark.skipif(bool(b.why_not()), reason=b.why_not() or "a browser is here")

LESSON = ("# A ball thrown", "import toy\npanel = toy.panel()\npanel", "print(round(panel.values['angle'] / toy.deg))")


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    place = tmp_path_factory.mktemp("lesson")
    b.notebook(place / "lesson.ipynb", *LESSON, "# Afterwards" + "\n\nThe ball is picked up and thrown again." * 30)
    return place


@pytest.fixture(scope="module")
def address(folder):
    with b.presenting(folder, "lesson.ipynb") as told:
        yield told


@contextlib.contextmanager
def opened(chrome, address, *, theme="light", **options):
    """The presenting page, ready; at the end nothing has left the machine and no error stands in the console."""
    seen = b.Watched(chrome, **options)
    try:
        seen.page.goto(f"{address}&theme={theme}" if theme != "light" else address)
        ready(seen.page)
        yield seen.page
        assert seen.away == []
        assert seen.errors == []
    finally:
        seen.close()


@pytest.fixture(scope="module")
def shared(chrome, address):
    with opened(chrome, address) as page:
        yield page


@pytest.fixture
def page(shared):
    """The same page for every test that leaves no trace but the knobs, put back first."""
    shared.get_by_role("button", name="Reset").click()
    shared.get_by_label("Units").select_option("metric")
    settled(shared, 18.0, 30)
    yield shared


def ready(page):
    page.locator(".spin-panel").wait_for(timeout=40000)
    page.wait_for_function("document.querySelector('.spin-panel canvas').width > 8", timeout=20000)


def sentence(speed, angle, units=METRIC):
    result = toy.throw(speed=speed, angle=angle * deg)
    carry, height = units.say("distance", result.carry, 1), units.say("height", result.height, 1)
    return f"The ball carries {carry} and rises {height} from the short grass."


def settled(page, speed, angle, units=METRIC):
    """Wait until read-out and alternative text both tell of this throw."""
    wanted = sentence(speed, angle, units)
    page.wait_for_function("""wanted => document.querySelector('.spin-sentence').textContent === wanted
        && document.querySelector('.spin-panel canvas').getAttribute('aria-label') === wanted""", arg=wanted, timeout=15000)


def pixels(page):
    return page.locator(".spin-panel canvas").evaluate("canvas => canvas.toDataURL()")


def test_keyboard_takes_the_slider_through_its_whole_range(page):
    slider = page.get_by_role("slider", name="Angle")
    slider.focus()
    pictures = set()
    for key, angle in (("Home", 0), ("End", 90), ("Home", 0), ("ArrowRight", 1), ("ArrowUp", 2), ("ArrowLeft", 1)):
        page.keyboard.press(key)
        settled(page, 18.0, angle)
        pictures.add(pixels(page))
    assert len(pictures) == 4, "four different angles, four different pictures"
    assert slider.get_attribute("aria-valuetext") == "1 °"
    assert slider.evaluate("node => getComputedStyle(node).outlineStyle") == "solid", "focus is visible"


def test_a_held_key_ends_on_the_right_picture_without_a_blank_or_a_jump(page):
    page.get_by_role("slider", name="Angle").focus()
    page.evaluate("""() => { window.seen = { heights: new Set(), blank: 0, frames: 0 };
        const canvas = document.querySelector('.spin-panel canvas'), panel = document.querySelector('.spin-panel');
        const small = new OffscreenCanvas(24, 16), pen = small.getContext('2d', { willReadFrequently: true });
        const look = () => { seen.heights.add(panel.getBoundingClientRect().height); seen.frames += 1;
          pen.drawImage(canvas, 0, 0, 24, 16);
          const data = pen.getImageData(0, 0, 24, 16).data;
          if (data.every((v, k) => v === data[k % 4])) seen.blank += 1;
          seen.on && requestAnimationFrame(look); };
        seen.on = true; look(); }""")
    for _ in range(50):
        page.keyboard.down("ArrowRight")
    page.keyboard.up("ArrowRight")
    settled(page, 18.0, 80)
    seen = page.evaluate("() => { seen.on = false; return { ...seen, heights: [...seen.heights] } }")
    assert seen["frames"] > 3
    assert seen["blank"] == 0
    assert len(seen["heights"]) == 1


def test_mouse_drags_from_end_to_end(page):
    slider = page.get_by_role("slider", name="Speed")
    box = slider.bounding_box()
    middle = box["y"] + box["height"] / 2
    page.mouse.move(box["x"] + box["width"] / 2, middle)
    page.mouse.down()
    page.mouse.move(box["x"] + box["width"] + 20, middle, steps=6)
    settled(page, 22.0, 30)
    page.mouse.move(box["x"] - 20, middle, steps=12)
    page.mouse.up()
    settled(page, 0.5, 30)


def test_the_box_takes_an_exact_value_and_refuses_in_words(page):
    box = page.get_by_role("spinbutton", name="Speed, exact value in m/s")
    box.fill("17.123")
    box.press("Enter")
    settled(page, 17.123, 30)
    before, height = pixels(page), page.locator(".spin-panel").bounding_box()["height"]
    box.fill("97")
    box.press("Enter")
    wrong = page.get_by_role("alert")
    wrong.get_by_text("got 97 m/s").wait_for()
    assert "Speed must lie in 0.44704 m/s … 22.352 m/s" in wrong.inner_text()
    assert pixels(page) == before, "the last picture stays"
    assert page.locator(".spin-panel").bounding_box()["height"] == height
    box.fill("")
    box.press("Enter")
    wrong.get_by_text("an empty box").wait_for()
    box.fill("12")
    box.press("Enter")
    settled(page, 12.0, 30)
    assert wrong.inner_text() == ""


def test_units_change_everything_at_once(page):
    page.get_by_label("Units").select_option("yards")
    settled(page, 18.0, 30, YARDS)
    box = page.get_by_role("spinbutton", name="Speed, exact value in mph")
    # 18 m/s = 18/0.44704 = 40.2648 mph [C]
    assert box.input_value() == "40.3", "rounded for reading"
    box.fill("45")
    box.press("Enter")
    settled(page, 45 * 0.44704, 30, YARDS)


def test_states_by_button_digit_and_clicker(page):
    page.get_by_role("button", name="high", exact=True).click()
    settled(page, 18.0, 60)
    assert page.get_by_role("button", name="high", exact=True).get_attribute("aria-pressed") == "true"
    page.keyboard.press("3")
    settled(page, 22.0, 60)
    page.evaluate("document.activeElement.blur()")
    page.keyboard.press("PageUp")
    settled(page, 18.0, 60)
    page.keyboard.press("ArrowLeft")
    settled(page, 18.0, 20)
    page.keyboard.press("PageDown")
    settled(page, 18.0, 60)


def test_kept_curves_are_named_and_let_go_and_nothing_moves(page):
    def height():
        return page.locator(".spin-panel").bounding_box()["height"]

    before = height()
    for n in (1, 2, 3):
        page.get_by_role("button", name="Keep this curve").click()
        page.get_by_text(f"Kept: {n}", exact=True).wait_for()
        assert height() == before
    page.get_by_text("Kept: 3").click()
    page.locator(".spin-ghosts li", has_text=sentence(18.0, 30)).first.wait_for()
    assert height() == before, "the list opens over the picture"
    page.get_by_text("Kept: 3").click()
    forget = page.get_by_role("button", name="Forget kept")
    forget.click()
    page.get_by_text("Kept: 0").wait_for()
    assert forget.is_disabled()
    assert height() == before


def test_choice_by_keyboard(page):
    page.get_by_role("combobox", name="Surface").select_option("long grass")
    page.get_by_text("from the long grass.").first.wait_for()


def test_every_control_can_be_reached_by_tab_and_has_a_name(page):
    page.evaluate("document.activeElement.blur()")
    wanted = page.locator(".spin-panel :is(button, input, select, summary):not(:disabled)").count()
    reached = set()
    for _ in range(wanted + 4):
        page.keyboard.press("Tab")
        reached.add(page.evaluate("""() => { const e = document.activeElement;
            return e.closest('.spin-panel') ? [...document.querySelectorAll('.spin-panel *')].indexOf(e) : -1 }"""))
    assert len(reached - {-1}) == wanted


def test_play_sweeps_to_the_end(page):
    page.get_by_role("button", name="Play through Angle").click()
    page.get_by_role("button", name="Stop through Angle").wait_for()
    settled(page, 18.0, 90)
    page.get_by_role("button", name="Play through Angle").wait_for()


def test_presenting_page_is_large_clean_and_fits(chrome, address):
    with opened(chrome, address, width=1280, height=720) as page:
        assert page.locator(".jp-CodeCell .jp-InputArea:visible, .jp-InputPrompt:visible").count() == 0
        place = page.locator(".spin-panel").bounding_box()
        assert place["y"] + place["height"] <= 720, "the main panel needs no scrolling"
        page.keyboard.press("End")
        page.wait_for_function("""() => {
            const at = [...document.querySelectorAll('.jp-Cell')].at(-1).getBoundingClientRect();
            return scrollY > 0 && at.bottom <= innerHeight + 1 }""")
        page.set_viewport_size({"width": 1920, "height": 1080})
        sizes = page.evaluate("""() => [...document.querySelectorAll('#rendered_cells *')]
            .filter(e => e.getClientRects().length && [...e.childNodes].some(n => n.nodeType === 3 && n.textContent.trim()))
            .map(e => parseFloat(getComputedStyle(e).fontSize))""")
        assert len(sizes) > 10
        assert min(sizes) >= 24
        page.wait_for_function("document.querySelector('.spin-panel canvas').width > 1200")
        # the smallest text of the picture: 22.5 px on a picture 1200 px wide
        assert 22.5 / 1200 * page.locator(".spin-panel canvas").bounding_box()["width"] >= 24


def test_phone_in_the_dark_with_reduced_motion(chrome, address):
    with opened(chrome, address, width=390, height=844, reduced_motion="reduce") as page:
        assert page.evaluate("document.documentElement.scrollWidth") <= 390
        page.get_by_role("button", name="Step through Angle").click()
        settled(page, 18.0, 39)
        assert page.evaluate("Math.min(...[...document.querySelectorAll('.spin-panel input, .spin-panel button')]"
                             ".map(e => e.getBoundingClientRect().height))") >= 24, "WCAG 2.2, 2.5.8: 24 px targets [M]"


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_axe_finds_nothing(chrome, folder, theme, address):
    """axe-core with its WCAG 2.0 … 2.2 A and AA rules and its best practices."""
    axe = pytest.importorskip("axe_playwright_python.sync_playwright", reason="axe-playwright-python is not installed")
    with contextlib.ExitStack() as stack:
        place = address if theme == "light" else stack.enter_context(b.presenting(folder, "lesson.ipynb", "--theme", "dark"))
        page = stack.enter_context(opened(chrome, place))
        page.get_by_role("button", name="Keep this curve").click()
        box = page.get_by_role("spinbutton").first
        box.fill("97")
        box.press("Enter")
        page.get_by_text("Not possible.").or_(page.get_by_text("got 97 m/s")).first.wait_for()
        if theme == "dark":
            assert page.locator(".spin-panel").evaluate("e => getComputedStyle(e).backgroundColor") == "rgb(18, 32, 42)"
        found = axe.Axe().run(page).response
    assert len(found["passes"]) > 15
    told = [(v["id"], [node["html"][:120] for node in v["nodes"]]) for v in found["violations"]]
    assert told == []


def test_in_jupyterlab_the_next_cell_reads_the_panel_and_keys_stay_inside(chrome, folder):
    b.notebook(folder / "lab.ipynb", *LESSON)
    with b.lab(folder) as place:
        seen = b.Watched(chrome, width=1280, height=720)
        page = seen.page
        try:
            b.run_in_lab(page, place, "lab.ipynb")
            ready(page)
            last = page.locator(".jp-Notebook .jp-CodeCell").last  # until it has run, JupyterLab takes the focus to it
            last.locator(".jp-OutputArea-output").get_by_text(re.compile("^30")).wait_for(timeout=30000)
            slider = page.get_by_role("slider", name="Angle")
            slider.focus()
            cells = page.locator(".jp-Notebook .jp-Cell").count()
            for key in ("End", "Home", "ArrowDown", "ArrowUp", "ArrowRight"):
                page.keyboard.press(key)
            settled(page, 18.0, 2)
            page.keyboard.press("2")
            settled(page, 18.0, 60)
            for key in ("a", "b", "m"):
                page.keyboard.press(key)
            assert page.locator(".jp-Notebook .jp-Cell").count() == cells, "no shortcut of the notebook was set off"
            assert page.locator(".jp-Notebook .jp-CodeCell").count() == cells - 1
            last.locator(".cm-content").click()
            page.keyboard.press("Control+Enter")
            last.locator(".jp-OutputArea-output").get_by_text(re.compile("^60")).wait_for(timeout=15000)
            assert seen.away == []
            assert seen.errors == []
        finally:
            seen.close()


def test_toy_answers_are_those_of_the_textbook():
    # 18² sin 60°/9.80665 = 28.612 m; half of tan(30°)/2 of it high: 4.130 m (by hand) [C]
    assert sentence(18.0, 30) == "The ball carries 28.6 m and rises 4.1 m from the short grass."
    assert math.isclose(toy.throw(speed=18.0, angle=30 * deg).height, 28.612 * math.tan(30 * deg) / 4, rel_tol=1e-4)
