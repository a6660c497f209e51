"""A sheet to keep in the bag: the routine with boxes to tick.  Written by `spinlab.show.pack` or `spinlab.show.sheets`."""

from __future__ import annotations

from .. import __version__
from ..catalogue import SOIL, WETNESS
from ..evidence.routine import Routine, how_to_dry, routine
from ..records import Between
from ..units import um
from .pack import Grid, Section, Sheet

_TITLES = {"dry": "Before the round, before the shot, between shots", "dew": "The routine on a dewy morning",
           "rain": "The routine in the rain"}
_WATER = {"dry": "dry", "dew": "dew", "rain": "flooded"}
WEATHERS = tuple(_WATER)
"""What a routine can be written for."""


def routine_sheet(weather="dry") -> Sheet:
    """The routine as a page with boxes to tick: before the round, before the shot, between shots, and the Rules."""
    plan = routine(weather)
    sections = [_ticks(group.when, group.items) for group in plan.groups]
    sections += [Section(title="What the Rules allow", items=tuple(item.do for item in plan.rules)),
                 Section(title="Take care", items=plan.care, care=True)]
    lead = "Lands clean, grooves open, everything dry: it costs nothing and brings more than most changes of swing."
    return Sheet(title=_TITLES[weather], lead=lead, tables=(_drying(plan),), sections=tuple(sections),
                 footer=f"Numbers are the model's. Made with wedge-spinlab {__version__}.")


def _ticks(title, items) -> Section:
    return Section(title=title, ticks=True, items=tuple(item.do for item in items))


def _drying(plan: Routine) -> Grid:
    """What each way of cleaning leaves of the spin, for a face that is dirty and as wet as the weather makes it."""
    water = WETNESS[_WATER[plan.weather]].water
    rows = tuple((d.how, f"{d.share:.0%}", d.why)
                 for d in how_to_dry(Between(water=water, **SOIL["soiled"])))
    wet = f", {water / um:.0f} µm of water" if water else ""
    return Grid(head=("way of cleaning", "spin kept", "why"), rows=rows, text=True,
                caption=f"A face with soil on {SOIL['soiled']['soil_on_lands']:.0%} of the flats and in "
                        f"{SOIL['soiled']['soil_in_grooves']:.0%} of the grooves{wet}; one pitch, by the model. "
                        "The shares left by each way are our judgement.")
