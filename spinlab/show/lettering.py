"""Lettering that keeps up with a slider.

Text is the dear part of drawing a step: Matplotlib lays out and renders every glyph anew, about 3 ms a label.  Here the
words of plain upright text are rendered by Pillow and remembered, and lines are put together from them: where a number
moves, most words stay.  Letters stand on whole pixels, so this gives the pixels of the line rendered at once.  Anything else
(formulas, slanted text) is left to Matplotlib.
Both the still and the moving part of a picture use it, so that they look alike.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from matplotlib.backends.backend_agg import FigureCanvasAgg, RendererAgg
from matplotlib.font_manager import findfont
from PIL import Image, ImageDraw, ImageFont


@lru_cache(maxsize=32)
def _font(path: str, size: float):
    return ImageFont.truetype(path, size, layout_engine=ImageFont.Layout.BASIC)


@lru_cache(maxsize=4000)
def _word(word: str, path: str, size: float):
    """Coverage of each pixel [0 … 255]; where its left, top and bottom edges lie from the start of the baseline, and how far
    the next letter lies [px]."""
    font = _font(path, size)
    left, top, right, bottom = (int(edge) for edge in font.getbbox(word, anchor="ls"))
    image = Image.new("L", (max(right - left, 1), max(bottom - top, 1)))
    ImageDraw.Draw(image).text((-left, -top), word, font=font, fill=255, anchor="ls")
    return np.array(image), left, top, bottom, round(font.getlength(word))


@lru_cache(maxsize=2000)
def _line(text: str, path: str, size: float):
    """The words of a line, each with where it begins; its width, top and bottom [px]."""
    space = round(_font(path, size).getlength(" "))
    placed, at = [], 0
    for word in text.split(" "):
        if word:
            placed.append((at, *_word(word, path, size)))
            at += placed[-1][-1]
        at += space
    return placed, at - space, min(part[3] for part in placed), max(part[4] for part in placed)


@lru_cache(maxsize=400)
def _written(text: str, path: str, size: float):
    """Coverage of each pixel of a line [0 … 255], and where its left and bottom edges lie from the start of the baseline
    [px]."""
    placed, _, top, bottom = _line(text, path, size)
    left = min(at + first for at, _, first, *_ in placed)
    right = max(at + first + image.shape[1] for at, image, first, *_ in placed)
    whole = np.zeros((max(bottom - top, 1), right - left), dtype=np.uint8)
    for at, image, first, above, *_ in placed:
        x, y = at + first - left, above - top
        whole[y:y + image.shape[0], x:x + image.shape[1]] |= image
    return whole, left, top + whole.shape[0]


def _measured(text: str, path: str, size: float):
    """Width, height and depth below the baseline [px]."""
    _, width, top, bottom = _line(text, path, size)
    return width, bottom - top, bottom


class Renderer(RendererAgg):
    """Agg, with plain upright text put together from words."""

    def _size(self, prop):
        return round(prop.get_size_in_points() * self.dpi / 72, 2)

    def draw_text(self, gc, x, y, s, prop, angle, ismath=False, mtext=None):
        """Draw text with its baseline starting at x, y [px, down]."""
        if ismath or angle or not s.strip():
            super().draw_text(gc, x, y, s, prop, angle, ismath, mtext)
            return
        image, left, bottom = _written(s, findfont(prop), self._size(prop))
        self._renderer.draw_text_image(image, round(x) + left, round(y) + bottom, 0, gc)

    def get_text_width_height_descent(self, s, prop, ismath):
        """Width, height and depth below the baseline [px]."""
        if ismath or not s.strip():
            return super().get_text_width_height_descent(s, prop, ismath)
        return _measured(s, findfont(prop), self._size(prop))


class Canvas(FigureCanvasAgg):
    """The Agg canvas with our lettering."""

    def get_renderer(self):
        """The renderer of the figure's present size."""
        if not isinstance(super().get_renderer(), Renderer):
            self.renderer = Renderer(*self.figure.bbox.size, self.figure.dpi)
        return self.renderer
