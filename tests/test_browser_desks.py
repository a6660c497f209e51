"""The desks as people meet them on the presenting page, by keyboard alone and on a telephone."""

import browser as b
import pytest

pytestmark = pytest.mark.skipif(bool(b.why_not()), reason=b.why_not() or "a browser is here")

PASTED = "State\tClub speed\tSpin [rpm]\tGizmo\n" + "".join(
    f"{('wet', 'dry')[k % 2]}\t{20 + k / 10}\t{(3000, 6000)[k % 2] + 30 * k}\t{k}\n" for k in range(10))
FOCUS = "e => getComputedStyle(document.activeElement).outlineStyle"


def reach(page, kind, words):
    """Press Tab until the focus is on an element of this kind with these words as its name or text."""
    for _ in range(60):
        page.keyboard.press("Tab")
        found = page.evaluate("(() => { const e = document.activeElement; return e.tagName + ' ' + [e.innerText, e.title, "
                              "...[...(e.labels || [])].map(l => l.innerText), e.placeholder].join(' '); })()")
        if found.startswith(kind.upper()) and words in found:
            assert page.evaluate(FOCUS) != "none", f"focus is seen on {found}"
            return
    raise AssertionError(f"Tab never came to {kind} {words!r}")


def test_a_table_is_pasted_asked_about_and_written_by_keyboard(chrome, tmp_path):
    b.notebook(tmp_path / "own.ipynb", "# Own shots", "from spinlab.show.desk import Desk\nDesk(folder='out')")
    with b.presenting(tmp_path, "own.ipynb") as place:
        seen = b.Watched(chrome)
        page = seen.page
        page.goto(place, timeout=90000)
        page.get_by_text("Wet: about half the spin, 9° higher. Shown.").first.wait_for(timeout=60000)
        reach(page, "input", "Loft counts from")
        page.keyboard.press("Control+a")
        page.keyboard.type("41.5")
        page.keyboard.press("Tab")
        page.get_by_text("a shot counts if its dynamic loft is 41.5° … 48°").first.wait_for(timeout=30000, state="attached")
        for _ in range(3):
            page.keyboard.press("Shift+Tab")
        assert page.evaluate("document.activeElement.tagName") == "TEXTAREA"
        page.keyboard.insert_text(PASTED)
        page.keyboard.press("Tab")
        page.get_by_text("Not understood and left out: Gizmo.").wait_for(timeout=30000)
        page.get_by_text("no column of this table was taken for it: every shot counts").wait_for()
        page.get_by_text("Club speed: no unit is given").first.wait_for()
        reach(page, "select", "It is")
        page.keyboard.press("ArrowDown")
        page.get_by_text("Club speed: no unit is given").first.wait_for(state="detached", timeout=30000)
        reach(page, "button", "Write the handout")
        page.keyboard.press("Enter")
        page.get_by_text("The handout is in out/handout.html").wait_for(timeout=30000)
        assert (tmp_path / "out" / "handout.html").stat().st_size > 1000
        assert seen.away == [] and seen.errors == []
        seen.close()


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_the_planner_fits_a_telephone_and_axe_finds_no_box_without_a_name(chrome, tmp_path, theme):
    """axe-core, WCAG 2.0 … 2.2: every field has a name, every picture its words."""
    axe = pytest.importorskip("axe_playwright_python.sync_playwright", reason="axe-playwright-python is not installed")
    b.notebook(tmp_path / "plan.ipynb", "# Plan", "from spinlab.show.planner import Planner\nPlanner(folder='out')")
    with b.presenting(tmp_path, "plan.ipynb", "--theme", theme) as place:
        seen = b.Watched(chrome, width=390, height=844)
        page = seen.page
        page.goto(place, timeout=90000)
        page.get_by_text("turn about (dry, wet, wet, dry)").first.wait_for(timeout=60000)
        wide = page.evaluate("[...document.querySelectorAll('.spin-desk *')].filter(e => e.getBoundingClientRect().right > "
                             "innerWidth + 1).map(e => e.outerHTML.slice(0, 80))")
        assert wide == []
        other = "dark" if theme == "light" else "light"
        assert page.locator(f".spin-{theme} img").is_visible() and not page.locator(f".spin-{other} img").is_visible()
        assert page.evaluate(f"document.querySelector('.spin-{theme} img').naturalHeight > 800"), "the upright picture"
        found = axe.Axe().run(page).response
        kinds = {"label", "select-name", "button-name", "aria-input-field-name", "image-alt", "color-contrast"}
        assert [(v["id"], v["nodes"][0]["html"][:120]) for v in found["violations"] if v["id"] in kinds] == []
        assert seen.away == [] and seen.errors == []
        seen.close()
