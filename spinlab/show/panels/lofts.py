"""Lesson 03: loft against spin, for one swing and for one carry."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

import numpy as np
from scipy.interpolate import CubicSpline

from ...catalogue import GREENS, SOIL, WEDGE_LOFTS, WETNESS, films_in_words
from ...physics.bands import band
from ...physics.contact import strike
from ...physics.flight import fly
from ...physics.lofts import Habit, stacked
from ...physics.shot import play
from ...records import Between, Delivery, Face
from ...units import deg
from ..draw_lofts import Curve, Curves, spin_against_loft
from ..draw_wedges import Wedges, wedges_compared
from ..panel import Choice, Knob, Panel
from .common import COVERS, speed_knob, water_knob

ATTACK = Habit().attack_angle
WEDGES = np.array(WEDGE_LOFTS)

_AXES = {"the club's loft": False, "spin loft": True}
_FINE = np.linspace(46, 64, 37) * deg
_WIDE = np.linspace(20, 76, 57) * deg
_SIGNS = ("dry", "soil", "wet")
_FILMS = films_in_words("damp", "dew", "poured")


def club_knob(value=56 * deg):
    """The wedge that the line points at."""
    return Knob("loft", "Club's loft", low=46 * deg, high=64 * deg, step=1 * deg, value=value, unit="°",
                means="as stamped on the wedge")


def lean_knob():
    """How far the shaft leans forward."""
    return Knob("lean", "Shaft lean", low=0.0, high=20 * deg, step=0.5 * deg, value=Habit().lean, unit="°",
                means="forward; takes loft away")


def _states(water, soil):
    named = "wet" if water >= WETNESS["dew"].low else "damp" if water > 0 else "no water"
    return ("clean, dry", "dirty", named), (Between(), Between(soil_on_lands=soil), Between(water=water))


def _one_swing(loft, lean, axis, **rest):
    """Spin over loft at one head speed, clean and dry, dirty, wet; the loft pointed at."""
    dynamic, curves = _swing_curves(0.0 if axis else lean, axis, **rest)
    if axis:
        return Curves(loft=dynamic - ATTACK, curves=curves, what="Spin loft", here=loft - lean - ATTACK)
    return Curves(loft=dynamic + lean, curves=curves, what="Club's loft", here=loft)


@lru_cache(maxsize=8)
def _swing_curves(lean, axis, head_speed, water, soil, cover, bands):
    """Dynamic lofts and the curves over them; moving the pointer alone asks for the same again."""
    dynamic = _WIDE if axis else _FINE - lean
    names, between = _states(water, soil)
    arriving = Delivery(head_speed=head_speed, dynamic_loft=dynamic, attack_angle=ATTACK)
    spin = strike(arriving, Face(), cover, stacked(between)).spin_rate
    edges = _edges(arriving, cover, between) if bands else [(None, None)] * len(names)
    return dynamic, tuple(Curve(name=name, meaning=sign, spin=row, low=low, high=high)
                          for name, sign, row, (low, high) in zip(names, _SIGNS, spin, edges))


def _edges(arriving, cover, between):
    """Low and high end of the band of each curve, found at every sixth loft or so and drawn smoothly between."""
    some = np.linspace(arriving.dynamic_loft[0], arriving.dynamic_loft[-1], 9)
    found = band(arriving.but(dynamic_loft=some), Face(), cover, stacked(between), n=32)
    return [tuple(_smooth(arriving.dynamic_loft, some, row) for row in pair) for pair in zip(found.low, found.high)]


def _smooth(x, some, row):
    return np.polynomial.Polynomial.fit(some, row, 4)(x)


def loft_and_spin(**options) -> Panel:
    """Lesson 03: spin against loft at one swing, clean, dirty and wet, with the peak of each."""
    soil = Knob("soil", "Soil on the face", low=0.0, high=1.0, step=0.01, value=SOIL["caked"]["soil_on_lands"], unit="%",
                means="share of the flats")
    knobs = [club_knob(), lean_knob(), speed_knob(means=""), water_knob(means=_FILMS), soil,
             Choice("cover", "Ball", COVERS), Choice("axis", "Along the bottom", _AXES),
             Choice("bands", "Bands", {"hidden": False, "shown": True})]
    states = {"wedges": {}, "all lofts": {"axis": "spin loft"}, "with bands": {"bands": "shown"},
              "just damp": {"water": WETNESS["damp"].water}, "hard cover": {"cover": "hard cover"}}
    return Panel(knobs=knobs, compute=_one_swing, build=spin_against_loft, states=states, title="Loft against spin",
                 **options)


# -- the same carry ---------------------------------------------------------------------------------------------------

_SPEEDS = np.array([9.0, 12.0, 15.0, 18.0, 21.0, 24.0, 28.0, 33.0, 40.0, 50.0, 64.0])
_DYNAMIC = np.linspace(25, 65, 11) * deg
"""Head speeds [m/s] and dynamic lofts between whose carries is read: any wedge with any lean lies among them."""


@lru_cache(maxsize=64)
def _reach(cover, between):
    """Root of the carry over dynamic loft and head speed, for one state of the face.

    It is nearly straight in the speed and smooth in the loft, so a few of each tell all; a knob that moves one state, or
    only the lean, leaves the others as they are.
    """
    arriving = Delivery(head_speed=_SPEEDS, dynamic_loft=_DYNAMIC[:, None], attack_angle=ATTACK)
    return CubicSpline(_DYNAMIC, np.sqrt(fly(strike(arriving, Face(), cover, between)).carry))


def _one_carry(loft, **rest):
    """Spin, descent and run of every wedge, each swung so that it carries as far; the loft pointed at."""
    return replace(_every_wedge(**rest), here=loft)


@lru_cache(maxsize=8)
def _every_wedge(carry, lean, water, soil, cover, green):
    """The whole bag at one carry, to within 0.1 m."""
    names, between = _states(water, soil)
    roots = [_reach(cover, state)(WEDGES - lean) for state in between]
    speed = _only(CubicSpline(_SPEEDS, roots, axis=-1).solve(np.sqrt(carry), extrapolate=False))
    arriving = Delivery(head_speed=speed, dynamic_loft=WEDGES - lean, attack_angle=ATTACK)
    shot = play(arriving, Face(), cover, stacked(between), green=green)
    return Wedges(loft=WEDGES, names=names, meanings=_SIGNS, spin=shot.launch.spin_rate, descent=shot.descent_angle,
                  run_out=shot.run_out, here=WEDGES[0])


_only = np.vectorize(lambda found: found[0], otypes=[float])  # carry grows with the speed: it is met once


def one_carry(**options) -> Panel:
    """Lesson 03: every wedge swung to the same carry – its spin, how steeply the ball comes down, how far it runs."""
    carry = Knob("carry", "Carry", low=20.0, high=60.0, step=1.0, value=45.0, unit="m", means="the same for every wedge")
    soil = Knob("soil", "Soil on the face", low=0.0, high=1.0, step=0.01, value=SOIL["caked"]["soil_on_lands"], unit="%",
                means="share of the flats")
    knobs = [club_knob(), carry, lean_knob(), water_knob(means=_FILMS), soil,
             Choice("cover", "Ball", COVERS), Choice("green", "Green", GREENS, value="medium")]
    states = {"56°": {}, "64°": {"loft": 64 * deg}, "48°": {"loft": 48 * deg}, "firm green": {"green": "firm"},
              "longer": {"carry": 60.0}}
    return Panel(knobs=knobs, compute=_one_carry, build=wedges_compared, states=states, title="The same carry", **options)
