"""From launch to landing: `fly`.

A few long steps of high order, all shots at once (`steps`), and a quintic for the instant of landing.  Against an adaptive
integrator at 1e-10 the error stays under 0.1 % (see the tests).
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

MARGIN = 1.2
"""A step is this much longer than the time left in the air is guessed to be, so that most pitches are one step."""
STIFFEST, LONGEST_STEP = 1.0, 4.0
"""A step is no longer than this over the rate at which the air changes the velocity at launch, nor than this [s]."""
CLOSE = 1e-5
"""Change of velocity over launch speed at which the sweeps of a step end."""
_MOST_STEPS, _CHUNK = 200, 500
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

    State and rate are arrays [7, shots] or [7, nodes, shots]: position, velocity, spin.
    """

    def __init__(self, axis, given, coefficients):
        temperature, radius = given["temperature"], given["radius"]
        density = _air.air_density(temperature=temperature, pressure=given["pressure"], humidity=given["humidity"])
        pull = density * np.pi * radius**2 / (2 * given["mass"])
        self.drag, self.lift = -pull * given["drag_scale"], pull * given["lift_scale"]
        self.radius = radius
        self.per_reynolds = 2 * radius * density / _air.air_viscosity(temperature)
        self.fade = -SPIN_DECAY / radius
        self.coefficients = coefficients
        nx, ny, nz = axis
        zero = np.zeros_like(nx)
        self.cross = np.array([[zero, -nz, ny], [nz, zero, -nx], [-ny, nx, zero]])
        self.wind = given["wind"], given["crosswind"]
        self.calm = not (np.any(self.wind[0]) or np.any(self.wind[1]))

    def __call__(self, state):
        rate = np.empty_like(state)
        velocity, spin = state[3:6], state[6]
        through = velocity
        if not self.calm:
            through = velocity.copy()
            profile = _air.wind_profile(state[2])
            through[0] -= self.wind[0] * profile
            through[1] -= self.wind[1] * profile
        speed = np.sqrt(np.einsum("i...,i...->...", through, through) + _STILL**2)
        turning = np.abs(spin)
        drag, lift = self.coefficients(self.radius * turning / speed, self.per_reynolds * speed)
        rate[:3] = velocity
        np.multiply(self.drag * drag * speed, through, out=rate[3:6])
        rate[3:6] += (self.lift * lift * speed * np.sign(spin)) * np.einsum("ijk,j...k->i...k", self.cross, through)
        rate[5] -= GRAVITY
        rate[6] = self.fade * speed * spin
        return rate


# -- steps and landing ------------------------------------------------------------------------------------------------


def _step_size(state, rate, wind):
    """Seconds of a step [shots]: past the landing if the air lets the sweeps end quickly, else a part of the flight."""
    height, up, fall = np.maximum(state[2], 0.0), state[5], -rate[5]
    speed = np.sqrt(np.einsum("ij,ij->j", state[3:6], state[3:6]))
    force = rate[3:6].copy()
    force[2] += GRAVITY
    pull = np.sqrt(np.einsum("ij,ij->j", force, force))
    with np.errstate(divide="ignore", invalid="ignore"):
        # the air slows the way up and holds the way down: the geometric mean of the two is near the truth
        fall = np.sqrt(fall * GRAVITY)
        guess = np.where(fall > 0, MARGIN * (up + np.sqrt(up**2 + 2 * fall * height)) / fall, np.inf)
        stiff = np.where(pull > 0, STIFFEST * (speed + wind) / pull, np.inf)
    return np.minimum(np.minimum(guess, stiff), LONGEST_STEP)


def _fly_steps(equation, state, wind):
    """Times [nodes, shots], states and rates [nodes, 7, shots] until every shot is down."""
    rate = equation(state)
    grounded = (state[5] < 0) | ((state[5] == 0) & (rate[5] <= 0))
    flying, clock = ~grounded, np.zeros_like(wind)
    times, states, rates = [clock[None]], [state[:, None]], [rate[:, None]]
    close = np.full((7, 1, state.shape[1]), np.inf)
    close[3:6] = CLOSE * (np.sqrt(np.einsum("ij,ij->j", state[3:6], state[3:6])) + _STILL)
    while flying.any():
        if len(times) > _MOST_STEPS:
            raise ValueError(
                f"{int(flying.sum())} shots were still in the air after {float(clock.max()):.0f} s; "
                "lower lift_scale, the wind or the spin"
            )
        size = np.where(flying, _step_size(state, rate, wind), 0.0)
        s, r = steps.long_step(equation, state, rate, size, close=close)
        times.append(clock + size * steps.NODES[1:, None])
        states.append(s[:, 1:])
        rates.append(r[:, 1:])
        clock, state, rate = times[-1][-1], s[:, -1], r[:, -1]
        flying = flying & (state[2] > 0)
    return np.concatenate(times), np.concatenate(states, axis=1), np.concatenate(rates, axis=1)


