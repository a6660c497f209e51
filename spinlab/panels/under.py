"""The scene under the ball: a face cut through, what lies on it and in its grooves, before and
after cleaning, and the film that the ball's cover presses thin."""

from __future__ import annotations

import math
from typing import NamedTuple

from .. import records
from ..catalogue import (
    BALLS,
    CLEANINGS,
    FACES,
    GREENS,
    LIES,
    PITCH,
    SOIL,
    WETNESS,
    films_in_words,
)
from ..kernel.compiled import Array
from ..kernel.contact import History
from ..kernel.flight import Drawing
from ..kernel.grooves import capacity, fitting_edge, full_depth, sharp_width
from ..kernel.ground import Trace
from ..kernel.nouns import Grooves, Played, Situation
from ..kernel.rows import AT_FACE, grooves_at, situation_at
from ..physics.cleaning import LEFT_OVER, left_over_parameters
from ..physics.grooves import (
    LEAST_EDGE_RADIUS,
    LEAST_LAND,
    LEAST_LAND_IN_WIDTHS,
    MOST_AREA_OVER_PITCH,
    MOST_DEPTH,
    MOST_EDGE_RADIUS,
    MOST_WIDTH,
)
from ..units import deg, mm, rpm, um
from .impact import HELD, TRACE_POINTS, TRACE_ROOM
from .scene import Choice, Guess, Number, Scene
from .usual import (
    EDGE_RADIUS,
    GRASS,
    GROOVE_DEPTH,
    GROOVE_WIDTH,
    LAND,
    ROUGHNESS,
    SOIL_IN_GROOVES,
    SOIL_ON_LANDS,
    THIN_FILMS,
    WALL_LEAN,
    WATER,
    WATER_TEMPERATURE,
    Usual,
    begin,
    played,
    struck,
)

__all__ = ["under_the_ball"]

HISTORY_ROWS = 90
DRAWING_POINTS = 2
STEEPEST = 80 * deg
"""A wall cannot lean more."""
SLACK = 1.000001
"""A groove typed in at a limit is at the limit, whatever the rounding."""
THIN = 0.05 * um
"""A film thinner than this counts as none in words."""
DROP = 50e-9
"""A drop of water [m³] (our judgement)."""

WAY_COLUMNS = 11
WAYS = tuple(CLEANINGS)
WAY_COUNT = len(WAYS)
NOTHING, TEE, DRY_TOWEL, DAMP_TOWEL, THEN_DRY = range(WAY_COUNT)
"""The ways of cleaning by number, in the catalogue's order."""


class Dirt(NamedTuple):
    """What lies on the face as it is found."""

    water: float
    soil_on_lands: float
    soil_in_grooves: float
    grass: float


class Film(NamedTuple):
    """What moves under the ball, at even times [s] from touch to departure.

    Radius of the pressed patch [m], the film on the lands [m], how full the open part of the
    grooves is (0 … 1), how far the cover has slid up the face [m], whether it holds (1) or slides
    (0), the share of the load on solid contact, the spin [rad/s].
    """

    time: Array
    patch: Array
    film: Array
    filled: Array
    slipped: Array
    holds: Array
    solid: Array
    spin: Array


class Answer(NamedTuple):
    """What the scene says, of the face as found and as it is now [SI]."""

    found_spin_rate: float
    found_launch_angle: float
    found_run_out: float
    found_film_left: float
    found_friction: float
    now_spin_rate: float
    now_launch_angle: float
    now_run_out: float
    now_film_left: float
    now_friction: float
    most_friction: float
    contact_time: float
    now_water: float
    now_soil_on_lands: float
    now_soil_in_grooves: float
    now_grass: float
    spotless_spin_rate: float
    nothing_spin_rate: float
    tee_spin_rate: float
    dry_towel_spin_rate: float
    damp_towel_spin_rate: float
    then_dry_spin_rate: float
    best_way: float
    kept: float
    groove_lean: float
    groove_mouth: float
    groove_bottom: float
    groove_edge: float
    groove_holds: float
    room_in_drops: float
    room_left: float
    limits_broken: float


