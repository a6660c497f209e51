"""The instants at which a contact is looked at, and sums over them.

Nodes lie evenly in a number j that grows with an angle; what happens in a contact is smooth in it, and even or odd about
both ends.  They are denser at the start, where a film is squeezed out fast.  A cubic through four nodes then stands for what
lies between: for a value at any place, for where something falls through nought, and for sums, which are matrices made once.
"""

from __future__ import annotations

import numpy as np
from scipy.special import betainc

STEPS = 42
"""Steps across the contact.  Against an adaptive integrator at 1e-10, on random strikes dry, wet, flooded and soiled, this
leaves 0.002 – 0.014 % in the spin (medians) and 0.07 % at most; where the ball lets go and is caught again within a step or
two, up to 0.2 % (against 1440 steps)."""

_DENSER = 0.5  # steps at the start are so much shorter than the mean, and those at the end longer
_B = 128 / (3 * np.pi)  # 1/B(2.5, 2.5): dp/du = _B u^1.5 (1−u)^1.5
_FOUR = np.arange(4)[:, None]


def _angle(node):
    """From nought to π/2; its squared sine is close to the share of the time."""
    return np.pi / 2 * (node / STEPS - _DENSER / np.pi * np.sin(np.pi * node / STEPS))


def _turn(node):
    """How fast the angle grows from node to node."""
    return np.pi / 2 / STEPS * (1 - _DENSER * np.cos(np.pi * node / STEPS))


def _lean(node):
    """sin × cos of the angle, nought at both ends."""
    return 0.5 * np.abs(np.sin(2 * _angle(node)))


def _pace(node):
    """How fast the share of the impulse grows from node to node."""
    return 2 * _B * _lean(node) ** 4 * _turn(node)


NODES = np.arange(STEPS + 1)[:, None]
GIVEN = betainc(2.5, 2.5, np.sin(_angle(NODES)) ** 2)
"""Share of the normal impulse given at each node: nearly even in time for a Hertz pulse."""
GIVEN[-1] = 1.0
PACE = _pace(NODES)
PACE[[0, -1]] = 0.0


def _weights(t):
    """The four cubics that are 1 at one of 0, 1, 2, 3 and 0 at the others."""
    a, b, c = t - 1, t - 2, t - 3
    ab, tc = a * b, t * c
    return ab * c / -6, tc * b / 2, tc * a / -2, t * ab / 6


_FOURTH = np.array(((6, -11, 6, -1), (0, 18, -15, 3), (0, -9, 12, -3), (0, 2, -3, 1))) / 6  # the same, by powers of t


def _sums(weight, parity):
    """Matrix [steps, nodes] of ``∫ weight f dj`` over each step, f the cubic through four nodes.

    At the ends the cubic leans on nodes beyond, where f is the same again (`parity` 1) or turned round (−1); without parity
    (0) it leans inwards.
    """
    points, shares = np.polynomial.legendre.leggauss(30)
    points, shares = 0.5 * (points + 1), 0.5 * shares
    matrix = np.zeros((STEPS, STEPS + 1))
    for step in range(STEPS):
        j, share = step + points, shares
        if step in (0, STEPS - 1):  # points drawn towards the end, where a weight may begin like a root
            share = 2 * points * shares
            j = points**2 if step == 0 else STEPS - points**2
        first = step - 1 if parity else min(max(step - 1, 0), STEPS - 3)
        for node, cubic in zip(range(first, first + 4), _weights(j - first)):
            beyond = not 0 <= node <= STEPS
            within = abs(node) if node < 0 else STEPS - abs(STEPS - node)
            matrix[step, within] += (parity if beyond else 1) * np.sum(share * weight(j) * cubic)
    return matrix


def _open(matrix, scale=1.0):
    """The matrix for rates that are nought times infinity at the ends: even there, they are told by their neighbours."""
    matrix = matrix.copy()
    for end, first, second in ((0, 1, 2), (-1, -2, -3)):
        matrix[:, first] += 4 / 3 * matrix[:, end]
        matrix[:, second] -= 1 / 3 * matrix[:, end]
        matrix[:, end] = 0.0
    return matrix / scale


