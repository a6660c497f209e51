"""Along the face: a spring held by friction, let go where friction can do no more, caught again where it can.

Steps are taken over shares of the normal impulse.  While the spring holds, a step is solved to the fourth order; where it
lets go, catches, or turns round within a step, the instant is found from the rates at its two ends.
"""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np

from ..records import Assumptions
from .normal import SHARE, STEPS, NormalMotion, over_steps
from .onemany import rows, tools

_TINY = 1e-100  # keeps the first and last instant, where nothing pushes, out of divisions by nought


def friction_limit(law, ball, closing_speed, one, shape):
    """The most that friction can be, as a function of node and slip, for one shot or for many (see `friction_law`)."""
    solid, rest, shear, cap, _ = law
    nodes, span = STEPS + 1, np.asarray(ball.friction_fast) - np.asarray(ball.friction)
    slow = rows(solid * ball.friction + rest, nodes, shape)
    steady = not np.any(span)
    fall, scale = rows(solid * span, nodes, shape), closing_speed / 14.0 if shape else float(closing_speed) / 14.0
    shear, cap = (None, None) if shear is None else (rows(shear, nodes, shape), rows(cap, nodes, shape))

    def limit(i, slip):
        slip, most = abs(slip), slow[i]
        if not steady:  # 12.8 to 26.8 m/s
            most = most + fall[i] * one.least(one.most(slip * scale - 12.8 / 14.0, 0.0), 1.0)
        return most if shear is None else most + one.least(shear[i] * slip, cap[i])

    return limit


def _held(motion: NormalMotion, rate, pull, inertia, shape):
    """What each step does to friction share and slip while the spring holds: rows of the four numbers of a 2×2 matrix.

    ``dF = rate σ, dσ = −inertia F dt`` is linear, so a step is ``exp Ω = cos φ + (sin φ/φ) Ω`` with Magnus's Ω of the
    fourth order: the sums over the step, and on the diagonal a twelfth of the commutator of its two ends.
    """
    push = over_steps(rate, 1)
    lean = inertia / 12 * (rate[1:] * motion.lasting[:-1] - rate[:-1] * motion.lasting[1:])
    w = push * pull - lean * lean  # φ²
    cos, sin = 1 - w / 2 * (1 - w / 12 * (1 - w / 30 * (1 - w / 56))), 1 - w / 6 * (1 - w / 20 * (1 - w / 42))
    before, after = motion.force[:-1], motion.force[1:] + _TINY
    lean = sin * lean
    four = ((cos - lean) * before / after, sin * push / after, -sin * pull * before, cos + lean)
    if not shape:
        return list(zip(*(rows(part, STEPS, shape) for part in four)))
    return np.stack([np.broadcast_to(part, (STEPS, *shape)) for part in four], axis=1)


def _rows(motion, *, stiffness, inertia, turning, restitution, back, over, shape):
    """All that the steps need and that does not depend on friction, as rows of numbers or of arrays."""
    rate = stiffness * 1.5 * np.sqrt(motion.x) * motion.lasting
    pull = inertia * motion.step
    given = np.multiply.outer(SHARE, 1 + restitution)
    return SimpleNamespace(
        first=_held(motion, rate, pull, inertia, shape), firmer=_held(motion, rate * back, pull, inertia, shape),
        softer=_held(motion, rate * over, pull, inertia, shape), half=rows(0.5 * inertia * given, STEPS, shape),
        twist=rows(0.5 * turning * given, STEPS, shape), settle=rows(0.5 * pull * motion.force[1:], STEPS, shape),
        firm=rows(0.5 * (back - 1) * over_steps(rate, 1) / (motion.force[1:] + _TINY), STEPS, shape),
        rate=rows(rate, STEPS + 1, shape), force=rows(motion.force + _TINY, STEPS + 1, shape))


