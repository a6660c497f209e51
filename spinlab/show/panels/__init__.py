"""The panels of the lessons, ready made: ``panels.dry_and_wet()``.  One module for each lesson."""

from ...catalogue import PITCH
from .grooves import clean_face, film_thins, groove_shape
from .lofts import loft_and_spin, one_carry
from .start import first_look, words
from .water import bands_of_wet, dry_and_wet

EVERY = (first_look, words, groove_shape, film_thins, clean_face, dry_and_wet, loft_and_spin, one_carry)
"""All panels of the lessons, for tests and for whoever wants to look through them."""

__all__ = ["EVERY", "PITCH", "bands_of_wet", "clean_face", "dry_and_wet", "film_thins", "first_look", "groove_shape",
           "loft_and_spin", "one_carry", "words"]
