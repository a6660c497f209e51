"""Lesson 04: low with spin against high without, and where both stop."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from ...catalogue import GREENS
from ...physics.flight import fly
from ...physics.green import land
from ...physics.stopping import ball_speed_for_carry, stops
from ...records import Air, Green, Launch, Shot
from ...units import deg, ft, rpm
from ..draw_flight import Flown, flight_side_view
from ..draw_stopping import Greens, stops_on_greens
from ..panel import Choice, Knob, Panel

LOW, HIGH = (31 * deg, 6500 * rpm), (55 * deg, 2500 * rpm)
"""Launch angle and spin of the two shots at the start: stopped by spin, stopped by height."""

_NAMES, _SIGNS = ("low", "high"), ("dry", "wet")


@lru_cache(maxsize=256)
def _fast_enough(carry, angle, spin):
    """The ball speed that carries so far in still air.  Shot by shot: a knob turns one of the two."""
    return ball_speed_for_carry(carry, launch_angle=angle, spin_rate=spin)


def two_shots(carry=45.0, low=LOW, high=HIGH) -> Launch:
    """The low and the high launch that carry so far [m] in still air; each is launch angle [rad] and spin [rad/s]."""
    angle, spin = zip(low, high)
    return Launch(ball_speed=np.array([_fast_enough(carry, *shot) for shot in (low, high)]), launch_angle=np.array(angle),
                  spin_rate=np.array(spin))


def _carry_knob():
    return Knob("carry", "Carry in still air", low=20.0, high=60.0, step=1.0, value=45.0, unit="m")


def _wind_knob():
    return Knob("wind", "Wind from behind", low=-10.0, high=10.0, step=0.5, value=0.0, unit="m/s", means="negative: against")


def _flown(low_launch, low_spin, high_launch, high_spin, carry, wind, green, lift):
    """Both shots to their rest, each by itself: one shot alone is flown in plain numbers, quicker than two as arrays."""
    shots = []
    for name, sign, angle, spin in zip(_NAMES, _SIGNS, (low_launch, high_launch), (low_spin, high_spin)):
        launch = Launch(ball_speed=_fast_enough(carry, angle, spin), launch_angle=angle, spin_rate=spin)
        path = fly(launch, Air(wind=wind), points=40, reverse_lift=lift)
        shots.append(Flown(name=name, meaning=sign, shot=Shot(launch=launch, path=path, rest=land(path, green, trace=24))))
    return shots


def low_or_high(**options) -> Panel:
    """Lesson 04: two shots that carry equally far in still air, from the side, with landing and run."""
    def knob(name, label, low, high, step, value, unit):
        scale = {"°": deg, "rpm": rpm}.get(unit, 1.0)
        span = {"low": low * scale, "high": high * scale, "step": step * scale, "value": value * scale}
        return Knob(name, label, **span, unit=unit)

    knobs = [knob("low_launch", "Low: launch", 15, 45, 0.5, 31, "°"),
             knob("low_spin", "Low: spin", 0, 10000, 100, 6500, "rpm"),
             knob("high_launch", "High: launch", 40, 60, 0.5, 55, "°"),
             knob("high_spin", "High: spin", 0, 6000, 100, 2500, "rpm"),
             _carry_knob(), _wind_knob(),
             Choice("green", "Green", GREENS, value="medium"),
             Choice("lift", "Lift at low spin", {"upward": False, "turns downward": True})]
    states = {"spin or height": {}, "low, no spin": {"low_spin": 1500 * rpm}, "firm green": {"green": "firm"},
              "into the wind": {"wind": -6.0}, "downwind": {"wind": 6.0},
              "reverse lift": {"low_spin": 1200 * rpm, "high_spin": 1200 * rpm, "lift": "turns downward"}}
    return Panel(knobs=knobs, compute=_flown, build=flight_side_view, states=states, title="Low or high", **options)


def every_green(low=LOW, high=HIGH, own: Green | None = None, **options) -> Panel:
    """Lesson 04: the two shots on soft, medium, firm and gripping ground, with the bands of where they stop; an `own` green,
    fitted to paced run-outs, stands in place of the medium one."""
    grounds = [own if own and name == "medium" else green for name, green in GREENS.items()]

    def compute(carry, speed, slope, wind):
        greens = [green.but(speed=speed, slope=slope) for green in grounds]
        return Greens(stops=stops(two_shots(carry, low, high), greens, air=Air(wind=wind)), names=_NAMES, meanings=_SIGNS)

    knobs = [_carry_knob(), Knob("speed", "Green speed", low=6 * ft, high=14 * ft, step=0.5 * ft, value=10 * ft, unit="ft",
                                 means="ramp reading; most are 7 to 12"),
             Knob("slope", "Slope", low=-3 * deg, high=5 * deg, step=0.5 * deg, value=0.0, unit="°",
                  means="uphill is positive"), _wind_knob()]
    states = {"level": {}, "uphill": {"slope": 3 * deg}, "downhill": {"slope": -2 * deg}, "fast": {"speed": 13 * ft},
              "shorter pitch": {"carry": 25.0}}
    return Panel(knobs=knobs, compute=compute, build=stops_on_greens, states=states, title="On every green", **options)
