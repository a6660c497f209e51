"""The panels of the lessons, ready made: ``panels.dry_and_wet()``.  One module for each lesson."""

from .start import first_look, two_sentences, words
from .water import bands_of_wet, dry_and_wet

EVERY = (first_look, words, dry_and_wet)
"""All panels of the lessons, for tests and for whoever wants to look through them."""

__all__ = ["EVERY", "bands_of_wet", "dry_and_wet", "first_look", "two_sentences", "words"]
