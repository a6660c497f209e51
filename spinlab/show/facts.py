"""Checking a claim that somebody typed: shown, depends or not so, with the computed reason and a picture.

The claim is understood word by word (`spinlab.show.claim_reading`) or not judged at all; the engine then works out the same
pitch twice for every state that the claim leaves open (`spinlab.show.claim_trials`), with the band of their ratio or
difference.  What is claimed holds if the whole band lies on its side in every trial.
"""

from __future__ import annotations

from dataclasses import dataclass

from .claim_reading import read
from .claim_trials import ALIKE, SAME_CARRY, Trial, name_of, trials
from .claim_words import Reading, Unclear
from .exhibits import SOURCES

__all__ = ["ALIKE", "Answer", "Trial", "check"]

SHOWN, DEPENDS, NOT_SO, UNKNOWN = "shown", "depends", "not so", "cannot say"
_NEAR = 0.15
"""How far the answer may lie from a size that is claimed, as a share of it (our judgement)."""
_LONGEST = 200

EXAMPLES = ("a 60 spins more than a 54", "wet halves the spin", "a wet ball comes out lower", "a wet ball spins less",
            "grooves let water out", "worn grooves cost spin", "grooves grip the ball", "a towel is better than a tee",
            "a clean face spins more", "a dirty face costs spin", "a soft ball spins more", "more loft stops quicker",
            "a faster swing spins more", "hitting down more adds spin")
"""One claim of each kind, as it may be typed."""

_WHY = {
    "loft": "Loft adds spin only up to a peak, and the less friction there is, the earlier the peak comes. Clean and "
            "dry the trade often puts that peak at less loft than this model does; ten shots with each club would tell.",
    "water": "A film carries part of the load, and only the rest is held by friction; what a film of a micrometre "
             "costs is the least certain number here.",
    "grooves": "Clean and dry, the flats make the spin; grooves are there for water and soil, whose way out they shorten.",
    "wear": "Worn grooves hold less, and a polished face is lifted sooner by the same film. Robot tests on fairways report "
            "10 to 24 % less spin for worn wedges even dry (common practice, no source); this model gives less than that.",
    "tool": "A tee clears the grooves, a towel the flats, and the flats meet the ball.",
    "soil": "Friction over soil is a fraction of that between cover and steel.",
    "grass": "Grass between face and ball lets the ball slide.",
    "cover": "When both grip, the cover hardly matters; where the ball slides, its friction does.",
    "speed": "Where the ball grips, spin grows with speed.",
    "attack": "Steeper at the same dynamic loft means more spin loft, up to the peak.",
    ("water", "launch_angle"): "A ball that slides leaves closer to where the face points.",
    ("loft", "run_out"): "For the same carry, more loft comes down more steeply; what spin adds depends on the grip.",
    ("loft", "launch_angle"): "The ball leaves close to where the face points, and the more so the more it slides.",
}
_PICTURES = {
    "loft": "loft-and-spin-wedges", "water": "dry-and-wet-wet", "grooves": "groove-shape-dew",
    "wear": "groove-shape-worn", "tool": "clean-face-caked-dew", "soil": "clean-face-caked-dry-day",
    "grass": "clean-face-from-the-rough", "cover": "slow-motion-dry", "speed": "loft-and-spin-a-fuller-swing",
    "attack": "words-low-and-steep", ("water", "launch_angle"): "words-a-pitch", ("loft", "run_out"): "one-carry-64",
    ("loft", "launch_angle"): "words-a-pitch", ("water", "run_out"): "flights-dry-and-wet",
    ("water", "carry"): "flights-dry-and-wet", ("water", "apex"): "flights-dry-and-wet",
}


