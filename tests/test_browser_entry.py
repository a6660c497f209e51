"""Live entry as people meet it: shots typed by keyboard alone in JupyterLab, the kernel killed, everything there again."""

import os
import signal

import browser as b
import pytest

from spinlab.evidence.journal import Journal, sessions

pytestmark = pytest.mark.skipif(bool(b.why_not()), reason=b.why_not() or "a browser is here")

CELL = ("import os, pathlib\nfrom spinlab.show.entry import Entry\npathlib.Path('kernel').write_text(str(os.getpid()))\n"
        "Entry()")


def on_disk(folder):
    """The spins of the shots that stand in the folder's one session."""
    path, = sessions(folder / "sessions")
    return [shot.cells["spin_rate"] for shot in Journal.open(path).shots.values() if not shot.deleted]


def type_shot(page, number, spin):
    """Head speed, loft, launch, spin and carry with Enter, then the note left empty, which saves."""
    for typed in ("20.1", "44", "30,5", spin, "38", ""):
        page.keyboard.type(typed)
        page.keyboard.press("Enter")
    page.get_by_text(f"Saved: shot {number},").wait_for(timeout=15000)


def test_five_shots_by_keyboard_survive_a_killed_kernel(chrome, tmp_path):
    b.notebook(tmp_path / "live.ipynb", "# Live entry", CELL)
    spins = ["6450", "6500", "6,550", "6600", "6650"]
    with b.lab(tmp_path) as place:
        seen = b.Watched(chrome)
        page = seen.page
        b.run_in_lab(page, place, "live.ipynb")
        page.get_by_label("Name").fill("evening")
        page.keyboard.press("Enter")
        page.get_by_role("textbox", name="head speed in m/s").wait_for(timeout=15000)
        for number, spin in enumerate(spins, 1):
            type_shot(page, number, spin)
            assert on_disk(tmp_path) == [s.replace(",", "") for s in spins[:number]], "on the disk once it says saved"
            assert page.evaluate("document.activeElement.getAttribute('aria-label')") == "head speed in m/s"
            page.keyboard.press("PageDown")
        assert page.get_by_role("row").filter(has_text="wet").count() >= 2, "Page Down changed the condition"
        page.keyboard.type("99")
        page.keyboard.press("Shift+Enter")
        page.get_by_role("alert").get_by_text("head speed must lie in 0.5 m/s … 75 m/s, got 99 m/s").wait_for()
        page.keyboard.press("Escape")
        assert page.locator(".jp-Notebook .jp-Cell").count() == 2, "no shortcut of the notebook was set off"
        page.keyboard.type("20")  # half a shot, not confirmed
        kernel = int((tmp_path / "kernel").read_text())
        os.kill(kernel, signal.SIGKILL)
        page.get_by_text("Kernel Restarting").or_(page.get_by_text("restart automatically")).first.wait_for(timeout=30000)
        assert on_disk(tmp_path) == ["6450", "6500", "6550", "6600", "6650"]
        page.get_by_role("button", name="Ok", exact=True).click()
        page.locator('[data-status="idle"]').first.wait_for(timeout=40000)
        page.get_by_role("menuitem", name="Run", exact=True).click()
        page.get_by_role("menuitem", name="Run All Cells", exact=True).click()
        page.wait_for_function("document.querySelectorAll('.spin-work tbody tr').length === 5", timeout=40000)
        page.get_by_text("evening: 5 shots saved").wait_for(timeout=40000)
        assert "6650" in page.get_by_role("table", name="Shots").locator("tbody tr").nth(4).inner_text()
        assert int((tmp_path / "kernel").read_text()) != kernel, "another process tells it from the disk"
        page.get_by_role("textbox", name="head speed in m/s").click()
        type_shot(page, 6, "6700")
        assert on_disk(tmp_path) == ["6450", "6500", "6550", "6600", "6650", "6700"]
        assert seen.away == []
        seen.close()


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_on_the_presenting_page_by_keyboard_and_axe_finds_nothing(chrome, tmp_path, theme):
    """axe-core with its WCAG 2.0 … 2.2 A and AA rules and its best practices."""
    axe = pytest.importorskip("axe_playwright_python.sync_playwright", reason="axe-playwright-python is not installed")
    b.notebook(tmp_path / "live.ipynb", "# Live entry", "from spinlab.show.entry import Entry\nEntry()")
    with b.presenting(tmp_path, "live.ipynb", "--theme", theme) as place:
        seen = b.Watched(chrome)
        page = seen.page
        page.goto(place)
        page.get_by_label("Name").wait_for(timeout=40000)
        assert axe.Axe().run(page).response["violations"] == []
        page.get_by_label("Name").fill("evening")
        page.keyboard.press("Enter")
        page.get_by_role("textbox", name="head speed in m/s").wait_for(timeout=15000)
        for number, spin in enumerate(("6450", "6500", "6550"), 1):
            type_shot(page, number, spin)
        page.keyboard.press("ArrowUp")
        page.get_by_role("button", name="Delete shot 3").wait_for()
        page.keyboard.press("Control+Delete")
        page.get_by_text("Shot 3 is deleted").wait_for()
        page.keyboard.press("Control+z")
        page.get_by_text("Undone.").wait_for()
        page.keyboard.press("ArrowUp")
        for _ in range(3):
            page.keyboard.press("Enter")
        page.keyboard.type("6666")
        page.keyboard.press("Shift+Enter")
        page.get_by_text("Saved: shot 3 corrected.").wait_for()
        assert on_disk(tmp_path) == ["6450", "6500", "6666"]
        page.keyboard.type("abc")
        page.keyboard.press("Shift+Enter")
        page.get_by_role("alert").get_by_text("is not a number").wait_for()
        found = axe.Axe().run(page).response
        assert len(found["passes"]) > 15
        assert [(v["id"], [node["html"][:120] for node in v["nodes"]]) for v in found["violations"]] == []
        assert seen.away == [] and seen.errors == []
        seen.close()
