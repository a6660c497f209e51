"""The bracketed secant: roots whose places are known without it."""

import doctest
import math

import pytest

from spinlab.kernel import bracket
from spinlab.kernel.bracket import ROOT_ROUNDS, bracket_between, narrowed, secant


def root(law, low, high, precision=1e-13):
    """The root and the rounds it took."""
    now = bracket_between(low, high, law(low), law(high))
    for rounds in range(ROOT_ROUNDS):
        here = secant(now)
        assert now.low <= here <= now.high
        now = narrowed(now, here, law(here))
        if abs(law(here)) < precision:
            return here, rounds
    raise AssertionError("no root")


@pytest.mark.parametrize(("law", "low", "high", "known"), [
    (lambda x: x * x - 2.0, 0.0, 2.0, math.sqrt(2.0)),
    (lambda x: 2.0 - x * x, 0.0, 2.0, math.sqrt(2.0)),  # falling as well as rising
    (lambda x: math.exp(x) - 1.0, -3.0, 5.0, 0.0),
])
def test_finds_known_roots(law, low, high, known):
    found, rounds = root(law, low, high)
    assert found == pytest.approx(known, abs=1e-12)
    assert rounds < 15


def test_a_curve_flat_at_its_root_is_found_too():
    found, rounds = root(lambda x: x**9, -1.0, 1.5)
    assert abs(found) < 0.05  # where x⁹ is below the 1e-13 asked for
    assert rounds < ROOT_ROUNDS - 10


def test_a_bent_curve_closes_in_from_both_ends():
    # a plain secant would keep the high end of x² − 2 for ever (Dowell & Jarratt 1971, from memory)
    now = bracket_between(0.0, 2.0, -2.0, 2.0)
    for _ in range(12):
        here = secant(now)
        now = narrowed(now, here, here * here - 2.0)
    assert now.low <= math.sqrt(2.0) <= now.high
    assert now.high - now.low < 1e-9


def test_examples():
    assert doctest.testmod(bracket).failed == 0
