"""One carry with one wedge after the other: spin, how steeply the ball comes down, how far it runs."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..units import deg, rpm
from .shapes import Changed, dress, first_up, keep_apart, label, pixels, place, round_up

MOST = 3


@dataclass(frozen=True, kw_only=True)
class Wedges:
    """What `wedges_compared` shows: for each named state, spin [rad/s], descent angle [rad] and run-out [m] over the club's
    `loft` [rad], arrays [states, lofts]; `here` is the loft to point at."""

    loft: np.ndarray
    names: tuple[str, ...]
    meanings: tuple[str, ...]
    spin: np.ndarray
    descent: np.ndarray
    run_out: np.ndarray
    here: float

    def at(self, values, state):
        """One of the arrays at the loft pointed at."""
        return float(np.interp(self.here, self.loft, values[state]))


def wedges_compared(look):
    """Spin, descent angle and run-out against the club's loft for up to three states, all for one carry (`Wedges`)."""
    figure = look.figure()
    charts = [_Chart(figure, look, i) for i in range(3)]
    figure.text(0.8 * look.text / look.width, 1 - 1.6 * look.text / look.height, "The same carry with every wedge",
                fontweight="bold")

    def draw(result, units):
        run = units.shown("distance", result.run_out)
        far = round_up(np.max(run), (10, 20, 30, 45, 60, 100))
        charts[0].show(result, result.spin / rpm, "Spin [rpm]", (0, round_up(np.max(result.spin) / rpm, _SPINS)))
        charts[1].show(result, result.descent / deg, "Comes down at [°]", (15, 75))
        charts[2].show(result, run, f"Runs [{units.distance}]", (min(0, 5 * np.floor(np.min(run) / 5)), far))
        return _said(result, units)

    return figure, draw


_SPINS = (6000, 8000, 10000, 12000, 16000, 20000, 30000)


class _Chart:
    """One chart of three, side by side or one above the other; the last one carries the names."""

    def __init__(self, figure, look, i):
        upright = look.upright
        box = (0, 0.315 * (2 - i), 1, 0.315 * (3 - i) - 0.01) if upright else (i / 3.45, 0, (i + 1) / 3.45, 1)
        self.named = upright or i == 2
        room = {"left": 4.2, "right": 6.0, "top": 1.7, "bottom": 3.0 if i == 2 else 1.7} if upright else {
            "left": 3.9, "right": 0.1 if i < 2 else 0.0, "top": 4.0, "bottom": 3.1}
        self.ax, self.look, self.new = place(figure, look, box, **room), look, Changed()
        look.axes(self.ax)
        self.title = self.ax.set_title("", fontsize=look.points(look.small))
        if not upright or i == 2:
            self.ax.set_xlabel("Club's loft [°]")
        self.ax.locator_params(axis="y", nbins=4 if upright else 6)
        self.lines = [self.ax.plot([], [], **look.line(k))[0] for k in range(MOST)]
        self.dots = [self.ax.plot([], [], zorder=4, **look.dots(k))[0] for k in range(MOST)]
        self.here, = self.ax.plot([], [], color=look.muted, lw=look.points(0.4 * look.line_width), zorder=1)
        beside = {"ha": "left", "va": "center", "transform": self.ax.get_yaxis_transform()}
        self.tags = [label(self.ax, look, 1.03, 0, small=True, **beside) for _ in range(MOST)]

    def show(self, result, values, title, span):
        loft = result.loft / deg
        if self.new(title, span, loft[0], loft[-1]):
            self.ax.set(xlim=(loft[0], loft[-1]), ylim=span)
            self.ax.set_xticks([48, 54, 60] if loft[-1] <= 64 else np.linspace(loft[0], loft[-1], 4).round())
            self.title.set_text(title)
        self.here.set_data([result.here / deg] * 2, span)
        gap = 1.35 * self.look.small * (span[1] - span[0]) / pixels(self.ax, self.look)[1]
        inside = 0.5 * gap
        places = keep_apart([v[-1] for v in values], gap, span[0] + inside, span[1] - inside)
        for k, (line, dot, tag) in enumerate(zip(self.lines, self.dots, self.tags)):
            there = k < len(values)
            for artist in (line, dot):
                artist.set_visible(there)
            tag.set_visible(there and self.named)
            if there:
                dress(line, self.look, result.meanings[k])
                line.set_data(loft, values[k])
                signs = self.look.dots(result.meanings[k])
                dot.set(marker=signs["marker"], color=signs["color"], markeredgecolor=self.look.ink)
                dot.set_data([result.here / deg], [result.at(values, k)])
                tag.set(y=places[k], text=result.names[k])


def _said(result, units):
    told = []
    for k, name in enumerate(result.names):
        spin, fall = (result.at(v, k) for v in (result.spin, result.descent))
        run = result.at(result.run_out, k)
        ends = f"runs {units.say('distance', run, 1)}" if run >= 0 else f"comes back {units.say('distance', -run, 1)}"
        told.append(f"{first_up(name)}: {units.say('spin', spin)}, down at {units.say('angle', fall)}, {ends}.")
    return f"With a {units.say('angle', result.here)} wedge and the same carry – " + " ".join(told)
