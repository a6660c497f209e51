"""The thin film between face and ball: water's properties, how it is squeezed out, what load is left for solid contact.

The film model is Reynolds' squeeze film with a limit from the water's inertia.  No published golf validation of it was
found; it is a closure, used outside its strict validity at these pressures, and every lesson says so.
"""

from __future__ import annotations

import numpy as np

from ..records import Assumptions, Ball, Between, Face
from .grooves import capacity
from .instants import STEPS
from .normal import NormalMotion
from .onemany import rows, tools

# -- water ------------------------------------------------------------------------------------------------------------


def water_viscosity(temperature):
    """Viscosity of water at 0.1 MPa [Pa s], temperature [K] from 273.15 to 333.15.

    IAPWS SR6-08 (2011), equation for the viscosity at 0.1 MPa (its numbers quoted by the open library `iapws`); stated
    uncertainty 1 %.
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

    ``h = √(η z / (ρ g t))``, Jeffreys, Proc. Camb. Phil. Soc. 26:204 (1930), from memory.  The mean over the plate is
    two thirds of it.
    """
    return np.sqrt(viscosity * np.asarray(height) / (density * gravity * np.asarray(seconds)))


def tyre_speed(pressure):
    """Speed at which a tyre on a flooded road starts to float [m/s], tyre pressure [Pa]: ``V[mph] = 10.35 √p[psi]``.

    NASA TN D-2056, seen (Horne & Dreher 1963, from memory).  Here only to show that the club face is *not* this case.
    """
    from ..units import mph, psi

    return 10.35 * np.sqrt(np.asarray(pressure) / psi) * mph


# -- squeezing out ----------------------------------------------------------------------------------------------------


def squeeze_rate_strip(film, *, pressure, viscosity, width):
    """How fast a film under a long strip thins [m/s]: ``ḣ = −p h³/(η W²)`` (Reynolds 1886, from memory), W the strip's width
    [m].  For smooth plates and even pressure."""
    return -pressure * film**3 / (viscosity * width**2)


def squeeze_rate_disc(film, *, pressure, viscosity, radius):
    """How fast a film under a disc thins [m/s]: ``ḣ = −p h³/(1.5 η a²)`` (Reynolds 1886; Stefan 1874; from memory), a the
    radius [m].  For smooth plates and even pressure."""
    return -pressure * film**3 / (1.5 * viscosity * radius**2)


def bulk_rate(film, *, pressure, density, path):
    """The fastest that water with inertia can leave over a path of given length [m/s]: ``ḣ = −(2h/L) √(2p/ρ)``.

    Torricelli's speed through both ends of a gap (mechanics).  Where it is the slower one, viscosity hardly matters.
    """
    return -2 * film / path * np.sqrt(2 * pressure / density)


def film_after_strip(seconds, *, pressure, viscosity, width, start=np.inf):
    """Film under a strip after some time at constant pressure [m]: ``1/h² = 1/h₀² + 2pt/(ηW²)``.

    The integral of `squeeze_rate_strip` (computed); a check and a lesson, for in a contact the pressure changes.
    """
    return 1 / np.sqrt(1 / np.square(start) + 2 * pressure * seconds / (viscosity * width**2))


