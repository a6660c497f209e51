"""Across the face: how ball and face press on each other and part again.

A Hertz spring with Hunt & Crossley's loss (J. Appl. Mech. 42:440, 1975, from memory), ``N = K x^1.5 (1 + c ẋ)``.  It has a
first integral, so compression and force follow from the velocity without stepping, at fixed shares of the impulse.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..records import Ball
from .instants import GIVEN, OVER_ODD, PACE
from .onemany import tools


def normal_restitution(speed, ball: Ball):
    """Restitution across the face at a closing speed [m/s]: ``e₀ − s v`` kept within 0.75 … 0.88.

    A fit to 0.85 at 20 m/s and 0.78 at 45 m/s on steel (Chou 1994, quoted in Penner 2003, p. 144).  A ball with no slope has
    a constant restitution, and then nothing is clipped.
    """
    fitted = np.minimum(np.maximum(ball.restitution - ball.restitution_slope * speed, 0.75), 0.88)
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


@dataclass(frozen=True)
class NormalMotion:
    """Across the face, nodes first, in scales of length, time and force: compression `x`, `force`, `lasting` (time a node
    stands for) and `step` (time of each step), with the loss number, the largest compression, the scales and the whole
    impulse [N s] beside them."""

    x: np.ndarray
    force: np.ndarray
    lasting: np.ndarray
    step: np.ndarray
    loss: np.ndarray
    largest: np.ndarray
    length: np.ndarray
    seconds: np.ndarray
    newtons: np.ndarray
    impulse: np.ndarray


def normal_motion(*, speed, restitution, mass, stiffness) -> NormalMotion:
    """Compression and force at fixed shares of the impulse, by the first integral of the Hunt–Crossley equation.

    ``0.4 x^2.5 = (1−v)/d − ln[(1+d)/(1+d v)]/d²`` with v from 1 down to −e, lengths in (m v²/K)^0.4.
    """
    e, d = restitution, loss_number(restitution)
    gone = 1 + e
    v = 1 - gone * GIVEN
    more = 1 + d * v
    stored = (1 - v) / d - (np.log1p(d) - np.log(more)) / d**2
    stored[0] = stored[-1] = 1.0
    x = np.exp(0.4 * np.log(2.5 * np.maximum(stored, 1e-100)))
    x[0] = x[-1] = 0.0
    force = x * np.sqrt(x) * more
    lasting = gone * PACE / np.maximum(force, 1e-100)
    length = (mass * speed**2 / stiffness) ** 0.4
    largest = (2.5 * (1 / d - np.log1p(d) / d**2)) ** 0.4
    return NormalMotion(x, force, lasting, OVER_ODD @ lasting, d, largest, length, length / speed,
                        mass * speed**2 / length, mass * (1 + e) * speed)
