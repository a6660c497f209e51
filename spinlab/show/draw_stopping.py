"""Where shots stop on several greens, each with its band."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..physics.stopping import Stops
from .shapes import Changed, dress, first_up, label, place, round_up

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
    rows = _Rows(ax, look)
    new = Changed()

    def draw(result, units):
        band = result.stops.run_out
        reach = round_up(1.02 * max(np.max(band.high), np.max(result.stops.first_bounce)), _REACHES)
        back = -round_up(max(-1.05 * np.min(band.low), 0.015 * reach), (0.03 * reach, *_REACHES))
        reach, back = units.shown("distance", reach), units.shown("distance", back)
        if new(reach, back, units.name):
            ax.set_xlim(back, reach)
            ax.set_xlabel(f"Along the line of the shot [{units.distance}]")
        rows.show(result, units, (0.0 if back > -0.1 * reach else back) + 0.008 * (reach - back))
        return _said(result, units)

    return figure, draw


class _Rows:
    """One row for each shot on each green: words above, below them the way with the first bounce and the band of the stop.
    What looks alike in all rows is one artist, for each costs as much to draw however much it holds."""

    def __init__(self, ax, look):
        self.look, width = look, look.line_width
        self.bands, = ax.plot([], [], color=look.muted, solid_capstyle="butt",
                              lw=look.points(2.6 * width), alpha=0.35, zorder=1)
        self.ways = [ax.plot([], [], zorder=3, **look.line(i))[0] for i in range(SHOTS)]
        self.hops = [ax.plot([], [], zorder=4, **look.dots(i, size=2.6 * width))[0]
                     for i in range(SHOTS)]
        self.stops = [ax.plot([], [], zorder=5, **look.dots(i))[0] for i in range(SHOTS)]
        self.told = [label(ax, look, 0, 0, small=True, ha="left", va="bottom", zorder=6) for _ in range(GREENS * SHOTS)]

    def show(self, result, units, x):
        greens, shots = min(len(result.stops.greens), GREENS), min(len(result.names), SHOTS)
        band = result.stops.run_out
        low, mid, high, first = (units.shown("distance", np.asarray(v, dtype=float)) for v in
                                 (band.low, band.mid, band.high, result.stops.first_bounce))
        y = np.arange(greens)[:, None] * SHOTS + np.arange(shots) + 0.72
        here = slice(greens), slice(shots)
        self.bands.set_data(_strokes(low[here], high[here]), np.repeat(y.ravel(), 3))
        for shot, parts in enumerate(zip(self.ways, self.hops, self.stops)):
            for artist in parts:
                artist.set_visible(shot < shots)
            if shot >= shots:
                continue
            (way, hop, stop), signs = parts, self.look.dots(result.meanings[shot])
            dress(way, self.look, result.meanings[shot])
            way.set_data(_strokes(np.zeros(greens), mid[:greens, shot]), np.repeat(y[:, shot], 3))
            hop.set_data(first[:greens, shot], y[:, shot])
            stop.set_data(mid[:greens, shot], y[:, shot])
            for dot, fill in ((hop, self.look.paper), (stop, signs["color"])):
                dot.set(marker=signs["marker"], markerfacecolor=fill, markeredgecolor=self.look.ink)
        for row, told in enumerate(self.told):
            green, shot = divmod(row, SHOTS)
            told.set_visible(green < greens and shot < shots)
            if told.get_visible():
                whose = first_up(f"{result.stops.greens[green]}, {result.names[shot]}")
                run = run_words(*(v[green, shot] for v in (low, mid, high)), units)
                told.set(position=(x, row + 0.50), text=f"{whose}: {run}")


def _strokes(start, end):
    """Separate strokes as one line: each from its start to its end, and a gap."""
    return np.column_stack([np.ravel(start), np.ravel(end), np.full(np.size(end), np.nan)]).ravel()


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
