"""From launch to landing: `fly`.

A few steps of fourth order aimed at the landing (`steps`), and a quintic for its instant.  One shot is flown in Python's own
numbers, many as arrays, by the same lines.  Against an adaptive integrator at 1e-10 the error stays under 0.1 % (see the
tests).
"""

from __future__ import annotations

import numpy as np

from ..records import Air, Launch, Path
from ..units import GRAVITY
from . import air as _air
from . import steps
from .coefficients import pitch_coefficients, with_reverse_lift
from .onemany import tools

SPIN_DECAY = 2.0e-5
"""Loss of spin, ``dω/dt = −c U ω/R``.  Linear in spin at every Re (Nathan 2008); its size from Dewhurst 2015."""

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
    """Unit vector n [3, shots] such that lift is along ``n × u`` in (x along the line, y right, z up).

    Square to the launch; with no tilt it lies level, and lift points up.
    """
    ca, sa, cd, sd = np.cos(launch_angle), np.sin(launch_angle), np.cos(direction), np.sin(direction)
    ct, st = np.cos(spin_tilt), np.sin(spin_tilt)
    return np.array([ct * sd - st * sa * cd, -ct * cd - st * sa * sd, st * ca])


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
        self.coefficients, self.sqrt = coefficients, t.sqrt
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
        return (
            drag * x + lift * (ny * z - nz * y),
            drag * y + lift * (nz * x - nx * z),
            drag * z + lift * (nx * y - ny * x) - GRAVITY,
            fade * speed * spin,
        )


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
    """Nodes from the launch until every shot is down, two or more."""
    zero = 0.0 * wind
    clock, place = zero, (zero, zero, zero)
    rate = equation(zero, motion)
    flying = (motion[2] > 0) | ((motion[2] == 0) & (rate[2] > 0))
    nodes = [(clock, *place, *motion, *rate[:3])]
    while t.some(flying):
        if len(nodes) > _MOST_STEPS:
            raise ValueError(
                f"{np.count_nonzero(flying)} shots were still in the air after {np.max(clock):.0f} s; "
                "lower lift_scale, the wind or the spin"
            )
        size = t.pick(flying, _step_size(place[2], motion, rate, wind, STEPS + 1 - len(nodes), t), 0.0)
        place, motion = steps.step(equation, place, motion, rate, size)
        clock, rate = clock + size, equation(place[2], motion)
        nodes.append((clock, *place, *motion, *rate[:3]))
        flying = flying & (place[2] > 0)
    return nodes if len(nodes) > 1 else nodes * 2


def _first(nodes, part):
    """The nodes before and after a part first stops being positive."""
    if not isinstance(nodes, np.ndarray):
        after = next((i for i, node in enumerate(nodes[1:], 1) if node[part] <= 0), 1)
        return nodes[after - 1], nodes[after]
    before, shot = np.argmax(nodes[1:, part] <= 0, axis=0), np.arange(nodes.shape[2])
    return nodes[before, :, shot].T, nodes[before + 1, :, shot].T


def _curve(before, after):
    """Quintics of x, y and z between two nodes."""
    ends = (node[part] for node in (before, after) for part in (_PLACE, _VELOCITY, _ACCELERATION))
    size = after[_TIME] - before[_TIME]
    return [steps.quintic(*parts, size) for parts in zip(*ends)]


def _landing(nodes, t):
    """Time, place [3], velocity [3], spin at the instant of landing, and the height of the top."""
    before, after = _first(nodes, _CLIMB)
    summit = _curve(before, after)[2]
    climb, sink = before[_CLIMB], after[_CLIMB]
    top = steps.root(steps.derivative(summit), t.least(t.most(climb / t.most(climb - sink, 1e-300), 0.0), 1.0), t)
    before, after = _first(nodes, _HEIGHT)
    curve, size = _curve(before, after), after[_TIME] - before[_TIME]
    share = steps.root(curve[2], 1.0 + 0.0 * size, t)
    place = [steps.value(c, share) for c in curve]
    velocity = [t.pick(size > 0, steps.value(steps.derivative(c), share) / t.most(size, 1e-300), v)
                for c, v in zip(curve, before[_VELOCITY])]  # fmt: skip
    # spin falls by a nearly constant share per second, so its logarithm is close to straight between two nodes
    spin = before[_SPIN] * (after[_SPIN] / t.most(before[_SPIN], 1e-300)) ** share
    return before[_TIME] + share * size, place, velocity, spin, t.most(steps.value(summit, top), 0.0)


