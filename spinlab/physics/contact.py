"""The contact of face and ball, resolved in time: one engine for dry and wet, one shot or ten thousand.

**The idea.**  Along the face, friction can only hand over a share q of what the normal force hands over across it:
``dJ_t = q dJ_n``.  So what slides is summed over shares of the *normal impulse* and not over time.  Then a ball that slides
throughout leaves at exactly atan μ below the normal, however few the nodes.

1. Across the face: a Hertz spring with loss, known without stepping (`spinlab.physics.normal`).
2. Between: the film thins (`spinlab.physics.film.film_history`) and leaves a share of the load on solid contact.
3. Along the face: phases of sliding at μN and of holding by a spring (Mindlin's stiffness, stiffer on the way back), each
   solved for all nodes at once (`along_the_face`).  Tangential restitution is a result.

Constant restitution numbers cannot fully describe a golf ball at a barrier (Johnson & Lieberman 1994, seen), and neither
does this: it leaves out interlock of groove edges, the cover bulging into grooves (but for `void`), dewetting, cavitation
and strikes off the head's centre.
"""

from __future__ import annotations

from dataclasses import dataclass, field, fields

import numpy as np

from ..records import Assumptions, Ball, Between, Delivery, Face, Launch, Record
from . import film as _film
from .along import along_the_face
from .instants import GIVEN, STEPS
from .normal import hertz_stiffness, loss_number, normal_motion, normal_restitution

__all__ = ["STEPS", "Contact", "History", "along_the_face", "friction_law", "hertz_stiffness", "loss_number",
           "normal_motion", "normal_restitution", "strike"]

CHUNK = 256  # shots taken together: they fit into the processor's cache; from 284 on, matrix products wait for a second core
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


def friction_law(film, pressure, *, face: Face, ball: Ball, between: Between, assume: Assumptions):
    """What friction could be at each node: ``solid × μ_dry(slip) + rest + min(shear × slip, cap)``, slip in m/s.

    Solid contact carries f(λ) of the load; a film carries the other part with its own small shear; soil and grass cover a
    share of the lands and have a friction of their own.  That the loads simply share is our judgement.
    """
    clear = (1 - np.asarray(between.soil_on_lands)) * (1 - np.asarray(between.grass))
    share = _film.solid_share(film, face.roughness, assume.load_decay) if film is not None else 1.0
    solid = clear * _film.boundary_factor(between.water, assume.wet_factor) * share
    rest = (1 - clear) * np.asarray(assume.solid_friction)
    if film is None:
        return solid, rest, None, None, share
    carried = clear * (1 - share)
    shear = carried * _film.water_viscosity(between.temperature) / (film * pressure + _TINY)
    return solid, rest, shear, carried * np.asarray(assume.film_friction), share


# -- one contact, or a row of them ------------------------------------------------------------------------------------


def _couplings(arriving, face, ball):
    """How much slip an impulse along the face, and one across it that passes off the ball's centre, take away."""
    mass_ratio = ball.mass / face.head_mass
    return ((1 + 1 / ball.inertia_factor + mass_ratio) / (1 + mass_ratio),
            arriving.normal_offset / (ball.inertia_factor * ball.radius * (1 + mass_ratio)))


def _row(arriving, face, ball, between, assume, count, keep):
    """One contact (count None), or a row of `count`: what the launch, its contact and its history are made of, by name."""
    spin_loft, speed = arriving.spin_loft, arriving.head_speed
    closing = speed * np.cos(spin_loft)
    e = normal_restitution(closing, ball)
    motion = normal_motion(speed=closing, restitution=e, mass=ball.mass / (1 + ball.mass / face.head_mass),
                           stiffness=hertz_stiffness(ball))
    film, pressure = _film.film_history(motion, face=face, ball=ball, between=between, assume=assume,
                                        count=count) if np.any(between.water) else (None, None)
    law = friction_law(film, pressure, face=face, ball=ball, between=between, assume=assume)
    (inertia, turning), start = _couplings(arriving, face, ball), np.tan(spin_loft)
    slip, gripped, kept = along_the_face(
        motion, law, slip=start, inertia=inertia, turning=turning, closing_speed=closing, restitution=e, ball=ball,
        assume=assume, count=count, keep=keep)
    across = motion.impulse
    down = across * ((start - slip) / (1 + e) - turning) / inertia
    deepest = motion.each(motion.pulse.largest, motion.length)
    told = {
        "ball_speed": np.hypot(across, down) / ball.mass,
        "launch_angle": arriving.dynamic_loft - np.arctan2(down, across),
        "spin_rate": (down * ball.radius + across * arriving.normal_offset) / ball.inertia,
        "time": motion.each(motion.pulse.step.sum(axis=0), motion.seconds),
        "peak_force": motion.each(motion.pulse.force).max(axis=0) * motion.newtons,
        "compression": deepest, "contact_radius": np.sqrt(ball.radius * deepest),
        "film_left": 0.0 if film is None else film[-1], "effective_friction": down / across, "grip_share": gripped,
        "tangential_restitution": np.where(start > 1e-9, -slip / np.maximum(start, 1e-9), 0.0), "normal_restitution": e,
        "head_speed_after": np.hypot(speed * np.cos(spin_loft) - across / face.head_mass,
                                     speed * np.sin(spin_loft) - down / face.head_mass),
    }
    if count is not None:
        told = {name: value if np.shape(value) == (count,) else np.broadcast_to(value, count)
                for name, value in told.items()}
    return told, _history(motion, film, law, kept, closing, e, arriving, face, ball) if keep else {}


