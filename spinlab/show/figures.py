"""Every picture by name: builders ``build(look) -> (figure, draw)``, and the things they show.

How a builder is used stands in `spinlab.show.style`; each says in its own docstring what its ``draw`` takes.
"""

from .draw_cleaning import Cleaned, Cleanings, ways_of_cleaning
from .draw_contact import SlowMotion, contact_pair, contact_slow_motion
from .draw_difference import Compared, Condition, Gap, difference_plot, measured
from .draw_flight import Flown, flight_side_view
from .draw_green import Pattern, Played, green_from_above
from .draw_grooves import Section, film_against_time, groove_section
from .draw_launch import Fan, Launched, launch_fan
from .draw_lofts import Curve, Curves, curves_of, spin_against_loft
from .draw_plan import Order, Screening, Split, order_strip, screening_of, set_aside_plot, shares_bars, split_of
from .draw_reading import Reading, Readings, two_lofts
from .draw_scene import Filmed, film_strike
from .draw_stopping import Greens, stops_on_greens
from .draw_terms import Terms, words_of_trade
from .draw_wedges import Wedges, wedges_compared

__all__ = ["Cleaned", "Cleanings", "Compared", "Condition", "Curve", "Curves", "Fan", "Filmed", "Flown", "Gap",
           "Greens", "Launched", "Order", "Pattern", "Played", "Reading", "Readings", "Screening", "Section",
           "SlowMotion", "Split", "Terms", "Wedges", "contact_pair", "contact_slow_motion", "curves_of",
           "difference_plot", "film_against_time", "film_strike", "flight_side_view", "green_from_above",
           "groove_section", "launch_fan", "measured", "order_strip", "screening_of", "set_aside_plot", "shares_bars",
           "spin_against_loft", "split_of", "stops_on_greens", "two_lofts", "ways_of_cleaning", "wedges_compared",
           "words_of_trade"]
