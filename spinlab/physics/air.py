"""The air: density, viscosity, altitude, wind near the ground, over arrays; the laws stand in `spinlab.kernel.air`."""

from __future__ import annotations

import numpy as np

from ..kernel import air as kernel
from ..records import Air
from .rows import elementwise

saturation_pressure = elementwise(kernel.saturation_pressure)
air_viscosity = elementwise(kernel.air_viscosity)
wind_profile = elementwise(kernel.wind_profile)
_density = elementwise(kernel.air_density)


def air_density(*, temperature, pressure=101325.0, humidity=0.0):
    """Density of moist air [kg/m³], see `spinlab.kernel.air.air_density`."""
    return _density(temperature, pressure, humidity)


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
    standard = {"temperature": temperature_at_altitude(altitude), "pressure": pressure_at_altitude(altitude)}
    return Air(**standard | changes)
