"""The same stepping for one shot and for many: Python's own numbers are ten times as fast as arrays of one."""

from __future__ import annotations

import math
from types import SimpleNamespace

import numpy as np

_LAWS = ("exp", "log1p", "sqrt", "sin", "cos", "asin", "atan", "atan2")
_ONE = SimpleNamespace(
    least=min, most=max, some=bool, pick=lambda test, yes, no: yes if test else no,
    sign=lambda value: (value > 0.0) - (value < 0.0), joined=tuple,
    each=lambda law, *vectors: tuple(zip(*map(law, *vectors))), **{name: getattr(math, name) for name in _LAWS},
)  # fmt: skip
_MANY = SimpleNamespace(
    least=np.minimum, most=np.maximum, some=np.count_nonzero, pick=np.where, sign=np.sign, joined=np.array,
    each=lambda law, *vectors: law(*vectors), **{name: getattr(np, name) for name in _LAWS},
)  # fmt: skip


def tools(shape):
    """`least`, `most`, `exp`, `log1p`, `sqrt`, `sin`, `cos`, `asin`, `atan`, `atan2`, `sign`, `some`, and `pick` (yes where
    the test holds, else no), for one shot or for many.

    `joined` makes a vector of its parts; `each` puts a law of several answers to every part of some vectors and gives one
    vector for each answer: arrays [parts, shots] go through at once.
    """
    return _MANY if shape else _ONE


def tools_for(first, second):
    """The tools for two values: Python's own only where both are plain numbers."""
    return _ONE if type(first) is type(second) is float else _MANY


def tools_of(*values):
    """The tools for any number of values: Python's own only where all are plain numbers."""
    return _ONE if set(map(type, values)) == {float} else _MANY


def rows(array, count, shape):
    """Rows [count] of an array of steps, each spread over the shots: numbers for one shot, arrays for many."""
    if shape:
        return np.broadcast_to(array, (count, *shape))
    numbers = np.ravel(array).tolist()
    return numbers if len(numbers) == count else numbers * count
