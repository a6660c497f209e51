"""Every scene, by the name that its file and its page have, in the order of the lessons."""

from .first import first_look
from .fixing import what_to_fix_first
from .impact import impact_scene
from .lofts import loft_against_spin
from .stopping import flight_and_stop
from .under import under_the_ball
from .ways import which_repeats

__all__ = ["SCENES"]

SCENES = {
    "first-look": first_look,
    "under-the-ball": under_the_ball,
    "impact": impact_scene,
    "loft-against-spin": loft_against_spin,
    "flight-and-stop": flight_and_stop,
    "which-repeats": which_repeats,
    "what-to-fix-first": what_to_fix_first,
}
"""Name → the function that makes the scene; commands, site and tests walk through it."""
