"""From launch to landing: gravity, drag and lift, by the classical Runge–Kutta rule.

A pitch flies where coefficients are known worst: at the edge of the drag crisis and with more spin
than most tunnels tried.  Show bands, not single lines.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from ..units import GRAVITY
from .air import air_density, air_viscosity, wind_profile
from .bracket import ROOT_ROUNDS, bracket_between, narrowed, secant
from .compiled import Array, entry, kernel
from .nouns import Aerodynamics, Air, Ball, Landing, Launch

SPIN_DECAY = 2.0e-5
"""Loss of spin, ``dω/dt = −c U ω/R``.  Linear in spin at every Re (Nathan 2008, seen); size:
Dewhurst 2015 (seen)."""
LEAST_REYNOLDS = 7e4
MOST_REYNOLDS = 2.1e5
"""The range of Smits & Smith's measurements."""
LEAST_SPIN_PARAMETER = 0.08
LIFT_CEILING = 0.355
CRISIS_REYNOLDS = 4.8e4
CRISIS_WIDTH = 4e3
STILL = 1e-18
"""Square of a speed [m²/s²] added inside a root, so that a ball at rest has a spin parameter."""

STEP = 0.1
"""Seconds of a step."""
SHORTEST_STEP = 1e-7
"""A ball that is down again within this time [s] never left the ground."""
LONGEST_FLIGHT = 200.0
LANDING_PRECISION = 1e-12
"""Landing and top are located within this share of a step."""


# -- drag and lift ---------------------------------------------------------------------------------


@kernel
def drag_smits_smith_1994(spin, reynolds, law: Aerodynamics):
    """``C_D = 0.24 + 0.18 S + 0.06 sin[π (Re − 9e4)/2e5]``, Re kept within 7e4 … 2.1e5.

    Smits & Smith, Science and Golf II (1994) 340, from memory; measured for 7e4 < Re < 2.1e5 and
    0.08 < S < 1.3.
    """
    within = min(max(reynolds, LEAST_REYNOLDS), MOST_REYNOLDS)
    wave = math.sin(math.pi / 2e5 * (within - 9e4))
    return law.drag + law.drag_per_spin * spin + law.drag_wave * wave


@kernel
def lift_smits_smith_1994(spin, law: Aerodynamics):
    """``C_L = 0.54 S^0.4``, a straight line to zero below S = 0.08.

    Same source and range as the drag, from memory.
    """
    line = law.lift_power * LEAST_SPIN_PARAMETER**-0.6 * spin
    return min(law.lift_power * spin**0.4, line)


@kernel
def saturated(lift):
    """``C_L = c/[1 + (c/0.355)⁶]^(1/6)``: lift stops growing with spin.

    Our judgement, fitted: the plain power law carries high-spin shots too far.
    """
    square = (lift / LIFT_CEILING) ** 2.0
    return lift * (1.0 + square * square * square) ** (-1.0 / 6.0)


@kernel
def drag_crisis_share(spin, reynolds):
    """How far the flow is below the drag crisis: 0 well above it, 1 well below.

    ``f = 1/(1 + exp((Re (1 + 0.5 S) − 4.8e4)/4e3))``.  Our judgement: the measured set stops at
    Re 7e4 (24 m/s), where many pitches begin.  It changes the carry of these pitches by up to 0.6 m,
    of high ones with little spin by up to 1.8 m (computed).
    """
    above = (reynolds * (1.0 + 0.5 * spin) - CRISIS_REYNOLDS) / CRISIS_WIDTH
    return 1.0 / (1.0 + math.exp(min(above, 300.0)))


class Coefficients(NamedTuple):
    """C_D and C_L."""

    drag: float
    lift: float