@dataclass(frozen=True, kw_only=True)
class Answer:
    """What may be said to a claim: `verdict` (shown, depends, not so, cannot say), the `reason` in sentences, the `trials`
    it rests on, how the claim was `understood`, the name of the `picture` to show, and the `source` with its marks."""

    claim: str
    verdict: str
    reason: str
    picture: str = ""
    source: str = ""
    trials: tuple[Trial, ...] = ()
    why: str = ""
    understood: str = ""

    def __str__(self):
        by = " by the model" if self.verdict == SHOWN else " (the model's answer)" if self.trials else ""
        read_as = f" Understood as: {self.understood}." if self.understood else ""
        return f"{self.verdict[:1].upper()}{self.verdict[1:]}{by}: {self.reason}{read_as}"


def check(claim: str, units="metric") -> Answer:
    """Check a typed claim.  One that is not understood is answered with what is in the way and what can be asked.

    Raises
    ------
    ValueError
        the claim is longer than a sentence, or asks for a loft that no wedge has
    """
    if len(claim) > _LONGEST:
        raise ValueError(f"a claim may have {_LONGEST} characters at most, got {len(claim)}; make it one sentence")
    try:
        asked = read(claim)
        found = trials(asked, units)
    except Unclear as trouble:
        return Answer(claim=claim, verdict=UNKNOWN, reason=f"{trouble}. What can be asked, in words like these: "
                      + "; ".join(EXAMPLES) + ".")
    why = _of(_WHY, asked)
    return Answer(claim=claim, verdict=verdict(asked, found), trials=found, why=why, picture=_of(_PICTURES, asked),
                  reason=" ".join([*(trial.sentence for trial in found), why]), source=_source(asked),
                  understood=understood(asked, found[0].band.noun, units))


def _of(table, asked):
    return table.get((asked.factor, asked.of)) or table[asked.factor]


def _source(asked):
    parts = ["lands" if asked.factor in ("soil", "tool", "grass") else "contact"]
    parts += {"carry": ["flight"], "apex": ["flight"], "run_out": ["flight", "green"]}.get(asked.of, [])
    return " ".join(SOURCES[part] for part in parts)


def verdict(asked: Reading, found) -> str:
    """Put together what the trials say: each is true, false or neither."""
    truths = [_true(asked, trial) for trial in found]
    held, broken = all(truth > 0 for truth in truths), all(truth < 0 for truth in truths)
    if asked.scope == "always":
        broken = any(truth < 0 for truth in truths)
    elif asked.scope == "some":
        held = any(truth > 0 for truth in truths)
    elif asked.scope == "never":  # always the contrary
        held, broken = broken, any(truth > 0 for truth in truths)
    if asked.denied:
        held, broken = broken, held
    return SHOWN if held else NOT_SO if broken else DEPENDS


def _true(asked, trial) -> int:
    """Is the bare claim, without its denial, true (+1), false (−1) or neither in one trial?"""
    side, band = trial.side(), trial.band
    if asked.sense in ("more", "less"):
        side *= 1 if asked.sense == "more" else -1
        return -1 if trial.alike else side
    if asked.sense == "effect":
        return -1 if trial.alike else abs(side)
    if asked.sense == "same":
        return 1 if trial.alike else -abs(side)
    if not band.low <= asked.size <= band.high:
        return -1
    return 1 if abs(band.mid - asked.size) <= _NEAR * abs(asked.size) else 0


def understood(asked: Reading, noun, units="metric") -> str:
    """A claim in our own words, so that a misunderstanding shows."""
    this, that = (name_of(asked.factor, value, units) for value in (asked.this, asked.that))
    given = f", {' and '.join(map(str, asked.given.values()))}" if asked.given else ""
    denial = "not " if asked.denied else ""
    scope = {"always": "always ", "never": "never ", "some": "sometimes "}.get(asked.scope, "")
    measure = {"more": f"more {noun}", "less": f"less {noun}", "same": f"the same {noun}", "effect": f"a change of {noun}",
               "times": f"{asked.size:g} times the {noun}", "by": f"{noun} changed by so much"}[asked.sense]
    slips = f" (read {', '.join(asked.slips)})" if asked.slips else ""
    kept = "" if asked.factor == "speed" else ", for the same carry" if asked.of in SAME_CARRY else ", with the same swing"
    return f"{this} against {that}{given}{kept}: {denial}{scope}{measure}{slips}"
