"""Lesson 00's scene: the impact close-up for a newcomer, with the words of the trade to call up."""

from __future__ import annotations

from ..catalogue import WETNESS
from ..units import deg
from .impact import impact_scene
from .scene import Scene
from .terms import SHOWN, TERMS

__all__ = ["first_look"]


def first_look(**changes) -> Scene:
    """The impact scene without guesses, with prepared states for a first look and words to call
    up; `changes` replace parts of it."""
    parts = {
        "name": "first-look",
        "title": "A pitch, and the words for it",
        "states": {
            "a pitch": {"water": 0.0},
            "more loft": {"water": 0.0, "dynamic_loft": 62 * deg},
            "a fuller swing": {"water": 0.0, "head_speed": 32.0},
            "damp": {"water": WETNESS["damp"].water},
            "wet": {"water": WETNESS["poured"].water},
        },
        "guesses": [],
        "guess_state": "",
        "words": {word: TERMS[word] for word in SHOWN},
        "summary": "A ball on a wedge's face from the side, clean and dry, and beside it as it is now; below, "
        "both balls fly and stop. Words of the trade can be called up as labels.",
        "tries": [
            "Turn the dry face up by its edge. Where does the spin stop growing?",
            "Pull a little water up. How soon does the spin fall?",
            "Call up the words one after the other.",
        ],
    }
    return impact_scene(**parts | changes)
