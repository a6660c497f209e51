"""A small picture of one model: the curve that its equation draws."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .shapes import Changed, between_curves, dress, keep_apart, label, pixels, place, shape

MOST = 4


@dataclass(frozen=True, kw_only=True)
class Traced:
    """One line of a `Model`'s curve, in the units of its axes; `low` and `high` are its band where it has one."""

    name: str
    y: np.ndarray
    low: np.ndarray | None = None
    high: np.ndarray | None = None


@dataclass(frozen=True, kw_only=True)
class Trace:
    """What `model_curve` shows: up to four lines over `x`, the words on the axes (with units), a level to hold them
    against (`mark`, its name and height), and the sentence that says what is seen."""

    x: np.ndarray
    lines: tuple[Traced, ...]
    across: str
    up: str
    said: str
    mark: tuple[str, float] | None = None
    log: bool = False


def model_curve(look):
    """The curve of a model (`Trace`): lines named at their right ends, bands shaded."""
    figure = look.figure()
    ax = place(figure, look, (0, 0, 1, 1), left=4.8, right=8.0, top=1.0, bottom=3.2)
    look.axes(ax)
    bands = [shape(ax, alpha=0.22, zorder=1) for _ in range(MOST)]
    lines = [ax.plot([], [], zorder=3, **look.line(i))[0] for i in range(MOST)]
    tags = [label(ax, look, 1.02, 0, small=True, ha="left", va="center", transform=ax.transAxes) for _ in range(MOST)]
    level, = ax.plot([], [], color=look.ink, lw=look.points(0.5 * look.line_width), linestyle=(0, (1, 1.5)),
                     zorder=2)
    named = label(ax, look, 1.02, 0, small=True, quiet=True, ha="left", va="center", transform=ax.transAxes)
    new = Changed()

    def draw(result, units):
        low, top = _span(result)
        if new(result.across, result.up, low, top):
            ax.set_yscale("linear")
            ax.set(xlim=(result.x[0], result.x[-1]), ylim=(low, top), xlabel=result.across, ylabel=result.up)
            if result.log:  # only now: a scale of powers has no nought
                ax.set_yscale("log")
                ax.yaxis.set_major_formatter("{x:g}")
        shown = result.lines[:MOST]
        _ends(ax, look, result, shown, [*tags[:len(shown)], *([named] if result.mark else [])])
        for i in range(MOST):
            for artist in (bands[i], lines[i], tags[i]):
                artist.set_visible(i < len(shown))
            if i < len(shown):
                _one(look, i, shown[i], result.x, bands[i], lines[i], tags[i])
        for artist in (level, named):
            artist.set_visible(result.mark is not None)
        if result.mark:
            level.set_data(result.x[[0, -1]], [result.mark[1]] * 2)
            named.set_text(result.mark[0])
        return result.said

    return figure, draw


def _span(result):
    """Lowest and highest value that the picture holds."""
    parts = [part for line in result.lines for part in (line.y, line.low, line.high) if part is not None]
    parts += [np.array(result.mark[1:])] if result.mark else []
    low, top = min(np.nanmin(p) for p in parts), max(np.nanmax(p) for p in parts)
    if result.log:
        return low / 1.5, top * 1.3
    return min(1.08 * low, 0.0), 1.08 * top


def _ends(ax, look, result, shown, tags):
    """Put the names beside the ends of their lines, a line of text apart."""
    heights = [line.y[-1] for line in shown] + ([result.mark[1]] if result.mark else [])
    to_axes = ax.transData + ax.transAxes.inverted()
    at = [to_axes.transform((result.x[-1], y))[1] for y in heights]
    for tag, y in zip(tags, keep_apart(at, 1.25 * look.small / pixels(ax, look)[1], 0.02, 0.98)):
        tag.set_y(y)


def _one(look, i, line, x, band, drawn, tag):
    dress(drawn, look, i)
    drawn.set_data(x, line.y)
    tag.set_text(line.name)
    band.set_visible(line.low is not None)
    if line.low is not None:
        band.set(facecolor=look.colour(i))
        band.set_xy(between_curves(x, line.low, line.high))