@kernel
def coefficients(spin, reynolds, law: Aerodynamics) -> Coefficients:
    """C_D and C_L at a spin parameter S = R ω/U (not negative) and a Reynolds number U D/ν.

    Below the crisis drag rises by ``0.24 f max(1 − S, 0)`` and lift falls by 35 % of f (our
    judgement).
    """
    crisis = drag_crisis_share(spin, reynolds)
    drag = drag_smits_smith_1994(spin, reynolds, law)
    drag = drag + law.crisis_drag * crisis * max(1.0 - spin, 0.0)
    lift = law.lift
    if law.lift_power > 0.0:
        lift = lift + saturated(lift_smits_smith_1994(spin, law))
    if law.lift_growth > 0.0:
        lift = lift + law.lift_growth * (1.0 - math.exp(-law.lift_rate * spin))
    lift = lift * (1.0 - law.crisis_lift * crisis)
    if law.reverse_lift > 0.0:
        share = law.reverse_lift * reverse_lift_share(spin, reynolds)
        lift = lift * (1.0 - share) - 0.125 * share
    return Coefficients(drag=law.drag_scale * drag, lift=law.lift_scale * lift)


@kernel
def ramp(value, low, high):
    """Smooth from 0 at `low` to 1 at `high`."""
    t = min(max((value - low) / (high - low), 0.0), 1.0)
    return t * t * (3.0 - 2.0 * t)


@kernel
def reverse_lift_share(spin, reynolds):
    """Where some balls' lift turns negative, C_L near −0.125: a window in spin and Reynolds number.

    Lyu, Kensrud & Smith, Sports Eng. 23 (2020), doi 10.1007/s12283-020-0318-1, seen: −0.10 to −0.15
    for 5e4 < Re < 7e4 and 750 to 2,250 rpm; positive again at Re 6.5e4, S 0.24.  The window's soft
    edges are our judgement.  Some balls do this and some do not.
    """
    slow = ramp(spin, 0.02, 0.08) * (1.0 - ramp(spin, 0.17, 0.23))
    return slow * ramp(reynolds, 4.5e4, 5.2e4) * (1.0 - ramp(reynolds, 6.8e4, 7.5e4))


# -- the equation of motion ------------------------------------------------------------------------


class Flying(NamedTuple):
    """Where a ball is, how it moves and how fast it spins (without the sign)."""

    x: float
    y: float
    z: float
    vx: float
    vy: float
    vz: float
    spin: float


class Flight(NamedTuple):
    """What stays the same during one flight."""

    pull: float  # ρ A/(2 m) [1/m]
    per_reynolds: float  # Re per speed [s/m]
    radius: float
    turning: float  # sign of the spin
    axis_x: float
    axis_y: float
    axis_z: float
    wind: float
    crosswind: float
    law: Aerodynamics


class Drawing(NamedTuple):
    """A flight at even times from launch to landing, in arrays that are filled [s, m]; or no
    points."""

    time: Array
    x: Array
    y: Array
    z: Array


@entry
def flight_of(launch: Launch, air: Air, ball: Ball, law: Aerodynamics) -> Flight:
    """Gather the constants of one flight.

    The spin axis n is square to the launch and fixed in space; lift is along ``n × u``.  Without
    tilt it lies level, and lift points up.
    """
    density = air_density(air.temperature, air.pressure, air.humidity)
    rise = math.sin(launch.launch_angle)
    level = math.cos(launch.launch_angle)
    ahead = math.cos(launch.direction)
    right = math.sin(launch.direction)
    flat = math.cos(launch.spin_tilt)
    lean = math.sin(launch.spin_tilt)
    turning = 0.0
    if launch.spin_rate > 0.0:
        turning = 1.0
    if launch.spin_rate < 0.0:
        turning = -1.0
    return Flight(
        pull=density * math.pi * ball.radius * ball.radius / (2.0 * ball.mass),
        per_reynolds=2.0 * ball.radius * density / air_viscosity(air.temperature),
        radius=ball.radius,
        turning=turning,
        axis_x=flat * right - lean * rise * ahead,
        axis_y=-flat * ahead - lean * rise * right,
        axis_z=lean * level,
        wind=air.wind,
        crosswind=air.crosswind,
        law=law,
    )


@kernel
def launched(launch: Launch) -> Flying:
    """The state at the launch."""
    level = launch.ball_speed * math.cos(launch.launch_angle)
    return Flying(
        x=0.0,
        y=0.0,
        z=0.0,
        vx=level * math.cos(launch.direction),
        vy=level * math.sin(launch.direction),
        vz=launch.ball_speed * math.sin(launch.launch_angle),
        spin=abs(launch.spin_rate),
    )


