"""One whole situation – who hits what with what onto what – and any number it leads to, by name."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from ..kernel.questions import Answers
from ..records import Aerodynamics, Air, Assumptions, Ball, Between, Delivery, Face, Green, Record
from ..units import unit, written
from .rows import answer_rows, columns, run, shape_of, table


@dataclass(frozen=True)
class Quantity:
    """A number that a shot leads to: its `noun`, the `unit` it is talked about in, and how much of the chain it needs."""

    noun: str
    unit: str
    stage: str  # contact, flight or green


QUANTITIES = {
    "spin_rate": Quantity("spin", "rpm", "contact"),
    "launch_angle": Quantity("launch angle", "°", "contact"),
    "ball_speed": Quantity("ball speed", "m/s", "contact"),
    "effective_friction": Quantity("effective friction", "", "contact"),
    "grip_share": Quantity("share of the push given without sliding", "", "contact"),
    "carry": Quantity("carry", "m", "flight"),
    "apex": Quantity("height of the flight", "m", "flight"),
    "flight_time": Quantity("time in the air", "s", "flight"),
    "descent_angle": Quantity("descent angle", "°", "flight"),
    "landing_speed": Quantity("landing speed", "m/s", "flight"),
    "landing_spin": Quantity("spin at landing", "rpm", "flight"),
    "run_out": Quantity("run-out", "m", "green"),
    "first_bounce": Quantity("first bounce", "m", "green"),
    "total": Quantity("distance to rest", "m", "green"),
}
"""Every number that can be asked for by name."""

STAGES = ("contact", "flight", "green")


def quantity_named(name: str) -> Quantity:
    """Look a quantity up, or a `ValueError` that lists what there is."""
    if name not in QUANTITIES:
        raise ValueError(f"quantity {name!r} is not known; ask for one of: {', '.join(QUANTITIES)}")
    return QUANTITIES[name]


def furthest_stage(of) -> str:
    """How far down the chain these quantities reach."""
    return max((quantity_named(name).stage for name in of), key=STAGES.index)


@dataclass(frozen=True, kw_only=True)
class Setting(Record):
    """How the club arrives, face, ball, what lies between, air and green: all that the chain needs for a shot."""

    arriving: Delivery
    face: Face
    ball: Ball
    between: Between = field(default_factory=Between)
    air: Air = field(default_factory=Air)
    green: Green = field(default_factory=Green)


def situation_rows(setting: Setting, shape, assume: Assumptions | None = None) -> np.ndarray:
    """The setting's shots as rows of the kernel [shots, numbers]."""
    return table(shape, setting.arriving, setting.face, setting.ball, setting.between, assume or Assumptions(),
                 setting.air, Aerodynamics(), setting.green)


def answered(rows, of, shape) -> dict:
    """The named quantities of rows of shots, as far down the chain as they need: numbers, or arrays of a shape."""
    found = np.empty((len(rows), len(Answers._fields)))
    run(answer_rows, len(rows), rows, STAGES.index(furthest_stage(of)), found)
    named = columns(found, Answers, shape)
    return {name: named[name] for name in of}


def results(setting: Setting, of, *, assume: Assumptions | None = None) -> dict:
    """The named quantities of a setting [SI], no further down the chain than they need.

    Parameters
    ----------
    setting
        Records whose fields may be arrays; the answers broadcast to their common shape.
    of
        Names out of `QUANTITIES`.
    assume
        Uncertain numbers of the contact, see `spinlab.physics.bands`.
    """
    shape = shape_of(setting, assume or Assumptions())
    return answered(situation_rows(setting, shape, assume), of, shape)


def in_words(value, step, unit_name) -> str:
    """A number for speech: rounded to `step`, written as people read it: ``6 300``.  Value and step in SI."""
    scale = unit(unit_name).scale
    value, step = float(value) / scale, float(step) / scale
    if step <= 0:
        return written(value, figures=4)
    digits = max(0, int(-np.floor(np.log10(step) + 1e-9)))
    rounded = round(value / step) * step
    return written(rounded, digits)


def round_step(width, unit_name) -> float:
    """A step of 1, 2 or 5 with which a number of this width can be spoken [SI]: about a fifteenth of the width."""
    scale = unit(unit_name).scale
    width = abs(float(width)) / scale
    if width == 0:
        return 0.0
    rough = width / 15
    power = 10.0 ** np.floor(np.log10(rough))
    return float(power * min((1, 2, 5, 10), key=lambda f: abs(np.log(f * power / rough)))) * scale


def with_unit(number: str, unit_name: str) -> str:
    """``6 300 rpm``, ``31°``, ``0.4``."""
    return number + (unit_name if unit_name in ("°", "%") else f" {unit_name}" if unit_name else "")
