"""A step of a flight, and the curve between two nodes: written once, for Python's own numbers and for arrays of shots."""

from __future__ import annotations

import numpy as np


def ahead(start, rate, size):
    """Every part of a start moved by its rate times a size: a row of numbers, or an array [parts, shots]."""
    if isinstance(start, np.ndarray):
        return start + size * rate
    return [a + size * b for a, b in zip(start, rate)]


def _mean(first, second, third, fourth):
    if isinstance(second, np.ndarray):
        return (first + 2 * (second + third) + fourth) * (1 / 6)
    return [(a + 2 * (b + c) + d) * (1 / 6) for a, b, c, d in zip(first, second, third, fourth)]


def step(equation, place, motion, rate, size):
    """Place (x, y, z) and motion (velocity, spin) after a step of the classical Runge–Kutta rule of fourth order.

    `equation` (height, motion) gives the rate of motion; `rate` is what it gave at the start.
    """
    half, height = 0.5 * size, place[2]
    second = ahead(motion, rate, half)
    rate2 = equation(height + half * motion[2], second)
    third = ahead(motion, rate2, half)
    rate3 = equation(height + half * second[2], third)
    fourth = ahead(motion, rate3, size)
    rate4 = equation(height + size * third[2], fourth)
    place = ahead(place, _mean(motion[:3], second[:3], third[:3], fourth[:3]), size)
    return place, ahead(motion, _mean(rate, rate2, rate3, rate4), size)


def quintic(p0, v0, a0, p1, v1, a1, size):
    """The six coefficients of the quintic in the share 0 … 1 of an interval, with given place, velocity, acceleration."""
    square = size * size
    v0, v1, a0, a1, d = v0 * size, v1 * size, a0 * square, a1 * square, p1 - p0
    return (
        p0, v0, 0.5 * a0,
        10 * d - 6 * v0 - 4 * v1 - 1.5 * a0 + 0.5 * a1,
        -15 * d + 8 * v0 + 7 * v1 + 1.5 * a0 - a1,
        6 * d - 3 * v0 - 3 * v1 - 0.5 * a0 + 0.5 * a1,
    )  # fmt: skip


def derivative(c):
    """Coefficients of the derivative, one fewer."""
    return tuple(power * part for power, part in enumerate(c[1:], 1))


def value(c, s):
    """The polynomial's value at a share."""
    total = c[-1]
    for part in c[-2::-1]:
        total = part + s * total
    return total


SETTLED = 1e-7
"""A root that moves by less than this share is found: the rule's next move would be its square."""


def root(c, s, t):
    """The share 0 … 1 at which a polynomial falls through nothing, by Newton's rule from s; `t` are the tools."""
    slope = derivative(c)
    for _ in range(5):
        before, s = s, t.least(t.most(s - value(c, s) / t.least(value(slope, s), -1e-100), 0.0), 1.0)
        if not t.some(abs(s - before) > SETTLED):
            break
    return s
