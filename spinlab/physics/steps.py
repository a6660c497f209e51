"""Long steps of very high order for many shots at once, and the curve between two nodes.

A step spans seconds.  Inside it the rate is taken at Chebyshev nodes, integrated by the polynomial through them, and taken
again until nothing changes (Picard's iteration; Clenshaw & Norton, Computer J. 6:88, 1963).  All nodes of all shots are one
array, so a flight is about ten evaluations instead of forty: NumPy's price is per call.
"""

from __future__ import annotations

import numpy as np

INTERVALS = 10
_MOST_SWEEPS = 40


def _integration(intervals):
    """Nodes 0 … 1 and the matrix that turns values at them into integrals from 0 to each."""
    legendre = np.polynomial.legendre
    nodes = 0.5 * (1 - np.cos(np.pi * np.arange(intervals + 1) / intervals))
    each = np.eye(intervals + 1)
    integrals = np.array([legendre.legval(2 * nodes - 1, legendre.legint(row, lbnd=-1)) / 2 for row in each]).T
    return nodes, integrals @ np.linalg.inv(legendre.legvander(2 * nodes - 1, intervals))


NODES, _INTEGRALS = _integration(INTERVALS)


def long_step(equation, state, rate, size, *, close):
    """States and rates [parts, nodes, shots] over one step of `size` [shots] from a state and its rate [parts, shots].

    `close` [parts, 1, 1 or shots] is how little a part may change between two sweeps.
    """
    start, guess = state[:, None], size * NODES[:, None] * rate[:, None]
    states = start + guess
    for _ in range(_MOST_SWEEPS):
        rates = equation(states)
        change = size * (_INTEGRALS @ rates)
        done = (np.abs(change - guess) <= close).all()
        states, guess = start + change, change
        if done:
            break
    return states, rates


def quintic(p0, v0, a0, p1, v1, a1, size):
    """Coefficients [6, ...] of the quintic in the share 0 … 1 of an interval, with given place, velocity, acceleration."""
    v0, v1, a0, a1 = v0 * size, v1 * size, a0 * size**2, a1 * size**2
    d = p1 - p0
    return np.array([
        p0, v0, 0.5 * a0,
        10 * d - 6 * v0 - 4 * v1 - 1.5 * a0 + 0.5 * a1,
        -15 * d + 8 * v0 + 7 * v1 + 1.5 * a0 - a1,
        6 * d - 3 * v0 - 3 * v1 - 0.5 * a0 + 0.5 * a1,
    ])  # fmt: skip


_POWERS = np.arange(1.0, 6.0)


def derivative(c):
    """Coefficients of the derivative, as many as before."""
    out = np.zeros_like(c)
    out[:5] = c[1:] * _POWERS.reshape((5,) + (1,) * (c.ndim - 1))
    return out


def value(c, s):
    """The polynomial's value at a share."""
    return c[0] + s * (c[1] + s * (c[2] + s * (c[3] + s * (c[4] + s * c[5]))))


def root(c):
    """The share 0 … 1 at which a polynomial that falls through nothing does so: Newton's rule kept in a bracket."""
    low, high = np.zeros_like(c[0]), np.ones_like(c[0])
    slope, s = derivative(c), 0.5 * (low + high)
    for _ in range(7):
        miss = value(c, s)
        above = miss > 0
        low, high = np.where(above, s, low), np.where(above, high, s)
        with np.errstate(divide="ignore", invalid="ignore"):
            trial = s - miss / value(slope, s)
        s = np.where((trial >= low) & (trial <= high), trial, 0.5 * (low + high))
    return s
