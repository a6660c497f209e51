"""The thin film between face and ball: water's properties, how it is squeezed out, what load is left for solid contact.

The film model is Reynolds' squeeze film with a limit from the water's inertia.  No published golf validation of it was
found; it is a closure, used outside its strict validity at these pressures, and every lesson says so.
"""

from __future__ import annotations

import numpy as np

# -- water ------------------------------------------------------------------------------------------------------------


def water_viscosity(temperature):
    """Viscosity of water at 0.1 MPa [Pa s], temperature [K] from 273.15 to 333.15.

    IAPWS SR6-08 (2011), equation for the viscosity at 0.1 MPa; stated uncertainty 1 %.
    """
    t = np.asarray(temperature) / 300.0
    return 1e-6 * (280.68 * t**-1.9 + 511.45 * t**-7.7 + 61.131 * t**-19.6 + 0.45903 * t**-40.0)


def water_density(temperature):
    """Density of water at 0.1 MPa [kg/m³], temperature [K].  Kell, J. Chem. Eng. Data 20:97 (1975), from memory; checked
    against the IAPWS table values."""
    t = np.asarray(temperature) - 273.15
    top = 999.83952 + t * (16.945176 + t * (-7.9870401e-3 + t * (-46.170461e-6 + t * (105.56302e-9 - 280.54253e-12 * t))))
    return top / (1 + 16.879850e-3 * t)


def drained_film(*, height, seconds, viscosity=1.0e-3, density=1000.0, gravity=9.80665):
    """Film left on an upright plate, `height` [m] below its top, some seconds after pouring [m].

    ``h = √(η z / (ρ g t))``, Jeffreys, Proc. Camb. Phil. Soc. 26:204 (1930).  The mean over the plate is two thirds of it.
    """
    return np.sqrt(viscosity * np.asarray(height) / (density * gravity * np.asarray(seconds)))


def tyre_speed(pressure):
    """Speed at which a tyre on a flooded road starts to float [m/s], tyre pressure [Pa]: ``V[mph] = 10.35 √p[psi]``.

    Horne & Dreher, NASA TN D-2056 (1963).  Here only to show that the club face is *not* this case.
    """
    from ..units import mph, psi

    return 10.35 * np.sqrt(np.asarray(pressure) / psi) * mph


# -- squeezing out ----------------------------------------------------------------------------------------------------


def squeeze_rate_strip(film, *, pressure, viscosity, width):
    """How fast a film under a long strip thins [m/s]: ``ḣ = −p h³/(η W²)`` (Reynolds 1886), W the strip's width [m]."""
    return -pressure * film**3 / (viscosity * width**2)


def squeeze_rate_disc(film, *, pressure, viscosity, radius):
    """How fast a film under a disc thins [m/s]: ``ḣ = −p h³/(1.5 η a²)`` (Reynolds; Stefan 1874), a the radius [m]."""
    return -pressure * film**3 / (1.5 * viscosity * radius**2)


def bulk_rate(film, *, pressure, density, path):
    """The fastest that water with inertia can leave over a path of given length [m/s]: ``ḣ = −(2h/L) √(2p/ρ)``."""
    return -2 * film / path * np.sqrt(2 * pressure / density)


def film_after_strip(seconds, *, pressure, viscosity, width, start=np.inf):
    """Film under a strip after some time at constant pressure [m]: ``1/h² = 1/h₀² + 2pt/(ηW²)``."""
    return 1 / np.sqrt(1 / np.square(start) + 2 * pressure * seconds / (viscosity * width**2))


def film_after_disc(seconds, *, pressure, viscosity, radius, start=np.inf):
    """Film under a disc after some time at constant pressure [m]."""
    return film_after_strip(seconds, pressure=pressure, viscosity=viscosity, width=np.sqrt(1.5) * radius, start=start)


def inverse_path_squared(*, contact_radius, land_width, open_share):
    """``1/L²`` of the way out [1/m²]: open grooves give the land's width, blocked ones the whole patch.

    ``1/L² = open/S² + (1 − open)/(1.5 a²)``.
    """
    return open_share / land_width**2 + (1 - open_share) / (1.5 * contact_radius**2)


# -- load and friction ------------------------------------------------------------------------------------------------


def solid_share(film, roughness, decay=1.5):
    """Share of the load carried by solid contact, from 1 (no film) to 0: ``exp(−1.5 λ)``, λ = h/σ.

    A closure (our judgement), softer than the elastic rough contact of `solid_share_greenwood_tripp_1971`, because a cover
    wraps itself around the asperities; the band of `decay` reaches up to that law.
    """
    return np.exp(-decay * film / roughness)


def solid_share_greenwood_tripp_1971(film, roughness):
    """Share of the load on asperities between elastic rough planes: F₅⸝₂(λ)/F₅⸝₂(0) ≈ ``exp(−1.8 λ − 0.25 λ²)``.

    Greenwood & Tripp, Proc. I. Mech. E. 185:625 (1971); the fit is within 0.01 of the ratio.
    """
    ratio = film / roughness
    return np.exp(-ratio * (1.8 + 0.25 * ratio))


def boundary_factor(water, wet_factor):
    """What is left of solid friction on wetted surfaces: 1 dry, `wet_factor` wet, smoothly over the first micrometre."""
    return wet_factor + (1 - wet_factor) * np.exp(-np.asarray(water) / 1e-6)


def dry_friction(sliding_speed, *, friction, friction_fast):
    """Dry friction coefficient at a sliding speed [m/s]: `friction` to 12.8, `friction_fast` from 26.8, linear between."""
    along = np.clip((np.abs(sliding_speed) - 12.8) / 14.0, 0.0, 1.0)
    return friction + (friction_fast - friction) * along
