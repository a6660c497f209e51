"""The scene "loft against spin": the same swing or the same carry with one loft after the other, and
the peak of each state of the face.

Under the hand the point follows at once, with one swing also the whole curve of the face as it is;
at rest the page's worker works out the curves of all states, the run, and then the band along the
curve.  For one carry every loft of every draw would need its own search for a head speed, several
seconds of work: there the point alone has a band.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from .. import records
from ..catalogue import BALLS, GREENS, LEAN, PITCH, SOIL, STATES, WETNESS, films_in_words
from ..kernel.compiled import Array, entry, kernel
from ..kernel.questions import (
    CLOSE_CARRY,
    FASTEST_HEAD,
    GOLDEN,
    SLOWEST_HEAD,
    Nothing,
    head_speed_for_carry,
    quantile,
    root_carry,
    sort,
    vary_row,
)
from ..kernel.rows import situation_at
from ..physics.shot import carry_to_speed
from ..units import deg, rpm, um
from .scene import (
    LEVEL,
    Axis,
    Choice,
    Guess,
    Number,
    Plot,
    Scene,
    band,
    curve,
    dots,
    edge,
    grip,
    point,
)
from .usual import (
    DRAWS,
    DYNAMIC_LOFT,
    FRICTION,
    FRICTION_FAST,
    HEAD_SPEED,
    SOIL_IN_GROOVES,
    SOIL_ON_LANDS,
    THIN_FILMS,
    WATER,
    Usual,
    begin,
    played,
    struck,
)

__all__ = ["loft_against_spin"]

LOWEST = 20 * deg
HIGHEST = 64 * deg
"""The dynamic lofts that the picture shows."""
MOST_SPIN = 10000 * rpm
LONGEST_RUN = 30.0
LINE_POINTS = 25
KNOTS = 13
"""Points of a curve, and of its band."""
CLOSE_PEAK = 0.2 * deg
"""A peak is found to this [rad]."""
SECANTS = 12
"""After so many rounds a head speed is looked for from the ends of what there is."""
AT_END = 0.25 * deg
"""A peak this near an end of the picture lies at it, or beyond."""
CLUBS = ("48°", "52°", "56°", "60°", "64°")
FIRST_CLUB = 48 * deg
CLUB_STEP = 4 * deg
"""The wedges that are marked along the picture's upper edge."""
SAND = 56 * deg
LOB = 64 * deg
"""The wedges that the belief "64° spins most" is about."""
DAMP = STATES["damp"].water
WET = STATES["wet"].water
DIRTY_LANDS = STATES["dirty"].soil_on_lands
DIRTY_GROOVES = STATES["dirty"].soil_in_grooves
UNDRAWN = 0


class Kept(NamedTuple):
    """What stays from loft to loft: the head speed [m/s], or the carry [m] where that is above
    zero."""

    head_speed: float
    carry: float


class Line(NamedTuple):
    """Spin [rad/s] over dynamic loft [rad]."""

    loft: Array
    spin: Array


class States(NamedTuple):
    """Spin [rad/s] of the prepared states of the face over dynamic loft [rad]."""

    loft: Array
    dry: Array
    damp: Array
    wet: Array
    dirty: Array


class Run(NamedTuple):
    """How far the ball runs after it has pitched [m], over dynamic loft [rad]."""

    loft: Array
    distance: Array


class Area(NamedTuple):
    """An area over dynamic loft [rad], between two spins [rad/s]."""

    loft: Array
    low: Array
    high: Array


class Answer(NamedTuple):
    """The shot at the loft pointed at [SI]; where spin is largest, and how far the loft pointed at
    lies beyond that [rad]; the spin of a 64° wedge over that of a 56°.  Infinite is not known."""

    spin_rate: float
    launch_angle: float
    carried: float
    descent_angle: float
    run_out: float
    arriving_speed: float
    club_loft: float
    best_loft: float
    best_low: float
    best_high: float
    beyond: float
    lob_ratio: float
    rested: float


