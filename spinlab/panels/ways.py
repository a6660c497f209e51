"""The scene "which pitch repeats": three ways to play one distance, seen from above, and what spoils
each.

Under the hand a few shots follow; at rest the page's worker plays all of them, the same as
`spinlab.physics.ways.ways_repeated`, and then what greens and a scatter that is not well known leave
open.
"""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import NamedTuple

import numpy as np

from ..catalogue import BALLS, FACES, GREENS, LIES, WETNESS, films_in_words
from ..kernel import nouns
from ..kernel.compiled import Array, entry, kernel
from ..kernel.questions import GREEN_STAGE, Nothing, answers, quantile, sort
from ..kernel.rows import AT_GREEN, situation_at
from ..physics.rows import numbers
from ..physics.spread import FARTHEST, NAMES, SPREADS, Spread, never_below_zero
from ..physics.ways import (
    DOUBTED,
    DOUBTS,
    GROWING,
    MOST,
    OTHER_GREENS,
    WAYS,
    growth_factor,
    head_speed_to_finish,
    loose,
    scores,
)
from ..records import Between
from ..units import um
from .scene import Axis, Choice, Guess, Number, Plot, Scene, grip, points, ring, rows, rule, text
from .usual import (
    ATTACK_ANGLE,
    DYNAMIC_LOFT,
    GRASS,
    HEAD_SPEED,
    NORMAL_OFFSET,
    WATER,
    Usual,
    begin,
)

__all__ = ["which_repeats"]

SHOTS = 256
FEW = 16
"""Shots of each way at rest, and those, the first of the same, that follow the hand."""
STORED = Path(__file__).with_name("shots.json")
"""The draws of all shots, in ten-thousandths of a standard deviation; written by ``python -m
spinlab.panels.ways``."""

CAUSES = len(NAMES)
TABLE = CAUSES + CAUSES * CAUSES
"""Numbers of a player's scatter: standard deviations, then the matrix that ties draws together."""
SHOWN = ("dynamic_loft", "head_speed", "attack_angle", "normal_offset")
"""What is shown to spoil a way, and can be practised."""
SHOWN_NAMES = ("loft", "head speed", "attack", "strike height")
PRACTISED = 0.5
"""Practice halves the scatter of one cause."""
GREEN_NUMBERS = len(nouns.Green._fields)
LANE = 12.0
WORDS = 3.0
"""Width of a lane, and what of it is kept for words [m]."""
FOOT = 3.5
"""What lies below the lanes, for the flag [m]."""
MIDDLE = -0.5 * WORDS
"""Where the middle lane's line lies in the picture [m]."""
HALF_LANE = 0.5 * (LANE - WORDS) - 0.3
PLACES = len(scores(SHOTS))


class Club(NamedTuple):
    """How one way is meant: the loft delivered and the attack angle [rad]."""

    dynamic_loft: float
    attack_angle: float


class Player(NamedTuple):
    """Whose scatter: the place in the table of players, which cause is practised (−1: none), how it
    grows with the swing, and a factor on what is not well known of it."""

    player: float
    practised: float
    growth: float
    factor: float


class Tables(NamedTuple):
    """What is only read: draws of the shots [shots × causes], players, greens, evenly likely
    places, and the most that each cause may scatter."""

    draws: Array
    players: Array
    greens: Array
    places: Array
    most: Array


class Room(NamedTuple):
    """Room to work in."""

    spread: Array
    score: Array
    finish: Array


class Finishes(NamedTuple):
    """Where shots finish: along the line, and to its right from where the lane is drawn [m]."""

    along: Array
    across: Array


class Way(NamedTuple):
    """What one way comes to: the share of shots that finish near, the distance within which half
    of them do [m], and the head speed [m/s]."""

    near: float
    half: float
    head_speed: float


class Answer(NamedTuple):
    """What the scene says [SI]; the ends of a chance are 0 and 1 as long as they are not known."""

    low_near: float
    low_near_low: float
    low_near_high: float
    low_half: float
    low_head_speed: float
    lob_near: float
    lob_near_low: float
    lob_near_high: float
    lob_half: float
    lob_head_speed: float
    run_near: float
    run_near_low: float
    run_near_high: float
    run_half: float
    run_head_speed: float
    best: float
    best_near: float
    best_low: float
    best_high: float
    lead: float
    spoils: float
    edge: float
    rested: float