# -- the face --------------------------------------------------------------------------------------


def wall_lean_of(wanted, width, depth):
    """Lean of a groove's walls [rad]; what is wanted below zero is a V, whose walls meet at the
    depth."""
    if wanted < 0.0:
        return min(math.atan2(0.5 * width, depth), STEEPEST)
    return wanted


def limits_broken_by(grooves: Grooves):
    """How many of the published limits these grooves break (`spinlab.physics.grooves.limits`)."""
    broken = 0.0
    if grooves.width > MOST_WIDTH * SLACK:
        broken = broken + 1.0
    if grooves.depth > MOST_DEPTH * SLACK:
        broken = broken + 1.0
    if grooves.separation * SLACK < LEAST_LAND_IN_WIDTHS * grooves.width:
        broken = broken + 1.0
    if grooves.separation * SLACK < LEAST_LAND:
        broken = broken + 1.0
    if capacity(grooves) > MOST_AREA_OVER_PITCH * SLACK:
        broken = broken + 1.0
    if grooves.edge_radius * SLACK < LEAST_EDGE_RADIUS:
        broken = broken + 1.0
    if grooves.edge_radius > MOST_EDGE_RADIUS * SLACK:
        broken = broken + 1.0
    return broken


def table_of_ways() -> list:
    """The ways of cleaning as rows of numbers: what each leaves, the film that it adds, and the
    range of doubt about soil on lands, soil in grooves and grass."""
    table = []
    for name, way in CLEANINGS.items():
        table += [way.leaves_on_lands, way.leaves_in_grooves, way.leaves_grass]
        table += [way.leaves_water, way.adds_water]
        doubts = {parameter.name: parameter for parameter in left_over_parameters(name)}
        for field in LEFT_OVER:
            table += [doubts[field].low, doubts[field].high]
    return table


def clean(usual: Usual, dirt: Dirt, ways: Array, way: int) -> None:
    """Lay on the face of the shot `now` what a way of cleaning leaves of the dirt, with its doubt
    (`spinlab.catalogue.Cleaning.of`)."""
    at = way * WAY_COLUMNS
    usual.now[SOIL_ON_LANDS] = dirt.soil_on_lands * ways[at]
    usual.now[SOIL_IN_GROOVES] = dirt.soil_in_grooves * ways[at + 1]
    usual.now[GRASS] = dirt.grass * ways[at + 2]
    usual.now[WATER] = max(dirt.water * ways[at + 3], ways[at + 4])
    usual.doubts.low[SOIL_ON_LANDS] = ways[at + 5]
    usual.doubts.high[SOIL_ON_LANDS] = ways[at + 6]
    usual.doubts.low[SOIL_IN_GROOVES] = ways[at + 7]
    usual.doubts.high[SOIL_IN_GROOVES] = ways[at + 8]
    usual.doubts.low[GRASS] = ways[at + 9]
    usual.doubts.high[GRASS] = ways[at + 10]


def spin_cleaned(usual: Usual, dirt: Dirt, ways: Array, way: int):
    """Spin of the next pitch after a way of cleaning [rad/s]."""
    clean(usual, dirt, ways, way)
    return struck(usual).spin_rate


# -- rows to draw from -----------------------------------------------------------------------------


