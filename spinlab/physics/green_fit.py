"""Two numbers of a green from a user's own pitch marks: how far the ball digs in (F) and the turf's friction (μ)."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..records import Green, Path, check
from .green import land

TILT_RANGE = (0.3, 2.5)
FRICTION_RANGE = (0.08, 0.60)
FEWEST_SHOTS = 4
_GRID = 33


@dataclass(frozen=True, kw_only=True)
class GreenFit:
    """What the pitch marks say: `green` with the best F and μ, `tilt` and `friction` as (low, best, high), `scatter` of the
    run-outs about the fit [m], `tilt_told` and `friction_told` (False where the shots cannot tell), `sentence`."""

    green: Green
    tilt: tuple[float, float, float]
    friction: tuple[float, float, float]
    tilt_told: bool
    friction_told: bool
    scatter: float
    shots: int
    sentence: str


def landing(*, speed, descent_angle, spin) -> Path:
    """A `Path` that knows only its end, from measured landing speed [m/s], descent angle [rad] and backspin [rad/s]."""
    speed, angle, spin = (
        check(name, value, what="", unit=unit, low=low, high=high)
        for name, value, unit, low, high in (
            ("landing speed", speed, "m/s", 0.0, 120.0),
            ("descent angle", descent_angle, "rad", 0.0, np.pi / 2),
            ("landing spin", spin, "rad/s", -3000.0, 3000.0),
        )
    )
    nothing = np.zeros(np.broadcast_shapes(np.shape(speed), np.shape(angle), np.shape(spin)))[()]
    return Path(carry=nothing, side=nothing, apex=nothing, flight_time=nothing, descent_angle=angle, landing_speed=speed,
                landing_spin=spin)  # fmt: skip


def _misfit(path, run_out, green, tilts, frictions):
    """Sum of squares of run-out [m²] on a grid [tilts, frictions]; the hundreds of greens are one call."""
    column = (slice(None), None, None)
    grid = green.but(tilt=tilts[column], friction=frictions[(None, *column[:2])])
    return np.sum((land(path, grid).run_out - run_out) ** 2, axis=-1)


def _within(values, profile, ceiling):
    """Ends of the part of a grid whose profile stays under a ceiling, and whether it reaches the grid's own ends."""
    inside = np.flatnonzero(profile <= ceiling)
    low, high = inside[0], inside[-1]
    # the truth may lie up to one grid step outside
    return values[max(low - 1, 0)], values[min(high + 1, len(values) - 1)], low == 0 or high == len(values) - 1


def _ceiling(least, n, level):
    """The misfit up to which a green is as good as the best: ``SS_min (1 + F_{1,n−2}/(n − 2))``.

    A pace or a tape is no better than some centimetres; a perfect fit must not make an interval of nothing.
    """
    from scipy.special import betaincinv

    share = betaincinv(0.5, 0.5 * (n - 2), level)  # the quantile of F(1, n−2) from the beta distribution
    return max(least, n * 0.05**2) * (1 + share / (1 - share))


def _closer(path, run_out, green, tilts, frictions, level):
    """A finer grid over all that may be as good as the best, a step more on every side, and its misfit."""
    misfit = _misfit(path, run_out, green, tilts, frictions)
    good = misfit <= _ceiling(misfit.min(), len(run_out), level)
    spans = [_within(values, np.where(good.any(axis=across), 0.0, 1.0), 0.5)[:2]
             for values, across in ((tilts, 1), (frictions, 0))]
    tilts, frictions = np.linspace(*spans[0], _GRID), np.geomspace(*spans[1], _GRID)
    return tilts, frictions, _misfit(path, run_out, green, tilts, frictions)


def fit_green(path: Path, run_out, *, green: Green | None = None, level=0.90) -> GreenFit:
    """Fit F and μ of a green to measured distances from pitch mark to rest.

    Least squares on a grid (bounces come and go, so the misfit has steps that a slope-follower trips over).  Intervals are
    the values whose best misfit stays under ``SS_min (1 + F_{1,n−2}/(n − 2))`` (profile likelihood with unknown scatter; its
    form from memory, how often they hold the truth checked by repetition).  Doubt: a fit hides what the model leaves out.

    Parameters
    ----------
    path
        how each shot landed: from `fly`, or from `landing` with measured numbers.
    run_out
        pitch mark to rest along the line [m], negative where it came back; one for each shot.
    green
        what is known besides: its speed, slope and restitution are kept.
    level
        coverage of the intervals.

    Returns
    -------
    GreenFit
        Where an interval reaches the end of what is sensible (F 0.3 … 2.5, μ 0.08 … 0.60), the shots cannot tell that
        number, and the sentence says so.  Shots that differ in spin and in height tell most.
    """
    green = Green() if green is None else green
    run_out = np.ravel(check("run_out", run_out, what="pitch mark to rest", unit="m", low=-60.0, high=200.0))
    n = run_out.size
    if n < FEWEST_SHOTS:
        raise ValueError(f"run_out: at least {FEWEST_SHOTS} measured shots are needed for two numbers, got {n}")
    if path.shape not in ((), (n,)):
        raise ValueError(f"run_out has {n} shots but the landings have shape {path.shape}; give one of each per shot")
    tilts, frictions = np.linspace(*TILT_RANGE, _GRID), np.geomspace(*FRICTION_RANGE, _GRID)
    # twice closer: a grid too coarse for one number would make the other look better known than it is
    for _ in range(2):
        tilts, frictions, misfit = _closer(path, run_out, green, tilts, frictions, level)
    a, b = np.unravel_index(np.argmin(misfit), misfit.shape)
    least, tilt, friction = misfit[a, b], float(tilts[a]), float(frictions[b])
    ceiling = _ceiling(least, n, level)
    low_f, high_f, _ = _within(tilts, misfit.min(axis=1), ceiling)
    low_m, high_m, _ = _within(frictions, misfit.min(axis=0), ceiling)
    open_f, open_m = (low <= ends[0] * 1.001 or high >= ends[1] * 0.999
                      for low, high, ends in ((low_f, high_f, TILT_RANGE), (low_m, high_m, FRICTION_RANGE)))
    found = {
        "tilt": (float(low_f), tilt, float(high_f)), "friction": (float(low_m), friction, float(high_m)),
        "tilt_told": not open_f, "friction_told": not open_m,
        "scatter": float(np.sqrt(least / (n - 2))), "shots": n,
    }  # fmt: skip
    return GreenFit(green=green.but(tilt=tilt, friction=friction, name="fitted"), sentence=_sentence(found, level), **found)


def _sentence(found, level):
    """What was found, in words."""
    words = []
    for key, name in (("tilt", "digging in F"), ("friction", "friction")):
        low, best, high = found[key]
        if found[key + "_told"]:
            words.append(f"{name} {best:.2f} ({low:.2f} to {high:.2f})")
        else:
            words.append(f"{name} cannot be told from these shots ({low:.2f} to {high:.2f} would all do)")
    return (
        f"{found['shots']} shots, {level:.0%} intervals: {'; '.join(words)}. "
        f"Run-outs scatter {found['scatter']:.1f} m about the fit."
    )
