"""The thin film between face and ball, over arrays; the laws and their doubts stand in `spinlab.kernel.film` and `water`."""

from __future__ import annotations

import numpy as np

from ..kernel import film as kernel
from ..kernel import water
from ..units import mph, psi
from .rows import elementwise

water_viscosity = elementwise(water.water_viscosity)
water_density = elementwise(water.water_density)
squeeze_rate = elementwise(kernel.squeeze_rate)
bulk_rate = elementwise(kernel.bulk_rate)
solid_share = elementwise(kernel.solid_share)
solid_share_greenwood_tripp_1971 = elementwise(kernel.solid_share_greenwood_tripp_1971)
boundary_factor = elementwise(kernel.boundary_factor)
film_after_squeeze = elementwise(kernel.film_after_squeeze)
drained_film = elementwise(water.drained_film)


def film_after_strip(seconds, *, pressure, viscosity, width, start=1.0):
    """Film under a long strip of some width [m] after some time at constant pressure [m]."""
    return film_after_squeeze(seconds, pressure, viscosity, np.square(width), start)


def tyre_speed(pressure):
    """Speed at which a tyre on a flooded road starts to float [m/s], tyre pressure [Pa]: ``V[mph] = 10.35 √p[psi]``.

    NASA TN D-2056, seen (Horne & Dreher 1963, from memory).  Here only to show that the club face is *not* this case.
    """
    return 10.35 * np.sqrt(np.asarray(pressure) / psi) * mph
