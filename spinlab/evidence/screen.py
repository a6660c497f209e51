"""Set mis-hits aside by a rule that was written down before the first ball.

A rule is a set of bands: it looks at how the club arrived, or at whatever the user names, and at nothing else.  What lies
far from the other shots of its kind is *flagged*; a flag removes nothing.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from ..records import spoken
from ..units import unit
from .fields import Field
from .intake.columns import COLUMNS
from .wording import SAYINGS

_MISSING = ("keep", "set aside")
_KIND = ("condition", "ball", "club")
_MAD_TO_SD = 1.4826
_FEW = {5: 1.206, 6: 1.200, 7: 1.140, 8: 1.129, 9: 1.107}


@dataclass(frozen=True, kw_only=True)
class Rule:
    """A screening rule: ``(column, low, high)`` for each band [SI], and what becomes of a shot without that value."""

    bands: tuple[tuple[str, float, float], ...] = ()
    missing: str = "keep"

    def words(self, units="metric") -> str:
        """What a shot must be to count, without a full stop."""
        told = " and ".join(f"its {_words(name)} is {_span(name, low, high, units)}" for name, low, high in self.bands)
        return f"a shot counts if {told}" if told else "every shot counts"

    def sentence(self, units="metric") -> str:
        """The rule as it is read out, and what becomes of a shot without the value."""
        words, lost = self.words(units), "counts, too" if self.missing == "keep" else "is set aside"
        return f"{words[0].upper()}{words[1:]}." + (f" A shot without such a value {lost}." if self.bands else "")

    def __str__(self):
        return self.sentence()

    def band(self, name) -> tuple[float, float] | None:
        """The band of a column [SI]; None where the rule does not ask for it."""
        return next(((low, high) for column, low, high in self.bands if column == name), None)

    def within(self, columns) -> Rule:
        """What of the rule can be asked of shots that have these columns."""
        return replace(self, bands=tuple(band for band in self.bands if band[0] in columns))

    def reasons(self, values, units="metric") -> list[str]:
        """Why a shot with these values [SI] does not count; nothing where it does."""
        told = []
        for name, low, high in self.bands:
            value = values[name]
            if math.isnan(value):
                if self.missing != "keep":
                    told.append(f"{_words(name)} is missing, and the rule asks for it")
            elif not low <= value <= high:
                told.append(f"{_words(name)} {_spoken(name, value, units)} lies outside {_span(name, low, high, units)}")
        return told


@dataclass(frozen=True, kw_only=True)
class Screened:
    """Shots sorted by a rule.

    Attributes
    ----------
    kept, set_aside : DataFrame
        the shots; `set_aside` has a further column `reason`.
    flags : DataFrame
        line, kind, column, value [SI], spreads, reason: values far from the others of their kind, still where they were.
    rule : Rule
        the rule that was applied.
    unchecked : int
        shots kept although a value that the rule asks for is missing.
    units : str
        what the reasons are spoken in: metric or yards.
    """

    kept: object
    set_aside: object
    flags: object
    rule: Rule
    unchecked: int = 0
    units: str = "metric"

    @property
    def counts(self) -> dict[str, int]:
        """``shots = kept + set aside``, and how many shots are flagged."""
        kept, aside = len(self.kept), len(self.set_aside)
        return {"shots": kept + aside, "kept": kept, "set aside": aside, "flagged": self.flags["line"].nunique()}

    def report(self) -> str:
        """The rule, what it set aside and what else looks odd, in plain words."""
        count = self.counts
        parts = [f"Rule: {self.rule.sentence(self.units)}",
                 f"{count['shots']} shots = {count['kept']} kept + {count['set aside']} set aside."]
        parts += [f"  line {line}: {reason}" for line, reason in self.set_aside["reason"].items()]
        if self.unchecked:
            parts.append(f"{self.unchecked} kept without a value that the rule asks for.")
        odd = self.flags[~self.flags["line"].isin(self.set_aside.index)]
        if len(odd):
            parts.append("Unlike the others of their kind, and kept all the same:")
            parts += [f"  line {line}: {'; '.join(group['reason'])}" for line, group in odd.groupby("line", sort=False)]
        return "\n".join(parts)


def written(*, missing="keep", **bands) -> Rule:
    """Write a rule down before the first ball; it can be printed, compared and kept.

    ``written(dynamic_loft=(40*deg, 48*deg), head_speed=(18, None))``; see `screen`.
    """
    if missing not in _MISSING:
        raise ValueError(f"missing must be “keep” or “set aside”, got {missing!r}")
    return Rule(bands=tuple(_band(name, band) for name, band in sorted(bands.items())), missing=missing)


def screen(frame, *, missing="keep", by=_KIND, flag_at=3.5, rule=None, units="metric", **bands) -> Screened:
    """Sort shots by bands fixed beforehand.

    Parameters
    ----------
    frame : DataFrame
        shots in SI (`Table.frame`).
    missing : "keep" or "set aside"
        what becomes of a shot that lacks the value of a band.
    by : column names
        flags compare a shot with the others that are like it in these columns (those the frame has).
    flag_at : float
        a value is flagged when it lies further than ``flag_at*(1 + 8/n)`` spreads (`spread`) from the median of its n
        likes.  3.5 is usual for many values (Iglewicz & Hoaglin 1993; from memory).  The median of a few values' deviations
        is itself uncertain, and 8/n makes up for that: about one good value in a thousand is flagged for n from 8 to 50,
        two or three for 6 and 7 (our judgement; by simulation).  Fewer than six values flag nothing.
    rule : Rule, optional
        a rule written earlier (`written`), instead of bands.
    units : str
        metric or yards: what the reasons are spoken in.
    **bands : (low, high)
        allowed range of a column [SI], ends included; None leaves an end open: ``dynamic_loft=(40*deg, 48*deg)``.

    Raises
    ------
    ValueError
        a band names no column of the frame, its ends are not two numbers in order, or the column does not hold numbers.
    """
    if rule is not None and bands:
        raise ValueError(f"a rule and bands ({', '.join(bands)}) were both given; give one of the two")
    rule = written(missing=missing, **bands) if rule is None else rule
    if not (isinstance(flag_at, (int, float)) and flag_at > 0):
        raise ValueError(f"flag_at must be a number above 0, got {flag_at!r}; 3.5 is usual")
    columns = {name: _values(frame, name) for name, _, _ in rule.bands}
    unchecked = np.zeros(len(frame), dtype=bool)
    for values in columns.values():
        unchecked |= np.isnan(values)
    reasons = [rule.reasons({name: values[place] for name, values in columns.items()}, units) for place in range(len(frame))]
    out = np.array([bool(told) for told in reasons], dtype=bool)
    aside = frame[out].copy()
    aside["reason"] = np.array(["; ".join(told) for told in reasons if told], dtype=object)
    by = [by] if isinstance(by, str) else list(by or ())
    return Screened(kept=frame[~out].copy(), set_aside=aside, flags=_flags(frame, by, flag_at, units), rule=rule,
                    unchecked=int((unchecked & ~out).sum()), units=units)


def spread(values) -> float:
    """Spread of a few values that one odd value cannot inflate: 1.4826 × median absolute deviation × b(n).

    1.4826 makes it the standard deviation for a normal distribution; b(n) makes up for few values: 1.206, 1.200, 1.140,
    1.129, 1.107 for n = 5 … 9, n/(n − 0.8) beyond (Croux & Rousseeuw 1992; from memory, and checked by simulation).
    """
    values = np.asarray(values, dtype=float)
    few = _FEW.get(values.size, values.size / (values.size - 0.8))
    return float(_MAD_TO_SD * few * np.median(np.abs(values - np.median(values))))


def _band(name, band):
    try:
        low, high = band
        low, high = -math.inf if low is None else float(low), math.inf if high is None else float(high)
    except (TypeError, ValueError):
        raise ValueError(f"the band of {name} must be two numbers (low, high), either may be None; got {band!r}") from None
    if not low < high:
        raise ValueError(f"the band of {name} must go from low to high, got {_spoken(name, low)} … {_spoken(name, high)}; "
                         "turn the two round")
    return name, low, high


def _values(frame, name):
    if name not in frame.columns:
        known = [column for column in frame.columns if column in COLUMNS and COLUMNS[column].measured]
        raise ValueError(f"the shots have no column {name!r} to screen by; they have {', '.join(known) or 'no numbers'}")
    try:
        return np.asarray(frame[name], dtype=float)
    except (TypeError, ValueError):
        raise ValueError(f"column {name!r} holds words, and a band needs numbers; choose another column") from None


def _flags(frame, by, flag_at, units):
    """Values far from the median of their kind, in the frame's order."""
    import pandas as pd

    by = [column for column in by if column in frame.columns and frame[column].nunique(dropna=False) > 1]
    kinds = [frame[column].astype(object).where(frame[column].notna(), "") for column in by]
    groups = [("", np.arange(len(frame)))]
    if by:
        label = kinds[0].astype(str)
        for kind in kinds[1:]:
            label = label + ", " + kind.astype(str)
        groups = list(frame.groupby(label, sort=False).indices.items())
    found = []
    for name in (column for column in frame.columns if column in COLUMNS and COLUMNS[column].measured):
        values = _values(frame, name)
        for kind, places in groups:
            found += _far(name, values, places, kind, flag_at, units)
    rows = [(frame.index[place], *rest) for place, *rest in sorted(found, key=lambda one: one[0])]
    return pd.DataFrame(rows, columns=["line", "kind", "column", "value", "spreads", "reason"])


