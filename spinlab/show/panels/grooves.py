"""Lesson 01: grooves as channels for water, and what each way of cleaning leaves."""

from __future__ import annotations

import numpy as np

from ...catalogue import CLEANINGS, FACES, LIES, PITCH, SOIL, WETNESS, films_in_words
from ...physics.cleaning import clean
from ...physics.contact import strike
from ...physics.grooves import capacity_volume, limits
from ...records import Between, Face, Grooves
from ...units import deg, mm, uL, um
from ..draw_cleaning import Cleaned, Cleanings, ways_of_cleaning
from ..draw_grooves import Section, film_against_time, groove_section
from ..draw_scene import film_strike
from ..panel import Choice, Knob, Panel
from .common import COVERS

WALLS = {"leaning (15°)": 15 * deg, "V": "V", "square": 0.0}
"""Lean of the groove's walls; a V has walls that meet at the depth."""

_SOFT = COVERS["soft cover"]
_DEW = WETNESS["dew"].water


def _share(name, label, means, **changes):
    return Knob(name, label, **{"low": 0.0, "high": 1.0, "step": 0.01, "value": 0.0, "unit": "%", "means": means} | changes)


def _size(name, label, low, high, value, means):
    return Knob(name, label, low=low * mm, high=high * mm, step=0.01 * mm, value=value * mm, unit="mm", means=means)


def _grooves(width, depth, land, walls, edge):
    lean = np.arctan2(0.5 * width, depth) if walls == "V" else walls
    return Grooves(width=width, depth=depth, separation=land, draft_angle=lean, edge_radius=edge)


def _section(width, depth, land, walls, edge, water):
    return Section(grooves=_grooves(width, depth, land, walls, edge), between=Between(water=water))


def section_told(look):
    """The section of `groove_section`; its sentence goes on to the volume under the ball, the limits and a wet pitch."""
    figure, draw = groove_section(look)

    def told(result, units):
        words = draw(result, units)
        launch = strike(PITCH, Face(grooves=result.grooves), _SOFT, result.between)
        held = float(capacity_volume(result.grooves, patch_radius=launch.contact.contact_radius)) / uL
        state = "wet" if result.between.water else "clean and dry"
        return (f"{words} Under the ball that is room for {held:.1f} µl. {limits(result.grooves)} "
                f"A pitch, {state} like this: {units.say('spin', launch.spin_rate)}.")

    return figure, told


def groove_shape(**options) -> Panel:
    """Lesson 01: grooves of any shape with water in them, how much they hold, and the equipment limits."""
    knobs = [_size("width", "Groove width", 0.4, 1.0, 0.80, "limit 0.889 mm"),
             _size("depth", "Depth", 0.1, 0.6, 0.45, "limit 0.508 mm"),
             _size("land", "Land", 1.5, 8.0, 2.7, "between grooves; at least three widths"),
             Choice("walls", "Walls", WALLS),
             _size("edge", "Edge radius", 0.0, 0.6, 0.30, "allowed 0.254 to 0.508 mm"),
             Knob("water", "Water", low=0.0, high=200 * um, step=1 * um, value=_DEW, unit="µm",
                  means=films_in_words("dew", "poured", "flooded"))]
    states = {"dew": {}, "flooded": {"water": WETNESS["flooded"].water},
              "worn grooves, rough lands": {"depth": FACES["worn"].grooves.depth, "edge": FACES["worn"].grooves.edge_radius},
              "V": {"walls": "V", "depth": 0.5 * mm},
              "square, close together": {"walls": "square", "width": 0.89 * mm, "depth": 0.5 * mm, "edge": 0.05 * mm}}
    return Panel(knobs=knobs, compute=_section, build=section_told, states=states, title="Grooves cut through", **options)


def _thinning(water, temperature, land, roughness):
    """The film with these grooves open, half closed and closed."""
    face = Face(grooves=Grooves(width=0.8 * mm, depth=0.45 * mm, separation=land, edge_radius=0.3 * mm), roughness=roughness)
    states = (("open", "wet", 0.0), ("half closed", "soil", 0.5), ("closed", "blocked", 1.0))
    return [film_strike(PITCH, face, _SOFT, Between(water=water, temperature=temperature, soil_in_grooves=closed),
                        name=name, meaning=meaning) for name, meaning, closed in states]


def film_thins(**options) -> Panel:
    """Lesson 01: the film through the half millisecond, with the grooves open, half closed and closed."""
    knobs = [Knob("water", "Water", low=0.5 * um, high=250 * um, step=0.5 * um, value=_DEW, unit="µm",
                  means=films_in_words("dew", "poured", "flooded")),
             Knob("temperature", "Water temperature", low=274.15, high=313.15, step=1.0, value=288.15, unit="°C",
                  means="warm water is thinner"),
             _size("land", "Land", 1.9, 8.0, 2.7, "between grooves: the way out"),
             Knob("roughness", "Roughness", low=0.5 * um, high=6 * um, step=0.1 * um, value=2 * um, unit="µm",
                  means="of face and ball together")]
    states = {"dew": {}, "flooded": {"water": WETNESS["flooded"].water}, "near freezing": {"temperature": 275.15},
              "summer": {"temperature": 303.15}, "grooves far apart": {"land": 6 * mm}}
    return Panel(knobs=knobs, compute=_thinning, build=film_against_time, states=states,
                 title="Water between face and ball", **options)


def _cleaned(soil_on_lands, soil_in_grooves, grass, water):
    found = Between(soil_on_lands=soil_on_lands, soil_in_grooves=soil_in_grooves, grass=grass, water=water)
    ways = []
    for how in CLEANINGS:
        left = clean(found, how)
        ways.append(Cleaned(name=how, between=left, launch=strike(PITCH, Face(), _SOFT, left)))
    return Cleanings(ways=tuple(ways), spotless=strike(PITCH, Face(), _SOFT))


def clean_face(**options) -> Panel:
    """Lesson 01: nothing, tee, dry towel, damp towel – what each leaves and what the next pitch spins."""
    knobs = [_share("soil_on_lands", "Soil on the lands", "share of the flats", **_starts("soil_on_lands", "caked")),
             _share("soil_in_grooves", "Soil in the grooves", "share of the groove", **_starts("soil_in_grooves", "caked")),
             _share("grass", "Grass between", "share of the flats"),
             Knob("water", "Water", low=0.0, high=200 * um, step=1 * um, value=_DEW, unit="µm", means=films_in_words("dew"))]
    rest = {"soil_on_lands": 0.0, "soil_in_grooves": 0.0}
    states = {"caked, dew": {}, "caked, dry day": {"water": 0.0}, "grooves full, dew": SOIL["grooves full"],
              "only dew": rest, "from the rough": rest | {"grass": LIES["rough"].grass}}
    return Panel(knobs=knobs, compute=_cleaned, build=ways_of_cleaning, states=states, title="Ways of cleaning", **options)


def _starts(name, soil):
    return {"value": SOIL[soil][name]}
