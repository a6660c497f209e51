"""Handouts as PDF and slides: opened again by another library (pypdf), which did not write them."""

import io
import shutil
import subprocess

import pytest
from PIL import Image

from spinlab.physics.players import PLAYERS, REFERENCE
from spinlab.show import deck, pack, sheetpdf, sheets
from spinlab.show.exhibits import exhibit, of_lesson
from spinlab.show.gallery import Cancelled
from spinlab.show.pack import Grid, Section, Sheet, Shown

pypdf = pytest.importorskip("pypdf")


def png(width=60, height=40):
    out = io.BytesIO()
    Image.new("RGB", (width, height), "#0072b2").save(out, "png")
    return out.getvalue()


@pytest.fixture
def sheet():
    picture = Shown(png=png(), sentence="A blue square.")
    return Sheet(title="Wet against dry", lead="Spin fell by a half.", pictures=(picture,),
                 tables=(Grid(head=("", "dry", "wet"), rows=(("spin", "6390 rpm", "3260 rpm"),), caption="Averages"),),
                 sections=(Section(title="What to do first", items=("Clean.", "Dry."), ordered=True),
                           Section(title="Take care", items=("Practice only.",), care=True)), footer="Made here.")


def read(data):
    return pypdf.PdfReader(io.BytesIO(data))


def tree(node):
    """The structure of a tagged PDF: [role, element, children …] from the document down."""
    node = node.get_object()
    kids = node.get("/K", [])
    kids = kids.get_object() if hasattr(kids, "get_object") else kids
    kids = [kid.get_object() for kid in (kids if isinstance(kids, list) else [kids])]
    return [node["/S"][1:], node, *(tree(kid) for kid in kids if isinstance(kid, dict) and "/S" in kid)]


def document(found):
    root = found.trailer["/Root"]["/StructTreeRoot"]
    whole, = root["/K"]
    return tree(whole)


def roles(branch):
    """The kinds of structure, in the order of reading."""
    return [branch[0], *(role for kid in branch[2:] for role in roles(kid))]


def every(branch, role):
    """All elements of a kind, in the order of reading."""
    return [*([branch[1]] if branch[0] == role else []), *(one for kid in branch[2:] for one in every(kid, role))]


def words_of(branch):
    return [*str(branch[1].get("/ActualText", "")).split(), *(word for kid in branch[2:] for word in words_of(kid))]


@pytest.mark.parametrize(("paper", "wide", "high"), [("A4", 210, 297), ("Letter", 215.9, 279.4)])
def test_a_handout_is_one_page_of_real_text(sheet, paper, wide, high):
    """Sizes of ISO 216 and ANSI Y14.1 (M), in points of 1/72 inch."""
    found = read(sheetpdf.pdf(sheet, paper=paper, coach="Zoë & <b>Co</b>"))
    page, = found.pages
    assert float(page.mediabox.width) == pytest.approx(wide / 25.4 * 72, abs=0.1)
    assert float(page.mediabox.height) == pytest.approx(high / 25.4 * 72, abs=0.1)
    text = page.extract_text()
    for words in ("Wet against dry", "Spin fell by a half.", "6390 rpm", "Practice only.", "Zoë & <b>Co</b>", "Made here."):
        assert words in text
    assert found.metadata.title == "Wet against dry"


def test_fonts_are_embedded_and_the_page_is_tagged(sheet):
    """ISO 32000: /FontFile2 holds an embedded TrueType program, /MarkInfo and /StructTreeRoot say tagged (M)."""
    found = read(sheetpdf.pdf(sheet))
    fonts = found.pages[0]["/Resources"]["/Font"].values()
    inside = [font.get_object()["/DescendantFonts"][0].get_object()["/FontDescriptor"].get_object() for font in fonts]
    assert inside and all("/FontFile2" in descriptor for descriptor in inside)
    root = found.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"] and root["/Lang"] == "en" and root["/ViewerPreferences"]["/DisplayDocTitle"]


