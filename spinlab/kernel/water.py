"""Water: viscosity, density, and what is left of it on an upright plate."""

from __future__ import annotations

import math

from .compiled import kernel


@kernel
def water_viscosity(temperature):
    """Viscosity of water at 0.1 MPa [Pa s], temperature [K] from 273.15 to 333.15.

    With T~ = T/300 K, in µPa s: ``280.68 T~^−1.9 + 511.45 T~^−7.7 + 61.131 T~^−19.6 + 0.45903 T~^−40``.
    IAPWS SR6-08 (2011), its numbers quoted by the open library `iapws`; stated uncertainty 1 %.

    >>> round(1e3 * water_viscosity(293.15), 4)  # the table's 1.0016 mPa s at 20 °C
    1.0016
    """
    t = temperature / 300.0
    return 1e-6 * (280.68 * t**-1.9 + 511.45 * t**-7.7 + 61.131 * t**-19.6 + 0.45903 * t**-40.0)


@kernel
def water_density(temperature):
    """Density of water at 0.1 MPa [kg/m³], temperature [K] from 273.15 to 333.15.

    Kell, J. Chem. Eng. Data 20:97 (1975), from memory; checked against the IAPWS table.

    >>> round(water_density(293.15), 3)  # the table's 998.207 kg/m³ at 20 °C, within 1e-5
    998.204
    """
    t = temperature - 273.15
    cubic = -46.170461e-6 + t * (105.56302e-9 - t * 280.54253e-12)
    above = 999.83952 + t * (16.945176 + t * (-7.9870401e-3 + t * cubic))
    return above / (1.0 + 16.879850e-3 * t)


@kernel
def drained_film(height, seconds, viscosity, density, gravity):
    """Film on an upright plate [m], `height` [m] below its top, some `seconds` after pouring.

    ``h = √(η z / (ρ g t))``, Jeffreys, Proc. Camb. Phil. Soc. 26:204 (1930), from memory.  The mean
    over the plate is two thirds of it.

    >>> round(1e6 * drained_film(0.020, 10.0, 1e-3, 1000.0, 9.81), 3)  # computed by hand: 14.278 µm
    14.278
    """
    return math.sqrt(viscosity * height / (density * gravity * seconds))
