"""Every ready-made panel, turned to its corners, its middle and its prepared states."""

import itertools
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
