"""From landing to rest: `land`.

The ball bounces until its rebound is slower than 0.25 m/s, slides until it rolls, rolls until it stops.  Orderings and signs
are robust; metres are not (±50 %): no published table of stopping distances was found, and 3° of tilt alone change the
run-out 1.6 times.  Show bands, and fit the green to your own pitch marks (`spinlab.physics.green_fit`).

Here x runs along the ball's line over the ground, y to its right; backspin is positive, and so is side spin that drags the
ball to the left.
"""

from __future__ import annotations

import numpy as np

from ..records import Green, Path, Rest
from ..units import GRAVITY, deg, ft
from .flight import BALL_RADIUS

LAST_REBOUND = 0.25
"""A rebound slower than this [m/s] is the last one."""
MOST_BOUNCES = 20
LONGEST_ROLL = 50.0
"""Where the roll is cut off [m]: a ball on a slope too steep to stop on has left the green."""
LEAST_SLIDING_FRICTION = 0.05
"""Friction under a sliding ball is taken as no less than this, so that every slide ends."""
_REFERENCE_SPEED, _REFERENCE_ANGLE, _REFERENCE_TILT = 18.6, 44.4 * deg, 15.4 * deg
_TIP = 1e-12


# -- the equations ----------------------------------------------------------------------------------------------------


def rolling_resistance(green_speed):
    """ρ_g = 0.784/S, S the ramp reading in feet; `green_speed` in [m].

    A ball let go at 1.83 m/s (6.0 ft/s, Holmes 1986, from memory) stops after S feet: decel 5.49/S_ft m/s² = (5/7) ρ_g g.
    """
    return 0.784 * ft / np.asarray(green_speed)


def restitution_penner_2002(normal_speed):
    """``e = 0.510 − 0.0375 v + 0.000903 v²``, 0.120 above 20 m/s.  Penner, Can. J. Phys. 80:931 (2002), from memory.

    The parabola is followed to its lowest point (0.1207 at 20.8 m/s) and held there, so that there is no step.
    """
    v = np.minimum(normal_speed, 0.0375 / (2 * 0.000903))
    return 0.510 + v * (-0.0375 + 0.000903 * v)


def ground_tilt(*, speed, incidence, tilt, resting_tilt):
    """Angle [rad] by which the ball's own crater leans the ground towards it.

    ``θ = [θ_r + F (15.4° − θ_r) v/18.6] φ/44.4° min(1, (cos φ/cos 55°)²)``, at most 40°; φ is the `incidence` from
    the ground's normal.  Linear after Penner 2002 and Biber et al. 2023 (doi 10.1007/s12283-023-00442-4); θ_r, the
    cut-off for grazing balls and F are our judgement.
    """
    lean = resting_tilt + tilt * (_REFERENCE_TILT - resting_tilt) * speed / _REFERENCE_SPEED
    grazing = np.minimum(1.0, (np.cos(incidence) / np.cos(55 * deg)) ** 2)
    return np.minimum(np.maximum(lean, 0.0) * incidence / _REFERENCE_ANGLE * grazing, 40 * deg)


def tangential_impulse(*, slip, limit, grip_restitution=0.0):
    """Impulse per mass against the slip [m/s]: ``min[(2/7)(1 + e_t)|s|, limit]``; the first grips, the second slides."""
    return np.minimum((2 / 7) * (1 + grip_restitution) * slip, limit)


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
    theta_r = np.arctan(rolling_resistance(green.speed)) if resting_tilt is None else resting_tilt
    speed = np.sqrt(along**2 + down**2)
    incidence = np.arctan2(np.abs(along), np.maximum(down, 0.0))
    theta = np.sign(along) * ground_tilt(speed=speed, incidence=incidence, tilt=green.tilt, resting_tilt=theta_r)
    c, s = np.cos(theta), np.sin(theta)
    vt, vn = along * c - down * s, np.maximum(down * c + along * s, 0.0)
    e = np.minimum(restitution_penner_2002(vn) * green.restitution, 0.95)
    slip_t, slip_y = vt + radius * spin, across + radius * side_spin
    slip = np.sqrt(slip_t**2 + slip_y**2)
    impulse = tangential_impulse(slip=slip, limit=green.friction * (1 + e) * vn, grip_restitution=grip_restitution)
    share = impulse / (slip + _TIP)
    jt, jy = share * slip_t, share * slip_y
    vt, vn = vt - jt, e * vn
    return vt * c - vn * s, across - jy, spin - 2.5 * jt / radius, side_spin - 2.5 * jy / radius, vt * s + vn * c, theta


def _hop(along, up, slope):
    """Time, distance along the ground and speed along it at the end of a hop, without air (drag takes a few per cent)."""
    fall, pull = GRAVITY * np.cos(slope), -GRAVITY * np.sin(slope)
    time = 2 * up / fall
    return time, along * time + 0.5 * pull * time**2, along + pull * time


def _skid(along, across, spin, side_spin, green: Green, radius):
    """Sliding until it rolls: time, distance along and across, rolling speed along and across.

    Level: ``v_r = (5 v − 2 R ω)/7``, backwards if R ω > 2.5 v; from no spin after 12 v²/(49 μ g).
    """
    pull, press = -GRAVITY * np.sin(green.slope), GRAVITY * np.cos(green.slope)
    slip_x, slip_y = along + radius * spin, across + radius * side_spin
    slip = np.sqrt(slip_x**2 + slip_y**2)
    grip = np.maximum(green.friction, LEAST_SLIDING_FRICTION) * press
    # the slope helps or hinders the slip's end; never so much that there is none
    time = slip / np.maximum(3.5 * grip - pull * slip_x / (slip + _TIP), grip)
    rolling_x = (5 * along - 2 * radius * spin + 5 * pull * time) / 7
    rolling_y = (5 * across - 2 * radius * side_spin) / 7
    return time, 0.5 * (along + rolling_x) * time, 0.5 * (across + rolling_y) * time, rolling_x, rolling_y


