"""The scene "what to fix first": one player's pitch against a well-kept one, cause by cause, in metres.

Two different numbers stand side by side and say which they are: the fair share of each cause, an
average over every order (Shapley), and the gain of each step when causes are put right in one order.
Both are those of `spinlab.physics.players.split`, worked out here in the kernel's dialect.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from ..catalogue import BALLS, GREENS, SOIL, WEAR, WETNESS
from ..kernel.compiled import Array, entry, kernel
from ..kernel.questions import (
    GREEN_STAGE,
    Answers,
    Nothing,
    answers,
    quantile,
    shapley,
    sort,
    vary_row,
)
from ..kernel.rows import ROW_LENGTH, situation_at
from ..physics.bands import latin_hypercube
from ..physics.players import PLAYERS, REFERENCE
from ..physics.setting import Setting, situation_rows
from ..physics.shares import CAUSES, DRAWS, LEAST_STEP, combinations
from ..physics.uncertain import PARAMETERS
from ..records import Between, Delivery
from ..units import deg, mm, um
from .scene import Axis, Choice, Guess, Number, Plot, Scene, rows, text
from .usual import (
    ATTACK_ANGLE,
    DYNAMIC_LOFT,
    EDGE_RADIUS,
    FRICTION,
    FRICTION_FAST,
    GRASS,
    GROOVE_DEPTH,
    HEAD_SPEED,
    NORMAL_OFFSET,
    ROUGHNESS,
    SOIL_IN_GROOVES,
    SOIL_ON_LANDS,
    WATER,
    Usual,
    begin,
    spread,
)

__all__ = ["player_of", "state_of", "what_to_fix_first"]

CLEANED = {
    "just now, towel": SOIL["clean"],
    "with a tee": SOIL["after a tee"],
    "not at all": SOIL["caked"],
}
"""When and how the face was last cleaned: kinds of soil."""
STRIKES = {"in the middle": 0.0, "off the middle": -0.5 * mm}
"""Offset of the force [m]."""
_CAUSES = len(CAUSES)
_COMBINATIONS = 1 << _CAUSES
SOME = 64
"""So many combinations are played under the hand; more have to wait until it rests."""
TAIL = 0.05
"""Share of the draws beyond either end of a band."""


class Room(NamedTuple):
    """Room to work in: one number a cause."""

    active: Array
    fixed: Array
    order: Array
    share: Array


class Games(NamedTuple):
    """The run-out of every combination of causes [m]; and room."""

    run: Array
    sizes: Array


class Drawn(NamedTuple):
    """What the draws give: one row for each step, or each cause, a number a draw."""

    run: Array
    spin: Array
    share: Array


class Tables(NamedTuple):
    """What is only read: the cause that each column of a shot's row belongs to (−1: none), what
    each takes, and rows of shares for the draws."""

    which: Array
    effort: Array
    draws: Array


class Answer(NamedTuple):
    """What the scene says [SI].  `first` is the cause to put right first, `most` the one that alone
    saves most, by their places among all causes; −1 where nothing helps.  Ends of bands that are
    not known yet are those numbers themselves."""

    own_run: float
    own_run_low: float
    own_run_high: float
    own_spin: float
    own_spin_low: float
    own_spin_high: float
    kept_run: float
    kept_run_low: float
    kept_run_high: float
    kept_spin: float
    kept_spin_low: float
    kept_spin_high: float
    first: float
    first_gain: float
    first_low: float
    first_high: float
    most: float
    rested: float


# -- playing combinations --------------------------------------------------------------------------


@kernel
def no_draw(usual: Usual) -> None:
    """Move nothing."""
    for i in range(len(usual.shares)):
        usual.shares[i] = -1.0


@kernel
def take_draw(usual: Usual, tables: Tables, draw: int) -> None:
    """Move all that is uncertain as one draw says."""
    for i in range(len(usual.shares)):
        usual.shares[i] = tables.draws[draw * len(usual.shares) + i]


@entry
def play_fixed(usual: Usual, own: Array, tables: Tables, fixed: Array) -> Answers:
    """The player's shot with some causes as in the well-kept one: those whose `fixed` is 1."""
    for column in range(len(own)):
        usual.now[column] = own[column]
        for cause in range(len(fixed)):
            if fixed[cause] > 0.5 and tables.which[column] == float(cause):
                usual.now[column] = usual.shot[column]
    vary_row(usual.now, usual.shares, usual.doubts, usual.moved)
    nothing = Nothing(history=usual.history, drawing=usual.drawing, trace=usual.trace)
    return answers(situation_at(usual.moved), GREEN_STAGE, nothing)


