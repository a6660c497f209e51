"""What the contact model expects of the conditions a table names, at the delivery that was measured."""

from __future__ import annotations

import re
from dataclasses import dataclass

import numpy as np

from ..catalogue import BALLS, LIES, PITCH, SOIL, WETNESS
from ..physics.setting import Setting, results
from ..records import Air, Ball, Between, Delivery, Face
from ..units import deg
from .wording import check_units, not_measured, saying

MEASURES = ("spin_rate", "launch_angle", "carry")

_KINDS = {
    "dry": "dry clean wiped towelled dried",
    "damp": "damp moist",
    "dew": "dew dewy",
    "poured": "wet water poured sprayed",
    "flooded": "rain soaked flooded",
}
WATER = {word: WETNESS[kind] for kind, words in _KINDS.items() for word in words.split()}
"""Kinds of wet for the words people write down."""

_SOILS = {
    "soiled": "soil soiled dirt dirty sand sandy",
    "caked": "caked mud muddy",
    "dusty": "dusty",
    "grooves full": "blocked filled clogged",
}
SOILED = {word: SOIL[kind] for kind, words in _SOILS.items() for word in words.split()}
"""Kinds of soil for the words people write down."""

GRASSY = {"grass": LIES["first cut"], "grassy": LIES["first cut"], "rough": LIES["rough"]}
"""Lies for the words people write down."""


def between_from_words(text) -> Between | None:
    """What lies between face and ball, from a condition's written name; None where no word of it is known.

    The wettest and dirtiest word counts: ``"wet, blocked grooves"`` is a poured film over closed
    grooves.
    """
    words = re.findall(r"[a-z]+", str(text).casefold())
    films = [WATER[word].water for word in words if word in WATER]
    soils = [SOILED[word] for word in words if word in SOILED]
    lies = [GRASSY[word].grass for word in words if word in GRASSY]
    if not (films or soils or lies):
        return None
    return Between(
        water=max(films, default=0.0),
        soil_on_lands=max((soil["soil_on_lands"] for soil in soils), default=0.0),
        soil_in_grooves=max((soil["soil_in_grooves"] for soil in soils), default=0.0),
        grass=max(lies, default=0.0),
    )


def ball_from_words(*texts) -> Ball:
    """A ball of the catalogue from its written name: a hard or ionomer cover where the words say so, else a soft one."""
    words = " ".join(map(str, texts)).casefold()
    hard = re.search(r"\b(hard|ionomer|range|distance)\b", words)
    return BALLS["hard cover" if hard else "soft cover"]


@dataclass(frozen=True, kw_only=True)
class Modelled:
    """The model's pair beside the measured one, in SI: for each of baseline and other the averages it expects, the change
    between them and, where asked for, the band that the uncertain parameters give."""

    baseline: str
    other: str
    delivery: Delivery
    between: tuple[Between, Between]
    values: dict
    """measure → (baseline, other)"""
    bands: dict
    """measure → (low, high) of the change: a ratio for spin, else a difference"""

    def change(self, measure) -> float:
        """Spin: other over baseline.  Anything else: other less baseline."""
        base, other = self.values[measure]
        return other / base if measure == "spin_rate" else other - base

    def sentence(self, units="metric") -> str:
        """What the model expects, to set beside the measured verdict."""
        check_units(units)
        told = []
        for measure in self.values:
            change, band = self.change(measure), self.bands.get(measure)
            say = saying(measure)
            if measure == "spin_rate":
                within = f" ({band[0]:.2f} to {band[1]:.2f})" if band else ""
                told.append(f"{change:.2f} times the spin{within}")
            else:
                ends = [say.number(end, units, signed=True) for end in band or ()]
                within = f" ({' to '.join(ends)})" if ends else ""
                told.append(f"{say.noun} {say.number(change, units, signed=True)}{within}")
        speed, loft = saying("head_speed"), saying("dynamic_loft")
        swing = (f"{speed.number(self.delivery.head_speed, units)} of head speed and "
                 f"{loft.number(self.delivery.dynamic_loft, units)} of dynamic loft")
        told = ", ".join(told) + ("; in brackets the band of its uncertain numbers" if self.bands else "")
        return f"The model, for one swing with {swing}, expects of {self.other} against {self.baseline}: {told}."


def average_delivery(frame, absent=not_measured) -> tuple[Delivery, tuple[str, ...]]:
    """The average delivery of the shots, and what had to be assumed because it is not there; `absent` says why it is not.

    Raises
    ------
    ValueError
        there is no head speed; without it nothing can be modelled.
    """
    assumed = []

    def mean(column, otherwise, words):
        values = frame[column].dropna() if column in frame.columns else []
        if len(values):
            return float(np.mean(values))
        if otherwise is None:
            raise ValueError(f"{words} {absent(column)}, so the model has nothing to start from; add a column for it")
        assumed.append(f"{words} {absent(column)}; {otherwise / deg:.0f}° is assumed".replace("-", "−"))
        return otherwise

    speed = mean("head_speed", None, "head speed")
    loft = mean("dynamic_loft", PITCH.dynamic_loft, "dynamic loft")
    attack = mean("attack_angle", PITCH.attack_angle, "attack angle")
    return Delivery(head_speed=speed, dynamic_loft=loft, attack_angle=attack), tuple(assumed)


def expect(frame, *, by, baseline, other, face=None, air=None, states=None, bands=True,
           absent=not_measured) -> Modelled:
    """The model's pair for two conditions at the average delivery of their shots.

    Parameters
    ----------
    frame : pandas.DataFrame
        kept shots, SI
    by, baseline, other : str
        the column of conditions and the two to set against each other
    states : dict, optional
        condition → `Between`, where its name does not say it
    absent : callable
        says of a column that is not there why it is not: ``absent("head_speed")`` → ``"was not measured"``
    bands : bool
        add the band that the uncertain parameters give to each change (`spinlab.physics.bands`)

    Raises
    ------
    ValueError
        a condition's name says nothing about water or soil and `states` does not either, or no head speed was measured.
    """
    face, air, states = face or Face(), air or Air(), states or {}
    pair, balls = [], []
    for name in (baseline, other):
        found = states.get(name) or between_from_words(name)
        if found is None and by != "ball":
            raise ValueError(f"condition {name!r} has no word for water or soil in it; call it dry, damp, wet or soiled in "
                             f"the table (in Python: states={{{name!r}: WETNESS['poured'].between()}})")
        pair.append(found or Between())
        mine = frame[frame[by] == name]
        balls.append(ball_from_words(name, *(mine["ball"].dropna().unique()[:1] if "ball" in mine else ())))
    delivery, _ = average_delivery(frame[frame[by].isin([baseline, other])], absent)
    settings = [Setting(arriving=delivery, face=face, ball=ball, between=between, air=air)
                for ball, between in zip(balls, pair)]
    found = [results(setting, MEASURES) for setting in settings]
    values = {measure: tuple(float(one[measure]) for one in found) for measure in MEASURES}
    return Modelled(baseline=baseline, other=other, delivery=delivery, between=tuple(pair), values=values,
                    bands=_bands(*settings) if bands else {})


def _bands(base, other):
    """Bands of the changes, with the same draws of the uncertain numbers for both."""
    from ..physics.bands import contrast

    spin = contrast(other, base, of="spin_rate", kind="ratio")
    rest = contrast(other, base, of=MEASURES[1:], kind="difference")
    return {name: (band.low, band.high) for name, band in {"spin_rate": spin, **rest}.items()}
