"""Questions put to a shot: any of its numbers, the speed for a carry, the loft that spins most, what
doubt makes of it, and whose share a difference is."""

from __future__ import annotations

import math
from typing import NamedTuple

from ..units import GRAVITY, deg
from .bracket import ROOT_ROUNDS, bracket_between, narrowed, secant
from .compiled import Array, entry, kernel
from .contact import History, strike
from .flight import Drawing, fly
from .ground import Trace
from .nouns import Aerodynamics, Air, Ball, Delivery, Landing, Launch, Situation, Stop
from .shot import launch_of, stop_of

CONTACT_STAGE = 0
FLIGHT_STAGE = 1
GREEN_STAGE = 2
"""How far down the chain a question reaches."""

SLOWEST_HEAD = 1.0
FASTEST_HEAD = 79.0
"""Head speeds [m/s] between which `head_speed_for_carry` looks."""
FASTEST_BALL = 90.0
"""The largest ball speed [m/s] that `ball_speed_for_carry` tries."""
CLOSE_CARRY = 1e-4
"""A carry is met within this [m]."""
OUT_OF_REACH = -1.0
"""The answer where no speed carries the ball so far."""

FACTOR = 1.0
SHIFT = 2.0
"""How a range of doubt is meant: it multiplies the number, or is added to it; else it replaces it."""

PEAK_POINTS = 24
PEAK_ROUNDS = 40
GOLDEN = 0.3819660112501051
"""The smaller part of a golden section."""


class Nothing(NamedTuple):
    """Empty arrays, for shots of which no drawing is wanted."""

    history: History
    drawing: Drawing
    trace: Trace


class Answers(NamedTuple):
    """The numbers of a shot that people ask for, in SI."""

    spin_rate: float
    launch_angle: float
    ball_speed: float
    effective_friction: float
    grip_share: float
    carry: float
    apex: float
    flight_time: float
    descent_angle: float
    landing_speed: float
    landing_spin: float
    run_out: float
    first_bounce: float
    total: float