@entry
def find_active(usual: Usual, own: Array, tables: Tables, room: Room) -> int:
    """How many causes differ; the first of `room.active` are they."""
    count = 0
    for cause in range(len(room.fixed)):
        differs = 0.0
        for column in range(len(own)):
            if tables.which[column] == float(cause) and own[column] != usual.shot[column]:
                differs = 1.0
        if differs > 0.5:
            room.active[count] = float(cause)
            count = count + 1
    return count


@entry
def fix_only(room: Room, count: int, places: Array) -> None:
    """Fix the active causes whose place is 1."""
    for cause in range(len(room.fixed)):
        room.fixed[cause] = 0.0
        for i in range(count):
            if room.active[i] == float(cause):
                room.fixed[cause] = places[i]


@entry
def play_all(
    usual: Usual, own: Array, tables: Tables, room: Room, games: Games, count: int
) -> None:
    """Play every combination of the active causes; bit i of the index is the i-th of them."""
    for i in range(count):
        room.order[i] = 0.0
    combinations = 1
    for _ in range(count):
        combinations = 2 * combinations
    for state in range(combinations):
        fix_only(room, count, room.order)
        found = play_fixed(usual, own, tables, room.fixed)
        games.run[state] = found.run_out
        digit = 0
        while digit < count and room.order[digit] > 0.5:
            room.order[digit] = 0.0
            digit = digit + 1
        if digit < count:
            room.order[digit] = 1.0


@entry
def fill_shares(room: Room, games: Games, count: int, saved: Array) -> None:
    """The fair share of each cause: metres of run-out saved."""
    for cause in range(len(saved)):
        saved[cause] = 0.0
    shapley(games.run, count, games.sizes, room.share)
    for i in range(count):
        for cause in range(len(saved)):
            if room.active[i] == float(cause):
                saved[cause] = -room.share[i]


@entry
def fill_plan(
    room: Room, tables: Tables, games: Games, count: int, place: Array, gain: Array
) -> int:
    """How many steps help, each on top of those before: most metres saved for the effort first.

    Fills the `place` of each cause in this order, 0 for those that do not help, and its `gain` [m].
    """
    combinations = 1
    for _ in range(count):
        combinations = 2 * combinations
    whole = abs(games.run[combinations - 1] - games.run[0])
    for cause in range(len(place)):
        place[cause] = 0.0
        gain[cause] = 0.0
    done = 0
    steps = 0
    for _ in range(count):
        best = 0
        best_merit = 0.0
        best_gain = 0.0
        best_bit = 0
        bit = 1
        for i in range(count):
            for cause in range(len(place)):
                if room.active[i] == float(cause) and place[cause] == 0.0:
                    saved = games.run[done] - games.run[done + bit]
                    merit = saved / tables.effort[cause]
                    if saved > LEAST_STEP * whole and merit > best_merit:
                        best = cause
                        best_merit = merit
                        best_gain = saved
                        best_bit = bit
            bit = 2 * bit
        if best_bit == 0:
            break
        steps = steps + 1
        place[best] = float(steps)
        gain[best] = best_gain
        done = done + best_bit
    return steps


@entry
def saves_most(room: Room, games: Games, count: int):
    """The cause that alone saves most; −1 where none does."""
    most = -1.0
    best = 0.0
    bit = 1
    for i in range(count):
        saved = games.run[0] - games.run[bit]
        if saved > best:
            best = saved
            most = room.active[i]
        bit = 2 * bit
    return most


# -- bands -----------------------------------------------------------------------------------------


@entry
def low_end(values: Array, first: int, few: Array, middle):
    """The lower end of the band of some drawn values, not above the value itself."""
    for i in range(len(few)):
        few[i] = values[first + i]
    sort(few)
    return min(quantile(few, TAIL), middle)


@entry
def high_end(values: Array, first: int, few: Array, middle):
    """The upper end of the band of some drawn values, not below the value itself."""
    for i in range(len(few)):
        few[i] = values[first + i]
    sort(few)
    return max(quantile(few, 1.0 - TAIL), middle)


