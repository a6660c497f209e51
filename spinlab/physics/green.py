"""From landing to rest: `land`.

The ball bounces until its rebound is slower than 0.25 m/s, slides until it rolls, rolls until it stops.  Orderings and signs
are robust; metres are not (±50 %): no published table of stopping distances was found, and 3° of tilt alone change the
run-out 1.6 times.  Show bands, and fit the green to your own pitch marks (`spinlab.physics.green_fit`).

One shot is landed in Python's own numbers, many as arrays, by the same lines (`onemany`).

Here x runs along the ball's line over the ground, y to its right; backspin is positive, and so is side spin that drags the
ball to the left.
"""

from __future__ import annotations

import math

import numpy as np

from ..records import Green, Path, Rest, check_option
from ..units import GRAVITY, deg, ft
from .flight import BALL_RADIUS
from .onemany import tools, tools_for, tools_of

LAST_REBOUND = 0.25
"""A rebound slower than this [m/s] is the last one."""
MOST_BOUNCES = 20
LONGEST_ROLL = 50.0
"""Where the roll is cut off [m]: a ball on a slope too steep to stop on has left the green."""
LEAST_SLIDING_FRICTION = 0.05
"""Friction under a sliding ball is taken as no less than this, so that every slide ends."""
_CHUNK = 10_000
_REFERENCE_SPEED, _REFERENCE_ANGLE, _REFERENCE_TILT = 18.6, 44.4 * deg, 15.4 * deg
_GRAZING, _STEEPEST = math.cos(55 * deg), 40 * deg
_TIP = 1e-12
_MEDIUM = Green()


# -- the equations ----------------------------------------------------------------------------------------------------


def rolling_resistance(green_speed):
    """ρ_g = 0.784/S, S the ramp reading in feet; `green_speed` in [m].

    A ball let go at 1.83 m/s (6.0 ft/s, Holmes 1986, from memory) stops after S feet: decel 5.49/S_ft m/s² = (5/7) ρ_g g.
    """
    return 0.784 * ft / green_speed


def resting_tilt_of(green_speed):
    """θ_r, the lean of the ground [rad] that a ball at rest on it just holds: ``atan(ρ_g)``; our judgement."""
    return tools_for(green_speed, 0.0).atan(rolling_resistance(green_speed))


def restitution_penner_2002(normal_speed):
    """``e = 0.510 − 0.0375 v + 0.000903 v²``, 0.120 above 20 m/s.  Penner, Can. J. Phys. 80:931 (2002), from memory.

    The parabola is followed to its lowest point (0.1207 at 20.8 m/s) and held there, so that there is no step.
    """
    v = tools_for(normal_speed, 0.0).least(normal_speed, 0.0375 / (2 * 0.000903))
    return 0.510 + v * (-0.0375 + 0.000903 * v)


def ground_tilt(*, along, down, tilt, resting_tilt):
    """Angle [rad] by which the ball's own crater leans the ground towards it, negative for a ball that comes backwards.

    ``θ = [θ_r + F (15.4° − θ_r) v/18.6] φ/44.4° min(1, (cos φ/cos 55°)²)``, at most 40°; v is the speed and φ its angle from
    the ground's normal.  Linear after Penner 2002 and Biber et al. 2023 (doi 10.1007/s12283-023-00442-4); θ_r, the cut-off
    for grazing balls and F are our judgement.
    """
    growth = tilt * (_REFERENCE_TILT - resting_tilt) * (1 / _REFERENCE_SPEED)
    t = tools_of(along, down, growth)
    speed = t.sqrt(along * along + down * down)
    sine = along / (speed + _TIP)
    grazing = t.least((1 - sine * sine) * (1 / _GRAZING**2), 1.0)
    lean = t.most(resting_tilt + growth * speed, 0.0) * t.asin(sine) * grazing * (1 / _REFERENCE_ANGLE)
    return t.least(t.most(lean, -_STEEPEST), _STEEPEST)


def tangential_impulse(*, slip, limit, grip_restitution=0.0):
    """Impulse per mass against the slip [m/s]: ``min[(2/7)(1 + e_t)|s|, limit]``; the first grips, the second slides."""
    gripping = (2 / 7) * (1 + grip_restitution) * slip
    return tools_for(gripping, limit).least(gripping, limit)


