"""The panels of the lessons, ready made: ``panels.dry_and_wet()``."""

from __future__ import annotations

from ..physics.bands import contrast
from ..physics.flight import fly
from ..physics.setting import Setting
from ..records import Ball, Between, Delivery, Face
from ..units import deg, um
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
