"""A column's numbers → SI, with the unit that was written, or taken for a stated reason, or asked for."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

import numpy as np

from ...units import unit, written
from .cells import Numbers, marks, number, numbers
from .columns import CANDIDATES, COLUMNS, Column, Heading, is_unit

_RANGE_CURE = "correct the cell, or leave it blank if the value is not known"


@dataclass
class Measure:
    """One column on its way to SI: what was read, what the unit is and how that is known, what could not be read."""

    header: str
    column: Column
    read: Numbers
    unit: str = ""
    how: str = ""
    also: str = ""
    question: str = ""
    choices: tuple[str, ...] = ()
    down: bool = False
    problems: dict[int, tuple[str, str]] = field(default_factory=dict)
    values: np.ndarray | None = None


def table_mark(columns_of_cells) -> str | None:
    """The decimal mark of a whole table: point, comma, or None when it shows neither or both."""
    point = comma = 0
    for cells in columns_of_cells:
        some = marks(cells[:500])
        point, comma = point + some[0], comma + some[1]
    if point > 9 * comma and point:
        return "."
    return "," if comma > 9 * point and comma else None


def column_mark(cells, column, everywhere):
    """The decimal mark of one column, and how a cell such as ``6.450`` is read with it.

    The column shows it by itself, or the table does, or one of the two makes the values usual; else it stays open (None).
    """
    point, comma, unsure = marks(cells[:2000])
    mark = _mark(point, comma, unsure, column, everywhere)
    return mark, f", “{unsure[0]}” read as {number(unsure[0], mark).value:.6g}" if unsure and mark else ""


def _mark(point, comma, unsure, column, everywhere):
    if bool(point) != bool(comma):
        return "." if point else ","
    if not unsure:
        return everywhere or "."
    if point and comma:
        return None
    fitting = [mark for mark in ".," if _fits(numbers(np.array(unsure, dtype=object), mark).values, column)]
    if len(fitting) == 1:
        return fitting[0]
    return everywhere or ("." if all("." in cell for cell in unsure) else None)


def _fits(values, column, names=None):
    """Units that put the middle of these values where a shot's lie."""
    values = values[np.isfinite(values)]
    if not values.size:
        return []
    low, high = column.usual
    middle, largest = np.median(values), np.quantile(np.abs(values), 0.9)
    names = CANDIDATES[column.quantity] if names is None else names
    return [name for name in names if low <= unit(name).to_si(middle) <= high
            and unit(name).to_si(largest) <= max(abs(column.low), abs(column.high))]


def measure(header: str, found: Heading, cells, below: str, told: str | None, everywhere) -> Measure:
    """Read a column; `below` is its cell in the line of units, `told` the unit the user gave."""
    column = COLUMNS[found.name]
    mark, said = column_mark(cells, column, everywhere)
    result = Measure(header=header, column=column, read=numbers(cells, mark), also=said, down=found.down)
    for place, problem in result.read.problems.items():
        cure = "write it without thousands separators" if "two ways" in problem else \
            "write one number, or leave the cell blank if the value is not known"
        result.problems[place] = (problem, cure)
    _check_turns(result)
    _written_unit(result, found, below, told)
    return result


def _check_turns(result):
    allowed = {"right left": {"r", "l", "right", "left", "rechts", "links"}, "up down": {"up", "down"}}
    if result.read.turns is not None:
        for place in np.flatnonzero(result.read.turns != ""):
            word = result.read.turns[place]
            if word not in allowed.get(result.column.turns, ()) and place not in result.problems:
                result.problems[int(place)] = (f"says “{word}”, which means nothing here", "write the number alone")


def _written_unit(result, found, below, told):
    """The unit as the user, the heading or the line of units has it."""
    kind = result.column.quantity
    choices = CANDIDATES[kind]
    if told:
        words = told.split()
        if words[-1:] == ["down"]:
            result.down, told = True, " ".join(words[:-1])
        result.unit, result.how = told, "as you said"
    elif found.unknown_unit:
        result.question, result.choices = f"the unit “{found.unknown_unit}” is not known", choices
        return
    elif found.unit:
        result.unit, result.how = found.unit, "written in the heading"
        if below and is_unit(below) and unit(below) != unit(found.unit):
            result.question = f"the heading says {found.unit}, the line below it says {below}"
            result.choices = (found.unit, below)
            return
    elif below and is_unit(below):
        result.unit, result.how = below, "from the line of units"
    elif below and below.strip("-–— "):
        result.question, result.choices = f"the unit “{below}” is not known", choices
        return
    if result.unit:
        if unit(result.unit).quantity != kind:
            result.question = f"{result.unit} is no unit of {'an ' if kind[0] == 'a' else 'a '}{kind}"
            result.choices, result.unit = choices, ""
        else:
            result.unit = unit(result.unit).name


def take_units(measures):
    """Units for the columns that have none written: beside the values, the only one that fits, or a question."""
    for one in measures:
        if not one.unit and not one.question:
            _from_cells(one)
    for one in measures:
        if not one.unit and not one.question and one.how == "":
            _from_fit(one, measures)


