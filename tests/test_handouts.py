"""Handouts from a shell and from Python: made, and read back by programs that did not write them."""

import io
import re
import shutil
import subprocess
from html.parser import HTMLParser
from pathlib import Path

import pytest
from PIL import Image

from spinlab import shell
from spinlab.show import handouts
from spinlab.show.pack import PAPERS

pypdf = pytest.importorskip("pypdf")
TABLE = Path(__file__).resolve().parents[1] / "data" / "pitch_states.csv"
LINK = "https://example.org/lesson?a=1&b=2"


class Page(HTMLParser):
    """What a reader of the page gets: words, pictures with their alternative texts, links, headings."""

    def __init__(self, path):
        super().__init__()
        self.words, self.alts, self.links, self.heads, self.inside = [], [], [], [], ""
        self.feed(Path(path).read_text(encoding="utf-8"))
        self.text = re.sub(r"\s+", " ", " ".join(self.words))

    def handle_starttag(self, tag, attributes):
        found, self.inside = dict(attributes), tag
        if tag == "img":
            self.alts.append(found["alt"])
            assert found["src"].startswith("data:image/"), "a picture must be inside the page"
        if tag == "a":
            self.links.append(found["href"])
        if tag in ("h1", "h2"):
            self.heads.append(tag)

    def handle_data(self, data):
        if self.inside not in ("style", "script"):
            self.words.append(data)


def pdf_words(path):
    """The words of a PDF, by Poppler where it is here, else by pypdf; blanks and line ends made one blank."""
    if shutil.which("pdftotext"):
        told = subprocess.run(["pdftotext", "-layout", path, "-"], capture_output=True, text=True, check=True).stdout
    else:
        told = " ".join(page.extract_text() for page in pypdf.PdfReader(path).pages)
    return re.sub(r"\s+", " ", told)


@pytest.fixture
def ask(monkeypatch, capsys, tmp_path):
    """Ask for a handout in an empty folder: exit code, files that were told, what was complained of."""
    monkeypatch.setenv(shell.READY, "1")
    monkeypatch.chdir(tmp_path)

    def asked(*words):
        code = shell.run(["handout", *map(str, words)])
        out, err = capsys.readouterr()
        return code, [Path(line) for line in out.splitlines()], err

    return asked


@pytest.fixture
def logo(tmp_path):
    out = io.BytesIO()
    Image.new("RGB", (200, 90), "green").save(out, "png")
    (tmp_path / "logo.png").write_bytes(out.getvalue())
    return "logo.png"


@pytest.mark.parametrize(("paper", "size", "units", "long"), [("A4", (595, 842), "metric", "m"),
                                                              ("Letter", (612, 792), "yards", "yd")])
def test_a_players_handout_signed_in_both_papers_and_units(ask, logo, paper, size, units, long):
    """Sizes of ISO 216 and ANSI Y14.1 in points of 1/72 inch, rounded (M)."""
    name = "Zoë Ångström-Łukasiewicz"
    code, (pdf, page), err = ask("beginner", "--for", "Kim <b>", "--name", name, "--logo", logo, "--link", LINK, "--paper",
                                 paper, "--units", units)
    assert code == 0, err
    read = pypdf.PdfReader(pdf)
    assert len(read.pages) == 1 and [round(float(edge)) for edge in read.pages[0].mediabox[2:]] == list(size)
    assert len(read.pages[0].images) == 3, "picture, logo and code"
    told, html = pdf_words(pdf), Page(page)
    for words in ("Kim <b>: where the spin goes", name, LINK, "Before every shot", "Practice only", "likely"):
        assert words in told and words in html.text
    assert re.search(rf"\d {long} \(", told) and re.search(rf"\d {long} \(", html.text)
    assert html.links == [LINK] and html.heads.count("h1") == 1 and "h2" in html.heads
    assert f"QR code of {LINK}" in html.alts and max(map(len, html.alts)) > 40
    assert f"size: {PAPERS[paper][0]}" in page.read_text(encoding="utf-8")


