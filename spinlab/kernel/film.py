"""The thin film between face and ball: how it is squeezed out, what load is left for solid contact.

The film model is Reynolds' squeeze film with a limit from the water's inertia.  No published golf
test of it was found; it is a closure, used outside its strict validity at these pressures.
"""

from __future__ import annotations

import math

from .compiled import kernel

WETTING = 1e-6
"""The first micrometre of water turns dry friction into wet friction (our judgement)."""
EASY_FILL = 0.3
"""Grooves take water freely until they are this full (our judgement)."""


@kernel
def squeeze_rate(film, pressure, viscosity, drainage):
    """How fast a film thins by viscous flow [m/s]: ``ḣ = −p h³/(η L²)``.

    Reynolds 1886, a disc before him Stefan 1874, both from memory.
    `pressure` is the mean pressure [Pa], `drainage` L² [m²]: W² under a long strip of width W,
    1.5 a² under a disc of radius a.  For smooth plates and an even film.

    >>> squeeze_rate(1e-6, 25e6, 1e-3, 0.002667**2) < 0
    True
    """
    return -pressure * film * film * film / (viscosity * drainage)


@kernel
def bulk_rate(film, pressure, density, path):
    """The fastest that water with inertia can leave over a path L [m/s]: ``ḣ = −(2h/L) √(2p/ρ)``.

    Torricelli's speed through both ends of a gap (mechanics).
    """
    return -2.0 * film / path * math.sqrt(2.0 * pressure / density)


@kernel
def thinning_time(film, pressure, viscosity, density, drainage):
    """Time in which a film would be gone at its present rate [s]: ``h/|ḣ|`` of viscous flow and of
    inertia over the same way, one after the other.

    That the two add is our judgement; the slower way rules in either limit.
    """
    viscous = film / -squeeze_rate(film, pressure, viscosity, drainage)
    return viscous + film / -bulk_rate(film, pressure, density, math.sqrt(drainage))


@kernel
def drainage_length_squared(radius, land, groove, open_share):
    """Drainage length squared L² [m²] of a round patch of given radius [m] on lands and grooves
    of given widths [m].

    A film h between smooth, rigid, parallel plates thins by ``-dh/dt = p_mean h³ / (η L²)``
    (Reynolds 1886, from memory), with `p_mean` the load over the whole nominal patch π radius²,
    grooves included.  With ``A = 1.5 radius²`` (a plain disc) and ``B = land³ / (land + groove)``
    (endless lands, which carry all of the load):

        ``1/L² = 1/A + open_share (1/B + (0.38 + 0.86 groove/land) / √(A B))``

    The middle term is what the ends of the lands, cut off by the patch's edge, drain besides.
    Its two numbers are fitted to Reynolds' equation, solved by finite elements and averaged over
    where the ball sits on the grooves (`tests/reynolds.py`): within 3.2 % for radius 3 – 9 mm,
    land 1.5 – 6 mm, groove 0.3 – 1.0 mm; where the ball sits moves L² by up to ± 7 % for usual
    grooves.  Exact without grooves (open_share 0), far apart (land → ∞) and for endless lands
    (radius → ∞).

    `open_share` in between is a closure (our judgement): grooves filled evenly drain like open
    ones until they are full, and with every second groove closed whole L² is larger (four times
    that of open grooves, where the closure says twice).

    >>> round(drainage_length_squared(6.5e-3, 2.7e-3, 0.8e-3, 1.0) * 1e6, 2)
    4.4
    >>> round(drainage_length_squared(6.5e-3, 2.7e-3, 0.8e-3, 0.0) * 1e6, 2)
    63.37
    """
    disc = 1.5 * radius * radius
    lands = land * land * land / (land + groove)
    rim = (0.38 + 0.86 * groove / land) / math.sqrt(disc * lands)
    return 1.0 / (1.0 / disc + open_share * (1.0 / lands + rim))


@kernel
def film_after_squeeze(seconds, pressure, viscosity, drainage, start):
    """Film after some time at constant pressure [m]: ``1/h² = 1/h₀² + 2pt/(η L²)``.

    The integral of `squeeze_rate`; a check and a lesson, for in a contact the pressure changes.

    >>> strip = film_after_squeeze(0.25e-3, 25e6, 1e-3, 0.002667**2, 1.0)
    >>> round(1e6 * strip, 3)  # Reynolds' strip, computed by hand: 0.754 µm
    0.754
    """
    return 1.0 / math.sqrt(1.0 / start**2 + 2.0 * pressure * seconds / (viscosity * drainage))


@kernel
def solid_share(film, roughness, decay):
    """Share of the load carried by solid contact, from 1 (no film) to 0: ``exp(−c λ)``, λ = h/σ.

    A closure (our judgement, c = 1.5), softer than the elastic contact of rough planes by Greenwood
    & Tripp (1971), because a cover wraps itself around the asperities; the range of c reaches up to
    that law.
    """
    return math.exp(-min(decay * film / roughness, 300.0))


@kernel
def solid_share_greenwood_tripp_1971(film, roughness):
    """Share of the load on asperities between elastic rough planes: F₅⸝₂(λ)/F₅⸝₂(0).

    ``exp(−1.8 λ − 0.25 λ²)``; Greenwood & Tripp, Proc. I. Mech. E. 185:625 (1971), from memory;
    computed, the fit is within 0.01 of the ratio.

    >>> round(solid_share_greenwood_tripp_1971(1.0, 1.0), 2)  # the integral's 0.131
    0.13
    """
    ratio = film / roughness
    return math.exp(-ratio * (1.8 + 0.25 * ratio))


@kernel
def boundary_factor(water, wet_factor):
    """What is left of solid friction on wetted surfaces: ``b + (1 − b) exp(−h₀/1 µm)``.

    h₀ is the `water` before contact [m]; b is 0.70 – 0.80 (Persson et al. 2005, rubber at low
    speed, seen).  That the first micrometre makes the difference is our judgement.

    >>> boundary_factor(0.0, 0.775)
    1.0
    """
    return wet_factor + (1.0 - wet_factor) * math.exp(-min(water / WETTING, 300.0))
