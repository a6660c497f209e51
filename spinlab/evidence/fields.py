"""What is typed into one cell: read, checked against what a shot can have, kept as a plain number in the column's unit."""

from __future__ import annotations

import re
from dataclasses import dataclass

from ..records import spoken
from ..units import same_quantity, unit
from .intake.cells import is_missing, number
from .intake.columns import CANDIDATES, COLUMNS, heading

GIVEN = ("shot", "time", "date")
"""Columns that a session fills by itself."""
YARDS = {"m/s": "mph", "m": "yd"}
MOST_TEXT = 200
_DOWN = "° down"


@dataclass(frozen=True)
class Field:
    """A column of a session and the unit it is typed in (none for words).  ``° down`` counts an attack angle downward."""

    name: str
    unit: str = ""

    def __post_init__(self):
        if self.name not in COLUMNS or self.name in GIVEN:
            known = ", ".join(name for name in COLUMNS if name not in GIVEN)
            raise ValueError(f"a session has no column {self.name!r}; choose from {known}")
        if self.unit not in self.choices:
            told = ", ".join(self.choices) if self.measured else "no unit: it holds words"
            raise ValueError(f"{self.label} cannot be typed in {self.unit!r}; choose {told}")

    @classmethod
    def of(cls, name: str, units="metric") -> Field:
        """A column with its usual unit; `units` is ``"metric"``, ``"yards"`` or a dict of units by column."""
        column = COLUMNS.get(name)
        talk = column.talk if column and column.measured else ""
        if isinstance(units, dict):
            return cls(name, units.get(name, talk))
        if units not in ("metric", "yards"):
            raise ValueError(f"units must be metric, yards, or a unit for each column, got {units!r}")
        return cls(name, YARDS.get(talk, talk) if units == "yards" else talk)

    @classmethod
    def written(cls, text: str) -> Field:
        """A column from its heading in a file: ``spin_rate [rpm]``."""
        found = heading(text)
        return cls(found.name or text, _DOWN if found.down else found.unit or "")

    @property
    def column(self):
        """What is known of the column."""
        return COLUMNS[self.name]

    @property
    def measured(self) -> bool:
        """Does it hold numbers?"""
        return self.column.measured

    @property
    def choices(self) -> tuple[str, ...]:
        """The units it can be typed in."""
        if not self.measured:
            return ("",)
        return (*CANDIDATES[self.column.quantity], *((_DOWN,) if self.name == "attack_angle" else ()))

    @property
    def label(self) -> str:
        """Its name as people read it."""
        return self.name.replace("_", " ")

    @property
    def heading(self) -> str:
        """Its heading in a file."""
        return f"{self.name} [{self.unit}]" if self.unit else self.name

    def read(self, typed) -> str:
        """What was typed → the cell that is kept: a plain number in the column's unit, words, or nothing.

        Raises
        ------
        ValueError
            naming the quantity, the value, the range and the cure.
        """
        text = re.sub(r"[\s\x00-\x1f\x7f]+", " ", "" if typed is None else str(typed)).strip()
        if not self.measured:
            if len(text) > MOST_TEXT:
                raise ValueError(f"{self.label} may have {MOST_TEXT} characters, got {len(text)}; shorten it")
            return text
        if is_missing(text):
            return ""
        value = self._value(text)
        low, high = self.column.low, self.column.high
        if not low <= value <= high:
            span = f"{self._say(low)} … {self._say(high)}"
            raise ValueError(f"{self.label} must lie in {span}, got {self._say(value)}; correct it, or leave the cell empty")
        return f"{self._shown(value):.10g}"

    def si(self, cell: str) -> float:
        """A kept cell → SI; no number where it is empty."""
        if not cell:
            return float("nan")
        return -unit("°").to_si(float(cell)) if self.unit == _DOWN else unit(self.unit).to_si(float(cell))

    def odd(self, cell: str) -> str:
        """A remark where a value is possible and yet unusual for a shot, such as a digit left out; else nothing."""
        low, high = self.column.usual
        if not (self.measured and cell) or low <= self.si(cell) <= high:
            return ""
        return f"{self.label} {self._say(self.si(cell))} is unusual for a shot; is it right?"

    def _value(self, text):
        """The number [SI] in a cell.  ``6,450`` can be two numbers: the one that is usual for a shot is meant."""
        found = {one.value: one for one in (number(text, mark) for mark in ".,") if not one.problem}
        if not found:
            problem = number(text, ".").problem
            raise ValueError(f"{self.label} “{text[:40]}” {problem}; type a number, or leave the cell empty")
        if len(found) > 1:
            low, high = self.column.usual
            usual = {v: one for v, one in found.items() if low <= self._to_si(one) <= high}
            if len(usual) != 1:
                ways = " or ".join(f"{value:.10g}" for value in found)
                raise ValueError(f"{self.label} “{text}” can be read as {ways}; type it without a mark for thousands")
            found = usual
        return self._to_si(next(iter(found.values())))

    def _to_si(self, one):
        if one.unit and not same_quantity(one.unit, self._bare):
            raise ValueError(f"{self.label} is typed in {self.unit}, got {one.unit}; type the number alone")
        if one.turn and one.turn not in self._turns:
            raise ValueError(f"{self.label} has no “{one.turn}”; type the number alone")
        value = unit(one.unit or self._bare).to_si(one.value)
        return -value if self.unit == _DOWN and not one.turn else value

    @property
    def _turns(self):
        words = self.column.turns.split()
        return {*words, *(word[0] for word in words if word in ("right", "left"))}

    @property
    def _bare(self):
        return "°" if self.unit == _DOWN else self.unit

    def _shown(self, value):
        shown = unit(self._bare).from_si(value)
        return -shown + 0.0 if self.unit == _DOWN else shown

    def _say(self, value):
        return spoken(value, self._bare)
