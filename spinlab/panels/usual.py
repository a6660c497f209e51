"""The usual shot in the kernel's dialect: records filled with the numbers that `spinlab.records` begins with.

For scenes: ``strike(…, usual_face(0.0), usual_ball(0.38, 0.29), usual_water(water), …)``.  The functions that take a `draw`
make the same records with their uncertain numbers moved; a draw is one row of `drawn_table`.
"""

from __future__ import annotations


import numpy as np

from .. import records
from ..kernel.compiled import Array, kernel
from ..kernel.nouns import (
    Aerodynamics,
    Air,
    Assumptions,
    Ball,
    Between,
    Face,
    Green,
    Grooves,
)
from ..physics.bands import _cube
from ..physics.uncertain import PARAMETERS

_BALL = records.Ball.published_soft_cover()
MASS = _BALL.mass
RADIUS = _BALL.radius
INERTIA_FACTOR = _BALL.inertia_factor
MODULUS = _BALL.modulus
RESTITUTION = _BALL.restitution
RESTITUTION_SLOPE = _BALL.restitution_slope

_FACE = records.Face()
LOFT = _FACE.loft
ROUGHNESS = _FACE.roughness
HEAD_MASS = _FACE.head_mass
GROOVE_WIDTH = _FACE.grooves.width
GROOVE_DEPTH = _FACE.grooves.depth
GROOVE_SEPARATION = _FACE.grooves.separation
GROOVE_DRAFT = _FACE.grooves.draft_angle
GROOVE_EDGE = _FACE.grooves.edge_radius

WATER_TEMPERATURE = records.Between().temperature

_ASSUME = records.Assumptions()
STIFFNESS = _ASSUME.tangential_stiffness
UNLOADING = _ASSUME.unloading
REVERSAL = _ASSUME.reversal
WET_FACTOR = _ASSUME.wet_factor
FILM_FRICTION = _ASSUME.film_friction
SOLID_FRICTION = _ASSUME.solid_friction
LOAD_DECAY = _ASSUME.load_decay
VOID = _ASSUME.void

_AIR = records.Air()
AIR_TEMPERATURE = _AIR.temperature
AIR_PRESSURE = _AIR.pressure
HUMIDITY = _AIR.humidity

_LAW = records.Aerodynamics.tuned_pitches()
DRAG = _LAW.drag
DRAG_PER_SPIN = _LAW.drag_per_spin
DRAG_WAVE = _LAW.drag_wave
LIFT = _LAW.lift
LIFT_POWER = _LAW.lift_power
LIFT_GROWTH = _LAW.lift_growth
LIFT_RATE = _LAW.lift_rate
CRISIS_DRAG = _LAW.crisis_drag
CRISIS_LIFT = _LAW.crisis_lift
REVERSE_LIFT = _LAW.reverse_lift

_GREEN = records.Green.tuned_medium()
GREEN_SPEED = _GREEN.speed
GREEN_FRICTION = _GREEN.friction
GREEN_TILT = _GREEN.tilt
GREEN_RESTITUTION = _GREEN.restitution

_PLACES = {parameter.name: k for k, parameter in enumerate(PARAMETERS)}
D_FRICTION = _PLACES["ball.friction"]
D_MODULUS = _PLACES["ball.modulus"]
D_INERTIA = _PLACES["ball.inertia_factor"]
D_RESTITUTION = _PLACES["ball.restitution"]
D_ROUGHNESS = _PLACES["face.roughness"]
D_HEAD_MASS = _PLACES["face.head_mass"]
D_STIFFNESS = _PLACES["assume.tangential_stiffness"]
D_UNLOADING = _PLACES["assume.unloading"]
D_REVERSAL = _PLACES["assume.reversal"]
D_WET_FACTOR = _PLACES["assume.wet_factor"]
D_FILM_FRICTION = _PLACES["assume.film_friction"]
D_SOLID_FRICTION = _PLACES["assume.solid_friction"]
D_LOAD_DECAY = _PLACES["assume.load_decay"]
D_VOID = _PLACES["assume.void"]
D_DRAG = _PLACES["flight.drag_scale"]
D_LIFT = _PLACES["flight.lift_scale"]
D_GREEN_FRICTION = _PLACES["green.friction"]
D_GREEN_TILT = _PLACES["green.tilt"]
D_GREEN_RESTITUTION = _PLACES["green.restitution"]


def drawn_table(draws: int = 256, seed: int = 1) -> np.ndarray:
    """The table of draws of all bands [draws, parameters]: each uncertain number moved within its range."""
    shares = _cube(len(PARAMETERS), draws, seed)
    low = np.array([parameter.low for parameter in PARAMETERS])
    high = np.array([parameter.high for parameter in PARAMETERS])
    return low + (high - low) * shares


