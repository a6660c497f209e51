"""From launch to landing: `fly`.

A few high-order steps of fixed size per shot, all shots at once, and a quintic through the last step for the landing.
Against an adaptive integrator at 1e-10 the error stays under 0.1 % (see the tests).
"""

from __future__ import annotations

import numpy as np

from ..records import Air, Launch, Path
from ..units import GRAVITY
from . import air as _air
from . import steps
from .coefficients import pitch_coefficients, with_reverse_lift

SPIN_DECAY = 2.0e-5
"""Loss of spin, ``dω/dt = −c U ω/R``.  Linear in spin at every Re (Nathan 2008); its size from Dewhurst 2015."""

BALL_MASS, BALL_RADIUS = 0.04593, 0.021335

STEPS = 5
"""Steps over the flight time guessed at launch, at least."""
LONGEST_STEP, QUICK = 0.9, 40.0
"""Steps are no longer than this [s] for a slow ball, half as long at the second number [m/s]."""
_MOST_STEPS = 400
_STILL = 1e-9
"""Speed [m/s] added inside a square root, so that a ball at rest has a spin parameter too."""


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

    State and rate are arrays [7, shots]: position, velocity, spin.
    """

    def __init__(self, axis, air: Air, *, ball, coefficients, drag_scale, lift_scale):
        radius, mass = (ball.radius, ball.mass) if ball is not None else (BALL_RADIUS, BALL_MASS)
        density = _air.air_density(temperature=air.temperature, pressure=air.pressure, humidity=air.humidity)
        pull = density * np.pi * radius**2 / (2 * mass)
        self.drag, self.lift = -pull * drag_scale, pull * lift_scale
        self.radius = radius
        self.per_reynolds = 2 * radius * density / _air.air_viscosity(air.temperature)
        self.fade = -SPIN_DECAY / radius
        self.coefficients = coefficients
        nx, ny, nz = axis
        zero = np.zeros_like(nx)
        self.cross = np.array([[zero, -nz, ny], [nz, zero, -nx], [-ny, nx, zero]])
        self.calm = not (np.any(air.wind) or np.any(air.crosswind))
        self.wind = None if self.calm else np.broadcast_arrays(air.wind + zero, air.crosswind + zero)

    def __call__(self, state):
        rate = np.empty_like(state)
        velocity, spin = state[3:6], state[6]
        through = velocity
        if not self.calm:
            through = velocity.copy()
            through[:2] -= self.wind * _air.wind_profile(state[2])
        speed = np.sqrt(np.einsum("ij,ij->j", through, through) + _STILL**2)
        turning = np.abs(spin)
        drag, lift = self.coefficients(self.radius * turning / speed, self.per_reynolds * speed)
        rate[:3] = velocity
        np.multiply(self.drag * drag * speed, through, out=rate[3:6])
        rate[3:6] += (self.lift * lift * speed * np.sign(spin)) * np.einsum("ijk,jk->ik", self.cross, through)
        rate[5] -= GRAVITY
        rate[6] = self.fade * speed * spin
        return rate


# -- steps and landing ------------------------------------------------------------------------------------------------


def _step_size(state, rate):
    """Seconds per step [shots]: a share of the flight time that the launch's own upward acceleration promises."""
    up, fall = state[5], -rate[5]
    with np.errstate(divide="ignore", invalid="ignore"):
        guess = np.where(fall > 0, 2 * up / fall, np.inf)
    speed = np.sqrt(np.einsum("ij,ij->j", state[3:6], state[3:6]))
    return np.minimum(guess / STEPS, LONGEST_STEP / (1 + speed / QUICK))


def _fly_steps(equation, state):
    """States and rates [steps + 1, 7, shots] until every shot is down, the step's size [shots], and who never left."""
    rate = equation(state)
    grounded = (state[5] < 0) | ((state[5] == 0) & (rate[5] <= 0))
    size = np.where(grounded, 0.0, _step_size(state, rate))
    states, rates = [state], [rate]
    flying = ~grounded
    while flying.any():
        if len(states) > _MOST_STEPS:
            raise ValueError(
                f"{int(flying.sum())} shots were still in the air after {float(np.max(size * _MOST_STEPS)):.0f} s; "
                "lower lift_scale, the wind or the spin"
            )
        state, rate = steps.step(equation, state, rate, size)
        states.append(state)
        rates.append(rate)
        flying &= state[2] > 0
    return np.array(states), np.array(rates), size, grounded


def _at(array, step):
    """One step of [steps, 7, shots] for each shot → [7, shots]."""
    return np.take_along_axis(array, step[None, None, :], axis=0)[0]


def _curve(states, rates, size, step):
    """The quintics [6, 3, shots] of x, y, z over the given step of each shot."""
    s0, s1, r0, r1 = _at(states, step), _at(states, step + 1), _at(rates, step), _at(rates, step + 1)
    return steps.quintic(s0[:3], s0[3:6], r0[3:6], s1[:3], s1[3:6], r1[3:6], size), s0, s1


