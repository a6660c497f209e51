"""The air against tables, and against an open library."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from spinlab.physics import air
from spinlab.records import Air


def test_standard_air():
    # ISO 2533 standard atmosphere at 15 °C, sea level (S)
    assert air.air_density(temperature=288.15) == pytest.approx(1.2250, rel=1e-3)
    assert air.air_viscosity(288.15) == pytest.approx(1.7894e-5, rel=1e-3)


@pytest.mark.parametrize("altitude, density", [(0, 1.2250), (500, 1.16727), (1000, 1.11164), (2000, 1.00649)])
def test_standard_atmosphere_by_altitude(altitude, density):
    # ISO 2533 table (S)
    here = air.air_at_altitude(altitude)
    assert air.air_density(temperature=here.temperature, pressure=here.pressure) == pytest.approx(density, rel=1e-3)


@pytest.mark.parametrize("celsius, humidity, density", [(20, 0.0, 1.20456), (20, 0.5, 1.19931), (25, 0.5, 1.17732)])
def test_cipm_2007(celsius, humidity, density):
    # CIPM-2007, Picard et al., Metrologia 45:149 (2008), at 101325 Pa (S); the gas law lacks its compressibility
    assert air.air_density(temperature=celsius + 273.15, humidity=humidity) == pytest.approx(density, rel=1e-3)


@pytest.mark.parametrize("celsius, viscosity", [(15, 1.78938e-5), (20, 1.81341e-5)])
def test_sutherland(celsius, viscosity):
    # Sutherland's law with the constants of ISO 2533 (S)
    assert air.air_viscosity(celsius + 273.15) == pytest.approx(viscosity, rel=1e-4)


def test_humid_air_is_lighter():
    # gas law by hand: 30 °C, 100 % against 0 % (C)
    ratio = air.air_density(temperature=303.15, humidity=1.0) / air.air_density(temperature=303.15)
    assert 100 * (ratio - 1) == pytest.approx(-1.6, abs=0.2)


def test_saturation_pressure_at_the_boiling_and_triple_points():
    # IAPWS: 611.66 Pa at 273.16 K, 2339 Pa at 20 °C, 7384 Pa at 40 °C (M)
    assert air.saturation_pressure([273.16, 293.15, 313.15]) == pytest.approx([611.66, 2339.2, 7384.4], rel=2e-3)


@given(altitude=st.floats(0, 4000))
def test_against_an_open_library(altitude):
    # outside check: the open library `ambiance`, ICAO 1993 atmosphere
    ambiance = pytest.importorskip("ambiance")
    other, here = ambiance.Atmosphere(altitude), air.air_at_altitude(altitude)
    assert here.pressure == pytest.approx(other.pressure[0], rel=1.5e-3)
    density = air.air_density(temperature=here.temperature, pressure=here.pressure)
    assert density == pytest.approx(other.density[0], rel=1.5e-3)
    assert air.air_viscosity(here.temperature) == pytest.approx(other.dynamic_viscosity[0], rel=1e-3)


def test_wind_profile():
    # the power law itself (M): 10 m is the reference, a wind at 2 m is about four fifths of it
    assert air.wind_profile(10.0) == pytest.approx(1.0, abs=1e-3)
    assert air.wind_profile(2.0) == pytest.approx(0.2**0.14, rel=0.02)
    assert (np.diff(air.wind_profile(np.linspace(0, 60, 200))) > 0).all()


@given(st.floats(223.15, 333.15), st.floats(5e4, 1.1e5), st.floats(0, 1))
def test_no_weather_breaks_it(temperature, pressure, humidity):
    density = air.air_density(temperature=temperature, pressure=pressure, humidity=humidity)
    dry = air.air_density(temperature=temperature, pressure=pressure)
    assert 0.3 < density <= dry


def test_a_record_of_the_mountains_refuses_the_moon():
    with pytest.raises(ValueError, match=r"Air.pressure .*must lie in 500 hPa … 1\u202f100 hPa"):
        air.air_at_altitude(9000.0)
    assert isinstance(air.air_at_altitude(1500.0, wind=2.0), Air)