def fill_film(rows: Film, history: History, shot: Situation) -> None:
    """Fill the rows of a close-up from the history of its contact.

    Water that has left the lands stands in what is open of the grooves.
    """
    between = shot.between
    open_part = (1.0 - between.soil_in_grooves) * capacity(shot.face.grooves) * shot.assume.void
    slipped = 0.0
    for row in range(len(rows.time)):
        if row > 0:
            step = history.time[row] - history.time[row - 1]
            slipped = slipped + 0.5 * (history.slip[row] + history.slip[row - 1]) * step
        filled = 0.0
        if open_part > THIN:
            filled = min((between.water - history.film[row]) / open_part, 1.0)
        holds = 0.0
        limit = history.friction_limit[row] * history.normal_force[row]
        if abs(history.friction_force[row]) < HELD * limit:
            holds = 1.0
        rows.time[row] = history.time[row]
        rows.patch[row] = math.sqrt(shot.ball.radius * history.compression[row])
        rows.film[row] = history.film[row]
        rows.filled[row] = filled
        rows.slipped[row] = slipped
        rows.holds[row] = holds
        rows.solid[row] = history.solid_share[row]
        rows.spin[row] = history.spin_rate[row]


# -- the calculation -------------------------------------------------------------------------------


def answer_of(usual: Usual, spotless, ways: Array, way: int, dirt: Dirt, found: Played,
              now: Played) -> Answer:
    """What the two faces, and the other ways of cleaning, have to say."""
    tee = spin_cleaned(usual, dirt, ways, TEE)
    dry_towel = spin_cleaned(usual, dirt, ways, DRY_TOWEL)
    damp_towel = spin_cleaned(usual, dirt, ways, DAMP_TOWEL)
    then_dry = spin_cleaned(usual, dirt, ways, THEN_DRY)
    best = max(found.impact.spin_rate, tee, dry_towel, damp_towel, then_dry)
    best_way = 0.0
    if tee >= best:
        best_way = 1.0
    if dry_towel >= best:
        best_way = 2.0
    if damp_towel >= best:
        best_way = 3.0
    if then_dry >= best:
        best_way = 4.0
    clean(usual, dirt, ways, way)
    grooves = grooves_at(usual.now, AT_FACE + 1)
    shot = situation_at(usual.moved)
    radius = found.impact.contact_radius
    room = (1.0 - dirt.soil_in_grooves) * capacity(grooves) * shot.assume.void
    return Answer(
        found_spin_rate=found.impact.spin_rate,
        found_launch_angle=found.impact.launch_angle,
        found_run_out=found.stop.run_out,
        found_film_left=found.impact.film_left,
        found_friction=found.impact.effective_friction,
        now_spin_rate=now.impact.spin_rate,
        now_launch_angle=now.impact.launch_angle,
        now_run_out=now.stop.run_out,
        now_film_left=now.impact.film_left,
        now_friction=now.impact.effective_friction,
        most_friction=shot.ball.friction,
        contact_time=found.impact.time,
        now_water=usual.now[WATER],
        now_soil_on_lands=usual.now[SOIL_ON_LANDS],
        now_soil_in_grooves=usual.now[SOIL_IN_GROOVES],
        now_grass=usual.now[GRASS],
        spotless_spin_rate=spotless,
        nothing_spin_rate=found.impact.spin_rate,
        tee_spin_rate=tee,
        dry_towel_spin_rate=dry_towel,
        damp_towel_spin_rate=damp_towel,
        then_dry_spin_rate=then_dry,
        best_way=best_way,
        kept=now.impact.spin_rate / max(spotless, 1e-9),
        groove_lean=grooves.draft_angle,
        groove_mouth=sharp_width(grooves),
        groove_bottom=full_depth(grooves),
        groove_edge=fitting_edge(grooves),
        groove_holds=capacity(grooves),
        room_in_drops=capacity(grooves) * math.pi * radius * radius / DROP,
        room_left=room - dirt.water,
        limits_broken=limits_broken_by(grooves),
    )


