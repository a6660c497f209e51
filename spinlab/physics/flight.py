"""From launch to landing: `fly`.

A few steps of fourth order aimed at the landing (`steps`), and a quintic for its instant.  One shot is flown in Python's own
numbers, many as arrays, by the same lines.  Against an adaptive integrator at 1e-10 the error stays under 0.1 % (see the
tests).
"""

from __future__ import annotations

import numpy as np

from ..records import Air, Launch, Path, check_option
from ..units import GRAVITY
from . import air as _air
from . import steps
from .coefficients import pitch_coefficients, with_reverse_lift
from .onemany import tools, tools_of

SPIN_DECAY = 2.0e-5
"""Loss of spin, ``dω/dt = −c U ω/R``.  Linear in spin at every Re (Nathan 2008, seen); size: Dewhurst 2015 (seen)."""

BALL_MASS, BALL_RADIUS = 0.04593, 0.021335

STEPS, MARGIN = 4, 1.03
"""A flight is planned as this many steps or more; the last is this much longer than the landing is guessed to be away."""
STIFFEST, LONGEST_STEP = 0.15, 0.6
"""A step is no longer than this over the rate at which the air changes the velocity, nor than this [s]."""
_MOST_STEPS, _CHUNK = 400, 2000
_STILL = 1e-18
"""Square of a speed [m²/s²] added inside a root, so that a ball at rest has a spin parameter too."""
_STANDARD_AIR = Air()


# -- the equation -----------------------------------------------------------------------------------------------------


def spin_axis(*, launch_angle, direction, spin_tilt):
    """Unit vector n, three parts, such that lift is along ``n × u`` in (x along the line, y right, z up).

    Square to the launch; with no tilt it lies level, and lift points up.
    """
    t = tools_of(launch_angle, direction, spin_tilt)
    sa, cd, sd, ct, st = t.sin(launch_angle), t.cos(direction), t.sin(direction), t.cos(spin_tilt), t.sin(spin_tilt)
    ca = t.cos(launch_angle)
    return t.joined([ct * sd - st * sa * cd, -ct * cd - st * sa * sd, st * ca])


class _Equation:
    """``dv/dt = −k C_D U u + k C_L U (n × u) − g``, ``dω/dt = −c U ω/R``, u = v − wind, k = ρ A/(2 m).

    Called with the height and the motion (velocity along x, y, z and spin), it gives the rate of motion.  The spin goes in
    without its sign, which `turning` keeps.
    """

    def __init__(self, axis, turning, given, coefficients, t):
        temperature, radius = given["temperature"], given["radius"]
        density = _air.air_density(temperature=temperature, pressure=given["pressure"], humidity=given["humidity"])
        pull = density * np.pi * radius**2 / (2 * given["mass"])
        per_reynolds = 2 * radius * density / _air.air_viscosity(temperature)
        drag_pull, lift_pull = -pull * given["drag_scale"], pull * given["lift_scale"] * turning
        constants = (drag_pull, lift_pull, per_reynolds, radius, -SPIN_DECAY / radius, *axis)
        # one shot's constants as Python's own numbers, or every sum after them would be slow
        self.constants = tuple(c if np.ndim(c) else float(c) for c in constants)
        self.coefficients, self.sqrt, self.joined = coefficients, t.sqrt, t.joined
        wind, crosswind = given["wind"], given["crosswind"]
        self.wind = (wind, crosswind) if t.some(wind) or t.some(crosswind) else None

    def __call__(self, height, motion):
        drag_pull, lift_pull, per_reynolds, radius, fade, nx, ny, nz = self.constants
        x, y, z, spin = motion
        if self.wind:
            profile = _air.wind_profile(height)
            x, y = x - self.wind[0] * profile, y - self.wind[1] * profile
        speed = self.sqrt(x * x + y * y + z * z + _STILL)
        drag, lift = self.coefficients(radius * spin / speed, per_reynolds * speed)
        drag, lift = drag_pull * speed * drag, lift_pull * speed * lift
        return self.joined((
            drag * x + lift * (ny * z - nz * y),
            drag * y + lift * (nz * x - nx * z),
            drag * z + lift * (nx * y - ny * x) - GRAVITY,
            fade * speed * spin,
        ))  # fmt: skip


# -- steps and landing ------------------------------------------------------------------------------------------------

# a node of a flight is (time, x, y, z, their velocities, spin, their accelerations)
_TIME, _PLACE, _VELOCITY, _SPIN, _ACCELERATION = 0, slice(1, 4), slice(4, 7), 7, slice(8, 11)
_HEIGHT, _CLIMB = 3, 6


