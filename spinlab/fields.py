"""What every record is made of: fields that know their meaning, unit and range, and check what they are given."""

from __future__ import annotations

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


def check(name, value, *, what, unit, low, high, cure=""):
    """Value as a float or float array, or a `ValueError` that says what is wrong and how to put it right."""
    # nothing that is missing or endless lies between two borders, so most values need no more than this
    if isinstance(value, (float, int)) and low <= value <= high:
        return float(value)
    label = f"{name} ({what})" if what else name
    try:
        # a number stays a plain float: it is quicker to work with than an array of one
        array = np.asarray(value, dtype=float)
    except (TypeError, ValueError):
        raise ValueError(f"{label} must be a number or an array of numbers, got {value!r}") from None
    if array.size and array.min() >= low and array.max() <= high:
        return float(array) if array.ndim == 0 else array
    finite = np.isfinite(array)
    if not finite.all():
        raise ValueError(f"{label} must be finite, got {array[~finite].flat[0]}; leave missing shots out first")
    outside = (array < low) | (array > high)
    if outside.any():
        bad = array[outside].flat[0]
        allowed = f"{spoken(low, unit)} … {spoken(high, unit)}"
        count = f" ({int(outside.sum())} of {array.size} values)" if array.size > 1 else ""
        hint = f"; {cure}" if cure else ""
        raise ValueError(f"{label} must lie in {allowed}, got {spoken(bad, unit)}{count}{hint}")
    return float(array) if array.ndim == 0 else array


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
