"""Along the face: a spring held by friction, let go where friction can do no more, caught again where it can.

A contact has a few phases: the surfaces slide or hold, and the spring that holds is as stiff as at first touch, stiffer on
the way back, or softer once its force has turned round.  A phase is solved for all nodes ahead at once – sliding is a sum
over the impulse, holding a running product of 2×2 matrices – and ends where its condition first fails, placed between two
nodes by a cubic.  Shots in the same phase go through it together; each then takes up its next one where it stands.
"""

from __future__ import annotations

from dataclasses import dataclass
from types import SimpleNamespace
from typing import NamedTuple

import numpy as np

from ..records import Assumptions
from .instants import GIVEN, IMPULSE, NODES, STEPS, between, cubic, falling
from .normal import NormalMotion
from .onemany import tools
from .spring import Spring, some_of

SLIDES, FIRST, FIRMER, SOFTER, DONE = range(5)  # what a shot does: three ways to hold
_MOST_ROUNDS = 2 * STEPS  # a shot that still changes sides after so many slides on
_MOST_SWEEPS, _SETTLED = 20, 1e-6
_NOUGHT = 1e-12  # rounding, in units of friction force and slip

# one shot is plain numbers and arrays [nodes], many are arrays [shots] and [nodes, shots]
_ONE = SimpleNamespace(
    **vars(tools(())), whole=int, first=lambda mask: (int(mask.argmax()), bool(mask.any())),
    at=lambda values, node: float(values[node]))
_MANY = SimpleNamespace(
    **vars(tools((1,))), whole=lambda place: place.astype(int), first=lambda mask: (mask.argmax(axis=0), mask.any(axis=0)),
    at=lambda values, node: values[node, np.arange(values.shape[-1])])


@dataclass
class _Given:
    """What one shot or a row of them brings along, from a node on; numbers and single columns are shared by all."""

    speed: np.ndarray  # of closing, which slip is told in [m/s]
    base: np.ndarray  # friction limit, drawn on to no slip from what it is between 12.8 and 26.8 m/s
    fall: np.ndarray | None  # what slip adds to it between them [s/m]
    shear: np.ndarray | None  # a film's own friction per slip [s/m]
    cap: np.ndarray | None  # and its most
    force: np.ndarray  # across the face
    push: np.ndarray  # spring force per slip, over each step
    slowing: np.ndarray  # slip taken away by the whole impulse, per friction
    turning: np.ndarray | None  # slip taken away by an impulse that passes off the ball's centre
    nodes: np.ndarray
    passed: np.ndarray  # share of the impulse at the nodes
    spring: Spring
    onward: np.ndarray  # stiffness of the spring once the force has turned
    back: np.ndarray  # and on the way back
    keep: bool  # is the course of a phase asked for?
    since: int = 0  # the first node
    which: np.ndarray = ...  # these of the row

    def of(self, which, since):
        """The same for some of the shots, from a node on."""
        parts = {name: some_of(value, which, since) for name, value in vars(self).items()}
        return _Given(**parts | {"since": since, "which": which})

    def limit(self, slip):
        """The most that friction can be at each node, by the slip there [m/s], see `friction_law`."""
        if self.fall is None and self.shear is None:
            return self.base
        slip, most = np.abs(slip), self.base  # from here on in place, which saves a third of the time
        if self.shear is not None:
            most = self.shear * slip
            most = np.add(np.minimum(most, self.cap, out=most), self.base, out=most)
        if self.fall is not None:
            slip = np.minimum(np.maximum(slip, 12.8, out=slip), 26.8, out=slip)
            most = np.add(np.multiply(slip, self.fall, out=slip), most, out=slip)
        return most

    def sum(self, most):
        """What something adds up to over the impulse, from the first node to each."""
        return IMPULSE[self.since :, self.since :] @ most