def _step_size(height, motion, rate, wind, left, t):
    """Seconds of the next step: its part of the time to landing, `left` being the steps planned, unless that is too long."""
    x, y, up, _ = motion
    # the air slows the way up and holds the way down: until the top the mean of the two falls is near the truth
    fall = t.most(-rate[2], 0.0)
    fall = t.pick(up > 0, t.sqrt(fall * GRAVITY), fall)
    down = t.sqrt(up * up + 2 * fall * t.most(height, 0.0))
    # the root of a parabola, written so that no two near equals are subtracted
    guess = t.pick(up < 0, 2 * height / t.most(down - up, 1e-300), (up + down) / t.most(fall, 1e-9))
    guess = t.pick((fall > 0) | (up < 0), guess * (1 / left if left > 1 else MARGIN) + 1e-9, LONGEST_STEP)
    pull = t.sqrt(rate[0] * rate[0] + rate[1] * rate[1] + (rate[2] + GRAVITY) ** 2)
    stiff = STIFFEST * (t.sqrt(x * x + y * y + up * up) + wind) / t.most(pull, 1e-9) + 1e-9
    return t.least(t.least(guess, stiff), LONGEST_STEP)


def _fly_steps(equation, motion, wind, t):
    """Nodes from the launch until every shot is down, two or more: a list for one shot, an array [nodes, parts, shots] for
    many."""
    clock = zero = 0.0 * wind
    place, rate = t.joined((zero, zero, zero)), equation(zero, motion)
    flying = (motion[2] > 0) | ((motion[2] == 0) & (rate[2] > 0))
    nodes = [(clock, place, motion, rate)]
    while t.some(flying):
        if len(nodes) > _MOST_STEPS:
            raise ValueError(
                f"{np.count_nonzero(flying)} shots were still in the air after {np.max(clock):.0f} s; "
                "lower lift_scale, the wind or the spin"
            )
        size = t.pick(flying, _step_size(place[2], motion, rate, wind, STEPS + 1 - len(nodes), t), 0.0)
        place, motion = steps.step(equation, place, motion, rate, size)
        clock, rate = clock + size, equation(place[2], motion)
        nodes.append((clock, place, motion, rate))
        flying = flying & (place[2] > 0)
    nodes = nodes if len(nodes) > 1 else nodes * 2
    if isinstance(motion, np.ndarray):
        clock, place, motion, rate = (np.array(part) for part in zip(*nodes))
        return np.concatenate((clock[:, None], place, motion, rate[:, :3]), axis=1)
    return [(clock, *place, *motion, *rate[:3]) for clock, place, motion, rate in nodes]


def _first(nodes, part):
    """The nodes before and after a part first stops being positive."""
    if not isinstance(nodes, np.ndarray):
        after = next((i for i, node in enumerate(nodes[1:], 1) if node[part] <= 0), 1)
        return nodes[after - 1], nodes[after]
    _, parts, shots = nodes.shape
    before, every, shot = np.argmax(nodes[1:, part] <= 0, axis=0), np.arange(parts)[:, None], np.arange(shots)
    return nodes[before, every, shot], nodes[before + 1, every, shot]


def _ends(before, after):
    """Place, velocity and acceleration at two nodes, as `steps.quintic` asks for them."""
    return [node[part] for node in (before, after) for part in (_PLACE, _VELOCITY, _ACCELERATION)]


def _landing(nodes, t):
    """Time, place, velocity [three parts each] and spin at the instant of landing, and the height of the top."""
    before, after = _first(nodes, _CLIMB)
    summit = steps.quintic(*(end[2] for end in _ends(before, after)), after[_TIME] - before[_TIME])
    climb, sink = before[_CLIMB], after[_CLIMB]
    top = steps.root(steps.derivative(summit), t.least(t.most(climb / t.most(climb - sink, 1e-300), 0.0), 1.0), t)
    before, after = _first(nodes, _HEIGHT)
    size = after[_TIME] - before[_TIME]
    curve = t.each(lambda *ends: steps.quintic(*ends, size), *_ends(before, after))
    share = steps.root([c[2] for c in curve], 1.0 + 0.0 * size, t)
    moving, per_second = size > 0, 1 / t.most(size, 1e-300)

    def there(still, *c):
        return steps.value(c, share), t.pick(moving, steps.value(steps.derivative(c), share) * per_second, still)

    place, velocity = t.each(there, before[_VELOCITY], *curve)
    # spin falls by a nearly constant share per second, so its logarithm is close to straight between two nodes
    spin = before[_SPIN] * (after[_SPIN] / t.most(before[_SPIN], 1e-300)) ** share
    return before[_TIME] + share * size, place, velocity, spin, t.most(steps.value(summit, top), 0.0)


def _drawn(nodes, until, points, count):
    """Time, x, y, z [points, shots], or [points] of one, at evenly spaced times until landing."""
    nodes = np.reshape(nodes, (len(nodes), 11, -1))
    time = np.linspace(0, 1, points)[:, None] * until
    node = np.clip((nodes[:, _TIME, None] <= time).sum(axis=0) - 1, 0, len(nodes) - 2)
    shot = np.arange(nodes.shape[2])
    before, after = (np.moveaxis(nodes[i, :, shot], -1, 0) for i in (node, node + 1))
    size = after[_TIME] - before[_TIME]
    share = np.where(size > 0, (time - before[_TIME]) / np.where(size > 0, size, 1.0), 0.0)
    x, y, z = steps.value(steps.quintic(*_ends(before, after), size), share)
    z[-1:] = 0.0
    return [part if count is not None else part[:, 0] for part in (time, x, y, z)]


