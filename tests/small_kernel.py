"""A small kernel for tests of the translator: the whole dialect, and nothing about golf."""

from __future__ import annotations

import math
from collections import namedtuple
from typing import NamedTuple

from spinlab.kernel.compiled import Array, kernel

HALF = 0.5
ROUNDS = 40
Point = namedtuple("Point", "x y")


class Disc(NamedTuple):
    """A disc: a record in a record."""

    centre: Point
    radius: float
    solid: bool
    count: int


@kernel
def distance(a: Point, b: Point):
    """Distance of two points: the root of the sum of squares."""
    return math.sqrt((a.x - b.x) ** 2 + (a.y - b.y) ** 2)


@kernel
def moved(point: Point, along, across) -> Point:
    """A point moved."""
    return Point(point.x + along, y=point.y + across)


@kernel
def overlap(a: Disc, b: Disc) -> bool:
    """Whether two discs overlap."""
    return a.solid and b.solid and not distance(a.centre, b.centre) >= a.radius + b.radius


@kernel
def polar(point: Point) -> tuple[float, float]:
    """Radius and angle."""
    return math.hypot(point.x, point.y), math.atan2(point.y, point.x)


@kernel
def clipped(x, low, high):
    """A number within two others, −0 kept as Python keeps it."""
    return min(max(x, low), high)


@kernel
def running_mean(values: Array, out: Array) -> None:
    """Fill `out` with the mean of all values so far."""
    total = 0.0
    for i in range(len(values)):
        total += values[i]
        out[i] = total / float(i + 1)
    for i in range(1, len(out)):
        out[i] -= out[0] * HALF
    if len(out) < 2:
        return
    out[0] = -out[0]


@kernel
def root_of_cosine(start, most: int) -> tuple[float, int]:
    """Where cos x = x, by iteration, with the number of rounds."""
    x = start
    rounds = 0
    while True:
        step = math.cos(x) - x
        if abs(step) < 1e-12 or rounds >= most:
            break
        if step > 1e3:
            x += 1.0
            continue
        x += step if -10.0 < step <= 10.0 else 0.0
        rounds += 1
    return x, rounds


@kernel
def grown(disc: Disc, factor, times: int) -> Disc:
    """A disc that grows and moves a few times."""
    centre = disc.centre
    radius = disc.radius
    for _i in range(times):
        radius *= factor
        centre = moved(centre, radius, -radius)
    solid = disc.solid or radius > 2.0
    return Disc(centre=centre, radius=radius, solid=solid, count=disc.count + 1)


@kernel
def everything(x, y, n: int, out: Array) -> Disc:
    """A number through all of the above."""
    first = Disc(Point(x, y), 1.0 + abs(x), True, n)
    second = grown(first, 1.1, n + ROUNDS - 30)
    radius, angle = polar(second.centre)
    found, _ = root_of_cosine(clipped(x, -1.0, 1.0), 200)
    if overlap(first, second):
        sign = 1.0
        size = 2.0
    elif x == y or x != x:
        sign = 0.0
        size = 3.0
    else:
        sign = -1.0
        size = (4.0 if x < 0.0 else 5.0) if y < 0.0 else 6.0
    running_mean(out, out)
    powers = -(x * x) ** 1.5 + 2.0 ** -y - -x / (3.0 - (1.0 - size))
    if math.isfinite(powers):
        pass
    else:
        powers = math.pi
    centre = Point(angle + found, sign * size + powers * 2 + out[n])
    return Disc(centre, radius, solid=not 0.0 < x < 1.0, count=len(out) - 1)
