"""What each line of a sheet is: title, heading, units, shot, summary.  Every line gets a place and a reason."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from functools import lru_cache

from .cells import is_missing
from .columns import Heading, heading, is_unit, plain, score
from .sheet import TableError

_AVERAGES = frozenset(plain(word) for word in (
    "average", "averages", "avg", "mean", "means", "median", "std", "std dev", "stdev", "st dev", "standard deviation", "sd",
    "deviation", "mittelwert", "mittel", "durchschnitt", "standardabweichung", "moyenne", "écart type", "médiane", "media",
    "promedio", "desviación", "desviación estándar", "mediana", "consistency"))
_SUMMARIES = _AVERAGES | frozenset(plain(word) for word in (
    "min", "max", "minimum", "maximum", "range", "sum", "total", "totals", "count", "n", "best", "worst", "spread",
    "variance", "cv", "percentile", "confidence", "summe", "gesamt", "anzahl", "total général", "suma"))
_STARTS = "0123456789-+−"
_MARKS = {"ø", "μ", "µ", "σ", "x̄", "x̅", "Σ".casefold()}
_SPOKEN = ("note", "strike", "ball")  # here such a word describes a shot: “max effort”, “average strike”


@dataclass
class Layout:
    """The lines sorted.  `shots` are positions in the sheet; `apart` and `refused` hold (position, reason); `sections` the
    last title line above each shot."""

    headers: list[str]
    units: list[str]
    head: int
    shots: list[int] = field(default_factory=list)
    apart: list[tuple[int, str]] = field(default_factory=list)
    refused: list[tuple[int, str]] = field(default_factory=list)
    sections: list[str] = field(default_factory=list)


def lay_out(rows, lines, columns=None) -> Layout:
    """Sort the rows of a sheet; `columns` are headings the user has named.

    Raises
    ------
    TableError
        no line names columns.
    """
    named = {plain(name) for name in columns or {}}
    scores = [score(row) + sum(plain(cell) in named for cell in row if isinstance(cell, str)) for row in rows[:100]]
    if max(scores) <= 0:
        raise TableError("no line names its columns in words known here; put a line such as “Head speed [mph], Ball speed "
                         "[mph], Launch angle [°], Spin rate [rpm], Carry [yd], Condition” above the shots")
    head = scores.index(max(scores))
    headers = [str(cell).strip() if isinstance(cell, str) else f"{cell:g}" for cell in rows[head]]
    found = Layout(headers=headers, units=[], head=head)
    found.apart += [(i, "title line above the headings") for i in range(head)]
    found.apart.append((head, "the headings"))
    start = head + 1
    if start < len(rows) and _is_unit_row(rows[start]):
        found.units = [str(cell).strip() for cell in rows[start]]
        found.apart.append((start, "line of units"))
        start += 1
    _sort(found, rows, lines, start)
    return found


def _sort(found, rows, lines, start):
    names = [heading(header).name for header in found.headers]
    usual, other = _key(rows[found.head]), None
    section = _text_of(rows[found.head - 1]) if found.head and _filled(rows[found.head - 1]) == 1 else ""
    for i in range(start, len(rows)):
        row = rows[i]
        kind = _kind(row, names, usual)
        if kind == "other headings":
            other = lines[i]
        elif kind == "the headings again":
            other = None
        if kind:
            if kind == "title line between the shots":
                section = _text_of(row)
            found.apart.append((i, kind))
        elif other is not None:
            found.refused.append((i, f"it stands under other headings (line {other}), which want a table of their own"))
        elif any(cell != "" for cell in row[len(names):]):
            found.refused.append((i, f"{len(row)} cells under {len(names)} headings, as when a decimal comma or a separator "
                                     "stands inside a cell"))
        else:
            found.shots.append(i)
            found.sections.append(section)


def _kind(row, names, usual):
    """What a row is when it is not a shot; "" for a shot."""
    texts = [cell for cell in row if cell.__class__ is str and cell and cell[0] not in _STARTS]
    count = len(row) - row.count("")
    if len(texts) < count > 1 and not any(map(_sums_up, texts)):  # by far the most lines: numbers, and no word that sums up
        return ""
    if not texts:
        return ""
    filled = [(j, cell) for j, cell in enumerate(row) if cell != ""]
    first, cell = filled[0]
    if all(isinstance(text, str) and _is_rule(text) for _, text in filled):
        return "no value in this line"
    if isinstance(cell, str) and cell.startswith(("#", "//")) and len(filled) == 1:
        return "comment line"
    if len(filled) == 1 and len(names) > 2:
        own = names[first] if first < len(names) else None
        return "title line between the shots" if first == 0 or own is None else "no measured value in this line"
    if len(texts) == len(filled) > 1:
        if _key(row) == usual:
            return "the headings again"
        if score(row) >= 2:
            return "other headings"
        if _is_unit_row(row):
            return "line of units"
    word = _summary(filled, names)
    return f"summary line (“{word}”), not a shot" if word else ""


def _summary(filled, names):
    """The word that says that a line sums others up, or ""."""
    for place, (j, cell) in enumerate(filled):
        name = names[j] if j < len(names) else None
        labels = place == 0 or name in ("shot", "club", "condition", "time", "date", "block")
        if isinstance(cell, str) and labels and name not in _SPOKEN and _sums_up(cell):
            return cell.strip()[:40]
    return ""


@lru_cache(maxsize=65536)
def _sums_up(text):
    if text.strip()[:1].isdigit():
        return False
    if text.strip().strip(":").casefold() in _MARKS:
        return True
    words = plain(text)
    if words in _SUMMARIES:
        return True
    return any(words.startswith(word + " ") for word in _AVERAGES)


@lru_cache(maxsize=65536)
def _is_rule(text):
    return is_missing(text) or not text.strip().strip("-=_*·.+|:–—")


def _is_unit_row(row):
    filled = [cell for cell in row if not isinstance(cell, str) or cell.strip()]
    units = sum(isinstance(cell, str) and is_unit(cell) for cell in filled)
    others = [cell for cell in filled if not isinstance(cell, str) or not is_unit(cell)]
    # beside the units there may be dashes or a word such as “text”, but no value
    plainly = all(isinstance(cell, str) and not re.search(r"\d", cell) for cell in others)
    return units > 0 and plainly and units >= len([c for c in others if not is_missing(c)])


def _filled(row):
    return sum(bool(str(cell).strip()) for cell in row)


def _text_of(row):
    return next((str(cell).strip() for cell in row if str(cell).strip()), "")


def _key(row):
    return tuple(plain(cell) for cell in row if isinstance(cell, str) and cell.strip())


def headings(layout, columns) -> list[Heading]:
    """Each column's heading taken apart, with the user's own naming first."""
    told = {plain(header): name for header, name in (columns or {}).items()}
    result = []
    for header in layout.headers:
        found = heading(header)
        if plain(header) in told:
            name = told[plain(header)] or None
            found = Heading(name=name, unit=found.unit, unknown_unit=found.unknown_unit if name else None, down=found.down)
            if name and not found.unit:
                found = _unit_of_any(header, found)
        result.append(found)
    return result


def _unit_of_any(header, found):
    """The unit in brackets of a heading that is not ours by its words."""
    bracket = re.search(r"[\[(]([^\])]*)[\])]", header)
    if bracket and is_unit(bracket[1]):
        return Heading(name=found.name, unit=bracket[1].strip(), down=found.down)
    return found
