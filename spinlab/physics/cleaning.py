"""What cleaning does to what lies between face and ball.

Ways of cleaning, kinds of wet and kinds of soil stand in `spinlab.catalogue`.
"""

from __future__ import annotations

from ..catalogue import CLEANINGS
from ..records import Between
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
