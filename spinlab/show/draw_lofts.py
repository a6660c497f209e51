"""Spin against loft, with its peak and bands."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..units import rpm
from .draw_difference import meanings
from .shapes import Changed, between_curves, dress, dress_dots, keep_apart, label, pixels, place, round_up, shape

MOST = 4
_SPINS = (6000, 8000, 10000, 12000, 16000, 20000, 30000)


@dataclass(frozen=True, kw_only=True)
class Curve:
    """Spin [rad/s] of one state over all lofts, with the band's `low` and `high` where there is one."""

    name: str
    meaning: str
    spin: np.ndarray
    low: np.ndarray | None = None
    high: np.ndarray | None = None


@dataclass(frozen=True, kw_only=True)
class Curves:
    """What `spin_against_loft` shows: curves over `loft` [rad], what kind of loft that is, and where the player is now."""

    loft: np.ndarray
    curves: tuple[Curve, ...]
    what: str = "Spin loft"
    here: float | None = None


def curves_of(lofts, *, bands=None, here=None) -> Curves:
    """A sweep of the club's loft (`spinlab.physics.lofts.Lofts`) ready to be drawn.

    `bands` holds (low, high) arrays [rad/s] by the state's name, `here` the loft to point at [rad].
    """
    signs, bands = meanings(lofts.states), bands or {}
    curves = []
    for i, (name, sign) in enumerate(zip(lofts.states, signs)):
        low, high = bands.get(name, (None, None))
        curves.append(Curve(name=name, meaning=sign, spin=np.asarray(lofts.spin_rate[i]), low=low, high=high))
    return Curves(loft=np.asarray(lofts.loft), curves=tuple(curves), what="Club's loft", here=here)


def spin_against_loft(look):
    """Spin over loft for up to four states of friction, peaks marked, bands shaded (`Curves`)."""
    figure = look.figure()
    ax = place(figure, look, (0, 0, 1, 1), left=5.2, right=6.4 if look.upright else 8.0, top=2.3, bottom=3.1)
    look.axes(ax)
    ax.set_title("Loft adds spin, to a point", fontweight="bold")
    bands = [shape(ax, alpha=0.22, zorder=1) for _ in range(MOST)]
    lines = [ax.plot([], [], zorder=3, **look.line(i))[0] for i in range(MOST)]
    peaks = [ax.plot([], [], zorder=4, **look.dots(i, size=4.4 * look.line_width))[0]
             for i in range(MOST)]
    here, = ax.plot([], [], color=look.muted, lw=look.points(0.5 * look.line_width), zorder=2)
    now = label(ax, look, 0, 0.99, " now", small=True, quiet=True, ha="left", va="top", transform=ax.get_xaxis_transform())
    beside = {"ha": "left", "va": "center", "transform": ax.get_yaxis_transform()}
    tags = [label(ax, look, 1.015, 0, small=True, **beside) for _ in range(MOST)]
    new = Changed()

    def draw(result, units):
        curves = result.curves[:MOST]
        loft = np.asarray(units.shown("angle", result.loft), dtype=float)
        most = max(np.max(c.spin if c.high is None else c.high) for c in curves) / rpm
        top = round_up(1.03 * most, _SPINS)
        if new(top, result.what, loft[0], loft[-1]):
            ax.set(xlim=(loft[0], loft[-1]), ylim=(0, top))
            ax.set(xlabel=f"{result.what} [{units.angle}]", ylabel=f"Spin [{units.spin}]")
        gap = 2.7 * look.small * top / pixels(ax, look)[1]
        at = keep_apart([c.spin[-1] / rpm for c in curves], gap, 0.04 * top, 0.96 * top)
        for i in range(MOST):
            for artist in (bands[i], lines[i], peaks[i], tags[i]):
                artist.set_visible(i < len(curves))
            if i < len(curves):
                _one_curve(look, curves[i], loft, bands[i], lines[i], peaks[i])
                peak = loft[np.argmax(curves[i].spin)]
                tags[i].set(y=at[i], text=f"{curves[i].name}\n{_peak_words(peak, loft)}")
        here.set_visible(result.here is not None)
        now.set_visible(result.here is not None)
        if result.here is not None:
            here.set_data([units.shown("angle", result.here)] * 2, [0, top])
            now.set_x(units.shown("angle", result.here))
        return _said_curves(result, curves, loft, units)

    return figure, draw


def _one_curve(look, curve, loft, band, line, peak):
    dress(line, look, curve.meaning)
    line.set_data(loft, curve.spin / rpm)
    k = int(np.argmax(curve.spin))
    peak.set_data([loft[k]], [curve.spin[k] / rpm])
    dress_dots(peak, look, curve.meaning)
    banded = curve.low is not None
    band.set_visible(banded)
    if banded:
        band.set(facecolor=look.colour(curve.meaning))
        band.set_xy(between_curves(loft, curve.low / rpm, curve.high / rpm))


def _peak_words(peak, loft):
    return "still rising" if peak >= loft[-1] else f"peak {peak:.0f}°" if peak > loft[0] else "falling"


def _said_curves(result, curves, loft, units):
    told = []
    for c in curves:
        k = int(np.argmax(c.spin))
        words = f"most spin, {units.say('spin', c.spin[k])}, at {loft[k]:.0f}°"
        told.append(f"{c.name}: {words}" + (" (still rising)" if k == len(loft) - 1 else ""))
    what = result.what[:1].lower() + result.what[1:]
    bands = " Shaded: the bands of the model's uncertain numbers." if any(c.low is not None for c in curves) else ""
    return f"Spin against {what} – " + "; ".join(told) + "." + _said_here(result, curves, loft, units) + bands


def _said_here(result, curves, loft, units):
    """What the curves give where the line points."""
    if result.here is None:
        return ""
    here = units.shown("angle", result.here)
    spins = [units.say("spin", np.interp(here, loft, c.spin)) for c in curves]
    return f" Now, at {here:.4g}°: " + ", ".join(f"{c.name} {spin}" for c, spin in zip(curves, spins)) + "."
