"""The green from above, a lane for each way to play: every shot, the ellipse of two in three, and the ring asked about."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .draw_green import ellipse
from .easel import NO_GHOST, Changed, dress, first_up, label, pixels, place, round_up, shape

MOST = 3
_HALVES = (3, 5, 8, 12, 18, 26, 40, 60)
"""Half the height of the ground shown [m], in steps."""
_DOTS = 140
FEW = 100
"""Fewer shots of a way than this leave some four per cent of a chance open; then it is said in steps of five."""
_TURN = np.linspace(0, 2 * np.pi, 73)


@dataclass(frozen=True, kw_only=True)
class Lanes:
    """What `lanes_from_above` shows: up to three `repeats` of `spinlab.physics.ways`, a meaning for each, and how near the
    hole [m] is asked about."""

    repeats: tuple
    meanings: tuple[str, ...]
    within: float

    @property
    def rough(self) -> bool:
        """Are the shots so few that a chance is only known in coarse steps?"""
        return min(np.size(one.scatter.x) for one in self.repeats) < FEW


def lanes_from_above(look):
    """Where the shots of up to three ways finish, side by side, target line upwards, to one scale (`Lanes`)."""
    figure = look.figure()
    lanes = [_Lane(figure, look, i) for i in range(MOST)]
    new = Changed()

    def draw(result, units):
        shown = result.repeats[:MOST]
        wide, high = pixels(lanes[0].ax, look)
        half = round_up(max(_reach(one, wide / high) for one in shown), _HALVES)
        if new(half, units.name, len(shown)):
            for lane in lanes:
                lane.limits(half, wide / high, units)
        said = []
        for i, lane in enumerate(lanes):
            if i < len(shown):
                said.append(lane.show(shown[i], result.meanings[i], result, units))
        return " ".join(said) + " The ellipses hold about two shots of three, if the shots scatter like a bell."

    return figure, draw


class _Lane:
    """One way to play: its ground, shots, ellipse and words."""

    def __init__(self, figure, look, i):
        self.look, self.i = look, i
        first, gap = 4.0 * look.text / look.width, (1 - 5.0 * look.text / look.width) / MOST
        self.ax = place(figure, look, (first + i * gap, 0, first + (i + 1) * gap, 1), left=0.3, right=0.3,
                        top=5.4, bottom=3.1)
        self.ax.spines[["top", "right"]].set_visible(True)
        look.axes(self.ax, grid="both")
        if i:
            self.ax.tick_params(axis="y", labelleft=False, length=0)
        thin = look.points(0.4 * look.line_width)
        ink = {"animated": True, "gid": NO_GHOST}
        self.area = shape(self.ax, alpha=0.25, zorder=1)
        self.ring, = self.ax.plot([], [], color=look.ink, lw=1.5 * thin, ls=(0, (4, 3)), zorder=2, **ink)
        self.dots, = self.ax.plot([], [], zorder=3, alpha=0.75, **ink,
                                  **look.dots(i, size=2.0 * look.line_width, markeredgewidth=0.3 * thin))
        self.rim, = self.ax.plot([], [], zorder=6, animated=True, **look.line(i))
        size = look.points(2.6 * look.line_width)
        mark = {"marker": "o", "ms": size, "mfc": look.ink, "mec": look.paper, "mew": 1.5 * thin}
        self.ax.plot([0], [0], zorder=8, **mark, **ink)
        above = {"transform": self.ax.transAxes, "ha": "center"}
        em = look.text / pixels(self.ax, look)[1]
        self.name = label(self.ax, look, 0.5, 1 + 3.5 * em, fontweight="bold", small=look.upright, **above)
        self.near = label(self.ax, look, 0.5, 1 + 2.1 * em, small=True, **above)
        self.half = label(self.ax, look, 0.5, 1 + 0.75 * em, small=True, **above)

    def limits(self, half, shape_, units):
        """The same scale both ways and in every lane, the hole in the middle."""
        up = units.shown("distance", half)
        self.ax.set(xlim=(-up * shape_, up * shape_), ylim=(-up, up))
        self.ax.locator_params(axis="y", nbins=6)
        self.ax.locator_params(axis="x", nbins=4)
        if self.i == 0:
            self.ax.set_ylabel(f"short – long [{units.distance}]")
        if self.i == 1:
            self.ax.set_xlabel(f"left – right of the hole [{units.distance}]")

    def show(self, one, meaning, result, units):
        along, right = (units.shown("distance", v) for v in (one.scatter.x - one.hole, one.scatter.y))
        rim, sign = ellipse(along, right), self.look.dots(meaning)
        self.area.set(facecolor=self.look.colour(meaning))
        self.area.set_xy(rim)
        self.rim.set_data(*rim.T)
        dress(self.rim, self.look, meaning)
        self.dots.set(marker=sign["marker"], color=sign["color"], markeredgecolor=self.look.ink)
        self.dots.set_data(right[:_DOTS], along[:_DOTS])
        edge = units.shown("distance", result.within)
        self.ring.set_data(edge * np.cos(_TURN), edge * np.sin(_TURN))
        near, miss = said_chance(one.chance(result.within), result.rough), said_miss(one.miss, units, result.rough)
        ring = units.say("distance", result.within, 1)
        self.name.set_text(one.way.name)
        short = "in" if self.look.upright else "within"  # upright lanes are narrow
        self.near.set_text(f"{near} {short} {ring}".replace("about", "≈"))
        self.half.set_text(f"half {short} {miss}".replace("about", "≈"))
        return f"{first_up(one.way.name)}: {near} of the shots finish within {ring} of the hole, half of them within {miss}."


def said_chance(chance, rough) -> str:
    """A chance in per cent."""
    return f"about {round(20 * float(chance)) / 20:.0%}" if rough else f"{float(chance):.0%}"


def said_miss(miss, units, rough) -> str:
    """A distance from the hole, of few shots to half a metre or yard."""
    if not rough:
        return units.say("distance", miss, 1)
    return f"about {round(2 * units.shown('distance', miss)) / 2:.1f} {units.distance}"


def _reach(one, shape_):
    """Half the height that takes in 19 of 20 shots along the line and across."""
    along, right = (np.quantile(np.abs(v), 0.95) for v in (one.scatter.x - one.hole, one.scatter.y))
    return 1.1 * max(along, right / shape_)
