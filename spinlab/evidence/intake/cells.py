"""What a cell says: ``6,450``, ``1,5°``, ``−6.1``, ``12.3 R``, ``45 mph``, a dash for missing.

Columns are read whole: every different text is read once, and plain numbers are read without looking at them singly.
"""

from __future__ import annotations

import math
import re
import unicodedata
from dataclasses import dataclass

import numpy as np

MISSING = frozenset(
    ["", "-", "--", "---", ".", "..", "...", "?", "/", "n/a", "na", "n.a.", "nan", "null", "none", "nil", "missing",
     "no data", "no read", "not read", "not measured", "#n/a", "#na", "x", "*", "k.a.", "s.o.", "n.d."])
"""What people write for a value they do not have."""

_DASHES = dict.fromkeys(map(ord, "‐‑‒–—―−﹣－"), "-")
_QUOTES = dict.fromkeys(map(ord, "’‘`´ʼ"), "'")
_TURNS = {"right": 1, "r": 1, "rechts": 1, "left": -1, "l": -1, "links": -1, "up": 1, "down": -1}
_SHAPE = re.compile(r"([a-z]*)\s*([+-]?)\s*((?:\d[\d.,' ]*|[.,]\d+))(e[+-]?\d{1,3}(?![\w]))?(.*)", re.I | re.S)
_UNSURE = re.compile(r"[+-]?[1-9]\d{0,2}[.,]\d{3}")
_POINT = re.compile(r"[+-]?(\d*\.(\d{1,2}|\d{4,})|0\.\d+|\d{4,}\.\d+|\d{1,3}(,\d{3})+\.\d+|\d{1,3}(,\d{3}){2,})")
_COMMA = re.compile(r"[+-]?(\d*,(\d{1,2}|\d{4,})|0,\d+|\d{4,},\d+|\d{1,3}(\.\d{3})+,\d+|\d{1,3}(\.\d{3}){2,})")


def tidy(text: str) -> str:
    """Text with the look-alikes of blank, minus and apostrophe made plain."""
    if text.isascii():
        return text.replace("`", "'").strip()
    return unicodedata.normalize("NFKC", text.translate(_DASHES)).translate(_DASHES).translate(_QUOTES).strip()


def is_missing(text) -> bool:
    """Is this a cell without a value?"""
    return isinstance(text, str) and tidy(text[:40]).casefold() in MISSING


@dataclass(frozen=True)
class Number:
    """A cell's number with the unit and the turn written beside it, or the `problem` that kept it from being read."""

    value: float = math.nan
    unit: str = ""
    turn: str = ""
    problem: str = ""
    unsure: bool = False


def number(text: str, mark: str | None) -> Number:
    """Read one cell; `mark` is the decimal mark that decides ``1,234`` (None: it stays undecided)."""
    if len(text) > 60:
        return Number(problem="is too long to be a number")
    found = _SHAPE.fullmatch(tidy(text))
    if not found:
        return Number(problem="is not a number")
    before, sign, digits, power, after = found.groups()
    after = after.strip()
    words = after.split()
    turn = before or (words.pop() if words and words[-1].casefold() in _TURNS else "")
    if turn and turn.casefold() not in _TURNS:
        return Number(problem="is not a number")
    value, unsure = _digits(digits.strip(), mark)
    if value is None:
        return Number(problem="can be read in two ways" if unsure else "is not a number", unsure=unsure)
    value = float(f"{value}{power or ''}")
    if not math.isfinite(value):
        return Number(problem="is not a finite number")
    if turn and sign == "-":
        return Number(problem=f"has a minus and “{turn}” at once")
    value *= -1 if sign == "-" else 1
    return Number(value=value * (_TURNS[turn.casefold()] if turn else 1), unit=" ".join(words), turn=turn.casefold())


def _digits(digits, mark):
    """A float for ``6,450``, ``6 450.5``, ``1.234,5``; None when it is no number or (second answer) undecided."""
    digits = digits.rstrip(".,' ")
    if " " in digits or "'" in digits:
        if not re.fullmatch(r"\d{1,3}([ ']\d{3})+([.,]\d+)?", digits):
            return None, False
        return float(re.sub(r"[ ']", "", digits).replace(",", ".")), False
    if re.fullmatch(r"\d+", digits):
        return float(digits), False
    if _UNSURE.fullmatch(digits):
        if mark is None:
            return None, True
        thousands = "," if mark == "." else "."
        return float(digits.replace(thousands, "").replace(mark, ".")), False
    for decimal, thousands, pattern in ((".", ",", _POINT), (",", ".", _COMMA)):
        if pattern.fullmatch(digits):
            return float(digits.replace(thousands, "").replace(decimal, ".")), False
    return None, False


def marks(cells) -> tuple[int, int, list[str]]:
    """Cells that show a decimal point, cells that show a decimal comma, and the cells that could be either."""
    point = comma = 0
    unsure = []
    for cell in cells:
        if isinstance(cell, str) and ("." in cell or "," in cell):
            found = _SHAPE.fullmatch(tidy(cell[:60]))
            digits = found[3].strip(" '") if found else ""
            if _UNSURE.fullmatch(digits):
                unsure.append(digits)
            else:
                point += bool(_POINT.fullmatch(digits))
                comma += bool(_COMMA.fullmatch(digits))
    return point, comma, unsure


@dataclass(frozen=True)
class Numbers:
    """A column of cells read: `values` as written (NaN where missing or unread), the `units` and `turns` found in cells
    (text arrays, or None when there are none), `problems` by position, `missing` as a mask."""

    values: np.ndarray
    units: np.ndarray | None
    turns: np.ndarray | None
    problems: dict[int, str]
    missing: np.ndarray


def numbers(cells: np.ndarray, mark: str | None) -> Numbers:
    """Read a column of cells (text, or floats from a workbook)."""
    import pandas as pd

    codes, different = pd.factorize(cells)
    different = np.asarray(different, dtype=object)
    # with a decimal comma the two marks change places, so that plain numbers can be read at once
    swap = str.maketrans(",.", ".,")
    texts = [cell if isinstance(cell, float) else cell.translate(swap) if mark == "," else cell for cell in different]
    values = np.array(pd.to_numeric(pd.Series(texts, dtype=object), errors="coerce"), dtype=float)
    units, turns, problems, missing = {}, {}, {}, np.zeros(len(different), dtype=bool)
    for place in np.flatnonzero(~np.isfinite(values)):
        cell = different[place]
        missing[place] = is_missing(cell)
        if not missing[place]:
            found = number(cell, mark) if isinstance(cell, str) else Number(problem="is not a finite number")
            values[place], units[place], turns[place], problems[place] = found.value, found.unit, found.turn, found.problem
    values[missing] = math.nan
    bad = np.isin(codes, [place for place, problem in problems.items() if problem])
    spread = {int(i): problems[codes[i]] for i in np.flatnonzero(bad)}
    return Numbers(values=values[codes], units=_spread(units, codes), turns=_spread(turns, codes), problems=spread,
                   missing=missing[codes])


def _spread(words, codes):
    """Words of the different texts → words of the cells; None when there are none."""
    if not any(words.values()):
        return None
    table = np.full(int(codes.max()) + 1, "", dtype=object)
    for place, word in words.items():
        table[place] = word
    return table[codes]
