"""The contact of face and ball, resolved in time: one engine for dry and wet, one shot or ten thousand.

**The idea.**  Along the face, friction can only hand over a share q of what the normal force hands over across it:
``dJ_t = q dJ_n``.  So the steps are taken over shares of the *normal impulse* and not over time.  Then a ball that slides
throughout leaves at exactly atan μ below the normal, whatever the step, and forty-eight smooth steps do what hundreds of
equal time steps would.

1. Across the face: a Hertz spring with Hunt & Crossley's loss (1975), ``N = K x^1.5 (1 + c ẋ)``.  It has a first integral,
   so compression, force and time follow from the velocity without stepping (`normal_motion`).
2. Between: the film thins (`film_history`) and leaves a share of the load on solid contact.
3. Along the face: a spring held by friction (Mindlin's stiffness, stiffer on the way back), let go at μN (`along_the_face`).
   Tangential restitution is a result.

Constant restitution numbers cannot fully describe a golf ball at a barrier (Johnson & Lieberman 1994), and neither does
this: it leaves out interlock of groove edges, the cover bulging into grooves (but for `void`), dewetting, cavitation and
strikes off the head's centre.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from scipy.special import betainc

from ..records import Assumptions, Ball, Between, Delivery, Face, Launch
from . import film as _film
from .grooves import capacity

STEPS = 48
"""Steps across the contact.  Against an adaptive integrator at 1e-10 this leaves less than 0.1 % in spin."""

_u = np.sin(np.linspace(0.0, np.pi / 2, STEPS + 1)) ** 2  # close to the share of the time; dense where rates begin like √t
_p = betainc(2.5, 2.5, _u)  # share of the normal impulse delivered: nearly even in u for a Hertz pulse
_B = 128 / (3 * np.pi)  # 1/B(2.5, 2.5): dp/du = _B u^1.5 (1−u)^1.5
_WEIGHT = np.pi / STEPS * np.sqrt(_u * (1 - _u))  # du of one even step in the angle
_SHARE = np.diff(_p)
_ALMOST_DRY = 1e-12  # [m] a film this thin is none
_TINY = 1e-200  # keeps the first and last instant, where nothing pushes, out of divisions by nought


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


# -- across the face --------------------------------------------------------------------------------------------------


def normal_restitution(speed, ball: Ball):
    """Restitution across the face at a closing speed [m/s]: ``e₀ − s v`` kept within 0.75 … 0.88.

    A fit to 0.85 at 20 m/s and 0.78 at 45 m/s on steel (Chou 1994, quoted in Penner 2003, p. 144).  A ball with no slope has
    a constant restitution, and then nothing is clipped.
    """
    fitted = np.clip(ball.restitution - ball.restitution_slope * speed, 0.75, 0.88)
    return np.where(np.asarray(ball.restitution_slope) > 0, fitted, ball.restitution)


def loss_number(restitution):
    """Hunt & Crossley's d = c v_n for a wanted restitution e: ``ln[(1+d)/(1−e d)] = d (1+e)``, by Newton's rule."""
    e = np.asarray(restitution)
    d = 1.5 * (1 - e * e) / (1 + e**3)
    d = np.minimum(d, 0.95 / e)
    for _ in range(4):
        miss = np.log1p(d) - np.log1p(-e * d) - d * (1 + e)
        slope = 1 / (1 + d) + e / (1 - e * d) - (1 + e)
        d = np.clip(d - miss / slope, 0.5 * d, 0.5 * (d + 1 / e))
    return d


@dataclass(frozen=True)
class NormalMotion:
    """Across the face, nodes first, in scales of length, time and force: `x`, `force`, `lasting` (time a node stands for), `step`
    (time of each step), `push` (∫ dN/dx dt of each step over K), with the scales and the whole impulse [N s] beside them."""

    x: np.ndarray
    force: np.ndarray
    lasting: np.ndarray
    step: np.ndarray
    push: np.ndarray
    length: np.ndarray
    seconds: np.ndarray
    newtons: np.ndarray
    impulse: np.ndarray


def hertz_stiffness(ball: Ball):
    """K in ``N = K x^1.5`` [N/m^1.5]: ``4/3 E* √R`` (Hertz 1882)."""
    return 4 / 3 * ball.modulus * np.sqrt(ball.radius)


def normal_motion(*, speed, restitution, mass, stiffness) -> NormalMotion:
    """Compression and force at fixed shares of the impulse, by the first integral of the Hunt–Crossley equation.

    ``0.4 x^2.5 = (1−v)/d − ln[(1+d)/(1+d v)]/d²`` with v from 1 down to −e, lengths in (m v²/K)^0.4.
    """
    e, d = restitution, loss_number(restitution)
    column = (-1,) + (1,) * np.ndim(e)
    p, u = _p.reshape(column), _u.reshape(column)
    v = 1 - (1 + e) * p
    stored = (1 - v) / d - (np.log1p(d) - np.log1p(d * v)) / d**2
    stored[0] = stored[-1] = 0.0
    x = (2.5 * np.maximum(stored, 0.0)) ** 0.4
    root = np.sqrt(x)
    force = x * root * (1 + d * v)
    dt_du = np.empty_like(x)
    dt_du[1:-1] = (1 + e) * _B * (u[1:-1] * (1 - u[1:-1])) ** 1.5 / force[1:-1]
    dt_du[0] = (_B * (1 + e) / (1 + d)) ** 0.4
    dt_du[-1] = (_B * (1 + e) / (e**1.5 * (1 - d * e))) ** 0.4
    lasting = dt_du * _WEIGHT.reshape(column)
    step = 0.5 * (lasting[1:] + lasting[:-1])
    both = root[1:] + root[:-1]
    push = (x[1:] + x[:-1] + root[1:] * root[:-1]) / both * step  # 1.5 × the mean of √x where x runs straight
    length = (mass * speed**2 / stiffness) ** 0.4
    return NormalMotion(x, force, lasting, step, push, length, length / speed, mass * speed**2 / length,
                        mass * (1 + e) * speed)


# -- between ----------------------------------------------------------------------------------------------------------


def film_history(motion: NormalMotion, *, face: Face, ball: Ball, between: Between, assume: Assumptions):
    """Film thickness at every node [m] and mean pressure at every node [Pa].

    Water leaves by Reynolds squeeze flow over the way to the nearest drain, no faster than its inertia allows, and – once
    the open grooves are full – no faster than they can vent along their length; the three resist in series.
    """
    radius = np.sqrt(np.maximum(ball.radius * motion.length * motion.x, 1e-12))
    pressure = motion.force * motion.newtons / (np.pi * radius**2)
    head = np.sqrt(2 * pressure / _film.water_density(between.temperature))
    wetness = pressure / _film.water_viscosity(between.temperature)
    disc = 1 / (1.5 * radius**2)
    paths, ways_out, brim = disc, np.sqrt(disc), _ALMOST_DRY
    if face.grooves is not None:
        open_share = 1 - np.asarray(between.soil_in_grooves)
        least, land = disc.min(axis=0), 1 / np.asarray(face.grooves.separation)
        paths = disc + open_share * np.maximum(land**2 - least, 0.0)
        ways_out = ways_out + open_share * np.maximum(land - np.sqrt(least), 0.0)
        brim = np.maximum(open_share * capacity(face.grooves) * assume.void, _ALMOST_DRY)
    start = np.maximum(between.water, _ALMOST_DRY)
    ways = [wetness * paths, 2 * head * ways_out]
    if np.any(start > brim):
        ways += [2 * head / radius * brim, wetness * disc, 2 * head * np.sqrt(disc)]
    lasting = motion.lasting * motion.seconds
    ways = [_over_steps(way * lasting, even=i in (0, 3)) for i, way in enumerate(ways)]
    shape = np.broadcast_shapes(*(way.shape[1:] for way in ways), np.shape(start), np.shape(brim))
    return _thin(np.broadcast_to(start, shape), [np.broadcast_to(way, (STEPS, *shape)) for way in ways], brim), pressure


def _over_steps(rate, *, even):
    """What a rate adds up to in each step.

    At the two ends a rate may be nought times infinity.  Viscous ones are even in the angle there, so their neighbours tell
    the end value; the others begin like its square root, where the trapezoid rule wants ``−2 ζ(−½)`` of the neighbour.
    """
    for end, first, second in ((0, 1, 2), (-1, -2, -3)):
        rate[end] = np.maximum((4 * rate[first] - rate[second]) / 3, 0.0) if even else 0.41577 * rate[first]
    return 0.5 * (rate[1:] + rate[:-1])


def _thin(h, ways, brim):
    """Step the film through the contact.

    With the rates of a step held, ``−dt = (1/(a h³) + 1/(b h) + c) dh`` becomes ``ln h/b − 1/(2a h²) + c h = const − t``,
    solved for ln h by Newton's rule from whichever single resistance keeps the film thicker.
    """
    viscous, bulk, *flood = ways
    start, film = h, np.empty((STEPS + 1, *np.shape(h)))
    film[0] = h
    for i in range(STEPS):
        a, b, c = viscous[i], bulk[i], 0.0
        if flood:
            vent, disc_a, disc_b = (way[i] for way in flood)
            c = np.clip((start - h) / brim - 1, 0.0, 1.0) / vent  # what has left and does not fit into the grooves must vent
            around = 1 / (disc_a * h * h) + 1 / disc_b < 1 / (a * h * h) + 1 / b + c * h
            a, b, c = np.where(around, disc_a, a), np.where(around, disc_b, b), np.where(around, 0.0, c)
        half, slow = 0.5 / (a * h * h), 1 / b
        z = np.maximum(-b, -0.5 * np.log1p(1 / half))
        for _ in range(2):
            thick = half * np.exp(-2 * z)
            wide = c * h * np.exp(z) if flood else 0.0
            miss = z * slow - thick + half + wide - (c * h if flood else 0.0) + 1
            z = z - miss / (slow + 2 * thick + wide)
        film[i + 1] = h = h * np.exp(z)
    return film


# -- along the face ---------------------------------------------------------------------------------------------------


def friction_law(film, pressure, *, speed_scale, face: Face, ball: Ball, between: Between, assume: Assumptions):
    """What friction could be at each node: ``solid × μ_dry(slip) + rest + min(shear × slip, film_cap)``.

    Solid contact carries f(λ) of the load; a film carries the other part with its own small shear; soil and grass cover a
    share of the lands and have a friction of their own.
    """
    clear = (1 - np.asarray(between.soil_on_lands)) * (1 - np.asarray(between.grass))
    share = _film.solid_share(film, face.roughness, assume.load_decay) if film is not None else 1.0
    wet = _film.boundary_factor(between.water, assume.wet_factor)
    solid = clear * share * wet
    solid = np.broadcast_to(solid, (STEPS + 1, *np.shape(solid)[film is not None:]))
    rest = (1 - clear) * np.asarray(assume.solid_friction)
    if film is None:
        return solid, rest, None, None, share
    carried = clear * (1 - share)
    shear = carried * _film.water_viscosity(between.temperature) * speed_scale / (film * pressure + _TINY)
    return solid, rest, shear, carried * np.asarray(assume.film_friction), share


def along_the_face(motion, law, *, slip, inertia, turning, closing_speed, restitution, ball, assume, keep=False):
    """Step slip and friction share q over the normal impulse, elastic first, then let go at the limit.

    Slip σ and the friction share obey ``dσ = −β (1+e) (q + D/(kR)…) dp`` and ``d(qN) = κ σ d(push)``; each step is the
    trapezoid of both, solved exactly, which neither makes nor loses energy while the ball grips.
    """
    solid, rest, shear, cap, _ = law
    kappa = np.asarray(assume.tangential_stiffness)
    share = np.multiply.outer(_SHARE, 1 + np.asarray(restitution))
    drag, twist, push, force = inertia * share, turning * share, kappa * motion.push, motion.force
    quarter = 0.25 * drag
    slow, fast = ball.friction, ball.friction_fast
    same = np.all(np.equal(slow, fast))

    def limit(i, s):
        s = np.abs(s)
        dry = slow if same else slow + (fast - slow) * np.minimum(np.maximum(s * closing_speed - 12.8, 0.0) / 14.0, 1.0)
        most = solid[i] * dry + rest
        return most if shear is None else most + np.minimum(shear[i] * s, cap[i])

    q = np.minimum(kappa * slip / (1 + loss_number(restitution)), limit(0, slip))
    done, gripped = 0.0 * q, 0.0 * q
    kept = [(slip, q, limit(0, slip))] if keep else None
    for i in range(STEPS):
        stiff = push[i] * np.where(q * slip < 0, assume.unloading, 1.0)
        held = q * force[i]
        trial = (held + stiff * (slip - 0.5 * twist[i] - quarter[i] * q)) / (force[i + 1] + stiff * quarter[i] + _TINY)
        most = limit(i + 1, slip - drag[i] * q)
        trial = np.where(trial * q < 0, trial / assume.unloading, trial)  # past nought it is loaded again, the soft way
        new = np.minimum(np.maximum(trial, -most), most)
        mean = 0.5 * (q + new)
        slip = slip - drag[i] * mean - twist[i]
        done = done + _SHARE[i] * mean
        gripped = gripped + np.where(new == trial, _SHARE[i], 0.0)
        q = new
        if keep:
            kept.append((slip, q, most))
    return slip, done, gripped, kept


def _contact(motion, film, law, along, closing, e, spin_loft, arriving, face, ball, impulses) -> Contact:
    """Say what the contact was like, from the stepped arrays."""
    slip, _, gripped, kept = along
    across, down = impulses
    shape = np.shape(down)
    x = np.max(motion.x, axis=0) * motion.length
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
    return Contact(**told, history=_history(motion, film, law, kept, closing, arriving, ball, shape) if kept else None)


def _history(motion, film, law, kept, closing, arriving, ball, shape) -> History:
    """The kept steps with their units put back."""
    slip, q, most = (np.stack(np.broadcast_arrays(*column)) for column in zip(*kept))
    full = (STEPS + 1, *shape)
    force = motion.force * motion.newtons
    x = motion.x * motion.length
    step = motion.step * motion.seconds
    time = np.concatenate([np.zeros_like(step[:1]), np.cumsum(step, axis=0)])
    impulse = np.multiply.outer(_p, motion.impulse)
    given = np.concatenate([np.zeros_like(q[:1]), np.cumsum(0.5 * (q[1:] + q[:-1]) * np.diff(impulse, axis=0), axis=0)])
    spin = (given * ball.radius + impulse * arriving.normal_offset) / ball.inertia
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
    film, pressure = film_history(motion, face=face, ball=ball, between=between, assume=assume) if wet else (None, None)
    law = friction_law(film, pressure, speed_scale=closing, face=face, ball=ball, between=between, assume=assume)
    k = ball.inertia_factor
    across = motion.impulse
    along = along_the_face(
        motion, law, slip=np.tan(spin_loft), inertia=(1 + 1 / k + mass_ratio) / (1 + mass_ratio),
        turning=arriving.normal_offset / (k * ball.radius * (1 + mass_ratio)), closing_speed=closing, restitution=e,
        ball=ball, assume=assume, keep=history)
    down = across * along[1] + np.zeros(shape)
    contact = _contact(motion, film, law, along, closing, e, spin_loft, arriving, face, ball, (across, down))
    return Launch(ball_speed=np.hypot(across, down) / ball.mass,
                  launch_angle=arriving.dynamic_loft - np.arctan2(down, across),
                  spin_rate=(down * ball.radius + across * arriving.normal_offset) / ball.inertia, contact=contact)

