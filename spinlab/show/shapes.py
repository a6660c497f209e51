"""What the pictures share: places measured in text heights, shapes as corner points, labels that keep apart.

Margins are given in em, the height of the look's text, so that one layout serves a projector, a sheet and a video.
"""

from __future__ import annotations

import numpy as np
from matplotlib.patches import Polygon
from matplotlib.text import Text

MOVES = "moves"
"""The gid of texts that change with the result."""


def place(figure, look, box, *, left=0.0, right=0.0, top=0.0, bottom=0.0, **options):
    """Axes inside a box (x0, y0, x1, y1 as shares of the figure), with margins in em."""
    across, up = look.text / look.width, look.text / look.height
    x0, y0, x1, y1 = box
    x0, x1, y0, y1 = x0 + left * across, x1 - right * across, y0 + bottom * up, y1 - top * up
    return figure.add_axes((x0, y0, x1 - x0, y1 - y0), **options)


def halves(look, share=0.5):
    """The figure cut in two boxes: side by side, or one above the other where it is upright; the first gets `share`."""
    if look.upright:
        return (0, 1 - share, 1, 1), (0, 0, 1, 1 - share)
    return (0, 0, share, 1), (share, 0, 1, 1)


def pixels(ax, look):
    """Width and height of an axes in the look's pixels."""
    at = ax.get_position(original=True)  # asking for the active place would mark the whole figure as changed
    return at.width * look.width, at.height * look.height


def to_scale(ax, look, *, x, y):
    """Make an axes true to scale: it shows at least the spans `x` and `y`, more of whichever there is room for.

    Spare width goes to both sides, spare height to the top.  Returns the data's length of one pixel.
    """
    wide, high = pixels(ax, look)
    unit = max((x[1] - x[0]) / wide, (y[1] - y[0]) / high)
    middle = 0.5 * (x[0] + x[1])
    ax.set_xlim(middle - 0.5 * wide * unit, middle + 0.5 * wide * unit)
    ax.set_ylim(y[0], y[0] + high * unit)
    return unit


def bare(ax):
    """An axes without frame, ticks or background."""
    ax.set_axis_off()
    return ax


def shape(ax, points=((0, 0), (0, 0)), **options):
    """A filled outline that moves; change it with ``set_xy``."""
    patch = Polygon(np.asarray(points, dtype=float), closed=True, **{"linewidth": 0} | options)
    return ax.add_patch(patch)


def between_curves(x, low, high):
    """Corner points of the area between two curves."""
    return np.column_stack([np.r_[x, x[::-1]], np.r_[low, high[::-1]]])


def arrow(start, end, *, width, head):
    """Corner points of an arrow; a short one keeps its shape and gets a smaller head."""
    start, end = np.asarray(start, dtype=float), np.asarray(end, dtype=float)
    along = end - start
    length = np.hypot(*along)
    if length < 1e-12:
        return np.repeat(start[None], 7, axis=0)
    along = along / length
    side = np.array([-along[1], along[0]])
    small = min(1.0, length / (1.6 * head))
    neck = end - along * head * small
    half, barb = 0.5 * width * side * small, 0.55 * head * side * small
    return np.array([start + half, neck + half, neck + barb, end, neck - barb, neck - half, start - half])


def keep_apart(values, gap, low=-np.inf, high=np.inf):
    """Places as near to `values` as can be with at least `gap` between neighbours and all within low … high."""
    values = np.asarray(values, dtype=float)
    order = np.argsort(values, kind="stable")
    at = np.clip(values[order], low, high)
    for _ in range(40):
        close = gap - np.diff(at)
        if not len(close) or close.max() < 1e-9 * max(abs(gap), 1e-30):
            break
        push = 0.5 * np.maximum(close, 0.0)
        at[:-1] -= push
        at[1:] += push
        at = np.clip(at, low + gap * np.arange(len(at)), high - gap * np.arange(len(at))[::-1])
    placed = np.empty_like(at)
    placed[order] = at
    return placed


def round_up(value, steps):
    """The first of the steps that holds the value; the last one if none does."""
    return next((step for step in steps if value <= step), steps[-1])


def label(ax, look, x=0.0, y=0.0, text="", *, small=False, quiet=False, **options):
    """A text that moves: `small` in the lesser size, `quiet` in muted ink."""
    size = look.points(look.small if small else look.text)
    options = {"fontsize": size, "color": look.muted if quiet else look.ink, "gid": MOVES} | options
    return ax.add_artist(Text(x, y, text, **{"transform": ax.transData, "clip_on": False} | options))


def first_up(words: str) -> str:
    """The words with a capital in front, the rest as it was."""
    return words[:1].upper() + words[1:]


def dress(line, look, meaning, **changes):
    """Give a line the colour, dash and outline of a meaning."""
    line.set(**look.line(meaning, **changes))


def dress_dots(artist, look, meaning):
    """Give dots the colour and shape of a meaning."""
    style = look.dots(meaning)
    artist.set(marker=style["marker"], color=style["color"], markeredgecolor=look.ink)


class Changed:
    """Remembers what stood; ``changed(key)`` is true when it is another.  Still parts are only touched then."""

    def __init__(self):
        self._last = object()

    def __call__(self, *key):
        other = key != self._last
        self._last = key
        return other
