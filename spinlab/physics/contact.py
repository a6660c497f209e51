"""The contact of face and ball, resolved in time: one engine for dry and wet, one shot or ten thousand.

**The idea.**  Along the face, friction can only hand over a share q of what the normal force hands over across it:
``dJ_t = q dJ_n``.  So the steps are taken over shares of the *normal impulse* and not over time.  Then a ball that slides
throughout leaves at exactly atan μ below the normal, whatever the step, and smooth steps do what many more equal time steps
would.

1. Across the face: a Hertz spring with loss, known without stepping (`spinlab.physics.normal`).
2. Between: the film thins (`spinlab.physics.film.film_history`) and leaves a share of the load on solid contact.
3. Along the face: a spring held by friction (Mindlin's stiffness, stiffer on the way back), let go at μN (`along_the_face`).
   Tangential restitution is a result.

Constant restitution numbers cannot fully describe a golf ball at a barrier (Johnson & Lieberman 1994), and neither does
this: it leaves out interlock of groove edges, the cover bulging into grooves (but for `void`), dewetting, cavitation and
strikes off the head's centre.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from ..records import Assumptions, Ball, Between, Delivery, Face, Launch
from . import film as _film
from .along import along_the_face
from .normal import (
    GIVEN,
    STEPS,
    hertz_stiffness,
    loss_number,
    normal_motion,
    normal_restitution,
)

__all__ = ["STEPS", "Contact", "History", "along_the_face", "friction_law", "hertz_stiffness", "loss_number",
           "normal_motion", "normal_restitution", "strike"]

_TINY = 1e-100  # keeps the first and last instant, where nothing pushes, out of divisions by nought


@dataclass(frozen=True)
class History:
    """The contact step by step, arrays [steps, *shots]: `time` [s], `compression` [m], `contact_radius` [m], `normal_force`
    and `friction_force` [N] (positive down the face, on the ball), `slip` [m/s] (ball's surface up the face), `film` [m],
    `friction_limit` (the most that friction could be, as a coefficient), `spin_rate` [rad/s], `solid_share` of the load."""

    time: np.ndarray
    compression: np.ndarray
    contact_radius: np.ndarray
    normal_force: np.ndarray
    friction_force: np.ndarray
    slip: np.ndarray
    film: np.ndarray
    friction_limit: np.ndarray
    solid_share: np.ndarray
    spin_rate: np.ndarray


@dataclass(frozen=True)
class Contact:
    """What a contact was like, per shot: `time` [s], `peak_force` [N], `compression` [m] and `contact_radius` [m] at their
    largest, `film_left` [m], `effective_friction` J_t/J_n, `grip_share` (share of the impulse given without sliding),
    `tangential_restitution` (−1 would be no friction at all, 0 rolling at the end), `head_speed_after` [m/s]."""

    time: float | np.ndarray
    peak_force: float | np.ndarray
    compression: float | np.ndarray
    contact_radius: float | np.ndarray
    film_left: float | np.ndarray
    effective_friction: float | np.ndarray
    grip_share: float | np.ndarray
    tangential_restitution: float | np.ndarray
    normal_restitution: float | np.ndarray
    head_speed_after: float | np.ndarray
    history: History | None = field(default=None, repr=False)


# -- along the face ---------------------------------------------------------------------------------------------------


def friction_law(film, pressure, *, speed_scale, face: Face, ball: Ball, between: Between, assume: Assumptions):
    """What friction could be at each node: ``solid × μ_dry(slip) + rest + min(shear × slip, film_cap)``.

    Solid contact carries f(λ) of the load; a film carries the other part with its own small shear; soil and grass cover a
    share of the lands and have a friction of their own.
    """
    clear = (1 - np.asarray(between.soil_on_lands)) * (1 - np.asarray(between.grass))
    share = _film.solid_share(film, face.roughness, assume.load_decay) if film is not None else 1.0
    solid = clear * share * _film.boundary_factor(between.water, assume.wet_factor)
    rest = (1 - clear) * np.asarray(assume.solid_friction)
    if film is None:
        return solid, rest, None, None, share
    carried = clear * (1 - share)
    shear = carried * _film.water_viscosity(between.temperature) * speed_scale / (film * pressure + _TINY)
    return solid, rest, shear, carried * np.asarray(assume.film_friction), share


def _contact(motion, film, law, along, closing, e, spin_loft, arriving, face, ball, impulses) -> Contact:
    """Say what the contact was like, from the stepped arrays."""
    slip, _, gripped, kept = along
    across, down = impulses
    shape = np.shape(down)
    x = motion.largest * motion.length
    speed = arriving.head_speed
    left = np.hypot(speed * np.cos(spin_loft) - across / face.head_mass, speed * np.sin(spin_loft) - down / face.head_mass)
    start = np.tan(spin_loft)
    returned = np.where(start > 1e-9, -slip / np.maximum(start, 1e-9), 0.0)
    told = {
        "time": motion.step.sum(0) * motion.seconds, "peak_force": np.max(motion.force, axis=0) * motion.newtons,
        "compression": x, "contact_radius": np.sqrt(ball.radius * x), "film_left": 0.0 if film is None else film[-1],
        "effective_friction": down / across, "grip_share": gripped, "tangential_restitution": returned,
        "normal_restitution": e, "head_speed_after": left,
    }
    told = {name: np.broadcast_to(value, shape) if shape else float(value) for name, value in told.items()}
    steps = _history(motion, film, law, kept, closing, e, arriving, face, ball, shape) if kept else None
    return Contact(**told, history=steps)


def _couplings(arriving, face, ball):
    """How much slip an impulse along the face, and one across it that passes off the ball's centre, take away."""
    mass_ratio = ball.mass / np.asarray(face.head_mass)
    return ((1 + 1 / ball.inertia_factor + mass_ratio) / (1 + mass_ratio),
            arriving.normal_offset / (ball.inertia_factor * ball.radius * (1 + mass_ratio)))


def _history(motion, film, law, kept, closing, e, arriving, face, ball, shape) -> History:
    """The kept steps with their units put back."""
    slip, q, most = (np.stack(np.broadcast_arrays(*column)) for column in zip(*kept))
    full = (STEPS + 1, *shape)
    force = motion.force * motion.newtons
    x = motion.x * motion.length
    step = motion.step * motion.seconds
    time = np.concatenate([np.zeros_like(step[:1]), np.cumsum(step, axis=0)])
    impulse = np.multiply.outer(GIVEN, motion.impulse)
    # what slip has lost is what the impulses have given
    inertia, turning = _couplings(arriving, face, ball)
    down = (motion.impulse * (slip[0] - slip) / (1 + e) - turning * impulse) / inertia
    spin = (down * ball.radius + impulse * arriving.normal_offset) / ball.inertia
    told = {
        "time": time, "compression": x, "contact_radius": np.sqrt(ball.radius * x), "normal_force": force,
        "friction_force": q * force, "slip": slip * closing, "film": np.zeros(full) if film is None else film,
        "friction_limit": most, "solid_share": law[-1], "spin_rate": spin,
    }
    return History(**{name: np.broadcast_to(value, full) for name, value in told.items()})


def strike(arriving: Delivery, face: Face, ball: Ball, between: Between | None = None, *,
           assume: Assumptions | None = None, history: bool = False) -> Launch:
    """The ball's launch from how the club arrives: contact of face and ball, dry or wet, resolved in time.

    Parameters
    ----------
    arriving, face, ball, between
        The records of the chain; fields may be arrays that broadcast, so that a thousand shots are one call.  `between`
        left out is a clean, dry face and ball.
    assume
        Numbers of the model that no golf measurement fixes (see `Assumptions`).
    history
        Keep the contact step by step in ``launch.contact.history``.

    Returns
    -------
    Launch
        Ball speed [m/s], launch angle [rad], backspin [rad/s]; ``launch.contact`` says what the contact was like.

    Notes
    -----
    Validity: balls that meet a wedge's face near its middle at 1 – 50 m/s.  Sources and doubts stand with each equation of
    this module and of `spinlab.physics.film`.
    """
    between, assume = between or Between(), assume or Assumptions()
    spin_loft = np.asarray(arriving.spin_loft)
    mass_ratio = ball.mass / np.asarray(face.head_mass)
    reduced = ball.mass / (1 + mass_ratio)
    shape = np.broadcast_shapes(*(record.shape for record in (arriving, face, ball, between, assume)))
    closing = np.asarray(arriving.head_speed * np.cos(spin_loft))
    closing = closing.reshape((1,) * (len(shape) - closing.ndim) + closing.shape)  # the steps lie in front of all other axes
    e = normal_restitution(closing, ball)
    motion = normal_motion(speed=closing, restitution=e, mass=reduced, stiffness=hertz_stiffness(ball))
    wet = np.any(np.asarray(between.water) > 0)
    film, pressure = _film.film_history(motion, face=face, ball=ball, between=between, assume=assume,
                                   shape=shape) if wet else (None, None)
    law = friction_law(film, pressure, speed_scale=closing, face=face, ball=ball, between=between, assume=assume)
    across = motion.impulse
    inertia, turning = _couplings(arriving, face, ball)
    along = along_the_face(motion, law, slip=np.tan(spin_loft), inertia=inertia, turning=turning, closing_speed=closing,
                           restitution=e, ball=ball, assume=assume, shape=shape, keep=history)
    down = across * along[1] + np.zeros(shape)
    contact = _contact(motion, film, law, along, closing, e, spin_loft, arriving, face, ball, (across, down))
    return Launch(ball_speed=np.hypot(across, down) / ball.mass,
                  launch_angle=arriving.dynamic_loft - np.arctan2(down, across),
                  spin_rate=(down * ball.radius + across * arriving.normal_offset) / ball.inertia, contact=contact)

