"""What cleaning does to what lies between face and ball, and how water drains after pouring.

Ways of cleaning, kinds of wet and kinds of soil stand in `spinlab.catalogue`.
"""

from __future__ import annotations

import numpy as np

from ..catalogue import CLEANINGS, Wetness
from ..records import Between
from ..units import um
from .film import drained_film, water_viscosity
from .uncertain import PARAMETERS, Parameter


def clean(between: Between, how: str) -> Between:
    """What lies between face and ball after cleaning: ``clean(between, "tee")``.

    No cleaning makes anything dirtier, but a damp towel does wet a dry face.

    Raises
    ------
    ValueError
        the way of cleaning is not in `spinlab.catalogue.CLEANINGS`.
    """
    if how not in CLEANINGS:
        known = ", ".join(CLEANINGS)
        raise ValueError(f"way of cleaning {how!r} is not known; use one of: {known}")
    return CLEANINGS[how].of(between)


def water_parameter(wetness: Wetness) -> Parameter:
    """The doubt about a film, to be added to the uncertain numbers of a band."""
    return Parameter(
        name="between.water", record="between", fields=("water",), how="value",
        low=wetness.low, high=wetness.high, what=f"amount of water ({wetness.name})",
        source="the range of the catalogue", mark="J",
    )  # fmt: skip


def left_over_parameters(how: str = "nothing") -> tuple[Parameter, ...]:
    """The uncertain numbers of a band, and beside them how much soil and grass is left after a way
    of cleaning: the doubt about how much there was (a third more or less, J) times the doubt about
    what this way leaves (`spinlab.catalogue.Cleaning`).  Nobody has measured either."""
    low, high = CLEANINGS[how].doubt
    rows = (
        ("soil_on_lands", "soil on the flats"),
        ("soil_in_grooves", "soil in the grooves"),
        ("grass", "grass on the flats"),
    )
    more = (
        Parameter(
            name=f"between.{name}", record="between", fields=(name,), how="factor",
            low=0.67 * low, high=1.33 * high, what=what, source="our judgement", mark="J",
        )
        for name, what in rows
    )  # fmt: skip
    return (*PARAMETERS, *more)


def tuned_poured(seconds, *, temperature=288.15, height=0.020) -> Between:
    """A face some seconds after water was poured over it: the film that has not drained yet.

    ``h = √(η z/(ρ g t))`` at `height` z below the upper edge [m], Jeffreys (1930), for an upright
    plate; that a face held at rest drains like one is our judgement.  At most the 100 µm that a
    pour leaves at first (J).

    Parameters
    ----------
    seconds
        since the pour [s]; more than 0.
    """
    seconds = np.asarray(seconds, dtype=float)
    if not (np.isfinite(seconds).all() and (seconds > 0).all()):
        raise ValueError(
            f"seconds since the pour must be more than 0 s, got {seconds}; give at least 0.1"
        )
    viscosity = water_viscosity(temperature)
    film = drained_film(height=height, seconds=seconds, viscosity=viscosity, density=999.0)
    return Between(water=np.minimum(film, 100 * um), temperature=temperature)
