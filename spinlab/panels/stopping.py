"""The flight-and-stop scene: two shots that carry alike, one low with spin, one high without."""

from __future__ import annotations

from typing import NamedTuple

from .. import records
from ..catalogue import GREENS
from ..kernel import nouns
from ..kernel.compiled import Array
from ..kernel.flight import Drawing, fly
from ..kernel.ground import Moving, Trace, bounce, land, resting_tilt_of, touchdown, turf_of
from ..kernel.nouns import Green, Landing, Launch, Situation, Stop
from ..kernel.questions import ball_speed_for_carry, vary_row
from ..kernel.rows import AT_AERODYNAMICS, AT_GREEN, situation_at
from ..kernel.shot import arrival_of
from ..physics.stopping import HIGH, LOW, two_shots
from ..units import deg, ft, rpm
from .scene import Choice, Guess, Number, Scene
from .usual import GREEN_SPEED, WIND, Usual, begin

__all__ = ["flight_and_stop"]

FLIGHT_POINTS = 48
TRACE_POINTS = 17
MOST_PARTS = 40
"""A run-out is drawn in so many parts at most: hops, the slide, the roll."""
TRACE_ROOM = MOST_PARTS * TRACE_POINTS

GROUND = ("friction", "tilt", "restitution", "grip_restitution")
"""The numbers of a green that make it soft, firm or gripping."""
GROUND_NUMBERS = len(GROUND)
GROUNDS = 4
AT_GROUND = AT_GREEN + nouns.Green._fields.index(GROUND[0])
AT_SLOPE = AT_GREEN + nouns.Green._fields.index("slope")
AT_REVERSE_LIFT = AT_AERODYNAMICS + nouns.Aerodynamics._fields.index("reverse_lift")
FOUND = 4
"""So many numbers are kept of a launch that was found: carry, angle, spin, ball speed."""
ALIKE = 1.5
"""Run-outs that differ by less than this [m] are called alike."""
BLOWS = 2.0
"""From this wind on [m/s] the sentence is about it."""


class Way(NamedTuple):
    """A ball's way from launch to rest [s, m], and how far it has turned backward [rad].

    After the landing x goes on along the ground and z is the height above it.
    """

    time: Array
    x: Array
    z: Array
    turned: Array


class Shot(NamedTuple):
    """A launch, where it comes down and where it rests."""

    launch: Launch
    landing: Landing
    stop: Stop


class Answer(NamedTuple):
    """What the scene says of the low and of the high ball [SI].

    `past` is how far beyond the flag it rests, `blown` how far the wind moves its landing,
    `run_0` … `run_3` what it runs on each green.
    """

    low_ball_speed: float
    low_carry: float
    low_descent_angle: float
    low_landing_spin: float
    low_run_out: float
    low_total: float
    low_past: float
    low_blown: float
    low_stops: float
    high_ball_speed: float
    high_carry: float
    high_descent_angle: float
    high_landing_spin: float
    high_run_out: float
    high_total: float
    high_past: float
    high_blown: float
    high_stops: float
    gap: float
    low_run_0: float
    low_run_1: float
    low_run_2: float
    low_run_3: float
    high_run_0: float
    high_run_1: float
    high_run_2: float
    high_run_3: float


# -- the way, to draw from -------------------------------------------------------------------------


def put_row(way: Way, row: int, time, x, z, turned) -> None:
    """Write one row of a way."""
    way.time[row] = time
    way.x[row] = x
    way.z[row] = z
    way.turned[row] = turned


