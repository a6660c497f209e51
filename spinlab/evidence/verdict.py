"""What may be said of comparisons: their outcomes when judged together, their words, their tables.

A difference counts as shown when the t test (Welch's or Student's, paired, or adjusted for delivery) and, for a few shots,
the exact permutation test both reach the level, after Holm's correction where several are looked at.  Asking both is our
rule: the t test assumes bell-shaped scatter, the exact test does not, and neither is then ever the lucky one that was
picked.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import sqrt

import numpy as np

from . import smallsample as ss
from .adjust import Adjusted
from .power import best_of, shots_needed
from .wording import Caution, briefly, check_units, few, listed, ranges, saying, spoken, together


@dataclass(frozen=True, kw_only=True)
class Comparison:
    """One condition against the baseline, in SI.  `outcome` is one of: shown, small, too few, spread, exact, several."""

    of: str
    other: ss.Group
    baseline: ss.Group
    test: ss.Test
    plain: ss.Test
    """The same without any adjusting, blocks or pairs."""
    exact: ss.Exact | None
    alpha: float
    small: float | None = None
    several: int = 1
    """How many comparisons it is looked at together with."""
    p: float = 1.0
    """The larger p of both tests, after Holm's correction."""
    small_p: float | None = None
    outcome: str = "spread"
    needed: int | None = None

    @property
    def p_both(self) -> float:
        """The larger p of the t test and the exact test."""
        return max(self.test.p, self.exact.p) if self.exact else self.test.p

    @property
    def is_small(self) -> bool:
        """Is the difference shown to lie within ±small?"""
        return self.small_p is not None and self.small_p <= self.alpha

    @property
    def exact_odds(self) -> str:
        """The exact test in words."""
        return f"{self.exact.hits} of {self.exact.arrangements} {'ways' if self.exact.complete else 'random tries'}"

    @property
    def scatter(self) -> float:
        """One standard deviation of a shot, as far as it blurs this comparison."""
        return self.test.se / sqrt(1 / self.other.n + 1 / self.baseline.n)


def settle(comparisons):
    """The outcome of each, when all of them are looked at together (Holm 1979, from memory)."""
    several = len(comparisons)
    p = ss.holm([c.p_both for c in comparisons])
    small = [ss.equivalence(c.test, bound=c.small) if c.small is not None else None for c in comparisons]
    asked = [i for i, q in enumerate(small) if q is not None]
    for i, q in zip(asked, ss.holm([small[i] for i in asked])):
        small[i] = q
    return tuple(_settled(replace(c, p=q, small_p=s, several=several)) for c, q, s in zip(comparisons, p, small))


def _settled(c):
    if c.p <= c.alpha:
        return replace(c, outcome="shown")
    if c.is_small:
        return replace(c, outcome="small")
    needed = shots_needed(c.test.difference.value, c.scatter, confidence=1 - c.alpha, comparisons=c.several) \
        if c.test.difference.value else 1_000_000
    needed = max(needed, min(c.other.n, c.baseline.n) + 1)
    if c.test.p > c.alpha:
        outcome = "spread"
    elif c.exact and c.exact.smallest * c.several > c.alpha:
        outcome = "too few"
    else:
        outcome = "exact" if c.p_both > c.alpha else "several"
    return replace(c, outcome=outcome, needed=needed)


