"""The picture pack: each kind of file is what it says, text stays inside the safe area, nothing half is left.

Marks: S seen, Q quoted, M from memory, C computed, J our judgement.
"""

import re
import xml.etree.ElementTree as ET

import numpy as np
import pytest
from matplotlib.text import Text
from PIL import Image

from spinlab.show import gallery
from spinlab.show.exhibits import exhibit, exhibits
from spinlab.show.frame import fitted, framed, framed_picture, safe_area, stacked, wrapped
from spinlab.show.picture import Picture
from spinlab.show.style import LOOKS, METRIC, YARDS, look

ONE = "words-a-pitch"
EVERY_BUILDER = {one.build: name for name, one in exhibits().items()}
"""One picture for each builder of the pack."""


def texts(picture):
    """Every text that is really drawn, with its box in pixels."""
    seen = []

    def note(text, renderer, *rest, **options):
        if text.get_visible() and text.get_text().strip():
            seen.append((text.get_text(), text.get_window_extent(renderer)))

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Text, "draw", note)
        picture.figure.canvas.draw()
    return seen


@pytest.mark.parametrize("size", ["wide", "tall"])
@pytest.mark.parametrize("name", EVERY_BUILDER.values())
def test_text_stays_inside_the_safe_area(name, size):
    """5 % free at each edge; upright 10 % above and 20 % below (common practice, no source)."""
    one, shape = exhibit(name), look(size)
    picture = framed_picture(one.build, shape, title=one.title, lines=3, foot=one.source)
    picture.show(one.make(), YARDS)
    x0, y0, x1, y1 = safe_area(shape)
    if size == "tall":
        assert (y0, round(y1, 9)) == (0.20, 0.90)
    found = texts(picture)
    assert len(found) > 4
    slack = 0.006  # side bearings and the box's own rounding
    for words, box in found:
        inside = (x0 - slack <= box.x0 / shape.width, box.x1 / shape.width <= x1 + slack,
                  y0 - slack <= box.y0 / shape.height, box.y1 / shape.height <= y1 + slack)
        assert all(inside), (words, box)


def test_every_kind_of_file_is_what_it_says(tmp_path):
    told = []
    files = gallery.write_pack(tmp_path, [ONE], looks=["wide", "page"], themes=["dark"],
                               progress=lambda *how: told.append(how))
    assert {path.name for path in files} == {f"{ONE}-{size}-dark.{form}" for size in ("wide", "page")
                                             for form in gallery.FORMS} | {f"{ONE}.txt"}
    assert told == [(1, 1, ONE)] and not list(tmp_path.glob(".*"))
    with Image.open(tmp_path / f"{ONE}-wide-dark.png") as png:
        assert png.size == (1920, 1080)
    pdf = (tmp_path / f"{ONE}-wide-dark.pdf").read_bytes()
    # ISO 32000: an embedded TrueType program stands under /FontFile2, a drawn font under /Type3 (M)
    assert pdf.startswith(b"%PDF-") and b"/FontFile2" in pdf and b"/Type3" not in pdf
    svg = ET.fromstring((tmp_path / f"{ONE}-wide-dark.svg").read_bytes())
    words = " ".join("".join(node.itertext()) for node in svg.iter("{http://www.w3.org/2000/svg}text"))
    assert "Which way the ball leaves" in words, "text in the SVG is text"
    assert "Verdana" in (tmp_path / f"{ONE}-wide-dark.svg").read_text(encoding="utf-8")


def test_caption_and_words_stand_beside_the_picture(tmp_path):
    gallery.write_pack(tmp_path, ["dry-and-wet-wet"], looks=["page"], themes=["light"], forms=["png"])
    said = (tmp_path / "dry-and-wet-wet.txt").read_text(encoding="utf-8")
    assert re.search(r"Caption\nThe same swing, dry and wet\. Wet.*likely between .*\[Q\].*\n\nAlternative text\n", said)
    assert "rpm" in said.partition("Alternative text")[2]


