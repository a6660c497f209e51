"""Sentences a coach can say aloud: measures, numbers with their units, outcomes."""

from __future__ import annotations

from dataclasses import dataclass

from ..units import said, written

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

    def number(self, value, units="metric", *, signed=False):
        """A value [SI] in words, with its unit."""
        name = self.yards if units == "yards" else self.metric
        return said(value, name, self.digits, sign=signed) if name else written(value, figures=4, sign=signed)

    def tells(self, value, units="metric"):
        """Is the value [SI] more than nothing once it is rounded for talking?"""
        return any(digit in self.number(value, units) for digit in "123456789")

    def by(self, value, units="metric"):
        """A difference [SI] with its direction: ``8.9° higher``."""
        return f"{self.number(abs(value), units)} {self.more if value >= 0 else self.less}"


SAYINGS = {
    "spin_rate": Saying(noun="spin", past="spun", more="faster", less="slower", metric="rpm", yards="rpm", as_ratio=True),
    "launch_angle": Saying(noun="launch angle", past="launched", metric="°", yards="°"),
    "carry": Saying(noun="carry", past="carried", more="farther", less="shorter", metric="m", yards="yd"),
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
    why = {
        "spread": f"but {interval} would all fit these shots",
        "exact": f"but swapping the labels at random gives as wide a gap too often ({c.exact_odds})",
        "several": f"which would count on its own, but not as one of {few(c.several)} judged together",
    }[c.outcome]
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
