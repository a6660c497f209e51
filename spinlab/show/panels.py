"""The panels of the lessons, ready made: ``panels.dry_and_wet()``."""

from __future__ import annotations

import numpy as np

from ..physics.bands import contrast
from ..physics.contact import strike
from ..physics.flight import fly
from ..physics.setting import Setting
from ..records import Ball, Between, Delivery, Face
from ..units import deg, rpm, um
from .draw_launch import Fan, Launched, launch_fan
from .draw_lofts import Curve, Curves, spin_against_loft
from .draw_pair import Pair, same_swing_twice
from .draw_scene import film_strike
from .panel import Choice, Knob, Panel

COVERS = {"soft cover": Ball.published_soft_cover(), "hard cover": Ball.published_ionomer_cover()}
"""The soft cover of Gobush 1996 and the ionomer of 2020, which agrees with what clean, dry balls do."""

GROOVES = {"open": 0.0, "half closed": 0.5, "closed by soil": 1.0, "none (plain face)": None}
"""Share of the grooves closed; None is a face without any."""


def loft_knob(value=44.5 * deg, **changes):
    """Dynamic loft, as in every lesson."""
    return Knob("dynamic_loft", "Dynamic loft", **{"low": 25 * deg, "high": 70 * deg, "step": 0.5 * deg, "value": value,
                "unit": "°", "means": "loft of the face as it meets the ball"} | changes)


def speed_knob(value=20.0, **changes):
    """Head speed, as in every lesson."""
    return Knob("head_speed", "Head speed", **{"low": 8.0, "high": 40.0, "step": 0.25, "value": value, "unit": "m/s",
                "means": "how fast the head arrives"} | changes)


def water_knob(value=40 * um, **changes):
    """Water film, as in every lesson."""
    return Knob("water", "Water", **{"low": 0.0, "high": 150 * um, "step": 0.5 * um, "value": value, "unit": "µm",
                "means": "film on the face before contact: damp 1–5, dew 10–30, poured 20–45, flooded 150"} | changes)


def grooved(grooves, **face) -> tuple[Face, float]:
    """A face with grooves in a named state, and the share of them that is closed."""
    return (Face(grooves=None, **face), 0.0) if grooves is None else (Face(**face), grooves)


_LOFTS = np.linspace(20, 75, 111) * deg
_STATES = {"dry": ("dry", Between()), "damp": ("water", Between(water=1 * um)), "wet": ("wet", Between(water=40 * um))}


def _loft_curves(dynamic_loft, head_speed):
    """Spin over dynamic loft at one head speed, dry, damp and wet."""
    arriving = Delivery(head_speed=head_speed, dynamic_loft=_LOFTS, attack_angle=-6 * deg)
    face, ball = Face(), Ball.published_soft_cover()
    curves = tuple(Curve(name=name, meaning=meaning, spin=strike(arriving, face, ball, between).spin_rate)
                   for name, (meaning, between) in _STATES.items())
    return Curves(loft=_LOFTS, curves=curves, what="Dynamic loft", here=dynamic_loft)


def first_look(**options) -> Panel:
    """Lesson 00: does it work here, and does more loft always spin more?"""
    return Panel(knobs=[loft_knob(low=20 * deg, high=75 * deg), speed_knob()], compute=_loft_curves, build=spin_against_loft,
                 states={"a pitch": {}, "more loft": {"dynamic_loft": 60 * deg}, "a fuller swing": {"head_speed": 32.0}},
                 title="Loft and spin", **options)


def two_sentences(panel: Panel) -> tuple[str, str]:
    """The two sentences of lesson 00, from what its panel shows."""
    peaks = [(curve.name, _LOFTS[np.argmax(curve.spin)] / deg, curve.spin.max() / rpm) for curve in panel.result.curves]
    (_, dry, most), (_, wet, left) = peaks[0], peaks[-1]
    return (f"More loft adds spin only up to about {dry:.0f}° of dynamic loft when face and ball are clean and dry; beyond "
            "that the ball slides all through.",
            f"Wet, that point comes at about {wet:.0f}°, and even there the spin is {left / most:.0%} of the dry peak.")


def words(**options) -> Panel:
    """Lesson 00: the words of the trade in one picture, launch and spin of the same swing in three states."""
    def fan(dynamic_loft, attack_angle):
        arriving = Delivery(head_speed=20.0, dynamic_loft=dynamic_loft, attack_angle=attack_angle)
        launches = tuple(Launched(name=name, meaning=meaning, launch=strike(arriving, Face(), COVERS["soft cover"], between))
                         for name, (meaning, between) in _STATES.items())
        return Fan(arriving=arriving, launched=launches)

    attack = Knob("attack_angle", "Attack angle", low=-12 * deg, high=4 * deg, step=0.5 * deg, value=-6 * deg, unit="°",
                  means="which way the head travels; down is negative")
    states = {"a pitch": {}, "level": {"attack_angle": 0.0}, "low and steep": {"dynamic_loft": 38 * deg}}
    return Panel(knobs=[loft_knob(high=65 * deg), attack], compute=fan, build=launch_fan, states=states,
                 title="Where the ball goes", **options)


def _two_swings(dynamic_loft, head_speed, water, grooves, cover, moment):
    """The clean, dry swing and the same one with what the knobs say."""
    swing = Delivery(head_speed=head_speed, dynamic_loft=dynamic_loft, attack_angle=-6 * deg)
    face, closed = grooved(grooves)
    between = Between(water=water, soil_in_grooves=closed)
    named = "wet" if water >= 10 * um else "damp" if water > 0 else "now"
    meaning = "blocked" if water and (closed > 0.5 or grooves is None) else "wet"
    dry = film_strike(swing, Face(), cover, name="dry", meaning="dry")
    other = film_strike(swing, face, cover, between, name=named, meaning=meaning)
    return Pair(shots=(dry, other), paths=(fly(dry.launch), fly(other.launch)), moment=moment)


def dry_and_wet(**options) -> Panel:
    """Lesson 02: the same swing twice, in slow motion."""
    knobs = [loft_knob(), speed_knob(), water_knob(),
             Choice("grooves", "Grooves", GROOVES, means="open ones let water out"),
             Choice("cover", "Ball", COVERS, means="cover of the ball"),
             Knob("moment", "Moment", low=0.0, high=1.0, step=0.01, value=0.45, unit="%", play=6.0,
                  means="through the half millisecond of contact")]
    states = {"clean and dry": {"water": 0.0}, "damp": {"water": 3 * um}, "wet": {"water": 40 * um},
              "wet, grooves closed": {"water": 40 * um, "grooves": "closed by soil"}}
    return Panel(knobs=knobs, compute=_two_swings, build=same_swing_twice, states=states,
                 title="The same swing, dry and wet", **options)


def bands_of_wet(swing, face, ball, *, wet: Between):
    """Bands of wet against dry for one swing: ratio of spin, difference of launch [rad]."""
    dry, other = (Setting(arriving=swing, face=face, ball=ball, between=b) for b in (Between(), wet))
    return contrast(other, dry, of="spin_rate", kind="ratio"), contrast(other, dry, of="launch_angle", kind="difference")


EVERY = (first_look, words, dry_and_wet)
"""All panels of the lessons, for tests and for whoever wants to look through them."""