def bounce(*, along, down, spin, green: Green, across=0.0, side_spin=0.0, resting_tilt=None, grip_restitution=0.0,
           radius=BALL_RADIUS):
    """One bounce: speed along, across and down into the ground [m/s], backspin and side spin [rad/s] → those after.

    In the frame of the tilted ground ``v_t' = v_t − J, ω' = ω − 2.5 J/R, v_n' = e v_n``; J from `tangential_impulse` with
    the limit μ (1 + e) v_n.  Whatever the grip, ``v_t − 0.4 R ω`` stays (nothing turns the ball about the point of contact),
    and energy never grows.  `resting_tilt` is θ_r, by default ``atan(0.784/S_ft)``.

    Returns
    -------
    along, across, spin, side_spin, up, frame
        `frame` is the tilt used [rad], for checks.
    """
    resting_tilt = resting_tilt_of(green.speed) if resting_tilt is None else resting_tilt
    t = tools_of(along, down, spin, across, side_spin, radius, resting_tilt, grip_restitution, green.friction, green.tilt,
                 green.restitution)  # fmt: skip
    down = t.most(down, 0.0)
    theta = ground_tilt(along=along, down=down, tilt=green.tilt, resting_tilt=resting_tilt)
    s = t.sin(theta)
    c = t.sqrt(1 - s * s)
    vt, vn = along * c - down * s, t.most(down * c + along * s, 0.0)
    e = t.least(restitution_penner_2002(vn) * green.restitution, 0.95)
    slip_t, slip_y = vt + radius * spin, across + radius * side_spin
    slip = t.sqrt(slip_t * slip_t + slip_y * slip_y)
    impulse = tangential_impulse(slip=slip, limit=green.friction * (1 + e) * vn, grip_restitution=grip_restitution)
    share = impulse / (slip + _TIP)
    jt, jy, turned = share * slip_t, share * slip_y, 2.5 / radius
    vt, vn = vt - jt, e * vn
    return vt * c - vn * s, across - jy, spin - turned * jt, side_spin - turned * jy, vt * s + vn * c, theta


def _weight(slope, t):
    """Gravity along the ground, uphill positive, and into it [m/s²]."""
    return -GRAVITY * t.sin(slope), GRAVITY * t.cos(slope)


def _hop(along, up, pull, press):
    """Time, distance along the ground and speed along it at the end of a hop, without air (drag takes a few per cent)."""
    time = 2 * up / press
    gained = pull * time
    return time, (along + 0.5 * gained) * time, along + gained


def _skid(along, across, spin, side_spin, green: Green, radius):
    """Sliding until it rolls: time, distance along and across, rolling speed along and across.

    Level: ``v_r = (5 v − 2 R ω)/7``, backwards if R ω > 2.5 v; from no spin after 12 v²/(49 μ g).
    """
    t = tools_of(along, across, spin, side_spin, green.friction, green.slope, radius)
    pull, press = _weight(green.slope, t)
    slip_x, slip_y = along + radius * spin, across + radius * side_spin
    slip = t.sqrt(slip_x * slip_x + slip_y * slip_y)
    grip = t.most(green.friction, LEAST_SLIDING_FRICTION) * press
    # the slope helps or hinders the slip's end; never so much that there is none
    time = slip / t.most(3.5 * grip - pull * slip_x / (slip + _TIP), grip)
    rolling_x = (5 * along - 2 * radius * spin + 5 * pull * time) / 7
    rolling_y = (5 * across - 2 * radius * side_spin) / 7
    return time, 0.5 * (along + rolling_x) * time, 0.5 * (across + rolling_y) * time, rolling_x, rolling_y


def _brake(speed, slowing, t):
    """Time and distance to stop; cut off at `LONGEST_ROLL`, where the third answer is False."""
    distance = speed * speed / (2 * t.most(slowing, 1e-100))
    stops = distance <= LONGEST_ROLL
    distance = t.least(distance, LONGEST_ROLL)
    # time = 2 d/(v + v_end) holds for any constant slowing
    end = t.sqrt(t.most(speed * speed - 2 * slowing * distance, 0.0))
    return 2 * distance / (speed + end + _TIP), distance, stops