# -- one shot of many ------------------------------------------------------------------------------


@kernel
def set_green(usual: Usual, tables: Tables, green) -> None:
    """Put a green of the table into the shot."""
    at = 0
    for i in range(len(tables.greens)):
        if float(i) < green * GREEN_NUMBERS:
            at = at + 1
    for i in range(GREEN_NUMBERS):
        usual.now[AT_GREEN + i] = tables.greens[at + i]


@kernel
def start_of(player) -> int:
    """Where a player's numbers begin in the table."""
    at = 0
    for i in range(100):
        if float(i) < player:
            at = at + TABLE
    return at


@entry
def fill_spread(room: Room, tables: Tables, player: Player, head_speed) -> None:
    """The standard deviations of a player at a head speed [m/s]."""
    at = start_of(player.player)
    growth = growth_factor(head_speed, player.growth)
    for i in range(CAUSES):
        value = tables.players[at + i]
        if float(i) == player.practised:
            value = PRACTISED * value
        if tables.most[CAUSES + i] > 0.0:
            value = min(value * player.factor, tables.most[i])
        if tables.most[2 * CAUSES + i] > 0.0:
            value = min(value * growth, tables.most[i])
        room.spread[i] = value


@entry
def tie(room: Room, tables: Tables, player: Player, shot: int) -> None:
    """The scores of one shot, as correlated as the player's."""
    at = start_of(player.player) + CAUSES
    for i in range(CAUSES):
        score = 0.0
        for j in range(CAUSES):
            draw = tables.draws[shot * CAUSES + j]
            score = score + tables.players[at + i * CAUSES + j] * draw
        room.score[i] = min(max(score, -FARTHEST), FARTHEST)


@entry
def scattered(usual: Usual, room: Room, club: Club, head_speed, water, grass) -> float:
    """Put one scattered shot in place of the meant one; its direction [rad]."""
    loft = club.dynamic_loft + room.spread[1] * room.score[1]
    loft = min(max(loft, LOWEST_LOFT), HIGHEST_LOFT)
    attack = club.attack_angle + room.spread[2] * room.score[2]
    attack = min(max(attack, STEEPEST), SHALLOWEST)
    offset = room.spread[3] * room.score[3]
    speed = head_speed * (1.0 + room.spread[0] * room.score[0])
    usual.now[HEAD_SPEED] = min(max(speed, 0.5), 80.0)
    usual.now[DYNAMIC_LOFT] = loft
    usual.now[ATTACK_ANGLE] = min(max(attack, loft - HIGHEST_LOFT), loft)
    usual.now[NORMAL_OFFSET] = min(max(offset, -3e-3), 3e-3)
    wet = never_below_zero(water, room.spread[5], room.score[5])
    usual.now[WATER] = min(max(wet, 0.0), 1e-3)
    grown_over = never_below_zero(grass, room.spread[6], room.score[6])
    usual.now[GRASS] = min(max(grown_over, 0.0), 1.0)
    return min(max(room.spread[4] * room.score[4], -WIDEST), WIDEST)


LOWEST_LOFT = math.radians(-10.0)
HIGHEST_LOFT = math.radians(85.0)
STEEPEST = math.radians(-30.0)
SHALLOWEST = math.radians(20.0)
WIDEST = math.radians(89.0)
"""The ends to which a scattered shot is held, as in `Spread.scattered`."""


@entry
def aim(usual: Usual, club: Club, distance, water, grass, nothing: Nothing):
    """The head speed [m/s] with which the meant shot finishes at a distance [m]."""
    usual.now[DYNAMIC_LOFT] = club.dynamic_loft
    usual.now[ATTACK_ANGLE] = club.attack_angle
    usual.now[NORMAL_OFFSET] = 0.0
    usual.now[WATER] = water
    usual.now[GRASS] = grass
    return head_speed_to_finish(distance, situation_at(usual.now), nothing)


# -- many shots ------------------------------------------------------------------------------------