def found_and_cleaned(
    water,
    soil_on_lands,
    soil_in_grooves,
    way,
    land,
    groove_depth,
    edge_radius,
    groove_width,
    walls,
    grass,
    temperature,
    roughness,
    ways: Array,
    usual: Usual,
    history: History,
    drawing: Drawing,
    trace: Trace,
    found_film: Film,
    now_film: Film,
) -> Answer:
    """The usual pitch three times: with a spotless, dry face, with the face as found, and with
    what a way of cleaning leaves; and the spin after each other way."""
    begin(usual)
    usual.now[GROOVE_WIDTH] = groove_width
    usual.now[GROOVE_DEPTH] = groove_depth
    usual.now[LAND] = land
    usual.now[WALL_LEAN] = wall_lean_of(walls, groove_width, groove_depth)
    usual.now[EDGE_RADIUS] = edge_radius
    usual.now[ROUGHNESS] = roughness
    usual.now[WATER_TEMPERATURE] = temperature
    spotless = struck(usual).spin_rate
    dirt = Dirt(
        water=water, soil_on_lands=soil_on_lands, soil_in_grooves=soil_in_grooves, grass=grass
    )
    clean(usual, dirt, ways, NOTHING)
    found = played(usual, history, drawing, trace, TRACE_POINTS)
    fill_film(found_film, history, situation_at(usual.moved))
    chosen = 0
    for k in range(WAY_COUNT):
        if float(k) == way:
            chosen = k
    clean(usual, dirt, ways, chosen)
    now = played(usual, history, drawing, trace, TRACE_POINTS)
    fill_film(now_film, history, situation_at(usual.moved))
    return answer_of(usual, spotless, ways, chosen, dirt, found, now)


_WAY_SPINS = (
    "nothing_spin_rate",
    "tee_spin_rate",
    "dry_towel_spin_rate",
    "damp_towel_spin_rate",
    "then_dry_spin_rate",
)

# -- the scene ------------------------------------------------------------------------------------

_WALLS = {"leaning 15°": 15 * deg, "V": -1.0, "square": 0.0}
_FRESH = FACES["fresh"]
_WORN = FACES["worn"]
_DEW = WETNESS["dew"].water
_CAKED = SOIL["caked"]
_CLEAN = {**SOIL["clean"], "cleaning": "nothing"}


def setting(values) -> dict:
    """The records of the shot with the cleaned face: ``play(**setting)`` is its second ball."""
    width = values["groove_width"]
    depth = values["groove_depth"]
    grooves = records.Grooves(
        width=width,
        depth=depth,
        separation=values["land"],
        draft_angle=wall_lean_of(_WALLS[values["walls"]], width, depth),
        edge_radius=values["edge_radius"],
    )
    found = records.Between(
        water=values["water"],
        temperature=values["temperature"],
        soil_on_lands=values["soil_on_lands"],
        soil_in_grooves=values["soil_in_grooves"],
        grass=values["grass"],
    )
    return {
        "arriving": PITCH,
        "face": _FRESH.but(grooves=grooves, roughness=values["roughness"]),
        "ball": BALLS["soft cover"],
        "between": CLEANINGS[values["cleaning"]].of(found),
        "green": GREENS["medium"],
    }


def _share(name, label, value, means, high=1.0):
    return Number(
        name, label, kind="share", low=0.0, high=high, step=0.01, value=value, means=means
    )


def _size(name, label, low, high, value, means):
    return Number(
        name,
        label,
        kind="fine_size",
        low=low * mm,
        high=high * mm,
        step=0.01 * mm,
        value=value,
        means=means,
    )


_SPIN = "spin {now_spin_rate:spin}"
_LIKELY = " ({now_spin_rate_low:spin#} to {now_spin_rate_high:spin})"
_SENTENCES = [
    (
        "way > 0.5",
        f"Cleaned with {{cleaning}}: {_SPIN}%s, as found {{found_spin_rate:spin}}.",
    ),
    (
        f"water < {THIN} and soil_on_lands < 0.05 and grass < 0.05",
        f"No water to let out: the flats make the friction: {_SPIN}%s.",
    ),
    (
        f"water < {THIN}",
        f"Dirt lies where the ball should meet the flats: {_SPIN}%s.",
    ),
    (
        "groove_holds < 1e-6",
        f"No grooves, no near way out; {{now_film_left:thickness}} stays: {_SPIN}%s.",
    ),
    (
        "soil_in_grooves > 0.95",
        f"Blocked grooves let nothing out; {{now_film_left:thickness}} stays on the flats: "
        f"{_SPIN}%s.",
    ),
    (
        "room_left > 0",
        f"The grooves have room, yet {{now_film_left:thickness}} stays on the flats: {_SPIN}%s.",
    ),
    (
        "",
        f"The grooves are full, and {{now_film_left:thickness}} stays on the flats: {_SPIN}%s.",
    ),
]


