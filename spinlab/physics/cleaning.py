"""What each way of cleaning does to what lies between face and ball, and how much water a kind of weather leaves.

No measurement of cleaning a club face was found.  Every share below is our judgement (J) of what common practice sees: a tee
clears grooves and nothing else, a damp towel clears both, a dry towel leaves soil on both.  Change the table, not the code.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..records import Between, spoken
from ..units import um
from .film import drained_film, water_viscosity
from .uncertain import Parameter


@dataclass(frozen=True, kw_only=True)
class Cleaning:
    """One way of cleaning: what shares of soil on lands, soil in grooves, grass and water it leaves, and the film
    [m] that the cleaning itself adds.  All J."""

    name: str
    leaves_on_lands: float
    leaves_in_grooves: float
    leaves_grass: float
    leaves_water: float
    adds_water: float
    why: str


def _way(name, on_lands, in_grooves, grass, water, adds, why):
    return Cleaning(name=name, leaves_on_lands=on_lands, leaves_in_grooves=in_grooves, leaves_grass=grass,
                    leaves_water=water, adds_water=adds, why=why)


_WAYS = (
    # share left:                lands  grooves grass water  adds
    _way("nothing",              1.00,  1.00,   1.00, 1.00,  0.0, "the face stays as it was"),
    _way("tee",                  1.00,  0.10,   1.00, 1.00,  0.0,
         "a point clears the grooves, not the flats between them, which meet the ball"),
    _way("dry towel",            0.30,  0.70,   0.10, 0.05,  0.0,
         "cloth smears dry soil on the flats and hardly reaches into the grooves"),
    _way("damp towel",           0.05,  0.20,   0.00, 0.05,  1 * um,
         "water loosens the soil and takes it away, and a breath of damp stays behind"),
    _way("damp towel, then dry", 0.05,  0.20,   0.00, 0.00,  0.0,
         "as clean as the damp towel, and no water left"),
)  # fmt: skip
CLEANINGS = {way.name: way for way in _WAYS}
"""Every way of cleaning by its name.  About 1 µm after a damp towel is ours as well (J)."""


def clean(between: Between, how: str) -> Between:
    """What lies between face and ball after cleaning: ``clean(between, "tee")``.

    Shares of soil, grass and water that stay are multiplied in; the damp of the cloth is a floor under what water is left.
    No cleaning makes anything dirtier, but a damp towel does wet a dry face.

    Raises
    ------
    ValueError
        the way of cleaning is not in `CLEANINGS`.
    """
    if how not in CLEANINGS:
        raise ValueError(f"way of cleaning {how!r} is not known; use one of: {', '.join(CLEANINGS)}")
    c = CLEANINGS[how]
    return between.but(
        soil_on_lands=between.soil_on_lands * c.leaves_on_lands,
        soil_in_grooves=between.soil_in_grooves * c.leaves_in_grooves,
        grass=between.grass * c.leaves_grass,
        water=np.maximum(between.water * c.leaves_water, c.adds_water),
    )


# -- water ------------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class Wetness:
    """A kind of wet: the film we use and its range [m], with source and mark."""

    name: str
    water: float
    low: float
    high: float
    source: str
    mark: str

    def between(self, **changes) -> Between:
        """A clean face and ball, this wet; other fields by name: ``WETNESS["dew"].between(temperature=281)``."""
        return Between(**{"water": self.water} | changes)

    def parameter(self) -> Parameter:
        """The doubt about the film, to be added to the uncertain numbers of a band."""
        return Parameter(name="between.water", record="between", fields=("water",), low=self.low, high=self.high,
                         how="value", what=f"amount of water ({self.name})", source=self.source, mark=self.mark)

    def __str__(self):
        span = f"{spoken(self.low, 'µm')} to {spoken(self.high, 'µm')}"
        return f"{self.name}: {spoken(self.water, 'µm')} of water ({span})" if self.high else f"{self.name}: no water"


def _wet(name, water, low, high, source, mark):
    return Wetness(name=name, water=water * um, low=low * um, high=high * um, source=source, mark=mark)


_KINDS = (
    _wet("dry", 0, 0, 0, "by definition", "C"),
    _wet("wiped", 1, 0.1, 5, "our judgement", "J"),
    _wet("dew", 20, 10, 30, "our judgement of what a face picks up; on the ground lie 140 ± 120 µm (Ritter 2019)", "J"),
    _wet("poured", 30, 20, 45, "a few seconds after pouring; draining by Jeffreys (1930)", "C"),
    _wet("just poured", 75, 50, 100, "our judgement; by Jeffreys (1930) the first second", "J"),
    _wet("rain", 200, 150, 300, "flooded; our judgement", "J"),
)
WETNESS = {kind.name: kind for kind in _KINDS}
"""Kinds of wet by name.  Films are means over face and ball together."""


def tuned_wetness(name: str, **changes) -> Between:
    """A clean face and ball in a kind of wet (our judgement, see `WETNESS`): ``tuned_wetness("dew")``."""
    if name not in WETNESS:
        raise ValueError(f"kind of wet {name!r} is not known; use one of: {', '.join(WETNESS)}")
    return WETNESS[name].between(**changes)


def tuned_poured(seconds, *, temperature=288.15, height=0.020) -> Between:
    """A face some seconds after water was poured over it: the film that has not drained yet.

    ``h = √(η z/(ρ g t))`` at `height` z below the upper edge [m], Jeffreys (1930), for an upright plate; that a face held at
    rest drains like one is our judgement.  At most the 100 µm that a pour leaves at first (J).

    Parameters
    ----------
    seconds
        since the pour [s]; more than 0.
    """
    seconds = np.asarray(seconds, dtype=float)
    if not (np.isfinite(seconds).all() and (seconds > 0).all()):
        raise ValueError(f"seconds since the pour must be more than 0 s, got {seconds}; give at least 0.1")
    film = drained_film(height=height, seconds=seconds, viscosity=water_viscosity(temperature), density=999.0)
    return Between(water=np.minimum(film, 100 * um), temperature=temperature)


# -- soil -------------------------------------------------------------------------------------------------------------

SOIL = {
    "clean": {},
    "dusty": {"soil_on_lands": 0.2, "soil_in_grooves": 0.2},
    "caked": {"soil_on_lands": 0.6, "soil_in_grooves": 0.8},
    "grooves full": {"soil_on_lands": 0.1, "soil_in_grooves": 0.95},
    "first cut": {"grass": 0.35},
    "rough": {"grass": 0.7},
}
"""Shares under soil or grass by name, our judgement (J)."""


def tuned_soil(name: str, **changes) -> Between:
    """A dry face and ball with a kind of soil or grass between (our judgement): ``tuned_soil("caked")``."""
    if name not in SOIL:
        raise ValueError(f"kind of soil {name!r} is not known; use one of: {', '.join(SOIL)}")
    return Between(**SOIL[name] | changes)