class _State(NamedTuple):
    """Where a shot stands, or each of a row."""

    mode: int | np.ndarray
    place: float | np.ndarray  # in nodes
    given: float | np.ndarray  # share of the impulse there
    slip: float | np.ndarray
    force: float | np.ndarray  # friction
    way: float | np.ndarray  # sign of the force
    side: float | np.ndarray  # sign of the slip
    turned: bool | np.ndarray  # has the force gone through nought?
    after: int | np.ndarray  # the first node at which sliding may end
    held: float | np.ndarray  # share of the impulse given without sliding


def _holds(way, side, turned, one):
    """How a spring holds, by the signs of force and slip."""
    return one.pick(way * side < 0, FIRMER, one.pick(turned, SOFTER, FIRST))


# -- the phases -------------------------------------------------------------------------------------------------------


def _slide(given: _Given, state: _State, one):
    """Friction is at its limit: ``dσ = −(inertia q + turning) dJ`` until a spring would give less than the limit asks.

    Returns where the shots stand then, the last node of the phase, and its slip, friction share and limit if asked for.
    """
    way, slip, begun = state.way, state.slip, one.some(state.place)
    here, pull = cubic(state.place, one, given.since), way * given.slowing * given.speed
    if given.turning is not None:
        slip = slip - given.turning * np.maximum(given.passed - state.given, 0.0)
    slip = slip * given.speed + 0.0 * given.nodes  # in m/s from here on
    slips, end, settled, near = slip, slip[-1], False, _SETTLED * given.speed
    for _ in range(_MOST_SWEEPS):  # friction asks for slip, and slip for friction
        most = given.limit(slips)
        handed = given.sum(most)
        if begun:  # nothing was handed over before
            handed = np.maximum(handed - between(handed, *here), 0.0)
        lost, before = pull * handed, end
        new = np.subtract(slip, lost, out=lost)
        slips = np.where(settled, slips, new) if one.some(settled) else new  # a shot minds no other
        end = slips[-1]
        settled = settled | (abs(end - before) < near) | (most is given.base)
        if np.all(settled):
            break
    most = given.limit(slips)
    top, end = most * given.force, end / given.speed
    gain, rise = (slips[1:] + slips[:-1]) * (0.5 * way / given.speed) * given.push, top[1:] - top[:-1]
    onward = one.pick(state.turned, given.onward, 1.0)
    spare = [gain * stiff - rise for stiff in (onward, given.back)]
    step, ends = one.first((np.minimum(*spare) < -_NOUGHT) & (given.nodes[:-1] >= state.after))
    until = one.pick(ends, step + given.since, STEPS)
    course = (slips / given.speed, way * most, most) if given.keep else None
    if not one.some(ends):
        return state._replace(mode=DONE + 0 * state.mode, slip=end), until, course
    # where the straight line through the middles of the steps passes nought, with the one stiffness or the other
    into = [_passes(one.at(part, one.most(step - 1, 0)), one.at(part, step), one) for part in spare]
    place = one.most(step + given.since - 0.5 + one.least(*into), state.after)
    here = cubic(place, one, given.since)
    slip = between(slips, *here) / given.speed
    side = one.pick(slip * way < 0, -way, way)
    return state._replace(
        mode=one.pick(ends, _holds(way, side, state.turned, one), DONE), place=place, given=between(given.passed, *here),
        slip=one.pick(ends, slip, end), force=way * between(top, *here), side=side), until, course


def _passes(was, now, one):
    """Share of the way from was to now at which nought is passed; all of it where it is not."""
    was = one.most(was, 0.0)
    return was / (was + one.most(-now, _NOUGHT))