# -- one loft -------------------------------------------------------------------------------------


@kernel
def lies_between(usual: Usual, water, soil_on_lands, soil_in_grooves) -> None:
    """Set what lies between face and ball."""
    usual.now[WATER] = water
    usual.now[SOIL_ON_LANDS] = soil_on_lands
    usual.now[SOIL_IN_GROOVES] = soil_in_grooves


@entry
def speed_for_carry(usual: Usual, carry, start):
    """The head speed [m/s] at which the shot `moved` carries so far, from that of a similar shot.

    A secant, for the root of the carry is nearly straight in the speed.  It ends as near as
    `head_speed_for_carry`, which takes over where the secant leaves its range.
    """
    nothing = Nothing(history=usual.history, drawing=usual.drawing, trace=usual.trace)
    shot = situation_at(usual.moved)
    wanted = math.sqrt(carry)
    last = start
    reached = root_carry(shot, last, nothing)
    last_miss = reached - wanted
    speed = last * wanted / max(reached, 0.1)
    for _ in range(SECANTS):
        if abs(last_miss) * 2.0 * wanted < CLOSE_CARRY:
            return last
        if not SLOWEST_HEAD < speed < FASTEST_HEAD:
            break
        miss = root_carry(shot, speed, nothing) - wanted
        next_speed = speed
        if miss != last_miss:
            next_speed = speed - miss * (speed - last) / (miss - last_miss)
        last = speed
        last_miss = miss
        speed = next_speed
    found = head_speed_for_carry(carry, shot, nothing)
    return found if found > 0.0 else FASTEST_HEAD


@entry
def deliver(usual: Usual, dynamic_loft, kept: Kept) -> None:
    """Set loft and head speed of the shot `now`."""
    usual.now[DYNAMIC_LOFT] = dynamic_loft
    if kept.carry > 0.0:
        vary_row(usual.now, usual.shares, usual.doubts, usual.moved)
        usual.now[HEAD_SPEED] = speed_for_carry(usual, kept.carry, usual.now[HEAD_SPEED])
    else:
        usual.now[HEAD_SPEED] = kept.head_speed


@entry
def spin_of_state(usual: Usual, dynamic_loft, kept: Kept):
    """Spin [rad/s] at a dynamic loft [rad], with the face as it is."""
    deliver(usual, dynamic_loft, kept)
    return struck(usual).spin_rate


# -- curves and their peaks -----------------------------------------------------------------------


@kernel
def loft_at(place: int, places: int):
    """The dynamic loft [rad] at one of so many places across the picture."""
    return LOWEST + (HIGHEST - LOWEST) * float(place) / (float(places) - 1.0)


@kernel
def fill_lofts(loft: Array) -> None:
    """Fill the dynamic lofts of a curve."""
    for i in range(len(loft)):
        loft[i] = loft_at(i, len(loft))


@kernel
def fill_spin(usual: Usual, spin: Array, kept: Kept) -> None:
    """Fill the spin of a curve."""
    for i in range(len(spin)):
        spin[i] = spin_of_state(usual, loft_at(i, len(spin)), kept)


@kernel
def fill_run(usual: Usual, run: Run, kept: Kept) -> None:
    """Fill how far the ball runs."""
    for i in range(len(run.loft)):
        run.loft[i] = loft_at(i, len(run.loft))
        deliver(usual, run.loft[i], kept)
        shot = played(usual, usual.history, usual.drawing, usual.trace, UNDRAWN)
        run.distance[i] = shot.stop.run_out


