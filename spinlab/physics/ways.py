"""Three ways to play one distance, and which of them forgives a player's scatter best.

Every way is swung so that the shot that is meant finishes at the hole.  Then the player's scatter goes through the whole
chain.  Lofts and attack angles of the ways are our judgement (J) of what common practice plays.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from scipy.special import ndtri

from ..catalogue import BALLS, FACES, GREENS, LIES
from ..kernel.compiled import entry, kernel
from ..kernel.nouns import Situation
from ..kernel.questions import GREEN_STAGE, OUT_OF_REACH, Nothing, answers, delivered
from ..kernel.rows import situation_at
from ..records import Air, Ball, Between, Delivery, Face, Green, Shot, check
from ..units import deg
from .rows import nothing_drawn
from .setting import Setting, situation_rows
from .shot import finish, play
from .spread import NAMES, Scatter, Spread

LOOKED_AT = ("head_speed", "dynamic_loft", "attack_angle", "normal_offset", "water", "grass")
"""What can move the finish along the line."""
SLOWEST = 4.0
FASTEST = 46.0
SPEEDS = 29
"""Head speeds [m/s] that are tried, and how many."""
ORDINARY_SPEED = 13.4
"""The swing [m/s] at which a player's scatter is as given (J: about 30 mph, a pitch of some 25 m)."""


@dataclass(frozen=True, kw_only=True)
class Way:
    """A way to play: the club's `loft`, the loft delivered and the attack angle [rad], and what it is in words."""

    name: str
    about: str
    loft: float
    dynamic_loft: float
    attack_angle: float

    def delivery(self, head_speed) -> Delivery:
        """How the club arrives at a head speed [m/s]."""
        return Delivery(head_speed=head_speed, dynamic_loft=self.dynamic_loft, attack_angle=self.attack_angle)


WAYS = (
    Way(name="low with spin", about="a 56° with the shaft leaning forward", loft=56 * deg, dynamic_loft=42 * deg,
        attack_angle=-6 * deg),
    Way(name="high lob", about="a 60° with the face laid open", loft=60 * deg, dynamic_loft=58 * deg, attack_angle=-4 * deg),
    Way(name="bump-and-run", about="a 42° that lands early and rolls", loft=42 * deg, dynamic_loft=32 * deg,
        attack_angle=-4 * deg),
)
"""The three ways (J)."""


def scores(shots) -> np.ndarray:
    """Nine evenly likely places of a normal distribution, five where shots are few, scaled to a standard deviation of 1."""
    count = 9 if shots >= 128 else 5
    found = ndtri((np.arange(count) + 0.5) / count)
    return found / found.std()


@entry
def head_speed_to_finish(distance, shot: Situation, nothing: Nothing):
    """The head speed [m/s] with which a shot finishes at a distance [m].

    Head speeds are tried from 4 to 46 m/s in steps of 1.5 m/s; between the last that falls short
    and the first that does not, the root of the distance is nearly straight in the head speed.
    `OUT_OF_REACH` where none finishes there.
    """
    step = (FASTEST - SLOWEST) / (SPEEDS - 1.0)
    short = 0.0
    for i in range(SPEEDS):
        speed = SLOWEST + step * float(i)
        total = answers(delivered(shot, speed, shot.arriving.dynamic_loft), GREEN_STAGE, nothing).total
        if total >= distance:
            if i == 0:
                return speed if total == distance else OUT_OF_REACH
            share = (math.sqrt(distance) - math.sqrt(short)) / (math.sqrt(total) - math.sqrt(short))
            return speed - step * (1.0 - share)
        short = max(total, short)
    return OUT_OF_REACH


def speed_to_finish(distance, way: Way, face: Face, ball: Ball, between: Between, air: Air, green: Green) -> float:
    """The head speed [m/s] with which a way to play finishes at a distance [m], read off a curve of 29 speeds.

    Raises
    ------
    ValueError
        no head speed from 4 to 46 m/s finishes there.
    """
    distance = check("distance", distance, what="distance to the hole", unit="m", low=1.0, high=200.0)
    setting = Setting(arriving=way.delivery(FASTEST), face=face, ball=ball, between=between, air=air, green=green)
    found = head_speed_to_finish(float(distance), situation_at(situation_rows(setting, ())[0]), nothing_drawn())
    if found == OUT_OF_REACH:
        near, far = (float(play(way.delivery(speed), face, ball, between, air, green).total) for speed in (SLOWEST, FASTEST))
        raise ValueError(f"distance: {distance:.1f} m is out of reach; a {way.name} finishes between {near:.1f} and "
                         f"{far:.1f} m with head speeds of 4 to 46 m/s; ask for less, or choose another way")
    return float(found)


