"""The impact scene: the same swing dry and wet, from first touch to where both balls rest."""

from __future__ import annotations

import math
from typing import NamedTuple

from .. import records
from ..catalogue import BALLS, GREENS, PITCH, WETNESS, films_in_words
from ..kernel.compiled import Array
from ..kernel.contact import History
from ..kernel.flight import Drawing
from ..kernel.ground import Trace
from ..kernel.nouns import Impact, Played, Situation
from ..kernel.rows import situation_at
from ..units import deg, rpm, um
from .scene import Choice, Guess, Number, Scene
from .usual import (
    ATTACK_ANGLE,
    DYNAMIC_LOFT,
    FRICTION,
    FRICTION_FAST,
    HEAD_SPEED,
    SOIL_IN_GROOVES,
    THIN_FILMS,
    WATER,
    Usual,
    begin,
    played,
)

__all__ = ["impact_scene"]

BEFORE = 0.22e-3
"""The story begins this long before first touch [s] …"""
TRAVEL = 16e-3
LONGEST = 1e-3
"""… and the close-up ends once the dry ball has gone so far from the face [m], or after so long
[s]."""
LIFTED = 0.30e-3
"""So long after departure the cover is out of the lens's sight [s]."""
HELD = 0.98
"""Below this share of the limit the surfaces hold."""

MOTION_ROWS = 100
PATH_ROWS = 120
HISTORY_ROWS = 60
DRAWING_POINTS = 48
TRACE_POINTS = 8
TRACE_ROOM = 20 * TRACE_POINTS


class Motion(NamedTuple):
    """What moves in the close-up, at even times [s] from before the touch to after the departure.

    Places of head and ball against where they are when they touch [m], how far the ball has turned
    [rad], its compression [m], the film [m], the spin [rad/s], how far its surface has slid up the
    face [m]; whether they hold (1) or slide (0); and how far the cover still is, or is again, 1 …
    0.
    """

    time: Array
    head_x: Array
    head_z: Array
    ball_x: Array
    ball_z: Array
    turned: Array
    compression: Array
    film: Array
    spin: Array
    slipped: Array
    holds: Array
    gap: Array


class Path(NamedTuple):
    """Flight and run-out, from the launch [s]: distance and height [m]."""

    time: Array
    x: Array
    z: Array


class Answer(NamedTuple):
    """What the scene says, of the dry ball and of the other [SI]."""

    dry_ball_speed: float
    dry_launch_angle: float
    dry_spin_rate: float
    dry_carry: float
    dry_total: float
    wet_ball_speed: float
    wet_launch_angle: float
    wet_spin_rate: float
    wet_carry: float
    wet_total: float
    contact_time: float
    ratio: float
    rise: float


# -- rows to draw from ----------------------------------------------------------------------------


def row_before(times: Array, count: int, time) -> int:
    """The last of the first `count` rising times that is not after `time`, and has one after it."""
    row = 0
    for i in range(1, count - 1):
        if times[i] <= time:
            row = i
        else:
            break
    return row


def share_between(times: Array, row: int, time):
    """How far a time lies between two rows, 0 … 1."""
    step = times[row + 1] - times[row]
    if step <= 0.0:
        return 1.0
    return min(max((time - times[row]) / step, 0.0), 1.0)


def value_between(values: Array, row: int, share):
    """The value between two rows, on a straight line."""
    return values[row] + share * (values[row + 1] - values[row])