@entry
def peak_near(usual: Usual, spin: Array, kept: Kept):
    """The dynamic loft [rad] with most spin: golden sections about the largest spin of a curve.

    A draw may move the loft itself; what is returned is the moved one, within the picture's ends.
    """
    moved = usual.moved[DYNAMIC_LOFT] - usual.now[DYNAMIC_LOFT]
    best = 0
    for i in range(len(spin)):
        if spin[i] > spin[best]:
            best = i
    step = (HIGHEST - LOWEST) / (float(len(spin)) - 1.0)
    middle = loft_at(best, len(spin))
    left = max(middle - step, LOWEST - moved)
    right = min(middle + step, HIGHEST - moved)
    first = left + GOLDEN * (right - left)
    second = right - GOLDEN * (right - left)
    at_first = spin_of_state(usual, first, kept)
    at_second = spin_of_state(usual, second, kept)
    while right - left > CLOSE_PEAK:
        if at_first > at_second:
            right = second
            second = first
            at_second = at_first
            first = left + GOLDEN * (right - left)
            at_first = spin_of_state(usual, first, kept)
        else:
            left = first
            first = second
            at_first = at_second
            second = right - GOLDEN * (right - left)
            at_second = spin_of_state(usual, second, kept)
    return 0.5 * (left + right) + moved


@entry
def fill_state(usual: Usual, spin: Array, peaks: Line, place: int, kept: Kept) -> None:
    """Fill the curve of one state, and its peak."""
    fill_spin(usual, spin, kept)
    peaks.loft[place] = peak_near(usual, spin, kept)
    peaks.spin[place] = spin_of_state(usual, peaks.loft[place], kept)


@entry
def fill_states(usual: Usual, states: States, peaks: Line, kept: Kept) -> None:
    """Fill the curves of all prepared states, and their peaks."""
    fill_lofts(states.loft)
    lies_between(usual, 0.0, 0.0, 0.0)
    fill_state(usual, states.dry, peaks, 0, kept)
    lies_between(usual, DAMP, 0.0, 0.0)
    fill_state(usual, states.damp, peaks, 1, kept)
    lies_between(usual, WET, 0.0, 0.0)
    fill_state(usual, states.wet, peaks, 2, kept)
    lies_between(usual, 0.0, DIRTY_LANDS, DIRTY_GROOVES)
    fill_state(usual, states.dirty, peaks, 3, kept)


# -- the band -------------------------------------------------------------------------------------


@kernel
def ends_of(values: Array) -> tuple[float, float]:
    """Both ends of the band of some values; sorts them."""
    sort(values)
    tail = 0.5 * (1.0 - LEVEL)
    low = quantile(values, tail)
    high = quantile(values, 1.0 - tail)
    return low, high


@entry
def fill_band(
    usual: Usual, draws: Array, table: Array, column: Array, edges: Area, kept: Kept
) -> tuple[float, float]:
    """Fill the band of the curve `now`, one swing; both ends of the band of its peak [rad].

    `table` is room for the spins of every draw, `column` for one number of every draw.
    """
    knots = len(edges.loft)
    fill_lofts(edges.loft)
    width = len(usual.shares)
    for draw in range(len(column)):
        for i in range(width):
            usual.shares[i] = draws[draw * width + i]
        fill_spin(usual, edges.low, kept)
        for knot in range(knots):
            table[draw * knots + knot] = edges.low[knot]
        column[draw] = peak_near(usual, edges.low, kept)
    for i in range(width):
        usual.shares[i] = -1.0
    best_low, best_high = ends_of(column)
    for knot in range(knots):
        for draw in range(len(column)):
            column[draw] = table[draw * knots + knot]
        low, high = ends_of(column)
        middle = spin_of_state(usual, edges.loft[knot], kept)
        edges.low[knot] = min(low, middle)
        edges.high[knot] = max(high, middle)
    return best_low, best_high


# -- the calculation ------------------------------------------------------------------------------


@kernel
def leave_open(states: States, peaks: Line, now: Line, top: Line, past: Area, run: Run) -> None:
    """Say of the curves that they are not known yet."""
    states.dry[0] = math.inf
    states.loft[0] = math.inf
    peaks.loft[0] = math.inf
    now.loft[0] = math.inf
    top.loft[0] = math.inf
    past.loft[0] = math.inf
    run.loft[0] = math.inf