@dataclass(frozen=True, kw_only=True)
class Repeat:
    """How well one way repeats: its `scatter` of shots about the `hole` [m], the `head_speed` [m/s] it takes, and `alone`:
    the standard deviation of the finish along the line [m] if only one cause scattered, by name."""

    way: Way
    hole: float
    head_speed: float
    scatter: Scatter
    alone: dict[str, float]

    def chance(self, within):
        """Share of the shots that finish within a distance [m] of the hole."""
        return self.scatter.chance(within, hole=(self.hole, 0.0))

    @property
    def miss(self) -> float:
        """Half of the shots finish nearer to the hole than this [m]."""
        return float(np.median(np.hypot(self.scatter.x - self.hole, self.scatter.y)))

    @property
    def ranking(self) -> tuple[str, ...]:
        """What spoils the distance most, first."""
        return tuple(sorted(self.alone, key=lambda name: -self.alone[name]))


@kernel
def growth_factor(head_speed, growth):
    """How much larger a player's scatter is at a head speed [m/s] than with an ordinary swing."""
    return 1.0 + growth * (head_speed / ORDINARY_SPEED - 1.0)


def grown(spread: Spread, head_speed, growth) -> Spread:
    """A player's scatter at another swing: a share `growth` of it grows with the head speed, ``1 + growth (v/13.4 − 1)``.

    0 is the same scatter with every swing; at 1 twice the swing scatters twice as much.  That the noise of a movement grows
    with the effort is well known (Harris & Wolpert, Nature 394:780, 1998, from memory); its size here is our judgement.
    """
    return _wider(spread, growth_factor(float(head_speed), float(growth)), GROWING)


GROWING = ("dynamic_loft", "attack_angle", "normal_offset", "direction")
"""What grows with the swing; head speed, as a share of its mean, does so by itself."""
MOST = {name: Spread.__dataclass_fields__[name].metadata["high"] for name in NAMES}
"""The most that each may scatter."""


def _wider(spread, factor, names):
    """Some standard deviations of a spread, times a factor."""
    return spread.but(**{name: min(getattr(spread, name) * factor, MOST[name]) for name in names})


def repeats(ways, face: Face, ball: Ball, between: Between | None = None, air: Air | None = None, green: Green | None = None,
            *, distance, spread: Spread, growth=0.0, shots=256, seed=1, alone=True) -> tuple[Repeat, ...]:
    """Play some ways many times each to a distance to rest [m], all in one call of the engine.

    Shots are drawn evenly (a scrambled Sobol' sequence; Sobol', USSR Comput. Math. Math. Phys. 7:86, 1967, from memory), so
    that few of them already show the pattern: 256 give a chance to about a percentage point, where random ones would miss
    by three.  The same `seed` gives the same shots.

    Parameters
    ----------
    distance
        to the hole [m]; every way is swung so that the shot that is meant finishes there.
    spread, growth
        the player's scatter, and how it grows with the swing (`grown`).
    shots
        of each way, a power of two.
    alone
        Also play each cause by itself, nine shots of it, five where `shots` is below 128; without it ``alone`` of each way
        is empty.
    """
    if shots < 16 or shots & (shots - 1):
        raise ValueError(f"shots (of each way) must be a power of two from 16 on, got {shots}; take 256")
    growth = check("growth", growth, what="growth of the scatter with the swing", unit="", low=0.0, high=1.0)
    between, air, green = between or Between(), air or Air(), green or Green()
    speeds = [speed_to_finish(distance, way, face, ball, between, air, green) for way in ways]
    looked_at, causes = _that_scatter(spread, between) if alone else (), []
    for way, speed in zip(ways, speeds):
        own = grown(spread, speed, growth)
        z = _with_each_alone(own.tied(loose(shots, seed)), looked_at, scores(shots))
        causes.append(own.scattered(way.delivery(speed), between, z))
    every = {name: np.array([found[name] for found in causes]) for name in NAMES}
    delivered = Delivery(**{name: every[name] for name in NAMES[:4]})
    wetted = between.but(**{name: every[name] for name in ("water", "grass") if getattr(between, name) > 0})
    played = play(delivered, face, ball, wetted, air, green, direction=every["direction"])
    x, y = finish(played)
    found = []
    for i, (way, speed) in enumerate(zip(ways, speeds)):
        own = (i, slice(0, shots))
        shot = Shot(launch=played.launch[own], path=played.path[own], rest=played.rest[own])
        scatter = Scatter(shot=shot, x=x[own], y=y[own], aim=(float(distance), 0.0),
                          causes={name: values[own] for name, values in every.items()})
        by_itself = x[i, shots:].reshape(len(looked_at), -1).std(axis=1) if looked_at else ()
        each = dict.fromkeys(LOOKED_AT, 0.0) | dict(zip(looked_at, map(float, by_itself))) if alone else {}
        found.append(Repeat(way=way, hole=float(distance), head_speed=speed, scatter=scatter, alone=each))
    return tuple(found)