def test_a_reading_program_finds_its_way(sheet):
    """The roles of ISO 32000-1, 14.8.4 (M): headings, lists of labelled items, tables of rows, pictures with words."""
    found = read(sheetpdf.pdf(sheet, link="https://example.org/x", coach="A. Coach"))
    whole = document(found)
    assert roles(whole) == [
        "Document", "H1", "P", "P", "Figure", "Table", "Caption",
        "THead", "TR", "TH", "TH", "P", "TH", "P", "TBody", "TR", "TH", "P", "TD", "P", "TD", "P",
        "Sect", "H2", "L", "LI", "Lbl", "LBody", "LI", "Lbl", "LBody", "Sect", "H2", "L", "LI", "Lbl", "LBody",
        "P", "Link", "Span", "Figure"]
    assert [one["/Alt"] for one in every(whole, "Figure")] == ["A blue square.", "QR code of https://example.org/x"]
    assert [head["/A"]["/Scope"] for head in every(whole, "TH")] == ["/Column"] * 3 + ["/Row"]
    told = " ".join(words_of(whole))
    assert told.startswith("Wet against dry A. Coach Spin fell by a half. Averages dry wet spin 6390 rpm 3260 rpm What to")
    link, = every(whole, "Link")
    reference = next(kid for kid in link["/K"] if kid.get_object().get("/Type") == "/OBJR").get_object()
    annotation = reference["/Obj"].get_object()
    assert annotation["/A"]["/URI"] == annotation["/Contents"] == "https://example.org/x"


def test_every_mark_on_a_page_has_its_element(sheet):
    """ISO 32000-1, 14.7.4.4 (M): the parent tree's row of a page has the element of each mark at the mark's number, and what
    is no mark is an artifact."""
    import re

    found = read(sheetpdf.pdf(sheet, link="https://example.org/x"))
    page, = found.pages
    content = page.get_contents().get_data().decode("latin-1")
    marks = [(role, int(number)) for role, number in re.findall(r"/(\w+) <</MCID (\d+)>> BDC", content)]
    assert [number for _, number in marks] == list(range(len(marks))) and content.count("/Artifact BMC") >= 4
    assert content.count("BDC") + content.count("BMC") == content.count("EMC")
    nums = found.trailer["/Root"]["/StructTreeRoot"]["/ParentTree"]["/Nums"]
    rows = dict(zip(nums[::2], nums[1::2]))
    row = rows[page["/StructParents"]].get_object()
    for _, number in marks:
        element = row[number].get_object()
        assert number in element["/K"] and element["/Pg"]["/Contents"] == page["/Contents"]
    outside = re.sub(r"/(?:\w+ <</MCID \d+>> BDC|Artifact BMC).*?EMC", "", content, flags=re.S)
    assert "Tj" not in outside and "TJ" not in outside and " Do" not in outside and " l S" not in outside


def test_a_long_sheet_gets_smaller_and_a_longer_one_two_pages(sheet):
    long = Sheet(title=sheet.title, sections=tuple(Section(title=f"Part {i}", words=("word " * 70,)) for i in range(12)))
    assert len(read(sheetpdf.pdf(long)).pages) == 1
    longer = Sheet(title=sheet.title, sections=tuple(Section(title=f"Part {i}", words=("word " * 230,)) for i in range(14)))
    found = read(sheetpdf.pdf(longer))
    text = " ".join(page.extract_text() for page in found.pages)
    assert len(found.pages) > 1 and all(f"Part {i}" in text for i in range(14))
    assert text.count("word") == 14 * 230, "nothing is lost where a page ends"
    assert words_of(document(found)).count("word") == 14 * 230, "nor for a reading program"


def test_a_link_is_a_link_and_a_code(sheet):
    link = "https://example.org/lesson?x=1&y=2"
    page, = read(sheetpdf.pdf(sheet, link=link)).pages
    assert link in {mark.get_object()["/A"]["/URI"] for mark in page["/Annots"]} and link in page.extract_text()
    html = pack.html(sheet, link=link)
    assert 'href="https://example.org/lesson?x=1&amp;y=2"' in html and "QR code of https" in html


@pytest.mark.parametrize("link", ["javascript:alert(1)", "file:///x", "https://a b", 'https://x"onerror=',
                                  "https://" + "x" * 300])
def test_other_links_are_refused(sheet, link):
    for write in (pack.html, sheetpdf.pdf):
        with pytest.raises(ValueError, match="the link must begin with http"):
            write(sheet, link=link)


def test_logos_are_bounded_and_whole(tmp_path, sheet):
    logo = tmp_path / "logo.png"
    logo.write_bytes(png(400, 100))
    assert len(read(sheetpdf.pdf(sheet, logo=logo)).pages[0].images) == 2
    for data, said in ((b"<svg/>", "neither a PNG nor a JPEG"), (png()[:60], "cannot be read"),
                       (png(4100, 10), "at most 4000"), (png() + b"\0" * 300_000, "at most 300 kB")):
        logo.write_bytes(data)
        for write in (pack.html, sheetpdf.pdf):
            with pytest.raises(ValueError, match=said):
                write(sheet, logo=logo)


