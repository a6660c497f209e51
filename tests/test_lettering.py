"""Lines put together from words against the same lines rendered whole by Pillow, the reference library."""

import numpy as np
import pytest
from matplotlib.font_manager import FontProperties, findfont
from PIL import Image, ImageDraw, ImageFont

from spinlab.show import lettering
from spinlab.show.easel import label
from spinlab.show.style import look

LINES = ["Firm, low: runs 8.5 m (7 to 11)", "1 764 rpm (low) and 0 rpm (high)", "AV To WA fi Yo. – a’b", "  two  blanks  ",
         "x", "−5 °C … 60 µm, 0.7× “so”", "Spread if only this varied"]


def whole(text, path, size):
    """The line as Pillow sets it at once, on a sheet with the baseline's start at (20, 60)."""
    sheet = Image.new("L", (1600, 100))
    font = ImageFont.truetype(path, size, layout_engine=ImageFont.Layout.BASIC)
    ImageDraw.Draw(sheet).text((20, 60), text, font=font, fill=255, anchor="ls")
    return np.array(sheet)


@pytest.mark.parametrize("weight", ["normal", "bold"])
@pytest.mark.parametrize("size", [9.5, 12.22, 17.37, 20.0, 31.4])
@pytest.mark.parametrize("text", LINES)
def test_a_line_of_words_has_the_pixels_of_the_whole_line(text, size, weight):
    path = findfont(FontProperties(family="DejaVu Sans", weight=weight))
    image, left, bottom = lettering._written(text, path, size)
    sheet = np.zeros((100, 1600), dtype=np.uint8)
    sheet[60 + bottom - image.shape[0]:60 + bottom, 20 + left:20 + left + image.shape[1]] = image
    assert image.max() > 150
    assert np.array_equal(sheet, whole(text, path, size))


@pytest.mark.parametrize("text", LINES)
def test_a_line_is_as_wide_and_as_high_as_pillow_says(text):
    path = findfont(FontProperties(family="DejaVu Sans"))
    font = ImageFont.truetype(path, 17.37, layout_engine=ImageFont.Layout.BASIC)
    _, top, _, bottom = font.getbbox(text, anchor="ls")
    width, high, below = lettering._measured(text, path, 17.37)
    assert width == pytest.approx(font.getlength(text), abs=0.3)  # Pillow counts in 64ths, we in whole pixels
    assert (high, below) == (bottom - top, bottom)


def test_a_text_that_changes_is_set_as_a_new_one_would_be():
    """What a text remembers of its layout is not taken for another wording, place of anchor or size."""
    def drawn(changes):
        here = look("page")
        figure = here.figure()
        text = label(figure.add_axes((0, 0, 1, 1)), here, 0.5, 0.5, "first wording", ha="left", va="top")
        renderer = figure.canvas.get_renderer()
        for change in changes:
            renderer.clear()
            text.set(**change)
            text.draw(renderer)
        return np.asarray(figure.canvas.buffer_rgba()).copy()

    last = {"text": "two\nlines", "ha": "right", "va": "bottom", "fontsize": 19}
    steps = [{"text": "first wording"}, {"text": "a longer second wording"}, {"text": "two\nlines"}, {"ha": "right"},
             {"va": "bottom"}, {"fontsize": 19}]
    assert np.array_equal(drawn(steps), drawn([last]))
    assert not np.array_equal(drawn(steps), drawn(steps[:-1]))
