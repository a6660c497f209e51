"""The whole shot: contact, flight, ground."""

from __future__ import annotations

import math

from .compiled import entry, kernel
from .contact import History, strike
from .flight import Drawing, fly
from .ground import Trace, land, resting_tilt_of
from .nouns import Arrival, Impact, Landing, Launch, Played, Situation, Stop


@kernel
def launch_of(impact: Impact) -> Launch:
    """The launch of a straight shot."""
    return Launch(
        ball_speed=impact.ball_speed,
        launch_angle=impact.launch_angle,
        spin_rate=impact.spin_rate,
        direction=0.0,
        spin_tilt=0.0,
    )


@kernel
def arrival_of(landing: Landing) -> Arrival:
    """What the ground meets.  The spin that pulls the ball back is the part square to its line of
    flight that lies level."""
    whole = landing.landing_spin
    side = landing.landing_side_spin
    level = math.sqrt(max(whole * whole - side * side, 0.0)) * math.cos(landing.spin_tilt)
    return Arrival(
        speed=landing.landing_speed,
        angle=landing.descent_angle,
        backspin=level if whole >= 0.0 else -level,
        side_spin=side,
    )


@kernel
def stop_of(landing: Landing, shot: Situation, trace: Trace, points: int) -> Stop:
    """How the ball comes to rest after a flight."""
    tilt = resting_tilt_of(shot.green.speed)
    return land(arrival_of(landing), shot.green, shot.ball.radius, tilt, trace, points)


@entry
def play(
    shot: Situation, history: History, drawing: Drawing, trace: Trace, points: int
) -> Played:
    """A whole shot from how the club arrives to where the ball rests.

    The arrays are empty, or are filled for drawing (see `strike`, `fly`, `land`).
    """
    impact = strike(shot.arriving, shot.face, shot.ball, shot.between, shot.assume, history)
    landing = fly(launch_of(impact), shot.air, shot.ball, shot.aerodynamics, drawing)
    stop = stop_of(landing, shot, trace, points)
    return Played(impact=impact, landing=landing, stop=stop)
