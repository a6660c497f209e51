"""What the panels of several lessons share: knobs with their ranges, covers, states of the grooves."""

from __future__ import annotations

from ...catalogue import BALLS, PITCH, WETNESS, films_in_words
from ...records import Face
from ...units import deg, um
from ..panel import Knob

COVERS = BALLS

GROOVES = {"open": 0.0, "half closed": 0.5, "closed by soil": 1.0, "none (plain face)": None}
"""Share of the grooves closed; None is a face without any."""


def loft_knob(value=PITCH.dynamic_loft, **changes):
    """Dynamic loft, as in every lesson."""
    return Knob("dynamic_loft", "Dynamic loft", **{"low": 25 * deg, "high": 70 * deg, "step": 0.5 * deg, "value": value,
                "unit": "°", "means": "loft of the face as it meets the ball"} | changes)


def speed_knob(value=PITCH.head_speed, **changes):
    """Head speed, as in every lesson."""
    return Knob("head_speed", "Head speed", **{"low": 8.0, "high": 40.0, "step": 0.25, "value": value, "unit": "m/s",
                "means": "how fast the head arrives"} | changes)


def water_knob(value=WETNESS["poured"].water, **changes):
    """Water film, as in every lesson."""
    return Knob("water", "Water", **{"low": 0.0, "high": 150 * um, "step": 0.5 * um, "value": value, "unit": "µm",
                "means": f"film on the face before contact: {films_in_words()}"} | changes)


def grooved(grooves, **face) -> tuple[Face, float]:
    """A face with grooves in a named state, and the share of them that is closed."""
    return (Face(grooves=None, **face), 0.0) if grooves is None else (Face(**face), grooves)
