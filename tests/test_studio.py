"""The studio: what is asked for is made where it says, signed, stopped without half files, and told in words."""

import html
import io
import re
import threading
from datetime import UTC, datetime

import pytest
from PIL import Image

from spinlab.show.desk import demonstration_tables
from spinlab.show.gallery import Cancelled
from spinlab.show.studio import Job, Studio
from spinlab.show.studio_page import Page

SMALL = {"form": "gif", "scale": 0.1, "rate": 2}
FILE = {"type": "", "last_modified": datetime(2026, 5, 1, tzinfo=UTC)}


def logo(kind="PNG"):
    out = io.BytesIO()
    Image.new("RGB", (40, 20), "green").save(out, kind)
    return out.getvalue()


def words(page):
    return html.unescape(re.sub("<[^>]+>", " ", page.read_text(encoding="utf-8")))


def names(folder):
    return sorted(path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file())


@pytest.fixture
def studio(tmp_path):
    return Studio(tmp_path / "out")


@pytest.fixture
def page(studio):
    made = Page(studio)
    yield made
    if made.job.thread:
        made.job.thread.join(30)


def done(page, patience=60):
    """Wait until the work is over; what is said then."""
    page.job.thread.join(patience)
    assert not page.job.busy
    return html.unescape(re.sub("<[^>]+>", "", page.said.value))


# -- from Python ------------------------------------------------------------------------------------------------------


def test_nothing_is_written_before_something_is_asked_for(studio):
    assert not studio.folder.exists()


def test_a_handout_is_signed(studio, tmp_path):
    (tmp_path / "mine.png").write_bytes(logo())
    studio.coach, studio.logo, studio.link = "A <b> & Co", tmp_path / "mine.png", "https://example.org/lesson"
    pdf, page = studio.of_demonstration(paper="Letter")
    assert (pdf.name, page.name) == ("handout-demonstration.pdf", "handout-demonstration.html")
    box = re.search(rb"/MediaBox\s*\[([^\]]+)\]", pdf.read_bytes())[1].split()
    assert [float(b) for b in box] == pytest.approx([0, 0, 612, 792], abs=1)  # Letter is 8.5 by 11 inches (S)
    told = words(page)
    assert "A <b> & Co" in told and "https://example.org/lesson" in told
    assert page.read_text(encoding="utf-8").count("data:image/png;base64,") >= 2


def test_a_table_of_ones_own_makes_its_own_handout(studio):
    path = demonstration_tables()["wet_and_dry_metric.csv"]
    *_, page = studio.of_demonstration(path)
    assert "wet_and_dry_metric.csv" in words(page)


def test_players_and_lessons_make_handouts(studio):
    *_, page = studio.of_player("beginner")
    assert "Beginner: where the spin goes" in words(page)
    with pytest.raises(ValueError, match="there is no player 'nobody'; there are ordinary player"):
        studio.of_player("nobody")
    studio.units = "yards"
    *_, page = studio.of_lesson("02")
    assert " yd" in words(page) and " mph" in words(page)


def test_pictures_follow_units_and_colours(studio):
    studio.units, studio.theme = "yards", "dark"
    made = studio.pictures("words-a-pitch", looks=["page"], forms=["png"])
    assert all(path.is_file() and path.parent == studio.folder / "pictures" for path in made)
    assert any("dark" in path.name and "yards" in path.name for path in made)


def test_a_clip_comes_with_its_captions(studio):
    film, captions = studio.clip("loft-sweep", **SMALL)
    assert film.name == "loft-sweep-wide.gif" and captions.read_text(encoding="utf-8").startswith("WEBVTT")
    with pytest.raises(ValueError, match="there is no clip 'nothing'; there are dry-and-wet"):
        studio.clip("nothing")


def test_words_are_written_and_measured_ones_come_first(studio):
    made = studio.words("grooves grip the ball", table=demonstration_tables()["pitch_states.csv"])
    assert [path.name for path in made] == ["claims.pdf", "claims.csv", "claims.txt", "storyboard.txt"]
    told = made[2].read_text(encoding="utf-8")
    assert 0 <= told.find("wet spun") < told.find("rooves")


# -- one piece of work at a time --------------------------------------------------------------------------------------


class Heard(list):
    def __call__(self, *told):
        self.append(told)


def test_a_job_tells_how_far_it_is_and_what_it_made(tmp_path):
    heard = Heard()
    job = Job(heard)
    job.start(lambda progress, stop: progress(1, 4) or [tmp_path / f"{k}" for k in range(6)])
    job.thread.join(10)
    assert heard[0] == (1, 4, "", ()) and heard[-1][:2] == (1, 1) and len(heard[-1][3]) == 6
    assert heard[-1][2].startswith("Written: ") and heard[-1][2].endswith("and 2 more")