@lru_cache(maxsize=16)
def loose(shots, seed):
    """Independent standard normal numbers [name, shots], evenly drawn, with four decimals: as they are stored for pages."""
    from scipy.stats import qmc

    even = qmc.Sobol(len(NAMES), rng=seed).random(shots)
    return np.round(ndtri(np.clip(even, 0.5 / shots, 1 - 0.5 / shots)), 4).T


def _that_scatter(spread, between):
    """The causes that do scatter: water that is not there does not."""
    return tuple(name for name in LOOKED_AT if getattr(spread, name) > 0 and getattr(between, name, 1.0) > 0)


def _with_each_alone(z, looked_at, places):
    """The drawn shots, then a few for each cause in which it alone scatters: one call of the engine for all."""
    n = len(places)
    rows = {}
    for name in NAMES:
        own = np.zeros(len(looked_at) * n)
        if name in looked_at:
            i = looked_at.index(name)
            own[i * n : (i + 1) * n] = places
        rows[name] = np.concatenate([z[name], own])
    return rows


# -- the lesson's question -----------------------------------------------------------------------


def ways_repeated(*, distance=30.0, spread: Spread | None = None, growth=0.5, water=0.0, lie="tight fairway", green="medium",
                  shots=256, seed=1, alone=True) -> tuple[Repeat, ...]:
    """The three ways with a fresh wedge and a soft-covered ball; `lie` and `green` are names of the catalogue, `alone` as
    in `repeats`."""
    between = Between(water=water, grass=LIES[lie].grass)
    return repeats(WAYS, FACES["fresh"], BALLS["soft cover"], between, green=GREENS[green], distance=distance,
                   spread=spread or Spread.tuned_club(), growth=growth, shots=shots, seed=seed, alone=alone)


DOUBTED = ("head_speed", "dynamic_loft", "attack_angle", "normal_offset", "direction")
DOUBTS = (0.8, 1.25)
"""What some thirty shots leave open about a scatter: it is known to about a quarter."""
OTHER_GREENS = ("firm", "soft")
"""Greens differ at least as much; these are the ends."""


def chance_range(within, *, spread: Spread | None = None, **way):
    """Chance of each way to finish within a distance [m] of the hole: (as computed, lowest, highest), by name.

    Lowest and highest over a firm and a soft green, with scatters of 0.8 and 1.25 times the one given.
    """
    spread = spread or Spread.tuned_club()
    asked = [{"spread": spread}]
    for factor in DOUBTS:
        wider = _wider(spread, factor, DOUBTED)
        asked += [{"spread": wider, "green": green} for green in OTHER_GREENS]
    rows = [[float(one.chance(within)) for one in ways_repeated(**way | {"alone": False} | one)] for one in asked]
    return {w.name: (column[0], min(column), max(column)) for w, column in zip(WAYS, zip(*rows))}
