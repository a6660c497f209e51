"""Where shots stop on several greens, each with its band."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..physics.stopping import Stops
from .easel import NO_GHOST, Changed, dress, first_up, label, place, round_up

GREENS, SHOTS = 4, 2
_REACHES = (8, 12, 16, 24, 36, 55)


@dataclass(frozen=True, kw_only=True)
class Greens:
    """What `stops_on_greens` shows: the stops of up to two shots on up to four greens, their names and signs."""

    stops: Stops
    names: tuple[str, ...]
    meanings: tuple[str, ...]


def stops_on_greens(look):
    """Run from the pitch mark on up to four greens for up to two shots, with bands and first bounces (`Greens`)."""
    figure = look.figure()
    ax = place(figure, look, (0, 0, 1, 1), left=0.8, right=0.8, top=2.3, bottom=3.1)
    ax.spines[["left"]].set_visible(False)
    look.axes(ax, y=(GREENS * SHOTS, 0), grid="x")
    ax.set_yticks([])
    ax.set_title("From the pitch mark to rest", fontweight="bold")
    ax.axvline(0, color=look.muted, lw=look.points(0.5 * look.line_width))
    for i in range(1, GREENS):
        ax.axhline(i * SHOTS, color=look.grid, lw=look.points(0.4 * look.line_width))
    rows = [_Row(ax, look) for _ in range(GREENS * SHOTS)]
    new = Changed()

    def draw(result, units):
        band = result.stops.run_out
        reach = round_up(1.02 * max(np.max(band.high), np.max(result.stops.first_bounce)), _REACHES)
        back = -round_up(max(-1.05 * np.min(band.low), 0.015 * reach), (0.03 * reach, *_REACHES))
        reach, back = units.shown("distance", reach), units.shown("distance", back)
        if new(reach, back, units.name):
            ax.set_xlim(back, reach)
            ax.set_xlabel(f"Along the line of the shot [{units.distance}]")
        for i, row in enumerate(rows):
            green, shot = divmod(i, SHOTS)
            row.show(result, green, shot, i, units, (0.0 if back > -0.1 * reach else back) + 0.008 * (reach - back))
        return _said(result, units)

    return figure, draw


class _Row:
    """One shot on one green: words above, below them the way with the first bounce and the band of the stop."""

    def __init__(self, ax, look):
        self.look = look
        self.band, = ax.plot([], [], animated=True, gid=NO_GHOST, color=look.muted, solid_capstyle="butt",
                             lw=look.points(2.6 * look.line_width), alpha=0.35, zorder=1)
        self.way, = ax.plot([], [], animated=True, zorder=3, **look.line(0))
        self.hop, = ax.plot([], [], animated=True, gid=NO_GHOST, zorder=4, **look.dots(0, size=2.6 * look.line_width))
        self.stop, = ax.plot([], [], animated=True, gid=NO_GHOST, zorder=5, **look.dots(0))
        self.told = label(ax, look, 0, 0, small=True, ha="left", va="bottom", zorder=6)

    def show(self, result, green, shot, row, units, x):
        band, there = result.stops.run_out, shot < len(result.names) and green < len(result.stops.greens)
        for artist in (self.band, self.way, self.hop, self.stop, self.told):
            artist.set_visible(there)
        if not there:
            return
        low, mid, high, first = (units.shown("distance", float(v[green, shot])) for v in
                                 (band.low, band.mid, band.high, result.stops.first_bounce))
        y, signs = row + 0.72, self.look.dots(result.meanings[shot])
        dress(self.way, self.look, result.meanings[shot])
        self.band.set_data([low, high], [y, y])
        self.way.set_data([0, mid], [y, y])
        self.hop.set_data([first], [y])
        self.stop.set_data([mid], [y])
        for dot, fill in ((self.hop, self.look.paper), (self.stop, signs["color"])):
            dot.set(marker=signs["marker"], markerfacecolor=fill, markeredgecolor=self.look.ink)
        words = f"{result.stops.greens[green]}, {result.names[shot]}: {run_words(low, mid, high, units)}"
        self.told.set(position=(x, row + 0.50), text=first_up(words))


def run_words(low, mid, high, units) -> str:
    """``runs 5.0 m (3 to 7)`` or ``comes back 1.2 m (−3 to 1)``, all in the shown unit."""
    told = f"runs {mid:.1f}" if mid > -0.05 else f"comes back {-mid:.1f}"
    low, high = (f"{v:.0f}".replace("-", "−") if abs(v) >= 0.5 else "0" for v in (low, high))
    return f"{told} {units.distance} ({low} to {high})"


def _said(result, units):
    band, told = result.stops.run_out, []
    ends = band.low, band.mid, band.high
    for i, green in enumerate(result.stops.greens):
        each = [f"{name} {run_words(*(units.shown('distance', float(v[i, k])) for v in ends), units)}"
                for k, name in enumerate(result.names)]
        told.append(f"{green}: {', '.join(each)}")
    kept = [units.say("spin", max(float(v), 0.0)) for v in result.stops.spin_after_first[0]]
    after = " and ".join(f"{spin} ({name})" for spin, name in zip(kept, result.names))
    return (f"Run from the pitch mark – {'; '.join(told)}. Backspin left after the first bounce on the "
            f"{result.stops.greens[0]} green: {after}.")
