"""The film: water's properties, squeeze film, load and friction, against tables and outside libraries."""

import numpy as np
import pytest
from iapws import IAPWS95
from iapws._iapws import _Viscosity

from spinlab.physics import film
from spinlab.physics.contact import dry_friction
from spinlab.records import Ball
from spinlab.units import mm, mph, psi, um

CELSIUS = 273.15


@pytest.mark.parametrize("celsius, viscosity", [
    (0.01, 1.7912e-3), (10, 1.3059e-3), (20, 1.0016e-3), (25, 0.8900e-3), (30, 0.7972e-3), (40, 0.6527e-3)])
def test_viscosity_iapws_table(celsius, viscosity):
    """IAPWS SR6-08 and R12-08 values at 0.1 MPa, S."""
    assert film.water_viscosity(celsius + CELSIUS) == pytest.approx(viscosity, rel=1e-3)


@pytest.mark.parametrize("celsius, density", [(20, 998.207), (25, 997.047), (40, 992.216)])
def test_density_iapws_table(celsius, density):
    """IAPWS-95 at 0.1 MPa, S."""
    assert film.water_density(celsius + CELSIUS) == pytest.approx(density, abs=0.02)


@pytest.mark.parametrize("celsius", [0.01, 5, 15, 25, 35, 50, 60])
def test_water_against_the_iapws_library(celsius):
    """The open `iapws` library: IAPWS-95 density and R12-08 viscosity at 0.1 MPa; SR6-08 itself states 1 %."""
    outside = IAPWS95(T=celsius + CELSIUS, P=0.1)
    assert film.water_density(celsius + CELSIUS) == pytest.approx(outside.rho, rel=2e-5)
    viscosity = _Viscosity(outside.rho, celsius + CELSIUS)
    assert film.water_viscosity(celsius + CELSIUS) == pytest.approx(viscosity, rel=2e-3)


@pytest.mark.parametrize("shape, size, left", [("strip", 2.667, 0.754), ("strip", 1.905, 0.539), ("disc", 6.5, 2.252)])
def test_squeeze_film_reynolds(shape, size, left):
    """Reynolds' squeeze film at 25 MPa, 0.25 ms, 1 mPa s, C."""
    after = {"strip": lambda w, **k: film.film_after_strip(0.25e-3, width=w, **k),
             "disc": lambda a, **k: film.film_after_strip(0.25e-3, width=1.5**0.5 * a, **k)}[shape]
    assert after(size * mm, pressure=25e6, viscosity=1e-3) / um == pytest.approx(left, abs=0.001)


@pytest.mark.parametrize("drainage, after, path", [
    (2.5e-3**2, film.film_after_strip, {"width": 2.5e-3}),
    (1.5 * 6e-3**2, film.film_after_strip, {"width": 1.5**0.5 * 6e-3})])
def test_rates_are_the_slopes_of_the_closed_films(drainage, after, path):
    """dh/dt of the closed form is the rate: identity.  L² is W² under a strip, 1.5 a² under a disc."""
    how = {"pressure": 2e7, "viscosity": 1.1e-3} | path
    t, dt = 1e-5, 1e-9
    slope = (after(t + dt, start=40e-6, **how) - after(t - dt, start=40e-6, **how)) / (2 * dt)
    here = after(t, start=40e-6, **how)
    assert film.squeeze_rate(here, 2e7, 1.1e-3, drainage) == pytest.approx(slope, rel=1e-6)
    assert after(0.0, start=40e-6, **how) == pytest.approx(40e-6)


def test_bulk_limit_is_torricelli():
    """Water leaves a gap no faster than √(2p/ρ) through its two sides (Torricelli): ḣ L = 2 h √(2p/ρ), identity."""
    h, length, p = 20e-6, 2.5e-3, 1e7
    assert film.bulk_rate(h, pressure=p, density=1000, path=length) == pytest.approx(-2 * h / length * np.sqrt(2 * p / 1000))


def test_drained_plate_jeffreys():
    """h = √(η z/(ρ g t)), Jeffreys 1930, C: 20 mm below the top after 10 s; the mean over the plate is two thirds."""
    how = {"viscosity": 1e-3, "density": 1000.0, "gravity": 9.81}
    assert film.drained_film(height=0.020, seconds=10.0, **how) / um == pytest.approx(14.278, abs=0.005)
    z = np.linspace(0, 0.020, 20001)
    mean = np.trapezoid(film.drained_film(height=z, seconds=10.0, **how), z) / 0.020
    assert mean / um == pytest.approx(9.519, abs=0.005)
    for seconds, left in [(1, 45.2), (10, 14.3), (60, 5.8)]:  # C, the water amounts of the lessons
        assert film.drained_film(height=0.020, seconds=seconds, **how) / um == pytest.approx(left, abs=0.06)


def test_tyre_formula():
    """NASA TN D-2056, S: 29 psi floats at 55.7 mph; at a face's pressures it would ask for hundreds of m/s."""
    assert film.tyre_speed(29 * psi) / mph == pytest.approx(55.7, abs=0.05)
    assert film.tyre_speed(25e6) > 250  # m/s: the face is not this case


@pytest.mark.parametrize("ratio, share", [(0.5, 0.390), (1.0, 0.131), (2.0, 0.0088)])
def test_load_share_greenwood_tripp(ratio, share):
    """F₅⸝₂(λ)/F₅⸝₂(0) of a Gaussian height distribution (Greenwood & Tripp 1971), C – by quadrature here as well."""
    s = np.linspace(ratio, ratio + 12, 200001)
    whole = np.linspace(0, 12, 200001)
    exact = np.trapezoid((s - ratio) ** 2.5 * np.exp(-s * s / 2), s) / np.trapezoid(
        whole**2.5 * np.exp(-whole * whole / 2), whole)
    assert exact == pytest.approx(share, abs=0.002)
    assert film.solid_share_greenwood_tripp_1971(ratio * 2e-6, 2e-6) == pytest.approx(exact, abs=0.012)


def test_load_share_limits():
    """No film: all on solids.  A thick one: nothing.  Never rising between."""
    share = film.solid_share(np.linspace(0, 1e-3, 5000), 2e-6, 1.5)
    assert share[0] == 1.0 and share[-1] < 1e-100 and np.all(np.diff(share) <= 0)


def test_boundary_factor_limits():
    """1 when dry; 0.70–0.80 of dry when wet (Persson et al. 2005, S); smooth between."""
    factor = film.boundary_factor(np.linspace(0, 100e-6, 100001), 0.775)
    assert factor[0] == 1.0 and 0.70 <= factor[-1] <= 0.80
    assert np.all(np.diff(factor) <= 0) and np.abs(np.diff(factor)).max() < 3e-4


@pytest.mark.parametrize("speed, friction", [
    (12.8, 0.38), (26.8, 0.29), (19.8, 0.335), (5.0, 0.38), (40.0, 0.29), (-26.8, 0.29)])
def test_dry_friction_gobush_1996(speed, friction):
    """Soft cover on steel: 0.38 at 12.8 m/s, 0.29 at 26.8 m/s (Gobush 1996 in Penner 2003 p. 149, Q).  These numbers go in:
    what is tested is the line between them and the ends, not the friction."""
    assert dry_friction(speed, Ball.published_soft_cover()) == pytest.approx(friction, abs=1e-12)
