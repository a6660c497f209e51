"""What a person may change in a panel: a number with its unit and range, or one of a few things."""

from __future__ import annotations

import math
from dataclasses import KW_ONLY, dataclass
from typing import Any

from ..records import check
from ..units import same_quantity, unit

_YARDS = {"m/s": "mph", "km/h": "mph", "m": "yd", "cm": "in", "°C": "°F", "g": "oz"}


@dataclass(frozen=True)
class Knob:
    """A number: a slider with a box for the exact value.

    `name` is the keyword that `compute` takes, `label` what people read, `means` a few words on what it is.  `low`, `high`,
    `step` and `value` are SI (``low=20*mph``); `unit` is shown with metric units, `yards_unit` with yards and mph (by itself
    m/s → mph, m → yd, °C → °F, cm → in).  With `play` [s] the knob gets a button that sweeps it slowly through its range.
    """

    name: str
    label: str
    _: KW_ONLY
    low: float
    high: float
    step: float
    value: float
    unit: str = ""
    yards_unit: str | None = None
    means: str = ""
    play: float | None = None

    def __post_init__(self):
        if not self.low < self.high or self.step <= 0:
            got = f"{self.low}, {self.high}, {self.step}"
            raise ValueError(f"knob {self.name}: low < high and step > 0 are needed, got {got}")
        if not same_quantity(self.shown_unit("metric"), self.shown_unit("yards")):
            raise ValueError(f"knob {self.name}: {self.unit!r} and {self.yards_unit!r} measure different things")
        self.check(self.value, "metric")

    def shown_unit(self, units: str) -> str:
        """The unit's name in one of the two sets."""
        return self.unit if units == "metric" else self.yards_unit or _YARDS.get(self.unit, self.unit)

    def check(self, value, units: str) -> float:
        """The value [SI], or a `ValueError` naming quantity, value, range and cure."""
        slack = 1e-9 * (self.high - self.low)
        cure = "choose a value in that range" + (f" ({self.means})" if self.means else "")
        value = check(self.label, value, what="", unit=self.shown_unit(units), low=self.low - slack, high=self.high + slack,
                      cure=cure)
        if not isinstance(value, float):
            raise ValueError(f"{self.label} must be one number, got an array")
        return min(max(value, self.low), self.high)

    def read(self, shown, units: str) -> float:
        """What was typed, in the shown unit → SI, checked."""
        if isinstance(shown, bool) or not isinstance(shown, (int, float)):
            said = "an empty box" if shown in (None, "") else repr(shown)
            such = f"{self.show(self.value, units):.6g}"
            raise ValueError(f"{self.label} must be a number, got {said}; type one, such as {such}")
        return self.check(unit(self.shown_unit(units)).to_si(float(shown)), units)

    def show(self, value, units: str) -> float:
        """SI → the shown unit, without the dust of conversion."""
        return float(f"{unit(self.shown_unit(units)).from_si(value):.9g}")

    def described(self, units: str) -> dict:
        """What the page needs to draw the control."""
        scale = unit(self.shown_unit(units)).scale
        step = self.step / scale
        if self.shown_unit(units) != self.unit:
            step = _round_step(step)
        step = float(f"{step:.6g}")
        low, high = (unit(self.shown_unit(units)).from_si(end) for end in (self.low, self.high))
        # the slider stands on whole steps; the box reaches the very ends
        first, last = math.ceil(low / step - 1e-6) * step, math.floor(high / step + 1e-6) * step
        tidy = [float(f"{number:.9g}") for number in (first, last)]
        return {"kind": "number", "name": self.name, "label": self.label, "means": self.means, "play": self.play,
                "unit": self.shown_unit(units), "min": tidy[0], "max": tidy[1], "step": step}


@dataclass(frozen=True)
class Choice:
    """One of a few things: `options` maps what people read to the value that `compute` gets; the first stands at the start,
    unless `value` names another."""

    name: str
    label: str
    options: dict[str, Any]
    _: KW_ONLY
    value: str | None = None
    means: str = ""

    def __post_init__(self):
        if not self.options:
            raise ValueError(f"choice {self.name}: at least one option is needed, got none")
        object.__setattr__(self, "value", self.check(self.value or next(iter(self.options)), ""))

    def check(self, value, units: str) -> str:
        """The option's label, from a label or a value; or a `ValueError` that lists what there is."""
        if isinstance(value, str) and value in self.options:
            return value
        for label, meant in self.options.items():
            if value is meant or (isinstance(value, (str, int, float, bool)) and value == meant):
                return label
        raise ValueError(f"{self.label} must be one of {', '.join(self.options)}, got {value!r}; choose one of these")

    def read(self, shown, units: str) -> str:
        """What was chosen, checked."""
        return self.check(shown, units)

    def show(self, value, units: str) -> str:
        """The label itself."""
        return value

    def described(self, units: str) -> dict:
        """What the page needs to draw the control."""
        return {"kind": "choice", "name": self.name, "label": self.label, "means": self.means, "options": list(self.options)}


def _round_step(step):
    """The nearest of 1, 2, 5 × 10ⁿ."""
    power = 10.0 ** math.floor(math.log10(step))
    return min((1, 2, 5, 10), key=lambda n: abs(math.log(n * power / step))) * power
