"""From landing to rest: bounces, a slide, a roll.

The ball bounces, each rebound lower than the one before, slides until it rolls, and rolls until it
stops.  Orderings and signs are robust; metres are not (±50 %): no published table of stopping
distances was found, and 3° of tilt alone change the run-out 1.6 times.  Show bands.

Here x runs along the ball's line over the ground, y to its right; backspin is positive, and so is
side spin that drags the ball to the left.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from ..units import GRAVITY, deg, ft
from .compiled import Array, entry, kernel
from .nouns import Arrival, Green, Stop

VISIBLE_REBOUND = 0.25
"""A rebound slower than this [m/s] is not counted among the bounces."""
LAST_REBOUND = 1e-4
"""Small bounces are followed down to this rebound [m/s], so that run-out changes smoothly."""
MOST_BOUNCES = 400
MOST_BOUNCE = 0.95
LONGEST_ROLL = 50.0
"""Where the roll is cut off [m]: a ball on a slope too steep to stop on has left the green."""
LEAST_SLIDING_FRICTION = 0.05
"""Friction under a sliding ball is taken as no less than this, so that every slide ends."""
REFERENCE_SPEED = 18.6
REFERENCE_ANGLE = 44.4 * deg
REFERENCE_TILT = 15.4 * deg
GRAZING_ANGLE = 55.0 * deg
STEEPEST_TILT = 40.0 * deg
TINY = 1e-12


@kernel
def rolling_resistance(green_speed):
    """ρ_g = 0.784/S, S the ramp reading in feet; `green_speed` in [m].

    A ball released at 1.83 m/s (6.0 ft/s, Holmes 1986, from memory) stops after S feet: it slows by
    5.49/S_ft m/s² = (5/7) ρ_g g.

    >>> # Penner, "The physics of putting", Can. J. Phys. 80:83 (2002), from memory: .065 at 12 ft
    >>> round(rolling_resistance(12 * 0.3048), 3)
    0.065
    """
    return 0.784 * ft / green_speed


@kernel
def resting_tilt_of(green_speed):
    """θ_r, the lean of the ground [rad] that just holds a ball at rest: ``atan(ρ_g)``; our
    judgement."""
    return math.atan(rolling_resistance(green_speed))


@kernel
def restitution_penner_2002(normal_speed):
    """``e = 0.510 − 0.0375 v + 0.000903 v²``, 0.120 above 20 m/s.

    Penner, Can. J. Phys. 80:931 (2002), from memory.  The parabola is followed to its lowest point
    (0.1207 at 20.8 m/s) and held there, so that there is no step.

    >>> round(restitution_penner_2002(10.0), 3)
    0.225
    """
    v = min(normal_speed, 0.0375 / (2.0 * 0.000903))
    return 0.510 + v * (-0.0375 + 0.000903 * v)


@kernel
def ground_tilt(along, down, tilt, resting_tilt):
    """Angle [rad] by which the ball's own crater leans the ground towards it.

    ``θ = [θ_r + F (15.4° − θ_r) v/18.6] φ/44.4° min(1, (cos φ/cos 55°)²)``, at most 40°; v is the
    speed and φ its angle from the ground's normal, negative for a ball that comes backwards.  Linear
    after Penner 2002 and Biber et al. 2023 (doi 10.1007/s12283-023-00442-4); θ_r, the cut-off for
    grazing balls and F are our judgement.
    """
    speed = math.hypot(along, down)
    sine = along / (speed + TINY)
    grazing_cosine = math.cos(GRAZING_ANGLE)
    grazing = min((1.0 - sine * sine) / (grazing_cosine * grazing_cosine), 1.0)
    lean = resting_tilt + tilt * (REFERENCE_TILT - resting_tilt) * speed / REFERENCE_SPEED
    lean = max(lean, 0.0) * math.asin(sine) / REFERENCE_ANGLE * grazing
    return min(max(lean, -STEEPEST_TILT), STEEPEST_TILT)


@kernel
def tangential_impulse(slip, limit, grip_restitution):
    """Impulse per mass against the slip [m/s]: ``min[(2/7)(1 + e_t)|s|, limit]``.

    The first grips, the second slides.
    """
    return min(2.0 / 7.0 * (1.0 + grip_restitution) * slip, limit)


class Turf(NamedTuple):
    """The ground under one landing."""

    green: Green
    radius: float  # of the ball
    resting_tilt: float
    pull: float  # gravity along the ground, along the shot [m/s²]
    press: float  # gravity into the ground [m/s²]


class Moving(NamedTuple):
    """How a ball moves at the ground: along, across and up [m/s], backspin and side spin [rad/s]."""

    along: float
    across: float
    up: float
    spin: float
    side_spin: float


class Run(NamedTuple):
    """A part of the way: seconds, metres along and across, and the furthest point on the way."""

    time: float
    x: float
    y: float
    furthest: float


class Trace(NamedTuple):
    """Times [s], places along the ground [m] and heights above it [m], for drawing; or no points.

    Each hop, the slide and the roll have `points` of them, written one after the other.
    """

    time: Array
    x: Array
    z: Array


@kernel
def turf_of(green: Green, radius, resting_tilt) -> Turf:
    """Gather what stays the same during one landing."""
    return Turf(
        green=green,
        radius=radius,
        resting_tilt=resting_tilt,
        pull=-GRAVITY * math.sin(green.slope),
        press=GRAVITY * math.cos(green.slope),
    )


@kernel
def bounce(ball: Moving, turf: Turf) -> Moving:
    """The ball after one bounce; `up` is negative before it.

    In the frame of the tilted ground ``v_t' = v_t − J, ω' = ω − 2.5 J/R, v_n' = e v_n``; J from
    `tangential_impulse` with the limit μ (1 + e) v_n.  Whatever the grip, ``v_t − 0.4 R ω`` stays
    (nothing turns the ball about the point of contact), and energy never grows.
    """
    down = max(-ball.up, 0.0)
    theta = ground_tilt(ball.along, down, turf.green.tilt, turf.resting_tilt)
    sine = math.sin(theta)
    cosine = math.cos(theta)
    tangential = ball.along * cosine - down * sine
    normal = max(down * cosine + ball.along * sine, 0.0)
    e = min(restitution_penner_2002(normal) * turf.green.restitution, MOST_BOUNCE)
    slip_along = tangential + turf.radius * ball.spin
    slip_across = ball.across + turf.radius * ball.side_spin
    slip = math.hypot(slip_along, slip_across)
    limit = turf.green.friction * (1.0 + e) * normal
    share = tangential_impulse(slip, limit, turf.green.grip_restitution) / (slip + TINY)
    given_along = share * slip_along
    given_across = share * slip_across
    tangential = tangential - given_along
    normal = e * normal
    return Moving(
        along=tangential * cosine - normal * sine,
        across=ball.across - given_across,
        up=tangential * sine + normal * cosine,
        spin=ball.spin - 2.5 / turf.radius * given_along,
        side_spin=ball.side_spin - 2.5 / turf.radius * given_across,
    )


@kernel
def slide(ball: Moving, turf: Turf) -> Run:
    """Sliding until it rolls; from no spin a level slide ends after ``12 v²/(49 μ g)``."""
    radius = turf.radius
    slip_along = ball.along + radius * ball.spin
    slip_across = ball.across + radius * ball.side_spin
    slip = math.hypot(slip_along, slip_across)
    grip = max(turf.green.friction, LEAST_SLIDING_FRICTION) * turf.press
    # the slope helps or hinders the slip's end; never so much that there is none
    ending = max(3.5 * grip - turf.pull * slip_along / (slip + TINY), grip)
    time = slip / ending
    end = rolling_speed(ball.along, ball.spin, radius, turf.pull * time)
    end_across = rolling_speed(ball.across, ball.side_spin, radius, 0.0)
    x = 0.5 * (ball.along + end) * time
    furthest = x
    if ball.along * end < 0.0:
        # it turns back on the way
        furthest = max(x, 0.5 * ball.along * ball.along * time / (ball.along - end))
    return Run(time=time, x=x, y=0.5 * (ball.across + end_across) * time, furthest=furthest)


@kernel
def rolling_speed(speed, spin, radius, pulled):
    """Speed when the slide ends: ``(5 v − 2 R ω + 5 Δv)/7``, Δv what the slope gave meanwhile.

    Backwards on the level if R ω > 2.5 v.
    """
    return (5.0 * speed - 2.0 * radius * spin + 5.0 * pulled) / 7.0


@kernel
def roll_stops(along, across, turf: Turf) -> bool:
    """Does a rolling ball come to rest, on this slope and within `LONGEST_ROLL`?"""
    speed = math.hypot(along, across)
    slowing = roll_slowing(along, across, turf)
    within = speed * speed <= 2.0 * max(slowing, 1e-100) * LONGEST_ROLL
    return within and rolling_back(turf) == 0.0


@kernel
def roll_slowing(along, across, turf: Turf):
    """How a roll slows on its way [m/s²]; negative where the slope speeds it up."""
    hold = 5.0 / 7.0 * rolling_resistance(turf.green.speed) * turf.press
    return hold - 5.0 / 7.0 * turf.pull * along / (math.hypot(along, across) + TINY)


@kernel
def rolling_back(turf: Turf):
    """How a ball at rest gathers speed along the ground [m/s²]; 0 where the green holds it."""
    hold = 5.0 / 7.0 * rolling_resistance(turf.green.speed) * turf.press
    pull = 5.0 / 7.0 * turf.pull
    excess = max(abs(pull) - hold, 0.0)
    return -excess if pull < 0.0 else excess


@kernel
def roll(along, across, turf: Turf) -> Run:
    """Rolling to a stop: ``a = (5/7) g (ρ_g cos β ± sin β)``.

    Straight on to a stop; where the ground is steeper than ρ_g it then rolls back down and does not
    stop.  That a slope bends the way of a ball that rolls across it is left out.
    """
    speed = math.hypot(along, across)
    ahead = along / (speed + TINY)
    slowing = roll_slowing(along, across, turf)
    distance = speed * speed / (2.0 * max(slowing, 1e-100))
    reaches_rest = distance <= LONGEST_ROLL
    distance = min(distance, LONGEST_ROLL)
    # time = 2 d/(v + v_end) holds for any constant slowing
    end = math.sqrt(max(speed * speed - 2.0 * slowing * distance, 0.0))
    time = 2.0 * distance / (speed + end + TINY)
    furthest = distance * ahead
    x = furthest
    back = rolling_back(turf)
    if back != 0.0 and reaches_rest:
        x = x + (LONGEST_ROLL if back > 0.0 else -LONGEST_ROLL)
        time = time + math.sqrt(2.0 * LONGEST_ROLL / abs(back))
    return Run(time=time, x=x, y=distance * across / (speed + TINY), furthest=max(furthest, x))


# -- drawing ---------------------------------------------------------------------------------------


@entry
def trace_hop(trace: Trace, first: int, points: int, start: Run, ball: Moving, turf: Turf) -> None:
    """Write the points of one hop."""
    seconds = 2.0 * max(ball.up, 0.0) / turf.press
    for i in range(points):
        if first + i < len(trace.time):
            t = seconds * i / (points - 1.0)
            trace.time[first + i] = start.time + t
            trace.x[first + i] = start.x + (ball.along + 0.5 * turf.pull * t) * t
            trace.z[first + i] = (ball.up - 0.5 * turf.press * t) * t


@entry
def trace_slide(
    trace: Trace, first: int, points: int, start: Run, run: Run, speed, end
) -> None:
    """Write the points of a slide with steady slowing from `speed` to `end`."""
    for i in range(points):
        if first + i < len(trace.time):
            share = i / (points - 1.0)
            t = share * run.time
            trace.time[first + i] = start.time + t
            trace.x[first + i] = start.x + t * (speed + 0.5 * share * (end - speed))
            trace.z[first + i] = 0.0


@kernel
def trace_roll(
    trace: Trace, first: int, points: int, start: Run, run: Run, along, across, turf: Turf
) -> None:
    """Write the points of a roll to a stop, and of the way back down where the green is too steep."""
    speed = math.hypot(along, across)
    slowing = roll_slowing(along, across, turf)
    stop = speed / slowing if slowing > 0.0 else run.time
    back = rolling_back(turf)
    for i in range(points):
        if first + i < len(trace.time):
            t = run.time * (i / (points - 1.0))
            before = min(t, stop)
            after = t - before
            way = (speed - 0.5 * slowing * before) * before * along / (speed + TINY)
            trace.time[first + i] = start.time + t
            trace.x[first + i] = start.x + way + 0.5 * back * after * after
            trace.z[first + i] = 0.0


# -- the whole landing -----------------------------------------------------------------------------


@kernel
def touchdown(arrival: Arrival, turf: Turf) -> Moving:
    """How the ball comes to the ground, in the ground's own frame."""
    ahead = arrival.speed * math.cos(arrival.angle)
    falling = arrival.speed * math.sin(arrival.angle)
    cosine = math.cos(turf.green.slope)
    sine = math.sin(turf.green.slope)
    return Moving(
        along=ahead * cosine - falling * sine,
        across=0.0,
        up=-max(falling * cosine + ahead * sine, 0.0),
        spin=arrival.backspin,
        side_spin=arrival.side_spin,
    )