def _drawn(nodes, until, points):
    """Time, x, y, z [points, shots] at evenly spaced times until landing."""
    nodes = np.reshape(nodes, (len(nodes), 11, -1))
    time = np.linspace(0, 1, points)[:, None] * until
    node = np.clip((nodes[:, _TIME, None] <= time).sum(axis=0) - 1, 0, len(nodes) - 2)
    shot = np.arange(nodes.shape[2])
    before, after = (np.moveaxis(nodes[i, :, shot], -1, 0) for i in (node, node + 1))
    size = after[_TIME] - before[_TIME]
    share = np.where(size > 0, (time - before[_TIME]) / np.where(size > 0, size, 1.0), 0.0)
    x, y, z = (steps.value(c, share) for c in _curve(before, after))
    z[-1:] = 0.0
    return np.array([time, x, y, z])


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
    for name, scale in (("drag_scale", drag_scale), ("lift_scale", lift_scale)):
        if not (np.min(scale, initial=0.0) >= 0 and np.max(scale, initial=0.0) <= 3):
            raise ValueError(f"{name} (factor on the coefficient) must lie in 0 … 3, got {scale}; 1 is the model itself")
    given = {"drag_scale": drag_scale, "lift_scale": lift_scale}
    given |= {name: getattr(launch, name) for name in ("ball_speed", "launch_angle", "spin_rate", "direction", "spin_tilt")}
    given |= {name: getattr(air, name) for name in ("temperature", "pressure", "humidity", "wind", "crosswind")}
    given |= {"mass": BALL_MASS, "radius": BALL_RADIUS} if ball is None else {"mass": ball.mass, "radius": ball.radius}
    if coefficients is pitch_coefficients and not reverse_lift and all(type(value) is float for value in given.values()):
        return _path((), *_fly_flat(given, None, coefficients, points))
    parts = (launch, air) if ball is None else (launch, air, ball)
    shape = np.broadcast_shapes(*(part.shape for part in parts), np.shape(drag_scale), np.shape(lift_scale))
    given = {name: np.broadcast_to(value, shape).ravel() if np.ndim(value) else value for name, value in given.items()}
    coefficients = with_reverse_lift(coefficients) if reverse_lift else coefficients
    count = int(np.prod(shape))
    # some at a time: memory stays small, whatever the number of shots
    parts = [
        _fly_flat({k: v[i : i + _CHUNK] if np.ndim(v) else v for k, v in given.items()}, min(_CHUNK, count - i),
                  coefficients, points)
        for i in range(0, max(count, 1), _CHUNK)
    ]  # fmt: skip
    return _path(shape, *(np.concatenate(part, axis=-1) for part in zip(*parts)))


def _fly_flat(given, count, coefficients, points):
    """Fly a row of shots, or one (count None): place, velocity, axis [3 each], time, spin, apex and what is drawn."""
    t = tools(count is not None)
    launched = [given[name] for name in ("ball_speed", "launch_angle", "spin_rate", "direction", "spin_tilt")]
    if count is not None:
        launched = [np.broadcast_to(value, count) for value in launched]
    speed, angle, spin, direction, tilt = launched
    axis = spin_axis(launch_angle=angle, direction=direction, spin_tilt=tilt)
    level, turning = speed * np.cos(angle), np.sign(spin)
    motion = level * np.cos(direction), level * np.sin(direction), speed * np.sin(angle), abs(spin)
    wind = np.hypot(given["wind"], given["crosswind"]) + 0.0 * speed
    if count is None:
        axis, motion, wind = axis.tolist(), [float(part) for part in motion], float(wind)
    nodes = _fly_steps(_Equation(axis, turning, given, coefficients, t), motion, wind, t)
    nodes = nodes if count is None else np.array(nodes)
    time, place, velocity, spin, apex = _landing(nodes, t)
    drawn = _drawn(nodes, time, points) if points else np.empty((4, 0, count or 1))
    return *(np.asarray(part) for part in (place, velocity, axis, time, turning * spin, apex)), drawn


def _path(shape, place, velocity, axis, time, spin, apex, drawn):
    """The record of a flight, in the shape of the shots."""
    along = np.hypot(velocity[0], velocity[1])
    heading = np.arctan2(velocity[1], velocity[0])
    ch, sh = np.cos(heading), np.sin(heading)

    def shaped(value):
        value = value.reshape(value.shape[:-1] + shape)
        return float(value) if value.ndim == 0 else value

    return Path(
        carry=shaped(place[0]),
        side=shaped(place[1]),
        apex=shaped(apex),
        flight_time=shaped(time),
        descent_angle=shaped(np.arctan2(-velocity[2], along)),
        landing_speed=shaped(np.sqrt(along**2 + velocity[2] ** 2)),
        landing_spin=shaped(spin),
        landing_direction=shaped(heading),
        spin_tilt=shaped(np.arctan2(axis[2], axis[0] * sh - axis[1] * ch)),
        landing_side_spin=shaped(spin * (axis[0] * ch + axis[1] * sh)),
        **(dict(zip(("time", "x", "y", "z"), map(shaped, drawn))) if drawn.shape[1] else {}),
    )
