"""Three ways to play one distance, and which of them forgives a player's scatter best.

Every way is swung so that the shot that is meant finishes at the hole.  Then the player's scatter goes through the whole
chain.  Lofts and attack angles of the ways are our judgement (J) of what common practice plays.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from scipy.special import ndtri

from ..records import Air, Ball, Between, Delivery, Face, Green, Shot, check
from ..units import deg
from .shot import finish, play
from .spread import NAMES, Scatter, Spread

LOOKED_AT = ("head_speed", "dynamic_loft", "attack_angle", "normal_offset", "water", "grass")
"""What can move the finish along the line."""
_SPEEDS = np.linspace(4.0, 46.0, 29)
_PITCHES = 17  # of them, up to 28 m/s, are looked at first: fewer and shorter flights
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


def _scores(shots):
    """Nine evenly likely places of a normal distribution, five where shots are few, scaled to a standard deviation of 1."""
    count = 9 if shots >= 128 else 5
    scores = ndtri((np.arange(count) + 0.5) / count)
    return scores / scores.std()


@lru_cache(maxsize=64)
def _totals(speeds, ways, face, ball, between, air, green):
    """Distance to rest of every way at the first head speeds, never falling [m], all in one call of the engine."""
    upright = {name: np.array([[getattr(way, name)] for way in ways]) for name in ("dynamic_loft", "attack_angle")}
    total = play(Delivery(head_speed=_SPEEDS[:speeds], **upright), face, ball, between, air, green).total
    return np.maximum.accumulate(total, axis=1)


def speeds_to_finish(distance, ways, *conditions):
    """The head speeds [m/s] with which ways to play finish at a distance [m], read off a curve of 29
    speeds; `conditions` are face, ball, between, air and green.

    Raises
    ------
    ValueError
        no head speed from 4 to 46 m/s finishes there.
    """
    distance = check("distance", distance, what="distance to the hole", unit="m", low=1.0, high=200.0)
    totals = _totals(_PITCHES, ways, *conditions)
    if totals[:, -1].min() < distance:
        totals = _totals(len(_SPEEDS), ways, *conditions)
    return [_read_off(distance, way, row) for way, row in zip(ways, totals)]


def _read_off(distance, way, totals):
    if not totals[0] <= distance <= totals[-1]:
        raise ValueError(f"distance: {distance:.1f} m is out of reach; a {way.name} finishes between {totals[0]:.1f} and "
                         f"{totals[-1]:.1f} m with head speeds of 4 to 46 m/s; ask for less, or choose another way")
    # the root of the distance is nearly straight in the head speed
    return float(np.interp(np.sqrt(distance), np.sqrt(totals), _SPEEDS[: len(totals)]))


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


def grown(spread: Spread, head_speed, growth) -> Spread:
    """A player's scatter at another swing: a share `growth` of it grows with the head speed, ``1 + growth (v/13.4 − 1)``.

    0 is the same scatter with every swing; at 1 twice the swing scatters twice as much.  That the noise of a movement grows
    with the effort is well known (Harris & Wolpert, Nature 394:780, 1998, from memory); its size here is our judgement.
    """
    factor = 1 + growth * (head_speed / ORDINARY_SPEED - 1)
    names = ("dynamic_loft", "attack_angle", "normal_offset", "direction")
    most = {name: Spread.__dataclass_fields__[name].metadata["high"] for name in names}
    return spread.but(**{name: min(getattr(spread, name) * factor, most[name]) for name in names})


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
    speeds = speeds_to_finish(distance, tuple(ways), face, ball, between, air, green)
    looked_at, causes = _that_scatter(spread, between) if alone else (), []
    for way, speed in zip(ways, speeds):
        own = grown(spread, speed, growth)
        z = _with_each_alone(own.tied(_loose(shots, seed)), looked_at, _scores(shots))
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
def _loose(shots, seed):
    """Independent standard normal numbers [name, shots], evenly drawn."""
    from scipy.stats import qmc

    even = qmc.Sobol(len(NAMES), rng=seed).random(shots)
    return ndtri(np.clip(even, 0.5 / shots, 1 - 0.5 / shots)).T


def _that_scatter(spread, between):
    """The causes that do scatter: water that is not there does not."""
    return tuple(name for name in LOOKED_AT if getattr(spread, name) > 0 and getattr(between, name, 1.0) > 0)


def _with_each_alone(z, looked_at, scores):
    """The drawn shots, then a few for each cause in which it alone scatters: one call of the engine for all."""
    n = len(scores)
    rows = {}
    for name in NAMES:
        own = np.zeros(len(looked_at) * n)
        if name in looked_at:
            i = looked_at.index(name)
            own[i * n : (i + 1) * n] = scores
        rows[name] = np.concatenate([z[name], own])
    return rows
