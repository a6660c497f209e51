"""What a bag can do: gaps in carry and in stopping, which club for a distance, and whether one more wedge would help."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from ..physics.bands import Band, contrast
from ..physics.lofts import peak
from ..physics.setting import results
from ..records import Between, check
from ..units import deg, rpm, written, yd
from .bag import Bag, Wedge
from .wording import listed

SWINGS = {"half": 0.6, "three-quarter": 0.8, "full": 1.0}
"""Shares of the fastest pitch swing (J)."""
HOLE = 14.0
"""A gap in carry of more metres than this between neighbours leaves a hole (common practice, no source: about 15 yards)."""
_ASKED = ("carry", "run_out", "total", "descent_angle", "spin_rate")


@dataclass(frozen=True, kw_only=True)
class Reach:
    """What every wedge gives at every swing: arrays [wedges, swings] in SI, with the names of both."""

    wedges: tuple[str, ...]
    swings: tuple[str, ...]
    carry: np.ndarray
    run_out: np.ndarray
    total: np.ndarray
    descent_angle: np.ndarray
    spin_rate: np.ndarray

    @property
    def gaps(self):
        """Carry lost from one wedge to the next at the full swing [m]."""
        return -np.diff(self.carry[:, -1])

    def say(self) -> str:
        """Gaps and stopping in sentences."""
        carries = listed(f"{c:.0f} m ({n})" for n, c in zip(self.wedges, self.carry[:, -1]))
        told = [f"With a full pitch swing the carries are {carries}."]
        pairs = [(f"{a} to {b} ({gap:.0f} m)", gap) for a, b, gap in zip(self.wedges, self.wedges[1:], self.gaps)]
        wide, close = [words for words, gap in pairs if gap > HOLE], [words for words, gap in pairs if gap < HOLE / 4]
        if wide:
            told.append(f"A hole is left from {listed(wide)}; softer swings have to fill it.")
        if close:
            told.append(f"Hardly any difference from {listed(close)}.")
        outs = listed(f"{r:.0f} m ({n})" for n, r in zip(self.wedges, self.run_out[:, -1]))
        told.append(f"After pitching they run out about {outs}, each to within half as much again.")
        return " ".join(told)


def reach(bag: Bag, *, lie="tight fairway", green=None) -> Reach:
    """Carry and stopping of every wedge of a bag at half, three-quarter and full swing."""
    speeds = bag.head_speed * np.array(list(SWINGS.values()))
    rows = [results(bag.setting(w, speeds, lie=lie, green=green), _ASKED) for w in bag.wedges]
    return Reach(wedges=tuple(w.name for w in bag.wedges), swings=tuple(SWINGS),
                 **{of: np.array([row[of] for row in rows]) for of in _ASKED})


@dataclass(frozen=True, kw_only=True)
class Choice:
    """One wedge for one distance: the `swing` it takes as a share of the fastest (above 1: out of reach), and the rest."""

    wedge: Wedge
    swing: float
    carry: float
    run_out: float
    descent_angle: float
    spin_rate: float

    @property
    def reaches(self) -> bool:
        return self.swing <= 1.0

    def say(self) -> str:
        """One sentence."""
        if not self.reaches:
            return f"The {self.wedge.name} does not reach."
        return (f"The {self.wedge.name} ({self.wedge.loft / deg:.0f}°) with {self.swing:.0%} of your fastest swing carries "
                f"about {self.carry:.0f} m, comes down at {self.descent_angle / deg:.0f}° and runs out about "
                f"{self.run_out:.0f} m.")


_SHARES = np.linspace(0.2, 1.1, 46)


@lru_cache(maxsize=16)
def _swung(bag, lie, green):
    """What every wedge of a bag gives from a fifth of the fastest swing on: another distance asks for the same again."""
    return [results(bag.setting(wedge, _SHARES * bag.head_speed, lie=lie, green=green), _ASKED) for wedge in bag.wedges]


def choose(bag: Bag, *, distance, lie="tight fairway", green=None, carry_over=0.0) -> tuple[Choice, ...]:
    """Which wedge for a distance to rest [m], lie and green: the one that stops soonest first, those that do not do last.

    `carry_over` [m] is what has to be carried (a bunker, say).  Distances are the model's; run-out is known to ±50 %.
    """
    check("distance", distance, what="distance to the hole", unit="m", low=3.0, high=150.0)
    found = []
    for wedge, row in zip(bag.wedges, _swung(bag, lie, green)):
        total = np.maximum.accumulate(row["total"])
        at = float(np.interp(distance, total, _SHARES, left=_SHARES[0], right=np.inf))
        there = {of: float(np.interp(min(at, _SHARES[-1]), _SHARES, row[of])) for of in _ASKED if of != "total"}
        found.append(Choice(wedge=wedge, swing=at, **there))
    return tuple(sorted(found, key=lambda c: (not c.reaches, c.carry < carry_over, c.run_out)))


@dataclass(frozen=True, kw_only=True)
class Advice:
    """Would one more wedge help?  Run-out and spin of `more` against the most lofted wedge of the bag at the same carry, and
    what a clean, dry face would do for that wedge instead; bands of the differences."""

    helps: bool
    loft: float
    carry: float
    run_out: Band
    spin: Band
    cleaning: Band
    swing: float
    most_spin_at: float
    reasons: tuple[str, ...]

    def say(self) -> str:
        """The verdict and its reasons."""
        head = (f"A {self.loft / deg:.0f}° would {'help' if self.helps else 'hardly help'} you on a carry of "
                f"{self.carry:.0f} m ({self.carry / yd:.0f} yd).")
        return " ".join([head, *self.reasons])


def would_help(bag: Bag, *, loft=64 * deg, carry=30.0, lie="tight fairway", green=None, n=64, seed=1) -> Advice:
    """Would a wedge of more loft help this player, on shots of this carry [m]?  With the reasons.

    It helps when it surely stops the ball at least a metre sooner than the most lofted wedge in the bag, takes no more swing
    than the player has, and gains more than cleaning and drying the face would (our rule, J).
    """
    from ..physics.shot import carry_to_speed

    now = bag.wedges[-1]
    if loft <= now.loft:
        raise ValueError(f"the bag has {now.loft / deg:.0f}° already; ask for a loft above that, got {loft / deg:.0f}°")
    new = replace(now, name=f"{loft / deg:.0f}°", loft=loft)

    def shot(wedge, between=None):
        s = bag.setting(wedge, 20.0, lie=lie, green=green, between=between)
        speed = carry_to_speed(carry, s.arriving, s.face, s.ball, s.between, s.air)
        return s.but(arriving=s.arriving.but(head_speed=speed))

    mine, theirs, cleaned = shot(now), shot(new), shot(now, Between())
    kw = {"kind": "difference", "n": n, "seed": seed, "names": (f"the {loft / deg:.0f}°", f"your {now.name}")}
    more = contrast(theirs, mine, of=("run_out", "spin_rate"), **kw)
    clean = contrast(cleaned, mine, of="run_out", **kw | {"names": ("a clean, dry face", "the usual one")})
    spin_now, steep_now = (results(mine, [of])[of] for of in ("spin_rate", "descent_angle"))
    steeper = (results(theirs, ["descent_angle"])["descent_angle"] - steep_now) / deg
    swing = float(theirs.arriving.head_speed / bag.head_speed)
    top = peak(mine, habit=bag.habit)
    gain, other = -more["run_out"].mid, -clean.mid
    helps = bool(more["run_out"].high < 0 and gain >= 1.0 and swing <= 1.0 and gain > other)
    level = abs(more["spin_rate"].mid) < 0.03 * spin_now
    turn = more["spin_rate"]
    spin = ("The spin hardly changes: it would stop by height, not by spin." if level else
            f"It spins about {written(abs(turn.mid) / rpm)} rpm {'more' if turn.mid > 0 else 'less'}.")
    extra = float(theirs.arriving.head_speed / mine.arriving.head_speed) - 1
    place = "above" if top.loft > loft else "below"
    reasons = [
        _runs(more["run_out"], now.name), spin, f"It comes down {steeper:.0f}° steeper.",
        f"It takes {swing:.0%} of your fastest swing, {extra:.0%} more speed than the {now.name} for the same carry.",
        "That is more swing than you have." if swing > 1.0 else "",
        f"As your face and ball usually are, most spin for one swing comes from about {top.loft / deg:.0f}°, {place} a "
        f"{loft / deg:.0f}°.",
        f"Cleaning and drying the face would gain you more with the {now.name} you have. {clean.say()}"
        if other > gain else "",
    ]
    reasons = [reason for reason in reasons if reason]
    return Advice(helps=helps, loft=loft, carry=carry, run_out=more["run_out"], spin=more["spin_rate"], cleaning=clean,
                  swing=swing, most_spin_at=float(top.loft), reasons=tuple(reasons))


def _runs(change: Band, name):
    """How much sooner or later it stops than a club of the bag, in both systems of length."""
    low, high = sorted((abs(change.low), abs(change.high)))
    how = "less" if change.mid < 0 else "more"
    return (f"Against your {name} it runs out about {abs(change.mid):.1f} m ({abs(change.mid) / yd:.1f} yd) {how}, likely "
            f"{low:.1f} to {high:.1f} m." if change.low * change.high > 0 else f"It runs out about as far as your {name}.")
