"""A root between two places where a function has two signs: the bracketed secant, Illinois rule.

Dowell & Jarratt, BIT 11:168 (1971), from memory.  A secant alone may keep one end for ever; the rule
halves the value of an end that stays twice, and both ends close in.
"""

from __future__ import annotations

from typing import NamedTuple

from .compiled import kernel

ROOT_ROUNDS = 60
"""More rounds than any root here takes."""


class Bracket(NamedTuple):
    """Two places, the function's values there (one may have been halved), and which end moved last:
    −1 the low one, 1 the high one, 0 none yet."""

    low: float
    high: float
    at_low: float
    at_high: float
    moved: float


@kernel
def bracket_between(low, high, at_low, at_high) -> Bracket:
    """A bracket of which no end has moved; the values differ in sign."""
    return Bracket(low=low, high=high, at_low=at_low, at_high=at_high, moved=0.0)


@kernel
def secant(bracket: Bracket):
    """Where the straight line between the two ends is zero: the next place to look.

    >>> secant(bracket_between(1.0, 3.0, -1.0, 3.0))
    1.5
    """
    share = (bracket.high - bracket.low) * bracket.at_low / (bracket.at_low - bracket.at_high)
    return bracket.low + share


@kernel
def narrowed(bracket: Bracket, here, value) -> Bracket:
    """The bracket with its end of the same sign moved to a place inside it; zero moves the high end.

    >>> narrowed(bracket_between(1.0, 3.0, -1.0, 3.0), 1.5, -0.5)
    Bracket(low=1.5, high=3.0, at_low=-0.5, at_high=3.0, moved=-1.0)
    """
    if value * bracket.at_low > 0.0:
        kept = 0.5 * bracket.at_high if bracket.moved < 0.0 else bracket.at_high
        return Bracket(low=here, high=bracket.high, at_low=value, at_high=kept, moved=-1.0)
    kept = 0.5 * bracket.at_low if bracket.moved > 0.0 else bracket.at_low
    return Bracket(low=bracket.low, high=here, at_low=kept, at_high=value, moved=1.0)
