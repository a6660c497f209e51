"""Plan an honest demonstration before the first ball: how many shots, in which order, with what, and what could go wrong.

Two things are fixed beforehand and kept: the number of shots and the rule for mis-hits.  Stopping when it looks good, or
choosing afterwards which shots count, makes luck look like an effect.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import cycle, islice
from math import ceil, sqrt

import numpy as np

from ..care import SAFETY, WATER
from ..units import deg, rpm
from .power import chance, check_scatter, shots_needed
from .screen import Rule, written
from .smallsample import Group
from .wording import check_units, few, listed, saying

__all__ = ["SCATTER", "Plan", "Scatter", "chance", "order_of", "plan", "scatter_of"]

SCATTER = {
    "steady hitter": {"spin_rate": 400 * rpm, "launch_angle": 1.2 * deg, "carry": 1.5, "ball_speed": 0.4},
    "club player": {"spin_rate": 800 * rpm, "launch_angle": 2.2 * deg, "carry": 3.5, "ball_speed": 0.9},
}
"""One standard deviation of a pitch of about 40 m [SI]; our judgement, to be replaced by shots of one's own."""

ORDERS = ("ABBA", "ABBABAAB", "blocks", "last")

KIT = ("the club, checked and cleaned", "balls of one kind, numbered", "a clean, dry towel", "this sheet and a pen",
       "the measuring device, set up before the first ball and left alone")


@dataclass(frozen=True, kw_only=True)
class Scatter:
    """Scatter of one measure [SI] from earlier shots: one standard deviation and a careful upper value."""

    value: float
    careful: float
    df: int


def scatter_of(frame, *, of, by="condition", confidence=0.8) -> Scatter:
    """Scatter within conditions, pooled over the conditions of an earlier table.

    A scatter from few shots is itself uncertain.  `careful` is its one-sided upper limit from the chi-squared
    distribution, ``s √(df/χ²(1−confidence, df))`` (Browne 1995, doi:10.1002/sim.4780141709, from memory): plan with it.
    """
    from scipy.special import chdtri

    missing = [name for name in (of, by) if name not in frame.columns]
    if missing:
        raise ValueError(f"the table has no column {listed(map(repr, missing))}; it has {listed(map(str, frame.columns))}")
    parts = [part.dropna().to_numpy(dtype=float) for _, part in frame.groupby(by, sort=False)[of]]
    groups = [Group.of(part) for part in parts if len(part) > 1]
    df = sum(g.n - 1 for g in groups)
    if df < 2:
        raise ValueError(f"{of!r} has too few shots for a scatter; two conditions of two shots at least are needed")
    value = sqrt(sum((g.n - 1) * g.sd**2 for g in groups) / df)
    # chdtri wants the probability above: the upper limit of the scatter belongs to the lower tail of chi-squared
    return Scatter(value=value, careful=value * sqrt(df / float(chdtri(df, confidence))), df=df)


