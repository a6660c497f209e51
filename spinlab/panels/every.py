"""Every scene, by the name that its file and its page have."""

from .fixing import what_to_fix_first
from .impact import impact_scene
from .lofts import loft_against_spin
from .stopping import flight_and_stop
from .ways import which_repeats

__all__ = ["SCENES"]

SCENES = {
    "impact": impact_scene,
    "loft_against_spin": loft_against_spin,
    "stopping": flight_and_stop,
    "which_repeats": which_repeats,
    "what_to_fix_first": what_to_fix_first,
}
"""Name → the function that makes the scene; commands, site and tests walk through it."""