def _curve(flight, node):
    """Quintics [6, 3, shots] of x, y, z after the given node of each shot; start, length [s] and spin at both ends."""
    times, states, rates = flight
    shot = np.arange(times.shape[1])
    t0, t1, s0, s1 = times[node, shot], times[node + 1, shot], states[:, node, shot], states[:, node + 1, shot]
    r0, r1 = rates[3:6, node, shot], rates[3:6, node + 1, shot]
    return steps.quintic(s0[:3], s0[3:6], r0, s1[:3], s1[3:6], r1, t1 - t0), t0, t1 - t0, s0[6], s1[6]


def _landing(flight):
    """Time, place [3], velocity [3], spin at the instant of landing, and the height of the top."""
    times, states, _ = flight
    start = states[:, 0]
    zero = np.zeros_like(times[0])
    if len(times) == 1:
        return zero, start[:3], start[3:6], start[6], zero
    curve, t0, size, spin0, spin1 = _curve(flight, np.argmax(states[2, 1:] <= 0, axis=0))
    summit = _curve(flight, np.argmax(states[5, 1:] <= 0, axis=0))[0][:, 2]
    share, top = steps.root(np.stack([curve[:, 2], steps.derivative(summit)], axis=1))
    moving = size > 0
    with np.errstate(divide="ignore", invalid="ignore"):
        velocity = np.where(moving, steps.value(steps.derivative(curve), share) / size, start[3:6])
        # spin falls by a nearly constant share per second, so its logarithm is close to straight between two nodes
        spin = np.where(moving & (spin0 != 0), spin0 * np.abs(spin1 / spin0) ** share, spin0)
    return t0 + share * size, steps.value(curve, share), velocity, spin, np.maximum(steps.value(summit, top), 0.0)


def _drawn(flight, until, points):
    """Time, x, y, z [points, shots] at evenly spaced times until landing."""
    times, states, _ = flight
    time = np.linspace(0, 1, points)[:, None] * until
    place = np.empty((3, *time.shape))
    for i, now in enumerate(time):
        if len(times) == 1:
            place[:, i] = states[:3, 0]
            continue
        node = np.minimum(np.maximum(np.sum(times <= now, axis=0) - 1, 0), len(times) - 2)
        curve, t0, size, *_ = _curve(flight, node)
        place[:, i] = steps.value(curve, np.where(size > 0, (now - t0) / np.where(size > 0, size, 1.0), 0.0))
    place[2, -1:] = 0.0
    return np.concatenate([time[None], place])


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
    air = Air() if air is None else air
    drag_scale, lift_scale = np.asarray(drag_scale, dtype=float), np.asarray(lift_scale, dtype=float)
    for name, scale in (("drag_scale", drag_scale), ("lift_scale", lift_scale)):
        if not (np.isfinite(scale).all() and (scale >= 0).all() and (scale <= 3).all()):
            raise ValueError(f"{name} (factor on the coefficient) must lie in 0 … 3, got {scale}; 1 is the model itself")
    parts = (launch, air, drag_scale, lift_scale) + (() if ball is None else (ball,))
    shape = np.broadcast_shapes(*(part.shape for part in parts))

    given = {"drag_scale": drag_scale, "lift_scale": lift_scale}
    given |= {name: getattr(launch, name) for name in ("ball_speed", "launch_angle", "spin_rate", "direction", "spin_tilt")}
    given |= {name: getattr(air, name) for name in ("temperature", "pressure", "humidity", "wind", "crosswind")}
    given |= {"mass": BALL_MASS, "radius": BALL_RADIUS} if ball is None else {"mass": ball.mass, "radius": ball.radius}
    given = {name: np.broadcast_to(value, shape).ravel() if np.ndim(value) else value for name, value in given.items()}
    coefficients = with_reverse_lift(coefficients) if reverse_lift else coefficients
    count = int(np.prod(shape))
    if count <= _CHUNK:
        parts = [_fly_flat(given, count, coefficients, points)]
    else:
        # keeps memory small, whatever the number of shots
        parts = [
            _fly_flat({k: v[i : i + _CHUNK] if np.ndim(v) else v for k, v in given.items()}, min(_CHUNK, count - i),
                      coefficients, points)
            for i in range(0, count, _CHUNK)
        ]  # fmt: skip
    return _path(shape, *(np.concatenate(part, axis=-1) if len(part) > 1 else part[0] for part in zip(*parts)))


def _fly_flat(given, count, coefficients, points):
    """Fly a row of shots: place [3], velocity [3], axis [3], time, spin, apex and what is drawn [time x y z, points]."""
    speed, angle, spin, direction, tilt = (
        np.broadcast_to(given[name], count) for name in ("ball_speed", "launch_angle", "spin_rate", "direction", "spin_tilt")
    )
    axis = spin_axis(launch_angle=angle, direction=direction, spin_tilt=tilt)
    level, zero = speed * np.cos(angle), np.zeros(count)
    start = np.array([zero, zero, zero, level * np.cos(direction), level * np.sin(direction), speed * np.sin(angle), spin])
    flight = _fly_steps(_Equation(axis, given, coefficients), start, np.hypot(given["wind"], given["crosswind"]) + zero)
    time, place, velocity, spin, apex = _landing(flight)
    return place, velocity, axis, time, spin, apex, _drawn(flight, time, points)


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
