"""Set mis-hits aside by a rule that was written down before the first ball.

A rule is a set of bands.  It looks only at how the club arrived and where it struck, or at whatever the user names, never
at which condition the shot belongs to.  What lies far from its own condition is *flagged*; a flag removes nothing.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from ..records import spoken
from .intake.columns import COLUMNS

_MISSING = ("keep", "set aside")
_MAD_TO_SD = 1.4826  # of a normal distribution: 1/Φ⁻¹(3/4)


@dataclass(frozen=True, kw_only=True)
class Rule:
    """A screening rule: ``(column, low, high)`` for each band [SI], and what becomes of a shot without that value."""

    bands: tuple[tuple[str, float, float], ...] = ()
    missing: str = "keep"

    def __str__(self):
        if not self.bands:
            return "Keep every shot."
        told = "; ".join(f"{name.replace('_', ' ')} {_span(name, low, high)}" for name, low, high in self.bands)
        what = "kept" if self.missing == "keep" else "set aside"
        return f"Keep a shot when every one of these holds: {told}. A shot without such a value is {what}."


@dataclass(frozen=True, kw_only=True)
class Screened:
    """Shots sorted by a rule.

    `kept` and `set_aside` are frames (`set_aside` has a further column `reason`); `flags` lists values far from their own
    condition (line, condition, column, value, reason), which are still where they were; `rule` is the rule applied.
    """

    kept: object
    set_aside: object
    flags: object
    rule: Rule

    @property
    def counts(self) -> dict[str, int]:
        """``shots = kept + set aside``, and how many shots are flagged."""
        kept, aside = len(self.kept), len(self.set_aside)
        return {"shots": kept + aside, "kept": kept, "set aside": aside, "flagged": self.flags["line"].nunique()}

    def report(self) -> str:
        """The rule, what it set aside and what else looks odd, in plain words."""
        count = self.counts
        parts = [f"Rule: {self.rule}", f"{count['shots']} shots = {count['kept']} kept + {count['set aside']} set aside."]
        parts += [f"  line {line}: {reason}" for line, reason in self.set_aside["reason"].items()]
        if len(self.flags):
            parts.append("Unlike the other shots of their condition (not removed):")
            parts += [f"  line {row.line}: {row.reason}" for row in self.flags.itertuples()]
        return "\n".join(parts)


def screen(frame, *, missing="keep", by="condition", flag_at=3.5, rule=None, **bands) -> Screened:
    """Sort shots by bands fixed beforehand.

    Parameters
    ----------
    frame : DataFrame
        shots in SI (`Table.frame`).
    missing : "keep" or "set aside"
        what becomes of a shot that lacks the value of a band.
    by : str or None
        flags compare a shot with the others that share this column's value.
    flag_at : float
        a value is flagged when ``|x − median| / (1.4826 MAD)`` exceeds this; 3.5 is the usual choice for the modified
        z-score (Iglewicz & Hoaglin 1993, whose 0.6745 is 1/1.4826; from memory).  Fewer than five values flag nothing.
    rule : Rule, optional
        a rule written earlier, instead of bands.
    **bands : (low, high)
        allowed range of a column [SI], ends included; None leaves an end open: ``dynamic_loft=(40*deg, 48*deg)``.

    Raises
    ------
    ValueError
        a band names no column of the frame, its ends are not two numbers in order, or the column does not hold numbers.
    """
    if rule is None:
        rule = written(missing=missing, **bands)
    elif bands:
        raise ValueError(f"a rule and bands ({', '.join(bands)}) were both given; give one of the two")
    if not (isinstance(flag_at, (int, float)) and flag_at > 0):
        raise ValueError(f"flag_at must be above 0, got {flag_at!r}; 3.5 is usual")
    reasons = [[] for _ in range(len(frame))]
    for name, low, high in rule.bands:
        values = _values(frame, name)
        unknown = np.isnan(values)
        for place in np.flatnonzero((values < low) | (values > high) | (unknown & (rule.missing == "set aside"))):
            said = "is missing" if unknown[place] else f"{_spoken(name, values[place])} lies outside {_span(name, low, high)}"
            reasons[place].append(f"{name.replace('_', ' ')} {said}")
    out = np.array([bool(told) for told in reasons], dtype=bool)
    aside = frame[out].copy()
    aside["reason"] = ["; ".join(told) for told in reasons if told]
    return Screened(kept=frame[~out].copy(), set_aside=aside, flags=_flags(frame, by, flag_at), rule=rule)


def written(*, missing="keep", **bands) -> Rule:
    """Write a rule down before the first ball; it can be printed, compared and kept."""
    if missing not in _MISSING:
        raise ValueError(f"missing must be one of {_MISSING}, got {missing!r}")
    return Rule(bands=tuple(_band(name, band) for name, band in sorted(bands.items())), missing=missing)


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
        known = [column for column in frame.columns if column in COLUMNS and COLUMNS[column].talk]
        raise ValueError(f"the shots have no column {name!r} to screen by; they have {', '.join(known) or 'none with numbers'}")
    try:
        return np.asarray(frame[name], dtype=float)
    except (TypeError, ValueError):
        raise ValueError(f"column {name!r} holds words, and a band needs numbers; choose another column") from None


def _flags(frame, by, flag_at):
    """Values far from the median of their condition, measured by the median absolute deviation."""
    import pandas as pd

    groups = frame[by].astype(object).fillna("").to_numpy() if by is not None and by in frame.columns else np.full(len(frame), "")
    found = []
    for name in frame.columns:
        if name in COLUMNS and COLUMNS[name].talk and pd.api.types.is_numeric_dtype(frame[name]):
            values = frame[name].to_numpy(dtype=float)
            for group in dict.fromkeys(groups):
                found += _far(name, values, groups == group, group, frame.index, flag_at)
    return pd.DataFrame(sorted(found, key=lambda row: str(row[0])), columns=["line", by or "condition", "column", "value", "reason"])


def _far(name, values, mine, group, lines, flag_at):
    known = mine & np.isfinite(values)
    if known.sum() < 5:
        return
    middle = np.median(values[known])
    spread = _MAD_TO_SD * np.median(np.abs(values[known] - middle))
    if spread <= 0:
        return
    for place in np.flatnonzero(known & (np.abs(values - middle) > flag_at * spread)):
        times = abs(values[place] - middle) / spread
        where = f" of the {group} shots" if group else ""
        yield (lines[place], group, name, float(values[place]),
               f"{name.replace('_', ' ')} {_spoken(name, values[place])} stands {times:.0f} usual spreads from the middle{where}, "
               f"{_spoken(name, middle)}")


def _spoken(name, value):
    """A value in the unit it is talked about in, with no more digits than a shot has."""
    talk = COLUMNS[name].talk if name in COLUMNS else ""
    talk = "mph" if talk == "m/s" else talk
    if math.isinf(value):
        return "any"
    from ..units import unit

    shown = unit(talk).from_si(value)
    digits = 0 if talk == "rpm" else 1
    return spoken(unit(talk).to_si(round(shown, digits)), talk) if talk else f"{value:.6g}"


def _span(name, low, high):
    if math.isinf(low):
        return f"{_spoken(name, high)} or less"
    if math.isinf(high):
        return f"{_spoken(name, low)} or more"
    return f"{_spoken(name, low)} … {_spoken(name, high)}"