@entry
def draw_steps(
    usual: Usual, own: Array, tables: Tables, room: Room, place: Array, steps: int, drawn: Drawn
) -> None:
    """Play the player, every step of the plan and the well-kept shot with every draw.

    Row k of `drawn` is after k steps; the last row is the well-kept shot.
    """
    for draw in range(DRAWS):
        take_draw(usual, tables, draw)
        for step in range(steps + 1):
            for cause in range(len(place)):
                room.fixed[cause] = 0.0
                if 0.0 < place[cause] <= float(step):
                    room.fixed[cause] = 1.0
            found = play_fixed(usual, own, tables, room.fixed)
            drawn.run[step * DRAWS + draw] = found.run_out
            drawn.spin[step * DRAWS + draw] = found.spin_rate
        for cause in range(len(place)):
            room.fixed[cause] = 1.0
        found = play_fixed(usual, own, tables, room.fixed)
        drawn.run[LAST_ROW * DRAWS + draw] = found.run_out
        drawn.spin[LAST_ROW * DRAWS + draw] = found.spin_rate
    no_draw(usual)


LAST_ROW = _CAUSES + 1


@entry
def fill_step_bands(
    place: Array, gain: Array, drawn: Drawn, few: Array, low: Array, high: Array
) -> None:
    """The band of the gain of each step."""
    for cause in range(len(place)):
        low[cause] = 0.0
        high[cause] = 0.0
        step = 0
        for k in range(len(place)):
            if float(k) < place[cause]:
                step = step + 1
        if step > 0:
            for draw in range(DRAWS):
                before = drawn.run[(step - 1) * DRAWS + draw]
                drawn.share[draw] = before - drawn.run[step * DRAWS + draw]
            low[cause] = low_end(drawn.share, 0, few, gain[cause])
            high[cause] = high_end(drawn.share, 0, few, gain[cause])


@entry
def fill_share_bands(
    usual: Usual,
    own: Array,
    tables: Tables,
    room: Room,
    games: Games,
    count: int,
    drawn: Drawn,
    few: Array,
    saved: Array,
    low: Array,
    high: Array,
) -> None:
    """The band of every fair share of the run-out: all combinations with every draw."""
    for draw in range(DRAWS):
        take_draw(usual, tables, draw)
        play_all(usual, own, tables, room, games, count)
        shapley(games.run, count, games.sizes, room.share)
        for i in range(count):
            drawn.share[i * DRAWS + draw] = -room.share[i]
    no_draw(usual)
    for cause in range(len(saved)):
        low[cause] = 0.0
        high[cause] = 0.0
    for i in range(count):
        for cause in range(len(saved)):
            if room.active[i] == float(cause):
                low[cause] = low_end(drawn.share, i * DRAWS, few, saved[cause])
                high[cause] = high_end(drawn.share, i * DRAWS, few, saved[cause])


# -- the calculation -------------------------------------------------------------------------------