def test_yards_change_words_and_names(tmp_path):
    gallery.write_pack(tmp_path, [ONE], looks=["page"], themes=["light"], forms=["png"], units="yards")
    assert "mph" in (tmp_path / f"{ONE}-yards.txt").read_text(encoding="utf-8")
    assert (tmp_path / f"{ONE}-yards-page-light.png").exists()


def test_transparent_pictures_have_no_paper(tmp_path):
    gallery.write_pack(tmp_path, [ONE], looks=["page"], themes=["light"], forms=["png"], transparent=True)
    with Image.open(tmp_path / f"{ONE}-page-light-clear.png") as png:
        alpha = np.asarray(png.convert("RGBA"))[..., 3]
    assert alpha[0, 0] == 0 and (alpha == 0).mean() > 0.4 and alpha.max() == 255


def test_a_stop_leaves_whole_files_only(tmp_path):
    asked = iter([False, True])
    with pytest.raises(gallery.Cancelled, match="1 file"):
        gallery.write_pack(tmp_path, [ONE], looks=["page"], themes=["light"], stop=lambda: next(asked))
    assert [path.name for path in tmp_path.iterdir()] == [f"{ONE}-page-light.svg"]


@pytest.mark.parametrize(("wrong", "said"), [({"looks": ["poster"]}, "looks must be some of"), ({"forms": ["bmp"]}, "forms"),
                                             ({"themes": []}, "got none"), ({"units": "ells"}, "units must be")])
def test_wrong_choices_are_refused_before_anything_is_written(tmp_path, wrong, said):
    with pytest.raises(ValueError, match=said):
        gallery.write_pack(tmp_path / "none", [ONE], **wrong)
    with pytest.raises(ValueError, match="there is no picture 'nothing'"):
        gallery.write_pack(tmp_path / "none", ["nothing"])
    assert not (tmp_path / "none").exists()


def test_every_picture_has_a_plain_name_and_a_source_mark():
    assert all(re.fullmatch(r"[a-z0-9-]+", name) for name in exhibits())
    assert all(re.search(r"\[[SQMCJ]\]|no source|at 95 %", one.source) for one in exhibits().values())


# -- frames -----------------------------------------------------------------------------------------------------------


def test_a_frame_moves_nothing_but_the_place():
    """Same text size and line width; the inner picture lies wholly inside its box (computed)."""
    one, shape = exhibit(ONE), LOOKS["wide"]
    picture = Picture(framed(one.build), shape)
    picture.show(one.make(), METRIC)
    inner = picture.figure.subfigs[0].bbox
    assert inner.x0 == pytest.approx(0.05 * 1920) and inner.y1 == pytest.approx(0.95 * 1080)
    assert inner.width == pytest.approx(0.9 * 1920, abs=0.01)


def test_two_builders_share_one_figure():
    one = exhibit(ONE)
    picture = Picture(stacked(one.build, one.build), LOOKS["wide"])
    sentence = picture.show((one.make(), one.make()), METRIC)
    left, right = (part.bbox for part in picture.figure.subfigs)
    assert left.x1 == pytest.approx(right.x0) and len(sentence) > 100


def test_lines_are_no_wider_than_asked():
    """Widths measured again by Pillow, with the font the picture uses."""
    from matplotlib.font_manager import findfont
    from PIL import ImageFont

    rows = wrapped("Friction along the face can never be more than a share of the push across it. " * 4, 500, 20)
    font = ImageFont.truetype(findfont("DejaVu Sans"), 200)
    assert len(rows) > 3 and all(font.getlength(row) * 20 / 200 <= 500.5 for row in rows)


def test_text_that_does_not_fit_gets_smaller_and_then_ends():
    small, size = fitted("word " * 60, LOOKS["wide"], 600, 200, 40)
    assert 20 <= size < 40 and "…" not in small
    cut, size = fitted("word " * 600, LOOKS["wide"], 600, 60, 40)
    assert cut.endswith("…") and size == pytest.approx(20)
