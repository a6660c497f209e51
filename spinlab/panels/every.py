"""Every scene, by the name that its file and its page have."""

from .impact import impact_scene
from .stopping import flight_and_stop

__all__ = ["SCENES"]

SCENES = {
    "impact": impact_scene,
    "stopping": flight_and_stop,
}
"""Name → the function that makes the scene; commands, site and tests walk through it."""