def fill_way(way: Way, drawing: Drawing, trace: Trace, shot: Shot, green: Green, radius) -> None:
    """Fill the rows of a way: the flight, each hop, the slide and the roll; then it rests.

    In the air the spin fades evenly; after each bounce it stays; while the ball slides it goes
    evenly over to rolling.
    """
    rows = len(way.time)
    points = len(drawing.time)
    aloft = shot.landing.flight_time
    first_spin = shot.launch.spin_rate
    fades = (shot.landing.landing_spin - first_spin) / aloft
    for i in range(points):
        time = drawing.time[i]
        put_row(way, i, time, drawing.x[i], drawing.z[i], (first_spin + 0.5 * fades * time) * time)
    turned = (first_spin + 0.5 * fades * aloft) * aloft
    turf = turf_of(green, radius, resting_tilt_of(green.speed))
    ball = touchdown(arrival_of(shot.landing), turf)
    done = 0
    for part in range(MOST_PARTS):
        if float(part) < shot.stop.bounces + 2.0 and done + TRACE_POINTS <= len(trace.time):
            last = done + TRACE_POINTS - 1
            seconds = trace.time[last] - trace.time[done]
            hops = float(part) < shot.stop.bounces
            rolls = float(part) >= shot.stop.bounces + 1.0
            ending = 0.0
            if hops:
                ball = bounce(ball, turf)
            elif seconds > 1e-9:
                step = trace.time[last] - trace.time[last - 1]
                speed = (trace.x[last] - trace.x[last - 1]) / step
                ending = (-speed / radius - ball.spin) / seconds
            for i in range(TRACE_POINTS):
                time = trace.time[done + i] - trace.time[done]
                turn = (ball.spin + 0.5 * ending * time) * time
                if rolls:
                    turn = (trace.x[done] - trace.x[done + i]) / radius
                put_row(
                    way,
                    points + done + i,
                    aloft + trace.time[done + i],
                    shot.landing.carry + trace.x[done + i],
                    trace.z[done + i],
                    turned + turn,
                )
            turned = way.turned[points + last]
            ball = Moving(
                along=ball.along + turf.pull * seconds,
                across=ball.across,
                up=-ball.up,
                spin=ball.spin,
                side_spin=ball.side_spin,
            )
            done = done + TRACE_POINTS
    for row in range(points + done, rows):
        before = row - 1
        put_row(way, row, way.time[before], way.x[before], way.z[before], way.turned[before])


# -- the calculation -------------------------------------------------------------------------------


def launched_to(carry, launch_angle, spin_rate, usual: Usual, found: Array, place: int) -> Launch:
    """The launch of this angle and spin that carries so far in still air.

    What was found last stands in `found` from `place` on: a band asks for the same launch again and
    again.
    """
    wanted = Launch(
        ball_speed=0.0,
        launch_angle=launch_angle,
        spin_rate=spin_rate,
        direction=0.0,
        spin_tilt=0.0,
    )
    is_other = found[place] != carry or found[place + 1] != launch_angle
    if is_other or found[place + 2] != spin_rate:
        still = situation_at(usual.shot)
        found[place] = carry
        found[place + 1] = launch_angle
        found[place + 2] = spin_rate
        found[place + 3] = ball_speed_for_carry(
            carry, wanted, still.air, still.ball, still.aerodynamics, usual.drawing
        )
    return Launch(
        ball_speed=found[place + 3],
        launch_angle=launch_angle,
        spin_rate=spin_rate,
        direction=0.0,
        spin_tilt=0.0,
    )


def on_ground(ground, grounds: Array, usual: Usual) -> Situation:
    """The shot `now` on one of the grounds, with its uncertain numbers moved."""
    for i in range(GROUNDS):
        if float(i) == ground:
            for k in range(GROUND_NUMBERS):
                usual.now[AT_GROUND + k] = grounds[i * GROUND_NUMBERS + k]
    vary_row(usual.now, usual.shares, usual.doubts, usual.moved)
    return situation_at(usual.moved)


def stopped(landing: Landing, now: Situation, trace: Trace) -> Stop:
    """Where a ball that has landed comes to rest."""
    tilt = resting_tilt_of(now.green.speed)
    return land(arrival_of(landing), now.green, now.ball.radius, tilt, trace, TRACE_POINTS)


def run_on(ground, shot: Shot, grounds: Array, usual: Usual):
    """What a shot runs on one of the grounds."""
    return stopped(shot.landing, on_ground(ground, grounds, usual), usual.trace).run_out


