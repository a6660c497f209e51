"""Sentences a coach can say aloud: measures, numbers with their units, outcomes."""

from __future__ import annotations

from dataclasses import dataclass

from ..units import said, unit, written

SYSTEMS = ("metric", "yards")


@dataclass(frozen=True, kw_only=True)
class Saying:
    """How one measure is talked about: *wet* `past` 8.9° `more` *than dry*."""

    noun: str
    past: str
    more: str = "higher"
    less: str = "lower"
    metric: str = ""
    yards: str = ""
    digits: int = 1
    as_ratio: bool = False
    alone: bool = False
    """Do `more` and `less` say by themselves what is meant, so that a brief sentence needs no noun?"""

    def unit_name(self, units="metric") -> str:
        """The unit it is talked about in; empty where it has none."""
        return self.yards if units == "yards" else self.metric

    def number(self, value, units="metric", *, signed=False):
        """A value [SI] in words, with its unit."""
        name = self.unit_name(units)
        return said(value, name, self.digits, sign=signed) if name else written(value, figures=4, sign=signed)

    def tells(self, value, units="metric"):
        """Is the value [SI] more than nothing once it is rounded for talking?"""
        return any(digit in self.number(value, units) for digit in "123456789")

    def by(self, value, units="metric"):
        """A difference [SI] with its direction: ``8.9° higher``."""
        return f"{self.number(abs(value), units)} {self.more if value >= 0 else self.less}"

    def briefly(self, value, units="metric"):
        """A difference [SI] in as few words as can be: ``9° higher``; whole numbers from 5 on.  Nothing where it rounds to
        nothing."""
        name = self.unit_name(units)
        size = abs(unit(name).from_si(value) if name else value)
        if name == "rpm":
            size, digits = round(size, -2) if size >= 1000 else round(size, -1), 0
        else:
            digits = 0 if round(size, 1) >= 5 else 1
        text = written(size, digits)
        if not any(digit in text for digit in "123456789"):
            return ""
        told = text + (name if name == "°" else f" {name}" if name else "")
        told = f"{told} {self.more if value >= 0 else self.less}"
        return told if self.alone else f"{self.noun} {told}"


SAYINGS = {
    "spin_rate": Saying(noun="spin", past="spun", more="faster", less="slower", metric="rpm", yards="rpm", as_ratio=True),
    "launch_angle": Saying(noun="launch angle", past="launched", metric="°", yards="°", alone=True),
    "carry": Saying(noun="carry", past="carried", more="farther", less="shorter", metric="m", yards="yd",
                    alone=True),
    "run_out": Saying(noun="run-out", past="ran out", more="farther", less="shorter", metric="m", yards="yd"),
    "apex": Saying(noun="peak height", past="flew", metric="m", yards="ft"),
    "descent_angle": Saying(noun="descent angle", past="came down", more="steeper", less="shallower", metric="°", yards="°"),
    "ball_speed": Saying(noun="ball speed", past="left the face", more="faster", less="slower", metric="m/s", yards="mph"),
    "head_speed": Saying(noun="head speed", past="was swung", more="faster", less="slower", metric="m/s", yards="mph"),
    "dynamic_loft": Saying(noun="dynamic loft", past="was delivered", more="more lofted", less="less lofted",
                           metric="°", yards="°"),
    "attack_angle": Saying(noun="attack angle", past="was struck", more="less steeply", less="more steeply",
                           metric="°", yards="°"),
    "spin_loft": Saying(noun="spin loft", past="was delivered", more="wider in spin loft", less="narrower in spin loft",
                        metric="°", yards="°"),
}
"""How the known measures are spoken of; `saying` has something for any other."""


def saying(measure: str) -> Saying:
    """The way to talk about a measure; an unknown one by its own name, without a unit."""
    noun = measure.replace("_", " ")
    return SAYINGS.get(measure) or Saying(noun=noun, past=f"had a {noun}")


def not_measured(measure: str) -> str:
    """Why nothing is said about a measure that the shots do not have, where nothing else is known of it."""
    return "was not measured"


@dataclass(frozen=True)
class Caution:
    """A doubt in words, without a full stop; a `size` [SI] of the measure `of` is spoken in the units asked for."""

    before: str
    of: str = ""
    size: float = 0.0
    after: str = ""

    def words(self, units="metric") -> str:
        """The doubt as a sentence."""
        return self.before + (saying(self.of).by(self.size, units) if self.of else "") + self.after


