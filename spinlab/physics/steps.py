"""A step of a flight, and the curve between two nodes: written once, for Python's own numbers and for arrays of shots."""

from __future__ import annotations


def ahead(start, rate, size):
    """Every part of a start moved by its rate times a size."""
    return [a + size * b for a, b in zip(start, rate)]


def _mean(first, second, third, fourth):
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
    place = ahead(place, _mean(motion, second, third, fourth), size)
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
    """Coefficients of the derivative, as many as before."""
    return c[1], 2 * c[2], 3 * c[3], 4 * c[4], 5 * c[5], 0.0


def value(c, s):
    """The polynomial's value at a share."""
    return c[0] + s * (c[1] + s * (c[2] + s * (c[3] + s * (c[4] + s * c[5]))))


def root(c, s, t):
    """The share 0 … 1 at which a polynomial falls through nothing, by Newton's rule from s; `t` are the tools."""
    slope = derivative(c)
    for _ in range(5):
        s = s - value(c, s) / t.least(value(slope, s), -1e-100)
        s = t.least(t.most(s, 0.0), 1.0)
    return s
