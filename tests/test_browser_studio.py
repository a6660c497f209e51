"""The studio as people meet it: on the presenting page, by keyboard, files looked for in the folder."""

import browser as b
import pytest
from PIL import Image

pytestmark = pytest.mark.skipif(bool(b.why_not()), reason=b.why_not() or "a browser is here")

CELL = "from spinlab.show.studio import Studio\nStudio('out')"


def names(folder):
    """All files, hidden drafts too."""
    return sorted(path.name for path in (folder / "out").rglob("*") if path.is_file())


def press(page, button):
    page.get_by_role("button", name=button).focus()
    page.keyboard.press("Enter")


def choose(page, field, words):
    """Choose from a list by typing, as a keyboard does."""
    page.get_by_label(field, exact=True).first.focus()
    page.keyboard.type(words)


def wait_for(page, words):
    page.get_by_role("status").get_by_text(words).wait_for(timeout=60000)


def test_handout_picture_and_a_clip_stopped_by_keyboard(chrome, tmp_path):
    b.notebook(tmp_path / "studio.ipynb", "# Take away", CELL)
    with b.presenting(tmp_path, "studio.ipynb") as place:
        seen = b.Watched(chrome)
        page = seen.page
        page.goto(place, wait_until="commit")
        page.get_by_role("button", name="Write the handout").wait_for(timeout=90000)
        page.get_by_label("Your name").focus()
        page.keyboard.type("Zoë <b>Coach</b>")
        page.keyboard.press("Tab")
        choose(page, "Of", "player: beg")
        press(page, "Write the handout")
        wait_for(page, "Written: out/handout-player.pdf, out/handout-player.html")
        assert names(tmp_path) == ["handout-player.html", "handout-player.pdf"]
        told = (tmp_path / "out" / "handout-player.html").read_text(encoding="utf-8")
        assert "Zoë &lt;b&gt;Coach&lt;/b&gt;" in told and "Beginner: where the spin goes" in told
        assert (tmp_path / "out" / "handout-player.pdf").read_bytes().startswith(b"%PDF-")

        choose(page, "For", "page")
        press(page, "Write the picture")
        wait_for(page, "dry-and-wet-wet-page-light.svg")
        made = tmp_path / "out" / "pictures"
        with Image.open(made / "dry-and-wet-wet-page-light.png") as picture:
            assert picture.width == 2100
        assert "Alternative text" in (made / "dry-and-wet-wet.txt").read_text(encoding="utf-8")
        shown = page.locator('img[src^="data:image/png"]').first
        assert len(shown.get_attribute("alt")) > 40 and shown.evaluate("img => img.complete && img.naturalWidth > 100")

        before = names(tmp_path)
        choose(page, "As", "webp")
        press(page, "Make the clip")
        wait_for(page, "Working")
        press(page, "Stop")
        wait_for(page, "nothing was left behind")
        assert names(tmp_path) == before

        page.get_by_label("Claim").focus()
        page.keyboard.type("grooves don't grip the ball")
        page.keyboard.press("Enter")
        page.get_by_text("Shown by the model:").wait_for(timeout=60000)
        assert seen.away == [] and seen.errors == []
        seen.close()