def _hold(given: _Given, state: _State, mode, one):
    """The spring holds: ``dF = stiffness rate σ dt, dσ = −inertia F dt − turning dJ``, until the force reaches the limit,
    or slip or force pass nought.  Returns the same as `_slide`."""
    way, side, place = state.way, state.side, state.place
    both, here = given.spring.held(mode, given.which, given.since), cubic(place, one, given.since)
    (a, b), (c, d) = between(both, *here)
    scale = 1 / (a * d - b * c)
    first, second = scale * (d * state.force - b * state.slip), scale * (a * state.slip - c * state.force)
    if given.turning is not None:  # variation of the two constants
        for_first, for_second = given.sum(both[0, 1]), given.sum(both[0, 0])
        first = first + given.turning * (for_first - between(for_first, *here))
        second = second - given.turning * (for_second - between(for_second, *here))
    speed = side * given.speed
    pushed = both[0, 0] * (way * first) + both[0, 1] * (way * second)
    slipped = both[1, 0] * (speed * first) + both[1, 1] * (speed * second)  # in m/s
    most = given.limit(slipped)
    room = most * given.force - pushed
    high, ends = one.first((np.minimum(np.minimum(room, pushed), slipped) < -_NOUGHT) & (given.nodes > place))
    high = high + given.since
    until, last = one.pick(ends, high - 1, STEPS), slipped[-1] / speed
    course = (slipped / speed, way * pushed / (given.force + 1e-100), most) if given.keep else None
    if not one.some(ends):
        return state._replace(mode=DONE + 0 * state.mode, slip=last, held=state.held + 1 - state.given), until, course
    at, place, (_, slip_here, force_here), passed = falling(
        (room, slipped, pushed), one.most(place, high - 1), high, one, given.since)
    slides, stops, turns = at[0] <= place, at[1] <= place, at[2] <= place
    force_here, slip_here = one.pick(turns, 0.0, way * force_here), one.pick(stops, 0.0, slip_here / speed)
    way, side, turned = one.pick(turns, -way, way), one.pick(stops, -side, side), one.most(state.turned, turns)
    mode = one.pick(slides, SLIDES, _holds(way, side, turned, one))
    return _State(
        mode=one.pick(ends, mode, DONE), place=place, given=passed, slip=one.pick(ends, slip_here, last),
        force=force_here, way=way, side=side, turned=turned, after=one.whole(place) + 1,
        held=state.held + one.pick(ends, passed, 1.0) - state.given), until, course


# -- all of it --------------------------------------------------------------------------------------------------------


def _gather(motion, law, inertia, turning, closing_speed, restitution, ball, assume, count, keep):
    """What the phases need, from what is known of a row of shots."""
    solid, rest, shear, cap, _ = law
    span = np.asarray(ball.friction_fast) - np.asarray(ball.friction)
    fall = solid * (span / 14.0) if np.any(span) else None  # over 14 m/s
    base = solid * (ball.friction - span * (12.8 / 14.0)) + rest + (0.0 if fall is not None else np.zeros(NODES.shape))
    stiffness = {FIRST: 1.0, FIRMER: assume.unloading, SOFTER: assume.reversal}
    kappa, (push, lean), pull = assume.tangential_stiffness, motion.pulse.spring, motion.pulse.step
    shots_push = motion.each(push, kappa)
    if count is None or any(map(np.ndim, (kappa, inertia, *stiffness.values()))):
        spring = Spring(shots_push, motion.each(pull, inertia), motion.each(lean, inertia * kappa), stiffness)
    else:
        spring = Spring(kappa * push, inertia * pull, inertia * kappa * lean, stiffness, motion.shares)
    slowing, turning = inertia * (1 + restitution), turning * (1 + restitution) if np.any(turning) else None
    return _Given(speed=closing_speed, base=base, fall=fall, shear=shear, cap=cap, force=motion.each(motion.pulse.force),
                  push=shots_push, slowing=slowing, turning=turning, nodes=NODES, passed=GIVEN, spring=spring,
                  onward=assume.reversal, back=assume.unloading, keep=keep)


def _start(given, most, first_touch, slip, one):
    """The first instant: the spring holds if it asks for less than friction can do."""
    friction, none = first_touch * slip, 0.0 * slip
    later = slip if given.turning is None else one.pick(slip == 0, -given.turning, slip)
    side = one.pick(later < 0, -1.0, 1.0)
    state = _State(mode=one.pick(abs(friction) < most, FIRST, SLIDES), place=none, given=none, slip=slip, force=none,
                   way=side, side=side, turned=side > 1, after=one.whole(none), held=none)
    return state, (slip, one.least(friction, most), most)