@dataclass(frozen=True, kw_only=True)
class Verdict:
    """What the shots show about one measure.  Numbers in SI; `sentence` is what to say aloud."""

    of: str
    by: str
    comparisons: tuple[Comparison, ...]
    groups: tuple[ss.Group, ...]
    adjusted_for: tuple[str, ...] = ()
    fit: Adjusted | None = None
    paired: bool = False
    cautions: tuple[Caution, ...] = ()
    confidence: float = 0.95

    @property
    def warnings(self) -> tuple[str, ...]:
        """The doubts in words, metric."""
        return tuple(caution.words() for caution in self.cautions)

    @property
    def only(self) -> Comparison:
        """The comparison, where there is just one."""
        if len(self.comparisons) != 1:
            raise ValueError(f"there are {len(self.comparisons)} comparisons; pick one from .comparisons")
        return self.comparisons[0]

    @property
    def shown(self) -> bool:
        """Is every comparison shown?"""
        return all(c.outcome == "shown" for c in self.comparisons)

    def sentence(self, units="metric") -> str:
        """The verdict in words, `units` metric or yards; the brackets hold what else would fit the shots."""
        said = " ".join(spoken(c, units, same=self.adjusted_for) for c in self.comparisons)
        if self.paired:
            return f"{said} ({self.groups[0].n} pairs)"
        return f"{said} ({listed(f'{g.n} {g.name}' for g in self.groups)} shots)"

    @property
    def reading(self) -> str:
        """How to read the numbers, for a caption."""
        k = min(g.n for g in self.groups)
        return (f"Brackets: the range that fits these shots, at {100 * self.confidence:g} %. Numbers are averages of all "
                f"shots kept. A best shot is not typical: by luck alone the best of {few(k)} beats the average by about "
                f"{best_of(k):.1f} times the scatter.")

    def averages(self):
        """A table of the conditions: shots, average and scatter (one standard deviation), in SI."""
        from pandas import DataFrame

        rows_ = [{"condition": g.name, "shots": g.n, "average": g.mean, "scatter": g.sd} for g in self.groups]
        return DataFrame(rows_)

    def table(self):
        """A table of the comparisons, in SI."""
        from pandas import DataFrame

        def line(c):
            r = c.test.ratio or ss.Estimate(value=np.nan, low=np.nan, high=np.nan)
            d = c.test.difference
            return {"condition": c.other.name, "baseline": c.baseline.name, "measure": c.of, "shots": c.other.n,
                    "baseline_shots": c.baseline.n, "difference": d.value, "low": d.low, "high": d.high, "ratio": r.value,
                    "ratio_low": r.low, "ratio_high": r.high, "p_t": c.test.p, "p_exact": c.exact.p if c.exact else np.nan,
                    "p": c.p, "outcome": c.outcome, "needed": c.needed}

        return DataFrame([line(c) for c in self.comparisons])


@dataclass(frozen=True, kw_only=True)
class Headline:
    """Spin, launch and carry of one condition against another, judged together.

    `names` are the conditions, the baseline first, `counts` their shots, `open` the measures without a verdict, each with
    the reason.
    """

    verdicts: tuple[Verdict, ...]
    names: tuple[str, ...]
    counts: dict[str, int]
    open: tuple[tuple[str, str], ...] = ()
    cautions: tuple[Caution, ...] = ()

    def __getitem__(self, measure) -> Verdict:
        """The verdict on one measure."""
        for v in self.verdicts:
            if v.of == measure:
                return v
        told = listed(v.of for v in self.verdicts) if self.verdicts else "none"
        raise KeyError(f"{measure} was not compared; there are {told}")

    @property
    def warnings(self) -> tuple[str, ...]:
        """The doubts in words, metric."""
        return self.doubts()

    def doubts(self, units="metric") -> tuple[str, ...]:
        """The doubts in words."""
        return tuple(caution.words(units) for caution in self.cautions)

    def brief(self, units="metric") -> str:
        """The verdict in at most 15 words for each condition: ``Wet: about half the spin, 9° higher. Shown.``"""
        check_units(units)
        return " ".join(briefly(name, self.names[0], self._of(name), units) for name in self.names[1:])

    def ranges(self, units="metric") -> str:
        """What fits the shots, measure by measure, and how many shots those were."""
        check_units(units)
        told = []
        for name in self.names[1:]:
            mine = self._of(name)
            whose = f"{name}: " if len(self.names) > 2 else ""
            if mine:
                told.append(whose + ranges(mine, units))
        return " ".join([*told, f"{self._shots()}."])

    def sentence(self, units="metric") -> str:
        """What was shown, in one breath; what was not, after it."""
        check_units(units)
        if self.verdicts:
            return together(self.verdicts, units)
        reasons = "; ".join(f"{saying(measure).noun} {why}" for measure, why in self.open)
        return f"Nothing can be compared yet: {reasons}. ({self._shots()})"

    def _of(self, name):
        return [c for v in self.verdicts for c in v.comparisons if c.other.name == name]

    def _shots(self):
        counts = self.counts
        if self.verdicts:
            told = {g.name: max(h.n for v in self.verdicts for h in v.groups if h.name == g.name)
                    for g in self.verdicts[0].groups}
            counts = {name: told.get(name, count) for name, count in counts.items()}
        last = list(counts.values())[-1]
        return listed(f"{count} {name}" for name, count in counts.items()) + (" shot" if last == 1 else " shots")


def too_few(comparisons):
    """Warnings about what so few shots can never show."""
    m = len(comparisons)
    for c in comparisons:
        if c.exact and c.exact.smallest * m > c.alpha:
            each = few(min(c.other.n, c.baseline.n))
            at_once = f" when {few(m)} results are judged together" if c.exact.smallest <= c.alpha else ""
            level = f"{100 * c.alpha:g} %"
            yield (f"{c.other.name} against {c.baseline.name}: {each} shots each can never reach {level}{at_once};"
                   f" luck alone gives the widest possible gap 1 time in {1 / c.exact.smallest:.0f}")
    if m > 1:
        yield f"{few(m)} results were judged together, so each had to be clearer to count (Holm's correction)"
