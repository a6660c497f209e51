"""The usual shot for scenes, as a row of numbers to change: ``begin(usual)``, ``usual.now[WATER] =
water``, ``struck(usual)``.

Whatever asks through `struck` or `played` gets bands by itself: they are the same questions with
the uncertain numbers moved by a stored draw.  All in the kernel's dialect.
"""

from __future__ import annotations

import functools
import json
from pathlib import Path
from typing import NamedTuple

import numpy as np

from .. import records
from ..catalogue import BALLS, GREENS, PITCH
from ..kernel import nouns
from ..kernel.compiled import Array, kernel
from ..kernel.contact import History
from ..kernel.flight import Drawing
from ..kernel.ground import Trace
from ..kernel.nouns import Impact, Played
from ..kernel.questions import Doubts, vary_row
from ..kernel.rows import (
    AT_AIR,
    AT_BALL,
    AT_BETWEEN,
    AT_DELIVERY,
    AT_FACE,
    AT_GREEN,
    GROOVE_NUMBERS,
    ROW_LENGTH,
    situation_at,
    strike_row,
)
from ..kernel.shot import play
from ..physics.rows import numbers
from ..physics.uncertain import PARAMETERS, columns_of, doubts_of
from ..units import um

__all__ = ["THIN_FILMS", "Usual", "begin", "played", "struck", "usual"]

THIN_FILMS = 3 * um
"""Sliders of water give the films up to here half of their way."""
DRAWS = 256
STORED = Path(__file__).with_name("draws.json")
"""The table of draws of all bands, in ten-thousandths; written by ``python -m
spinlab.panels.usual``."""


def _place(start, record, name):
    return start + record._fields.index(name)


HEAD_SPEED = _place(AT_DELIVERY, nouns.Delivery, "head_speed")
DYNAMIC_LOFT = _place(AT_DELIVERY, nouns.Delivery, "dynamic_loft")
ATTACK_ANGLE = _place(AT_DELIVERY, nouns.Delivery, "attack_angle")
NORMAL_OFFSET = _place(AT_DELIVERY, nouns.Delivery, "normal_offset")
GROOVE_DEPTH = _place(AT_FACE + 1, nouns.Grooves, "depth")
EDGE_RADIUS = _place(AT_FACE + 1, nouns.Grooves, "edge_radius")
ROUGHNESS = AT_FACE + 1 + GROOVE_NUMBERS
FRICTION = _place(AT_BALL, nouns.Ball, "friction")
FRICTION_FAST = _place(AT_BALL, nouns.Ball, "friction_fast")
WATER = _place(AT_BETWEEN, nouns.Between, "water")
WATER_TEMPERATURE = _place(AT_BETWEEN, nouns.Between, "temperature")
SOIL_ON_LANDS = _place(AT_BETWEEN, nouns.Between, "soil_on_lands")
SOIL_IN_GROOVES = _place(AT_BETWEEN, nouns.Between, "soil_in_grooves")
GRASS = _place(AT_BETWEEN, nouns.Between, "grass")
WIND = _place(AT_AIR, nouns.Air, "wind")
GREEN_SPEED = _place(AT_GREEN, nouns.Green, "speed")
"""Where a number stands in the row of a shot."""


class Usual(NamedTuple):
    """The usual shot, and room to change it.

    `shot` is never written; `now` is the shot in question; `shares` say how far its uncertain
    numbers are moved within their `doubts` (negative: not at all), and `moved` is that shot.
    `history`, `drawing` and `trace` have no rows.
    """

    shot: Array
    now: Array
    moved: Array
    shares: Array
    doubts: Doubts
    history: History
    drawing: Drawing
    trace: Trace


@kernel
def begin(usual: Usual) -> None:
    """Make `now` the usual shot."""
    for i in range(len(usual.shot)):
        usual.now[i] = usual.shot[i]


@kernel
def struck(usual: Usual) -> Impact:
    """The contact of the shot `now`."""
    vary_row(usual.now, usual.shares, usual.doubts, usual.moved)
    return strike_row(usual.moved, usual.history)


@kernel
def played(usual: Usual, history: History, drawing: Drawing, trace: Trace, points: int) -> Played:
    """The whole shot `now`; the arrays are empty, or are filled for drawing."""
    vary_row(usual.now, usual.shares, usual.doubts, usual.moved)
    return play(situation_at(usual.moved), history, drawing, trace, points)


# -- the numbers ----------------------------------------------------------------------------------


def usual_shot() -> list:
    """The row of the usual pitch: soft cover, grooved wedge, clean and dry, still air, medium
    green."""
    parts = (
        PITCH,
        records.Face(),
        BALLS["soft cover"],
        records.Between(),
        records.Assumptions(),
        records.Air(),
        records.Aerodynamics.tuned_pitches(),
        GREENS["medium"],
    )
    return [float(number) for part in parts for number in numbers(part)]


def spread() -> list:
    """For every number of the row the column of the table of draws that moves it, or −1."""
    columns = [-1] * ROW_LENGTH
    for draw, parameter in enumerate(PARAMETERS):
        for column in columns_of(parameter):
            columns[column] = draw
    return columns


def new_draws() -> list:
    """The table as it is stored: a Latin hypercube (McKay, Beckman & Conover 1979, from memory) of
    seed 1."""
    from scipy.stats import qmc

    shares = qmc.LatinHypercube(len(PARAMETERS), rng=1).random(DRAWS)
    return np.rint(shares * 1e4).astype(int).tolist()


@functools.cache
def draws() -> np.ndarray:
    """The stored table of draws [draws, uncertain numbers]: shares 0 … 1 of each range, with four
    decimals."""
    return np.array(json.loads(STORED.read_text(encoding="utf-8"))) / 1e4


def usual() -> Usual:
    """A usual shot with nothing moved."""
    row = np.array(usual_shot())
    none = np.zeros(0)
    return Usual(
        row,
        row.copy(),
        row.copy(),
        np.full(len(row), -1.0),
        Doubts(*doubts_of(PARAMETERS)),
        History(*[none] * len(History._fields)),
        Drawing(*[none] * len(Drawing._fields)),
        Trace(*[none] * len(Trace._fields)),
    )


if __name__ == "__main__":
    STORED.write_text(
        json.dumps(new_draws(), separators=(",", ":")).replace("],[", "],\n[") + "\n",
        encoding="utf-8",
    )
