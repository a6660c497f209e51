"""Air: density, viscosity, and wind near the ground."""

from __future__ import annotations

import math

from .compiled import kernel

GAS_CONSTANT_DRY = 287.05287
"""Specific gas constant of dry air [J/(kg K)] (ISO 2533, the standard atmosphere)."""
CALM_HEIGHT = 1.0
"""Below about this height [m] the law of the wind is rounded off: within the grass it says
nothing, and its slope has no bound."""


@kernel
def saturation_pressure(temperature):
    """Pressure of saturated water vapour over water [Pa], temperature [K] from 223 to 333.

    ``exp(A T² + B T + C + D/T)``, CIPM-2007, Picard et al., Metrologia 45:149 (2008),
    doi 10.1088/0026-1394/45/2/004 (its four numbers quoted by other programs, the rest from memory;
    checked against its densities).  Below freezing it is that of supercooled water.

    >>> round(saturation_pressure(293.15))  # 2.339 kPa at 20 °C in steam tables, from memory
    2339
    """
    t = temperature
    return math.exp(1.2378847e-5 * t * t - 1.9121316e-2 * t + 33.93711047 - 6.3431645e3 / t)


@kernel
def air_density(temperature, pressure, humidity):
    """Density of moist air [kg/m³] from temperature [K], pressure [Pa], relative humidity (0 … 1).

    ``ρ = (p − 0.378 e)/(R T)``: the gas law for dry air and vapour together, e the vapour's
    pressure.  Within 0.06 % of CIPM-2007 (which adds compressibility; densities from memory) for
    golf weather.  Damp air is lighter than dry air.

    >>> round(air_density(288.15, 101325.0, 0.0), 4)  # 1.2250 kg/m³ at sea level (ISO 2533, quoted)
    1.225
    """
    vapour = min(humidity * saturation_pressure(temperature), 0.5 * pressure)
    return (pressure - 0.378 * vapour) / (GAS_CONSTANT_DRY * temperature)


@kernel
def air_viscosity(temperature):
    """Viscosity of air [Pa s], temperature [K] from 170 to 1900: ``1.458e-6 T^1.5/(T + 110.4)``.

    Sutherland's law with the numbers of ISO 2533 (quoted).

    >>> round(1e5 * air_viscosity(288.15), 4)  # 1.7894e-5 Pa s (ISO 2533, quoted)
    1.7894
    """
    return 1.458e-6 * temperature * math.sqrt(temperature) / (temperature + 110.4)


@kernel
def wind_profile(height):
    """Wind at a height z [m] against the wind at 10 m: ``(z/10)^0.14``, √(z² + 1) in place of z.

    The power law for open, short grass in neutral air (from memory); trees and buildings change it
    far more.

    >>> round(wind_profile(10.0), 2)
    1.0
    """
    return ((height * height + CALM_HEIGHT * CALM_HEIGHT) / 100.0) ** 0.07