def _roll(along, across, green: Green):
    """Rolling: time, distance along and across, and does it stop: ``a = (5/7) g (ρ_g cos β ± sin β)``.

    Straight on to a stop; where the ground is steeper than ρ_g it then rolls back down and does not stop.  That a slope
    bends the way of a ball that rolls across it is left out.
    """
    t = tools_of(along, across, green.speed, green.slope)
    pull, press = _weight(green.slope, t)
    hold, back = 5 / 7 * rolling_resistance(green.speed) * press, -5 / 7 * pull + 0.0 * along
    speed = t.sqrt(along * along + across * across)
    cx, cy = along / (speed + _TIP), across / (speed + _TIP)
    time, distance, stops = _brake(speed, hold + back * cx, t)
    excess = abs(back) - hold
    runs_away = excess > 0
    returned = t.pick(runs_away & stops, LONGEST_ROLL, 0.0)
    time = time + t.sqrt(2 * returned / t.pick(runs_away, excess, 1.0))
    furthest = distance * cx
    return time, furthest - t.sign(back) * returned, distance * cy, furthest, stops & (excess <= 0)


# -- the whole landing ------------------------------------------------------------------------------------------------


def _bounces(state, green: Green, radius, options, t):
    """All bounces → the state on the ground, time, place, what the first one did, and the hops for drawing.

    A ball that no longer comes down stays as it is: nothing presses it on the ground, so nothing holds it.
    """
    along, across, down, spin, side_spin = state
    down, weight = t.most(down, 0.0), _weight(green.slope, t)
    x = y = time = furthest = 0.0 * along
    count, hops = 0 * (x > 0), []
    for _ in range(MOST_BOUNCES):
        moving = {"along": along, "across": across, "down": down, "spin": spin, "side_spin": side_spin}
        along, across, spin, side_spin, up, _ = bounce(**moving, green=green, radius=radius, **options)
        down = t.pick(up >= LAST_REBOUND, up, 0.0)
        seconds, metres, speed = _hop(along, down, *weight)
        hops.append((time, x, along, down, seconds))
        time, x, y, along = time + seconds, x + metres, y + across * seconds, speed
        furthest, falling = t.most(furthest, x), down > 0
        count = count + falling
        if len(hops) == 1:
            first, first_spin = x, spin
        if not t.some(falling):
            break
    return (along, across, spin, side_spin), time, x, y, count, furthest, first, first_spin, hops


def _landed(given, green: Green, trace, t):
    """From landing to rest: every field of a `Rest`, for one shot or for a row of them."""
    speed, angle, backspin, side_spin, radius, resting_tilt, grip_restitution = given
    ahead, falling, cos, sin = speed * t.cos(angle), speed * t.sin(angle), t.cos(green.slope), t.sin(green.slope)
    state = ahead * cos - falling * sin, 0.0 * speed, falling * cos + ahead * sin, backspin, side_spin
    options = {"resting_tilt": resting_tilt, "grip_restitution": grip_restitution}
    ground, time, x, y, count, furthest, first, first_spin, hops = _bounces(state, green, radius, options, t)
    slide_time, slide_x, slide_y, rolling_x, rolling_y = _skid(*ground, green, radius)
    roll_time, roll_x, roll_y, roll_far, stops = _roll(rolling_x, rolling_y, green)
    # on the way the slide can turn back: its own furthest point lies where its speed passes through nothing
    start, turns = ground[0], ground[0] * rolling_x < 0
    turn = t.pick(turns, 0.5 * start * start * slide_time / t.pick(turns, start - rolling_x, 1.0), slide_x)
    reach = t.most(t.most(turn, slide_x), slide_x + t.most(roll_far, roll_x))
    drawn = {}
    if trace:
        slide, roll = (time, x, start, rolling_x, slide_time), (roll_time, rolling_x, roll_far, roll_x)
        drawn = _trace(hops, slide, roll, green.slope, trace)
    return {
        "run_out": x + slide_x + roll_x, "run_side": y + slide_y + roll_y, "first_bounce": first,
        "spin_after_first": first_spin, "bounces": count, "time": time + slide_time + roll_time,
        "furthest": t.most(furthest, x + reach), "stops": stops,
    } | drawn  # fmt: skip