@entry
def answers(shot: Situation, stage: int, nothing: Nothing) -> Answers:
    """The numbers of a shot, worked out as far down the chain as `stage` says; beyond it, zeros."""
    impact = strike(
        shot.arriving, shot.face, shot.ball, shot.between, shot.assume, nothing.history
    )
    landing = Landing(0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
    stop = Stop(0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
    if stage >= FLIGHT_STAGE:
        landing = fly(launch_of(impact), shot.air, shot.ball, shot.aerodynamics, nothing.drawing)
    if stage >= GREEN_STAGE:
        stop = stop_of(landing, shot, nothing.trace, 0)
    return Answers(
        spin_rate=impact.spin_rate,
        launch_angle=impact.launch_angle,
        ball_speed=impact.ball_speed,
        effective_friction=impact.effective_friction,
        grip_share=impact.grip_share,
        carry=landing.carry,
        apex=landing.apex,
        flight_time=landing.flight_time,
        descent_angle=landing.descent_angle,
        landing_speed=landing.landing_speed,
        landing_spin=landing.landing_spin,
        run_out=stop.run_out,
        first_bounce=stop.first_bounce,
        total=landing.carry + stop.run_out,
    )


# -- the speed for a carry -------------------------------------------------------------------------


@kernel
def delivered(shot: Situation, head_speed, dynamic_loft) -> Situation:
    """The same shot with another head speed and dynamic loft."""
    arriving = Delivery(
        head_speed=head_speed,
        dynamic_loft=dynamic_loft,
        attack_angle=shot.arriving.attack_angle,
        normal_offset=shot.arriving.normal_offset,
        strike_height=shot.arriving.strike_height,
    )
    return Situation(
        arriving=arriving,
        face=shot.face,
        ball=shot.ball,
        between=shot.between,
        assume=shot.assume,
        air=shot.air,
        aerodynamics=shot.aerodynamics,
        green=shot.green,
    )


@entry
def root_carry(shot: Situation, head_speed, nothing: Nothing):
    """Root of the carry [m^0.5]: carry grows nearly with the square of speed, so this is nearly
    straight."""
    now = delivered(shot, head_speed, shot.arriving.dynamic_loft)
    return math.sqrt(max(answers(now, FLIGHT_STAGE, nothing).carry, 0.0))


@entry
def head_speed_for_carry(carry, shot: Situation, nothing: Nothing):
    """The head speed [m/s] that gives a carry [m], everything else of the shot kept.

    By a `Bracket` from 1 to 79 m/s.  `SLOWEST_HEAD` where even that carries
    further, `OUT_OF_REACH` where no speed carries so far.
    """
    wanted = math.sqrt(carry)
    low = SLOWEST_HEAD
    high = FASTEST_HEAD
    short = root_carry(shot, low, nothing) - wanted
    over = root_carry(shot, high, nothing) - wanted
    if over < 0.0:
        return OUT_OF_REACH
    if short > 0.0:
        return low
    bracket = bracket_between(low, high, short, over)
    here = high
    for _ in range(ROOT_ROUNDS):
        here = secant(bracket)
        miss = root_carry(shot, here, nothing) - wanted
        if abs(miss) * 2.0 * wanted < CLOSE_CARRY:
            break
        bracket = narrowed(bracket, here, miss)
    return here


@entry
def root_carry_of_launch(
    speed, launch: Launch, air: Air, ball: Ball, law: Aerodynamics, drawing: Drawing
):
    """Root of the carry [m^0.5] of a launch at another ball speed."""
    now = Launch(
        ball_speed=speed,
        launch_angle=launch.launch_angle,
        spin_rate=launch.spin_rate,
        direction=launch.direction,
        spin_tilt=launch.spin_tilt,
    )
    return math.sqrt(max(fly(now, air, ball, law, drawing).carry, 0.0))


@entry
def ball_speed_for_carry(
    carry, launch: Launch, air: Air, ball: Ball, law: Aerodynamics, drawing: Drawing
):
    """The smallest ball speed [m/s] that carries a ball of this launch angle and spin so far [m].

    The speed grows in steps from below what would carry as far without air; then by a `Bracket`.
    `OUT_OF_REACH` where no speed up to 90 m/s carries so far.
    """
    wanted = math.sqrt(carry)
    without_air = math.sqrt(carry * GRAVITY / math.sin(2.0 * launch.launch_angle))
    low = 0.4 * without_air
    short = root_carry_of_launch(low, launch, air, ball, law, drawing) - wanted
    while short > 0.0:
        low = 0.5 * low
        short = root_carry_of_launch(low, launch, air, ball, law, drawing) - wanted
    high = low
    over = short
    while over < 0.0 and high < FASTEST_BALL:
        low = high
        short = over
        high = min(1.1 * high, FASTEST_BALL)
        over = root_carry_of_launch(high, launch, air, ball, law, drawing) - wanted
    if over < 0.0:
        return OUT_OF_REACH
    bracket = bracket_between(low, high, short, over)
    here = high
    for _ in range(ROOT_ROUNDS):
        here = secant(bracket)
        miss = root_carry_of_launch(here, launch, air, ball, law, drawing) - wanted
        if abs(miss) * 2.0 * wanted < CLOSE_CARRY:
            break
        bracket = narrowed(bracket, here, miss)
    return here


# -- the loft that spins most ----------------------------------------------------------------------


class Peak(NamedTuple):
    """The dynamic loft [rad] with most spin, the spin there [rad/s], and whether it is inside the
    range searched (1) or at its end (0)."""

    dynamic_loft: float
    spin_rate: float
    inside: float


@entry
def spin_at_loft(dynamic_loft, shot: Situation, carry, nothing: Nothing):
    """Spin at a dynamic loft [rad/s]: with the same swing, or for the same carry where `carry` > 0."""
    now = delivered(shot, shot.arriving.head_speed, dynamic_loft)
    if carry > 0.0:
        head_speed = head_speed_for_carry(carry, now, nothing)
        if head_speed == OUT_OF_REACH:
            return OUT_OF_REACH
        now = delivered(shot, head_speed, dynamic_loft)
    return answers(now, CONTACT_STAGE, nothing).spin_rate


@entry
def peak_of_spin(low, high, shot: Situation, carry, nothing: Nothing) -> Peak:
    """The dynamic loft with most spin between two lofts [rad]: a grid, then golden sections."""
    step = (high - low) / (PEAK_POINTS - 1.0)
    best = low
    most = -math.inf
    for i in range(PEAK_POINTS):
        loft = low + step * i
        spin = spin_at_loft(loft, shot, carry, nothing)
        if spin > most:
            most = spin
            best = loft
    left = max(best - step, low)
    right = min(best + step, high)
    first = left + GOLDEN * (right - left)
    second = right - GOLDEN * (right - left)
    at_first = spin_at_loft(first, shot, carry, nothing)
    at_second = spin_at_loft(second, shot, carry, nothing)
    for _ in range(PEAK_ROUNDS):
        if right - left < 1e-5 * deg:
            break
        if at_first > at_second:
            right = second
            second = first
            at_second = at_first
            first = left + GOLDEN * (right - left)
            at_first = spin_at_loft(first, shot, carry, nothing)
        else:
            left = first
            first = second
            at_first = at_second
            second = right - GOLDEN * (right - left)
            at_second = spin_at_loft(second, shot, carry, nothing)
    middle = 0.5 * (left + right)
    spin = spin_at_loft(middle, shot, carry, nothing)
    if spin > most:
        most = spin
        best = middle
    margin = 0.01 * deg
    inside = 1.0 if low + margin < best < high - margin else 0.0
    return Peak(dynamic_loft=best, spin_rate=most, inside=inside)


# -- doubt -----------------------------------------------------------------------------------------


class Doubts(NamedTuple):
    """For each number of a row: its range of doubt, how it is meant, and what a record allows."""

    low: Array
    high: Array
    how: Array
    lowest: Array
    highest: Array


@kernel
def moved_in_range(own, low, high, how, share):
    """A number moved to a share 0 … 1 of its range of doubt; a negative share leaves it as it is.

    A range that replaces the number does so only where the number lies within it.
    """
    value = low + (high - low) * share
    if share < 0.0:
        return own
    if how == FACTOR:
        return own * value
    if how == SHIFT:
        return own + value
    if low <= own <= high:
        return value
    return own


@entry
def vary_row(row: Array, shares: Array, doubts: Doubts, varied: Array) -> None:
    """Fill `varied` with a row whose numbers are moved to shares of their ranges."""
    for i in range(len(row)):
        moved = moved_in_range(row[i], doubts.low[i], doubts.high[i], doubts.how[i], shares[i])
        varied[i] = row[i]
        if shares[i] >= 0.0:
            varied[i] = min(max(moved, doubts.lowest[i]), doubts.highest[i])


@entry
def sort(values: Array) -> None:
    """Sort in place, smallest first (insertion; for a few hundred numbers)."""
    for i in range(len(values)):
        value = values[i]
        place = i
        while place > 0 and values[place - 1] > value:
            values[place] = values[place - 1]
            place = place - 1
        values[place] = value


@entry
def quantile(ordered: Array, share):
    """The quantile of sorted values, on straight lines between them (Hyndman & Fan's type 7, from
    memory)."""
    place = share * (len(ordered) - 1.0)
    before = 0
    while before + 2 < len(ordered) and before + 1.0 <= place:
        before = before + 1
    return ordered[before] + (place - before) * (ordered[before + 1] - ordered[before])


# -- fair shares -----------------------------------------------------------------------------------


@entry
def shapley(values: Array, players: int, sizes: Array, shares: Array) -> None:
    """Fill `shares` [players] with the Shapley values of a game.

    ``φ_i = Σ_S |S|!(n−|S|−1)!/n! (v(S ∪ i) − v(S))`` over all S without i.  `values` holds v of every
    coalition [2^players]: bit i of the index says whether player i takes part.  `sizes` is room for
    as many numbers.
    """
    count = 1
    sizes[0] = 0.0
    for _ in range(players):
        for coalition in range(count):
            sizes[count + coalition] = sizes[coalition] + 1.0
        count = 2 * count
    bit = 1
    for i in range(players):
        shares[i] = 0.0
        start = 0
        while start < count:
            for k in range(bit):
                without = start + k
                weight = coalition_weight(sizes[without], players)
                shares[i] = shares[i] + weight * (values[without + bit] - values[without])
            start = start + 2 * bit
        bit = 2 * bit


@kernel
def coalition_weight(size, players: int):
    """``|S|!(n−|S|−1)!/n!``: how often, of all orders, exactly this coalition comes first."""
    weight = 1.0 / players
    for k in range(players):
        if k < size:
            weight = weight * (k + 1.0) / (players - k - 1.0)
    return weight