def fly(launch: Launch, air: Air | None = None, *, ball=None, coefficients=pitch_coefficients, drag_scale=1.0,
        lift_scale=1.0, reverse_lift=False, points=0) -> Path:
    """Fly one shot, or thousands in one call, from level ground to level ground.

    ``dv/dt = −k C_D U u + k C_L U (n × u) − g`` with u the velocity through the air, k = ρ A/(2 m), n the spin axis, fixed
    in space; spin fades as ``dω/dt = −2.0e-5 U ω/R``.

    Parameters
    ----------
    launch, air
        records; arrays broadcast against each other.  The wind follows `air.wind_profile`.
    ball
        a `Ball` for its mass and radius; without one, 45.93 g and 42.67 mm.
    coefficients
        function (spin parameter, Reynolds number) → (C_D, C_L), element by element.
    drag_scale, lift_scale
        factors on C_D and C_L, arrays allowed: draw them within ±12 % and ±15 % for a band.
    reverse_lift
        lift turns negative at low spin, as some balls do near Re 6e4 (`with_reverse_lift`).
    points
        how many points of the path to keep for drawing; 0 keeps none.

    Returns
    -------
    Path
        A launch that points down, or level without the lift to rise, is on the ground at once: carry and time are 0.

    Notes
    -----
    Coefficients below 24 m/s are our judgement.  Landing angles of full shots come out about 5° shallow.  Sources and
    doubts stand in `spinlab.physics.coefficients`.
    """
    air = _STANDARD_AIR if air is None else air
    drag_scale, lift_scale = check_option("drag_scale", drag_scale), check_option("lift_scale", lift_scale)
    given = {"drag_scale": drag_scale, "lift_scale": lift_scale}
    given |= {name: getattr(launch, name) for name in ("ball_speed", "launch_angle", "spin_rate", "direction", "spin_tilt")}
    given |= {name: getattr(air, name) for name in ("temperature", "pressure", "humidity", "wind", "crosswind")}
    given |= {"mass": BALL_MASS, "radius": BALL_RADIUS} if ball is None else {"mass": ball.mass, "radius": ball.radius}
    if coefficients is pitch_coefficients and not reverse_lift and all(type(value) is float for value in given.values()):
        return Path(**_flown(given, None, coefficients, points))
    parts = (launch, air) if ball is None else (launch, air, ball)
    shape = np.broadcast_shapes(*(part.shape for part in parts), np.shape(drag_scale), np.shape(lift_scale))
    given = {name: np.broadcast_to(value, shape).ravel() if np.ndim(value) else value for name, value in given.items()}
    coefficients = with_reverse_lift(coefficients) if reverse_lift else coefficients
    count = int(np.prod(shape))
    # some at a time: memory stays small, whatever the number of shots
    parts = [
        _flown({k: v[i : i + _CHUNK] if np.ndim(v) else v for k, v in given.items()}, min(_CHUNK, count - i),
               coefficients, points)
        for i in range(0, max(count, 1), _CHUNK)
    ]  # fmt: skip
    found = {name: np.concatenate([part[name] for part in parts], axis=-1) for name in parts[0]}
    found = {name: value.reshape(value.shape[:-1] + shape) for name, value in found.items()}
    return Path(**{name: value if value.ndim else float(value) for name, value in found.items()})


def _flown(given, count, coefficients, points):
    """Fly a row of shots, or one (count None): every field of a `Path`."""
    t = tools(count is not None)
    launched = [given[name] for name in ("ball_speed", "launch_angle", "spin_rate", "direction", "spin_tilt")]
    if count is not None:
        launched = [np.broadcast_to(value, count) for value in launched]
    speed, angle, spin, direction, tilt = launched
    axis = spin_axis(launch_angle=angle, direction=direction, spin_tilt=tilt)
    level, turning = speed * t.cos(angle), t.sign(spin)
    motion = t.joined((level * t.cos(direction), level * t.sin(direction), speed * t.sin(angle), abs(spin)))
    wind, crosswind = given["wind"], given["crosswind"]
    gust = tools_of(wind, crosswind).sqrt(wind * wind + crosswind * crosswind) + 0.0 * speed
    nodes = _fly_steps(_Equation(axis, turning, given, coefficients, t), motion, gust, t)
    time, place, velocity, spin, apex = _landing(nodes, t)
    along, heading = t.sqrt(velocity[0] * velocity[0] + velocity[1] * velocity[1]), t.atan2(velocity[1], velocity[0])
    ahead, right, spin = t.cos(heading), t.sin(heading), turning * spin
    drawn = zip(("time", "x", "y", "z"), _drawn(nodes, time, points, count)) if points else ()
    return {
        "carry": place[0], "side": place[1], "apex": apex, "flight_time": time,
        "descent_angle": t.atan2(-velocity[2], along), "landing_speed": t.sqrt(along * along + velocity[2] * velocity[2]),
        "landing_spin": spin, "landing_direction": heading,
        "spin_tilt": t.atan2(axis[2], axis[0] * right - axis[1] * ahead),
        "landing_side_spin": spin * (axis[0] * ahead + axis[1] * right),
    } | dict(drawn)  # fmt: skip
