"""Along the face: a spring held by friction, let go where friction can do no more, caught again where it can.

A contact has a few phases: the surfaces slide or hold, and the spring that holds is as stiff as at first touch, stiffer on
the way back, or softer once its force has turned round.  A phase is solved for all nodes at once – sliding is a sum over the
impulse, holding a running product of 2×2 matrices – and ends where its condition first fails, placed between two nodes by a
cubic.  Shots in the same phase go through it together; each then takes up its next one where it stands.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from types import SimpleNamespace
from typing import NamedTuple

import numpy as np

from ..records import Assumptions
from .instants import GIVEN, IMPULSE, NODES, OVER_EVEN, STEPS, between, cubic, falling
from .normal import NormalMotion
from .onemany import tools
from .spring import held

SLIDES, FIRST, FIRMER, SOFTER, DONE = range(5)  # what a shot does: three ways to hold
_MOST_ROUNDS = 2 * STEPS  # a shot that still changes sides after so many slides on
_MOST_SWEEPS, _SETTLED = 20, 1e-6
_NOUGHT = 1e-12  # rounding, in units of friction force and slip

# one shot is plain numbers and arrays [nodes], many are arrays [shots] and [nodes, shots]
_ONE = SimpleNamespace(
    **vars(tools(())), nodes=NODES[:, 0], given=GIVEN[:, 0], whole=int,
    first=lambda mask: (int(mask.argmax()), bool(mask.any())), at=lambda values, node: float(values[node]))
_MANY = SimpleNamespace(
    **vars(tools((1,))), nodes=NODES, given=GIVEN, whole=lambda place: place.astype(int),
    first=lambda mask: (mask.argmax(axis=0), mask.any(axis=0)),
    at=lambda values, node: values[node, np.arange(values.shape[-1])])


@dataclass
class _Given:
    """What one shot or a row of them brings along; numbers and single columns are shared by all."""

    slow: np.ndarray  # friction limit at little slip
    fall: np.ndarray | None  # what speed adds to it, from 12.8 to 26.8 m/s
    shear: np.ndarray | None  # a film's own friction per slip
    cap: np.ndarray | None  # and its most
    scale: np.ndarray  # slip over 14 m/s
    force: np.ndarray  # across the face
    push: np.ndarray  # spring force per slip, over each step
    pull: np.ndarray  # slip per spring force, over each step
    lean: np.ndarray  # Magnus's commutator of the two
    slowing: np.ndarray  # slip taken away by the whole impulse, per friction
    turning: np.ndarray | None  # slip taken away by an impulse that passes off the ball's centre
    stiffness: dict  # of the spring, by what the shot does

    def of(self, which):
        """The same for some of the shots."""
        parts = {f.name: getattr(self, f.name) for f in fields(self)}
        return _Given(**{name: {mode: _some(part, which) for mode, part in value.items()} if name == "stiffness" else
                         _some(value, which) for name, value in parts.items()})

    def limit(self, slip):
        """The most that friction can be at each node, see `friction_law`."""
        most, speed = self.slow, np.abs(slip) if self.fall is not None or self.shear is not None else None
        if self.fall is not None:  # 12.8 to 26.8 m/s
            most = most + self.fall * np.minimum(np.maximum(speed * self.scale - 12.8 / 14.0, 0.0), 1.0)
        return most if self.shear is None else most + np.minimum(self.shear * speed, self.cap)


def _some(value, which):
    return value if np.ndim(value) == 0 or value.shape[-1] == 1 else value[..., which]


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

    Returns where the shots stand then, the last node of the phase, and its slip, friction share and limit at all nodes.
    """
    way, slip, begun = state.way, state.slip, one.some(state.place)
    here = cubic(state.place, one)
    if given.turning is not None:
        slip = slip - given.turning * np.maximum(one.given - state.given, 0.0)
    slips, end, settled = slip, state.slip, False
    for _ in range(_MOST_SWEEPS):  # friction asks for slip, and slip for friction
        most = given.limit(slips)
        handed = IMPULSE @ most
        if begun:  # nothing was handed over before
            handed = np.maximum(handed - between(handed, *here), 0.0)
        new, before = slip - way * given.slowing * handed, end
        slips = np.where(settled, slips, new) if one.some(settled) else new  # a shot minds no other
        end = slips[-1]
        settled = settled | (abs(end - before) < _SETTLED) | (most is given.slow)
        if np.all(settled):
            break
    most = given.limit(slips)
    top = most * given.force
    gain, rise = (slips[1:] + slips[:-1]) * (0.5 * way) * given.push, top[1:] - top[:-1]
    onward = one.pick(state.turned, given.stiffness[SOFTER], 1.0)
    spare = [gain * stiff - rise for stiff in (onward, given.stiffness[FIRMER])]
    step, ends = one.first((np.minimum(*spare) < -_NOUGHT) & (one.nodes[:-1] >= state.after))
    course, until = (slips, way * most, most), one.pick(ends, step, STEPS)
    if not one.some(ends):
        return state._replace(mode=DONE + 0 * state.mode, slip=end), until, course
    # where the straight line through the middles of the steps passes nought, with the one stiffness or the other
    into = [_passes(one.at(part, one.most(step - 1, 0)), one.at(part, step), one) for part in spare]
    place = one.most(step - 0.5 + one.least(*into), state.after)
    here = cubic(place, one)
    slip = between(slips, *here)
    side = one.pick(slip * way < 0, -way, way)
    return state._replace(
        mode=one.pick(ends, _holds(way, side, state.turned, one), DONE), place=place, given=between(one.given, *here),
        slip=one.pick(ends, slip, end), force=way * between(top, *here), side=side), until, course