def _brake(speed, slowing):
    """Time and distance to stop; cut off at `LONGEST_ROLL`, where the third answer is False."""
    with np.errstate(divide="ignore", invalid="ignore"):
        distance = np.where(speed > 0, np.where(slowing > 0, speed**2 / (2 * slowing), np.inf), 0.0)
    stops = distance <= LONGEST_ROLL
    distance = np.minimum(distance, LONGEST_ROLL)
    # time = 2 d/(v + v_end) holds for any constant slowing
    end = np.sqrt(np.maximum(speed**2 - 2 * slowing * distance, 0.0))
    return np.where(speed > 0, 2 * distance / (speed + end + _TIP), 0.0), distance, stops


def _roll(along, across, green: Green):
    """Rolling: time, distance along and across, and does it stop: ``a = (5/7) g (ρ_g cos β ± sin β)``.

    Straight on to a stop; where the ground is steeper than ρ_g it then rolls back down and does not stop.  That a slope
    bends the way of a ball that rolls across it is left out.
    """
    hold = 5 / 7 * GRAVITY * rolling_resistance(green.speed) * np.cos(green.slope)
    pull = 5 / 7 * GRAVITY * np.sin(green.slope) + 0.0 * along
    speed = np.sqrt(along**2 + across**2)
    cx, cy = along / (speed + _TIP), across / (speed + _TIP)
    time, distance, stops = _brake(speed, hold + pull * cx)
    runs_away = np.abs(pull) > hold
    back = np.where(runs_away & stops, LONGEST_ROLL, 0.0)
    time = time + np.sqrt(2 * back / np.where(runs_away, np.abs(pull) - hold, 1.0))
    furthest = distance * cx
    return time, furthest - np.sign(pull) * back, distance * cy, furthest, stops & ~runs_away


# -- the whole landing ------------------------------------------------------------------------------------------------


def _bounces(state, green: Green, radius, options):
    """All bounces → the state on the ground, time, place, what the first one did, and the hops for drawing."""
    along, across, down, spin, side_spin = state
    x = y = time = np.zeros_like(along)
    count = np.zeros(along.shape, dtype=int)
    furthest, first, first_spin, hops = x, x, spin, []
    falling = down > 0
    for i in range(MOST_BOUNCES):
        moving = {"along": along, "across": across, "down": down, "spin": spin, "side_spin": side_spin}
        after = bounce(**moving, green=green, radius=radius, **options)
        along, across, spin, side_spin = (
            np.where(falling, new, old) for new, old in zip(after, (along, across, spin, side_spin))
        )
        up = np.where(falling, np.maximum(after[4], 0.0), 0.0)
        falling = up >= LAST_REBOUND
        up = np.where(falling, up, 0.0)
        seconds, metres, speed = _hop(along, up, green.slope)
        hops.append((time, x, along, up, seconds))
        time, x, y, along, down = time + seconds, x + metres, y + across * seconds, speed, up
        furthest = np.maximum(furthest, x)
        count = count + falling
        if i == 0:
            first, first_spin = x, spin
        if not falling.any():
            break
    return (along, across, spin, side_spin), time, x, y, count, furthest, first, first_spin, hops


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
    Hops are flown without air.  There are at most 20; a ball is then rolling for every purpose.
    """
    green = Green() if green is None else green
    shape = np.broadcast_shapes(path.shape, green.shape)
    radius = BALL_RADIUS if ball is None else ball.radius

    def per_shot(value):
        return np.broadcast_to(np.asarray(value, dtype=float), shape)

    ahead = path.landing_speed * np.cos(path.descent_angle)
    falling = path.landing_speed * np.sin(path.descent_angle)
    cos, sin = np.cos(green.slope), np.sin(green.slope)
    state = [per_shot(v) for v in (ahead * cos - falling * sin, 0.0, falling * cos + ahead * sin,
                                   path.landing_backspin, path.landing_side_spin)]  # fmt: skip
    options = {"resting_tilt": resting_tilt, "grip_restitution": grip_restitution}
    ground, time, x, y, count, furthest, first, first_spin, hops = _bounces(state, green, radius, options)
    slide_time, slide_x, slide_y, rolling_x, rolling_y = _skid(*ground, green, radius)
    roll_time, roll_x, roll_y, roll_far, stops = _roll(rolling_x, rolling_y, green)
    # on the way the slide can turn back: its own furthest point lies where its speed passes through nothing
    turn = np.where(ground[0] * rolling_x < 0, slide_x * ground[0] ** 2 / (ground[0] ** 2 - rolling_x**2 + _TIP), slide_x)
    reach = np.maximum.reduce([furthest, x + turn, x + slide_x, x + slide_x + np.maximum(roll_far, roll_x)])
    drawn = {}
    if trace:
        hops = [tuple(per_shot(part) for part in hop) for hop in hops]
        slide, roll = (time, x, ground[0], rolling_x, slide_time), (roll_time, rolling_x, roll_far, roll_x)
        drawn = _trace(hops, slide, roll, green.slope, trace)

    def shaped(value):
        value = np.broadcast_to(value, shape)
        return value.item() if value.ndim == 0 else np.array(value)

    return Rest(
        run_out=shaped(x + slide_x + roll_x),
        run_side=shaped(y + slide_y + roll_y),
        first_bounce=shaped(first),
        spin_after_first=shaped(first_spin),
        bounces=shaped(count),
        time=shaped(time + slide_time + roll_time),
        furthest=shaped(reach),
        stops=shaped(stops),
        **drawn,
    )


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