def fill_motion(motion: Motion, history: History, shot: Situation, impact: Impact, until) -> None:
    """Fill the rows of a close-up from the history of its contact.

    Head and ball move as the impulses so far have left them: ``m v = J_n n − J_t t``, for the head
    the opposite.
    """
    arriving = shot.arriving
    face = shot.face
    ball = shot.ball
    rows = len(motion.time)
    kept = len(history.time)
    cosine = math.cos(arriving.dynamic_loft)
    sine = math.sin(arriving.dynamic_loft)
    head_vx = arriving.head_speed * math.cos(arriving.attack_angle)
    head_vz = arriving.head_speed * math.sin(arriving.attack_angle)
    seconds = (BEFORE + until) / (float(rows) - 1.0)
    head_x = -BEFORE * head_vx
    head_z = -BEFORE * head_vz
    ball_x = 0.0
    ball_z = 0.0
    ball_vx = 0.0
    ball_vz = 0.0
    turned = 0.0
    slipped = 0.0
    last_normal = 0.0
    last_friction = 0.0
    last_spin = 0.0
    last_slip = 0.0
    for row in range(rows):
        time = seconds * float(row) - BEFORE
        normal = 0.0
        friction = 0.0
        spin = 0.0
        slip = 0.0
        compression = 0.0
        film = shot.between.water
        holds = 0.0
        gap = min(max(-time / BEFORE, 0.0), 1.0)
        if time > impact.time:
            spin = impact.spin_rate
            film = impact.film_left
            gap = min((time - impact.time) / LIFTED, 1.0)
        elif time > 0.0:
            at = row_before(history.time, kept, time)
            share = share_between(history.time, at, time)
            normal = value_between(history.normal_force, at, share)
            friction = value_between(history.friction_force, at, share)
            spin = value_between(history.spin_rate, at, share)
            slip = value_between(history.slip, at, share)
            compression = value_between(history.compression, at, share)
            film = value_between(history.film, at, share)
            if abs(friction) < HELD * normal * value_between(history.friction_limit, at, share):
                holds = 1.0
        if row > 0:
            across = 0.5 * (normal + last_normal) * seconds
            down = 0.5 * (friction + last_friction) * seconds
            push_x = across * cosine + down * sine
            push_z = across * sine - down * cosine
            ball_x = ball_x + (ball_vx + 0.5 * push_x / ball.mass) * seconds
            ball_z = ball_z + (ball_vz + 0.5 * push_z / ball.mass) * seconds
            head_x = head_x + (head_vx - 0.5 * push_x / face.head_mass) * seconds
            head_z = head_z + (head_vz - 0.5 * push_z / face.head_mass) * seconds
            ball_vx = ball_vx + push_x / ball.mass
            ball_vz = ball_vz + push_z / ball.mass
            head_vx = head_vx - push_x / face.head_mass
            head_vz = head_vz - push_z / face.head_mass
            turned = turned + 0.5 * (spin + last_spin) * seconds
            slipped = slipped + 0.5 * (slip + last_slip) * seconds
        last_normal = normal
        last_friction = friction
        last_spin = spin
        last_slip = slip
        motion.time[row] = time
        motion.head_x[row] = head_x
        motion.head_z[row] = head_z
        motion.ball_x[row] = ball_x
        motion.ball_z[row] = ball_z
        motion.turned[row] = turned
        motion.compression[row] = compression
        motion.film[row] = film
        motion.spin[row] = spin
        motion.slipped[row] = slipped
        motion.holds[row] = holds
        motion.gap[row] = gap


def fill_path(path: Path, drawing: Drawing, trace: Trace, shot: Played) -> None:
    """Fill the rows of a flight and its run-out: the first half aloft, the other on the ground,
    each at even times."""
    rows = len(path.time)
    half = 0.5 * float(rows)
    points = len(drawing.time)
    parts = shot.stop.bounces + 2.0
    traced = 0
    for i in range(len(trace.time)):
        if float(i) < parts * TRACE_POINTS:
            traced = i + 1
    aloft = shot.landing.flight_time
    for row in range(rows):
        time = aloft * float(row) / (half - 1.0)
        if float(row) >= half:
            time = aloft + shot.stop.time * (float(row) - half + 1.0) / half
        path.time[row] = time
        if float(row) < half:
            at = row_before(drawing.time, points, time)
            share = share_between(drawing.time, at, time)
            path.x[row] = value_between(drawing.x, at, share)
            path.z[row] = value_between(drawing.z, at, share)
        else:
            at = row_before(trace.time, traced, time - aloft)
            share = share_between(trace.time, at, time - aloft)
            path.x[row] = shot.landing.carry + value_between(trace.x, at, share)
            path.z[row] = value_between(trace.z, at, share)


# -- the calculation ------------------------------------------------------------------------------


def answer_of(dry: Played, wet: Played) -> Answer:
    """What two shots have to say."""
    return Answer(
        dry_ball_speed=dry.impact.ball_speed,
        dry_launch_angle=dry.impact.launch_angle,
        dry_spin_rate=dry.impact.spin_rate,
        dry_carry=dry.landing.carry,
        dry_total=dry.landing.carry + dry.stop.run_out,
        wet_ball_speed=wet.impact.ball_speed,
        wet_launch_angle=wet.impact.launch_angle,
        wet_spin_rate=wet.impact.spin_rate,
        wet_carry=wet.landing.carry,
        wet_total=wet.landing.carry + wet.stop.run_out,
        contact_time=dry.impact.time,
        ratio=wet.impact.spin_rate / max(dry.impact.spin_rate, 1e-9),
        rise=wet.impact.launch_angle - dry.impact.launch_angle,
    )