def _first(condition):
    """First step [shots] at which a condition [steps, shots] holds (0 if never)."""
    return np.argmax(condition, axis=0)


def _highest(states, rates, size):
    """Height of the top [shots]."""
    if len(states) == 1:
        return np.zeros(states.shape[2])
    curve, *_ = _curve(states, rates, size, _first(states[1:, 5] <= 0))
    z = curve[:, 2]
    zero = np.zeros_like(size)
    climb = np.array([z[1], 2 * z[2], 3 * z[3], 4 * z[4], 5 * z[5], zero])
    return np.maximum(steps.value(z, steps.root(climb)), 0.0)


def _landing(states, rates, size):
    """Time, place [3], velocity [3] and spin at the instant of landing."""
    if len(states) == 1:
        return np.zeros_like(size), states[0, :3], states[0, 3:6], states[0, 6]
    step = _first(states[1:, 2] <= 0)
    curve, s0, s1 = _curve(states, rates, size, step)
    share = steps.root(curve[:, 2])
    moving = size > 0
    with np.errstate(divide="ignore", invalid="ignore"):
        velocity = np.where(moving, steps.slope(curve, share) / size, s0[3:6])
        # spin falls by a nearly constant share per metre of air, so its logarithm is close to straight over one step
        spin = np.where(moving & (s0[6] != 0), s0[6] * np.abs(s1[6] / s0[6]) ** share, s0[6])
    return np.where(moving, (step + share) * size, 0.0), np.where(moving, steps.value(curve, share), s0[:3]), velocity, spin


def _drawn(states, rates, size, until, points):
    """Time, x, y, z [points, shots] at evenly spaced times until landing."""
    time = np.linspace(0, 1, points)[:, None] * until
    place = np.empty((points, 3, size.size))
    for i, t in enumerate(time):
        with np.errstate(divide="ignore", invalid="ignore"):
            step = np.where(size > 0, np.clip(t // size, 0, max(len(states) - 2, 0)), 0).astype(int)
            share = np.where(size > 0, t / size - step, 0.0)
        place[i] = steps.value(_curve(states, rates, size, step)[0], share) if len(states) > 1 else states[0, :3]
    place[-1, 2] = 0.0
    return time, place[:, 0], place[:, 1], place[:, 2]


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
        function (spin parameter, Reynolds number) → (C_D, C_L).
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
    air = Air() if air is None else air
    drag_scale, lift_scale = np.asarray(drag_scale, dtype=float), np.asarray(lift_scale, dtype=float)
    for name, scale in (("drag_scale", drag_scale), ("lift_scale", lift_scale)):
        if not (np.isfinite(scale).all() and (scale >= 0).all() and (scale <= 3).all()):
            raise ValueError(f"{name} (factor on the coefficient) must lie in 0 … 3, got {scale}; 1 is the model itself")
    parts = (launch, air, drag_scale, lift_scale) + (() if ball is None else (ball,))
    shape = np.broadcast_shapes(*(part.shape for part in parts))

    def flat(value):
        value = np.asarray(value, dtype=float)
        return value if value.ndim == 0 else np.broadcast_to(value, shape).ravel()

    def per_shot(value):
        return np.broadcast_to(value, shape).ravel()

    speed, angle, spin, direction, tilt = map(
        per_shot, (launch.ball_speed, launch.launch_angle, launch.spin_rate, launch.direction, launch.spin_tilt)
    )
    axis = spin_axis(launch_angle=angle, direction=direction, spin_tilt=tilt)
    equation = _Equation(
        axis,
        Air(**{name: flat(getattr(air, name)) for name in ("temperature", "pressure", "humidity", "wind", "crosswind")}),
        ball=None if ball is None else ball.but(mass=flat(ball.mass), radius=flat(ball.radius)),
        coefficients=with_reverse_lift(coefficients) if reverse_lift else coefficients,
        drag_scale=flat(drag_scale), lift_scale=flat(lift_scale),
    )  # fmt: skip
    level = speed * np.cos(angle)
    zero = np.zeros_like(speed)
    start = np.array([zero, zero, zero, level * np.cos(direction), level * np.sin(direction), speed * np.sin(angle), spin])
    states, rates, size, _ = _fly_steps(equation, start)
    time, place, velocity, spin = _landing(states, rates, size)
    drawn = _drawn(states, rates, size, time, points) if points else ()
    return _path(shape, time, place, velocity, spin, axis, _highest(states, rates, size), drawn)


def _path(shape, time, place, velocity, spin, axis, apex, drawn):
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
        **dict(zip(("time", "x", "y", "z"), map(shaped, drawn))),
    )