def blown(shot: Shot, now: Situation, usual: Usual):
    """How far the wind moves the landing, the same ball and air without wind beside it."""
    still = situation_at(usual.shot)
    landing = fly(shot.launch, still.air, now.ball, now.aerodynamics, usual.drawing)
    return shot.landing.carry - landing.carry


def shot_of(launch: Launch, now: Situation, drawing: Drawing, trace: Trace, way: Way) -> Shot:
    """A launch to its rest; its way is filled where it has rows."""
    landing = fly(launch, now.air, now.ball, now.aerodynamics, drawing)
    shot = Shot(launch=launch, landing=landing, stop=stopped(landing, now, trace))
    if len(way.time) > 0:
        fill_way(way, drawing, trace, shot, now.green, now.ball.radius)
    return shot


def low_and_high(
    ground,
    wind,
    speed,
    slope,
    carry,
    flag,
    low_launch,
    low_spin,
    high_launch,
    high_spin,
    lift,
    grounds: Array,
    found: Array,
    usual: Usual,
    drawing: Drawing,
    trace: Trace,
    low_way: Way,
    high_way: Way,
) -> Answer:
    """Two shots with one carry in still air: in this wind, on this green and on the others."""
    begin(usual)
    usual.now[WIND] = wind
    usual.now[AT_REVERSE_LIFT] = lift
    usual.now[GREEN_SPEED] = speed
    usual.now[AT_SLOPE] = slope
    now = on_ground(ground, grounds, usual)
    low_start = launched_to(carry, low_launch, low_spin, usual, found, 0)
    high_start = launched_to(carry, high_launch, high_spin, usual, found, FOUND)
    low = shot_of(low_start, now, drawing, trace, low_way)
    high = shot_of(high_start, now, drawing, trace, high_way)
    return Answer(
        low_ball_speed=low.launch.ball_speed,
        low_carry=low.landing.carry,
        low_descent_angle=low.landing.descent_angle,
        low_landing_spin=low.landing.landing_spin,
        low_run_out=low.stop.run_out,
        low_total=low.landing.carry + low.stop.run_out,
        low_past=low.landing.carry + low.stop.run_out - flag,
        low_blown=blown(low, now, usual),
        low_stops=low.stop.stops,
        high_ball_speed=high.launch.ball_speed,
        high_carry=high.landing.carry,
        high_descent_angle=high.landing.descent_angle,
        high_landing_spin=high.landing.landing_spin,
        high_run_out=high.stop.run_out,
        high_total=high.landing.carry + high.stop.run_out,
        high_past=high.landing.carry + high.stop.run_out - flag,
        high_blown=blown(high, now, usual),
        high_stops=high.stop.stops,
        gap=low.stop.run_out - high.stop.run_out,
        low_run_0=run_on(0.0, low, grounds, usual),
        low_run_1=run_on(1.0, low, grounds, usual),
        low_run_2=run_on(2.0, low, grounds, usual),
        low_run_3=run_on(3.0, low, grounds, usual),
        high_run_0=run_on(0.0, high, grounds, usual),
        high_run_1=run_on(1.0, high, grounds, usual),
        high_run_2=run_on(2.0, high, grounds, usual),
        high_run_3=run_on(3.0, high, grounds, usual),
    )


# -- the scene -------------------------------------------------------------------------------------

_LIFT = {"upward": 0.0, "turns downward": 1.0}
_BANDED = (
    *(
        f"{name}_{of}"
        for name in ("low", "high")
        for of in ("carry", "descent_angle", "landing_spin")
    ),
    *(f"{name}_{of}" for name in ("low", "high") for of in ("run_out", "total", "past", "blown")),
    *(f"{name}_run_{k}" for name in ("low", "high") for k in range(GROUNDS)),
    "gap",
)
_RUNS = (
    "Low runs {low_run_out:distance} ({low_run_out_low:distance#} to {low_run_out_high:distance}), "
    "high {high_run_out:distance} ({high_run_out_low:distance#} to {high_run_out_high:distance}): "
)
_RUNS_FIRST = "Low runs {low_run_out:distance}, high {high_run_out:distance}: "
_WIND = (
    "Wind moves low {low_blown:distance+} "
    "({low_blown_low:distance+#} to {low_blown_high:distance+}), "
    "high {high_blown:distance+} ({high_blown_low:distance+#} to {high_blown_high:distance+})."
)
_WIND_FIRST = "Wind moves low {low_blown:distance+}, high {high_blown:distance+}."