def dry_and_wet(
    dynamic_loft,
    head_speed,
    attack_angle,
    water,
    soil_in_grooves,
    friction,
    friction_fast,
    usual: Usual,
    history: History,
    drawing: Drawing,
    trace: Trace,
    dry_motion: Motion,
    wet_motion: Motion,
    dry_path: Path,
    wet_path: Path,
) -> Answer:
    """The same swing twice: clean and dry, and with what lies between face and ball now."""
    begin(usual)
    usual.now[DYNAMIC_LOFT] = dynamic_loft
    usual.now[HEAD_SPEED] = head_speed
    usual.now[ATTACK_ANGLE] = attack_angle
    usual.now[FRICTION] = friction
    usual.now[FRICTION_FAST] = friction_fast
    dry = played(usual, history, drawing, trace, TRACE_POINTS)
    until = dry.impact.time + min(TRAVEL / max(dry.impact.ball_speed, 0.1), LONGEST)
    fill_motion(dry_motion, history, situation_at(usual.moved), dry.impact, until)
    fill_path(dry_path, drawing, trace, dry)
    usual.now[WATER] = water
    usual.now[SOIL_IN_GROOVES] = soil_in_grooves
    wet = played(usual, history, drawing, trace, TRACE_POINTS)
    fill_motion(wet_motion, history, situation_at(usual.moved), wet.impact, until)
    fill_path(wet_path, drawing, trace, wet)
    return answer_of(dry, wet)


# -- the scene ------------------------------------------------------------------------------------

_SOIL = {"open": 0.0, "half closed": 0.5, "closed by soil": 1.0}


def setting(values) -> dict:
    """The records of the shot in the scene: ``play(**setting)`` is its second ball."""
    return {
        "arriving": records.Delivery(
            head_speed=values["head_speed"],
            dynamic_loft=values["dynamic_loft"],
            attack_angle=values["attack_angle"],
        ),
        "face": records.Face(),
        "ball": BALLS[values["ball"]],
        "between": records.Between(water=values["water"], soil_in_grooves=_SOIL[values["grooves"]]),
        "green": GREENS["medium"],
    }


def _cover(ball):
    return {
        "friction": ball.friction,
        "friction_fast": ball.friction_fast,
        "hard": float(ball is BALLS["hard cover"]),
    }


_WET = WETNESS["poured"].water
THIN = 0.05 * um
"""A film thinner than this counts as dry in words."""

_SAY = [
    (
        f"water < {THIN}",
        "Clean and dry, the face holds the cover: spin {dry_spin_rate:spin}, launch "
        "{dry_launch_angle:angle}.",
    ),
    (
        "ratio > 0.985",
        "This film hardly changes anything: spin {wet_spin_rate:spin}, as good as dry.",
    ),
    (
        "rise < 0.0087",
        "Water leaves {ratio:share} of the spin ({ratio_low:share#} to {ratio_high:share}); "
        "launch stays.",
    ),
    (
        "",
        "Water leaves {ratio:share} of the spin ({ratio_low:share#} to {ratio_high:share}) and "
        "launches {rise:angle} higher.",
    ),
]
_SAY_FIRST = [
    (
        f"water < {THIN}",
        "Clean and dry, the face holds the cover: spin {dry_spin_rate:spin}, launch "
        "{dry_launch_angle:angle}.",
    ),
    (
        "ratio > 0.985",
        "This film hardly changes anything: spin {wet_spin_rate:spin}, as good as dry.",
    ),
    ("rise < 0.0087", "Water leaves {ratio:share} of the spin; launch stays."),
    ("", "Water leaves {ratio:share} of the spin and launches {rise:angle} higher."),
]