def _passes(was, now, one):
    """Share of the way from was to now at which nought is passed; all of it where it is not."""
    was = one.most(was, 0.0)
    return was / (was + one.most(-now, _NOUGHT))


def _hold(given: _Given, state: _State, stiffness, one):
    """The spring holds: ``dF = stiffness rate σ dt, dσ = −inertia F dt − turning dJ``, until the force reaches the limit,
    or slip or force pass nought.  Returns the same as `_slide`."""
    way, side, place = state.way, state.side, state.place
    both, here = held(stiffness * given.push, given.pull, stiffness * given.lean), cubic(place, one)
    (a, b), (c, d) = between(both, *here)
    scale = 1 / (a * d - b * c)
    first, second = scale * (d * state.force - b * state.slip), scale * (a * state.slip - c * state.force)
    if given.turning is not None:  # variation of the two constants
        for_first, for_second = IMPULSE @ both[0, 1], IMPULSE @ both[0, 0]
        first = first + given.turning * (for_first - between(for_first, *here))
        second = second - given.turning * (for_second - between(for_second, *here))
    force, slip = both[:, 0] * first + both[:, 1] * second
    most = given.limit(slip)
    pushed, slipped = way * force, side * slip
    room = most * given.force - pushed
    high, ends = one.first((np.minimum(np.minimum(room, pushed), slipped) < -_NOUGHT) & (one.nodes > place))
    course, until = (slip, force / (given.force + 1e-100), most), one.pick(ends, high - 1, STEPS)
    if not one.some(ends):
        return state._replace(mode=DONE + 0 * state.mode, slip=slip[-1], held=state.held + 1 - state.given), until, course
    at = falling((room, slipped, pushed), one.most(place, high - 1), high, one)
    place = one.least(one.least(one.least(*at[:2]), at[2]), high)
    here = cubic(place, one)
    slides, stops, turns = at[0] <= place, at[1] <= place, at[2] <= place
    force_here, slip_here, passed = between(force, *here), between(slip, *here), between(one.given, *here)
    way, side, turned = one.pick(turns, -way, way), one.pick(stops, -side, side), state.turned | turns
    mode, slip_here = one.pick(slides, SLIDES, _holds(way, side, turned, one)), one.pick(stops, 0.0, slip_here)
    return _State(
        mode=one.pick(ends, mode, DONE), place=place, given=passed, slip=one.pick(ends, slip_here, slip[-1]),
        force=one.pick(turns, 0.0, force_here), way=way, side=side, turned=turned, after=one.whole(place) + 1,
        held=state.held + one.pick(ends, passed, 1.0) - state.given), until, course


