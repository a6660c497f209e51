"""Every picture by name: builders ``build(look) -> (figure, draw)``, and the things they show.

How a builder is used stands in `spinlab.show.style`; each says in its own docstring what its ``draw`` takes.
"""

from .draw_contact import SlowMotion, contact_pair, contact_slow_motion
from .draw_flight import Flown, flight_side_view
from .draw_scene import Filmed, film_strike

__all__ = ["Filmed", "Flown", "SlowMotion", "contact_pair", "contact_slow_motion", "film_strike", "flight_side_view"]
