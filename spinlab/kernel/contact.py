"""The contact of face and ball, resolved in time: one engine for dry and wet.

A small hybrid differential equation, as a textbook would write it:

* across the face a Hertz spring with Hunt & Crossley's loss pushes the ball away;
* between them a film of water is squeezed out and leaves a share of the load on solid contact;
* along the face a spring (Mindlin's stiffness) holds the ball up to Coulomb's limit; beyond the
  limit the ball slides.

The state moves by the classical Runge–Kutta rule.  Each change of phase – the limit is reached, the
spring asks for less than the limit, slip or force changes its sign, the ball departs – is located
inside its step, so that results change smoothly with every input.

**The clock.**  Everything is told per unit of a clock u with ``dt = √x du``, x the compression.  The
root of the compression then begins and ends as a straight line, ``d√x/du = ẋ/2``, and all rates are
smooth from touch to departure; in seconds they begin and end like a root.

Left out: interlock of groove edges, the cover bulging into grooves (but for `void`), dewetting,
cavitation, strikes off the middle of the head.  Constant restitution numbers cannot fully describe
a golf ball at a barrier (Johnson & Lieberman 1994, seen), and neither does this.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from .bracket import ROOT_ROUNDS, bracket_between, narrowed, secant
from .compiled import Array, entry, kernel
from .film import (
    EASY_FILL,
    boundary_factor,
    bulk_rate,
    drainage_length_squared,
    solid_share,
    thinning_time,
)
from .grooves import capacity
from .nouns import Assumptions, Ball, Between, Delivery, Face, Impact
from .water import water_density, water_viscosity

LEAST_RESTITUTION = 0.75
MOST_RESTITUTION = 0.88
"""Restitution of a ball that loses more the faster it is stays between these two."""
SLOW_SLIDING = 12.8
FAST_SLIDING = 26.8
"""The two sliding speeds of Gobush 1996 [m/s]."""
THINNEST_FILM = 1e-15
"""A film this thin [m] is none."""

STEPS = 60.0
"""Steps of a dry contact up to its deepest point and back, were the approach steady."""
FILM_STEP = 0.07
"""A step changes the logarithm of the film by about this at most."""
MOST_STEPS = 4000
MOST_EVENTS = 60
"""A ball that still changes between holding and sliding after so many times slides on."""
ROOT_PRECISION = 1e-13
"""An event is located within this share of its step."""
WITHIN_ROUNDS = 8
FLOAT_NOISE = 1e-12
"""An event counts as reached when its measure falls below zero by more than this."""
NEVER = 1e300
"""The measure of an event that cannot happen in the present phase."""


# -- laws ------------------------------------------------------------------------------------------


@kernel
def normal_restitution(speed, ball: Ball):
    """Restitution across the face at a closing speed [m/s]: ``e₀ − s v`` kept within 0.75 … 0.88.

    A fit to 0.85 at 20 m/s and 0.78 at 45 m/s on steel (Chou 1994, quoted in Penner 2003, p. 144).
    A ball with no slope has a constant restitution, and then nothing is clipped.
    """
    if ball.restitution_slope <= 0.0:
        return ball.restitution
    fitted = ball.restitution - ball.restitution_slope * speed
    return min(max(fitted, LEAST_RESTITUTION), MOST_RESTITUTION)


@kernel
def loss_number(restitution):
    """Hunt & Crossley's d = c v_n for a wanted restitution e: ``ln[(1+d)/(1−e d)] = d (1+e)``.

    From the first integral of their law (computed).  Newton's rule for ``y = −ln(1 − e d)``, from
    the side of much loss or of little.
    """
    e = restitution
    y = (1.0 + e) / e - math.log1p(1.0 / e)
    if e >= 0.58:
        y = -math.log1p(-min(1.5 * e * (1.0 - e * e) / (1.0 + e * e * e), 0.9))
    for _ in range(8):
        left = math.exp(-y)
        d = (1.0 - left) / e
        miss = y + math.log1p(d) - d * (1.0 + e)
        y = y - miss / (1.0 + left / e * (1.0 / (1.0 + d) - (1.0 + e)))
    return (1.0 - math.exp(-y)) / e


@kernel
def hertz_stiffness(ball: Ball):
    """K in ``N = K x^1.5`` [N/m^1.5]: ``4/3 E* √R`` (Hertz 1882, from memory)."""
    return 4.0 / 3.0 * ball.modulus * math.sqrt(ball.radius)


@kernel
def dry_friction(sliding_speed, ball: Ball):
    """Dry friction coefficient at a sliding speed [m/s], not negative.

    `friction` up to 12.8 m/s, `friction_fast` from 26.8 m/s, a straight line between: the two speeds
    of Gobush 1996, quoted in Penner 2003; that it stays level outside them is our judgement.  Finish,
    milling and wear of the face are in the band of friction alone (× 0.8 to 1.2): no source gives a
    number for any of them.  What is seen of much-worn faces on a dry day (10 – 24 % less spin,
    common practice, no source) would take friction × 0.70 to 0.58.
    """
    along = (sliding_speed - SLOW_SLIDING) / (FAST_SLIDING - SLOW_SLIDING)
    along = min(max(along, 0.0), 1.0)
    return ball.friction + (ball.friction_fast - ball.friction) * along


# -- one contact: its constants and its state ------------------------------------------------------


class Contact(NamedTuple):
    """What stays the same during one contact, in SI."""

    ball: Ball
    mass: float  # of ball and head together, 1/(1/m + 1/M + b²/I)
    stiffness: float  # K of Hertz
    loss: float  # c of Hunt & Crossley [s/m]
    restitution: float
    closing_speed: float
    sliding_speed: float  # at first touch
    mobility: float  # slip that friction takes away, per impulse [1/kg]
    turning: float  # slip that an off-centre normal impulse takes away, per impulse [1/kg]
    spring: float  # tangential against normal stiffness
    unloading: float
    reversal: float
    wet: bool
    roughness: float
    load_decay: float
    film_friction: float
    solid_factor: float  # dry friction counts this much where solids touch
    clear: float  # share of the lands without soil and grass
    dirt_friction: float  # friction of the other share, times that share
    viscosity: float
    density: float
    water: float  # film before contact
    land: float  # between grooves [m]
    groove: float  # width of a groove [m]
    open_share: float  # of the grooves
    brim: float  # film that fills the open grooves
    deepest: float  # largest compression [m]
    pace: float  # scale of the clock u


class State(NamedTuple):
    """Where a contact stands."""

    time: float
    root: float  # √x, x the compression [m^0.5]
    approach: float  # ẋ [m/s]
    slip: float  # of the ball's surface up the face [m/s]
    friction: float  # force down the face on the ball, while the surfaces hold [N]
    film: float  # ln of the film's thickness


class Rates(NamedTuple):
    """How a state changes with the clock u."""

    time: float
    root: float
    approach: float
    slip: float
    friction: float
    film: float


class Phase(NamedTuple):
    """Which equations hold: sliding or holding, and how stiff the tangential spring is."""

    slides: bool
    force_sign: float
    slip_sign: float
    turned: bool  # has the friction force gone through zero?
    final: bool  # does it last to the departure?


class Measures(NamedTuple):
    """How far a state is from each event, each in a scale of the contact.

    `depart`: the compression ends; `hold`: a sliding ball holds again; `grip`: a holding one reaches
    the limit; `slip`, `turn`: slip and force change their signs.
    """

    depart: float
    hold: float
    grip: float
    slip: float
    turn: float


class Departure(NamedTuple):
    """How a contact ends: its state, the approach lost while holding [m/s], the events met."""

    state: State
    held: float
    events: float


@kernel
def largest_compression(mass, speed, stiffness, loss_number):
    """Compression at which the ball stops coming closer [m].

    ``K x^2.5/(2.5 m v²) = 1/d − ln(1 + d)/d²``, the first integral of Hunt & Crossley's law.
    """
    length = (mass * speed * speed / stiffness) ** 0.4
    stored = 1.0 / loss_number - math.log1p(loss_number) / (loss_number * loss_number)
    return length * (2.5 * stored) ** 0.4


@entry
def contact_of(
    arriving: Delivery, face: Face, ball: Ball, between: Between, assume: Assumptions
) -> Contact:
    """Gather the constants of one contact."""
    spin_loft = arriving.dynamic_loft - arriving.attack_angle
    closing_speed = arriving.head_speed * math.cos(spin_loft)
    ratio = ball.mass / face.head_mass
    lever = arriving.strike_height
    mass = ball.mass / (1.0 + ratio + ball.mass * lever * lever / face.head_inertia)
    stiffness = hertz_stiffness(ball)
    restitution = normal_restitution(closing_speed, ball)
    loss = loss_number(restitution)
    deepest = largest_compression(mass, closing_speed, stiffness, loss)
    brim = (1.0 - between.soil_in_grooves) * capacity(face.grooves) * assume.void
    open_share = 1.0 - between.soil_in_grooves if brim > THINNEST_FILM else 0.0
    clear = (1.0 - between.soil_on_lands) * (1.0 - between.grass)
    return Contact(
        ball=ball,
        mass=mass,
        stiffness=stiffness,
        loss=loss / closing_speed,
        restitution=restitution,
        closing_speed=closing_speed,
        sliding_speed=arriving.head_speed * math.sin(spin_loft),
        mobility=(1.0 + 1.0 / ball.inertia_factor + ratio) / ball.mass,
        turning=arriving.normal_offset / (ball.inertia_factor * ball.mass * ball.radius),
        spring=assume.tangential_stiffness,
        unloading=assume.unloading,
        reversal=assume.reversal,
        wet=between.water > 0.0,
        roughness=face.roughness,
        load_decay=assume.load_decay,
        film_friction=assume.film_friction,
        solid_factor=boundary_factor(between.water, assume.wet_factor),
        clear=clear,
        dirt_friction=(1.0 - clear) * assume.solid_friction,
        viscosity=water_viscosity(between.temperature),
        density=water_density(between.temperature),
        water=max(between.water, THINNEST_FILM),
        land=face.grooves.separation,
        groove=face.grooves.width,
        open_share=open_share,
        brim=max(brim, THINNEST_FILM),
        deepest=deepest,
        pace=2.0 * math.sqrt(deepest) / closing_speed,
    )


class History(NamedTuple):
    """A contact at even times from touch to departure, in arrays that are filled; or no rows.

    Time [s], compression [m], normal force and friction force [N] (positive down the face, on the
    ball), slip [m/s] (the ball's surface up the face), film [m], the most that friction could be
    (as a coefficient), the solid share of the load, spin [rad/s].
    """

    time: Array
    compression: Array
    normal_force: Array
    friction_force: Array
    slip: Array
    film: Array
    friction_limit: Array
    solid_share: Array
    spin_rate: Array


# -- forces and rates ------------------------------------------------------------------------------


@kernel
def normal_force(state: State, contact: Contact):
    """Hertz with Hunt & Crossley's loss: ``N = K x^1.5 (1 + c ẋ)`` [N].

    Hunt & Crossley, J. Appl. Mech. 42:440 (1975), from memory.
    """
    root = state.root
    return contact.stiffness * root * root * root * (1.0 + contact.loss * state.approach)


@kernel
def mean_pressure(state: State, contact: Contact):
    """``N/(π a²)`` with the patch's radius a = √(R x) [Pa]."""
    pressed = contact.stiffness * state.root * (1.0 + contact.loss * state.approach)
    return pressed / (math.pi * contact.ball.radius)


@kernel
def film_rate(state: State, contact: Contact):
    """How fast the logarithm of the film changes with time [1/s]; never positive.

    Water leaves by Reynolds' squeeze flow into open grooves and over the patch's edge, no faster
    than its inertia allows, and – as the open grooves fill – no faster than they can vent along
    their length; the three resist in series.  Past full grooves the patch's edge still drains.  How
    these ways are joined is our judgement; no published golf test of it was found.  A film thinner
    than the roughness is outside the equation's strict range.
    """
    film = math.exp(state.film)
    pressure = max(mean_pressure(state, contact), 1e-9)
    radius = math.sqrt(contact.ball.radius * max(state.root * state.root, 1e-12))
    path = drainage_length_squared(radius, contact.land, contact.groove, contact.open_share)
    time = thinning_time(film, pressure, contact.viscosity, contact.density, path)
    if contact.water > EASY_FILL * contact.brim:
        full = ((contact.water - film) / contact.brim - EASY_FILL) / (1.0 - EASY_FILL)
        rush = -bulk_rate(film, pressure, contact.density, radius) / film
        venting = min(max(full, 0.0), 1.0) * film / (rush * contact.brim)
        edge = 1.5 * radius * radius
        past_the_grooves = thinning_time(film, pressure, contact.viscosity, contact.density, edge)
        time = min(time + venting, past_the_grooves)
    return -1.0 / time


@kernel
def friction_coefficient(state: State, sliding_speed, contact: Contact):
    """The most that friction can be, against the normal force.

    The `sliding_speed` [m/s] counts in the direction of the phase, so that it is smooth where slip
    turns round.

    Solid contact carries its share of the load with dry (or wetted) friction; a film carries the
    rest with its viscous shear ``η v/(h p)``, at most `film_friction`; soil and grass cover a share
    of the lands and have a friction of their own.  That the loads simply share is our judgement.
    """
    solid = contact.solid_factor * dry_friction(sliding_speed, contact.ball)
    if not contact.wet:
        return contact.clear * solid + contact.dirt_friction
    film = math.exp(state.film)
    share = solid_share(film, contact.roughness, contact.load_decay)
    pressure = max(mean_pressure(state, contact), 1e-9)
    shear = min(contact.viscosity * sliding_speed / (film * pressure), contact.film_friction)
    return contact.clear * (share * solid + (1.0 - share) * shear) + contact.dirt_friction


@kernel
def friction_limit(state: State, phase: Phase, contact: Contact):
    """The most that friction can be [N]."""
    sliding_speed = phase.slip_sign * state.slip
    return friction_coefficient(state, sliding_speed, contact) * normal_force(state, contact)


@kernel
def spring_rate(state: State, phase: Phase, contact: Contact):
    """How fast the tangential spring would load [N per unit of the clock].

    Stiffness κ·dN/dx: 2(1−ν)/(2−ν) = 0.667 for a rubbery sphere (Mindlin 1949, from memory), stiffer
    on the way back, softer once the force has turned round; both changes are our judgement.
    """
    factor = 1.0
    if phase.turned:
        factor = contact.reversal
    if phase.force_sign * phase.slip_sign < 0.0:
        factor = contact.unloading
    elastic = 1.5 * contact.stiffness * state.root * state.root
    return factor * contact.spring * elastic * state.slip


@kernel
def rates(state: State, phase: Phase, contact: Contact) -> Rates:
    """The equations of motion, per unit of the clock u: ``dt = √x du``.

    ``m ẍ = −N``, ``σ̇ = −mobility F − turning N`` with F from the spring while the surfaces hold and
    at the limit while they slide, and the film's thinning.
    """
    force = state.friction
    loading = 0.0
    if phase.slides:
        force = phase.force_sign * friction_limit(state, phase, contact)
    else:
        loading = spring_rate(state, phase, contact)
    normal = normal_force(state, contact)
    thinning = 0.0
    if contact.wet:
        thinning = film_rate(state, contact)
    seconds = state.root
    return Rates(
        time=seconds,
        root=0.5 * state.approach,
        approach=-normal / contact.mass * seconds,
        slip=-(contact.mobility * force + contact.turning * normal) * seconds,
        friction=loading,
        film=thinning * seconds,
    )


# -- stepping --------------------------------------------------------------------------------------


@kernel
def moved(state: State, change: Rates, size) -> State:
    """The state after a straight step."""
    return State(
        time=state.time + size * change.time,
        root=state.root + size * change.root,
        approach=state.approach + size * change.approach,
        slip=state.slip + size * change.slip,
        friction=state.friction + size * change.friction,
        film=state.film + size * change.film,
    )


@kernel
def step(state: State, first: Rates, phase: Phase, contact: Contact, size) -> State:
    """One step of the classical Runge–Kutta rule; `first` are the rates at its start."""
    second = rates(moved(state, first, 0.5 * size), phase, contact)
    third = rates(moved(state, second, 0.5 * size), phase, contact)
    last = rates(moved(state, third, size), phase, contact)
    mean = Rates(
        time=(first.time + 2.0 * (second.time + third.time) + last.time) / 6.0,
        root=(first.root + 2.0 * (second.root + third.root) + last.root) / 6.0,
        approach=(first.approach + 2.0 * (second.approach + third.approach) + last.approach) / 6.0,
        slip=(first.slip + 2.0 * (second.slip + third.slip) + last.slip) / 6.0,
        friction=(first.friction + 2.0 * (second.friction + third.friction) + last.friction) / 6.0,
        film=(first.film + 2.0 * (second.film + third.film) + last.film) / 6.0,
    )
    return moved(state, mean, size)


@kernel
def step_size(state: State, change: Rates, contact: Contact):
    """Size of the next step: an even share of the contact, and for water shorter ones.

    Water leaves the small patch of first touch like a root of the clock, and a thick film thins
    fast: the steps begin at a tenth, and grow with the compression.
    """
    even = contact.pace * 2.0 / STEPS
    if not contact.wet:
        return even
    if state.approach > 0.0:
        even = even * min(0.1 + state.root / (0.4 * math.sqrt(contact.deepest)), 1.0)
    return even / (1.0 + even * abs(change.film) / FILM_STEP)


# -- changes of phase ------------------------------------------------------------------------------


@kernel
def spare_grip(state: State, change: Rates, phase: Phase, contact: Contact):
    """How much faster the spring would load than the limit grows, per unit of the clock [N].

    While the ball slides this is positive; where it falls through zero the surfaces hold again.
    """
    share = max(state.root / math.sqrt(contact.deepest), 1e-6)
    size = 1e-4 * contact.pace * min(share, 1.0)
    ahead = friction_limit(moved(state, change, size), phase, contact)
    behind = friction_limit(moved(state, change, -size), phase, contact)
    spring = phase.force_sign * spring_rate(state, phase, contact)
    return spring - (ahead - behind) / (2.0 * size)


@kernel
def measures(state: State, change: Rates, phase: Phase, contact: Contact) -> Measures:
    """How far a state is from each event that ends its phase; each falls through zero there.

    `change` are the state's rates.  Forces are told against what presses now, so that no measure
    dwindles beside another as the ball departs.
    """
    deepest = math.sqrt(contact.deepest)
    pressed = max(state.root * state.root, 1e-18 * contact.deepest)
    force = contact.stiffness * pressed * deepest
    hold = NEVER
    grip = NEVER
    turn = NEVER
    slip = NEVER
    if not phase.final:
        slip = phase.slip_sign * state.slip / contact.closing_speed + FLOAT_NOISE
        if phase.slides:
            hold = spare_grip(state, change, phase, contact) * contact.pace / force + FLOAT_NOISE
        else:
            signed = phase.force_sign * state.friction
            grip = (friction_limit(state, phase, contact) - signed) / force + FLOAT_NOISE
            turn = signed / force + FLOAT_NOISE
    return Measures(
        depart=state.root / deepest, hold=hold, grip=grip, slip=slip, turn=turn
    )


@kernel
def nearest(left: Measures):
    """The smallest of the measures."""
    return min(left.depart, left.hold, left.grip, left.slip, left.turn)


@entry
def size_to_event(
    state: State, change: Rates, phase: Phase, contact: Contact, size, left_at_end
):
    """Size of the step that ends just beyond the first event within a step of `size`.

    By a `Bracket`.  `left_at_end`, the nearest measure at the step's end, is
    negative; at its start an event that has just happened may leave next to nothing, so the first
    look is at the middle.
    """
    bracket = bracket_between(0.0, size, -left_at_end, left_at_end)
    beyond = left_at_end
    for _ in range(ROOT_ROUNDS):
        # the rule may halve the end's value; only the measure itself says how near the event is
        if bracket.high - bracket.low <= ROOT_PRECISION * size or beyond > -ROOT_PRECISION:
            break
        middle = secant(bracket)
        trial = step(state, change, phase, contact, middle)
        left = nearest(measures(trial, rates(trial, phase, contact), phase, contact))
        bracket = narrowed(bracket, middle, left)
        if left <= 0.0:
            beyond = left
    return bracket.high


@kernel
def at_event(state: State, phase: Phase, left: Measures, contact: Contact) -> State:
    """The state with the quantity that made the event put exactly where it belongs."""
    first = nearest(left)
    slip = state.slip
    friction = state.friction
    if left.slip <= first:
        slip = 0.0
    if phase.slides or left.grip <= first:
        friction = phase.force_sign * friction_limit(state, phase, contact)
    elif left.turn <= first:
        friction = 0.0
    return State(
        time=state.time,
        root=state.root,
        approach=state.approach,
        slip=slip,
        friction=friction,
        film=state.film,
    )


@kernel
def phase_after(phase: Phase, left: Measures, final: bool) -> Phase:
    """The phase that follows an event."""
    first = nearest(left)
    slides = phase.slides
    if left.hold <= first:
        slides = False
    if left.grip <= first or final:
        slides = True
    slip_sign = phase.slip_sign
    if left.slip <= first:
        slip_sign = -slip_sign
    force_sign = phase.force_sign
    turned = phase.turned
    if left.turn <= first:
        force_sign = -force_sign
        turned = True
    return Phase(
        slides=slides, force_sign=force_sign, slip_sign=slip_sign, turned=turned, final=final
    )


# -- from touch to departure -----------------------------------------------------------------------


@kernel
def first_touch(contact: Contact) -> State:
    """The state when the ball meets the face."""
    return State(
        time=0.0,
        root=0.0,
        approach=contact.closing_speed,
        slip=contact.sliding_speed,
        friction=0.0,
        film=math.log(contact.water),
    )


@kernel
def first_phase(state: State, contact: Contact) -> Phase:
    """Holding if the spring asks for less than friction can do when the ball meets the face."""
    later = state.slip
    if later == 0.0:
        later = -contact.turning
    sign = 1.0
    if later < 0.0:
        sign = -1.0
    damped = 1.0 + contact.loss * contact.closing_speed
    asked = contact.spring * abs(state.slip) / (contact.closing_speed * damped)
    slides = asked >= friction_coefficient(state, abs(state.slip), contact) and state.slip != 0.0
    return Phase(slides=slides, force_sign=sign, slip_sign=sign, turned=False, final=False)


class Impulses(NamedTuple):
    """What the ball was given across and down the face [N s]."""

    across: float
    down: float


@kernel
def impulses_at(state: State, contact: Contact) -> Impulses:
    """The impulses so far, from what is left of approach and slip."""
    across = contact.mass * (contact.closing_speed - state.approach)
    lost = contact.sliding_speed - state.slip
    return Impulses(across=across, down=(lost - contact.turning * across) / contact.mobility)


@kernel
def spin_at(state: State, contact: Contact):
    """Backspin [rad/s] that the impulses so far have made."""
    given = impulses_at(state, contact)
    ball = contact.ball
    by_friction = given.down / (ball.inertia_factor * ball.mass)
    return (by_friction + contact.turning * given.across) / ball.radius


@kernel
def departed(state: State, contact: Contact) -> State:
    """The state at departure, with the impulse across the face that the restitution gives.

    That impulse is known in closed form, ``m v (1 + e)``.  The steps miss it by a millionth; the
    impulse along the face is scaled with it, so that their ratio stays.
    """
    approach = -contact.restitution * contact.closing_speed
    counted = contact.closing_speed - state.approach
    given = contact.closing_speed - approach
    off_centre = contact.turning * contact.mass
    along = (contact.sliding_speed - state.slip - off_centre * counted) * given / counted
    return State(
        time=state.time,
        root=0.0,
        approach=approach,
        slip=contact.sliding_speed - along - off_centre * given,
        friction=0.0,
        film=state.film,
    )


@entry
def within_step(
    before: State, first: Rates, after: State, phase: Phase, contact: Contact, size, time
) -> State:
    """The state at a time within a step: the end of a shorter one, by Newton's rule.

    From the end that is pressed more, where the clock runs faster, the rule cannot overshoot.
    """
    if time <= before.time:
        return before
    if time >= after.time:
        return after
    part = 0.0
    if after.root > before.root:
        part = size
    for _ in range(WITHIN_ROUNDS):
        here = step(before, first, phase, contact, part)
        part = part + (time - here.time) / max(here.root, 1e-9)
        part = min(max(part, 0.0), size)
    return step(before, first, phase, contact, part)


@entry
def write_history(
    before: State,
    first: Rates,
    after: State,
    phase: Phase,
    contact: Contact,
    size,
    duration,
    history: History,
) -> None:
    """Fill the rows of a history whose times lie within a step of `size`."""
    rows = len(history.time)
    for row in range(rows):
        # the last time is the duration itself, not a rounding off it
        time = duration * (row / (rows - 1.0))
        if before.time <= time <= after.time:
            now = within_step(before, first, after, phase, contact, size, time)
            friction = now.friction
            if phase.slides:
                friction = phase.force_sign * friction_limit(now, phase, contact)
            film = 0.0
            solid = 1.0
            if contact.wet:
                film = math.exp(now.film)
                solid = solid_share(film, contact.roughness, contact.load_decay)
            history.time[row] = time
            history.compression[row] = now.root * now.root
            history.normal_force[row] = max(normal_force(now, contact), 0.0)
            history.friction_force[row] = friction
            history.slip[row] = now.slip
            history.film[row] = film
            history.friction_limit[row] = friction_coefficient(now, abs(now.slip), contact)
            history.solid_share[row] = solid
            history.spin_rate[row] = spin_at(now, contact)


@entry
def follow_contact(contact: Contact, duration, history: History) -> Departure:
    """From first touch to departure.

    Fills `history` at even times if the contact's `duration` [s] is known, not negative.
    """
    state = first_touch(contact)
    phase = first_phase(state, contact)
    held = 0.0
    events = 0.0
    change = rates(state, phase, contact)
    for _ in range(MOST_STEPS):
        size = step_size(state, change, contact)
        after = step(state, change, phase, contact, size)
        then = rates(after, phase, contact)
        left = measures(after, then, phase, contact)
        event = nearest(left) < 0.0
        if event:
            size = size_to_event(state, change, phase, contact, size, nearest(left))
            after = step(state, change, phase, contact, size)
            left = measures(after, rates(after, phase, contact), phase, contact)
            if left.depart <= nearest(left):
                after = departed(after, contact)
        if duration >= 0.0:
            write_history(state, change, after, phase, contact, size, duration, history)
        if not phase.slides:
            held = held + state.approach - after.approach
        if event:
            if left.depart <= nearest(left):
                state = after
                break
            events = events + 1.0
            state = at_event(after, phase, left, contact)
            phase = phase_after(phase, left, events >= MOST_EVENTS)
            then = rates(state, phase, contact)
        else:
            state = after
        change = then
    return Departure(state=state, held=held, events=events)


@entry
def peak_force(contact: Contact):
    """The largest normal force of the contact [N].

    With q = c ẋ, d = c v: where ``d − 1.6 q = ln[(1+d)/(1+q)]``, from the first integral of Hunt &
    Crossley's law (computed); by Newton's rule.
    """
    d = contact.loss * contact.closing_speed
    q = 0.0
    for _ in range(12):
        miss = d - 1.6 * q - math.log((1.0 + d) / (1.0 + q))
        q = q + miss / (1.6 - 1.0 / (1.0 + q))
    compression = 1.5 * contact.mass * q / (contact.loss * contact.loss * contact.stiffness)
    return contact.stiffness * compression**0.6 * (1.0 + q)


@kernel
def face_turning(across, duration, arriving: Delivery, face: Face):
    """How far the face has turned up when it pushes, weighted by the force [rad]: ``J b T/(9 I)``.

    J the impulse across the face [N s], T the time of contact [s], b the height of the strike above
    the head's centre of mass, I the head's inertia.  Of a free head: a push like half a sine would
    give 8, this contact's own gives 9.0 to 9.2 (computed).  That the shaft is too soft to hold the
    head for half a millisecond is our judgement.

    >>> arriving = Delivery(20.0, 0.7, -0.1, 0.0, strike_height=0.01)
    >>> round(face_turning(1.2, 5e-4, arriving, Face(0.9, None, 2e-6, 0.3, head_inertia=1e-4)), 6)
    0.006667
    """
    return across * arriving.strike_height * duration / (9.0 * face.head_inertia)


@kernel
def impact_of(arriving: Delivery, face: Face, contact: Contact, left: Departure) -> Impact:
    """What the ball and the head do after the contact."""
    ball = contact.ball
    end = left.state
    given = impulses_at(end, contact)
    across = given.across
    down = given.down
    restored = 0.0
    if contact.sliding_speed > 1e-9 * contact.closing_speed:
        restored = -end.slip / contact.sliding_speed
    return Impact(
        ball_speed=math.hypot(across, down) / ball.mass,
        launch_angle=arriving.dynamic_loft
        - math.atan2(down, across)
        + face_turning(across, end.time, arriving, face),
        spin_rate=spin_at(end, contact),
        time=end.time,
        peak_force=peak_force(contact),
        compression=contact.deepest,
        contact_radius=math.sqrt(ball.radius * contact.deepest),
        film_left=math.exp(end.film) if contact.wet else 0.0,
        effective_friction=down / across,
        grip_share=left.held / (contact.closing_speed - end.approach),
        tangential_restitution=restored,
        normal_restitution=contact.restitution,
        head_speed_after=math.hypot(
            contact.closing_speed - across / face.head_mass,
            contact.sliding_speed - down / face.head_mass,
        ),
    )


@entry
def strike(
    arriving: Delivery,
    face: Face,
    ball: Ball,
    between: Between,
    assume: Assumptions,
    history: History,
) -> Impact:
    """One strike: how the ball leaves, from how the club arrives.

    The arrays of `history` are empty, or are filled.  Validity: balls that meet a wedge's face at
    1 – 50 m/s.  Above or below the head's centre of mass the head turns as a free body: the push
    meets the mass ``1/(1/M + b²/I)``, and the face looks up or down a little.  Strikes toward heel
    or toe, and the spin from a centre of mass behind the face, are left out.
    """
    contact = contact_of(arriving, face, ball, between, assume)
    left = follow_contact(contact, -1.0, history)
    if len(history.time) > 0:
        follow_contact(contact, left.state.time, history)
    return impact_of(arriving, face, contact, left)
