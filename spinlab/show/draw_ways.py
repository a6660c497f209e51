"""What spoils the distance of each way to play, and how often the ball finishes near the hole."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .draw_lanes import FEW, said_chance
from .easel import NO_GHOST, Changed, dress, first_up, halves, label, place, round_up

MOST = 3
_SPOILS = (0.5, 1, 2, 3, 5, 8, 12, 20)
_WITHINS = (2, 4, 6, 10, 16, 25)
_NAMES = {"head_speed": "head speed", "dynamic_loft": "loft", "attack_angle": "attack", "normal_offset": "strike height",
          "water": "water", "grass": "lie"}
"""Causes by their names in the engine, as people read them."""


@dataclass(frozen=True, kw_only=True)
class Spoiled:
    """What `spoiled_and_near` shows: `repeats` of `spinlab.physics.ways`, a meaning for each, and the distance from the hole
    [m] that is asked about."""

    repeats: tuple
    meanings: tuple[str, ...]
    within: float

    @property
    def rough(self) -> bool:
        """Are the shots so few that a chance is only known in coarse steps?"""
        return min(np.size(one.scatter.x) for one in self.repeats) < FEW


def spoiled_and_near(look):
    """What `Spoiled` holds: the spread along the line if only one cause scattered, and the chance to finish near."""
    figure = look.figure()
    left, right = halves(look, 0.5)
    spoils = place(figure, look, left, left=7.6, right=1.2, top=4.3, bottom=3.1)
    near = place(figure, look, right, left=4.6, right=1.4, top=2.4 if look.upright else 4.3, bottom=3.1)
    spoils.set_title("Spread if only this varied", fontweight="bold")
    near.set_title("Chance to finish near", fontweight="bold")
    look.axes(spoils, y=(len(_NAMES) - 0.4, -0.6), grid="x")
    spoils.spines[["left"]].set_visible(False)
    spoils.set_yticks(range(len(_NAMES)), _NAMES.values())
    spoils.tick_params(axis="y", length=0, pad=look.points(0.6 * look.text))
    look.axes(near, y=(0, 1.0), grid="both")
    near.set_yticks(np.linspace(0, 1, 6), [f"{p:.0%}" for p in np.linspace(0, 1, 6)])
    rows = np.arange(len(_NAMES))
    thin = look.points(0.45 * look.line_width)
    stems = [spoils.plot([], [], animated=True, gid=NO_GHOST, lw=thin, color=look.muted, zorder=2)[0] for _ in range(MOST)]
    dots = [spoils.plot([], [], animated=True, gid=NO_GHOST, clip_on=False, zorder=4, **look.dots(i))[0]
            for i in range(MOST)]
    curves = [near.plot([], [], animated=True, **look.line(i))[0] for i in range(MOST)]
    here, = near.plot([], [], animated=True, gid=NO_GHOST, color=look.muted, lw=thin)
    marks = [near.plot([], [], animated=True, gid=NO_GHOST, clip_on=False, zorder=5, **look.dots(i))[0] for i in range(MOST)]
    names = _Names(figure, look)
    new = Changed()

    def draw(result, units):
        shown = result.repeats[:MOST]
        most = round_up(1.05 * max(max(r.alone.values()) for r in shown), _SPOILS)
        far = round_up(max(1.15 * result.within, *(2.2 * r.miss for r in shown)), _WITHINS)
        if new(most, far, units.name):
            for ax, end, what in (spoils, most, "spread along the line"), (near, far, "distance from the hole"):
                ax.set_xlim(0, units.shown("distance", end))
                ax.set_xlabel(f"{what} [{units.distance}]")
                ax.locator_params(axis="x", nbins=5)
        radius = np.linspace(0, far, 41)
        edge = units.shown("distance", result.within)
        here.set_data([edge, edge], [0, 1])
        for i in range(MOST):
            for artist in (stems[i], dots[i], curves[i], marks[i]):
                artist.set_visible(i < len(shown))
            if i < len(shown):
                one, sign = shown[i], look.dots(result.meanings[i])
                spread = units.shown("distance", np.array([one.alone[name] for name in _NAMES]))
                at = rows + 0.22 * (i - (len(shown) - 1) / 2)
                stems[i].set_data(np.ravel([(0, v, np.nan) for v in spread]), np.repeat(at, 3))
                dots[i].set_data(np.minimum(spread, units.shown("distance", most)), at)
                curves[i].set_data(units.shown("distance", radius), one.chance(radius))
                dress(curves[i], look, result.meanings[i])
                marks[i].set_data([edge], [float(one.chance(result.within))])
                for dot in (dots[i], marks[i]):
                    dot.set(marker=sign["marker"], color=sign["color"], markeredgecolor=look.ink)
        names.show(shown, result.meanings)
        return _said(result, shown, units)

    return figure, draw


class _Names:
    """The ways with their signs, in one line above the pictures."""

    def __init__(self, figure, look):
        self.look = look
        top = (0, 1 - 2.2 * look.text / look.height, 1, 1)
        self.ax = place(figure, look, top, left=0.8, right=0.8, top=0.5, bottom=0.2)
        self.ax.set_axis_off()
        self.ax.set(xlim=(0, MOST), ylim=(0, 1))
        self.lines = [self.ax.plot([i + 0.02, i + 0.2], [0.5, 0.5], animated=True, gid=NO_GHOST, **look.line(i))[0]
                      for i in range(MOST)]
        self.dots = [self.ax.plot([i + 0.11], [0.5], animated=True, gid=NO_GHOST, **look.dots(i))[0] for i in range(MOST)]
        self.words = [label(self.ax, look, i + 0.25, 0.5, small=True, va="center", ha="left") for i in range(MOST)]

    def show(self, shown, meanings):
        for i, parts in enumerate(zip(self.lines, self.dots, self.words)):
            for artist in parts:
                artist.set_visible(i < len(shown))
            if i < len(shown):
                line, dot, word = parts
                dress(line, self.look, meanings[i])
                sign = self.look.dots(meanings[i])
                dot.set(marker=sign["marker"], color=sign["color"], markeredgecolor=self.look.ink)
                word.set_text(shown[i].way.name)


def _said(result, shown, units):
    within = units.say("distance", result.within, 1)
    parts = []
    for one in shown:
        first = one.ranking[0]
        near = said_chance(one.chance(result.within), result.rough)
        parts.append(f"{first_up(one.way.name)}: {near} finish within {within} of the hole; {_NAMES[first]} spoils the "
                     f"distance most, {units.say('distance', one.alone[first], 1)} by itself.")
    return " ".join(parts)