def _sentences(runs, wind):
    """The sentences with the run-outs said as `runs` says them, and the wind as `wind` does."""
    return [
        ("low_stops < 0.5 and high_stops < 0.5", "Too steep for this green: neither ball stops."),
        ("low_stops < 0.5", "The low ball does not stop on this green; the high one does."),
        ("high_stops < 0.5", "The high ball does not stop on this green; the low one does."),
        (f"wind <= {-BLOWS}", wind),
        (f"wind >= {BLOWS}", wind),
        (f"gap > {ALIKE}", runs + "height wins."),
        (f"gap < {-ALIKE}", runs + "spin wins."),
        ("", runs + "both stop alike."),
    ]


def _greens(own):
    """The four greens by name; an own one stands in place of the medium one."""
    grounds = [own if own and name == "medium" else green for name, green in GREENS.items()]
    return {green.name: green for green in grounds}


def _setting(greens):
    """A function that gives the records of the scene."""

    def setting(values) -> dict:
        """Both launches, and what they fly and land in: ``fly(launch, air, reverse_lift=…)``, then
        ``land(…, green)``."""
        low = values["low_launch"], values["low_spin"]
        high = values["high_launch"], values["high_spin"]
        return {
            "launch": two_shots(values["carry"], low, high),
            "air": records.Air(wind=values["wind"]),
            "reverse_lift": _LIFT[values["lift"]] > 0.0,
            "green": greens[values["green"]].but(speed=values["speed"], slope=values["slope"]),
        }

    return setting


def _angle(name, label, low, high, value):
    return Number(
        name,
        label,
        kind="fine_angle",
        low=low * deg,
        high=high * deg,
        step=0.5 * deg,
        value=value,
        means="how steeply it leaves; the ball speed follows, so that the carry stays",
    )


def _spin(name, label, high, value):
    return Number(
        name,
        label,
        kind="spin",
        low=0.0,
        high=high * rpm,
        step=100 * rpm,
        value=value,
        means="as the ball leaves; the ball speed follows, so that the carry stays",
    )


def _place(name, label, low, high, value, means):
    return Number(
        name, label, kind="distance", low=low, high=high, step=0.5, value=value, means=means
    )


def _controls(greens, own):
    return [
        Choice(
            "green",
            "Green",
            options={name: {"ground": float(k)} for k, name in enumerate(greens)},
            value=own.name if own else "medium",
        ),
        Number(
            "wind",
            "Wind",
            kind="speed",
            low=-10.0,
            high=10.0,
            step=0.5,
            value=0.0,
            means="from behind; against is negative",
        ),
        Number(
            "slope",
            "Slope",
            kind="fine_angle",
            low=-3 * deg,
            high=5 * deg,
            step=0.5 * deg,
            value=0.0,
            means="of the green; uphill is positive",
        ),
        Number(
            "speed",
            "Green speed",
            kind="height",
            low=6 * ft,
            high=14 * ft,
            step=0.5 * ft,
            value=10 * ft,
            means="how far a ball rolls off the ramp; most greens 2 to 4 m, 7 to 12 ft",
        ),
        _place(
            "carry", "Carry in still air", 20.0, 60.0, 45.0, "where both balls land without wind"
        ),
        _place("flag", "Flag", 15.0, 80.0, 50.0, "how far away the hole is"),
        _angle("low_launch", "Low: launch", 15, 45, LOW[0]),
        _spin("low_spin", "Low: spin", 10000, LOW[1]),
        _angle("high_launch", "High: launch", 40, 60, HIGH[0]),
        _spin("high_spin", "High: spin", 6000, HIGH[1]),
        Choice("lift", "Lift at low spin", options=_LIFT, value="upward"),
    ]


