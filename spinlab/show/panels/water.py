"""Lesson 02: the same swing twice, clean and dry and as it is now."""

from __future__ import annotations

from ...catalogue import PITCH, WETNESS
from ...physics.bands import contrast
from ...physics.flight import fly
from ...physics.setting import Setting
from ...records import Between, Delivery, Face
from ..draw_pair import Pair, same_swing_twice
from ..draw_scene import film_strike
from ..panel import Choice, Knob, Panel
from .common import COVERS, GROOVES, grooved, loft_knob, speed_knob, water_knob


def _two_swings(dynamic_loft, head_speed, water, grooves, cover, moment):
    """The clean, dry swing and the same one with what the knobs say."""
    swing = Delivery(head_speed=head_speed, dynamic_loft=dynamic_loft, attack_angle=PITCH.attack_angle)
    face, closed = grooved(grooves)
    between = Between(water=water, soil_in_grooves=closed)
    named = "wet" if water >= WETNESS["dew"].low else "damp" if water > 0 else "now"
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
    wet = {"water": WETNESS["poured"].water}
    states = {"clean and dry": {"water": 0.0}, "damp": {"water": WETNESS["damp"].water}, "wet": wet,
              "wet, grooves closed": wet | {"grooves": "closed by soil"}}
    return Panel(knobs=knobs, compute=_two_swings, build=same_swing_twice, states=states,
                 title="The same swing, dry and wet", **options)


def bands_of_wet(swing, face, ball, *, wet: Between):
    """Bands of wet against dry for one swing: ratio of spin, difference of launch [rad]."""
    dry, other = (Setting(arriving=swing, face=face, ball=ball, between=b) for b in (Between(), wet))
    return contrast(other, dry, of="spin_rate", kind="ratio"), contrast(other, dry, of="launch_angle", kind="difference")