def along_the_face(motion: NormalMotion, law, *, slip, inertia, turning, closing_speed, restitution, ball,
                   assume: Assumptions, count=None, keep=False):
    """Slip σ and friction share q = F/N through a contact: a spring that holds, and lets go where friction can do no more.

    ``dF = κ · 1.5 √x σ dt`` held within ``±μN``, ``dσ = −(inertia q + turning) dJ_n``.  The spring is `unloading` times as
    stiff where slip takes it back, and `reversal` times once its force has turned round.  For one shot, or a row of `count`.
    κ after Mindlin 1949 (from memory); both changes of stiffness are our judgement, and set the spin where the ball grips.

    Returns
    -------
    tuple
        slip at the end, share of the impulse given without sliding, and what was kept: slip, q, limit [nodes, shots].
    """
    given = _gather(motion, law, inertia, turning, closing_speed, restitution, ball, assume, count, keep)
    first_touch, one = assume.tangential_stiffness / (1 + motion.each(motion.pulse.loss)), _ONE if count is None else _MANY
    if count is None:
        given, slip, first_touch = _plain(given), float(slip), np.asarray(first_touch).item()
    else:
        slip = np.zeros(count) + slip
    most = one.at(given.limit(slip * given.speed + 0.0 * given.nodes), 0) + 0.0 * slip
    state, touch = _start(given, most, first_touch, slip, one)
    kept = np.zeros((3, STEPS + 1, 1 if count is None else count)) + np.reshape(touch, (3, 1, -1)) if keep else None
    state = _alone(given, state, kept) if count is None else _together(given, state, kept)
    return state.slip, state.held, kept


def _plain(given):
    """One shot's numbers as Python's own, and its columns as arrays [nodes]."""
    kept = (float, int, bool, dict, type(None), type(...))
    return type(given)(**{
        name: _plain(value) if name == "spring" else value if type(value) in kept else
        value[:, 0] if value.ndim > 1 else value.item() for name, value in vars(given).items()})


def _phase(given, state, mode, one):
    return _slide(given, state, one) if mode == SLIDES else _hold(given, state, mode, one)


def _alone(given, state, kept):
    """One shot through its phases."""
    for left in range(_MOST_ROUNDS, 0, -1):
        if left == 1:  # it slides on
            state = state._replace(mode=SLIDES, after=STEPS)
        since = state.place
        state, until, course = _phase(given, state, state.mode, _ONE)
        if kept is not None:
            _keep(kept[..., 0], course, (since < given.nodes) & (until >= given.nodes), ...)
        if state.mode == DONE:
            break
    return state


def _together(given, state, kept):
    """Many shots, those in the same phase at once."""
    states, count, after = np.array(state, dtype=float), len(state.slip), _State._fields.index("after")  # [parts, shots]
    for left in range(_MOST_ROUNDS, 0, -1):
        if left == 1:
            states[0, states[0] != DONE], states[after] = SLIDES, STEPS
        for mode in (SLIDES, FIRST, FIRMER, SOFTER):
            which = np.flatnonzero(states[0] == mode)
            if not len(which):
                continue
            which = which if len(which) < count else ...
            some = _State(*some_of(states, which, 0))
            since = max(min(int(some.place.min()), STEPS - 2) - 2, 0)  # a cubic leans on no node before this one
            mine = given.of(which, since)
            new, until, course = _phase(mine, some, mode, _MANY)
            if kept is not None:
                _keep(kept[:, since:], course, (some.place < mine.nodes) & (until >= mine.nodes), which)
            states[:, which] = new
        if np.all(states[0] == DONE):
            break
    return _State(*states)


def _keep(kept, course, passed, which):
    """Keep what a phase told of the nodes it passed."""
    for row, new in zip(kept, course):
        row[:, which] = np.where(passed, new, row[:, which])
