"""What each way of cleaning leaves on the face, and the spin that follows."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..records import Between, Launch
from ..units import rpm
from .shapes import Changed, first_up, label, place, round_up, shape

MOST = 5


@dataclass(frozen=True, kw_only=True)
class Cleaned:
    """One way of cleaning: its name, what is left between face and ball, and the next launch."""

    name: str
    between: Between
    launch: Launch


@dataclass(frozen=True, kw_only=True)
class Cleanings:
    """What `ways_of_cleaning` shows: up to five ways, and the launch of a spotless, dry face."""

    ways: tuple[Cleaned, ...]
    spotless: Launch


def ways_of_cleaning(look):
    """Spin of the same swing after up to five ways of cleaning, with what each leaves behind (`Cleanings`)."""
    figure = look.figure()
    ax = place(figure, look, (0, 0, 1, 1), left=0.8, right=0.8, top=2.3, bottom=3.1)
    ax.spines[["left"]].set_visible(False)
    look.axes(ax, y=(MOST, 0), x_label="Spin of the same swing [rpm]", grid="x")
    ax.set_yticks([])
    ax.set_title("What each way of cleaning leaves", fontweight="bold")
    edge = {"edgecolor": look.ink, "linewidth": look.points(0.4 * look.line_width)}
    bars = [shape(ax, zorder=3, **edge) for _ in range(MOST)]
    told = [label(ax, look, 0, 0, small=True, ha="left", va="bottom", zorder=4) for _ in range(MOST)]
    ends = [label(ax, look, 0, 0, small=True, ha="left", va="center", zorder=4) for _ in range(MOST)]
    best, = ax.plot([], [], color=look.ink, lw=look.points(0.5 * look.line_width), ls=(0, (3, 2)), zorder=2)
    roomy = 1.75 if look.upright else 1.3
    top, gap = (0.5, ":\n") if look.upright else (0.36, ": ")
    new = Changed()

    def draw(result, units):
        clean = float(result.spotless.spin_rate) / rpm
        spins = [float(way.launch.spin_rate) / rpm for way in result.ways]
        reach = roomy * round_up(max(clean, *spins), (6500, 8000, 10000, 14000, 20000, 30000))
        if new(reach):
            ax.set_xlim(0, reach)
        heights = [(y + top, y + 0.86, np.nan) for y in (i * MOST / len(spins) for i in range(len(spins)))]
        best.set_data([clean] * 3 * len(spins), np.ravel(heights))
        for i, (bar, words, end) in enumerate(zip(bars, told, ends)):
            for artist in (bar, words, end):
                artist.set_visible(i < len(result.ways))
            if i < len(result.ways):
                way, y = result.ways[i], i * MOST / len(result.ways)
                bar.set_xy([(0, y + top), (spins[i], y + top), (spins[i], y + 0.86), (0, y + 0.86)])
                wet_or_soiled = "soil" if _soiled(way.between) else "wet"
                bar.set_facecolor(look.colour("dry" if spins[i] > 0.9 * clean else wet_or_soiled))
                words.set(position=(0, y + top - 0.03), text=f"{first_up(way.name)}{gap}{left_words(way.between, units)}")
                end.set_position((max(spins[i], clean) + 0.012 * reach, y + 0.5 * (top + 0.86)))
                end.set_text(f"{units.say('spin', way.launch.spin_rate)}, {units.say('angle', way.launch.launch_angle)}")
        return _said(result, units)

    return figure, draw


def _soiled(between):
    return float(between.soil_on_lands) + float(between.grass) > 0.15


def left_words(between, units) -> str:
    """What is left, in a few words: ``lands 60 %, grooves 80 %, water 20 µm``."""
    shares = (("lands", between.soil_on_lands), ("grooves", between.soil_in_grooves), ("grass", between.grass))
    parts = [f"{name} {units.say('share', float(share))}" for name, share in shares if float(share) >= 0.005]
    if float(between.water) > 0:
        parts.append(f"water {units.say('thickness', float(between.water))}")
    return ", ".join(parts) or "nothing left"


def _said(result, units):
    each = "; ".join(f"{way.name} ({left_words(way.between, units)}), {units.say('spin', way.launch.spin_rate)} at "
                     f"{units.say('angle', way.launch.launch_angle)}" for way in result.ways)
    spotless = units.say("spin", result.spotless.spin_rate)
    return f"The same swing after each way of cleaning: {each}. A spotless, dry face: {spotless}."
