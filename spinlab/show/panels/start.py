"""Lesson 00: does it work here, and the words of the trade in one picture."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from ...catalogue import PITCH, STATES
from ...physics.contact import strike
from ...physics.lofts import stacked
from ...records import Delivery, Face
from ...units import deg
from ..draw_launch import Fan, Launched, launch_fan
from ..draw_lofts import Curve, Curves, spin_against_loft
from ..panel import Knob, Panel
from .common import COVERS, loft_knob, speed_knob

_LOFTS = np.linspace(20, 75, 56) * deg
_MEANINGS = {"dry": "dry", "damp": "water", "wet": "wet"}
_STATES = {name: (meaning, STATES[name]) for name, meaning in _MEANINGS.items()}


@lru_cache(maxsize=64)
def _loft_curves(head_speed):
    """Spin over dynamic loft at one head speed, dry, damp and wet: one call of the engine."""
    arriving = Delivery(head_speed=head_speed, dynamic_loft=_LOFTS, attack_angle=PITCH.attack_angle)
    between = stacked(between for _, between in _STATES.values())
    spin = strike(arriving, Face(), COVERS["soft cover"], between).spin_rate
    return tuple(Curve(name=name, meaning=meaning, spin=row) for (name, (meaning, _)), row in zip(_STATES.items(), spin))


def _pointed_at(dynamic_loft, head_speed):
    return Curves(loft=_LOFTS, curves=_loft_curves(head_speed), what="Dynamic loft", here=dynamic_loft)


def first_look(**options) -> Panel:
    """Lesson 00: does it work here, and does more loft always spin more?"""
    return Panel(knobs=[loft_knob(low=20 * deg, high=75 * deg), speed_knob()], compute=_pointed_at, build=spin_against_loft,
                 states={"a pitch": {}, "more loft": {"dynamic_loft": 60 * deg}, "a fuller swing": {"head_speed": 32.0}},
                 title="Loft and spin", **options)


def words(**options) -> Panel:
    """Lesson 00: the words of the trade in one picture, launch and spin of the same swing in three states."""
    def fan(dynamic_loft, attack_angle):
        arriving = PITCH.but(dynamic_loft=dynamic_loft, attack_angle=attack_angle)
        launches = tuple(Launched(name=name, meaning=meaning, launch=strike(arriving, Face(), COVERS["soft cover"], between))
                         for name, (meaning, between) in _STATES.items())
        return Fan(arriving=arriving, launched=launches)

    attack = Knob("attack_angle", "Attack angle", low=-12 * deg, high=4 * deg, step=0.5 * deg, value=PITCH.attack_angle,
                  unit="°", means="which way the head travels; down is negative")
    states = {"a pitch": {}, "level": {"attack_angle": 0.0}, "low and steep": {"dynamic_loft": 38 * deg}}
    return Panel(knobs=[loft_knob(high=65 * deg), attack], compute=fan, build=launch_fan, states=states,
                 title="Where the ball goes", **options)