@kernel
def motion(state: Flying, flight: Flight) -> Flying:
    """Rates of the state: ``dv/dt = −k C_D U u + k C_L U (n × u) − g``, ``dω/dt = −c U ω/R``.

    u is the velocity through the air, U its size, k = ρ A/(2 m).
    """
    ux = state.vx
    uy = state.vy
    uz = state.vz
    if flight.wind != 0.0 or flight.crosswind != 0.0:
        profile = wind_profile(state.z)
        ux = ux - flight.wind * profile
        uy = uy - flight.crosswind * profile
    speed = math.sqrt(ux * ux + uy * uy + uz * uz + STILL)
    spin = flight.radius * abs(state.spin) / speed
    air = coefficients(spin, flight.per_reynolds * speed, flight.law)
    drag = flight.pull * speed * air.drag
    lift = flight.pull * speed * air.lift * flight.turning
    return Flying(
        x=state.vx,
        y=state.vy,
        z=state.vz,
        vx=-drag * ux + lift * (flight.axis_y * uz - flight.axis_z * uy),
        vy=-drag * uy + lift * (flight.axis_z * ux - flight.axis_x * uz),
        vz=-drag * uz + lift * (flight.axis_x * uy - flight.axis_y * ux) - GRAVITY,
        spin=-SPIN_DECAY / flight.radius * speed * state.spin,
    )


@kernel
def flown(state: Flying, change: Flying, seconds) -> Flying:
    """The state after a straight step."""
    return Flying(
        x=state.x + seconds * change.x,
        y=state.y + seconds * change.y,
        z=state.z + seconds * change.z,
        vx=state.vx + seconds * change.vx,
        vy=state.vy + seconds * change.vy,
        vz=state.vz + seconds * change.vz,
        spin=state.spin + seconds * change.spin,
    )


@kernel
def flight_step(state: Flying, flight: Flight, seconds) -> Flying:
    """One step of the classical Runge–Kutta rule."""
    first = motion(state, flight)
    second = motion(flown(state, first, 0.5 * seconds), flight)
    third = motion(flown(state, second, 0.5 * seconds), flight)
    last = motion(flown(state, third, seconds), flight)
    mean = Flying(
        x=(first.x + 2.0 * (second.x + third.x) + last.x) / 6.0,
        y=(first.y + 2.0 * (second.y + third.y) + last.y) / 6.0,
        z=(first.z + 2.0 * (second.z + third.z) + last.z) / 6.0,
        vx=(first.vx + 2.0 * (second.vx + third.vx) + last.vx) / 6.0,
        vy=(first.vy + 2.0 * (second.vy + third.vy) + last.vy) / 6.0,
        vz=(first.vz + 2.0 * (second.vz + third.vz) + last.vz) / 6.0,
        spin=(first.spin + 2.0 * (second.spin + third.spin) + last.spin) / 6.0,
    )
    return flown(state, mean, seconds)


# -- top and landing -------------------------------------------------------------------------------


@kernel
def falling(state: Flying, climbs: bool):
    """What falls through zero: the speed upward at the top, the height at the landing."""
    return state.vz if climbs else state.z


@entry
def seconds_until(state: Flying, after: Flying, flight: Flight, seconds, climbs: bool):
    """Seconds from a state until the top or the landing, which lies within a step.

    By a `Bracket`, on steps of the Runge–Kutta rule.
    """
    bracket = bracket_between(0.0, seconds, falling(state, climbs), falling(after, climbs))
    for _ in range(ROOT_ROUNDS):
        near = bracket.high - bracket.low <= LANDING_PRECISION * seconds
        if near or bracket.at_high == 0.0:
            break
        middle = secant(bracket)
        bracket = narrowed(bracket, middle, falling(flight_step(state, flight, middle), climbs))
    return bracket.high


@kernel
def grounded(state: Flying) -> Flying:
    """The state at a landing, put exactly on the ground."""
    return Flying(
        x=state.x, y=state.y, z=0.0, vx=state.vx, vy=state.vy, vz=state.vz, spin=state.spin
    )


