"""Lessons as people meet them: the presenting page and JupyterLab, in a real browser, by keyboard and clicker."""

import contextlib

import browser as b
import pytest
from scene_page import SETTLED

pytestmark = pytest.mark.skipif(bool(b.why_not()), reason=b.why_not() or "a browser is here")

SCENE = """from spinlab.panels.impact import impact_scene
from spinlab.panels.widget import Panel
panel = Panel(impact_scene())
panel"""
NEXT = "print('water', round(panel.values['water'] * 1e6, 2))"
LESSON = ("# A scene", SCENE, "# Afterwards" + "\n\nThe ball is picked up and hit again." * 30, NEXT)


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    place = tmp_path_factory.mktemp("lesson")
    b.notebook(place / "lesson.ipynb", *LESSON)
    return place


@pytest.fixture(scope="module")
def address(folder):
    with b.presenting(folder, "lesson.ipynb") as told:
        yield told


@contextlib.contextmanager
def opened(chrome, address, *, theme="light", **options):
    """The presenting page, ready; at the end nothing has left the machine and no error stands in the
    console."""
    seen = b.Watched(chrome, **options)
    try:
        seen.page.goto(f"{address}&theme={theme}" if theme != "light" else address)
        seen.page.locator(".scene .says").first.wait_for(timeout=60000)
        seen.page.wait_for_function(SETTLED, timeout=30000)
        yield seen.page
        assert seen.away == []
        assert seen.errors == []
    finally:
        seen.close()


def stands_at(page, state):
    """Wait until this prepared state is the one that is shown."""
    page.wait_for_function(
        "(state) => document.querySelector('.states button[aria-pressed=true]')?.textContent === state",
        arg=state,
        timeout=10000,
    )


def test_the_clicker_goes_on_whatever_has_the_focus(chrome, address):
    with opened(chrome, address) as page:
        states = page.locator(".states button").all_inner_texts()
        page.keyboard.press("1")
        stands_at(page, states[0])
        for k in range(1, len(states)):
            page.locator(".scene [role=slider]").nth(k % 2).focus()
            page.keyboard.press("PageDown")
            stands_at(page, states[k])
        scrolled = page.evaluate("scrollY")
        page.keyboard.press("PageDown")
        page.wait_for_function("before => scrollY > before", arg=scrolled)
        page.evaluate("scrollTo(0, 0)")
        page.keyboard.press("PageUp")
        stands_at(page, states[-2])
        page.keyboard.press("2")
        stands_at(page, states[1])
        page.keyboard.press("b")
        assert page.locator(".spin-black").is_visible()
        page.keyboard.press(".")
        assert page.locator(".spin-black").count() == 0


def test_what_is_typed_in_a_field_stays_there(chrome, address):
    with opened(chrome, address) as page:
        page.locator(".chip").first.click()
        box = page.locator(".editor input[type=text]")
        box.fill("")
        box.press("4")
        box.press("2")
        box.press("b")
        assert box.input_value() == "42b" and page.locator(".spin-black").count() == 0


def test_the_presenting_page_is_large_clean_and_fits(chrome, address):
    with opened(chrome, address, width=1920, height=1080) as page:
        assert page.locator(".jp-CodeCell .jp-InputArea:visible, .jp-InputPrompt:visible").count() == 0
        assert page.evaluate("document.documentElement.scrollWidth") <= 1920
        sizes = page.evaluate("""() => [...document.querySelectorAll('#rendered_cells *')]
            .filter(e => e.getClientRects().length && !e.closest('.unseen')
              && [...e.childNodes].some(n => n.nodeType === 3 && n.textContent.trim()))
            .map(e => parseFloat(getComputedStyle(e).fontSize))""")
        assert len(sizes) > 10
        assert min(sizes) >= 18


def test_on_a_phone_nothing_is_wider_than_the_screen(chrome, address):
    with opened(chrome, address, width=390, height=844, reduced_motion="reduce") as page:
        assert page.evaluate("document.documentElement.scrollWidth") <= 390


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_axe_finds_nothing(chrome, folder, theme, address):
    """axe-core with its WCAG 2.0 … 2.2 A and AA rules and its best practices."""
    axe = pytest.importorskip("axe_playwright_python.sync_playwright", reason="axe is not installed")
    with contextlib.ExitStack() as stack:
        place = address
        if theme == "dark":
            place = stack.enter_context(b.presenting(folder, "lesson.ipynb", "--theme", "dark"))
        page = stack.enter_context(opened(chrome, place))
        assert page.locator(".scene").get_attribute("data-theme") == theme
        found = axe.Axe().run(page).response
    assert len(found["passes"]) > 15
    violations = [
        (one["id"], [node["html"][:120] for node in one["nodes"]]) for one in found["violations"]
    ]
    assert violations == []


def test_in_jupyterlab_keys_stay_inside_the_scene(chrome, folder):
    b.notebook(folder / "lab.ipynb", *LESSON)
    with b.lab(folder) as place:
        seen = b.Watched(chrome, width=1280, height=720)
        page = seen.page
        try:
            b.run_in_lab(page, place, "lab.ipynb")
            page.locator(".scene .says").first.wait_for(timeout=60000)
            page.wait_for_function(SETTLED, timeout=30000)
            page.get_by_text("water 30.0").wait_for(timeout=30000)
            cells = page.locator(".jp-Notebook .jp-Cell").count()
            page.locator(".scene [role=slider]").first.focus()
            for key in ("a", "b", "m", "x", "d", "d"):
                page.keyboard.press(key)
            assert page.locator(".jp-Notebook .jp-Cell").count() == cells, "no shortcut was set off"
            assert seen.away == []
            assert seen.errors == []
        finally:
            seen.close()