def fix_first(
    soil_on_lands,
    soil_in_grooves,
    water,
    friction,
    friction_fast,
    depth,
    edge_radius,
    roughness,
    grass,
    head_speed,
    dynamic_loft,
    attack_angle,
    normal_offset,
    rested,
    usual: Usual,
    which: Array,
    effort: Array,
    draws: Array,
    own: Array,
    room: Room,
    games: Games,
    drawn: Drawn,
    few: Array,
    differs: Array,
    saved: Array,
    saved_low: Array,
    saved_high: Array,
    place: Array,
    gain: Array,
    gain_low: Array,
    gain_high: Array,
) -> Answer:
    """One player against the well-kept one: fair shares, the order to put causes right in, bands."""
    tables = Tables(which=which, effort=effort, draws=draws)
    begin(usual)
    usual.now[SOIL_ON_LANDS] = soil_on_lands
    usual.now[SOIL_IN_GROOVES] = soil_in_grooves
    usual.now[WATER] = water
    usual.now[FRICTION] = friction
    usual.now[FRICTION_FAST] = friction_fast
    usual.now[GROOVE_DEPTH] = depth
    usual.now[EDGE_RADIUS] = edge_radius
    usual.now[ROUGHNESS] = roughness
    usual.now[GRASS] = grass
    usual.now[HEAD_SPEED] = head_speed
    usual.now[DYNAMIC_LOFT] = dynamic_loft
    usual.now[ATTACK_ANGLE] = attack_angle
    usual.now[NORMAL_OFFSET] = normal_offset
    for i in range(len(own)):
        own[i] = usual.now[i]
    no_draw(usual)
    count = find_active(usual, own, tables, room)
    combinations = 1
    for _ in range(count):
        combinations = 2 * combinations
    for cause in range(len(differs)):
        differs[cause] = 0.0
        saved[cause] = math.inf
        place[cause] = math.inf
        room.fixed[cause] = 0.0
        for i in range(count):
            if room.active[i] == float(cause):
                differs[cause] = 1.0
    as_is = play_fixed(usual, own, tables, room.fixed)
    for cause in range(len(differs)):
        room.fixed[cause] = 1.0
    kept = play_fixed(usual, own, tables, room.fixed)
    own_run_low = as_is.run_out
    own_run_high = as_is.run_out
    own_spin_low = as_is.spin_rate
    own_spin_high = as_is.spin_rate
    kept_run_low = kept.run_out
    kept_run_high = kept.run_out
    kept_spin_low = kept.spin_rate
    kept_spin_high = kept.spin_rate
    first = -1.0
    first_gain = 0.0
    first_low = 0.0
    first_high = 0.0
    most = -1.0
    steps = 0
    if rested > 0.5 or combinations <= SOME:
        play_all(usual, own, tables, room, games, count)
        fill_shares(room, games, count, saved)
        steps = fill_plan(room, tables, games, count, place, gain)
        most = saves_most(room, games, count)
    if rested > 0.5:
        draw_steps(usual, own, tables, room, place, steps, drawn)
        fill_step_bands(place, gain, drawn, few, gain_low, gain_high)
        last = LAST_ROW * DRAWS
        own_run_low = low_end(drawn.run, 0, few, as_is.run_out)
        own_run_high = high_end(drawn.run, 0, few, as_is.run_out)
        own_spin_low = low_end(drawn.spin, 0, few, as_is.spin_rate)
        own_spin_high = high_end(drawn.spin, 0, few, as_is.spin_rate)
        kept_run_low = low_end(drawn.run, last, few, kept.run_out)
        kept_run_high = high_end(drawn.run, last, few, kept.run_out)
        kept_spin_low = low_end(drawn.spin, last, few, kept.spin_rate)
        kept_spin_high = high_end(drawn.spin, last, few, kept.spin_rate)
    if rested > 1.5:
        fill_share_bands(
            usual, own, tables, room, games, count, drawn, few, saved, saved_low, saved_high
        )
    for cause in range(len(place)):
        if place[cause] == 1.0:
            first = float(cause)
            first_gain = gain[cause]
            first_low = gain_low[cause]
            first_high = gain_high[cause]
    return Answer(
        own_run=as_is.run_out,
        own_run_low=own_run_low,
        own_run_high=own_run_high,
        own_spin=as_is.spin_rate,
        own_spin_low=own_spin_low,
        own_spin_high=own_spin_high,
        kept_run=kept.run_out,
        kept_run_low=kept_run_low,
        kept_run_high=kept_run_high,
        kept_spin=kept.spin_rate,
        kept_spin_low=kept_spin_low,
        kept_spin_high=kept_spin_high,
        first=first,
        first_gain=first_gain,
        first_low=first_low,
        first_high=first_high,
        most=most,
        rested=rested,
    )


# -- the tables ------------------------------------------------------------------------------------


def cause_of_columns() -> list:
    """The cause that each number of a shot's row belongs to, −1 for none: read off the combinations
    with a player who differs in every cause."""
    both = combinations(PLAYERS["beginner"].setting, REFERENCE.setting, CAUSES)
    table = situation_rows(both, both.shape)
    found = np.full(ROW_LENGTH, -1.0)
    for k in range(_CAUSES):
        found[table[1 << k] != table[0]] = k
    return found.tolist()


def rows_of_draws() -> list:
    """The draws of `spinlab.physics.shares`, each as shares of a whole row, with four decimals."""
    columns = np.array(spread())
    cube = np.round(latin_hypercube(len(PARAMETERS), DRAWS, 1), 4)
    return np.where(columns >= 0, cube[:, columns], -1.0).ravel().tolist()


# -- the player ------------------------------------------------------------------------------------


def _cover(ball):
    return {"friction": ball.friction, "friction_fast": ball.friction_fast}