OVER_EVEN, OVER_ODD = _sums(np.ones_like, 1), _sums(np.ones_like, -1)
"""What a rate at the nodes adds up to in each step, for rates even or odd about both ends."""
OVER_OPEN = _open(OVER_EVEN)
"""The same for even rates that cannot be told at the two ends; they are not looked at there."""
OVER_ROOT = _open(_sums(lambda node: np.sqrt(_lean(node)), 1), np.sqrt(np.maximum(_lean(NODES[:, 0]), 1e-9)))
"""The same for rates that begin and end like the square root of the angle."""
IMPULSE = np.vstack([np.zeros(STEPS + 1), np.cumsum(_sums(_pace, 0), axis=0)])
"""What something adds up to over the impulse, from the start to each node: exact for what is steady."""


def cubic(place, one, since=0):
    """First of the four nodes around a place [in nodes], counted from node `since` on, where they lie in an array of all
    shots laid out flat, and the weights of the cubic through them."""
    first = one.whole(one.least(one.most(place - 1, 0), STEPS - 3))
    t = place - first
    if type(first) is int:
        return first - since, None, _weights(t)
    square = t * t
    return first - since, _flat(first - since, len(first)), _FOURTH @ np.array((np.ones_like(t), t, square, square * t))


def _flat(first, shots):
    """Where four nodes from the first on lie, if values [nodes, shots] are laid out flat."""
    return (first + _FOUR) * shots + np.arange(shots)


def between(values, first, flat, weights):
    """Values [..., nodes, shots], or of one shot [..., nodes], at a place between nodes, from `cubic`."""
    if flat is None:
        return (values[..., first : first + 4] @ weights).tolist()
    if values.shape[-1] < flat.shape[-1]:  # shared by all
        return (values[..., first + _FOUR, 0] * weights).sum(axis=-2)
    return (values.reshape(*values.shape[:-2], -1).take(flat, axis=-1) * weights).sum(axis=-2)


def falling(values, low, high, one, since=0):
    """Where each of some values at the nodes falls through nought between a place `low` and the node `high` less than a step
    on, by Newton's rule on the cubic; infinity where it does not.  The values are told from node `since` on.

    Returns these places, the first of them or `high`, and there the values and the share of the impulse given.
    """
    first = one.least(one.most(high - 2, 0), STEPS - 3)
    if type(first) is int:
        powers = [_powers(*part[first - since : first - since + 4].tolist()) for part in values]
        at = [_fall(of, low - first, high - first, one) + first for of in powers]
        place = min(*at, high)
        t = place - first
        return at, place, [_value(of, t) for of in powers], _value(_GIVEN[:, first].tolist(), t)
    flat = _flat(first - since, len(first))
    powers = _powers(*np.array([part.take(flat) for part in values]).swapaxes(0, 1))
    at = _fall(powers, low - first, high - first, one) + first
    place = np.minimum(at.min(axis=0), high)
    t = place - first
    return at, place, _value(powers, t), _value(_GIVEN.take(first, axis=1), t)


def _powers(start, one_on, two_on, three_on):
    """The cubic through values at 0, 1, 2, 3, in powers of t."""
    a, b, c = one_on - start, two_on - one_on, three_on - two_on
    b, c = (b - a) / 2, (c - b - (b - a)) / 6
    # start + t (a + (t − 1) (b + (t − 2) c))
    return start, a - b + 2 * c, b - 3 * c, c


_GIVEN = np.array(_powers(*(GIVEN[i : STEPS - 2 + i, 0] for i in range(4))))  # by the first node


def _value(powers, t):
    c0, c1, c2, c3 = powers
    return c0 + t * (c1 + t * (c2 + t * c3))


def _fall(powers, low, high, one):
    """Where a cubic falls through nought between low and high."""
    _, c1, c2, c3 = powers
    twice, thrice = 2 * c2, 3 * c3
    above, below = _value(powers, low), _value(powers, high)
    t = low + (high - low) * one.least(one.most(above / one.most(above - below, 1e-300), 0.0), 1.0)
    for _ in range(2):
        slope = one.least(c1 + t * (twice + t * thrice), -1e-300)
        t = one.least(one.most(t - _value(powers, t) / slope, low), high)
    return one.pick(below < 0, t, np.inf)


# Made and dropped, never touched: from then on the C library keeps memory of this size for the next arrays, where it would
# else give it back to the system and ask for it again at every sum.
np.empty(31 * 2**17)