def _guess(name):
    return Guess(
        kind="place",
        of=f"{name}_run_out",
        ask=f"Where does the {name} ball stop? Drag it.",
        label=f"{name} runs",
        quantity="distance",
        low=0.0,
        high=15.0,
        step=0.5,
        start=10.0,
    )


def flight_and_stop(own: records.Green | None = None, **changes) -> Scene:
    """Lesson 04's scene; `changes` replace parts of it.

    An `own` green, fitted to paced run-outs, stands in place of the medium one.
    """
    greens = _greens(own)
    parts = {
        "name": "flight-and-stop",
        "title": "How a ball stops",
        "controls": _controls(greens, own),
        "states": {
            "both stop": {},
            "low, no spin": {"low_spin": 1500 * rpm},
            "firm green": {"green": "firm"},
            "into the wind": {"wind": -6.0},
            "downhill": {"slope": -2 * deg},
        },
        "compute": low_and_high,
        "helpers": [put_row, fill_way, launched_to, on_ground, stopped, run_on, blown, shot_of],
        "banded": _BANDED,
        "arrays": {
            "grounds": [getattr(green, name) for green in greens.values() for name in GROUND],
            "found": [0.0] * 2 * FOUND,
            "drawing": FLIGHT_POINTS,
            "trace": TRACE_ROOM,
            "low_way": FLIGHT_POINTS + TRACE_ROOM,
            "high_way": FLIGHT_POINTS + TRACE_ROOM,
        },
        "closeup": "stopping",
        "say": _sentences(_RUNS, _WIND),
        "say_first": _sentences(_RUNS_FIRST, _WIND_FIRST),
        "texts": {
            "low": "Low",
            "high": "High",
            "run": [
                ("stops < 0.5", "does not stop"),
                ("run < -0.05", "spins back {back:distance}"),
                ("", "runs {run:distance}"),
            ],
            "likely": "likely {low:distance#} to {high:distance}",
            "past": [
                ("past < -0.05", "{short:distance} short of the flag"),
                ("past < 0.05", "at the flag"),
                ("", "{past:distance} past the flag"),
            ],
            "near": [
                ("past < -0.05", "flag: {short:distance} short"),
                ("past < 0.05", "flag: just there"),
                ("", "flag: {past:distance} past"),
            ],
            "air": "in the air",
            "asked": "runs ?",
            "lands": "lands at {carry:distance}, falling at {angle:angle}",
            "falls": "falls at {angle:angle}",
            "leaves": "leaves at {angle:angle}, {speed:speed}",
            "spin": "spin {spin:spin}",
            "larger": "balls {size:number.0} times larger, turning {size:number.0} times slower",
        },
        "most": {"low_spin": 10000 * rpm, "high_spin": 6000 * rpm},
        "setting": _setting(greens),
        "facts": [
            ("Low runs", "low_run_out", "distance"),
            ("High runs", "high_run_out", "distance"),
            ("Low rests at", "low_total", "distance"),
            ("High rests at", "high_total", "distance"),
            ("Low falls at", "low_descent_angle", "angle"),
            ("High falls at", "high_descent_angle", "angle"),
            ("Low lands with", "low_landing_spin", "spin"),
            ("High lands with", "high_landing_spin", "spin"),
        ],
        "guesses": [_guess("low"), _guess("high")],
        "guess_state": "both stop",
        "summary": "Two shots with the same carry, from the side, to scale: one low with much "
        "spin, one high with little. Below, the green from close by: both balls bounce, slide, "
        "roll and rest. Marks under the ground show where each would rest on every kind of "
        "green; bars are the bands.",
        "tries": [
            "Take the spin off the low ball. How far does it run now?",
            "Bring both balls to within 3 m of the flag on the firm green.",
            "Find a green on which spin does not help.",
        ],
    }
    return Scene(**parts | changes)
