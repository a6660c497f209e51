"""What cleaning does to what lies between face and ball.

Ways of cleaning, kinds of wet and kinds of soil stand in `spinlab.catalogue`.
"""

from __future__ import annotations

from dataclasses import replace

from ..catalogue import CLEANINGS
from ..records import Between
from .uncertain import PARAMETERS, Parameter

LEFT_OVER = ("between.soil_on_lands", "between.soil_in_grooves", "between.grass")
"""The uncertain numbers that cleaning changes."""


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


def left_over_parameters(how: str = "nothing") -> tuple[Parameter, ...]:
    """The uncertain numbers of a band after a way of cleaning: the doubt about how much soil and
    grass there was times the doubt about what this way leaves (`spinlab.catalogue.Cleaning`).
    Nobody has measured either."""
    low, high = CLEANINGS[how].doubt
    return tuple(
        replace(parameter, low=parameter.low * low, high=parameter.high * high)
        if parameter.name in LEFT_OVER
        else parameter
        for parameter in PARAMETERS
    )
