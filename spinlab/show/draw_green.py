"""The green from above: where the shots of one to three ways to play finish, with the ellipse and the hole."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .shapes import Changed, dress, first_up, label, pixels, place, round_up, shape

MOST = 3
_HALVES = (3, 5, 8, 12, 18, 26, 40, 60)
"""Half the width of the ground shown [m], in steps."""
INSIDE = 2 / 3
"""Share of the shots that an ellipse holds if they scatter like a bell."""
_DOTS = 70


@dataclass(frozen=True, kw_only=True)
class Played:
    """Where the shots of one way to play finish [m], from the ball: `along` the line and to the `right` of it."""

    name: str
    meaning: str
    along: np.ndarray
    right: np.ndarray


@dataclass(frozen=True, kw_only=True)
class Pattern:
    """What `green_from_above` shows: up to three ways to play, and how far away the hole is [m]."""

    played: tuple[Played, ...]
    hole: float


def ellipse(along, right, inside=INSIDE, points=73):
    """Outline (right, along) that holds a share of the shots if they were normal.

    ``√(−2 ln(1 − share))`` standard deviations along both main axes: the radius of a plane normal distribution (computed).
    """
    at = np.array([right, along], dtype=float)
    values, vectors = np.linalg.eigh(np.cov(at))
    turn = np.linspace(0, 2 * np.pi, points)
    reach = np.sqrt(-2 * np.log(1 - inside) * np.maximum(values, 0.0))
    return (at.mean(axis=1)[:, None] + vectors @ (reach[:, None] * np.array([np.cos(turn), np.sin(turn)]))).T


def green_from_above(look):
    """Where the ball finishes round the hole, from above, target line upwards, with ellipses and misses (`Pattern`)."""
    figure = look.figure()
    em_x, em_y = look.text / look.width, look.text / look.height
    side = 0.0 if look.upright else 1 - 15.5 * em_x
    below = 8.6 * em_y if look.upright else 0.0
    ax = place(figure, look, (0, below, side or 1, 1), left=4.4, right=1.4, top=2.3, bottom=3.1)
    ax.set_title("Where the ball finishes, from above", fontweight="bold")
    look.axes(ax, grid="both")
    wide, high = pixels(ax, look)
    ax.spines[["top", "right"]].set_visible(True)
    thin = look.points(0.4 * look.line_width)
    areas = [shape(ax, alpha=0.25, zorder=1) for _ in range(MOST)]
    dots = [ax.plot([], [], zorder=2 + i, alpha=0.7,
                    **look.dots(i, size=2.0 * look.line_width, markeredgewidth=0.3 * thin))[0] for i in range(MOST)]
    rims = [ax.plot([], [], zorder=6, **look.line(i))[0] for i in range(MOST)]
    size = look.points(3.4 * look.line_width)
    mark = {"marker": "o", "ms": size, "mfc": look.ink, "mec": look.paper, "mew": 2 * thin}
    ax.plot([0], [0], zorder=8, **mark)
    ax.annotate("hole", (0, 0), xytext=(look.points(0.42 * wide), 0), textcoords="offset points", va="center", ha="right",
                zorder=0.5, fontsize=look.points(look.small),
                arrowprops={"arrowstyle": "-", "color": look.muted, "shrinkB": size})
    told = _Words(figure, look, side, below)
    new = Changed()

    def draw(result, units):
        played = result.played[:MOST]
        half = round_up(max(_reach(p, result.hole, wide / high) for p in played), _HALVES)
        if new(half, units.name):
            _limits(ax, half, wide, high, units)
        said = []
        for i in range(MOST):
            for artist in (areas[i], dots[i], rims[i]):
                artist.set_visible(i < len(played))
            if i < len(played):
                p = played[i]
                along, right = (units.shown("distance", np.asarray(v)) for v in (p.along - result.hole, p.right))
                rim = ellipse(along, right)
                areas[i].set(facecolor=look.colour(p.meaning))
                areas[i].set_xy(rim)
                rims[i].set_data(*rim.T)
                dress(rims[i], look, p.meaning)
                sign = look.dots(p.meaning)
                dots[i].set(marker=sign["marker"], color=sign["color"], markeredgecolor=look.ink)
                dots[i].set_data(right[:_DOTS], along[:_DOTS])
                said.append(_miss(p, result.hole, units))
        told.show(played, said)
        words = "{}: half of the shots finish within {} of the hole, and they spread {} along the line and {} across."
        told_all = [words.format(first_up(p.name), *s) for p, s in zip(played, said)]
        return " ".join(told_all) + " Each ellipse holds about two shots of three."

    return figure, draw


def _reach(played, hole, shape):
    """Half the shorter side of the picture that takes in 19 of 20 shots, the picture being `shape` times as wide as high."""
    along, right = (np.quantile(np.abs(v), 0.95) for v in (np.asarray(played.along) - hole, played.right))
    return 1.1 * max(along * min(shape, 1.0), right * min(1 / shape, 1.0))


def _limits(ax, half, wide, high, units):
    """The same scale both ways, the hole in the middle."""
    unit = 2 * units.shown("distance", half) / min(wide, high)
    ax.set(xlim=(-0.5 * wide * unit, 0.5 * wide * unit), ylim=(-0.5 * high * unit, 0.5 * high * unit))
    ax.locator_params(nbins=5)
    ax.set_xlabel(f"left – right [{units.distance}]")
    ax.set_ylabel(f"short – long [{units.distance}]")


class _Words:
    """Each way to play with its sign and its miss."""

    def __init__(self, figure, look, side, below):
        self.look = look
        box = (side, 0, 1, 1) if side else (0, 0, 1, below)
        self.ax = place(figure, look, box, left=0.6, right=0.4, top=2.3 if side else 0.3, bottom=3.1 if side else 0.4)
        self.ax.set_axis_off()
        self.ax.set(xlim=(0, 1), ylim=(MOST, 0))
        self.lines = [self.ax.plot([0.0, 0.14], [i + 0.2] * 2, **look.line(i))[0]
                      for i in range(MOST)]
        self.names = [label(self.ax, look, 0.18, i + 0.2, va="center", fontweight="bold", fontsize=look.points(look.small))
                      for i in range(MOST)]
        self.words = [label(self.ax, look, 0.0, i + 0.36, small=True, va="top", linespacing=1.25) for i in range(MOST)]
        self.beside = bool(side)

    def show(self, played, said):
        for i, parts in enumerate(zip(self.lines, self.names, self.words)):
            for artist in parts:
                artist.set_visible(i < len(played))
            if i < len(played):
                line, name, words = parts
                dress(line, self.look, played[i].meaning)
                name.set_text(played[i].name)
                gap = "\n" if self.beside else ", "
                words.set_text(f"half within {said[i][0]}{gap}spread {said[i][1]} × {said[i][2]}")


def _miss(played, hole, units):
    """The median distance to the hole, and one standard deviation along and across, in words."""
    middle = float(np.median(np.hypot(np.asarray(played.along) - hole, played.right)))
    return tuple(units.say("distance", v, 1) for v in (middle, np.std(played.along, ddof=1), np.std(played.right, ddof=1)))
