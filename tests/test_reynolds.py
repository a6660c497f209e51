"""The way out of the water, from Reynolds' equation: the solver against closed forms, the formula
against the solver."""

import doctest

import numpy as np
import pytest
import reynolds

from spinlab.kernel import film as drainage
from spinlab.kernel.film import drainage_length_squared

MM = 1e-3


def test_plain_disc():
    """1.5 a² (Reynolds 1886; Stefan 1874; from memory), and the error falls with the square of
    the mesh size."""
    misses = []
    for cells in (12, 24, 48):
        length = (
            12
            * reynolds.integral_over_slice(6.5 * MM, -6.5 * MM, 6.5 * MM, cells)
            / (np.pi * (6.5 * MM) ** 2)
        )
        misses.append(1 - length / (1.5 * (6.5 * MM) ** 2))
    assert misses[-1] < 0.003
    assert misses[0] / misses[1] == pytest.approx(4, abs=0.3)
    assert misses[1] / misses[2] == pytest.approx(4, abs=0.3)


@pytest.mark.parametrize(
    "sides, torsion",
    [(1.0, 0.1406), (1.5, 0.196), (2.0, 0.229), (3.0, 0.263), (5.0, 0.291), (10.0, 0.312)],
)
def test_rectangle_against_the_published_torsion_table(sides, torsion):
    """∇²u = −1 is also Saint-Venant's torsion of a bar, so L² = 3 β W² with β of the rectangular
    bar in Timoshenko & Goodier, Theory of Elasticity (from memory).  For the square this is the
    squeeze film's published load ratio 0.42."""
    coarse = reynolds.integral_over_rectangle(1.0, sides, 40)
    fine = reynolds.integral_over_rectangle(1.0, sides, 80)
    length = 12 * (4 * fine - coarse) / 3 / sides
    assert length == pytest.approx(3 * torsion, abs=3 * 0.0006)


def test_long_strip():
    """W² (Reynolds 1886, from memory), less 0.63 of a width for the two ends of a long
    rectangle."""
    length = 12 * reynolds.integral_over_rectangle(1.0, 40.0, 80) / 40.0
    assert length == pytest.approx(1 - 0.630 / 40.0, abs=0.005)


def test_many_narrow_lands_are_endless():
    """S³/P: each land drains S², over its own share S/P of the area that carries all of the
    load."""
    land, groove = 0.3 * MM, 0.1 * MM
    length = reynolds.extrapolated(20 * MM, land, groove, cells=40, positions=2)
    assert length == pytest.approx(land**3 / (land + groove), rel=0.02)


def test_no_groove_under_the_patch_is_a_plain_disc():
    at = reynolds.length_squared_at(6 * MM, 40 * MM, 0.8 * MM, 20 * MM, cells=48)
    assert at == pytest.approx(1.5 * (6 * MM) ** 2, rel=0.004)


def test_usual_grooves():
    """Two independent trials gave 4.2 – 4.8 mm² at radius 6 – 7 mm by where the ball sits
    (computed elsewhere)."""
    middles = (np.arange(8) + 0.5) / 8 * 1.75 * MM
    lengths = [
        reynolds.length_squared_at(radius * MM, 2.7 * MM, 0.8 * MM, middle, cells=36) * 1e6
        for radius in (6.5, 7.0)
        for middle in middles
    ]
    assert 4.1 < min(lengths) < 4.4
    assert 4.5 < max(lengths) < 4.8


@pytest.mark.parametrize("radius", [3, 4.5, 6, 7.5, 9])
@pytest.mark.parametrize("land", [1.5, 2.7, 4.2, 6])
@pytest.mark.parametrize("groove", [0.3, 0.65, 1.0])
def test_formula_against_the_equation(radius, land, groove):
    """The stated 3.2 % (on a mesh that is extrapolated), at points that were not all fitted."""
    sizes = (radius * MM, land * MM, groove * MM)
    length = reynolds.extrapolated(*sizes, cells=14, positions=8)
    assert drainage_length_squared(*sizes, 1.0) == pytest.approx(length, rel=0.036)


def test_formula_limits():
    disc = 1.5 * (6 * MM) ** 2
    assert drainage_length_squared(6 * MM, 2.7 * MM, 0.8 * MM, 0.0) == pytest.approx(
        disc, rel=1e-12
    )
    assert drainage_length_squared(6 * MM, 1e6, 0.8 * MM, 1.0) == pytest.approx(disc, rel=1e-3)
    endless = 2.7**3 / 3.5 * MM**2
    assert drainage_length_squared(1e6, 2.7 * MM, 0.8 * MM, 1.0) == pytest.approx(endless, rel=1e-3)


def test_every_second_groove_closed():
    """The closure for a share of open grooves stands between grooves filled evenly (they drain
    like open ones) and whole grooves closed."""
    everything = drainage_length_squared(6.5 * MM, 2.7 * MM, 0.8 * MM, 1.0)
    half = drainage_length_squared(6.5 * MM, 2.7 * MM, 0.8 * MM, 0.5)
    second = reynolds.extrapolated(6.5 * MM, 6.2 * MM, 0.8 * MM, cells=24, positions=8)
    assert everything < half < second
    assert half / everything == pytest.approx(1.9, abs=0.1)
    assert second / everything == pytest.approx(4.0, abs=0.3)


def test_published_example_in_the_docstring():
    assert doctest.testmod(drainage).failed == 0