@entry
def land(
    arrival: Arrival,
    green: Green,
    radius,
    resting_tilt,
    trace: Trace,
    points: int,
) -> Stop:
    """From the pitch mark to rest.

    Hops are flown without air.  A ball that no longer comes down stays on the ground.
    """
    turf = turf_of(green, radius, resting_tilt)
    ball = touchdown(arrival, turf)
    here = Run(time=0.0, x=0.0, y=0.0, furthest=0.0)
    first_bounce = 0.0
    first_spin = 0.0
    bounces = 0.0
    drawn = 0
    for i in range(MOST_BOUNCES):
        ball = bounce(ball, turf)
        up = ball.up
        if up < LAST_REBOUND:
            up = 0.0
        if up >= VISIBLE_REBOUND:
            bounces = bounces + 1.0
            trace_hop(trace, drawn, points, here, ball, turf)
            drawn = drawn + points
        seconds = 2.0 * up / turf.press
        gained = turf.pull * seconds
        x = here.x + (ball.along + 0.5 * gained) * seconds
        here = Run(
            time=here.time + seconds,
            x=x,
            y=here.y + ball.across * seconds,
            furthest=max(here.furthest, x),
        )
        ball = Moving(
            along=ball.along + gained,
            across=ball.across,
            up=-up,
            spin=ball.spin,
            side_spin=ball.side_spin,
        )
        if i == 0:
            first_bounce = here.x
            first_spin = ball.spin
        if up <= 0.0:
            break
    sliding = slide(ball, turf)
    pulled = turf.pull * sliding.time
    along = rolling_speed(ball.along, ball.spin, radius, pulled)
    across = rolling_speed(ball.across, ball.side_spin, radius, 0.0)
    rolling = roll(along, across, turf)
    stops = roll_stops(along, across, turf)
    slid = Run(
        time=here.time + sliding.time, x=here.x + sliding.x, y=here.y + sliding.y, furthest=0.0
    )
    trace_slide(trace, drawn, points, here, sliding, ball.along, along)
    trace_roll(trace, drawn + points, points, slid, rolling, along, across, turf)
    furthest = max(here.furthest, here.x + sliding.furthest, slid.x + rolling.furthest)
    return Stop(
        run_out=slid.x + rolling.x,
        run_side=slid.y + rolling.y,
        first_bounce=first_bounce,
        spin_after_first=first_spin,
        bounces=bounces,
        time=slid.time + rolling.time,
        furthest=furthest,
        stops=1.0 if stops else 0.0,
    )
