"""From what was measured of a shot to how hard the face pulled: friction used, and the friction there must have been.

Two ways lead to the ratio of the impulses along and across the face, μ = J_t/J_n:

* by the launch: the ball leaves atan μ below the face's normal, so ``μ = tan(dynamic loft − launch)``;
* by the spin: J_t = k m R ω and J_t² + J_n² = (m v)², so with ``s = k R ω/v``: ``μ = s/√(1 − s²)``.

Both hold for any contact of a sphere struck through its middle, sliding or gripping (mechanics).  Where they disagree, the
strike was off the middle, or something was measured wrongly.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..catalogue import BALLS, PITCH, PITCH_DOUBT
from ..physics.central_strike import below_the_face
from ..physics.contact import strike
from ..physics.flight import BALL_RADIUS
from ..records import Ball, Delivery, Face
from ..units import deg

ERRORS = {
    "head_speed": 0.02, "ball_speed": 0.01, "spin_rate": 0.03, "carry": 0.02,  # shares of the value
    "launch_angle": 0.7 * deg, "dynamic_loft": 1.5 * deg, "attack_angle": 1.0 * deg,
}  # fmt: skip
"""How far one measured number is taken to be off (one standard deviation): our judgement (J); give your own if you know."""
RELATIVE = ("head_speed", "ball_speed", "spin_rate", "carry")

EXPECTED = {name: (getattr(PITCH, name), doubt) for name, doubt in PITCH_DOUBT.items()}
"""Taken for a pitch where it was not measured: mean and standard deviation (J)."""

INERTIA = (0.36, 0.42)
"""Range of k over constructions (from memory)."""
MIDDLE_INERTIA = sum(INERTIA) / 2
SPHERE_DOUBT = 0.07
"""One standard deviation of what the spin way may be off: launch and spin of real pitches do not fit one rigid sphere within
10–15 % (common practice, no source; the size is ours)."""


def error(name, value, errors=ERRORS):
    """Standard deviation of a measured value [SI]."""
    return np.abs(value) * errors[name] if name in RELATIVE else np.full(np.shape(value), errors[name])


@dataclass(frozen=True, kw_only=True)
class Interval:
    """Low, middle and high of each shot (NaN: not known; high infinite: no upper end can be told)."""

    low: np.ndarray
    mid: np.ndarray
    high: np.ndarray

    @property
    def known(self):
        return np.isfinite(self.low)


@dataclass(frozen=True, kw_only=True)
class Grip:
    """How the face held the ball, per shot.

    `used` is J_t/J_n; `by_launch` and `by_spin` the two ways to it.  `loft_offset` is the loft that launch, ball speed and
    spin ask of a strike through the middle, less the loft that was measured [rad] (see `spinlab.physics.central_strike`).
    `friction` is what face and ball must have had: where the ball gripped only its lower end is known.  `level` is `used`
    against what a clean, dry face would have given.  `draws` and `offset_draws` [n, shots] belong to `used`, `loft_offset`.
    """

    used: Interval
    by_launch: np.ndarray
    by_spin: np.ndarray
    friction: Interval
    level: Interval
    draws: np.ndarray
    loft_offset: Interval
    offset_draws: np.ndarray


def by_launch(*, dynamic_loft, launch_angle):
    """Friction used, from the launch: ``tan(dynamic loft − launch)``."""
    return np.tan(dynamic_loft - launch_angle)


def by_spin(*, ball_speed, spin_rate, inertia_factor=MIDDLE_INERTIA, radius=BALL_RADIUS):
    """Friction used, from the spin: ``s/√(1 − s²)``, ``s = k R ω/v``; no number where s reaches 1, which no sphere can."""
    return np.tan(below_the_face(ball_speed, spin_rate, inertia_factor, radius))


def grip(measured: dict, *, face: Face | None = None, ball: Ball | None = None, errors=None, level=0.9, n=400,
         seed=1) -> Grip:
    """How the face held the ball in every shot.

    Parameters
    ----------
    measured
        Columns by name [SI], arrays of one length, NaN where missing: ball_speed, launch_angle, spin_rate, dynamic_loft,
        head_speed, attack_angle.  Columns may be left out.
    face, ball
        What was struck with, for what a clean, dry strike would have given.
    errors
        Other measurement errors than `ERRORS`.
    level, n, seed
        Of the intervals, drawn with the measurement errors of each shot and one k for all shots (they share the ball).
    """
    errors = ERRORS | (errors or {})
    size = max((np.size(v) for v in measured.values()), default=0)
    n = min(n, max(2_000_000 // max(size, 1), 60))  # a large table gets fewer draws for each shot, not more memory
    m = {name: np.broadcast_to(np.asarray(measured.get(name, np.nan), dtype=float), (size,)) for name in ERRORS}
    rng = np.random.default_rng(seed)
    noisy = {name: v + error(name, v, errors) * rng.standard_normal((n, size)) for name, v in m.items()}
    k = rng.uniform(*INERTIA, (n, 1)) * (1 + SPHERE_DOUBT * rng.standard_normal((n, 1)))
    launch_way, spin_way = (
        (by_launch(dynamic_loft=x["dynamic_loft"], launch_angle=x["launch_angle"]),
         by_spin(ball_speed=x["ball_speed"], spin_rate=x["spin_rate"], inertia_factor=k_used))
        for x, k_used in ((m, MIDDLE_INERTIA), (noisy, k))
    )  # fmt: skip
    (a, b), (a_draws, b_draws) = launch_way, spin_way
    with np.errstate(invalid="ignore", divide="ignore"):
        a_sd, b_sd = np.std(a_draws, axis=0), np.std(b_draws, axis=0)
        used, draws = _weighted(a, b, a_sd, b_sd), _weighted(a_draws, b_draws, a_sd, b_sd)
    used = interval(used, draws, level)
    friction, dry = friction_needed(used, m, face or Face(), ball or BALLS["soft cover"])
    against = Interval(low=used.low / dry, mid=used.mid / dry, high=used.high / dry)
    # atan of the launch way is loft less launch as measured, atan of the spin way what it ought to be
    offset, offset_draws = np.arctan(b) - np.arctan(a), np.arctan(b_draws) - np.arctan(a_draws)
    return Grip(used=used, by_launch=a, by_spin=b, friction=friction, level=against, draws=draws,
                loft_offset=interval(offset, offset_draws, level), offset_draws=offset_draws)


def _weighted(a, b, a_sd, b_sd):
    """The two ways together, each by how well it is known; one alone where the other is missing."""
    wa, wb = (np.where(np.isfinite(x), 1 / sd**2, 0.0) for x, sd in ((a, a_sd), (b, b_sd)))
    return (wa * np.nan_to_num(a) + wb * np.nan_to_num(b)) / (wa + wb)


def interval(mid, draws, level) -> Interval:
    """The interval of each shot from its draws [n, shots]."""
    known = np.isfinite(mid)
    low, high = np.full((2, mid.size), np.nan)
    if known.any():
        low[known], high[known] = np.nanquantile(draws[:, known], [(1 - level) / 2, (1 + level) / 2], axis=0)
    return Interval(low=np.fmin(low, mid), mid=mid, high=np.fmax(high, mid))


def _filled(m, name):
    return np.where(np.isfinite(m[name]), m[name], EXPECTED[name][0])


def friction_needed(used: Interval, m: dict, face: Face, ball: Ball):
    """The friction that makes the engine use so much, for each shot, and what a clean, dry strike would use.

    Beyond what a gripped ball can use, more friction changes nothing: then there is no upper end.
    """
    speed = np.where(np.isfinite(m["head_speed"]), m["head_speed"], m["ball_speed"])  # nearly equal in a pitch
    speed = np.clip(np.where(np.isfinite(speed), speed, EXPECTED["head_speed"][0]), 1.0, 70.0)
    loft = m["dynamic_loft"]
    from_spin = m["launch_angle"] + np.arctan(by_spin(ball_speed=m["ball_speed"], spin_rate=m["spin_rate"]))
    loft = np.where(np.isfinite(loft), loft, from_spin)
    loft = np.where(np.isfinite(loft), loft, EXPECTED["dynamic_loft"][0])
    attack = np.clip(_filled(m, "attack_angle"), -25 * deg, 15 * deg)
    loft = np.clip(loft, attack + 1 * deg, attack + 80 * deg)
    arriving = Delivery(head_speed=speed, attack_angle=attack, dynamic_loft=loft)
    grid = np.concatenate([np.linspace(0.0, 0.2, 21), np.linspace(0.22, 0.7, 25)])
    even = ball.but(friction=grid[:, None], friction_fast=grid[:, None])
    some = (arriving[i : i + 500] for i in range(0, speed.size, 500))
    table = np.hstack([strike(part, face, even).contact.effective_friction for part in some])
    dry = np.broadcast_to(strike(arriving, face, ball).contact.effective_friction, speed.shape)
    rising = np.maximum.accumulate(table, axis=0) + 1e-9 * np.arange(grid.size)[:, None]
    most = 0.97 * table.max(axis=0)

    def needed(wanted):
        return np.array([np.interp(w, column, grid) if np.isfinite(w) else np.nan for w, column in zip(wanted, rising.T)])

    low, mid, high = (needed(np.minimum(wanted, most)) for wanted in (used.low, used.mid, used.high))
    open_mid, open_high = used.mid >= most, used.high >= most
    return Interval(low=low, mid=np.where(open_mid, np.inf, mid), high=np.where(open_high, np.inf, high)), dry
