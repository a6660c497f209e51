"""A picture in a frame: inside the safe area, with a title above and words below.

A builder knows nothing of it: it is given a look that is a little smaller, whose figure is a part of the whole one.
"""

from __future__ import annotations

from dataclasses import dataclass, field, fields

from matplotlib.figure import Figure
from matplotlib.font_manager import FontProperties, findfont
from matplotlib.gridspec import GridSpec
from matplotlib.text import Text
from PIL import ImageFont

from .picture import Picture
from .shapes import halves
from .style import Look

SAFE = {"wide": (0.05, 0.05, 0.05, 0.05), "tall": (0.05, 0.20, 0.05, 0.10)}
"""Shares of a picture kept free at the left, bottom, right and top, so that no screen cuts text off and no player's controls
cover it: 5 % all round; upright, 10 % above and 20 % below (common practice, no source)."""


def safe_area(look: Look) -> tuple[float, float, float, float]:
    """The box (x0, y0, x1, y1 as shares) that text stays within."""
    left, bottom, right, top = SAFE["tall" if look.upright else "wide"]
    return left, bottom, 1 - right, 1 - top


@dataclass(frozen=True, kw_only=True)
class Inset(Look):
    """A look whose figure is a part of another."""

    into: Figure | None = field(default=None, repr=False, compare=False)

    def figure(self, **options):
        """The part of the whole figure."""
        return self.into


def inset(look: Look, figure, box) -> Inset:
    """The look of a box (x0, y0, x1, y1 as shares) of a figure: same text and lines, less room."""
    x0, y0, x1, y1 = box
    grid = GridSpec(3, 3, figure=figure, left=0, right=1, bottom=0, top=1, wspace=0, hspace=0,
                    width_ratios=(x0, x1 - x0, 1 - x1), height_ratios=(1 - y1, y1 - y0, y0))
    part = figure.add_subfigure(grid[1, 1], facecolor="none")
    same = {f.name: getattr(look, f.name) for f in fields(Look)}
    room = {"width": look.width * (x1 - x0), "height": look.height * (y1 - y0)}
    return Inset(**same | room, into=part)


def stacked(*builds, share=0.5):
    """Two builders as one: side by side, or one above the other where it is upright.  It draws a pair of results."""
    def build(look):
        figure = look.figure()
        first, second = builds
        boxes = halves(look, share)
        draws = [one(inset(look, figure, box))[1] for one, box in zip((first, second), boxes)]

        def draw(results, units):
            return " ".join(one(result, units) for one, result in zip(draws, results))

        return figure, draw

    return build


def framed(build, *, title="", lines=0, said=None, foot=""):
    """A builder inside the safe area.

    Parameters
    ----------
    build : callable
        the builder of the picture
    title : str
        a line above it
    lines : int
        room for so many lines of small text below it
    said : callable, optional
        ``said(result, sentence) -> str``, the words put there; the sentence itself if left out
    foot : str
        a last line in muted ink: source, name
    """
    def whole(look):
        figure = look.figure()
        x0, y0, x1, y1 = safe_area(look)
        line = look.small / look.height
        if foot:
            text, size = fitted(foot, look, (x1 - x0) * look.width, 2.4 * look.small, 0.72 * look.small)
            figure.text(x0, y0, text, va="bottom", fontsize=look.points(size), color=look.muted, linespacing=1.2)
            y0 += 1.25 * size / look.height * (text.count("\n") + 1) + 0.3 * line
        if title:
            text, size = fitted(title, look, (x1 - x0) * look.width, 1.5 * look.text, 1.15 * look.text, bold=True)
            figure.text(x0, y1, text, va="top", fontsize=look.points(size), fontweight="bold")
            y1 -= 1.7 * look.text / look.height
        room = 1.3 * lines * line
        words = _words(figure, look, x0, y0 + room) if lines else None
        part = inset(look, figure, (x0, y0 + room + (0.4 * line if lines else 0), x1, y1))
        _, draw = build(part)

        def show(result, units):
            sentence = draw(result, units)
            if words is not None:
                below = said(result, sentence) if said else sentence
                text, size = fitted(below, look, (x1 - x0) * look.width, room * look.height, look.small)
                words.set(text=text, fontsize=look.points(size))
            return sentence

        return figure, show

    return whole


def smaller(look: Look, share=0.9) -> Look:
    """The same look with lesser text and lines, for what stands in a frame."""
    return look.but(text=share * look.text, small=share * look.small, line_width=share * look.line_width)


def framed_picture(build, look: Look, *, share=0.9, **frame) -> Picture:
    """A `Picture` of a builder in its frame (see `framed`)."""
    return Picture(framed(build, **frame), smaller(look, share))


def _words(figure, look, x, y):
    text = Text(x, y, "", fontsize=look.points(look.small), color=look.ink, va="top", ha="left",
                 linespacing=1.2, transform=figure.transSubfigure)
    return figure.add_artist(text)


# -- fitting text -----------------------------------------------------------------------------------------------------


def fitted(words: str, look: Look, width: float, height: float, size: float, *, bold=False) -> tuple[str, float]:
    """Words broken into lines that fit a box [px], and the size of text [px], smaller where it has to be; the end is left
    out only where even half the size does not fit."""
    for step in range(11):
        tried = size * (1 - 0.05 * step)
        rows = wrapped(words, width, tried, bold=bold)
        if 1.22 * tried * len(rows) <= height + 0.3 * tried:
            return "\n".join(rows), tried
    most = max(int(height / (1.22 * tried)), 1)
    return "\n".join([*rows[:most - 1], rows[most - 1] + " …"]), tried


def wrapped(words: str, width: float, size: float, *, bold=False) -> list[str]:
    """Words as lines no wider than `width` [px] at a text size [px]; a single long word may stick out."""
    face = findfont(FontProperties(family="DejaVu Sans", weight="bold" if bold else "normal"))
    # at its real size: letters set on whole pixels run a little wider
    font, rows = ImageFont.truetype(face, round(size, 2), layout_engine=ImageFont.Layout.BASIC), []
    for paragraph in words.split("\n"):
        row = ""
        for word in paragraph.split(" "):
            longer = f"{row} {word}" if row else word
            if row and 1.005 * font.getlength(longer) > width:
                rows.append(row)
                longer = word
            row = longer
        rows.append(row)
    return rows
