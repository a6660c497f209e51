"""Why a shot lacked spin: a handful of likely causes, each tried in the engine, and how well each fits what was measured.

Every cause has one amount (how much water, how much soil …).  The engine is asked what each amount would have led to, for
many draws of its uncertain numbers and of what was not measured; a cause is as plausible as the measured numbers are likely
under it, averaged over amounts and draws.  All causes start level.  That compares these causes and proves none: one that is
not in the list cannot win, and the shares depend on the amounts tried.  What cannot be told apart is asked of the best fits
alone (`possible`): water, soil and a hard cover all lower the friction, and launch and spin do not say which did.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from ..catalogue import BALLS
from ..physics.central_strike import LOFT_OFFSET
from ..physics.setting import Setting, answered
from ..physics.uncertain import parameters_for, varied_rows
from ..records import Ball, Between, Delivery, Face, spoken
from ..units import deg, mm, um
from .grip import ERRORS, EXPECTED, RELATIVE

SEEN = ("launch_angle", "spin_rate", "ball_speed")
GIVEN = ("head_speed", "dynamic_loft", "attack_angle")


@dataclass(frozen=True, kw_only=True)
class Cause:
    """One cause: the `amounts` to try (even odds), their unit, the `field` of the setting they move, and where to `look`."""

    name: str
    field: str
    amounts: tuple[float, ...]
    unit: str
    look: str


def _cause(name, field, amounts, unit, look):
    return Cause(name=name, field=field, amounts=tuple(float(a) for a in amounts), unit=unit, look=look)


CAUSES = (
    _cause("clean and dry", "", (0.0,), "", "nothing to look for"),
    _cause("water", "between.water", np.geomspace(0.2 * um, 100 * um, 10), "µm",
           "dry face and ball, change nothing else, and hit again"),
    _cause("soil or grass on the face", "between.soil_on_lands", np.linspace(0.1, 0.95, 10), "%",
           "look at the face after the shot; clean it, change nothing else, and hit again"),
    _cause("hard or worn cover", "ball.friction", np.linspace(0.08, 0.34, 10), "",
           "hit a new ball with a soft cover, changing nothing else"),
    _cause("strike off the ball's middle", "arriving.normal_offset", np.linspace(-2.0, -0.2, 10) * mm, "mm",
           "look at the mark on the face; leave thin and fat strikes out by a rule"),
    _cause("more loft than thought", "arriving.dynamic_loft", np.linspace(4, 14, 6) * deg, "°",
           "measure the dynamic loft"),
)
"""The causes that are tried.  Ranges are our judgement (J)."""


@dataclass(frozen=True, kw_only=True)
class Fit:
    """How one cause fits: its `share` of the plausibility of all, the `amount` that fits best with the range of amounts that
    fit nearly as well, and its `misfit`, the sum of squares of what is left over, in standard deviations."""

    cause: Cause
    share: float
    amount: float
    low: float
    high: float
    misfit: float

    def say(self) -> str:
        """Its name, plausibility and amount."""
        told = f"{self.cause.name}: {self.share:.0%} of the plausibility"
        if not self.cause.field:
            return told
        span = f"{spoken(_two(self.low), self.cause.unit)} to {spoken(_two(self.high), self.cause.unit)}"
        return f"{told}, best with {span}"


STILL_FITS = math.exp(-2)
"""A cause that is less plausible than the best one by this factor is ruled out: four units of misfit (about one in twenty by
chance, for one amount)."""


def possible(fits) -> tuple[Fit, ...]:
    """Those causes that the numbers do not rule out, most plausible first."""
    most = max((fit.share for fit in fits), default=0.0)
    return tuple(fit for fit in fits if fit.share >= STILL_FITS * most)


def _two(value):
    """Two significant digits."""
    return float(f"{value:.2g}")


def weigh(measured: dict, *, face: Face | None = None, ball: Ball | None = None, causes=CAUSES, errors=None, expected=None,
          n=1024, seed=1) -> tuple[Fit, ...]:
    """Weigh the causes for one shot, or for the mean of one condition; most plausible first.

    Parameters
    ----------
    measured
        Numbers by name [SI]; NaN or left out where not measured.  `SEEN` is compared with the engine, `GIVEN` goes into it.
    face, ball
        What was thought to be struck with, clean and dry.
    causes
        To be weighed.  "More loft" is left out where the dynamic loft was measured.
    errors, expected
        Measurement errors other than `ERRORS`; mean and standard deviation of what was not measured, other than `EXPECTED`.
    """
    errors, expected = ERRORS | (errors or {}), EXPECTED | (expected or {})
    have = {name: float(v) for name, v in measured.items() if np.isfinite(v)}
    if "dynamic_loft" in have:
        causes = tuple(c for c in causes if c.field != "arriving.dynamic_loft")
    setting, shares, used = _drawn(have, face or Face(), ball or BALLS["soft cover"], errors, expected, n, seed)
    seen = [name for name in SEEN if name in have]
    fits = [_fit(cause, setting, shares, used, have, seen, errors) for cause in causes]
    whole = sum(weight for weight, _ in fits)
    told = [Fit(cause=c, share=weight / whole if whole > 0 else 1 / len(fits), **best)
            for c, (weight, best) in zip(causes, fits)]
    return tuple(sorted(told, key=lambda fit: -fit.share))


def _drawn(have, face, ball, errors, expected, n, seed):
    """The setting with what was given or expected drawn [n, 1], and shares of the uncertain numbers [parameters, n, 1]."""
    from scipy.special import ndtri
    from scipy.stats import qmc

    # what is given has errors of its own, and the amounts of a cause are what is weighed
    used = tuple(p for p in parameters_for(SEEN) if p.record not in ("arriving", "between"))
    cube = qmc.LatinHypercube(len(used) + len(GIVEN) + 1, rng=seed).random(n)
    arriving = {}
    for name, column in zip(GIVEN, cube.T):
        mean, sd = expected[name]
        if name in have:
            mean, sd = have[name], errors[name] * (abs(have[name]) if name in RELATIVE else 1)
        arriving[name] = (mean + sd * ndtri(column))[:, None]
    arriving["head_speed"] = np.clip(arriving["head_speed"], 1.0, 78.0)
    attack = arriving["attack_angle"] = np.clip(arriving["attack_angle"], -28 * deg, 18 * deg)
    if "dynamic_loft" in have:
        # the face may have had more loft in contact than was quoted for it
        low, high = LOFT_OFFSET
        arriving["dynamic_loft"] = arriving["dynamic_loft"] + low + (high - low) * cube[:, -1:]
    arriving["dynamic_loft"] = np.clip(arriving["dynamic_loft"], attack + 1 * deg, attack + 65 * deg)
    return Setting(arriving=Delivery(**arriving), face=face, ball=ball), cube[:, len(GIVEN) : -1].T[:, :, None], used


def _moved(setting, cause):
    """The setting with a cause's amounts [1, amounts] put in."""
    if not cause.field:
        return setting
    amounts = np.array(cause.amounts)[None, :]
    record, name = cause.field.split(".")
    owner = getattr(setting, record)
    if cause.field == "ball.friction":
        slower = owner.friction_fast / max(owner.friction, 1e-9)
        return setting.but(ball=owner.but(friction=amounts, friction_fast=amounts * slower))
    if record == "between":
        return setting.but(between=Between(**{name: amounts}))
    return setting.but(arriving=owner.but(**{name: np.minimum(getattr(owner, name) + amounts, 80 * deg)}))


