"""Fixed steps of high order for many shots at once, and the curve between two of them."""

from __future__ import annotations

import numpy as np

# the fifth-order tableau of Dormand & Prince, J. Comp. Appl. Math. 6:19 (1980); its last stage is the next step's first
_A = [
    np.array(row)
    for row in (
        [1 / 5],
        [3 / 40, 9 / 40],
        [44 / 45, -56 / 15, 32 / 9],
        [19372 / 6561, -25360 / 2187, 64448 / 6561, -212 / 729],
        [9017 / 3168, -355 / 33, 46732 / 5247, 49 / 176, -5103 / 18656],
        [35 / 384, 0.0, 500 / 1113, 125 / 192, -2187 / 6784, 11 / 84],
    )
]


def step(equation, state, rate, size):
    """One Dormand–Prince step of `size` [shots] → the new state and its rate; state and rate are [parts, shots]."""
    slopes = np.empty((len(_A) + 1, *state.shape))
    slopes[0] = rate
    flat = slopes.reshape(len(slopes), -1)
    for i, row in enumerate(_A):
        state_next = state + size * (row @ flat[: i + 1]).reshape(state.shape)
        slopes[i + 1] = equation(state_next)
    return state_next, slopes[-1]


def quintic(p0, v0, a0, p1, v1, a1, size):
    """Coefficients [6, ...] of the quintic in the step's share 0 … 1 with given places, velocities, accelerations."""
    v0, v1, a0, a1 = v0 * size, v1 * size, a0 * size**2, a1 * size**2
    d = p1 - p0
    return np.array([
        p0, v0, 0.5 * a0,
        10 * d - 6 * v0 - 4 * v1 - 1.5 * a0 + 0.5 * a1,
        -15 * d + 8 * v0 + 7 * v1 + 1.5 * a0 - a1,
        6 * d - 3 * v0 - 3 * v1 - 0.5 * a0 + 0.5 * a1,
    ])  # fmt: skip


def value(c, s):
    return c[0] + s * (c[1] + s * (c[2] + s * (c[3] + s * (c[4] + s * c[5]))))


def slope(c, s):
    return c[1] + s * (2 * c[2] + s * (3 * c[3] + s * (4 * c[4] + s * 5 * c[5])))


def root(c):
    """The share 0 … 1 at which a polynomial that falls through nothing does so: Newton's rule kept in a bracket."""
    low, high = np.zeros_like(c[0]), np.ones_like(c[0])
    s = 0.5 * (low + high)
    for _ in range(12):
        miss = value(c, s)
        above = miss > 0
        low, high = np.where(above, s, low), np.where(above, high, s)
        with np.errstate(divide="ignore", invalid="ignore"):
            trial = s - miss / slope(c, s)
        s = np.where((trial >= low) & (trial <= high), trial, 0.5 * (low + high))
    return s
