"""Many shots at once: records whose fields are arrays go through the kernel shot by shot.

Every record becomes columns of one table, a row a shot; compiled loops run over the rows, on two
threads where there are many.  One shot is a table of one row.
"""

from __future__ import annotations

import functools
import math
import os
from concurrent.futures import ThreadPoolExecutor

import numpy as np

from .. import records
from ..kernel import compiled, nouns
from ..kernel.contact import History
from ..kernel.flight import Drawing
from ..kernel.ground import Trace
from ..kernel.questions import (
    Doubts,
    Nothing,
    answers,
    ball_speed_for_carry,
    head_speed_for_carry,
    peak_of_spin,
    vary_row,
)
from ..kernel.rows import (
    FLIGHT_AT_AERODYNAMICS,
    FLIGHT_AT_AIR,
    FLIGHT_AT_BALL,
    aerodynamics_at,
    air_at,
    ball_at,
    fly_row,
    land_row,
    launch_at,
    situation_at,
    strike_row,
)

WORTH_THREADS = 400
"""From so many shots on, work is shared between processors."""
_WORKERS = min(os.cpu_count() or 1, 4)

_PLAIN_FACE = records.Grooves(width=0.0, depth=0.0, separation=50e-3)
"""Grooves of a face that has none: without section they drain nothing."""


# -- records to rows -------------------------------------------------------------------------------


def numbers(record) -> list:
    """The checked numbers of a record, in the order of its counterpart in the kernel."""
    values = []
    for name in getattr(nouns, type(record).__name__)._fields:
        value = getattr(record, name)
        if name == "grooves":
            values += numbers(_PLAIN_FACE if value is None else value)
        else:
            values.append(value)
    return values


def one(record):
    """The kernel's counterpart of a record that holds one shot."""
    kind = getattr(nouns, type(record).__name__)
    values = {name: getattr(record, name) for name in kind._fields}
    if "grooves" in values:
        values["grooves"] = one(values["grooves"] or _PLAIN_FACE)
    return kind(**values)


def table(shape, *parts) -> np.ndarray:
    """Rows [shots, columns] of the numbers of records, and of numbers or arrays beside them."""
    values = []
    for part in parts:
        values += numbers(part) if isinstance(part, records.Record) else [part]
    if not shape:
        return np.array([values], dtype=float)
    rows = np.empty((math.prod(shape), len(values)))
    for column, value in enumerate(values):
        rows[:, column] = np.broadcast_to(value, shape).ravel() if np.ndim(value) else value
    return rows


def shape_of(*parts) -> tuple[int, ...]:
    """The shape that records, numbers and arrays broadcast to.

    Raises
    ------
    ValueError
        arrays that do not fit together.
    """
    shapes = [part.shape if isinstance(part, records.Record) else np.shape(part) for part in parts]
    try:
        return np.broadcast_shapes(*shapes)
    except ValueError:
        names = ", ".join(f"{type(part).__name__} {shape}"
                          for part, shape in zip(parts, shapes) if shape)
        raise ValueError(f"these array shapes do not fit together: {names}; "
                         "give every record one shot, or as many as the others") from None


def columns(rows, kind, shape) -> dict:
    """What a loop has filled in, by the names of a kernel record: numbers, or arrays of `shape`."""
    if not shape:
        return dict(zip(kind._fields, rows[0].tolist()))
    return {name: np.ascontiguousarray(rows[:, i]).reshape(shape)
            for i, name in enumerate(kind._fields)}


def run(loop, count, *arrays):
    """Call ``loop(first, last, *arrays)`` so that together all rows are done."""
    if compiled.PLAIN or count < WORTH_THREADS or _WORKERS < 2:
        loop(0, count, *arrays)
        return
    edges = np.linspace(0, count, _WORKERS + 1).astype(int).tolist()
    with ThreadPoolExecutor(_WORKERS) as pool:
        list(pool.map(lambda i: loop(edges[i], edges[i + 1], *arrays), range(_WORKERS)))


# -- loops over rows -------------------------------------------------------------------------------


@compiled.compiled
def strike_rows(first, last, rows, results, histories):
    """Strike every row; `histories` [shots, fields, points] are filled where they have points."""
    for shot in range(first, last):
        kept = histories[shot]
        history = History(kept[0], kept[1], kept[2], kept[3], kept[4], kept[5], kept[6], kept[7],
                          kept[8])
        impact = strike_row(rows[shot], history)
        for i in range(len(impact)):
            results[shot, i] = impact[i]