@entry
def spin_over_loft(
    dynamic_loft,
    same_carry,
    head_speed,
    carry,
    lean,
    water,
    soil_on_lands,
    soil_in_grooves,
    friction,
    friction_fast,
    rested,
    usual: Usual,
    draws: Array,
    states: States,
    peaks: Line,
    now: Line,
    top: Line,
    past: Area,
    run: Run,
    edges: Area,
    clubs: Array,
    table: Array,
    column: Array,
) -> Answer:
    """The shot at one loft, and the curves on which it lies: as many of them as there is time for."""
    kept = Kept(head_speed=head_speed, carry=carry if same_carry > 0.5 else 0.0)
    begin(usual)
    usual.now[FRICTION] = friction
    usual.now[FRICTION_FAST] = friction_fast
    lies_between(usual, water, soil_on_lands, soil_in_grooves)
    deliver(usual, dynamic_loft, kept)
    shot = played(usual, usual.history, usual.drawing, usual.trace, UNDRAWN)
    arriving_speed = usual.now[HEAD_SPEED]
    best_loft = math.inf
    best_low = math.inf
    best_high = math.inf
    lob_ratio = math.inf
    if len(now.loft) > 0:
        leave_open(states, peaks, now, top, past, run)
        edges.loft[0] = math.inf
        for i in range(len(clubs)):
            clubs[i] = FIRST_CLUB + CLUB_STEP * float(i) - lean
        if rested > 0.5 or same_carry < 0.5:
            fill_lofts(now.loft)
            fill_spin(usual, now.spin, kept)
            best_loft = peak_near(usual, now.spin, kept)
            top.loft[0] = best_loft
            top.spin[0] = spin_of_state(usual, best_loft, kept)
            for i in range(len(past.loft)):
                past.loft[i] = best_loft if i == 0 else HIGHEST
                past.low[i] = 0.0
                past.high[i] = MOST_SPIN
            lob_ratio = spin_of_state(usual, LOB - lean, kept) / spin_of_state(usual, SAND - lean, kept)
        if rested > 0.5:
            fill_run(usual, run, kept)
        if rested > 1.5 and same_carry < 0.5:
            low, high = fill_band(usual, draws, table, column, edges, kept)
            best_low = min(low, best_loft)
            best_high = max(high, best_loft)
        if rested > 0.5:
            fill_states(usual, states, peaks, kept)
    return Answer(
        spin_rate=shot.impact.spin_rate,
        launch_angle=shot.impact.launch_angle,
        carried=shot.landing.carry,
        descent_angle=shot.landing.descent_angle,
        run_out=shot.stop.run_out,
        arriving_speed=arriving_speed,
        club_loft=dynamic_loft + lean,
        best_loft=best_loft,
        best_low=best_low,
        best_high=best_high,
        beyond=dynamic_loft - best_loft,
        lob_ratio=lob_ratio,
        rested=rested,
    )


# -- the scene ------------------------------------------------------------------------------------


def setting(values) -> dict:
    """The records of the shot pointed at: ``play(**setting)`` is what the scene says."""
    arriving = records.Delivery(
        head_speed=values["head_speed"],
        dynamic_loft=values["dynamic_loft"],
        attack_angle=PITCH.attack_angle,
    )
    shot = {
        "face": records.Face(),
        "ball": BALLS[values["ball"]],
        "between": records.Between(water=values["water"], **SOIL[values["soil"]]),
    }
    if values["kept"] == "one carry":
        speed = carry_to_speed(values["carry"], arriving, **shot)
        arriving = arriving.but(head_speed=speed)
    return {"arriving": arriving, **shot, "green": GREENS["medium"]}


_KEPT = {"one swing": {"same_carry": 0.0}, "one carry": {"same_carry": 1.0}}
_SOIL = {name: SOIL[name] for name in ("clean", "soiled", "caked", "grooves full")}
_HERE = "spin {spin_rate:spin} ({spin_rate_low:spin#} to {spin_rate_high:spin})"
_RUN = "run {run_out:distance} ({run_out_low:distance#} to {run_out_high:distance})"
_MOST = "{best_loft:angle}"
_MOST_BANDED = "{best_loft:angle} ({best_low:angle#} to {best_high:angle})"