@entry
def play_many(
    usual: Usual,
    tables: Tables,
    room: Room,
    seen: Finishes,
    club: Club,
    player: Player,
    distance,
    within,
    water,
    grass,
    shots: int,
    lane,
) -> Way:
    """Play one way many times; `seen` is filled where it has rows."""
    nothing = Nothing(history=usual.history, drawing=usual.drawing, trace=usual.trace)
    head_speed = aim(usual, club, distance, water, grass, nothing)
    fill_spread(room, tables, player, head_speed)
    near = 0.0
    for i in range(len(room.finish)):
        room.finish[i] = math.inf
    for i in range(len(seen.along)):
        seen.along[i] = math.inf
    for shot in range(shots):
        tie(room, tables, player, shot)
        direction = scattered(usual, room, club, head_speed, water, grass)
        total = answers(situation_at(usual.now), GREEN_STAGE, nothing).total
        along = total * math.cos(direction)
        across = total * math.sin(direction)
        away = math.hypot(along - distance, across)
        room.finish[shot] = away
        if away <= within:
            near = near + 1.0
        if shot < len(seen.along):
            seen.along[shot] = along
            seen.across[shot] = lane - min(max(across, -HALF_LANE), HALF_LANE)
    half = 0.0
    if shots == len(room.finish):
        sort(room.finish)
        half = quantile(room.finish, 0.5)
    return Way(near=near / float(shots), half=half, head_speed=head_speed)


@entry
def fill_alone(
    alone: Array,
    usual: Usual,
    tables: Tables,
    room: Room,
    club: Club,
    player: Player,
    head_speed,
    water,
    grass,
) -> None:
    """Fill the standard deviation of the finish along the line [m] if only one cause scattered."""
    nothing = Nothing(history=usual.history, drawing=usual.drawing, trace=usual.trace)
    fill_spread(room, tables, player, head_speed)
    places = len(tables.places)
    for row in range(len(alone)):
        cause = row
        if row == 0:
            cause = 1
        if row == 1:
            cause = 0
        if row >= 4:
            cause = row + 1
        for i in range(CAUSES):
            room.score[i] = 0.0
        mean = 0.0
        for place in range(places):
            room.score[cause] = tables.places[place]
            direction = scattered(usual, room, club, head_speed, water, grass)
            total = answers(situation_at(usual.now), GREEN_STAGE, nothing).total
            room.finish[place] = total * math.cos(direction)
            mean = mean + room.finish[place] / float(places)
        squares = 0.0
        for place in range(places):
            squares = squares + (room.finish[place] - mean) ** 2
        alone[row] = math.sqrt(squares / float(places))


def lowest_and_highest(
    usual: Usual,
    tables: Tables,
    room: Room,
    unseen: Finishes,
    club: Club,
    player: Player,
    distance,
    within,
    water,
    grass,
    near,
) -> tuple[float, float]:
    """The ends of the chance to finish near, over greens and a scatter that is known to about a
    quarter; the chance itself lies within."""
    low = near
    high = near
    for width in range(2):
        factor = FINER
        if width == 1:
            factor = WIDER
        other = Player(
            player=player.player,
            practised=player.practised,
            growth=player.growth,
            factor=factor,
        )
        for i in range(OTHERS):
            set_green(usual, tables, float(i))
            way = play_many(
                usual, tables, room, unseen, club, other, distance, within, water, grass, SHOTS, 0.0
            )
            low = min(low, way.near)
            high = max(high, way.near)
    return low, high


FINER, WIDER = DOUBTS
OTHERS = len(OTHER_GREENS)


