"""Twenty questions that people ask most, each answered once; every place where the answer is read must agree with it.

An answer is a number with its band, its unit and a phrase.  Phrases and the rules of numbers are data: `as_json` gives them,
with all answers, to whoever writes the same sentences elsewhere.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

import numpy as np

from ..catalogue import BALLS, FACES, PITCH, SOIL, STATES, WETNESS
from ..physics import players
from ..physics.bands import band, contrast
from ..physics.cleaning import clean, left_over_parameters
from ..physics.lofts import compare_lofts, peak
from ..physics.players import PLAYERS
from ..physics.setting import Setting
from ..physics.shares import Shares
from ..physics.ways import WAYS, chance_range
from ..units import deg, number_rules, said

PHRASES = {
    "value": "{what}: {value}",
    "band": "{what}: {value} (band {low} to {high})",
}
"""Templates; the fields are filled by `Answer.text`."""


@dataclass(frozen=True, kw_only=True)
class Answer:
    """A question's answer [SI]: the number, its band (the number itself where none is drawn), its unit and digits."""

    question: str
    what: str
    phrase: str
    value: float
    low: float
    high: float
    unit: str
    digits: int = 0

    def number(self, value) -> str:
        """A number of this answer as people read it."""
        return said(value, self.unit, self.digits)

    def text(self) -> str:
        """The phrase, filled."""
        numbers = {name: self.number(getattr(self, name)) for name in ("value", "low", "high")}
        return PHRASES[self.phrase].format(what=self.what, **numbers)


@dataclass(frozen=True, kw_only=True)
class Question:
    """A question: its name, what is asked, the unit of the answer, and how it is worked out: (value, low, high)."""

    name: str
    what: str
    unit: str
    digits: int
    phrase: str
    ask: Callable[[], tuple[float, float, float]]


def _setting(state):
    return Setting(
        arriving=PITCH, face=FACES["fresh"], ball=BALLS["soft cover"], between=STATES[state]
    )


def _three(found):
    return float(found.mid), float(found.low), float(found.high)


@cache
def _pitch(state):
    s = _setting(state)
    return band(
        s.arriving, s.face, s.ball, s.between, of=("spin_rate", "launch_angle", "carry", "run_out")
    )


@cache
def _wet_against_dry(of):
    kind = "ratio" if of == "spin_rate" else "difference"
    return contrast(_setting("wet"), _setting("dry"), of=of, kind=kind)


@cache
def _peak(state):
    found = peak(_setting(state), bands=True)
    lean = found.loft - found.dynamic_loft
    return found.dynamic_loft, found.band.low - lean, found.band.high - lean


def _sixty_against_fifty_four():
    lofts = np.array([54, 60]) * deg
    spin = compare_lofts(FACES["fresh"], BALLS["soft cover"], lofts=lofts, carry=45.0).state("dry")[
        "spin_rate"
    ]
    return (float(spin[1] / spin[0]),) * 3


def _after(how):
    dewy = WETNESS["dew"].between(**SOIL["caked"])
    cleaned = _setting("dry").but(between=clean(dewy, how))
    return _three(contrast(cleaned, _setting("dry"), parameters=left_over_parameters(how)))


def _open_against_blocked():
    open_ = _setting("dry").but(between=WETNESS["dew"].between())
    return _three(
        contrast(open_, open_.but(between=WETNESS["dew"].between(**SOIL["grooves full"])))
    )


def split(player: str, of="spin_rate") -> Shares:
    """The shares of an example player's difference to the reference."""
    return players.split(PLAYERS[player].setting, of)


def _part(player, cause):
    return _three(split(player).part(cause))


def _spin_of(player):
    return (split(player).player,) * 3


def _first_step(player):
    """Metres of run-out that the first step saves."""
    gain = split(player, "run_out").plan()[0].gain
    return -gain.mid, -gain.high, -gain.low


@cache
def _near():
    """The lesson's chance: within 3 m of a hole 30 m away."""
    return chance_range(3.0, distance=30.0)