def _say():
    rules = [
        ("same_carry > 0.5", f"The same carry: {_RUN}, {_HERE}."),
        (f"best_loft < {LOWEST + AT_END}", f"Every degree of loft costs spin; here {_HERE}."),
        (f"best_loft > {HIGHEST - AT_END}", f"Spin grows with loft all the way; here {_HERE}."),
    ]
    for when, most in (("rested > 1.5", _MOST_BANDED), ("rested > 0.5", _MOST)):
        rules.append((f"{when} and beyond > 0", f"Past {most} more loft spins less; here {_HERE}."))
        rules.append((when, f"Spin grows up to {most}; here {_HERE}."))
    return [*rules, ("", f"Here {_HERE}.")]


_SAY_FIRST = [
    ("same_carry > 0.5", "The same carry: run {run_out:distance}, spin {spin_rate:spin}."),
    (f"best_loft < {LOWEST + AT_END}", "Every degree of loft costs spin; here {spin_rate:spin}."),
    (f"best_loft > {HIGHEST - AT_END}", "Spin grows all the way; here {spin_rate:spin}."),
    ("beyond > 0", f"Past {_MOST} more loft spins less; here {{spin_rate:spin}}."),
    ("", f"Spin grows up to {_MOST}; here {{spin_rate:spin}}."),
]