def _fit(cause, setting, shares, used, have, seen, errors):
    """Mean likelihood of a cause over draws and amounts, and its best amount."""
    if not seen:
        return 1.0, {"amount": np.nan, "low": min(cause.amounts), "high": max(cause.amounts), "misfit": np.nan}
    rows, shape = varied_rows(_moved(setting, cause), used, shares)
    found = answered(rows, SEEN, shape)
    if "head_speed" not in have and "ball_speed" in have:
        # the head speed that gives the ball speed seen: ball speed and spin grow together with it, the launch stays
        faster = have["ball_speed"] / found["ball_speed"]
        found = found | {"spin_rate": found["spin_rate"] * faster, "ball_speed": found["ball_speed"] * faster}
    squares = np.zeros(np.broadcast_shapes(*(np.shape(v) for v in found.values())))
    for name in seen:
        sd = errors[name] * (abs(have[name]) if name in RELATIVE else 1)
        squares = squares + ((have[name] - found[name]) / sd) ** 2
    likely = np.exp(-0.5 * squares).mean(axis=0) + 1e-300
    amounts = np.array(cause.amounts)
    near = amounts[likely > 0.15 * likely.max()]
    best = {"amount": float(amounts[likely.argmax()]), "low": float(near.min()), "high": float(near.max()),
            "misfit": float(squares.min())}
    return float(likely.mean()), best