def film_after_disc(seconds, *, pressure, viscosity, radius, start=np.inf):
    """Film under a disc after some time at constant pressure [m]: ``1/h² = 1/h₀² + 2pt/(1.5 η a²)`` (computed)."""
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

    Greenwood & Tripp, Proc. I. Mech. E. 185:625 (1971), from memory; computed, the fit is within 0.01 of the ratio.
    """
    ratio = film / roughness
    return np.exp(-ratio * (1.8 + 0.25 * ratio))


def boundary_factor(water, wet_factor):
    """What is left of solid friction on wetted surfaces: ``b = b_wet + (1 − b_wet) exp(−h₀/1 µm)``, h₀ the `water` [m].

    1 when dry; 0.70 – 0.80 of dry when wet (Persson et al. 2005, rubber at low speed, seen).  The first micrometre is our
    judgement, so that wetting by nothing is dry; no golf measurement was found.
    """
    return wet_factor + (1 - wet_factor) * np.exp(-np.minimum(np.asarray(water) / 1e-6, 300.0))


def dry_friction(sliding_speed, *, friction, friction_fast):
    """Dry friction coefficient at a sliding speed [m/s]: `friction` to 12.8, `friction_fast` from 26.8, linear between.

    The two speeds of Gobush 1996, quoted in Penner 2003; that it stays level outside them is our judgement.
    """
    along = np.clip((np.abs(sliding_speed) - 12.8) / 14.0, 0.0, 1.0)
    return friction + (friction_fast - friction) * along


# -- through a contact ------------------------------------------------------------------------------------------------

_ALMOST_DRY = 1e-15  # [m] a film this thin is none
_EASY = 0.3  # grooves take water freely until they are this full (our judgement)


def film_history(motion: NormalMotion, *, face: Face, ball: Ball, between: Between, assume: Assumptions, count=None):
    """Film thickness [m] and mean pressure [Pa] at every node of a contact: of one, or of a row of `count`.

    Water leaves by Reynolds squeeze flow over the way to the nearest drain, no faster than its inertia allows, and – as the
    open grooves fill – no faster than they can vent along their length; the three resist in series.  The patch's own
    edge drains throughout; open grooves bring what they gain on it at its largest, so that grooves further apart than the
    patch is wide are no grooves at all: ``1/L² = 1/(1.5 a²) + open·max(1/S² − 1/(1.5 a_max²), 0)``.  How these ways are
    joined is our judgement; no published golf test of it was found.
    """
    least = 1 / (1.5 * ball.radius * motion.each(motion.pulse.largest, motion.length))
    more_paths, more_ways, brim = 0.0, 0.0, _ALMOST_DRY
    if face.grooves is not None:
        open_share, land = 1 - between.soil_in_grooves, 1 / face.grooves.separation
        more_paths = open_share * np.maximum(land**2 - least, 0.0)
        more_ways = open_share * np.maximum(land - np.sqrt(least), 0.0)
        brim = np.maximum(open_share * capacity(face.grooves) * assume.void, _ALMOST_DRY)
    # what the patch's edge, and anything as long as the largest patch, would carry off in each step
    pascals = motion.newtons / (np.pi * ball.radius * motion.length)
    thinning = pascals * motion.seconds / water_viscosity(between.temperature)
    rushing = motion.seconds * np.sqrt(pascals * 8 / water_density(between.temperature))
    far_disc, far_round, disc, round_edge = motion.pulse.squeezed
    disc, round_edge = motion.each(disc, thinning * least), motion.each(round_edge, rushing * np.sqrt(least))
    more_disc, more_round = motion.each(far_disc, thinning * more_paths), motion.each(far_round, rushing * more_ways)
    pressure = motion.each(motion.pulse.pressure, pascals)
    start = np.maximum(between.water, _ALMOST_DRY)
    ways = [2 * (disc + more_disc), 0.5 / (round_edge + more_round)]
    full, empty = (start / brim - _EASY) / (1 - _EASY), 1 / (brim * (1 - _EASY))
    if face.grooves is not None and np.any(full > 0):
        ways += [2 * disc, 0.5 / round_edge, 0.5 / (round_edge * (1.5**0.5 * brim))]
        worst = np.where(full < 2, full * full / 4, full - 1) / empty  # of the film times how full the grooves are
        near = (worst * ways[4] > ways[3] - ways[1]).reshape(STEPS, -1).any(axis=1).tolist()
    shape = () if count is None else (count,)
    ways = [rows(way, STEPS, shape) for way in ways]
    start, full, empty = map(float, (start, full, empty)) if count is None else (start + np.zeros(count), full, empty)
    ways += [near, full, empty] if len(ways) > 2 else []
    film = _thin(start, ways, tools(shape)).reshape(STEPS + 1, -1)
    return film if np.all(np.asarray(between.water) > 0) else np.where(np.asarray(between.water) > 0, film, 0.0), pressure


def _thin(start, ways, one):
    """Step the film through the contact.

    With the rates of a step held, ``−dt = (1/(a h³) + 1/(b h) + c) dh`` becomes, for the step's ``z = ln h₀²/h₁²``,
    ``e^z − 1 + slow z = quick``.  What the viscous way out alone would do is ``quick = 2 a h₀²``, and ``slow`` is what the
    others, ``1/b + c h₀``, make of it: half of them times `quick`.  The start adds up what each resistance alone would give,
    and one of Halley's steps does the rest.
    """
    thick, bulk, *around = ways
    square = start**2.0
    kept, z = [square], 1e-3  # as if it had just begun to thin
    if around:
        disc_thick, disc_bulk, vent, near, full, empty = around
    for i in range(STEPS):
        quick, half = thick[i] * square, bulk[i]
        if around:
            h = (1 - 0.25 * z) * one.sqrt(square)  # half-way through the step, if it thins like the last one
            # the fuller the grooves, the worse they take water: what does not fit must vent
            over = one.least(one.most(full - h * empty, 0.0), 1.0)
            half = half + over * h * vent[i]
            if near[i]:
                edge, here = disc_thick[i], h * h
                easier = 1 / edge + disc_bulk[i] * here < 1 / thick[i] + half * here
                if one.some(easier):  # past the grooves to the patch's edge
                    quick, half = one.pick(easier, edge * square, quick), one.pick(easier, disc_bulk[i], half)
        slow = half * quick
        z = quick / (slow + quick / one.log1p(quick))
        grown = one.exp(z)
        slope = grown + slow
        miss = grown + slow * z - (1 + quick)
        z = z - miss / (slope - 0.5 * miss * grown / slope)
        square = square / one.exp(z)
        kept.append(square)
    return np.sqrt(np.array(kept))
