"""What the contact model expects of the conditions a table names, at the delivery that was measured."""

from __future__ import annotations

import re
from dataclasses import dataclass

import numpy as np

from ..physics.setting import Setting, results
from ..records import Air, Ball, Between, Delivery, Face
from ..units import deg
from .wording import check_units, not_measured, saying

MEASURES = ("spin_rate", "launch_angle", "carry")

WATER = {
    "dry": 0.0, "clean": 0.0, "wiped": 0.3e-6, "towelled": 0.0, "dried": 0.0, "damp": 3e-6, "moist": 3e-6,
    "dew": 20e-6, "dewy": 20e-6, "wet": 40e-6, "water": 40e-6, "poured": 40e-6, "sprayed": 40e-6,
    "rain": 150e-6, "soaked": 150e-6, "flooded": 150e-6,
}
"""Water film [m] for the words people write down (our judgement, after the drained film of Jeffreys 1930)."""

SOIL = {
    "soil": (0.4, 0.6), "soiled": (0.4, 0.6), "dirt": (0.4, 0.6), "dirty": (0.4, 0.6), "mud": (0.6, 0.9),
    "muddy": (0.6, 0.9), "sand": (0.3, 0.5), "sandy": (0.3, 0.5), "blocked": (0.0, 1.0), "filled": (0.0, 1.0),
    "clogged": (0.0, 1.0),
}
"""Shares of the lands under soil and of the grooves closed by it (our judgement)."""

GRASS = {"grass": 0.4, "grassy": 0.4, "rough": 0.5}
"""Share of the lands under grass (our judgement)."""


def between_from_words(text) -> Between | None:
    """What lies between face and ball, from a condition's written name; None where no word of it is known.

    The wettest and dirtiest word counts: ``"wet, blocked grooves"`` is 40 µm of water over closed grooves.
    """
    words = re.findall(r"[a-z]+", str(text).casefold())
    known = [w for w in words if w in WATER or w in SOIL or w in GRASS]
    if not known:
        return None
    lands, grooves = zip(*(SOIL.get(w, (0.0, 0.0)) for w in known))
    return Between(water=max(WATER.get(w, 0.0) for w in known), soil_on_lands=max(lands), soil_in_grooves=max(grooves),
                   grass=max(GRASS.get(w, 0.0) for w in known))


def ball_from_words(*texts) -> Ball:
    """A ball from its written name: a hard or ionomer cover where the words say so, else a soft one.

    For the hard cover the ionomer of 2020 is used, which agrees with what clean, dry balls do; the hard cover of Gobush
    1996 does not (both quoted, see `Ball.published_hard_cover`).
    """
    words = " ".join(map(str, texts)).casefold()
    hard = re.search(r"\b(hard|ionomer|range|distance)\b", words)
    return Ball.published_ionomer_cover() if hard else Ball.published_soft_cover()


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
    loft = mean("dynamic_loft", 45 * deg, "dynamic loft")
    attack = mean("attack_angle", -6 * deg, "attack angle")
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
                             f"the table (in Python: states={{{name!r}: Between(water=40*um)}})")
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