# -- all of it --------------------------------------------------------------------------------------------------------


def _gather(motion, law, inertia, turning, closing_speed, restitution, ball, assume):
    """What the phases need, from what is known of a row of shots."""
    solid, rest, shear, cap, _ = law
    span = np.asarray(ball.friction_fast) - np.asarray(ball.friction)
    rate = assume.tangential_stiffness * 1.5 * np.sqrt(motion.x) * motion.lasting
    handed = 1 + restitution
    return _Given(
        slow=solid * ball.friction + rest + np.zeros(NODES.shape), fall=solid * span if np.any(span) else None,
        shear=shear, cap=cap, scale=closing_speed / 14.0, force=motion.force, push=OVER_EVEN @ rate,
        pull=inertia * motion.step,
        lean=inertia / 12 * (rate[1:] * motion.lasting[:-1] - rate[:-1] * motion.lasting[1:]),
        slowing=inertia * handed, turning=turning * handed if np.any(turning) else None,
        stiffness={FIRST: 1.0, FIRMER: assume.unloading, SOFTER: assume.reversal})


def _start(given, first_touch, slip, one):
    """The first instant: the spring holds if it asks for less than friction can do."""
    friction, most, none = first_touch * slip, one.at(given.limit(slip), one.whole(0 * slip)), 0.0 * slip
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
    given = _gather(motion, law, inertia, turning, closing_speed, restitution, ball, assume)
    first_touch, one = assume.tangential_stiffness / (1 + motion.loss), _ONE if count is None else _MANY
    if count is None:
        given, slip, first_touch = _plain(given), float(slip), float(first_touch)
    else:
        slip = np.zeros(count) + slip
    state, touch = _start(given, first_touch, slip, one)
    kept = np.zeros((3, STEPS + 1, 1 if count is None else count)) + np.reshape(touch, (3, 1, -1)) if keep else None
    state = _alone(given, state, kept) if count is None else _together(given, state, kept)
    return state.slip, state.held, kept


def _plain(given):
    """One shot's numbers as Python's own, and its columns as arrays [nodes]."""
    parts = {f.name: getattr(given, f.name) for f in fields(given)}
    told = {name for name, value in parts.items() if value is not None and name != "stiffness"}
    return _Given(**parts | {name: parts[name][:, 0] if np.ndim(parts[name]) > 1 else float(parts[name]) for name in told})


def _phase(given, state, mode, one):
    return _slide(given, state, one) if mode == SLIDES else _hold(given, state, given.stiffness[mode], one)


def _alone(given, state, kept):
    """One shot through its phases."""
    for left in range(_MOST_ROUNDS, 0, -1):
        if left == 1:  # it slides on
            state = state._replace(mode=SLIDES, after=STEPS)
        since = state.place
        state, until, course = _phase(given, state, state.mode, _ONE)
        if kept is not None:
            _keep(kept[..., 0], course, (since < _ONE.nodes) & (until >= _ONE.nodes))
        if state.mode == DONE:
            break
    return state


def _together(given, state, kept):
    """Many shots, those in the same phase at once."""
    count, state = len(state.slip), _State(*map(np.array, state))  # each part its own, for they are written into
    for left in range(_MOST_ROUNDS, 0, -1):
        if left == 1:
            state.after[state.mode != DONE], state.mode[state.mode != DONE] = STEPS, SLIDES
        for mode in (SLIDES, FIRST, FIRMER, SOFTER):
            which = np.flatnonzero(state.mode == mode)
            if not len(which):
                continue
            these = len(which) < count
            some = _State(*(part[which] for part in state)) if these else state
            new, until, course = _phase(given.of(which) if these else given, some, mode, _MANY)
            if kept is not None:
                _keep(kept, course, (some.place < NODES) & (until >= NODES), which)
            if not these:
                state = new
                continue
            for part, now in zip(state, new):
                part[which] = now
        if np.all(state.mode == DONE):
            break
    return state


def _keep(kept, course, passed, which=...):
    """Keep what a phase told of the nodes it passed."""
    for row, new in zip(kept, course):
        row[:, which] = np.where(passed, new, row[:, which])
