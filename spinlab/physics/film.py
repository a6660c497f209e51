"""The thin film between face and ball: water's properties, how it is squeezed out, what load is left for solid contact.

The film model is Reynolds' squeeze film with a limit from the water's inertia.  No published golf validation of it was
found; it is a closure, used outside its strict validity at these pressures, and every lesson says so.
"""

from __future__ import annotations

import numpy as np

from ..records import Assumptions, Ball, Between, Face
from .grooves import capacity
from .normal import STEPS, NormalMotion
from .onemany import rows, tools

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


# -- load and friction ------------------------------------------------------------------------------------------------


def solid_share(film, roughness, decay=1.5):
    """Share of the load carried by solid contact, from 1 (no film) to 0: ``exp(−1.5 λ)``, λ = h/σ.

    A closure (our judgement), softer than the elastic rough contact of `solid_share_greenwood_tripp_1971`, because a cover
    wraps itself around the asperities; the band of `decay` reaches up to that law.
    """
    return np.exp(-np.minimum(decay * film / roughness, 300.0))


def solid_share_greenwood_tripp_1971(film, roughness):
    """Share of the load on asperities between elastic rough planes: F₅⸝₂(λ)/F₅⸝₂(0) ≈ ``exp(−1.8 λ − 0.25 λ²)``.

    Greenwood & Tripp, Proc. I. Mech. E. 185:625 (1971); the fit is within 0.01 of the ratio.
    """
    ratio = film / roughness
    return np.exp(-ratio * (1.8 + 0.25 * ratio))


def boundary_factor(water, wet_factor):
    """What is left of solid friction on wetted surfaces: 1 dry, `wet_factor` wet, smoothly over the first micrometre."""
    return wet_factor + (1 - wet_factor) * np.exp(-np.minimum(np.asarray(water) / 1e-6, 300.0))


def dry_friction(sliding_speed, *, friction, friction_fast):
    """Dry friction coefficient at a sliding speed [m/s]: `friction` to 12.8, `friction_fast` from 26.8, linear between."""
    along = np.clip((np.abs(sliding_speed) - 12.8) / 14.0, 0.0, 1.0)
    return friction + (friction_fast - friction) * along

# -- through a contact ------------------------------------------------------------------------------------------------

_ALMOST_DRY = 1e-15  # [m] a film this thin is none
_EASY = 0.3  # grooves take water freely until they are this full (our judgement)


def film_history(motion: NormalMotion, *, face: Face, ball: Ball, between: Between, assume: Assumptions, shape=()):
    """Film thickness [m] and mean pressure [Pa] at every node of a contact.

    Water leaves by Reynolds squeeze flow over the way to the nearest drain, no faster than its inertia allows, and – as the
    open grooves fill – no faster than they can vent along their length; the three resist in series.  The patch's own
    edge drains throughout; open grooves bring what they gain on it at its largest, so that grooves further apart than the
    patch is wide are no grooves at all: ``1/L² = 1/(1.5 a²) + open·max(1/S² − 1/(1.5 a_max²), 0)``.
    """
    radius = np.sqrt(np.maximum(ball.radius * motion.length * motion.x, 1e-12))
    pressure = motion.force * motion.newtons / (np.pi * radius**2)
    head = np.sqrt(2 * pressure / water_density(between.temperature))
    wetness = pressure / water_viscosity(between.temperature)
    disc = 1 / (1.5 * radius**2)
    paths, ways_out, brim = disc, np.sqrt(disc), _ALMOST_DRY
    if face.grooves is not None:
        open_share = 1 - np.asarray(between.soil_in_grooves)
        least, land = 1 / (1.5 * ball.radius * motion.length * motion.largest), 1 / np.asarray(face.grooves.separation)
        paths = disc + open_share * np.maximum(land**2 - least, 0.0)
        ways_out = ways_out + open_share * np.maximum(land - np.sqrt(least), 0.0)
        brim = np.maximum(open_share * capacity(face.grooves) * assume.void, _ALMOST_DRY)
    start = np.maximum(between.water, _ALMOST_DRY)
    viscous, bulk = [wetness * paths], [2 * head * ways_out]
    if np.any(start > _EASY * brim) and face.grooves is not None:
        viscous += [wetness * disc]
        bulk += [2 * head * np.sqrt(disc), 2 * head / radius * brim]
    lasting = motion.lasting * motion.seconds
    thick, thick_disc, *_ = [*(rows(1 / _drained(way * lasting, even=True), STEPS, shape) for way in viscous), None]
    slow = [1 / _drained(way * lasting, even=False) for way in bulk]
    ways = [thick, *(rows(way, STEPS, shape) for way in slow)]
    if len(slow) > 1:
        near = (start * slow[2] > slow[1] - slow[0]).reshape(STEPS, -1).any(1).tolist()
        ways = [thick, ways[1], ways[3], thick_disc, ways[2], near]
    one = tools(shape)
    if not shape:
        start, brim = float(start), float(brim)
    film = _thin(start + np.zeros(shape) if shape else start, ways, brim, one)
    return np.where(np.asarray(between.water) > 0, film, 0.0), pressure


def _drained(rate, *, even):
    """What a rate of draining adds up to in each step.

    At the two ends a rate may be nought times infinity.  Viscous ones are even in the angle there, so their neighbours tell
    the end value; the others begin like its square root, where the trapezoid rule wants ``−2 ζ(−½)`` of the neighbour.
    """
    for end, first, second in ((0, 1, 2), (-1, -2, -3)):
        rate[end] = np.maximum((4 * rate[first] - rate[second]) / 3, 1e-100) if even else 0.41577 * rate[first]
    return 0.5 * (rate[1:] + rate[:-1])


def _thin(start, ways, brim, one):
    """Step the film through the contact.

    With the rates of a step held, ``−dt = (1/(a h³) + 1/(b h) + c) dh`` becomes, for the step's ``z = ln y₁/y₀`` of
    ``y = 1/h²``, ``viscous (e^z − 1) + slow z = 2``, where each resistance is what its way out alone would take, in steps:
    ``viscous = y₀/a``, ``slow = 1/b + c h₀``.  The start adds up what each resistance alone would give, and one of
    Halley's steps does the rest.
    """
    thick, bulk, *flood = ways
    y = start**-2.0
    kept, z = [y], 1e-3  # as if it had just begun to thin
    if flood:
        vent, disc_thick, disc_bulk, near = flood
        full, empty = (start / brim - _EASY) / (1 - _EASY), 1 / (brim * (1 - _EASY))
    for i in range(STEPS):
        viscous, slow = thick[i] * y, bulk[i]
        if flood:
            h = (1 - 0.25 * z) / one.sqrt(y)  # half-way through the step, if it thins like the last one
            # the fuller the grooves, the worse they take water: what does not fit must vent
            slow = slow + one.least(one.most(full - h * empty, 0.0), 1.0) * h * vent[i]
            if near[i]:
                around = disc_thick[i] + disc_bulk[i] * h * h < thick[i] + slow * h * h
                if one.some(around):  # past the grooves to the patch's edge is the easier way
                    viscous, slow = one.pick(around, disc_thick[i] * y, viscous), one.pick(around, disc_bulk[i], slow)
        z = 2 / (slow + 2 / one.log1p(2 / viscous))
        grown = viscous * one.exp(z)
        slope = grown + slow
        miss = grown - viscous + slow * z - 2
        z = z - miss / (slope - 0.5 * miss * grown / slope)
        y = y * one.exp(z)
        kept.append(y)
    return 1 / np.sqrt(np.array(kept))