def land(path: Path, green: Green | None = None, *, ball=None, resting_tilt=None, grip_restitution=0.0, trace=0) -> Rest:
    """Let the ball land and come to rest: one shot, or thousands in one call.

    Parameters
    ----------
    path
        where, how fast and with how much spin it lands (`fly`, or `green_fit.landing` from measured numbers).
    green
        a `Green`; its presets are our judgement.
    resting_tilt, grip_restitution
        θ_r [rad] and e_t of the bounce (see `bounce`).
    trace
        how many points to keep of each hop, of the slide and of the roll, for drawing; 0 keeps none.

    Returns
    -------
    Rest
        Distances along the ground from the pitch mark.  `stops` is False where the ball ran away down a slope or rolled over
        50 m: its run-out is then cut off and says no more than "it does not stay on the green".

    Notes
    -----
    Hops are flown without air.  There are at most 20; a ball is then rolling for every purpose.  Where one bounce more is
    counted, run-out steps by up to 0.35 m (computed): far below the doubt about metres, but a slider can show it.
    """
    green = _MEDIUM if green is None else green
    given = (path.landing_speed, path.descent_angle, path.landing_backspin, path.landing_side_spin,
             BALL_RADIUS if ball is None else ball.radius,
             resting_tilt_of(green.speed) if resting_tilt is None else check_option("resting_tilt", resting_tilt),
             check_option("grip_restitution", grip_restitution))
    shape = np.broadcast_shapes(path.shape, green.shape, *(value.shape for value in given if np.ndim(value)))
    if not shape:
        return Rest(**_landed([float(value) for value in given], green, trace, tools(())))
    given = [np.broadcast_to(value, shape).ravel() if i < 4 or np.ndim(value) else value for i, value in enumerate(given)]
    if green.shape:
        fields = ("speed", "slope", "friction", "tilt", "restitution")
        green = green.but(**{name: np.broadcast_to(getattr(green, name), shape).ravel() for name in fields})
    # some at a time stay in the processor's cache; a drawing has as many points for every shot
    count = int(np.prod(shape))
    size = count if trace else _CHUNK
    parts = []
    for i in range(0, max(count, 1), max(size, 1)):
        here = slice(i, i + size)
        parts.append(_landed([value[here] if np.ndim(value) else value for value in given],
                             green[here] if green.shape else green, trace, tools(shape)))
    found = {name: np.concatenate([part[name] for part in parts], axis=-1) for name in parts[0]}
    return Rest(**{name: value.reshape(value.shape[:-1] + shape) for name, value in found.items()})


def _trace(hops, slide, roll, slope, points):
    """Time, level distance and height [points, *shots] from the pitch mark to rest."""
    share = np.linspace(0, 1, points).reshape((-1,) + (1,) * np.ndim(slide[1]))
    time, x, z = [], [], []
    pull, fall = -GRAVITY * np.sin(slope), GRAVITY * np.cos(slope)
    for start, where, along, up, seconds in hops:
        t = share * seconds
        time.append(start + t)
        x.append(where + along * t + 0.5 * pull * t**2)
        z.append(up * t - 0.5 * fall * t**2)
    start, where, speed, end, seconds = slide
    t = share * seconds
    time.append(start + t)
    x.append(where + t * (speed + 0.5 * share * (end - speed)))
    z.append(0 * t)
    seconds, speed, far, stop = roll
    t = share * seconds
    # slows evenly to the furthest point; where it runs away, the rest is drawn evenly as well
    here = x[-1][-1]
    time.append(time[-1][-1] + t)
    x.append(here + np.where(far == stop, far * (1 - (1 - share) ** 2), stop * share))
    z.append(0 * t)
    time, x, z = (np.concatenate(part) for part in (time, x, z))
    c, s = np.cos(slope), np.sin(slope)
    return {"trace_time": time, "trace_x": x * c - z * s, "trace_z": z * c + x * s}
