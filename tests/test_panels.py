"""Every ready-made panel, turned to its corners, its middle and its prepared states."""

import itertools
import random
import re

import numpy as np
import pytest

from spinlab.show import panels
from spinlab.show.knobs import Choice, Knob

MADE = panels.EVERY


@pytest.fixture(scope="module", params=MADE, ids=[make.__name__ for make in MADE])
def panel(request):
    return request.param()


def turns(panel):
    """Values to try: all knobs low, all high, all in the middle, then each knob's ends and each choice by itself."""
    numbers = {n: k for n, k in panel.knobs.items() if isinstance(k, Knob)}
    yield {n: k.low for n, k in numbers.items()}
    yield {n: k.high for n, k in numbers.items()}
    yield {n: 0.5 * (k.low + k.high) for n, k in numbers.items()}
    start = {n: k.value for n, k in panel.knobs.items()}
    for name, knob in panel.knobs.items():
        for value in knob.options if isinstance(knob, Choice) else (knob.low, knob.high):
            yield start | {name: value}


def test_anywhere_inside_draws_and_says_something(panel):
    """Settings drawn by lot, and each knob a thousandth of its range inside its ends."""
    chance = random.Random(panel.title)
    numbers = {n: k for n, k in panel.knobs.items() if isinstance(k, Knob)}
    drawn = [{n: k.low + chance.random() * (k.high - k.low) if n in numbers else chance.choice(list(k.options))
              for n, k in panel.knobs.items()} for _ in range(4)]
    inside = [{n: k.low + share * (k.high - k.low) for n, k in numbers.items()} for share in (0.001, 0.999)]
    for values in (*drawn, *inside):
        panel.set(**values)
        assert len(panel.sentence) > 20 and panel.sentence[-1] == "."
        assert "nan" not in panel.sentence and "inf" not in panel.sentence, values


def test_every_corner_draws_and_says_something(panel):
    for values in turns(panel):
        panel.set(**values)
        assert len(panel.sentence) > 20 and panel.sentence[-1] == "."
        assert "nan" not in panel.sentence and "inf" not in panel.sentence, values
        assert np.ptp(panel._picture.pixels[..., :3]) > 100


def test_each_prepared_state_looks_different(panel):
    seen = {}
    for state in panel.states:
        panel.go(state)
        seen[state] = panel._picture.pixels.copy()
    for one, other in itertools.combinations(seen, 2):
        assert (seen[one] != seen[other]).any(), (one, other)


def test_units_change_every_panel(panel):
    panel.reset()
    metric = panel.sentence
    panel.units = "yards"
    yards = panel.sentence
    panel.units = "metric"
    assert panel.sentence == metric
    assert not re.search(r"\d (m|m/s|°C)\b", yards), "a metric unit is left over"
    assert not re.search(r"\d (yd|mph|ft|in|°F)\b", metric)


def test_outside_its_range_a_knob_refuses_and_the_picture_stays(panel):
    panel.reset()
    before = panel.values
    name, knob = next((n, k) for n, k in panel.knobs.items() if isinstance(k, Knob))
    with pytest.raises(ValueError, match="must lie in"):
        panel.set(**{name: knob.high + (knob.high - knob.low)})
    assert panel.values == before


def test_one_carry_swings_every_wedge_as_the_engine_does():
    """The quick way of the panel against `compare_lofts`, which solves for the carry."""
    from spinlab import Ball, Between, Face
    from spinlab.physics.lofts import compare_lofts
    from spinlab.units import deg, um

    panel = panels.one_carry().set(carry=45.0, water=30 * um, cover="soft cover", green="medium")
    solved = compare_lofts(Face(), Ball.published_soft_cover(), lofts=[48 * deg, 56 * deg, 64 * deg], carry=45.0,
                           states={"dry": Between(), "wet": Between(water=30 * um)})
    places = [int(np.argmin(np.abs(panel.result.loft - loft))) for loft in solved.loft]
    for row, state in ((0, "dry"), (2, "wet")):
        assert panel.result.spin[row, places] == pytest.approx(solved.state(state)["spin_rate"], rel=3e-3)
        assert panel.result.descent[row, places] == pytest.approx(solved.state(state)["descent_angle"], abs=0.2 * deg)


def test_grooves_are_held_against_the_limits_in_the_words_agreed():
    panel = panels.groove_shape()
    assert "Within the limits by the numbers entered; only the governing bodies rule on a club." in panel.sentence
    panel.go("square, close together")
    assert "Outside the limits (groove width, area over pitch, edge radius) by the numbers entered" in panel.sentence


def test_every_knob_refuses_what_lies_just_outside_its_range(panel):
    """A thousandth of the range beyond either end, in either set of units, as Python and as the page says it."""
    panel.reset()
    before = panel.values
    for name, knob in panel.knobs.items():
        if isinstance(knob, Choice):
            with pytest.raises(ValueError):
                panel.set(**{name: "no such choice"})
            continue
        beyond = 1e-3 * (knob.high - knob.low)
        for value in (knob.low - beyond, knob.high + beyond, np.nan, np.inf, -np.inf):
            with pytest.raises(ValueError, match="must"):
                panel.set(**{name: value})
            for units in ("metric", "yards"):
                with pytest.raises(ValueError, match="must"):
                    knob.read(knob.show(value, units), units)
    assert panel.values == before


def test_every_knob_takes_its_very_ends_as_the_page_says_them(panel):
    """In either set of units: there and back must not step over the end by a rounding."""
    for knob in panel.knobs.values():
        if isinstance(knob, Knob):
            for units, end in itertools.product(("metric", "yards"), (knob.low, knob.high)):
                back = knob.read(knob.show(end, units), units)
                assert knob.low <= back <= knob.high and back == pytest.approx(end, rel=1e-8, abs=1e-12)