@pytest.mark.parametrize("lesson", [name for name in handouts.WHAT if name.isdigit()])
def test_every_lesson_has_its_handouts(lesson):
    made = handouts.handouts(lesson)
    assert made
    for sheet in made.values():
        said = " ".join(words for section in sheet.sections for words in (*section.words, *section.items))
        assert sheet.title and sheet.lead and (sheet.tables or sheet.pictures or lesson == "09")
        assert "ractice" in said or lesson in ("06", "09"), "the practice-only note"


def test_a_lesson_writes_its_handout_and_so_does_a_picture(ask):
    code, files, err = ask("02", "--out", "made")
    assert code == 0, err
    assert [path.name for path in files] == ["handout-lesson-02.pdf", "handout-lesson-02.html"]
    assert all(path.parent == Path("made") and path.stat().st_size > 10_000 for path in files)
    code, (page,), err = ask("every-green", "--units", "yards", "--out", "sheet.html")
    assert code == 0, err
    assert "On every green" in Page(page).text and " yd" in Page(page).text


def test_only_players_are_turned(ask):
    code, _, err = ask("02", "--turn", "water=3", "--out", "sheet.html")
    assert code != 0 and "only players have" in err


def test_a_player_of_ones_own(ask):
    code, (page,), err = ask("player", "--turn", "cleaned=not at all", "dynamic_loft=50", "--out", "me.html")
    assert code == 0, err
    caked = Page(page).text
    code, (page,), err = ask("player", "--turn", "cleaned=just now, towel", "dynamic_loft=50", "--out", "me.html")
    clean = Page(page).text
    todo = "Clean lands and grooves with a damp towel, then dry, before every shot: about"
    assert todo in caked and todo not in clean


def test_a_table_of_shots(ask):
    code, files, err = ask(TABLE, "--out", "made")
    assert code == 0, err
    assert [path.name for path in files] == ["handout-pitch-states.pdf", "handout-pitch-states.html"]
    for told in (pdf_words(files[0]), Page(files[1]).text):
        assert "pitch_states.csv" in told and "wet spun 0.5" in told


def test_without_a_name_everything_is_listed(ask):
    code, lines, err = ask()
    assert code == 0 and [str(line) for line in lines] == list(handouts.WHAT)


@pytest.mark.parametrize(("words", "told"), [
    (["moon"], "a handout can be made of 00, 01, 02"),
    (["player", "--state", "frozen"], "state must be one of ordinary player"),
    (["player", "--turn", "moon=3"], "its names are cleaned, water"),
    (["player", "--turn", "dynamic_loft"], "NAME=VALUE"),
    (["player", "--turn", "dynamic_loft=steep"], "loft must be a number, got 'steep'"),
    (["player", "--turn", "dynamic_loft=400"], "loft must lie between"),
    (["dry-and-wet-wet", "--for", "Kim"], "a player's name goes onto a player's sheet"),
    (["beginner", "--for", "x" * 41], "at most 40 letters, got 41"),
    (["beginner", "--name", "x" * 81], "at most 80 characters, got 81"),
    (["beginner", "--name", "日本"], "日"),
    (["beginner", "--for", "日本"], "日"),
    (["beginner", "--name", "שלום"], "right to left"),
    (["beginner", "--link", "javascript:alert(1)"], "the link must begin with http"),
    (["beginner", "--logo", "none.png"], "none.png"),
    (["06", "--turn", "a=1"], "has nothing to turn"),
    (["beginner", "--out", "page.doc"], "must end in .pdf or .html"),
    (["no such.csv"], "no such.csv"),
])
def test_trouble_is_a_line_and_leaves_no_file(ask, tmp_path, words, told):
    code, files, err = ask(*words)
    assert code == 2 and told in err and "Traceback" not in err and len(err.strip().splitlines()) <= 3
    assert not [path for path in tmp_path.rglob("*") if path.is_file()]


def test_letters_that_the_pdf_lacks_stand_on_the_html_page(ask):
    for name in ("日本 花子", "שלום"):
        code, (page,), err = ask("beginner", "--name", name, "--for", name, "--out", "page.html")
        assert code == 0 and Page(page).text.count(name) >= 2