def _sentences(band):
    return [(when, text.replace("%s", band)) for when, text in _SENTENCES]


def under_the_ball(**changes) -> Scene:
    """Lesson 01's scene; `changes` replace parts of it."""
    fresh = _FRESH.grooves
    parts = {
        "name": "under-the-ball",
        "title": "Under the ball: a face cut through",
        "controls": [
            Number(
                "water",
                "Water",
                kind="thickness",
                low=0.0,
                high=WETNESS["flooded"].water,
                step=0.1 * um,
                value=_DEW,
                half=THIN_FILMS,
                means=f"film on the face as found: {films_in_words()}",
            ),
            _share("soil_on_lands", "Soil on the flats", 0.0, "share of the flats under soil"),
            _share("soil_in_grooves", "Soil in the grooves", 1.0, "share of each groove"),
            Choice(
                "cleaning",
                "Cleaned with",
                options={name: {"way": float(k)} for k, name in enumerate(WAYS)},
                value="tee",
            ),
            _share("grass", "Grass between", 0.0, "share of the flats under grass"),
            _size(
                "land",
                "Flats between grooves",
                1.5,
                8.0,
                fresh.separation,
                "at least 1.905 mm and three widths",
            ),
            _size("groove_depth", "Groove depth", 0.0, 0.6, fresh.depth, "at most 0.508 mm"),
            _size("groove_width", "Groove width", 0.4, 1.0, fresh.width, "at most 0.889 mm"),
            _size(
                "edge_radius",
                "Edge radius",
                0.0,
                0.6,
                fresh.edge_radius,
                "0.254 to 0.508 mm; wear rounds it",
            ),
            Choice(
                "walls",
                "Groove walls",
                options={name: {"walls": lean} for name, lean in _WALLS.items()},
                value="leaning 15°",
            ),
            Number(
                "roughness",
                "Roughness",
                kind="thickness",
                low=0.5 * um,
                high=6 * um,
                step=0.1 * um,
                value=_FRESH.roughness,
                means="of face and ball together; a worn face is polished",
            ),
            Number(
                "temperature",
                "Water temperature",
                kind="temperature",
                low=274.15,
                high=313.15,
                step=1.0,
                value=288.15,
                means="warm water is thinner",
            ),
        ],
        "states": {
            "blocked, dew": {},
            "only dew": _CLEAN,
            "caked, dew": _CAKED,
            "caked, dry day": {**_CAKED, "water": 0.0},
            "from the rough": {**SOIL["clean"], "grass": LIES["rough"].grass, "cleaning": "dry towel"},
            "worn wedge": {
                **_CLEAN,
                "groove_depth": _WORN.grooves.depth,
                "edge_radius": _WORN.grooves.edge_radius,
                "roughness": _WORN.roughness,
            },
            "no grooves": {**_CLEAN, "groove_depth": 0.0},
            "square, close": {
                **_CLEAN,
                "walls": "square",
                "groove_width": 0.89 * mm,
                "groove_depth": 0.5 * mm,
                "edge_radius": 0.05 * mm,
            },
        },
        "compute": found_and_cleaned,
        "helpers": [
            wall_lean_of,
            limits_broken_by,
            clean,
            spin_cleaned,
            fill_film,
            answer_of,
        ],
        "banded": [
            "found_spin_rate",
            "now_spin_rate",
            "found_film_left",
            "now_film_left",
            "found_run_out",
            "now_run_out",
            "kept",
            *_WAY_SPINS,
        ],
        "arrays": {
            "ways": table_of_ways(),
            "history": HISTORY_ROWS,
            "drawing": DRAWING_POINTS,
            "trace": TRACE_ROOM,
            "found_film": HISTORY_ROWS,
            "now_film": HISTORY_ROWS,
        },
        "closeup": "under",
        "say": _sentences(_LIKELY),
        "say_first": _sentences(""),
        "texts": {
            "found": "As found",
            "now": [("way < 0.5", "Not cleaned: take a tool"), ("", "Cleaned: {cleaning}")],
            "spin": "spin {spin:spin}",
            "likely": "likely {low:spin#} to {high:spin}",
            "run_out": "run-out {run:distance}",
            "friction": "friction {used:number} of {most:number}",
            "none": "no water",
            "film": "film {film:thickness}",
            "left": "film left {film:thickness}",
            "holds": [
                ("groove_holds < 1e-6", "no grooves"),
                ("", "grooves hold {groove_holds:thickness} over the face"),
            ],
            "room": [
                ("groove_holds < 1e-6", "the edge of contact is the only way out"),
                ("", "room under the ball: {room_in_drops:share} of a drop"),
            ],
            "limit": [
                ("groove_holds < 1e-6", ""),
                ("", f"{{groove_holds:thickness}} held, at most {MOST_AREA_OVER_PITCH / um:.0f} µm"),
            ],
            "limits": [
                ("groove_holds < 1e-6", "a face without grooves"),
                ("limits_broken < 0.5", "within the groove limits, by these numbers"),
                ("", "breaks {limits_broken:number.0} groove limits, by these numbers"),
            ],
            "spotless": "spotless and dry {spotless_spin_rate:spin}",
        },
        "most": {"spin_rate": 8000 * rpm},
        "setting": setting,
        "facts": [
            ("Run-out", "now_run_out", "distance"),
            ("Spin", "now_spin_rate", "spin"),
            ("Launch", "now_launch_angle", "fine_angle"),
            ("Film left", "now_film_left", "thickness"),
            ("Friction", "now_friction", "number"),
            ("As found, spin", "found_spin_rate", "spin"),
            ("As found, film left", "found_film_left", "thickness"),
            ("Grooves hold", "groove_holds", "thickness"),
        ],
        "guesses": [
            Guess(
                kind="place",
                of="now_spin_rate",
                ask="Dew, soil in the grooves and on the flats. A tee clears the grooves. "
                "What does the next pitch spin?",
                label="spin",
                quantity="spin",
                low=0.0,
                high=8000 * rpm,
                step=100 * rpm,
                start=4000 * rpm,
            ),
            Guess(
                kind="choose",
                of="best_way",
                ask="Which way of cleaning gives back most?",
                label="best",
                options=[name for name in WAYS if name != "nothing"],
                answers=[
                    ("best_way > 3.5", WAYS[THEN_DRY]),
                    ("best_way > 2.5", WAYS[DAMP_TOWEL]),
                    ("best_way > 1.5", WAYS[DRY_TOWEL]),
                    ("", WAYS[TEE]),
                ],
            ),
        ],
        "guess_state": "caked, dew",
        "summary": "Two close-ups of a wedge's face, cut through across its grooves: as it is "
        "found, and cleaned. The ball's cover presses from above. Water lies on the flats and "
        "drains into the grooves; soil and grass lie on the flats, soil blocks grooves. Lengths "
        "along the face and grooves are to scale. The film is drawn far thicker, on a scale that "
        "gives the first three micrometres half of the way. Bars say what the next pitch spins "
        "after each way of cleaning.",
        "tries": [
            "Only dew: watch where the water goes. The grooves have room; what stays, and where?",
            "Take the tee, then the towel, and wipe the caked face with each. Dew first, then a "
            "dry day.",
            "Pull a groove away by its handle until a quarter of the spin is gone.",
        ],
    }
    return Scene(**parts | changes)
