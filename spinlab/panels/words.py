"""Numbers and words for people: one formatter and one set of templates, also written once in
`web/format.js`.

A template is a sentence with places for values: ``"spin {spin_rate:spin}"``.  After the colon
stands the kind of quantity, which decides unit and digits; ``.1`` changes the digits, ``+`` shows
the sign, ``#`` leaves the unit out.  A control needs no kind: ``"{water}"``.
"""

from __future__ import annotations

import operator
import re
from dataclasses import dataclass

from ..units import unit, written

__all__ = ["KINDS", "Kind", "Rule", "Speaker", "rules_of"]

CLOSE = ("°", "%")
"""Units that stand close behind their number."""
THOUSANDS = written(1000)[1:-3]
"""What sets thousands apart."""


@dataclass(frozen=True)
class Kind:
    """How a kind of quantity is shown: its unit in each set of units, and its digits after the
    point.

    With −1 digits the number is rounded to tens.  From `whole_from` on [in the unit shown] it has
    no digits after the point.
    """

    metric: str
    yards: str
    digits: int = 0
    whole_from: float | None = None
    difference: bool = False

    def described(self) -> dict:
        """The same for the page, with the conversion of each unit."""
        return {name: self._described(getattr(self, name)) for name in ("metric", "yards")}

    def _described(self, name):
        measure = _PLAIN if name == "" else unit(name)
        return {
            "unit": name,
            "scale": measure.scale,
            "offset": measure.offset,
            "digits": self.digits,
            "whole_from": self.whole_from,
        }


@dataclass(frozen=True)
class _Plain:
    scale: float = 1.0
    offset: float = 0.0


_PLAIN = _Plain()

KINDS = {
    "number": Kind("", "", 2),
    "spin": Kind("rpm", "rpm", -1),
    "speed": Kind("m/s", "mph", 1),
    "angle": Kind("°", "°", 0),
    "fine_angle": Kind("°", "°", 1),
    "distance": Kind("m", "yd", 1),
    "height": Kind("m", "ft", 1),
    "thickness": Kind("µm", "µm", 1, 10),
    "size": Kind("mm", "mm", 1),
    "time": Kind("µs", "µs", 0),
    "seconds": Kind("s", "s", 1),
    "force": Kind("kN", "kN", 1),
    "temperature": Kind("°C", "°F", 0),
    "share": Kind("%", "%", 0),
    "rough_share": Kind("%", "%", -1),
}
"""The kinds of quantity that people read."""


class Rule:
    """A template and the conditions under which it is used: ``"water < 1e-7 and loft > 0.5"``, or
    none."""

    _PLACE = re.compile(r"\{(\w+)(?::(\w+)(?:\.(\d))?(\+)?(#)?)?\}")
    _TEST = re.compile(r"\s*(\w+)\s*(<=|>=|<|>)\s*([-+.\deE]+)\s*$")

    def __init__(self, text: str, when: str = ""):
        self.text = text
        self.when = [self._test(part) for part in when.split(" and ")] if when else []

    def _test(self, part):
        found = self._TEST.match(part)
        if not found:
            raise ValueError(
                f"a condition must read like 'water < 1e-6', got {part!r}; write 'name < number'"
            )
        name, sign, limit = found.groups()
        return name, sign, float(limit)

    @property
    def places(self):
        """Name and kind of every place; the kind of a control is empty."""
        return [(name, kind) for name, kind, _, _, _ in self._PLACE.findall(self.text)]

    def described(self) -> dict:
        """The same for the page."""
        return {"text": self.text, "when": self.when}


def rules_of(rules) -> list[Rule]:
    """A list of rules from a plain sentence, or from pairs of condition and sentence; the last has
    no condition."""
    if isinstance(rules, str):
        rules = [("", rules)]
    made = [Rule(text, when) for when, text in rules]
    if not made or made[-1].when:
        raise ValueError(
            "the last sentence must have no condition, so that there is always one; write ('', "
            "sentence)"
        )
    return made


_SIGNS = {"<": operator.lt, "<=": operator.le, ">": operator.gt, ">=": operator.ge}


class Speaker:
    """Puts values into words, in one set of units; `controls` by name."""

    def __init__(self, controls, units: str = "metric"):
        self.controls = controls
        self.units = units

    def number(self, kind: str, value: float, digits: int | None = None, sign: bool = False) -> str:
        """A value [SI] as people read it, without its unit."""
        about = KINDS[kind].described()[self.units]
        shown = (value - about["offset"]) / about["scale"]
        if digits is None:
            digits = about["digits"]
            if about["whole_from"] is not None and abs(shown) >= about["whole_from"]:
                digits = min(digits, 0)
        if digits < 0:
            step = 10.0**-digits
            return written(round(shown / step) * step, 0, sign=sign)
        return written(shown, digits, sign=sign)

    def say(self, kind: str, value: float, digits: int | None = None, sign: bool = False) -> str:
        """A value [SI] with its unit."""
        name = getattr(KINDS[kind], self.units)
        gap = "" if name == "" or name in CLOSE else "\u00a0"
        return f"{self.number(kind, value, digits, sign)}{gap}{name}"

    def control(self, name: str, value) -> str:
        """What a control stands at."""
        kind = getattr(self.controls[name], "kind", None)
        return value if kind is None else self.say(kind, value)

    def fill(self, template: str, values) -> str:
        """A template with its places filled."""

        def place(found):
            name, kind, digits, sign, alone = found.groups()
            if kind is None:
                return self.control(name, values[name])
            say = self.number if alone else self.say
            return say(kind, values[name], None if digits is None else int(digits), bool(sign))

        return Rule._PLACE.sub(place, template)

    def choose(self, rules, values) -> str:
        """The first sentence whose conditions all hold."""
        for rule in rules:
            if all(_SIGNS[sign](values[name], limit) for name, sign, limit in rule.when):
                return self.fill(rule.text, values)
        raise ValueError("no sentence fits; the last must have no condition")