def _worn(face):
    grooves = face.grooves
    return {
        "depth": grooves.depth,
        "edge_radius": grooves.edge_radius,
        "roughness": face.roughness,
    }


def setting(values) -> dict:
    """The records of the player's shot: ``play(**setting)`` runs out as the scene says."""
    return {
        "arriving": Delivery(
            head_speed=values["head_speed"],
            dynamic_loft=values["dynamic_loft"],
            attack_angle=values["attack_angle"],
            normal_offset=STRIKES[values["strike"]],
        ),
        "face": WEAR[values["wear"]],
        "ball": BALLS[values["cover"]],
        "between": Between(
            water=values["water"], grass=values["grass"], **CLEANED[values["cleaned"]]
        ),
        "green": GREENS["medium"],
    }


def player_of(panel) -> Setting:
    """The player that a panel of this scene is turned to."""
    return Setting(**panel.setting)


def state_of(player: Setting) -> dict:
    """Where the controls stand for a player."""
    arriving = player.arriving
    between = player.between
    soil = {
        "soil_on_lands": between.soil_on_lands,
        "soil_in_grooves": between.soil_in_grooves,
    }
    return {
        "cleaned": _name_of(soil, CLEANED),
        "water": between.water,
        "cover": _name_of(player.ball, BALLS),
        "wear": _name_of(_worn(player.face), {name: _worn(face) for name, face in WEAR.items()}),
        "grass": between.grass,
        "head_speed": arriving.head_speed,
        "dynamic_loft": arriving.dynamic_loft,
        "attack_angle": arriving.attack_angle,
        "strike": _name_of(arriving.normal_offset, STRIKES),
    }


def _name_of(thing, table):
    return next(name for name, known in table.items() if known == thing)


# -- the scene -------------------------------------------------------------------------------------

_KEPT = state_of(REFERENCE.setting)
_SETS = (
    {"cleaned": _KEPT["cleaned"]},
    {"water": _KEPT["water"]},
    {"cover": _KEPT["cover"]},
    {"wear": _KEPT["wear"]},
    {"grass": _KEPT["grass"]},
    {"dynamic_loft": _KEPT["dynamic_loft"]},
    {"head_speed": _KEPT["head_speed"]},
    {"attack_angle": _KEPT["attack_angle"]},
    {"strike": _KEPT["strike"]},
)
"""What puts each cause right, in the order of `CAUSES`."""
_ADVICE = (
    "Clean the face first",
    "Dry face and ball first",
    "Play a soft ball first",
    "Change the worn wedge first",
    "Find a lie without grass first",
    "Change the loft you deliver first",
    "Swing a little faster first",
    "Come down on the ball first",
    "Meet the ball in the middle first",
)
ONLY = 0.5
"""A gain below this [m] is called small."""


def _say():
    rules = [("first < -0.5", "Nothing is left here that would save you metres.")]
    for k, advice in enumerate(_ADVICE):
        band = "({first_low:distance#} to {first_high:distance})."
        last = k == len(_ADVICE) - 1
        here = "" if last else f"first < {k + 0.5}"
        small = " and ".join([*([here] if here else []), f"first_gain < {ONLY}"])
        rules.append((small, f"{advice}, though it saves only {{first_gain:distance}} {band}"))
        rules.append((here, f"{advice}: it saves {{first_gain:distance}} of run-out {band}"))
    return rules