def test_names_are_bounded_and_never_lose_letters(sheet):
    with pytest.raises(ValueError, match="80 characters"):
        sheetpdf.pdf(sheet, coach="x" * 81)
    from dataclasses import replace

    for word, said in (("日本", "no 日 本"), ("שלום", "right to left"), ("مرحبا", "right to left"), ("🏌", "no 🏌")):
        for made, coach in ((sheet, word), (replace(sheet, title=word), ""), (replace(sheet, lead=word), ""),
                            (replace(sheet, tables=(Grid(head=("a",), rows=((word,),)),)), "")):
            with pytest.raises(ValueError, match=said):
                sheetpdf.pdf(made, coach=coach)
        assert word in pack.html(sheet, coach=word)


def test_a_player_and_a_lesson_make_handouts(tmp_path):
    player = PLAYERS["keen club player"].setting
    of_player = sheets.player_sheet(player, REFERENCE.setting, name="=<b>Kim</b>", units="yards")
    for made in (of_player, sheets.picture_sheet(exhibit("dry-and-wet-wet"))):
        text = read(sheets.write(tmp_path / "page.pdf", made).read_bytes()).pages[0].extract_text()
        assert "Practice only" in text and "What to do first" in text and "likely" in text
        html = sheets.write(tmp_path / "page.html", made).read_text(encoding="utf-8")
        assert "<b>Kim" not in html and made.pictures[0].sentence[:20] in html
    with pytest.raises(ValueError, match="must end in .pdf or .html"):
        sheets.write(tmp_path / "page.doc", made)


# -- slides -----------------------------------------------------------------------------------------------------------


def test_slides_are_one_picture_a_page(tmp_path):
    told = []
    path = deck.make("04", tmp_path / "deck.pdf", coach="Coach & Co", progress=lambda *how: told.append(how))
    found = read(path.read_bytes())
    slides = of_lesson("04")
    assert len(found.pages) == len(slides) == told[-1][0] and found.metadata.author == "Coach & Co"
    for page, slide in zip(found.pages, slides):
        assert float(page.mediabox.width) / float(page.mediabox.height) == pytest.approx(16 / 9, abs=0.001)
        text = page.extract_text()
        assert slide.title in text and "Smits and Smith" in text and "Coach & Co" in text


def test_a_reading_program_finds_each_slide(tmp_path):
    """ISO 32000-1, 14.7 and 14.8 (M): language, title, a section a slide, the picture in words, every mark in the tree."""
    found = read(deck.make("04", tmp_path / "deck.pdf", coach="Zoë").read_bytes())
    root = found.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"] and root["/Lang"] == "en" and root["/ViewerPreferences"]["/DisplayDocTitle"]
    whole = document(found)
    assert [slide[0] for slide in whole[2:]] == ["Sect"] * len(found.pages)
    nums = root["/StructTreeRoot"]["/ParentTree"]["/Nums"]
    for page, slide, one in zip(found.pages, whole[2:], of_lesson("04")):
        assert roles(slide) == ["Sect", "H1", "Figure", "P", "P"]
        assert words_of(slide[2]) == one.title.split()
        assert every(slide, "Figure")[0]["/Alt"].startswith(f"{one.title}. ")
        assert "1994" in words_of(slide) and "Zoë" in words_of(slide)
        content = page.get_contents().get_data().decode("latin-1")
        row = nums[2 * page["/StructParents"] + 1].get_object()
        assert content.count(" BDC") == content.count("\nEMC") == len(row)
        for number, element in enumerate(row):
            assert number in element.get_object()["/K"] and element.get_object()["/Pg"]["/Contents"] == page["/Contents"]


def test_slides_never_lose_letters(tmp_path):
    with pytest.raises(ValueError, match="no 日 本"):
        deck.make("04", tmp_path / "deck.pdf", coach="日本")
    assert not list(tmp_path.iterdir())


@pytest.mark.skipif(not shutil.which("pdffonts"), reason="needs pdffonts")
def test_slides_embed_their_fonts(tmp_path):
    path = deck.make("04", tmp_path / "deck.pdf", theme="dark")
    lines = subprocess.run(["pdffonts", str(path)], capture_output=True, text=True, check=True).stdout.splitlines()[2:]
    assert lines and all("TrueType" in line and " yes yes " in line for line in lines)


def test_stopped_slides_leave_nothing(tmp_path):
    with pytest.raises(Cancelled):
        deck.make("04", tmp_path / "deck.pdf", stop=lambda: True)
    assert not list(tmp_path.iterdir())


def test_unknown_slides_are_refused(tmp_path):
    for lesson, name, options, said in (
            ("99", "a.pdf", {}, "there are pictures of lessons 00, 01"), ("02", "a.ppt", {}, "written as .pdf"),
            ("02", "a.pdf", {"units": "ells"}, "units must be"), ("02", "a.pdf", {"coach": "x" * 81}, "80 characters")):
        with pytest.raises(ValueError, match=said):
            deck.make(lesson, tmp_path / name, **options)
