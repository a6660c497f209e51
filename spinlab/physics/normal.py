"""Across the face: how ball and face press on each other and part again.

A Hertz spring with Hunt & Crossley's loss (J. Appl. Mech. 42:440, 1975, from memory), ``N = K x^1.5 (1 + c ẋ)``.  It has a
first integral, so compression and force follow from the velocity without stepping, at fixed shares of the impulse.  In its
own scales a motion depends on the restitution alone, and smoothly: a row of many shots needs only a few of them.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from ..records import Ball
from .instants import GIVEN, OVER_EVEN, OVER_ODD, OVER_OPEN, OVER_ROOT, PACE
from .onemany import tools

LEAST, MOST = 0.75, 0.88  # restitution of a ball that loses more the faster it is


def normal_restitution(speed, ball: Ball):
    """Restitution across the face at a closing speed [m/s]: ``e₀ − s v`` kept within 0.75 … 0.88.

    A fit to 0.85 at 20 m/s and 0.78 at 45 m/s on steel (Chou 1994, quoted in Penner 2003, p. 144).  A ball with no slope has
    a constant restitution, and then nothing is clipped.
    """
    fitted = np.minimum(np.maximum(ball.restitution - ball.restitution_slope * speed, LEAST), MOST)
    return np.where(np.asarray(ball.restitution_slope) > 0, fitted, ball.restitution)


def loss_number(restitution):
    """Hunt & Crossley's d = c v_n for a wanted restitution e: ``ln[(1+d)/(1−e d)] = d (1+e)``, by Newton's rule.

    Solved for ``y = −ln(1 − e d)``, from the side of much loss or of little.  Computed from the first integral of their law.
    """
    one = tools(np.shape(restitution))
    e = restitution if np.shape(restitution) else float(restitution)
    little = -one.log1p(-one.least(1.5 * e * (1 - e * e) / (1 + e**3), 0.9))
    y = one.pick(e < 0.58, (1 + e) / e - one.log1p(1 / e), little)
    for _ in range(5):
        left = one.exp(-y)
        d = (1 - left) / e
        miss = y + one.log1p(d) - d * (1 + e)
        y = y - miss / (1 + left / e * (1 / (1 + d) - (1 + e)))
    return (1 - one.exp(-y)) / e


def hertz_stiffness(ball: Ball):
    """K in ``N = K x^1.5`` [N/m^1.5]: ``4/3 E* √R`` (Hertz 1882, from memory)."""
    return 4 / 3 * ball.modulus * np.sqrt(ball.radius)


@dataclass(frozen=True, eq=False)
class Pulse:
    """How ball and face press on each other, in scales of length, time and force: columns, nodes or steps first, that
    depend on the restitution alone.  Compression `x`, `force`, `lasting` (time a node stands for) and `step` (time of each
    step), with the loss number and the largest compression beside them."""

    x: np.ndarray
    force: np.ndarray
    lasting: np.ndarray
    step: np.ndarray
    loss: np.ndarray
    largest: np.ndarray

    @cached_property
    def spring(self):
        """What a spring along the face adds up over each step, and a twelfth of the commutator of its two ends."""
        rate = 1.5 * np.sqrt(self.x) * self.lasting
        return OVER_EVEN @ rate, (rate[1:] * self.lasting[:-1] - rate[:-1] * self.lasting[1:]) / 12

    @cached_property
    def pressure(self):
        """Mean pressure at the nodes."""
        return self.force / np.maximum(self.x, 1e-9)

    @cached_property
    def squeezed(self):
        """What the pressure drives out in each step through ways of one length, by viscosity and by inertia; and the same
        through ways that grow with the patch up to that length."""
        pressure, shorter = self.pressure, self.largest / np.maximum(self.x, 1e-9)
        return tuple(np.maximum(sums, 1e-100) for sums in (
            OVER_OPEN @ (pressure * self.lasting), OVER_ROOT @ (np.sqrt(pressure) * self.lasting),
            OVER_OPEN @ (pressure * shorter * self.lasting), OVER_ROOT @ (np.sqrt(pressure * shorter) * self.lasting)))


def _pulse(e):
    """Compression and force at fixed shares of the impulse, by the first integral of the Hunt–Crossley equation.

    ``0.4 x^2.5 = (1−v)/d − ln[(1+d)/(1+d v)]/d²`` with v from 1 down to −e.
    """
    d, gone = loss_number(e), 1 + e
    v = 1 - gone * GIVEN
    more = 1 + d * v
    stored = (1 - v) / d - (np.log1p(d) - np.log(more)) / d**2
    stored[0] = stored[-1] = 1.0
    x = np.exp(0.4 * np.log(2.5 * np.maximum(stored, 1e-100)))
    x[0] = x[-1] = 0.0
    force = x * np.sqrt(x) * more
    lasting = gone * PACE / np.maximum(force, 1e-100)
    return Pulse(x, force, lasting, OVER_ODD @ lasting, d, (2.5 * (1 / d - np.log1p(d) / d**2)) ** 0.4)


_ORDERS = np.arange(10)[:, None]
_ANGLES = (_ORDERS[:, 0] + 0.5) * np.pi / 10  # Chebyshev's points
_FIT = 0.2 * np.cos(_ANGLES[:, None] * _ORDERS[:, 0])  # from values there to his polynomials
_FIT[:, 0] /= 2
_MIDDLE, _HALF = (MOST + LEAST) / 2, (MOST - LEAST) / 2
_FEW = _pulse(_MIDDLE + _HALF * np.cos(_ANGLES))
"""Pulses of ten restitutions.  Between the least and the most of a ball whose restitution falls with speed, the polynomial
through them differs from any other by rounding alone: 1e-10 of the largest compression, 1e-7 of the largest of the sums of
what is driven out, whose first step is a small difference of large numbers (computed)."""


@dataclass(frozen=True)
class NormalMotion:
    """Across the face: a pulse and its scales of length [m], time [s] and force [N], and the whole impulse [N s].

    The pulse is that of one shot or of each of a row, or that of the few restitutions of which each has its `shares`; then
    `each` makes the shots' own columns of its."""

    pulse: Pulse
    shares: np.ndarray | None
    length: np.ndarray
    seconds: np.ndarray
    newtons: np.ndarray
    impulse: np.ndarray

    def each(self, columns, times=1.0):
        """Columns of the pulse, or anything smooth made of them, for every shot, times a number of its own."""
        return columns * times if self.shares is None else columns @ (self.shares * times)


def normal_motion(*, speed, restitution, mass, stiffness) -> NormalMotion:
    """A pulse by its restitution, in lengths of (m v²/K)^0.4 and times of that over v."""
    length, push = (mass * speed**2 / stiffness) ** 0.4, mass * speed
    pulse, shares, across = _FEW, None, (np.ravel(restitution) - _MIDDLE) / _HALF
    if (abs(across) < 1 + 1e-12).all():
        shares = _FIT @ np.cos(_ORDERS * np.arccos(np.minimum(np.maximum(across, -1.0), 1.0)))
    else:
        pulse = _pulse(restitution)
    return NormalMotion(pulse, shares, length, length / speed, push * speed / length, push * (1 + restitution))
