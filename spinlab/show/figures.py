"""Every picture by name: builders ``build(look) -> (figure, draw)``, and the things they show.

How a builder is used stands in `spinlab.show.style`; each says in its own docstring what its ``draw`` takes.
"""

from .draw_contact import SlowMotion, contact_pair, contact_slow_motion
from .draw_difference import Compared, Condition, Gap, difference_plot, measured
from .draw_flight import Flown, flight_side_view
from .draw_green import Pattern, Played, green_from_above
from .draw_grooves import Section, film_against_time, groove_section
from .draw_launch import Fan, Launched, launch_fan
from .draw_lofts import Curve, Curves, curves_of, spin_against_loft
from .draw_plan import Order, Screening, Split, order_strip, set_aside_plot, shares_bars, split_of
from .draw_scene import Filmed, film_strike

__all__ = ["Compared", "Condition", "Curve", "Curves", "Fan", "Filmed", "Flown", "Gap", "Launched", "Order", "Pattern",
           "Played", "Screening", "Section", "SlowMotion", "Split", "contact_pair", "contact_slow_motion", "curves_of",
           "difference_plot", "film_against_time", "film_strike", "flight_side_view", "green_from_above", "groove_section",
           "launch_fan", "measured", "order_strip", "set_aside_plot", "shares_bars", "spin_against_loft", "split_of"]