def check_units(units):
    """Refuse a system of units that is not ours."""
    if units not in SYSTEMS:
        raise ValueError(f"units must be one of {', '.join(SYSTEMS)}, got {units!r}")


def few(number: int) -> str:
    """A small number in words."""
    words = ["no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"]
    return words[number] if 0 <= number < len(words) else str(number)


def listed(words) -> str:
    """``a``, ``a and b``, ``a, b and c``."""
    words = list(words)
    return words[0] if len(words) == 1 else ", ".join(words[:-1]) + " and " + words[-1]


def finding(c, units, *, against=True) -> tuple[str, str]:
    """What was seen, and the interval around it, in words: two pieces of a sentence; `against` names the baseline."""
    say, gap = saying(c.of), c.test.difference
    than = f" than {c.baseline.name}" if against else ""
    if say.as_ratio and c.test.ratio is not None:
        r = c.test.ratio
        digits = 2 if r.high - r.low >= 0.02 else 3
        return (f"{say.past} {r.value:.{digits}f} times as much as {c.baseline.name}",
                f"{r.low:.{digits}f} to {r.high:.{digits}f}")
    seen = f"{say.past} {say.by(gap.value, units)}{than}"
    if not say.tells(gap.value, units):
        seen = f"{say.past} like {c.baseline.name}"
    if gap.low * gap.high > 0:
        near, far = sorted((gap.low, gap.high), key=abs)
        return seen, f"{say.number(abs(near), units)} to {say.number(abs(far), units)}"
    return seen, f"{say.by(gap.low, units)} to {say.by(gap.high, units)}"


def spoken(c, units="metric", *, same=()) -> str:
    """One comparison as one or two sentences."""
    check_units(units)
    seen, interval = finding(c, units)
    at_same = f"at the same {listed(saying(s).noun for s in same)}, " if same else ""
    claim = f"{at_same}{c.other.name} {seen}"
    this_few = "by these shots" if min(c.other.n, c.baseline.n) >= 30 else "with this few shots"
    if c.outcome == "shown":
        return f"Shown: {claim} ({interval}){_small(c, units)}."
    if c.outcome == "small":
        gap, say = c.test.difference, saying(c.of)
        return (f"Shown to be small: {at_same}{c.other.name} and {c.baseline.name} differ in {say.noun} by less than "
                f"{say.number(c.small, units)} ({say.by(gap.low, units)} to {say.by(gap.high, units)}).")
    if c.outcome == "too few":
        each = few(min(c.other.n, c.baseline.n))
        at_once = f" among {few(c.several)} results judged together" if c.exact.smallest <= c.alpha else ""
        return (f"Not shown yet: {claim} ({interval}), but {each} shots each can never settle it{at_once}: "
                f"luck alone sorts the shots like this 1 time in {1 / c.exact.smallest:.0f}. {_needed(c)}")
    if c.outcome == "spread":
        why = f"but {interval} would all fit these shots"
    elif c.outcome == "exact":
        why = f"but swapping the labels at random gives as wide a gap too often ({c.exact_odds})"
    else:
        why = f"which would count on its own, but not as one of {few(c.several)} judged together"
    comma = "," if same else ""
    return f"Not shown {this_few}: on average{comma} {claim}, {why}.{_nor_small(c, units)} {_needed(c)}"


def _small(c, units):
    """The rider for a difference that is real and small at once."""
    if c.small is None or not c.is_small:
        return ""
    return f", and it is small: less than {saying(c.of).number(c.small, units)}"


def _nor_small(c, units):
    """What was asked and not shown either."""
    return "" if c.small is None else f" Nor is it shown to be smaller than {saying(c.of).number(c.small, units)}."


def _needed(c):
    """How many shots each would tell, in words."""
    if c.needed is None:
        return ""
    if c.needed > 200:
        return "If that is the true size, more than 200 shots each would be needed: too small to show in a demonstration."
    return f"If that is the true size, about {c.needed} shots each would be needed."


MOST_WORDS = 15
"""Words of the sentence that comes first (our judgement: read at a glance from ten metres)."""
_NAME_WORDS, _NAME_LETTERS = 3, 24

_SHARES = {0.25: "a quarter of the", 1 / 3: "a third of the", 0.5: "half the", 2 / 3: "two thirds of the",
           0.75: "three quarters of the", 2.0: "twice the", 3.0: "three times the"}