@compiled.compiled
def fly_rows(first, last, rows, results, drawings):
    """Fly every row; `drawings` [shots, 4, points] are filled where they have points."""
    for shot in range(first, last):
        kept = drawings[shot]
        landing = fly_row(rows[shot], Drawing(kept[0], kept[1], kept[2], kept[3]))
        for i in range(len(landing)):
            results[shot, i] = landing[i]


@compiled.compiled
def land_rows(first, last, rows, results, traces, points):
    """Land every row; `traces` [shots, 3, points of all parts] are filled where they have points."""
    for shot in range(first, last):
        kept = traces[shot]
        stop = land_row(rows[shot], Trace(kept[0], kept[1], kept[2]), points)
        for i in range(len(stop)):
            results[shot, i] = stop[i]


# -- questions about rows --------------------------------------------------------------------------


@compiled.compiled
def nothing_drawn():
    """Empty arrays: no drawing is wanted."""
    none = np.zeros(0)
    return Nothing(
        History(none, none, none, none, none, none, none, none, none),
        Drawing(none, none, none, none),
        Trace(none, none, none),
    )


@compiled.compiled
def answer_rows(first, last, rows, stage, results):
    """The numbers of every shot, as far down the chain as `stage` says."""
    nothing = nothing_drawn()
    for shot in range(first, last):
        found = answers(situation_at(rows[shot]), stage, nothing)
        for i in range(len(found)):
            results[shot, i] = found[i]


@compiled.compiled
def vary_rows(first, last, rows, shares, low, high, how, lowest, highest, varied):
    """Every row with its uncertain numbers moved to shares of their ranges."""
    doubts = Doubts(low, high, how, lowest, highest)
    for shot in range(first, last):
        vary_row(rows[shot], shares[shot], doubts, varied[shot])


@compiled.compiled
def head_speed_rows(first, last, rows, carries, results):
    """The head speed of every shot that gives its carry."""
    nothing = nothing_drawn()
    for shot in range(first, last):
        results[shot] = head_speed_for_carry(carries[shot], situation_at(rows[shot]), nothing)


@compiled.compiled
def ball_speed_rows(first, last, rows, carries, results):
    """The ball speed of every flight that gives its carry."""
    drawing = nothing_drawn().drawing
    for shot in range(first, last):
        row = rows[shot]
        results[shot] = ball_speed_for_carry(
            carries[shot],
            launch_at(row, 0),
            air_at(row, FLIGHT_AT_AIR),
            ball_at(row, FLIGHT_AT_BALL),
            aerodynamics_at(row, FLIGHT_AT_AERODYNAMICS),
            drawing,
        )


@compiled.compiled
def peak_rows(first, last, rows, low, high, carry, results):
    """The dynamic loft of every shot with most spin, the spin there, and whether it is inside."""
    nothing = nothing_drawn()
    for shot in range(first, last):
        found = peak_of_spin(low, high, situation_at(rows[shot]), carry, nothing)
        results[shot, 0] = found.dynamic_loft
        results[shot, 1] = found.spin_rate
        results[shot, 2] = found.inside


# -- single laws over arrays -----------------------------------------------------------------------


def elementwise(law):
    """A law of the kernel over arrays that broadcast; numbers give a number."""
    vectorized = np.vectorize(law, otypes=[float])

    @functools.wraps(getattr(law, "py_func", law))
    def over_arrays(*values, **named):
        floats = [np.asarray(value, dtype=float) for value in values]
        named = {name: np.asarray(value, dtype=float) for name, value in named.items()}
        answer = vectorized(*floats, **named)
        return answer if answer.ndim else float(answer)

    return over_arrays


def of_record(law):
    """A law of the kernel that asks one record; a record of arrays gives an array."""
    kind = next(iter(getattr(law, "py_func", law).__annotations__.values()))
    kind = getattr(nouns, kind) if isinstance(kind, str) else kind

    @functools.wraps(getattr(law, "py_func", law))
    def over_records(record):
        shape = record.shape
        answers = [law(kind(*row)) for row in table(shape, record).tolist()]
        return np.array(answers).reshape(shape) if shape else answers[0]

    return over_records