def test_a_second_job_waits_and_the_first_can_be_stopped():
    heard, begun = Heard(), threading.Event()

    def long(progress, stop):
        begun.set()
        while not stop():
            pass
        raise Cancelled("Stopped; nothing was left.")

    job = Job(heard)
    job.start(long)
    assert begun.wait(10) and job.busy
    with pytest.raises(ValueError, match="still being made"):
        job.start(long)
    job.stop()
    job.thread.join(10)
    assert not job.busy and heard == [(0, 1, "Stopped; nothing was left.", ())]


@pytest.mark.parametrize("trouble, told", [(ValueError("the name is too long"), "the name is too long"),
                                           (PermissionError(13, "Permission denied", "out"), "Permission denied"),
                                           (ZeroDivisionError("by nought"), "ZeroDivisionError: by nought")])
def test_what_goes_wrong_is_told(trouble, told):
    def fail(progress, stop):
        raise trouble

    heard = Heard()
    job = Job(heard)
    job.start(fail)
    job.thread.join(10)
    assert told in heard[-1][2] and heard[-1][3] == ()


def test_without_threads_it_is_done_at_once(monkeypatch):
    def none(self):
        raise RuntimeError("can't start new thread")

    monkeypatch.setattr(threading.Thread, "start", none)
    heard = Heard()
    Job(heard).start(lambda progress, stop: ["a file"])
    assert heard == [(1, 1, "Written: a file", ("a file",))]


# -- the page ---------------------------------------------------------------------------------------------------------


def test_every_row_has_a_button_and_every_field_a_name(page):
    assert [button.description for button in page.makers] == ["Write the handout", "Write the picture", "Make the clip",
                                                              "Write the slides", "Write the words"]
    fields = [part for row in page.box.children[:6] for part in row.children[1].children]
    assert len(fields) == 15 and all(field.description for field in fields)


def test_the_handout_button_writes_signed_pages(page):
    page.coach.value, page.units.value = "A. Coach", "yards"
    page.sheet.value = ("player", "beginner")
    page.makers[0].value = True
    assert not page.makers[0].value and done(page).startswith("Written: ") and page.bar.value == 1
    assert names(page.studio.folder) == ["handout-player.html", "handout-player.pdf"]
    assert "A. Coach" in words(page.studio.folder / "handout-player.html")


def test_a_picture_is_shown_with_its_words(page):
    page.picture.value, page.look.value, page.paperless.value = ("words-a-pitch",), ("page",), True
    page.makers[1].value = True
    assert "words-a-pitch" in done(page)
    alt = html.unescape(re.search(r'alt="([^"]+)"', page.seen.value)[1])
    assert alt in next((page.studio.folder / "pictures").glob("*.txt")).read_text(encoding="utf-8") and len(alt) > 40
    png = Image.open(next((page.studio.folder / "pictures").glob("*.png")))
    assert png.mode == "RGBA" and png.getpixel((0, 0))[3] == 0


def test_a_stopped_clip_leaves_no_file(page):
    page.form.value = "gif"
    stop = page.job.stop
    page.job.watch = lambda *told: (page._watched(*told), stop())
    page.makers[2].value = True
    told = done(page)
    assert "Stop" in told or "stop" in told
    assert names(page.studio.folder) == []


def test_the_stop_button_asks_the_job(page):
    page.halt.value = True
    assert page.job._stop.is_set() and not page.halt.value


def test_a_logo_is_kept_if_it_is_one(page):
    def choose(content):
        page.logo.set_trait("value", ({"name": "x", "content": memoryview(content), "size": len(content)} | FILE,))

    choose(b"<svg onload='alert(1)'/>")
    assert "neither a PNG nor a JPEG" in page.said.value and page.studio.logo is None
    assert names(page.studio.folder) == []
    choose(logo("JPEG"))
    assert "goes onto the handouts" in page.said.value and page.studio.logo.read_bytes() == logo("JPEG")
    page.makers[0].value = True
    done(page)
    assert "data:image/jpeg;base64," in (page.studio.folder / "handout-demonstration.html").read_text(encoding="utf-8")


def test_a_link_that_is_none_is_told_in_words(page):
    page.link.value = "javascript:alert(1)"
    page.makers[0].value = True
    assert "the link must begin with http" in done(page) and names(page.studio.folder) == []


def test_a_claim_is_answered_with_its_picture(page):
    page.claim.value = "wet halves the spin"
    assert "role='status'" in page.answer.value and re.search(r'<img [^>]*alt="[^"]{40,}"', page.answer.value)
    page.claim.value = "the moon is <b>cheese</b>"
    assert "Cannot say" in page.answer.value and "<b>cheese" not in page.answer.value and "<img" not in page.answer.value


def test_in_a_notebook_it_is_widgets_with_plain_words_beside(studio):
    bundle = studio._repr_mimebundle_()
    assert "wet halves the spin" in bundle["text/plain"] and any("widget" in kind for kind in bundle)