def what_to_fix_first(**changes) -> Scene:
    """Lesson 08's scene; `changes` replace parts of it."""
    start = state_of(PLAYERS["ordinary player"].setting)
    labels = [cause.name for cause in CAUSES]
    parts = {
        "name": "what_to_fix_first",
        "title": "What to fix first",
        "controls": [
            Choice("cleaned", "Face cleaned", options=CLEANED, value=start["cleaned"]),
            Number(
                "water", "Water", kind="thickness", low=0.0, high=WETNESS["flooded"].water,
                step=0.1 * um, value=start["water"], half=3 * um, means="film on face and ball",
            ),
            Choice(
                "cover", "Ball", options={name: _cover(ball) for name, ball in BALLS.items()},
                value=start["cover"],
            ),
            Choice(
                "wear", "Wedge", options={name: _worn(face) for name, face in WEAR.items()},
                value=start["wear"],
            ),
            Number(
                "grass", "Grass", kind="share", low=0.0, high=1.0, step=0.01, value=start["grass"],
                means="share of the flats that it covers",
            ),
            Number(
                "head_speed", "Head speed", kind="speed", low=12.0, high=30.0, step=0.25,
                value=start["head_speed"],
            ),
            Number(
                "dynamic_loft", "Loft", kind="fine_angle", low=35 * deg, high=60 * deg,
                step=0.5 * deg, value=start["dynamic_loft"],
                means="of the face as it meets the ball",
            ),
            Number(
                "attack_angle", "Attack", kind="fine_angle", low=-12 * deg, high=2 * deg,
                step=0.5 * deg, value=start["attack_angle"], means="down is negative",
            ),
            Choice(
                "strike", "Strike",
                options={name: {"normal_offset": offset} for name, offset in STRIKES.items()},
                value=start["strike"],
            ),
        ],
        "states": {name: state_of(player.setting) for name, player in PLAYERS.items()}
        | {"well kept": _KEPT},
        "compute": fix_first,
        "rests": 2,
        "arrays": {
            "which": cause_of_columns(),
            "effort": [float(cause.effort) for cause in CAUSES],
            "draws": rows_of_draws(),
            "own": ROW_LENGTH,
            "room": _CAUSES,
            "games": _COMBINATIONS,
            "drawn": (_CAUSES + 2) * DRAWS,
            "few": DRAWS,
        }
        | dict.fromkeys(
            (
                "differs", "saved", "saved_low", "saved_high", "place", "gain", "gain_low",
                "gain_high",
            ),
            _CAUSES,
        ),
        "plots": [
            Plot(
                name="shares",
                share=1.15,
                tall=1.65,
                x=Axis("saved", "Fair share of the run-out", "distance", -5.0, 5.0),
                y=Axis(
                    "cause", "Fair share: average over every order", "number", 0.0, 1.0, ticks=False
                ),
                marks=[
                    rows(
                        "saved", labels=labels, low="saved_low", high="saved_high", known=2,
                        open="differs", sets=_SETS,
                        pressed="well kept",
                    )
                ],
            ),
            Plot(
                name="steps",
                x=Axis("gain", "Run-out saved by each step", "distance", 0.0, 6.0),
                y=Axis(
                    "step", "Gain: fixed one after the other", "number", 0.0, 1.0, ticks=False
                ),
                marks=[
                    rows(
                        "gain", labels=labels, low="gain_low", high="gain_high", known=1,
                        place="place", signs=("wet",), down=0.76,
                    ),
                    text(
                        "as you are: run-out {own_run:distance}, spin {own_spin:spin}",
                        across=0.0, up=0.13,
                    ),
                    text(
                        "well kept: run-out {kept_run:distance}, spin {kept_spin:spin}",
                        across=0.0, up=0.02,
                    ),
                ],
            ),
        ],
        "say": _say(),
        "say_first": "As you are the ball runs {own_run:distance}; well kept it runs "
        "{kept_run:distance}.",
        "setting": setting,
        "facts": [
            ("Run-out as you are", "own_run", "distance"),
            ("Run-out well kept", "kept_run", "distance"),
            ("First step saves", "first_gain", "distance"),
            ("Spin as you are", "own_spin", "spin"),
            ("Spin well kept", "kept_spin", "spin"),
        ],
        "guesses": [
            Guess(
                kind="choose",
                of="most",
                ask="A worn, dirty wedge and a hard ball on a dry day. One repair only: which?",
                label="repair",
                options=("clean the face", "a soft ball", "a fresh wedge", "the swing"),
                answers=[
                    ("most < 0.5", "clean the face"),
                    ("most > 1.5 and most < 2.5", "a soft ball"),
                    ("most > 2.5 and most < 3.5", "a fresh wedge"),
                    ("", "the swing"),
                ],
            )
        ],
        "guess_state": "ordinary player",
        "summary": "One player's pitch against a well-kept one, a row for each cause. On one side its "
        "fair share of the metres saved, averaged over every order; on the other the gain of each "
        "step when causes are put right one after the other, most metres for the effort first.",
        "tries": [
            "Press a cause to put it right; press it again to undo. How do the others answer?",
            "One repair only for the beginner: which saves most?",
            "Wet the ordinary player's face. What is a fresh wedge worth now?",
        ],
    }
    return Scene(**parts | changes)