def _of_pitch(state, of):
    return lambda: _three(_pitch(state)[of])


def _question(name, what, unit, digits, ask, phrase="band"):
    return Question(name=name, what=what, unit=unit, digits=digits, phrase=phrase, ask=ask)


QUESTIONS = {
    question.name: question
    for question in (
        *(_question(f"{state} spin", f"spin of the pitch, {state}", "rpm", 0, _of_pitch(state, "spin_rate"))
          for state in ("dry", "damp", "wet")),
        *(_question(f"{state} launch", f"launch of the pitch, {state}", "°", 1, _of_pitch(state, "launch_angle"))
          for state in ("dry", "wet")),
        *(_question(f"{state} carry", f"carry of the pitch, {state}", "m", 1, _of_pitch(state, "carry"))
          for state in ("dry", "wet")),
        *(_question(f"{state} run", f"run of the pitch, {state}", "m", 1, _of_pitch(state, "run_out"))
          for state in ("dry", "wet")),
        _question("wet over dry spin", "spin wet over spin dry, the same swing", "", 2,
                  lambda: _three(_wet_against_dry("spin_rate"))),
        _question("wet less dry launch", "launch wet less launch dry, the same swing", "°", 1,
                  lambda: _three(_wet_against_dry("launch_angle"))),
        *(_question(f"peak {state}", f"dynamic loft with most spin, {state}", "°", 1, lambda state=state: _peak(state))
          for state in ("dry", "damp", "wet", "dirty")),
        _question("60 over 54", "spin of a 60° over that of a 54°, dry, at one carry", "", 2, _sixty_against_fifty_four,
                  "value"),
        _question("tee", "spin kept on a caked, dewy face after a tee", "%", 0, lambda: _after("tee")),
        _question("towel", "spin kept on a caked, dewy face after a damp towel and a dry one", "%", 0,
                  lambda: _after("damp towel, then dry")),
        _question("open over blocked", "spin of open grooves over that of blocked ones, in dew", "", 1,
                  _open_against_blocked),
        _question("ordinary spin", "spin of the ordinary player's pitch", "rpm", 0, lambda: _spin_of("ordinary player"),
                  "value"),
        _question("ordinary clean face", "fair share of a clean face in what the ordinary player lacks", "%", 0,
                  lambda: _part("ordinary player", "clean face")),
        _question("keen drying", "fair share of drying in what the keen club player lacks", "%", 0,
                  lambda: _part("keen club player", "dry face and ball")),
        _question("beginner spin", "spin of the beginner's pitch", "rpm", 0, lambda: _spin_of("beginner"), "value"),
        _question("ordinary first step", "run-out that the ordinary player's first step saves", "m", 1,
                  lambda: _first_step("ordinary player")),
        *(_question(f"{way.name} near", f"share of a steady club player's shots within 3 m of 30 m, {way.name}", "%", 0,
                    lambda way=way: _near()[way.name]) for way in (WAYS[0], WAYS[2])),
    )
}  # fmt: skip
"""Every question by its name."""


@cache
def answer(name: str) -> Answer:
    """The answer to a question: ``answer("dry spin").text()``.

    Raises
    ------
    ValueError
        the question is not in `QUESTIONS`.
    """
    if name not in QUESTIONS:
        raise ValueError(f"question {name!r} is not known; ask one of: {', '.join(QUESTIONS)}")
    question = QUESTIONS[name]
    value, low, high = question.ask()
    return Answer(
        question=name,
        what=question.what,
        phrase=question.phrase,
        value=value,
        low=low,
        high=high,
        unit=question.unit,
        digits=question.digits,
    )


def as_json() -> dict:
    """Phrases, rules of numbers and all answers as data (goes into JSON as it is)."""
    answers = {
        name: {"what": found.what, "value": found.value, "low": found.low, "high": found.high, "unit": found.unit,
               "digits": found.digits, "text": found.text()}
        for name, found in ((name, answer(name)) for name in QUESTIONS)
    }  # fmt: skip
    return {"numbers": number_rules(), "phrases": PHRASES, "answers": answers}
