"""The records of one shot, as the kernel sees them: named fields, each a plain float in SI.

A record of `spinlab.records` and its counterpart here have the same fields, and stand once: there.
What the kernel alone needs (an impact, a landing) stands here.
"""

from __future__ import annotations

from dataclasses import fields
from typing import NamedTuple

from .. import records


def numbers_of(record: type, **nested: type) -> type:
    """The NamedTuple with the checked numbers of a record, and some nested records."""
    parts = [(f.name, nested.get(f.name, float)) for f in fields(record)
             if "low" in f.metadata or f.name in nested]
    return NamedTuple(record.__name__, parts)


Delivery = numbers_of(records.Delivery)
Grooves = numbers_of(records.Grooves)
Face = numbers_of(records.Face, grooves=Grooves)
Ball = numbers_of(records.Ball)
Between = numbers_of(records.Between)
Assumptions = numbers_of(records.Assumptions)
Launch = numbers_of(records.Launch)
Air = numbers_of(records.Air)
Aerodynamics = numbers_of(records.Aerodynamics)
Green = numbers_of(records.Green)


class Situation(NamedTuple):
    """All that a whole shot needs."""

    arriving: Delivery
    face: Face
    ball: Ball
    between: Between
    assume: Assumptions
    air: Air
    aerodynamics: Aerodynamics
    green: Green


class Impact(NamedTuple):
    """How a ball leaves the face, and what the contact was like.

    Speeds [m/s], angles [rad], spin [rad/s], times [s], forces [N], lengths [m].
    """

    ball_speed: float
    launch_angle: float
    spin_rate: float
    time: float
    peak_force: float
    compression: float
    contact_radius: float
    film_left: float
    effective_friction: float
    grip_share: float
    tangential_restitution: float
    normal_restitution: float
    head_speed_after: float


class Landing(NamedTuple):
    """A flight from level ground to level ground: where, when and how the ball comes down.

    `landing_spin` is the whole spin, `spin_tilt` the lean of its axis against the line of flight,
    `landing_side_spin` its part about that line.  Lengths [m], times [s], angles [rad],
    speeds [m/s], spins [rad/s].
    """

    carry: float
    side: float
    apex: float
    flight_time: float
    descent_angle: float
    landing_speed: float
    landing_spin: float
    landing_direction: float
    spin_tilt: float
    landing_side_spin: float


class Arrival(NamedTuple):
    """What the ground meets: speed [m/s], angle below the level [rad], backspin and side spin
    [rad/s]."""

    speed: float
    angle: float
    backspin: float
    side_spin: float


class Stop(NamedTuple):
    """From the pitch mark to rest, along the line of flight and across it.

    Lengths [m], time [s], spin [rad/s]; `stops` is 1 where the ball comes to rest, else 0.
    """

    run_out: float
    run_side: float
    first_bounce: float
    spin_after_first: float
    bounces: float
    time: float
    furthest: float
    stops: float


class Played(NamedTuple):
    """A whole shot."""

    impact: Impact
    landing: Landing
    stop: Stop
