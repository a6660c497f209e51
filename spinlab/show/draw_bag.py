"""Which club for a distance: every wedge of a bag as a carry and a run to the same hole."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..units import deg
from .easel import NO_GHOST, Changed, first_up, label, place, round_up, shape

MOST = 4
_DISTANCES = (20, 30, 40, 60, 80, 120)
_ARC = np.linspace(0, 1, 25)


@dataclass(frozen=True, kw_only=True)
class Clubs:
    """For `clubs_to_the_hole`: the `choices` of `spinlab.evidence.clubs.choose`, best first, and the `distance` [m]."""

    choices: tuple
    distance: float


def clubs_to_the_hole(look):
    """Each wedge's flight and run to the hole, the one that stops soonest on top; the thin bar is the doubt (`Clubs`)."""
    figure = look.figure()
    ax = place(figure, look, (0, 0, 1, 1), left=1.0, right=1.6, top=2.3, bottom=3.1)
    ax.spines[["left"]].set_visible(False)
    look.axes(ax, y=(0, MOST), grid="x")
    ax.set_yticks([])
    ax.set_title("The same hole with every wedge", fontweight="bold")
    ink = {"animated": True, "gid": NO_GHOST}
    pin, = ax.plot([], [], color=look.muted, lw=look.points(0.5 * look.line_width), ls=(0, (2, 2)), zorder=1, **ink)
    flights = [ax.plot([], [], animated=True, zorder=3, **look.line("dry"))[0] for _ in range(MOST)]
    edge = {"edgecolor": look.ink, "linewidth": look.points(0.3 * look.line_width)}
    runs = [shape(ax, facecolor=look.colour("grass"), zorder=3, **edge) for _ in range(MOST)]
    doubts = [ax.plot([], [], color=look.ink, lw=look.points(0.6 * look.line_width), marker="|", zorder=4,
                      ms=look.points(2.6 * look.line_width), **ink)[0] for _ in range(MOST)]
    names = [label(ax, look, va="bottom", fontweight="bold", fontsize=look.points(look.small)) for _ in range(MOST)]
    words = [label(ax, look, small=True, va="bottom", quiet=True) for _ in range(MOST)]
    new = Changed()

    def draw(result, units):
        choices = result.choices[:MOST]
        far = round_up(1.25 * result.distance, _DISTANCES)
        if new(far, units.name, len(choices)):
            ax.set(xlim=(-0.02 * units.shown("distance", far), units.shown("distance", far)), ylim=(-0.25, len(choices)))
            ax.set_xlabel(f"from the ball [{units.distance}]")
        hole = units.shown("distance", result.distance)
        pin.set_data([hole, hole], [-0.25, len(choices)])
        said = []
        for i in range(MOST):
            parts = flights[i], runs[i], doubts[i], names[i], words[i]
            for artist in parts:
                artist.set_visible(i < len(choices))
            if i < len(choices):
                said.append(_row(parts, choices[i], len(choices) - 1 - i, hole, units, look.upright))
        return " ".join(said) + " Run-outs are known to within half as much again."

    return figure, draw


def _row(parts, choice, base, hole, units, upright):
    """One wedge: its flight as an arc (not to scale), its run as a bar, the doubt as a thin line, and the words."""
    flight, run, doubt, name, words = parts
    wedge = f"{choice.wedge.name}, {choice.wedge.loft / deg:.0f}°"
    for artist in (flight, run, doubt):
        artist.set_visible(choice.reaches)
    name.set(position=(0, base + 0.62), text=wedge)
    if not choice.reaches:
        words.set(position=(0, base + 0.2), text="does not reach")
        return f"{first_up(wedge)}: does not reach."
    pitched, out = hole - units.shown("distance", choice.run_out), units.shown("distance", choice.run_out)
    height = 0.45 * np.tan(min(choice.descent_angle, 65 * deg)) / np.tan(65 * deg)
    flight.set_data(pitched * _ARC, base + 4 * height * _ARC * (1 - _ARC))
    run.set_xy([(pitched, base - 0.05), (hole, base - 0.05), (hole, base + 0.05), (pitched, base + 0.05)])
    doubt.set_data([hole - 0.5 * out, hole + 0.5 * out], [base, base])
    swing, carry = f"{choice.swing:.0%} swing", units.say("distance", choice.carry)
    ran = units.say("distance", choice.run_out)
    down = units.say("angle", choice.descent_angle)
    told = f"{swing}, lands at {down}, runs {ran}"
    words.set(position=(0 if upright else 0.28 * hole, base + (0.44 if upright else 0.62)), text=told)
    return f"{first_up(wedge)}: {swing}, carries {carry}, comes down at {down} and runs out {ran}."