@kernel
def cubic(share, start, end, start_slope, end_slope):
    """The cubic with given values and slopes (per step) at both ends, at a share of the step."""
    away = share * share * (3.0 - 2.0 * share)
    leaving = share * (1.0 - share) * (1.0 - share)
    arriving = share * share * (share - 1.0)
    return start + away * (end - start) + leaving * start_slope + arriving * end_slope


@entry
def draw_flight(
    before: Flying, after: Flying, start, seconds, duration, drawing: Drawing
) -> None:
    """Fill the points of a drawn flight whose times lie within a step."""
    points = len(drawing.time)
    for i in range(points):
        time = duration * (i / (points - 1.0))
        share = (time - start) / max(seconds, 1e-300)
        if -1e-9 <= share <= 1.0 + 1e-9:
            if share > 1.0 - 1e-9:
                share = 1.0
            drawing.time[i] = time
            drawing.x[i] = cubic(share, before.x, after.x, before.vx * seconds, after.vx * seconds)
            drawing.y[i] = cubic(share, before.y, after.y, before.vy * seconds, after.vy * seconds)
            height = cubic(share, before.z, after.z, before.vz * seconds, after.vz * seconds)
            drawing.z[i] = max(height, 0.0)


class Down(NamedTuple):
    """How a flight ends: the state, the seconds flown, the height of the top."""

    state: Flying
    time: float
    apex: float


@entry
def follow_flight(launch: Launch, flight: Flight, duration, drawing: Drawing) -> Down:
    """From launch to landing; fills `drawing` if the flight's `duration` [s] is not negative.

    A launch that points down, or level without the lift to rise, is on the ground at once.  A flight
    that outlasts `LONGEST_FLIGHT` ends in the air.
    """
    state = launched(launch)
    time = 0.0
    apex = 0.0
    seconds = STEP
    rises = state.vz > 0.0 or (state.vz == 0.0 and motion(state, flight).vz > 0.0)
    while rises and time < LONGEST_FLIGHT:
        after = flight_step(state, flight, seconds)
        if after.z <= 0.0 and time == 0.0 and seconds > SHORTEST_STEP:
            # down again within the first step: look closer
            seconds = 0.5 * seconds
            continue
        lands = after.z <= 0.0
        if state.vz > 0.0 >= after.vz:
            top = flight_step(
                state, flight, seconds_until(state, after, flight, seconds, True)
            )
            apex = max(apex, top.z)
        if lands:
            if time == 0.0:
                break
            seconds = seconds_until(state, after, flight, seconds, False)
            after = grounded(flight_step(state, flight, seconds))
        if duration >= 0.0:
            draw_flight(state, after, time, seconds, duration, drawing)
        time = time + seconds
        state = after
        if lands:
            break
    return Down(state=state, time=time, apex=apex)


@kernel
def landing_of(flight: Flight, down: Down) -> Landing:
    """Where and how the ball comes down."""
    end = down.state
    along = math.hypot(end.vx, end.vy)
    heading = math.atan2(end.vy, end.vx)
    ahead = math.cos(heading)
    right = math.sin(heading)
    spin = flight.turning * end.spin
    return Landing(
        carry=end.x,
        side=end.y,
        apex=down.apex,
        flight_time=down.time,
        descent_angle=math.atan2(-end.vz, along),
        landing_speed=math.hypot(along, end.vz),
        landing_spin=spin,
        landing_direction=heading,
        spin_tilt=math.atan2(flight.axis_z, flight.axis_x * right - flight.axis_y * ahead),
        landing_side_spin=spin * (flight.axis_x * ahead + flight.axis_y * right),
    )


@entry
def fly(launch: Launch, air: Air, ball: Ball, law: Aerodynamics, drawing: Drawing) -> Landing:
    """One flight from level ground to level ground.

    The arrays of `drawing` are empty, or are filled.
    """
    flight = flight_of(launch, air, ball, law)
    down = follow_flight(launch, flight, -1.0, drawing)
    if len(drawing.time) > 0:
        follow_flight(launch, flight, down.time, drawing)
    return landing_of(flight, down)