def three_ways(
    distance,
    within,
    player,
    practised,
    growth,
    water,
    lie,
    green,
    rested,
    usual: Usual,
    draws: Array,
    players: Array,
    greens: Array,
    places: Array,
    most: Array,
    room: Room,
    low: Finishes,
    lob: Finishes,
    run: Finishes,
    unseen: Finishes,
    low_alone: Array,
    lob_alone: Array,
    run_alone: Array,
) -> Answer:
    """Three ways to play a distance: a few shots of each under the hand, all of them at rest.

    What spoils each is then infinite, that is, not known yet.
    """
    tables = Tables(draws=draws, players=players, greens=greens, places=places, most=most)
    own = Player(player=player, practised=practised, growth=growth, factor=1.0)
    low_club = Club(dynamic_loft=LOW_LOFT, attack_angle=LOW_ATTACK)
    lob_club = Club(dynamic_loft=LOB_LOFT, attack_angle=LOB_ATTACK)
    run_club = Club(dynamic_loft=RUN_LOFT, attack_angle=RUN_ATTACK)
    shots = FEW
    if rested > 0.5:
        shots = SHOTS
    begin(usual)
    set_green(usual, tables, green)
    low_way = play_many(
        usual, tables, room, low, low_club, own, distance, within, water, lie, shots, MIDDLE + LANE
    )
    lob_way = play_many(
        usual, tables, room, lob, lob_club, own, distance, within, water, lie, shots, MIDDLE
    )
    run_way = play_many(
        usual, tables, room, run, run_club, own, distance, within, water, lie, shots, MIDDLE - LANE
    )
    if rested > 0.5:
        fill_alone(
            low_alone, usual, tables, room, low_club, own, low_way.head_speed, water, lie
        )
        fill_alone(
            lob_alone, usual, tables, room, lob_club, own, lob_way.head_speed, water, lie
        )
        fill_alone(
            run_alone, usual, tables, room, run_club, own, run_way.head_speed, water, lie
        )
    if rested < 0.5:
        low_alone[0] = math.inf
    low_ends = 0.0
    low_to = 1.0
    lob_ends = 0.0
    lob_to = 1.0
    run_ends = 0.0
    run_to = 1.0
    if rested > 1.5:
        low_ends, low_to = lowest_and_highest(
            usual, tables, room, unseen, low_club, own, distance, within, water, lie, low_way.near
        )
        lob_ends, lob_to = lowest_and_highest(
            usual, tables, room, unseen, lob_club, own, distance, within, water, lie, lob_way.near
        )
        run_ends, run_to = lowest_and_highest(
            usual, tables, room, unseen, run_club, own, distance, within, water, lie, run_way.near
        )
    best = 0.0
    best_near = low_way.near
    best_low = low_ends
    best_high = low_to
    second = -1.0
    if lob_way.near > best_near:
        second = best_near
        best = 1.0
        best_near = lob_way.near
        best_low = lob_ends
        best_high = lob_to
    else:
        second = lob_way.near
    if run_way.near > best_near:
        second = best_near
        best = 2.0
        best_near = run_way.near
        best_low = run_ends
        best_high = run_to
    else:
        second = max(second, run_way.near)
    spoils = 0.0
    worst = -1.0
    for row in range(len(low_alone)):
        together = low_alone[row] + lob_alone[row] + run_alone[row]
        if together > worst:
            worst = together
            spoils = float(row)
    return Answer(
        low_near=low_way.near,
        low_near_low=low_ends,
        low_near_high=low_to,
        low_half=low_way.half,
        low_head_speed=low_way.head_speed,
        lob_near=lob_way.near,
        lob_near_low=lob_ends,
        lob_near_high=lob_to,
        lob_half=lob_way.half,
        lob_head_speed=lob_way.head_speed,
        run_near=run_way.near,
        run_near_low=run_ends,
        run_near_high=run_to,
        run_half=run_way.half,
        run_head_speed=run_way.head_speed,
        best=best,
        best_near=best_near,
        best_low=best_low,
        best_high=best_high,
        lead=best_near - second,
        spoils=spoils,
        edge=distance + within,
        rested=rested,
    )


_LOW, _LOB, _RUN = WAYS
LOW_LOFT, LOW_ATTACK = _LOW.dynamic_loft, _LOW.attack_angle
LOB_LOFT, LOB_ATTACK = _LOB.dynamic_loft, _LOB.attack_angle
RUN_LOFT, RUN_ATTACK = _RUN.dynamic_loft, _RUN.attack_angle


# -- the tables ------------------------------------------------------------------------------------


def new_draws() -> list:
    """The table as it is stored: the draws of `spinlab.physics.ways.loose`, a row a shot."""
    return np.rint(loose(SHOTS, 1).T * 1e4).astype(int).tolist()


def stored_draws() -> list:
    """The stored draws, shot by shot, in standard deviations."""
    rows_ = json.loads(STORED.read_text(encoding="utf-8"))
    return (np.array(rows_) / 1e4).ravel().tolist()


def _numbers_of(spread: Spread) -> list:
    return [getattr(spread, name) for name in NAMES] + spread.tie.ravel().tolist()


def _limits() -> list:
    """The most that each cause may scatter, which are not well known, which grow with the swing."""
    most = [MOST[name] for name in NAMES]
    doubted = [float(name in DOUBTED) for name in NAMES]
    growing = [float(name in GROWING) for name in NAMES]
    return most + doubted + growing


GREEN_NAMES = (*OTHER_GREENS, *(name for name in GREENS if name not in OTHER_GREENS))
"""Greens in the order of the table: first those that a chance is asked over."""


# -- the scene -------------------------------------------------------------------------------------

