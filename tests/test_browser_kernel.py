"""The kernel in real browsers: two thousand golden shots, the same to the printed digit."""

import math

import any_browser
import make_golden
import numpy as np
import pytest

from spinlab.kernel import javascript, shot
from spinlab.units import deg, rpm, um

CLOSE = 1e-6
"""Wanted agreement of launch, spin, speed and carry: a hundredth of the last printed digit."""
LOOSE = {"time": 1e-5, "film_left": 1e-4, "run_out": 1e-5}
"""Events near the departure amplify rounding; so do a film that is nearly gone and many bounces."""
SMALL = {"ball_speed": 1e-6, "launch_angle": 1e-6, "spin_rate": 1e-4, "time": 1e-9,
         "film_left": 1e-10, "carry": 1e-5, "run_out": 1e-5}
"""Below this, a difference is of no account however small the number: µm/s, µrad, 0.001 rpm, ns,
0.1 nm, 10 µm."""
PRINTED = {"ball_speed": (1.0, 1), "launch_angle": (deg, 1), "spin_rate": (rpm, 0),
           "film_left": (um, 2), "carry": (1.0, 1)}
"""Unit and decimals that people read."""


@pytest.fixture(scope="module")
def golden():
    """The golden shots, with the calls of `play` that belong to them."""
    found = make_golden.load()
    found["calls"] = make_golden.calls(found)
    return found


def assert_same(golden, results):
    """Every answer within its tolerance, and the same digits printed."""
    wrong = []
    for regime, wanted, got in zip(golden["regimes"], golden["answers"], results, strict=True):
        for name, a, b in zip(golden["names"], wanted, got, strict=True):
            tolerance = LOOSE.get(name, CLOSE)
            if not math.isclose(a, b, rel_tol=tolerance, abs_tol=SMALL[name]):
                wrong.append(f"{regime}: {name} {b!r}, not {a!r}")
            unit, decimals = PRINTED.get(name, (1.0, None))
            if decimals is not None and f"{a / unit:.{decimals}f}" != f"{b / unit:.{decimals}f}":
                wrong.append(f"{regime}: {name} prints otherwise, {b!r}, not {a!r}")
    assert not wrong, f"{len(wrong)} of {len(results)}: " + "; ".join(wrong[:10])


def test_the_golden_shots_are_what_the_source_gives(golden):
    """Else run ``python tests/make_golden.py``, and look at what has moved."""
    regimes, table, chosen = make_golden.inputs()
    assert [regimes, table, chosen] == [golden["regimes"], golden["kinds"], golden["shots"]]
    results = [make_golden.answers(shot.play(*given)) for _, given in golden["calls"]]
    assert_same(golden, results)
    np.testing.assert_allclose(results, golden["answers"], rtol=1e-9, atol=1e-12)


def test_the_golden_shots_are_of_every_kind(golden):
    """Contacts that keep water or lose it, shots that spin or slide, balls that draw back."""
    columns = dict(zip(golden["names"], np.transpose(golden["answers"]), strict=True))
    films = columns["film_left"]
    assert len(golden["answers"]) == 2000
    assert (films == 0).sum() > 200
    assert (films > 1e-6).sum() > 200
    assert ((films > 0) & (films < 1e-6)).sum() > 100
    assert (columns["run_out"] < 0).sum() > 20
    assert (columns["spin_rate"] > 6000 * rpm).sum() > 100
    assert (columns["spin_rate"] < 2000 * rpm).sum() > 100


@pytest.mark.parametrize("name", any_browser.BROWSERS)
def test_browsers_give_the_golden_shots(golden, name):
    if not any_browser.present(name):
        pytest.skip(f"no {name} on this machine")
    results, _ = any_browser.in_browser(name, javascript.kernel_module(), golden["calls"])
    assert_same(golden, [make_golden.answers(played) for played, _ in results])
