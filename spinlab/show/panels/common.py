"""What the panels of several lessons share: knobs with their ranges, covers, states of the grooves."""

from __future__ import annotations

from ...records import Ball, Delivery, Face
from ...units import deg, um
from ..panel import Knob

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

PITCH = Delivery(head_speed=20.0, dynamic_loft=44.5 * deg, attack_angle=-6 * deg)
"""The pitch of all lessons: mid-forties of dynamic loft, some 45 mph (common practice, no source)."""