def _history(motion, film, law, kept, closing, e, arriving, face, ball):
    """The kept nodes with their units put back, by name."""
    slip, q, most = kept
    force = motion.each(motion.pulse.force, motion.newtons)
    x = motion.each(motion.pulse.x, motion.length)
    step = motion.each(motion.pulse.step, motion.seconds)
    impulse = GIVEN * motion.impulse
    # what slip has lost is what the impulses have given
    inertia, turning = _couplings(arriving, face, ball)
    down = (motion.impulse * (slip[0] - slip) / (1 + e) - turning * impulse) / inertia
    told = {
        "time": np.concatenate([np.zeros_like(step[:1]), np.cumsum(step, axis=0)]), "compression": x,
        "contact_radius": np.sqrt(ball.radius * x), "normal_force": force,
        "friction_force": q * force, "slip": slip * closing,
        "film": 0.0 if film is None else film, "friction_limit": most,
        "solid_share": law[-1], "spin_rate": (down * ball.radius + impulse * arriving.normal_offset) / ball.inertia,
    }
    return {name: np.broadcast_to(value, slip.shape) for name, value in told.items()}


def _flat(record, shape):
    """A record with its arrays spread over all shots, in one row."""
    if not record.shape or record.shape == shape and len(shape) == 1:
        return record
    parts = {f.name: getattr(record, f.name) for f in fields(record)}
    return record.but(**{name: _flat(part, shape) if isinstance(part, Record) else np.broadcast_to(part, shape).ravel()
                         for name, part in parts.items() if isinstance(part, Record) or np.ndim(part)})


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
    this module and of `spinlab.physics.film`.  Where the ball grips, more friction adds nothing and costs up to 7 % of the
    spin (computed), for the spring then keeps a little less; whether real covers do so was never measured.
    """
    records = arriving, face, ball, between or Between(), assume or Assumptions()
    shape = np.broadcast_shapes(*(record.shape for record in records))
    count, rows = int(np.prod(shape)), []
    if count == 1:  # plain numbers are quicker than arrays of one
        records = [record[(0,) * len(record.shape)] if record.shape else record for record in records]
        told, kept = _row(*records, None, history)
        told = {name: np.asarray(value).item() for name, value in told.items()}
        return _launch({name: np.full(shape, value) for name, value in told.items()} if shape else told,
                       {name: value.reshape(-1, *shape) for name, value in kept.items()})
    flat = [_flat(record, shape) for record in records]
    for i in range(0, max(count, 1), CHUNK):
        some = flat if count <= CHUNK else [record[i : i + CHUNK] if record.shape else record for record in flat]
        rows.append(_row(*some, min(CHUNK, count - i), history))
    told, kept = ({name: np.concatenate([part[name] for part in parts], axis=-1) for name in parts[0]}
                  for parts in zip(*rows))
    return _launch({name: value.reshape(shape) for name, value in told.items()},
                   {name: value.reshape(len(value), *shape) for name, value in kept.items()})


def _launch(told, kept):
    """The launch from what `_row` has told."""
    launch = {name: told.pop(name) for name in ("ball_speed", "launch_angle", "spin_rate")}
    return Launch(**launch, contact=Contact(**told, history=History(**kept) if kept else None))
