"""A shot as a row of numbers, so that many shots and many draws are plain loops.

A row holds the fields of the records one after the other: delivery, face, ball, between,
assumptions, air, aerodynamics, green.  The constants say where each record begins.
"""

from __future__ import annotations

from .compiled import Array, entry, kernel
from .contact import History, strike
from .flight import Drawing, fly
from .ground import Trace, land
from .nouns import (
    Aerodynamics,
    Air,
    Arrival,
    Assumptions,
    Ball,
    Between,
    Delivery,
    Face,
    Green,
    Grooves,
    Impact,
    Landing,
    Launch,
    Situation,
    Stop,
)

GROOVE_NUMBERS = len(Grooves._fields)
AT_DELIVERY = 0
AT_FACE = AT_DELIVERY + len(Delivery._fields)
AT_BALL = AT_FACE + len(Face._fields) - 1 + GROOVE_NUMBERS
AT_BETWEEN = AT_BALL + len(Ball._fields)
AT_ASSUMPTIONS = AT_BETWEEN + len(Between._fields)
AT_AIR = AT_ASSUMPTIONS + len(Assumptions._fields)
AT_AERODYNAMICS = AT_AIR + len(Air._fields)
AT_GREEN = AT_AERODYNAMICS + len(Aerodynamics._fields)
ROW_LENGTH = AT_GREEN + len(Green._fields)
"""Where each record begins in the row of a whole shot."""

FLIGHT_AT_AIR = len(Launch._fields)
FLIGHT_AT_BALL = FLIGHT_AT_AIR + len(Air._fields)
FLIGHT_AT_AERODYNAMICS = FLIGHT_AT_BALL + len(Ball._fields)
"""Where each record begins in the row of a flight; the launch comes first."""

GROUND_AT_GREEN = len(Arrival._fields)
GROUND_AT_RADIUS = GROUND_AT_GREEN + len(Green._fields)
GROUND_AT_RESTING_TILT = GROUND_AT_RADIUS + 1
"""Where each part begins in the row of a landing; the arrival comes first."""


@kernel
def delivery_at(row: Array, at: int) -> Delivery:
    """The delivery that begins at a place of a row."""
    return Delivery(
        head_speed=row[at],
        dynamic_loft=row[at + 1],
        attack_angle=row[at + 2],
        normal_offset=row[at + 3],
        strike_height=row[at + 4],
    )


@kernel
def grooves_at(row: Array, at: int) -> Grooves:
    """The grooves that begins at a place of a row."""
    return Grooves(
        width=row[at],
        depth=row[at + 1],
        separation=row[at + 2],
        draft_angle=row[at + 3],
        edge_radius=row[at + 4],
    )


@kernel
def face_at(row: Array, at: int) -> Face:
    """The face that begins at a place of a row; its grooves follow its loft."""
    after = at + 1 + GROOVE_NUMBERS
    return Face(
        loft=row[at],
        grooves=grooves_at(row, at + 1),
        roughness=row[after],
        head_mass=row[after + 1],
        head_inertia=row[after + 2],
    )


@kernel
def ball_at(row: Array, at: int) -> Ball:
    """The ball that begins at a place of a row."""
    return Ball(
        friction=row[at],
        friction_fast=row[at + 1],
        mass=row[at + 2],
        radius=row[at + 3],
        inertia_factor=row[at + 4],
        modulus=row[at + 5],
        restitution=row[at + 6],
        restitution_slope=row[at + 7],
    )


@kernel
def between_at(row: Array, at: int) -> Between:
    """The between that begins at a place of a row."""
    return Between(
        water=row[at],
        temperature=row[at + 1],
        soil_on_lands=row[at + 2],
        soil_in_grooves=row[at + 3],
        grass=row[at + 4],
    )


@kernel
def assumptions_at(row: Array, at: int) -> Assumptions:
    """The assumptions that begins at a place of a row."""
    return Assumptions(
        tangential_stiffness=row[at],
        unloading=row[at + 1],
        reversal=row[at + 2],
        wet_factor=row[at + 3],
        film_friction=row[at + 4],
        solid_friction=row[at + 5],
        load_decay=row[at + 6],
        void=row[at + 7],
    )


@kernel
def launch_at(row: Array, at: int) -> Launch:
    """The launch that begins at a place of a row."""
    return Launch(
        ball_speed=row[at],
        launch_angle=row[at + 1],
        spin_rate=row[at + 2],
        direction=row[at + 3],
        spin_tilt=row[at + 4],
    )


@kernel
def air_at(row: Array, at: int) -> Air:
    """The air that begins at a place of a row."""
    return Air(
        temperature=row[at],
        pressure=row[at + 1],
        humidity=row[at + 2],
        wind=row[at + 3],
        crosswind=row[at + 4],
    )


@kernel
def aerodynamics_at(row: Array, at: int) -> Aerodynamics:
    """The aerodynamics that begins at a place of a row."""
    return Aerodynamics(
        drag=row[at],
        drag_per_spin=row[at + 1],
        drag_wave=row[at + 2],
        lift=row[at + 3],
        lift_power=row[at + 4],
        lift_growth=row[at + 5],
        lift_rate=row[at + 6],
        crisis_drag=row[at + 7],
        crisis_lift=row[at + 8],
        reverse_lift=row[at + 9],
        drag_scale=row[at + 10],
        lift_scale=row[at + 11],
    )


@kernel
def arrival_at(row: Array, at: int) -> Arrival:
    """The arrival that begins at a place of a row."""
    return Arrival(
        speed=row[at],
        angle=row[at + 1],
        backspin=row[at + 2],
        side_spin=row[at + 3],
    )


@kernel
def green_at(row: Array, at: int) -> Green:
    """The green that begins at a place of a row."""
    return Green(
        speed=row[at],
        slope=row[at + 1],
        friction=row[at + 2],
        tilt=row[at + 3],
        restitution=row[at + 4],
        grip_restitution=row[at + 5],
    )


@entry
def strike_row(row: Array, history: History) -> Impact:
    """The contact of the shot in a row."""
    return strike(
        delivery_at(row, AT_DELIVERY),
        face_at(row, AT_FACE),
        ball_at(row, AT_BALL),
        between_at(row, AT_BETWEEN),
        assumptions_at(row, AT_ASSUMPTIONS),
        history,
    )


@entry
def fly_row(row: Array, drawing: Drawing) -> Landing:
    """The flight in a row: launch, air, ball, aerodynamics."""
    return fly(
        launch_at(row, 0),
        air_at(row, FLIGHT_AT_AIR),
        ball_at(row, FLIGHT_AT_BALL),
        aerodynamics_at(row, FLIGHT_AT_AERODYNAMICS),
        drawing,
    )


@entry
def land_row(row: Array, trace: Trace, points: int) -> Stop:
    """The landing in a row: arrival, green, radius, resting tilt."""
    return land(
        arrival_at(row, 0),
        green_at(row, GROUND_AT_GREEN),
        row[GROUND_AT_RADIUS],
        row[GROUND_AT_RESTING_TILT],
        trace,
        points,
    )


@entry
def situation_at(row: Array) -> Situation:
    """All that the whole shot in a row needs."""
    return Situation(
        arriving=delivery_at(row, AT_DELIVERY),
        face=face_at(row, AT_FACE),
        ball=ball_at(row, AT_BALL),
        between=between_at(row, AT_BETWEEN),
        assume=assumptions_at(row, AT_ASSUMPTIONS),
        air=air_at(row, AT_AIR),
        aerodynamics=aerodynamics_at(row, AT_AERODYNAMICS),
        green=green_at(row, AT_GREEN),
    )
