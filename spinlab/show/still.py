"""A picture that stands still in a lesson, with its sentence as the words for those who do not see it."""

from __future__ import annotations

import html
import io
from contextlib import contextmanager
from functools import lru_cache

from .pack import data_uri
from .picture import Picture
from .style import look

_SHARP = 1.8
"""Pixels for each one that it takes up: sharp on a projector, still small."""


_THEMES = ["light"]


@contextmanager
def in_both_themes():
    """Pictures are drawn light and dark, for a page that shows the one that fits."""
    _THEMES.append("dark")
    try:
        yield
    finally:
        _THEMES.remove("dark")


@lru_cache(maxsize=4)
def _sheet(build, width, height, theme) -> Picture:
    """One figure for all pictures of a kind and size; laying it out is the dear part."""
    sheet = Picture(build, look("page", theme).but(width=width, height=height, text=15, small=14))
    sheet.scale(_SHARP * width)
    return sheet


def drawn(build, result, *, width=640, height=320) -> tuple[str, str]:
    """A result drawn by a builder: markup that holds the picture itself, and its sentence.

    A lesson has it where no kernel runs any more, and nothing is fetched for it.
    """
    # in the measure of the text around it, so that it grows with the text on a projector
    size = f'width="{width}" height="{height}" style="width: {width / 16:g}rem; max-width: 100%; height: auto"'
    markup = ""
    for theme in _THEMES:
        sheet = _sheet(build, width, height, theme)
        said = sheet.show(result)
        markup += f'<img class="still {theme}" src="{_png(sheet.pixels)}" alt="{html.escape(said)}" {size}>'
    return markup, said


def _png(pixels):
    from PIL import Image

    file = io.BytesIO()
    Image.fromarray(pixels).convert("RGB").quantize(96).save(file, "png")
    return data_uri("image/png", file.getvalue())