def order_of(conditions, each, *, order="ABBA", seed=1) -> tuple[tuple[str, ...], tuple[int, ...]]:
    """Which condition to hit when, and the block each shot belongs to.

    ``ABBA`` cancels a steady drift, ``ABBABAAB`` a curved one too (Thue–Morse); ``blocks`` draws the order within each block
    by lot with this seed; ``last`` hits the conditions one lot after the other, as named.
    """
    names = tuple(conditions)
    if len(set(names)) < 2 or len(set(names)) < len(names):
        got = listed(map(repr, names)) if names else "none"
        raise ValueError(f"a plan needs two different conditions or more, got {got}; name another")
    if order not in ORDERS:
        raise ValueError(f"order must be one of {', '.join(ORDERS)}, got {order!r}")
    if order == "last":
        return tuple(n for n in names for _ in range(each)), tuple([1] * each * len(names))
    if order == "blocks":
        rng = np.random.default_rng(seed)
        drawn = [names[i] for _ in range(each) for i in rng.permutation(len(names))]
        return tuple(drawn), tuple(i // len(names) + 1 for i in range(len(drawn)))
    if len(names) != 2:
        raise ValueError(f"order {order!r} is for two conditions, got {len(names)}; use 'blocks' for more")
    drawn = tuple(names[letter == "B"] for letter in islice(cycle(order), 2 * each))
    return drawn, tuple(i // len(order) + 1 for i in range(len(drawn)))


@dataclass(frozen=True, kw_only=True)
class Plan:
    """A demonstration laid down beforehand.  Numbers in SI; `sentence` says it, `sheet_rows` is the sheet to fill in."""

    of: str
    conditions: tuple[str, ...]
    effect: float
    scatter: float
    shots_each: int
    chance: float
    chances: tuple[tuple[int, float], ...]
    order: tuple[str, ...]
    blocks: tuple[int, ...]
    spare: int
    how: str
    seed: int
    kit: tuple[str, ...]
    rules: tuple[str, ...]
    cautions: tuple[str, ...]
    columns: tuple[str, ...]
    rule: Rule = Rule()
    """Which shots count: goes on to live entry, desk and handout."""

    def sentence(self, units="metric") -> str:
        """The plan in words: how many, in which order, and what the chance is."""
        check_units(units)
        say = saying(self.of)
        odds = "better than 99" if self.chance > 0.99 else f"about {100 * self.chance:.0f}"
        shots = listed(f"{few(self.shots_each)} {name}" for name in self.conditions)
        return (f"Hit {shots} shots, {self.how}. If the true difference in "
                f"{say.noun} is {say.number(abs(self.effect), units)} and single shots scatter by "
                f"{say.number(self.scatter, units)}, the chance of a convincing result is {odds} in 100.")

    def sheet_rows(self) -> list[dict]:
        """One dict for each line of the sheet, in the order to hit; measured columns are blank, spare lines come last."""
        spare = [(c, "") for c in self.conditions] * self.spare
        lines = [*zip(self.order, self.blocks), *spare]
        blank = dict.fromkeys((*self.columns, "note"), "")
        return [{"shot": i + 1, "block": block, "condition": condition, "spare": i >= len(self.order), **blank}
                for i, (condition, block) in enumerate(lines)]


def plan(effect, scatter, *, of="spin_rate", conditions=("dry", "wet"), wanted=0.9, confidence=0.95, order="ABBA",
         carry_over="dried", lost=0.15, at_least=5, seed=1, water=None, dynamic_loft=None, rules=(),
         columns=("head_speed", "dynamic_loft", "attack_angle", "ball_speed", "launch_angle", "spin_rate", "carry")) -> Plan:
    """Plan a demonstration that has the chance `wanted` of a convincing result.

    The chance is that of two groups judged by `compare`; comparing within blocks afterwards can only sharpen it where the
    blocks differ.

    Parameters
    ----------
    effect : float
        the difference to be shown [SI], such as ``2500*rpm``; the smallest that would matter, not the largest hoped for
    scatter : float, Scatter or str
        one standard deviation of a shot [SI], a `Scatter` of one's own earlier shots, or a name in `SCATTER`
    conditions : sequence of str
        what is compared; the baseline first
    wanted, confidence : float
        chance of a convincing result; 0.95 asks for the 5 % level
    order : str
        ABBA, ABBABAAB, blocks, last (see `order_of`)
    carry_over : str
        ``dried``: face and ball are dried fully after each wet shot; ``last``: the wet shots come last, in one lot
    lost : float
        share of shots expected to be set aside as mis-hits; so many spare lines are added
    at_least : int
        fewest shots each, whatever the effect; five leave room for one to be lost (our judgement)
    seed : int
        for an order drawn by lot, so that it can be drawn again
    water : bool, optional
        does the plan use water (kit and cautions)?  Read from the names of the conditions if left out
    dynamic_loft : (float, float), optional
        the band of dynamic loft [rad] that counts; becomes the mis-hit rule
    rules : sequence of str
        further rules to print
    columns : sequence of str
        what is written down for each shot

    Raises
    ------
    ValueError
        no effect, no scatter, an unknown order, or an effect that more than 500 shots each would be needed for.
    """
    scatter = _scatter(scatter, of)
    if not 0 <= lost < 0.6:
        raise ValueError(f"the share of shots lost must lie in 0 … 0.6, got {lost}; above that, practise the shot first")
    if carry_over not in ("dried", "last"):
        raise ValueError(f"carry_over must be 'dried' or 'last', got {carry_over!r}")
    order = "last" if carry_over == "last" else order
    conditions = tuple(conditions)
    asked = {"confidence": confidence, "comparisons": max(1, len(conditions) - 1)}
    need = shots_needed(effect, scatter, power=wanted, **asked)
    if need > 500:
        raise ValueError("more than 500 shots each would be needed: the effect is too small against the scatter; show a "
                         "larger one or steady the strike")
    each = _rounded(max(need, at_least), order)
    hit, blocks = order_of(conditions, each, order=order, seed=seed)
    rule = Rule() if dynamic_loft is None else written(dynamic_loft=dynamic_loft)
    how, mixed = _how(order, carry_over, conditions, seed)
    odds = {n: chance(effect, scatter, n, **asked) for n in sorted({3, 4, 5, 6, 8, 10, each})}
    wet = any(word in c.casefold() for c in conditions for word in ("wet", "damp", "water")) if water is None else water
    return Plan(of=of, conditions=conditions, effect=effect, scatter=scatter, shots_each=each, chance=odds[each],
                chances=tuple(odds.items()), order=hit, blocks=blocks, spare=ceil(each * lost / (1 - lost)), how=how,
                seed=seed,
                kit=KIT + (("a small spray bottle", "a second towel for drying fully") if wet else ()),
                rules=_rules(each, rule) + tuple(rules), rule=rule,
                cautions=mixed + (WATER if wet else ()) + SAFETY, columns=tuple(columns))


def _scatter(scatter, of):
    """A scatter as a number."""
    if isinstance(scatter, Scatter):
        return scatter.careful
    if isinstance(scatter, str):
        if scatter not in SCATTER or of not in SCATTER[scatter]:
            known = listed(SCATTER["club player"])
            raise ValueError(f"no preset scatter {scatter!r} for {of!r}; there are {listed(SCATTER)}, for {known}")
        return SCATTER[scatter][of]
    check_scatter(scatter)
    return float(scatter)


def _rounded(each, order):
    """Shots each that fill whole turns of the order."""
    turn = {"ABBA": 2, "ABBABAAB": 4}.get(order, 1)
    return turn * ceil(each / turn)


def _how(order, carry_over, conditions, seed):
    """The order in words, and what to be careful about in it."""
    names = list(conditions)
    if carry_over == "last":
        return (f"first all {names[0]}, then all {listed(names[1:])}",
                (f"Keeping {listed(names[1:])} for the end stops carry-over, but anything else that changes with time then "
                 f"looks like its effect: dry fully afterwards and hit two more {names[0]} shots to look for that.",))
    if order == "blocks":
        text = f"in blocks, the order in each drawn by lot (seed {seed})"
    else:
        turn = ", ".join(order_of(names, len(order) // 2, order=order)[0])
        text = f"turn about ({turn}), so that " + ("a steady drift cancels" if order == "ABBA" else
                                                   "a steady and a curved drift cancel")
    return text, ("No order cures carry-over: a wet face stays wet. Bring face, grooves and ball back to the same state "
                  "before every shot.",)


def _rules(each, rule):
    """What is fixed before the first ball."""
    bands = "A shot counts if it was struck from the middle of the face, by the hitter's word before the numbers are seen."
    if rule.bands:
        bands = f"A{rule.words()[1:]}; all others are set aside, whatever they did."
    return (f"Hit {few(each)} shots each that count, no more and no fewer; do not stop early when it looks good.",
            bands, "A shot set aside is hit again at the end, on a spare line, and its number stays on the sheet.",
            "Show the averages and their range, never the best shot.")
