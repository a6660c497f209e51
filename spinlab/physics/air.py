"""The air: density, viscosity, altitude, wind near the ground."""

from __future__ import annotations

import numpy as np

GAS_CONSTANT_DRY = 287.05287
"""Specific gas constant of dry air [J/(kg K)] (ISO 2533, the standard atmosphere)."""


def saturation_pressure(temperature):
    """Pressure of saturated water vapour over water [Pa], temperature [K] from 223 to 333.

    ``exp(A T² + B T + C + D/T)``, CIPM-2007, Picard et al., Metrologia 45:149 (2008), doi 10.1088/0026-1394/45/2/004
    (its four numbers quoted by other programs, the rest from memory; checked against its densities).  Below freezing it is
    that of supercooled water.
    """
    t = np.asarray(temperature, dtype=float)
    return np.exp(1.2378847e-5 * t * t - 1.9121316e-2 * t + 33.93711047 - 6.3431645e3 / t)


def air_density(*, temperature, pressure=101325.0, humidity=0.0):
    """Density of moist air [kg/m³] from temperature [K], pressure [Pa] and relative humidity (0 … 1).

    ``ρ = (p − 0.378 e)/(R T)``: the gas law for dry air and vapour together, e the vapour's pressure.  Within 0.06 % of
    CIPM-2007 (which adds compressibility; densities from memory) for golf weather.  Damp air is lighter than dry air.
    """
    vapour = np.minimum(humidity * saturation_pressure(temperature), 0.5 * np.asarray(pressure))
    return (pressure - 0.378 * vapour) / (GAS_CONSTANT_DRY * np.asarray(temperature))


def air_viscosity(temperature):
    """Viscosity of air [Pa s], temperature [K] from 170 to 1900: ``1.458e-6 T^1.5/(T + 110.4)``.

    Sutherland's law with the numbers of ISO 2533 (quoted); checked against an open library.
    """
    t = np.asarray(temperature, dtype=float)
    return 1.458e-6 * t**1.5 / (t + 110.4)


def pressure_at_altitude(altitude):
    """Pressure of the standard atmosphere [Pa] at an altitude [m] up to 11,000: ``101325 (1 − 2.25577e-5 h)^5.25588``.

    ISO 2533 (from memory), within 0.15 % of an open library up to 4,000 m.  The weather of a day differs by more.
    """
    return 101325.0 * (1 - 2.25577e-5 * np.asarray(altitude, dtype=float)) ** 5.25588


def temperature_at_altitude(altitude):
    """Temperature of the standard atmosphere [K] at an altitude [m]: 6.5 K less for every 1,000 m (ISO 2533,
    quoted)."""
    return 288.15 - 0.0065 * np.asarray(altitude, dtype=float)


def air_at_altitude(altitude, **changes):
    """An `Air` of the standard atmosphere at an altitude [m]; other fields by name: ``air_at_altitude(1500, wind=3.0)``."""
    from ..records import Air

    standard = {"temperature": temperature_at_altitude(altitude), "pressure": pressure_at_altitude(altitude)}
    return Air(**standard | changes)


CALM_HEIGHT = 1.0
"""Below about this height [m] the wind's law is rounded off: within the grass it says nothing, and its slope is endless."""


def wind_profile(height):
    """Wind at a height z [m] against the wind at 10 m: ``(z/10)^0.14``, with √(z² + 1) in place of z.

    The power law for open, short grass in neutral air (from memory); trees and buildings change it far more.
    """
    return ((height * height + CALM_HEIGHT**2) / 100.0) ** 0.07
