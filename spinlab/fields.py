"""What every record is made of: fields that know their meaning, unit and range, and check what they are given."""

from __future__ import annotations

import reprlib
from dataclasses import field, fields, replace
from functools import cache, cached_property

import numpy as np

from . import units as u


def quantity(what, unit, low, high, default=None, *, cure=""):
    """A field with its meaning, the unit it is talked about in, and its allowed range [SI]."""
    meta = {"what": what, "unit": unit, "low": low, "high": high, "cure": cure}
    return field(metadata=meta) if default is None else field(default=default, metadata=meta)


def spoken(value, unit):
    """A value [SI] in words: ``97°``, ``45 mph``."""
    number = u.written(u.unit(unit).from_si(float(value)), figures=6)
    return number + (unit if unit in ("°", "%") else f" {unit}" if unit else "")


_PLAIN = (float, int, np.float64)
_CONVERT = "give a number or an array of floats"
_LEAVE_OUT = "leave missing shots out first"


def check(name, value, *, what, unit, low, high, cure=""):
    """Value as a float, or as a read-only float array of its own.

    Raises
    ------
    ValueError
        the value is missing, no number, or outside `low` … `high`; the message has the quantity,
        the value, the range and the cure.

    Examples
    --------
    >>> check("carry", 45, what="wanted carry", unit="m", low=0.0, high=400.0)
    45.0
    """
    # nothing missing or infinite lies between two borders, so most values need no more than this
    if type(value) in _PLAIN and low <= value <= high:
        return float(value)
    array, got, hint = _floats(value)
    if array is not None:
        if not array.size or (array.min() >= low and array.max() <= high):
            array.flags.writeable = False
            return array if array.ndim else float(array)
        # missing and infinite values come first: they have a cure of their own
        wrong, hint = ~np.isfinite(array), _LEAVE_OUT
        if not wrong.any():
            wrong, hint = (array < low) | (array > high), cure
        bad = array[wrong].flat[0]
        got = spoken(bad, unit) if np.isfinite(bad) else str(bad)
        if array.size > 1:
            got += f" ({int(wrong.sum())} of {array.size} values)"
    label = f"{name} ({what})" if what else name
    hint = f"; {hint}" if hint else ""
    raise ValueError(f"{label} must lie in {spoken(low, unit)} … {spoken(high, unit)}, got {got}{hint}")


def _floats(value):
    """A float array that shares no memory with `value`; or None, what was given and the cure."""
    if isinstance(value, np.ma.MaskedArray):
        missing = np.ma.count_masked(value)
        if missing:
            return None, f"masked values ({missing} of {value.size})", _LEAVE_OUT
        value = value.data
    try:
        if isinstance(value, (list, tuple)):
            _refuse_flags(value)
        array = np.asarray(value)
        if array.dtype.kind in "fiu":
            with np.errstate(over="ignore"):
                return np.array(array, dtype=float), "", ""
    except (TypeError, ValueError, OverflowError):
        pass
    if isinstance(value, int) and value.bit_length() > 64:
        return None, f"a whole number of about {int(value.bit_length() * 0.30103) + 1} digits", ""
    return None, " ".join(reprlib.repr(value).split()), _CONVERT


def _refuse_flags(values):
    """`TypeError` where a list holds a truth value or a masked one, which numpy would convert."""
    for value in values:
        if isinstance(value, (list, tuple)):
            _refuse_flags(value)
        elif isinstance(value, (bool, np.bool_)) or value is np.ma.masked:
            raise TypeError("a truth value or a missing value is no number")


@cache
def _rules(kind):
    """What a kind of record asks of its numbers: name and lowest and highest value of each, and all that `check` is told."""
    rules = []
    for f in fields(kind):
        if "low" in f.metadata:
            told = {key: f.metadata[key] for key in ("what", "unit", "low", "high", "cure")}
            rules.append((f.name, told["low"], told["high"], {"name": f"{kind.__name__}.{f.name}"} | told))
    return tuple(rules)


class Record:
    """What all records share: checking, shape, changing one thing."""

    def __post_init__(self):
        values = vars(self)
        for name, low, high, told in _rules(type(self)):
            value = values[name]
            # a plain number within its range is what most fields hold
            if type(value) is not float or not low <= value <= high:
                values[name] = check(value=value, **told)
        self.shape  # noqa: B018 - arrays that do not fit together are refused here, not later

    @cached_property
    def shape(self) -> tuple[int, ...]:
        """Shape that all fields broadcast to; ``()`` for one shot."""
        parts = {name: value.shape for name, value in vars(self).items() if isinstance(value, (np.ndarray, Record))}
        several = {shape for shape in parts.values() if shape}
        if len(several) < 2:
            return several.pop() if several else ()
        try:
            return np.broadcast_shapes(*several)
        except ValueError:
            told = ", ".join(f"{name} {shape}" for name, shape in parts.items() if shape)
            raise ValueError(f"{type(self).__name__}: these array shapes do not fit together: {told}") from None

    def but(self, **changes):
        """The same record with some fields changed: ``ball.but(mass=0.0455)``."""
        return replace(self, **changes)

    def __getitem__(self, index):
        """One shot, or some, of a record that holds many."""
        shape = self.shape
        changes = {}
        for f in fields(self):
            value = getattr(self, f.name)
            if isinstance(value, Record) and value.shape:
                changes[f.name] = value[index]
            elif isinstance(value, np.ndarray) and f.init:
                if f.metadata.get("points"):  # [points, *shots]
                    points = np.broadcast_to(value, value.shape[:1] + shape)
                    changes[f.name] = points[:, *index] if isinstance(index, tuple) else points[:, index]
                else:
                    changes[f.name] = np.broadcast_to(value, shape)[index]
        return replace(self, **changes) if changes else self