@kernel
def usual_ball(friction, friction_fast) -> Ball:
    """A ball with a cover of this friction."""
    return Ball(
        friction=friction,
        friction_fast=friction_fast,
        mass=MASS,
        radius=RADIUS,
        inertia_factor=INERTIA_FACTOR,
        modulus=MODULUS,
        restitution=RESTITUTION,
        restitution_slope=RESTITUTION_SLOPE,
    )


@kernel
def usual_face() -> Face:
    """A wedge's face with its grooves."""
    return Face(
        loft=LOFT,
        grooves=Grooves(
            width=GROOVE_WIDTH,
            depth=GROOVE_DEPTH,
            separation=GROOVE_SEPARATION,
            draft_angle=GROOVE_DRAFT,
            edge_radius=GROOVE_EDGE,
        ),
        roughness=ROUGHNESS,
        head_mass=HEAD_MASS,
    )


@kernel
def usual_water(water, temperature, soil_in_grooves) -> Between:
    """Water of some thickness [m] and temperature [K] between face and ball."""
    return Between(
        water=water,
        temperature=temperature,
        soil_on_lands=0.0,
        soil_in_grooves=soil_in_grooves,
        grass=0.0,
    )


@kernel
def usual_assumptions() -> Assumptions:
    """The numbers of the model that no golf measurement fixes."""
    return Assumptions(
        tangential_stiffness=STIFFNESS,
        unloading=UNLOADING,
        reversal=REVERSAL,
        wet_factor=WET_FACTOR,
        film_friction=FILM_FRICTION,
        solid_friction=SOLID_FRICTION,
        load_decay=LOAD_DECAY,
        void=VOID,
    )


@kernel
def usual_air() -> Air:
    """Still air at 15 °C."""
    return Air(
        temperature=AIR_TEMPERATURE,
        pressure=AIR_PRESSURE,
        humidity=HUMIDITY,
        wind=0.0,
        crosswind=0.0,
    )


@kernel
def aerodynamics(drag_scale, lift_scale) -> Aerodynamics:
    """Drag and lift of a pitch, with a factor on each."""
    return Aerodynamics(
        drag=DRAG,
        drag_per_spin=DRAG_PER_SPIN,
        drag_wave=DRAG_WAVE,
        lift=LIFT,
        lift_power=LIFT_POWER,
        lift_growth=LIFT_GROWTH,
        lift_rate=LIFT_RATE,
        crisis_drag=CRISIS_DRAG,
        crisis_lift=CRISIS_LIFT,
        reverse_lift=REVERSE_LIFT,
        drag_scale=drag_scale,
        lift_scale=lift_scale,
    )


@kernel
def usual_green() -> Green:
    """A level green of medium speed and firmness."""
    return Green(
        speed=GREEN_SPEED,
        slope=0.0,
        friction=GREEN_FRICTION,
        tilt=GREEN_TILT,
        restitution=GREEN_RESTITUTION,
    )


@kernel
def drawn_ball(friction, friction_fast, draw: Array) -> Ball:
    """The ball with its uncertain numbers drawn."""
    return Ball(
        friction=friction * draw[D_FRICTION],
        friction_fast=friction_fast * draw[D_FRICTION],
        mass=MASS,
        radius=RADIUS,
        inertia_factor=draw[D_INERTIA],
        modulus=MODULUS * draw[D_MODULUS],
        restitution=RESTITUTION + draw[D_RESTITUTION],
        restitution_slope=RESTITUTION_SLOPE,
    )


@kernel
def drawn_face(draw: Array) -> Face:
    """The face with its uncertain numbers drawn."""
    usual = usual_face()
    return Face(
        loft=usual.loft,
        grooves=usual.grooves,
        roughness=ROUGHNESS * draw[D_ROUGHNESS],
        head_mass=draw[D_HEAD_MASS],
    )


@kernel
def drawn_assumptions(draw: Array) -> Assumptions:
    """The numbers of the model, drawn."""
    return Assumptions(
        tangential_stiffness=draw[D_STIFFNESS],
        unloading=draw[D_UNLOADING],
        reversal=draw[D_REVERSAL],
        wet_factor=draw[D_WET_FACTOR],
        film_friction=draw[D_FILM_FRICTION],
        solid_friction=draw[D_SOLID_FRICTION],
        load_decay=draw[D_LOAD_DECAY],
        void=draw[D_VOID],
    )


@kernel
def drawn_green(draw: Array) -> Green:
    """The green with its uncertain numbers drawn."""
    return Green(
        speed=GREEN_SPEED,
        slope=0.0,
        friction=GREEN_FRICTION * draw[D_GREEN_FRICTION],
        tilt=GREEN_TILT * draw[D_GREEN_TILT],
        restitution=GREEN_RESTITUTION * draw[D_GREEN_RESTITUTION],
    )