def along_the_face(motion: NormalMotion, law, *, slip, inertia, turning, closing_speed, restitution, ball,
                   assume: Assumptions, shape=(), keep=False):
    """Step slip σ and friction share q = F/N: a spring that holds, and lets go where friction can do no more.

    ``dF = κ · 1.5 √x σ dt`` held within ``±μN``, ``dσ = −(inertia q + turning) dJ_n``.  Where it slides, the slip is the
    trapezoid over shares of the impulse, exact for steady friction.  The spring is `unloading` times as stiff where slip
    takes it back, and `reversal` times once its force has turned round.

    Returns
    -------
    tuple
        slip at the end, J_t/J_n, share of the impulse given without sliding, and the kept steps (slip, q, limit).
    """
    one = tools(shape)
    limit, twisted = friction_limit(law, ball, closing_speed, one, shape), bool(np.any(turning))
    back, over = assume.unloading, assume.reversal
    row = _rows(motion, stiffness=assume.tangential_stiffness, inertia=inertia, turning=turning, restitution=restitution,
                back=back, over=over, shape=shape)
    start = slip = slip + np.zeros(shape) if shape else float(slip)
    most = limit(0, slip)
    q = one.least(rows(assume.tangential_stiffness * slip / (1 + motion.loss), 1, shape)[0], most)
    turned, earlier = q < 0, 0.0
    holds, kept = [], [(slip, q, most)] if keep else None
    for i in range(STEPS):
        before, eases, half = slip, q * slip < 0, row.half[i]
        ways = one.pick(turned, row.softer[i], row.first[i]) if one.some(turned) else row.first[i]
        to_q, from_slip, to_slip, stays = one.pick(eases, row.firmer[i], ways)
        if twisted:
            slip = slip - row.twist[i]
        trial, later = to_q * q + from_slip * slip, to_slip * q + stays * slip
        turns = later * before < 0
        if one.some(turns):  # slip that turned within the step met the stiff way back from there
            past = row.firm[i] * later * abs(later) / (abs(later) + abs(before) + _TINY)
            trial = one.pick(turns & (q * before > 0), trial + past, trial)
        passes = trial * q < 0
        if one.some(passes):  # force past nought is loaded the other way, far softer
            fresh = trial * over / back
            later = one.pick(passes, later - row.settle[i] * (fresh - trial) * trial / (trial - q + _TINY), later)
            trial, turned = one.pick(passes, fresh, trial), turned | passes
        slid, room, latest = slip - half * q, most - abs(q), most * row.force[i]
        near = room < 0.25 * most
        most = limit(i + 1, slid - half * q)
        new = one.least(one.most(trial, -most), most)
        if i < STEPS - 1 and one.some(near):
            spring = one.pick(eases, back, 1.0) * row.rate[i] * before
            limits = earlier, latest, most * row.force[i + 1]
            new = one.pick(near, _caught(one, q, trial, new, room * row.force[i], spring, limits, row.force[i + 1]), new)
        lack = trial - new
        # where it lets go within the step, friction passes through a corner above the chord
        slid = slid - half * (new + lack * room / (room + abs(lack) + _TINY))
        slip = one.pick(new == trial, later, slid)
        if twisted:
            slip = slip - row.twist[i]
        q, earlier = new, latest
        holds.append(abs(q) < most)
        if keep:
            kept.append((slip, q, most))
    done = (start - slip - turning * (1 + restitution)) / (inertia * (1 + restitution))
    return slip, done, np.tensordot(SHARE, np.array(holds, dtype=float), 1), kept


def _caught(one, q, trial, new, room, spring, limits, force):
    """Friction share after a step in which the spring touches the limit and parts from it again, else `new`.

    The gap between limit and spring opens at a rate taken as a straight line; it is kept from falling below nought.
    """
    earlier, latest, now = limits
    side = one.pick(q < 0, -1.0, 1.0)
    opens = 0.5 * (now - earlier) - side * spring  # at the start of the step
    gap = now - side * trial * force
    at_end = 2 * (gap - room) - opens
    lowest = room - 0.5 * opens * opens / (one.most(at_end - opens, 0.0) + _TINY)
    kept = side * one.least(one.most((now - gap + lowest) / force, -now / force), now / force)
    return one.pick((opens < 0) & (at_end > 0) & (lowest < 0), kept, new)