_NAMES = ("low with spin", "high lob", "bump-and-run")
_SHORT = ("low", "lob", "run")
_CLOSE = 0.05
"""Chances nearer to each other than this are called alike."""


def _lane_words(k):
    near = f"{_SHORT[k]}_near"
    return [
        (
            "rested > 1.5",
            f"{_NAMES[k]}: {{{near}:share}} near ({{{near}_low:share#}} to {{{near}_high:share}})",
        ),
        ("rested > 0.5", f"{_NAMES[k]}: {{{near}:share}} near"),
        ("", f"{_NAMES[k]}: about {{{near}:rough_share}} near"),
    ]


def _say():
    alike = "The two best are alike here: {best_near:share} finish within {within}"
    rules = [
        (
            f"rested > 1.5 and lead < {_CLOSE}",
            alike + " ({best_low:share#} to {best_high:share}).",
        ),
        (f"rested > 0.5 and lead < {_CLOSE}", alike + "."),
    ]
    for k, name in enumerate(_NAMES):
        first = f"{name.capitalize()} repeats best here: "
        only = f" and best < {k + 0.5}" if k < 2 else ""
        rules.append(
            (
                f"rested > 1.5{only}",
                first
                + "{best_near:share} finish within {within} ({best_low:share#} to "
                + "{best_high:share}).",
            )
        )
        rules.append((f"rested > 0.5{only}", first + "{best_near:share} finish within {within}."))
    return [*rules, ("", "A few shots of each way follow your hand; rest it to see them all.")]


