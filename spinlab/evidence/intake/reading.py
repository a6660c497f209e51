"""The columns of one table on their way into the frame: each is understood, asked about, or kept as it is."""

from __future__ import annotations

import numpy as np

from . import measures, words
from .cells import is_missing
from .columns import CANDIDATES, COLUMNS, plain

AS_WRITTEN = " (as written)"


class Reading:
    """Columns in the making.  `frame` gathers the finished ones in the table's order, `problems` the cells that could not
    be read (position of the shot → (heading, cell, reason, cure)), `apart` the lines that are no shots after all."""

    def __init__(self, headers, found, cells, below, units):
        self.headers, self.found, self.cells, self.below = headers, found, cells, below
        self.told = {plain(header): name for header, name in units.items()}
        self.frame, self.understood, self.asked, self.notes = {}, [], [], []
        self.problems, self.apart, self.measured = {}, {}, []
        self.size = len(cells[0]) if cells else 0

    def run(self, sections):
        """Read every column; `sections` are the title lines above the shots."""
        everywhere = measures.table_mark(self.cells)
        found = {j: self._measure(j, everywhere) for j, heading in enumerate(self.found)
                 if heading.name and COLUMNS[heading.name].measured}
        measures.take_units(list(found.values()))
        for j, heading in enumerate(self.found):
            if j in found:
                self._add_measure(found[j], j)
            elif heading.name:
                self._add_words(j)
            elif heading.doubt:
                self._ask_meaning(j)
            elif self.headers[j] or any(self._filled(j)):
                self._keep(j, self.headers[j] or f"column {j + 1}")
        if "condition" not in self.frame and len(set(sections)) > 1:
            self.frame["condition"] = words.words(np.array(sections, dtype=object), merge=True)[0]
            self._understand("(title lines)", "condition", "", "the title line above each group of shots")
        self._check_attack()
        self._check_speeds()
        self._sort_out()
        return self

    def _measure(self, j, everywhere):
        header = self.headers[j]
        told = self.told.get(plain(header)) or self.told.get(plain(self.found[j].name))
        below = self.below[j] if j < len(self.below) else ""
        return measures.measure(header, self.found[j], self.cells[j], below, told, everywhere)

    def _add_measure(self, one, j):
        if not one.question:
            measures.to_si(one)
        if one.question:
            self._ask_unit(one, j)
            return
        name = one.column.name
        if name in self.frame:
            self._double(one, j)
            return
        self.frame[name] = one.values
        self.measured.append((one, j))
        self._understand(one.header, name, one.unit, one.how + one.also + (", counted downward" if one.down else ""))
        for place, (reason, cure) in one.problems.items():
            self.problems.setdefault(place, []).append((one.header, self.cells[j][place], reason, cure))

    def _double(self, one, j):
        """A second column of the same meaning: kept as written; said aloud when the two do not agree."""
        first = self.frame[one.column.name]
        both = np.isfinite(first) & np.isfinite(one.values)
        scale = np.maximum(np.abs(first[both]), 0.02 * max(abs(one.column.low), one.column.high))
        apart = np.abs(first[both] - one.values[both]) > 0.02 * scale
        self._keep(j, one.header + AS_WRITTEN)
        if apart.any():
            self._ask(one.header, f"it is a second column for {one.column.name} and differs from the first in "
                      f"{int(apart.sum())} of {len(apart)} shots; the first is used", (one.column.name, "neither"),
                      f'columns={{"{one.header}": None}} keeps this one out; rename one of them to tell them apart')
        else:
            self.notes.append(f"“{one.header}” repeats {one.column.name}; the first of the two is used")

    def _add_words(self, j):
        header, name, cells = self.headers[j], self.found[j].name, self.cells[j]
        if name in self.frame:
            self._keep(j, header + AS_WRITTEN)
            self.notes.append(f"“{header}” is a second column for {name}; the first of the two is used")
            return
        kind, how = COLUMNS[name].quantity, "by its heading"
        if kind == "number or text":
            values = words.numbers_or_words(cells)
        elif kind == "time":
            values, question = words.times(cells)
            if question:
                self._ask(header, question, ("day first", "month first"),
                          "write the dates as year-month-day, as in 2026-04-03")
        else:
            values, merged = words.words(cells, merge=name in ("club", "ball", "condition"))
            if merged:
                self.notes.append(f"{name}: {merged}")
            self._check_groups(header, values)
        self.frame[name] = values
        self._understand(header, name, "", how)

    def _keep(self, j, label):
        label = label.strip() or f"column {j + 1}"
        if label in COLUMNS:
            label += AS_WRITTEN
        count, free = 1, label
        while free in self.frame:
            count += 1
            free = f"{label} ({count})"
        column = np.empty(self.size, dtype=object)
        column[:] = [None if is_missing(cell) else cell for cell in self.cells[j]]
        self.frame[free] = column
        if not label.endswith(AS_WRITTEN):
            self._understand(self.headers[j], "", "", "kept as it is")

    def _understand(self, header, name, unit, how):
        self.understood.append((header, name, unit, how))

    def _ask(self, header, question, choices, cure):
        self.asked.append((header, question, tuple(choices), cure))

    def _ask_unit(self, one, j):
        self._keep(j, one.header + AS_WRITTEN)
        choices = one.choices or CANDIDATES[one.column.quantity]
        self._understand(one.header, "", "", f"kept as written: {one.column.name} once its unit is known")
        self._ask(one.header, one.question, choices, f'units={{"{one.header}": "{choices[0]}"}}{_or(choices)}')

    def _ask_meaning(self, j):
        header, doubt = self.headers[j], self.found[j].doubt
        self._keep(j, header + AS_WRITTEN)
        self._understand(header, "", "", "kept as written: its word can mean several things")
        self._ask(header, f"does “{header}” mean {' or '.join(doubt)}?", doubt,
                  f'columns={{"{header}": "{doubt[0]}"}}{_or((*doubt, "None"))}')

    def _sort_out(self):
        """Lines that are no shots after all: nothing measured in them, or the mean of the lines above without saying so."""
        filled, measured = np.zeros(self.size, dtype=bool), False
        for name, values in self.frame.items():
            if name not in COLUMNS or COLUMNS[name].measured:
                measured = True
                filled |= np.array([value is not None and value == value for value in values], dtype=bool)
        if measured:
            self.apart = {int(place): "no measured value in this line" for place in np.flatnonzero(~filled)}
        agree = [measures.last_is_mean(one, self.cells[j][-1]) for one, j in self.measured if self.size]
        if agree.count(True) >= 3 and False not in agree:
            self.apart[self.size - 1] = "the mean of the lines above it, not a shot"
        for place in self.problems:
            self.apart.pop(place, None)

    def _check_groups(self, header, values):
        """A word that stands once above its group is not missing, but only its owner can say so."""
        blank = np.array([value is None for value in values], dtype=bool)
        if blank.sum() > 0.5 * blank.size and not blank[0] and len(set(values[~blank])) > 1:
            self._ask(header, f"it is blank in {int(blank.sum())} of {blank.size} lines; does each word stand for the lines "
                      "below it?", ("yes", "no"), "if so, write the word into each line")

    def _check_speeds(self):
        """A ball leaves a club with 0.5 to 1.55 of the head's speed; anything else is a unit, or a column, mistaken."""
        head, ball = self.frame.get("head_speed"), self.frame.get("ball_speed")
        if head is None or ball is None:
            return
        known = np.isfinite(head) & np.isfinite(ball) & (head > 0)
        ratio = np.median((ball / np.where(known, head, 1.0))[known]) if known.any() else 1.0
        if not 0.5 <= ratio <= 1.55:
            self.notes.append(f"ball speed is {ratio:.2f} times head speed, which no club does: look at the two units again")

    def _check_attack(self):
        """A wedge hit upward every time is rare; tables that count downward as positive are not."""
        attack = self.frame.get("attack_angle")
        if attack is None or not np.isfinite(attack).any() or np.nanmedian(attack) <= np.radians(1.5):
            return
        header, how = next((header, how) for header, name, _, how in self.understood if name == "attack_angle")
        if how.startswith("as you said"):
            return
        loft, spin_loft = self.frame.get("dynamic_loft"), self.frame.get("spin_loft")
        if loft is not None and spin_loft is not None:
            steep = spin_loft - loft  # how far below the level the head comes
            known = np.isfinite(steep) & np.isfinite(attack)
            if known.any() and np.median(np.abs(steep - attack)[known]) < 0.3 * np.median(np.abs(steep + attack)[known]):
                self.frame["attack_angle"] = -attack
                self.notes.append(f"“{header}” is counted downward (spin loft is dynamic loft plus it here): turned round")
                return
        self._ask(header, f"the middle value is {np.degrees(np.nanmedian(attack)):.3g}° and was read as upward; does this "
                  "table count downward as positive?", ("°", "° down"),
                  f'units={{"{header}": "° down"}} if a downward strike has a positive number')

    def _filled(self, j):
        return (not is_missing(cell) for cell in self.cells[j])


def _or(choices):
    """The other answers there are."""
    return f" (or {', '.join(choices[1:])})" if len(choices) > 1 else ""
