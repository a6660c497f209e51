"""What the pictures share: places measured in text heights, shapes as corner points, labels that keep apart.

Margins are given in em, the height of the look's text, so that one layout serves a projector, a sheet and a video.
"""

from __future__ import annotations

import threading
from typing import ClassVar

import numpy as np
from matplotlib.backends.backend_agg import RendererAgg
from matplotlib.colors import to_rgb
from matplotlib.patches import Polygon
from matplotlib.text import Text
from matplotlib.transforms import Affine2D

NO_GHOST = "no ghost"
"""The gid of a line that "keep this curve" leaves out."""
_SHEETS = threading.local()
"""For each thread the sheet its texts are set on: pictures may be made in the background."""


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
    patch = Polygon(np.asarray(points, dtype=float), closed=True, **{"animated": True, "linewidth": 0} | options)
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


class Stamp(Text):
    """A level text that keeps its pixels: setting a text costs several times what everything else that moves does.

    Vector pictures and texts that leave the picture are set in the usual way.
    """

    _kept: ClassVar[dict] = {}
    _MOST = 600
    _laid = None, None

    def _get_layout(self, renderer):
        """As Matplotlib's own, which is asked twice: for the room a text takes, and to set it."""
        if not isinstance(renderer, RendererAgg):
            return super()._get_layout(renderer)
        style = self._style(renderer)
        if self._laid[0] != style:
            self._laid = style, super()._get_layout(renderer)
        return self._laid[1]

    def _style(self, renderer):
        return (self.get_text(), self.get_fontsize(), self.get_fontweight(), self.get_color(), self.get_ha(), self.get_va(),
                self._linespacing, self.get_rotation(), renderer.dpi)

    def draw(self, renderer):
        if not (self.get_visible() and self.get_text()):
            return
        kept = self._pixels(renderer) if isinstance(renderer, RendererAgg) and not self.get_rotation() else None
        if kept is None:
            super().draw(renderer)
            return
        pixels, right, up = kept
        x, y = self.get_transform().transform(self.get_unitless_position())
        graphics = renderer.new_gc()
        renderer.draw_image(graphics, round(x) + right, round(y) + up, pixels)
        graphics.restore()

    def _pixels(self, renderer):
        """The text's pixels and where they lie from its place, set once for each wording and style."""
        style = self._style(renderer)
        if style not in self._kept:
            box = self.get_window_extent(renderer).padded(3)
            left, low, right, high = (int(edge) for edge in (*np.floor(box.min), *np.ceil(box.max)))
            if left < 0 or low < 0 or right > renderer.width or high > renderer.height:
                return None
            sheet, place = _sheet(renderer, right - left, high - low), self.get_transform()
            sheet.clear()
            self.set_transform(place + Affine2D().translate(-left, -low))
            super().draw(sheet)
            self.set_transform(place)
            # images are counted from below
            pixels = np.asarray(sheet.buffer_rgba())[::-1][:high - low, :right - left].copy()
            pixels[..., :3] = np.round(255 * np.array(to_rgb(self.get_color())))  # the sheet's white stays out
            x, y = self.get_transform().transform(self.get_unitless_position())
            while len(self._kept) >= self._MOST:
                self._kept.pop(next(iter(self._kept)))
            self._kept[style] = pixels, left - round(x), low - round(y)
        return self._kept[style]


def _sheet(renderer, width, height):
    """A sheet of a renderer's kind, at least so large, to set a text on: small and kept, because a new one is dear."""
    kept = getattr(_SHEETS, "kept", None)
    if type(kept) is not type(renderer) or kept.dpi != renderer.dpi:
        kept = None
    if kept is None or kept.width < width or kept.height < height:
        wide, high = (max(width, kept.width), max(height, kept.height)) if kept else (width, height)
        _SHEETS.kept = kept = type(renderer)(int(wide), int(high), renderer.dpi)
    return kept


def label(ax, look, x=0.0, y=0.0, text="", *, small=False, quiet=False, **options):
    """A text that moves: `small` in the lesser size, `quiet` in muted ink."""
    size = look.points(look.small if small else look.text)
    options = {"fontsize": size, "color": look.muted if quiet else look.ink, "animated": True} | options
    return ax.add_artist(Stamp(x, y, text, **{"transform": ax.transData, "clip_on": False} | options))


def first_up(words: str) -> str:
    """The words with a capital in front, the rest as it was."""
    return words[:1].upper() + words[1:]


def dress(line, look, meaning, **changes):
    """Give a line the colour, dash and outline of a meaning."""
    line.set(**look.line(meaning, **changes))


class Changed:
    """Remembers what stood; ``changed(key)`` is true when it is another.  Still parts are only touched then."""

    def __init__(self):
        self._last = object()

    def __call__(self, *key):
        other = key != self._last
        self._last = key
        return other