_NEAR = 0.06
"""How far, as a share, a ratio may lie from a fraction that is named for it (our judgement)."""


def called(name: str) -> str:
    """A condition's name, short enough for a brief sentence."""
    words = str(name).split()
    short = " ".join(words[:_NAME_WORDS])[:_NAME_LETTERS].rstrip()
    return short if short == " ".join(words) else f"{short}…"


def share_in_words(ratio, noun) -> str:
    """How much of something there is: ``about half the spin``, ``44 % less spin``."""
    near = min(_SHARES, key=lambda share: abs(ratio.value / share - 1))
    if abs(ratio.value / near - 1) < _NEAR and ratio.holds(near):
        return f"about {_SHARES[near]} {noun}"
    change = round(100 * (ratio.value - 1))
    if change == 0:
        return f"about the same {noun}"
    return f"{written(ratio.value, 1)} times the {noun}" if change > 200 else \
        f"{abs(change)}\u00a0% {'more' if change > 0 else 'less'} {noun}"


def _part(c, units):
    """What was seen of one measure, in a few words."""
    say = saying(c.of)
    if say.as_ratio and c.test.ratio is not None:
        return share_in_words(c.test.ratio, say.noun)
    return say.briefly(c.test.difference.value, units)


def briefly(name, baseline, comparisons, units) -> str:
    """What one condition shows against the baseline, in `MOST_WORDS` words at most: ``Wet: about half the spin, 9° higher.
    Shown.``  Where something is shown, what is not shown is left for the sentences after it."""
    who = called(name)
    who = who[:1].upper() + who[1:]
    shown = [c for c in comparisons if c.outcome == "shown"]
    if shown:
        parts = [part for part in (_part(c, units) for c in shown) if part][:3]
        return f"{who}: {', '.join(parts) or f'{saying(shown[0].of).noun} differs, but hardly'}. Shown."
    small = [c for c in comparisons if c.outcome == "small"][:1]
    if small:
        say = saying(small[0].of)
        return f"{who}: {say.noun} within {say.number(small[0].small, units)} of {called(baseline)}. Shown."
    if comparisons:
        parts = [part for part in (_part(c, units) for c in comparisons) if part][:2]
        return f"{who}: {', '.join(parts) or 'much the same'} so far. Not shown yet."
    return f"{who} against {called(baseline)}: too few different shots to compare yet."


def ranges(comparisons, units) -> str:
    """Each measure's difference with the range that fits the shots, in one sentence."""
    parts = []
    for c in comparisons:
        say, (_, interval) = saying(c.of), finding(c, units)
        if say.as_ratio and c.test.ratio is not None:
            seen = f"{c.test.ratio.value:.2f} times"
        else:
            seen = say.by(c.test.difference.value, units) if say.tells(c.test.difference.value, units) else "alike"
        not_shown = ", not shown" if c.outcome not in ("shown", "small") else ""
        parts.append(f"{say.noun} {seen} ({interval}{not_shown})")
    told = "; ".join(parts)
    return f"{told[:1].upper()}{told[1:]}."


def together(verdicts, units) -> str:
    """Several measures in one breath: what is shown first, then what is small, then what is not shown."""
    said, rest = [], []
    for name in dict.fromkeys(c.other.name for v in verdicts for c in v.comparisons):
        mine = [(c, v.adjusted_for) for v in verdicts for c in v.comparisons if c.other.name == name]
        shown = [(c, same) for c, same in mine if c.outcome == "shown"]
        if shown:
            parts = [finding(c, units, against=i == 0) for i, (c, _) in enumerate(shown)]
            same = shown[0][1]
            at_same = f"at the same {listed(saying(s).noun for s in same)}, " if same else ""
            said.append(f"Shown: {at_same}{name} {listed(f'{seen} ({interval})' for seen, interval in parts)}.")
        rest += [spoken(c, units, same=same) for c, same in mine if c.outcome != "shown"]
    counts = {g.name: sorted({h.n for v in verdicts for h in v.groups if h.name == g.name}) for g in verdicts[0].groups}
    shots = listed(f"{'up to ' if len(n) > 1 else ''}{n[-1]} {name}" for name, n in counts.items())
    return f"{' '.join([*said, *rest])} ({shots} shots)"
