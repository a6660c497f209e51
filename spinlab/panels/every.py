"""Every scene, by the name that its file and its page have."""

from .impact import impact_scene

__all__ = ["SCENES"]

SCENES = {
    "impact": impact_scene,
}
"""Name → the function that makes the scene; commands, site and tests walk through it."""