def impact_scene(**changes) -> Scene:
    """Lesson 02's scene; `changes` replace parts of it."""
    parts = {
        "name": "impact",
        "title": "The same swing, dry and wet",
        "controls": [
            Number(
                "dynamic_loft",
                "Loft",
                kind="fine_angle",
                low=25 * deg,
                high=70 * deg,
                step=0.5 * deg,
                value=PITCH.dynamic_loft,
                means="of the face as it meets the ball",
            ),
            Number(
                "head_speed",
                "Head speed",
                kind="speed",
                low=8.0,
                high=40.0,
                step=0.25,
                value=PITCH.head_speed,
                means="how fast the head arrives",
            ),
            Number(
                "water",
                "Water",
                kind="thickness",
                low=0.0,
                high=150 * um,
                step=0.1 * um,
                value=_WET,
                half=THIN_FILMS,
                means=f"film on the face: {films_in_words()}",
            ),
            Choice(
                "ball",
                "Ball",
                options={name: _cover(ball) for name, ball in BALLS.items()},
                value="soft cover",
            ),
            Number(
                "attack_angle",
                "Attack",
                kind="fine_angle",
                low=-12 * deg,
                high=0.0,
                step=0.5 * deg,
                value=PITCH.attack_angle,
                means="down is negative",
            ),
            Choice(
                "grooves",
                "Grooves",
                options={name: {"soil_in_grooves": share} for name, share in _SOIL.items()},
                value="open",
            ),
        ],
        "states": {
            "clean and dry": {"water": 0.0},
            "damp": {"water": WETNESS["damp"].water},
            "wet": {"water": _WET},
            "wet, grooves closed": {"water": _WET, "grooves": "closed by soil"},
        },
        "compute": dry_and_wet,
        "helpers": [row_before, share_between, value_between, fill_motion, fill_path, answer_of],
        "banded": [
            "dry_spin_rate",
            "wet_spin_rate",
            "dry_launch_angle",
            "wet_launch_angle",
            "ratio",
            "rise",
            "dry_carry",
            "wet_carry",
            "dry_total",
            "wet_total",
        ],
        "arrays": {
            "history": HISTORY_ROWS,
            "drawing": DRAWING_POINTS,
            "trace": TRACE_ROOM,
            "dry_motion": MOTION_ROWS,
            "wet_motion": MOTION_ROWS,
            "dry_path": PATH_ROWS,
            "wet_path": PATH_ROWS,
        },
        "closeup": "impact",
        "say": _SAY,
        "say_first": _SAY_FIRST,
        "texts": {
            "first": "Clean and dry",
            "second": [
                (f"water < {THIN} and soil_in_grooves < 0.1", "Now: clean and dry"),
                (f"water < {THIN}", "Now: dry"),
                (f"water < {WETNESS['dew'].low}", "Now: damp"),
                ("", "Now: wet"),
            ],
            "spin": "spin {spin:spin}",
            "likely": "likely {low:spin#} to {high:spin}",
            "launch": "launch {angle:angle}",
            "speed": "ball speed {speed:speed}",
            "none": "no water",
            "water": "water {film:thickness}",
            "film": "film {film:thickness}",
            "left": "{film:thickness} left",
            "flight": "carry {carry:distance}, rests at {total:distance}",
            "flight_likely": "likely carry {low:distance#} to {high:distance}",
        },
        "most": {"spin_rate": 14000 * rpm},
        "setting": setting,
        "facts": [
            ("Spin", "wet_spin_rate", "spin"),
            ("Launch", "wet_launch_angle", "fine_angle"),
            ("Ball speed", "wet_ball_speed", "speed"),
            ("Carry", "wet_carry", "distance"),
            ("At rest", "wet_total", "distance"),
        ],
        "guesses": [
            Guess(
                kind="arrow",
                of="wet_launch_angle",
                ask="Where does the wet ball go? Drag its arrow.",
                label="launch",
                quantity="angle",
                low=0.0,
                high=70 * deg,
                step=1 * deg,
                start=20 * deg,
            ),
            Guess(
                kind="place",
                of="wet_spin_rate",
                ask="How much does it spin? Drag the pointer.",
                label="spin",
                quantity="spin",
                low=0.0,
                high=14000 * rpm,
                step=100 * rpm,
                start=7000 * rpm,
            ),
        ],
        "guess_state": "wet",
        "summary": "Two close-ups of the same swing, from the side: a ball on a wedge's face, "
        "clean and dry, and with water between. A dotted line shows where the face points. Below, "
        "both balls fly and stop. A lens shows the water between metal and cover, on a scale that "
        "gives the first three micrometres half of the way.",
        "tries": [
            "Pull the water down slowly. How thin must it be before the spin comes back?",
            "Turn the dry face up by its edge until the ball slides, too.",
            "Swap the ball, wet and dry. Which cover loses more?",
        ],
    }
    return Scene(**parts | changes)