def _from_cells(one):
    if not _bare(one).size:
        one.how = "beside each value" if one.read.units is not None else "no values"
        one.unit = unit(one.column.talk).name


def _bare(one):
    """The values that have no unit beside them."""
    known = np.isfinite(one.read.values)
    return one.read.values[known if one.read.units is None else known & (one.read.units == "")]


def _from_fit(one, measures):
    names = _fits(_bare(one), one.column)
    middle = np.median(_bare(one))
    if one.column.quantity == "angle":
        others = [other for other in measures if other is not one and other.column.quantity == "angle"]
        told = any(other.unit == "°" or not other.unit and _fits(_bare(other), other.column) == ["°"] for other in others)
        if "°" in names and len(names) > 1 and told:
            one.unit, one.how = "°", "taken as ° because the other angles of this table are"
            return
    if one.column.quantity == "speed" and len(names) > 1:
        names, other = _by_ratio(one, names, measures)
        if len(names) == 1:
            one.unit, one.how = names[0], f"taken as {names[0]} because only that fits the {other}"
            return
    if len(names) == 1:
        one.unit = names[0]
        noun = one.column.name.replace("_", " ")
        one.how = f"taken as {names[0]} because {written(middle, figures=6)} in any other unit is no {noun}"
        return
    meant = [_told(name, middle, one.column) for name in names]
    one.question = f"no unit is given, and {middle:.4g} (the middle value) " + (
        f"could be {', '.join(meant[:-1])} or {meant[-1]}" if names else "is unusual in every unit")
    one.choices = tuple(names) or CANDIDATES[one.column.quantity]


def _told(name, value, column):
    """A unit, and what the value would be in the one that people talk in: ``km/h (28 mph)``."""
    talk = {"speed": "mph", "length": "m", "angle": "°", "angular speed": "rpm"}[column.quantity]
    same = unit(talk).from_si(unit(name).to_si(value))
    return name if name == talk else f"{name} ({written(same)}{'' if talk == '°' else ' '}{talk})"


def _by_ratio(one, names, measures):
    """Keep the units in which ball and head speed go together (a ball leaves with 0.6 … 1.52 of the head's speed)."""
    for other in measures:
        if other is not one and other.column.quantity == "speed" and other.unit and not other.question and _bare(other).size:
            base = unit(other.unit).to_si(np.median(_bare(other)))
            if base <= 0:
                continue
            ratios = {name: unit(name).to_si(np.median(_bare(one))) / base for name in names}
            if one.column.name == "head_speed":
                ratios = {name: 1 / ratio for name, ratio in ratios.items()}
            fitting = [name for name, ratio in ratios.items() if 0.6 <= ratio <= 1.52]
            return (fitting or names), f"“{other.header}”"
    return names, ""


def to_si(one):
    """Values in SI and the cells outside what a golf shot can have; a column mostly outside becomes a question."""
    read, column = one.read, one.column
    values = unit(one.unit).to_si(read.values)
    if read.units is not None:
        for name in sorted(set(read.units) - {""}):
            where = read.units == name
            if is_unit(name) and unit(name).quantity == column.quantity:
                values[where] = unit(name).to_si(read.values[where])
            else:
                values[where] = np.nan
                for place in np.flatnonzero(where):
                    one.problems.setdefault(int(place), (f"has “{name}” beside the number, which is no unit of this column",
                                                         "write the number alone or with its unit"))
    if one.down:
        # a turn written in the cell has already set the sign
        values = np.where(read.turns != "", values, -values) if read.turns is not None else -values
    with np.errstate(invalid="ignore"):
        outside = (values < column.low) | (values > column.high)
    if outside.sum() > 0.5 * np.isfinite(values).sum():
        middle = np.nanmedian(read.values)
        one.question = f"a middle value of {middle:.6g} {one.unit} is no {column.name.replace('_', ' ')} of a golf shot"
        one.choices = tuple(_fits(read.values, column)) or CANDIDATES[column.quantity]
        return
    talk = unit(one.unit)
    span = f"{written(talk.from_si(column.low), figures=6)} … {written(talk.from_si(column.high), figures=6)} {talk.name}"
    span = span.replace("-", "−").replace(" °", "°")
    for place in np.flatnonzero(outside):
        one.problems[int(place)] = (f"lies outside {span}", _RANGE_CURE)
    one.values = values


def last_is_mean(one, cell):
    """Is the last value the mean of those above, as far as its decimals show?  None when that cannot be told."""
    values = one.read.values
    above = values[:-1][np.isfinite(values[:-1])]
    if len(above) < 4 or not np.isfinite(values[-1]) or np.ptp(above) == 0:
        return None
    decimals = re.search(r"[.,](\d+)", f"{cell:.12g}" if isinstance(cell, float) else cell)
    return bool(abs(values[-1] - above.mean()) <= 0.5001 * 10.0 ** -(len(decimals[1]) if decimals else 0))