def loft_against_spin(**changes) -> Scene:
    """Lesson 03's scene; `changes` replace parts of it."""
    lofts = Axis("dynamic_loft", "Dynamic loft", "angle", LOWEST, HIGHEST)
    of_now = ("dynamic_loft", "lean")
    of_states = ("dynamic_loft", "lean", "water", "soil")
    parts = {
        "name": "loft-against-spin",
        "title": "Does more loft spin more?",
        "controls": [
            Number(
                "dynamic_loft",
                "Loft",
                kind="fine_angle",
                low=LOWEST,
                high=HIGHEST,
                step=0.5 * deg,
                value=PITCH.dynamic_loft,
                means="of the face as it meets the ball",
            ),
            Choice("kept", "Kept", options=_KEPT, value="one swing"),
            Number(
                "water",
                "Water",
                kind="thickness",
                low=0.0,
                high=WETNESS["poured"].high,
                step=0.01 * um,
                value=0.0,
                half=THIN_FILMS,
                means=f"film on the face: {films_in_words('damp', 'dew', 'poured')}",
            ),
            Choice("soil", "Soil", options=_SOIL, value="clean"),
            Number(
                "head_speed",
                "Head speed",
                kind="speed",
                low=10.0,
                high=30.0,
                step=0.25,
                value=PITCH.head_speed,
                means="of the one swing, the same with every loft",
            ),
            Number(
                "carry",
                "Carry",
                kind="distance",
                low=20.0,
                high=50.0,
                step=1.0,
                value=45.0,
                means="of the one carry; the head speed follows with every loft",
            ),
            Choice(
                "ball",
                "Ball",
                options={
                    name: {"friction": ball.friction, "friction_fast": ball.friction_fast}
                    for name, ball in BALLS.items()
                },
                value="soft cover",
            ),
            Number(
                "lean",
                "Shaft lean",
                kind="fine_angle",
                low=0.0,
                high=20 * deg,
                step=0.5 * deg,
                value=LEAN,
                means="forward; takes that much loft away from the club's",
            ),
        ],
        "states": {
            "clean and dry": {},
            "damp": {"water": DAMP},
            "wet": {"water": WET},
            "dirty": {"soil": "caked"},
            "one carry, dry": {"kept": "one carry"},
            "one carry, wet": {"kept": "one carry", "water": WET},
        },
        "compute": spin_over_loft,
        "rests": 2,
        "lasting": {
            "states": of_states,
            "peaks": of_states,
            "now": of_now,
            "top": of_now,
            "past": of_now,
            "run": of_now,
            "edges": of_now,
            "best_loft": of_now,
            "best_low": of_now,
            "best_high": of_now,
        },
        "arrays": {
            "draws": "draws",
            "states": LINE_POINTS,
            "peaks": 4,
            "now": LINE_POINTS,
            "top": 1,
            "past": 2,
            "run": LINE_POINTS,
            "edges": KNOTS,
            "clubs": len(CLUBS),
            "table": DRAWS * KNOTS,
            "column": DRAWS,
        },
        "banded": ["spin_rate", "launch_angle", "carried", "descent_angle", "run_out"],
        "plots": [
            Plot(
                x=lofts,
                y=Axis("spin", "Spin", "spin", 0.0, MOST_SPIN),
                marks=[
                    band(x="past.loft", low="past.low", high="past.high", sign="quiet", name="past the peak"),
                    band(x="edges.loft", low="edges.low", high="edges.high", sign="plain"),
                    curve(x="states.loft", y="states.dry", sign="dry", name="dry", thin=True),
                    curve(x="states.loft", y="states.damp", sign="damp", name="damp", thin=True),
                    curve(x="states.loft", y="states.dirty", sign="blocked", name="dirty", thin=True),
                    curve(x="states.loft", y="states.wet", sign="wet", name="wet", thin=True),
                    curve(x="now.loft", y="now.spin", sign="plain", name="now"),
                    dots(x="peaks.loft", y="peaks.spin", name="peak"),
                    dots(x="top.loft", y="top.spin"),
                    point(x="dynamic_loft", y="spin_rate", sign="plain"),
                    edge(x="clubs", labels=CLUBS, label="wedges"),
                    grip("dynamic_loft", x="dynamic_loft", y="spin_rate"),
                ],
                name="spin",
                share=2.0,
                tall=1.45,
            ),
            Plot(
                x=lofts,
                y=Axis("run_out", "Run after pitching", "distance", 0.0, LONGEST_RUN),
                marks=[
                    curve(x="run.loft", y="run.distance", sign="plain"),
                    point(x="dynamic_loft", y="run_out", sign="plain"),
                    grip("dynamic_loft", x="dynamic_loft", y="run_out"),
                ],
                name="run",
            ),
        ],
        "say": _say(),
        "say_first": _SAY_FIRST,
        "setting": setting,
        "facts": [
            ("Club, at this lean", "club_loft", "fine_angle"),
            ("Spin", "spin_rate", "spin"),
            ("Comes down at", "descent_angle", "angle"),
            ("Carry", "carried", "distance"),
            ("Run", "run_out", "distance"),
            ("Head speed", "arriving_speed", "speed"),
        ],
        "guesses": [
            Guess(
                kind="place",
                of="best_loft",
                ask="Wet, one swing: at which loft does the ball spin most? Drag the marker.",
                label="most spin at",
                quantity="angle",
                low=LOWEST,
                high=HIGHEST,
                step=1 * deg,
                start=42 * deg,
                along="spin",
            ),
            Guess(
                kind="choose",
                of="lob",
                ask="Wet, one swing: a 64° instead of a 56°. The ball spins …",
                label="the 64° spins",
                options=["more", "about the same", "less"],
                answers=[
                    ("lob_ratio > 1.03", "more"),
                    ("lob_ratio > 0.97", "about the same"),
                    ("", "less"),
                ],
            ),
        ],
        "guess_state": "wet",
        "summary": "Two pictures with dynamic loft across: spin upward in the first, run after "
        "pitching in the second. Thin lines for a dry, a damp, a dirty and a wet face; a heavy line "
        "for the face as it is now, with its band. A ring marks the peak of each line; past the "
        "heavy line's peak the picture is shaded.",
        "tries": [
            "Drag the point along its line. Where does more loft stop adding spin?",
            "Pull the water up slowly and watch the peak walk to the left.",
            "Keep one carry, wet. Which loft spins least, and which runs least?",
        ],
    }
    return Scene(**parts | changes)