def _far(name, values, places, kind, flag_at, units):
    places = places[np.isfinite(values[places])]
    if places.size < 6:
        return
    mine = values[places]
    middle, wide = np.median(mine), spread(mine)
    if wide <= 0:
        return
    for place in places[np.abs(mine - middle) > flag_at * (1 + 8 / mine.size) * wide]:
        times = abs(values[place] - middle) / wide
        others = f"“{kind}”" if kind else "all shots"
        yield (place, kind, name, float(values[place]), float(times),
               f"{_words(name)} {_spoken(name, values[place], units)}, {times:.0f} spreads from the middle of {others} "
               f"({_spoken(name, middle, units)})")


def _words(name):
    return name.replace("_", " ")


def _spoken(name, value, units="metric"):
    """A value in the unit it is talked about in, with no more digits than a shot has."""
    if math.isinf(value):
        return "any"
    if name not in COLUMNS or not COLUMNS[name].measured:
        return f"{value:.6g}".replace("-", "−")
    one = unit(SAYINGS[name].unit_name(units) if name in SAYINGS else Field.of(name, units).unit)
    return spoken(one.to_si(round(one.from_si(value), 0 if one.name == "rpm" else 1)), one.name)


def _span(name, low, high, units):
    if math.isinf(low) and math.isinf(high):
        return "of any size"
    if math.isinf(low):
        return f"{_spoken(name, high, units)} or less"
    if math.isinf(high):
        return f"{_spoken(name, low, units)} or more"
    return f"{_spoken(name, low, units)} … {_spoken(name, high, units)}"
