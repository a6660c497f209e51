"""What the pages look up about the flight and the green.

Carry and height are kept as shares of v² (what they would grow with in empty air), times and speeds as shares of v; spin
comes in as turn = ω/v [rad/m], which is what lift and drag go by.
"""

from __future__ import annotations

from functools import cache

import numpy as np

from ...catalogue import GREENS
from ...physics.flight import fly
from ...physics.green import land
from ...physics.stopping import ball_speed_for_carry, stops
from ...records import Air, Launch, Path
from ...units import deg, rpm
from .contacts import DRAWS, LEVEL, by_choice, choice, even
from .grid import Axis, Table, filled, refined

POINTS = 14
"""Points of a drawn flight."""
_ALLOWED = {"reach": ("share", 0.003), "rise": ("share", 0.004), "descent": ("by", 0.2 * deg)}
_ROUGHER = {"reach": ("share", 0.005), "rise": ("share", 0.008), "descent": ("by", 0.4 * deg)}


def _told(path, v, launch_angle):
    """A flight in shares of its own size."""
    shape = np.stack([path.x / path.carry, path.z / path.apex], axis=-1)  # [points, shots, 2]
    shape[-1, :, 0], shape[-1, :, 1] = 1.0, 0.0
    return {"reach": path.carry / v**2, "rise": path.apex / v**2, "descent": path.descent_angle,
            "lasting": path.flight_time / v, "lands": path.landing_speed / v, "kept": path.landing_backspin / v,
            "shape": np.moveaxis(shape, 1, 0).reshape(len(v), -1)}


def _flown(ball_speed, launch_angle, turn):
    launch = Launch(ball_speed=ball_speed, launch_angle=launch_angle, spin_rate=turn * ball_speed)
    return _told(fly(launch, points=POINTS), ball_speed, launch_angle)


@cache
def still_air() -> Table:
    """Flights in still air over ball speed, launch angle and turn."""
    axes = (even("ball_speed", 2.5, 55.0, 8), even("launch_angle", 12 * deg, 68 * deg, 7), even("turn", 0.0, 45.0, 6))
    return filled(_flown, refined(_flown, axes, _ALLOWED))


# -- low or high ------------------------------------------------------------------------------------------------------


def _wanted(carry, launch_angle, spin_rate):
    speed = ball_speed_for_carry(carry, launch_angle=launch_angle, spin_rate=spin_rate)
    return Launch(ball_speed=speed, launch_angle=launch_angle, spin_rate=spin_rate)


RANGES = {"low": ((15, 45), 10000), "high": ((40, 60), 6000)}
"""Launch angles [degrees] and most spin [rpm] of the two shots of lesson 04."""


def _shots(which, carries, angles, spins):
    (low, high), most = RANGES[which]
    return (even("carry", 20.0, 60.0, carries), even("launch_angle", low * deg, high * deg, angles),
            _spins(most, spins))


def _spins(most, count):
    """Knots of spin, closer at little spin, where lift begins."""
    return Axis("spin_rate", tuple(float(x) for x in most * rpm * np.linspace(0, 1, count) ** 1.5))


@cache
def needed(which: str) -> Table:
    """The ball speed that carries so far in still air, over carry, launch angle and spin."""
    def ask(**wanted):
        return {"fast": _wanted(**wanted).ball_speed}

    return filled(ask, _shots(which, 10, 12, 21))


def _in_wind(ball_speed, launch_angle, spin_rate, wind):
    launch = Launch(ball_speed=ball_speed, launch_angle=launch_angle, spin_rate=spin_rate)
    return _told(fly(launch, Air(wind=wind), points=POINTS), ball_speed, launch_angle)


@cache
def in_wind() -> Table:
    """Flights with wind from behind, over ball speed, launch angle, spin and wind at 10 m."""
    axes = (even("ball_speed", 14.0, 41.0, 7), even("launch_angle", 15 * deg, 60 * deg, 5),
            _spins(10000, 9), even("wind", -10.0, 10.0, 5))
    return filled(_in_wind, refined(_in_wind, axes, _ROUGHER, probes=60, rounds=2))


CREST = 35 * deg
"""Steeper than this the ball's crater holds it, flatter it skims more and more (`spinlab.physics.green.ground_tilt`): there
run-out has a corner, so this knot is told twice."""
FAR = 40.0
"""A run-out beyond this [m] has left every green; its length is not told."""


def _descents(flat, steep):
    """Knots of the angle of descent, with the border."""
    parts = np.linspace(14 * deg, CREST, flat), np.linspace(CREST, 86 * deg, steep)
    return Axis("descent", tuple(float(x) for x in np.concatenate(parts)))


def _rest(landing_speed, descent, spin, green, trace=0):
    zero = np.zeros_like(landing_speed)
    path = Path(carry=zero, side=zero, apex=zero, flight_time=zero, descent_angle=descent, landing_speed=landing_speed,
                landing_spin=spin)
    return land(path, green, trace=trace)


def _bounced(landing_speed, descent, spin, green):
    rest = _rest(landing_speed, descent, spin, green, trace=40)
    hop = np.where(rest.trace_x <= rest.first_bounce + 1e-9, rest.trace_z, 0.0).max(axis=0)
    return {"first_bounce": rest.first_bounce, "hop": hop, "after": rest.spin_after_first}


def _landings(speeds, flat, steep, spins):
    return (even("landing_speed", 9.0, 31.0, speeds), _descents(flat, steep), even("spin", 0.0, 10200 * rpm, spins),
            choice("green", GREENS))


@cache
def run_outs() -> Table:
    """From the landing to rest on each green."""
    def ask(**place):
        return {"run_out": _rest(**place).run_out}

    return filled(by_choice(ask, green=GREENS), _landings(20, 24, 12, 24))


@cache
def bounces() -> Table:
    """The first bounce on each green: its length and height, and the backspin kept."""
    return filled(by_choice(_bounced, green=GREENS), _landings(12, 12, 12, 24))


@cache
def run_out_bands(which: str) -> Table:
    """How far the run-out could lie off, around its middle [m], in still air."""
    def ask(carry, launch_angle, spin_rate):
        found = stops(_wanted(carry, launch_angle, spin_rate), list(GREENS.values()), n=DRAWS, level=LEVEL).run_out
        return {"run_low": (found.low - found.mid).T, "run_high": (found.high - found.mid).T}

    whole = filled(ask, _shots(which, 5, 9, 11))
    green = Axis("green", options=tuple(GREENS))
    return Table((*whole.axes, green), whole.answers)