def which_repeats(own: Spread | None = None, **changes) -> Scene:
    """Lesson 05's scene; `own` adds a player's own scatter; `changes` replace parts of it."""
    spreads = SPREADS | ({"your own shots": own} if own else {})

    def setting(values) -> dict:
        """What the three ways are played with: ``repeats(WAYS, **setting)``."""
        spread = spreads[values["player"]]
        practised = practise[values["practised"]]
        if practised >= 0:
            name = NAMES[int(practised)]
            spread = spread.but(**{name: PRACTISED * getattr(spread, name)})
        return {
            "face": FACES["fresh"],
            "ball": BALLS["soft cover"],
            "between": Between(water=values["water"], grass=LIES[values["lie"]].grass),
            "green": GREENS[values["green"]],
            "distance": values["distance"],
            "spread": spread,
            "growth": values["growth"],
        }

    practise = {"nothing": -1.0} | {
        name: float(NAMES.index(cause)) for name, cause in zip(SHOWN_NAMES, SHOWN)
    }
    lanes = (MIDDLE + LANE, MIDDLE, MIDDLE - LANE)
    signs = ("dry", "wet", "grass")
    plots = [
        Plot(
            name="lanes",
            share=5.0,
            tall=1.25,
            ground=True,
            x=Axis("along", "From where it is hit", "distance", 0.0, 62.0),
            y=Axis("across", "Seen from above", "distance", -1.5 * LANE - FOOT, 1.5 * LANE, ticks=False),
            marks=[
                rule(x="distance"),
                rule(y=0.5 * LANE),
                rule(y=-0.5 * LANE),
                rule(y=-1.5 * LANE),
                *(
                    points(x=f"{name}.along", y=f"{name}.across", sign=sign)
                    for name, sign in zip(_SHORT, signs)
                ),
                *(ring(x="distance", y=lane, radius="within") for lane in lanes),
                *(
                    text(_lane_words(k), across=0.012, up=(FOOT + (2.8 - k) * LANE) / (FOOT + 3 * LANE))
                    for k in range(len(lanes))
                ),
                grip("within", x="edge", y=lanes[1], less="distance", label="Near: pull the ring"),
                grip("distance", x="distance", y=-1.5 * LANE - 0.55 * FOOT, shape="flag", label="Distance: drag the flag"),
            ],
        ),
        Plot(
            name="causes",
            share=3.0,
            x=Axis("alone", "Spread if only this varied", "distance", 0.0, 10.0),
            y=Axis("cause", "Press what to practise", "number", 0.0, 1.0, ticks=False),
            marks=[
                rows(
                    *(f"{name}_alone" for name in _SHORT),
                    labels=[*SHOWN_NAMES, "water", "lie"],
                    signs=signs,
                    sets=[{"practised": name} for name in SHOWN_NAMES],
                    pressed="halved",
                )
            ],
        ),
    ]
    parts = {
        "name": "which_repeats",
        "title": "Three ways, one distance",
        "controls": [
            Number(
                "distance", "Distance", kind="distance", low=10.0, high=50.0, step=0.5, value=30.0,
                means="to the hole; every way is swung to finish there",
            ),
            Number(
                "within", "Near", kind="distance", low=0.5, high=5.0, step=0.25, value=3.0,
                means="within this of the hole",
            ),
            Choice(
                "player", "Whose scatter",
                options={name: float(k) for k, name in enumerate(spreads)}, value="club player",
                means="three standards, all our judgement",
            ),
            Choice(
                "practised", "Practise", options=practise, value="nothing",
                means="practice halves the scatter of one cause",
            ),
            Number(
                "growth", "Grows with the swing", kind="share", low=0.0, high=1.0, step=0.05,
                value=0.5,
                means="0: the same scatter with every swing; 100: twice the swing, twice the scatter",
            ),
            Number(
                "water", "Water", kind="thickness", low=0.0, high=WETNESS["flooded"].water,
                step=0.1 * um, value=0.0, half=3 * um,
                means=f"film on the face: {films_in_words()}",
            ),
            Choice(
                "lie", "Lie", options={name: {"lie": lie.grass} for name, lie in LIES.items()},
                value="tight fairway",
            ),
            Choice(
                "green", "Green", options={name: float(GREEN_NAMES.index(name)) for name in GREENS},
                value="medium",
            ),
        ],
        "states": {
            "30 metres": {},
            "long": {"distance": 45.0},
            "beginner": {"player": "beginner"},
            "same with every swing": {"growth": 0.0},
            "dew": {"water": WETNESS["dew"].water},
            "firm green": {"green": "firm"},
        }
        | ({"your own shots": {"player": "your own shots"}} if own else {}),
        "compute": three_ways,
        "helpers": [lowest_and_highest],
        "rests": 2,
        "arrays": {
            "draws": stored_draws(),
            "players": [number for one in spreads.values() for number in _numbers_of(one)],
            "greens": [float(n) for name in GREEN_NAMES for n in numbers(GREENS[name])],
            "places": scores(SHOTS).tolist(),
            "most": _limits(),
            "room": SHOTS,
            "low": SHOTS,
            "lob": SHOTS,
            "run": SHOTS,
            "unseen": 0,
            "low_alone": 6,
            "lob_alone": 6,
            "run_alone": 6,
        },
        "plots": plots,
        "say": _say(),
        "say_first": "A few shots of each way follow your hand; rest it to see them all.",
        "setting": setting,
        "facts": [
            (f"{name.capitalize()}: {what}", f"{short}_{of}", kind)
            for short, name in zip(_SHORT, _NAMES)
            for what, of, kind in (
                ("near", "near", "share"),
                ("half within", "half", "distance"),
                ("head speed", "head_speed", "speed"),
            )
        ],
        "guesses": [
            Guess(
                kind="choose",
                of="best",
                ask="Which way finishes near the hole most often?",
                label="way",
                options=_NAMES,
                answers=[("best < 0.5", _NAMES[0]), ("best < 1.5", _NAMES[1]), ("", _NAMES[2])],
            ),
            Guess(
                kind="choose",
                of="spoils",
                ask="What spoils the distance most?",
                label="cause",
                options=SHOWN_NAMES,
                answers=[
                    ("spoils < 0.5", "loft"),
                    ("spoils < 1.5", "head speed"),
                    ("spoils < 2.5", "attack"),
                    ("", "strike height"),
                ],
            ),
        ],
        "guess_state": "30 metres",
        "summary": "Three lanes from above, one for each way to play: low with spin, a high lob, "
        "a bump-and-run. Each mark is a shot; the dashed ring about the hole is what counts as "
        "near. Marks on the edge of a lane lie further out. Beside them, how much the finish "
        "scatters if only one cause varies.",
        "tries": [
            "Halve one scatter, then another. Which is worth practising?",
            "Let the scatter grow with the swing, then not. Which lane gets longer?",
            "Drag the flag from 15 m to 45 m. Does the best way stay the best?",
        ],
    }
    return Scene(**parts | changes)


if __name__ == "__main__":
    STORED.write_text(
        json.dumps(new_draws(), separators=(",", ":")).replace("],[", "],\n[") + "\n",
        encoding="utf-8",
    )
