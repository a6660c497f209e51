"""A player's own scatter from a table of shots, with how little a few shots tell about it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..physics.spread import NAMES, Spread
from .journal import latest_told
from .wording import few, listed

FEWEST = 5
"""Shots below which no scatter is told."""
_NOUNS = {"head_speed": "head speed", "dynamic_loft": "dynamic loft", "attack_angle": "attack angle",
          "normal_offset": "strike height", "direction": "direction", "water": "water", "grass": "lie"}


@dataclass(frozen=True, kw_only=True)
class OwnSpread:
    """Scatter estimated from shots: the `spread`, from `shots` complete shots with `df` degrees of freedom.  The true
    scatter lies `low` to `high` times the estimate at the `level`; `taken` are the causes that were measured, `assumed`
    those that keep the values of a preset.  Errors of the measurement count as scatter here.  `source` names the shots."""

    spread: Spread
    shots: int
    df: int
    low: float
    high: float
    level: float
    taken: tuple[str, ...]
    assumed: tuple[str, ...]
    source: str = ""

    def say(self) -> str:
        """What the shots tell, and how well."""
        told = (f"Scatter of {listed(_NOUNS[n] for n in self.taken)} from {few(self.shots)} shots: the true scatter lies "
                f"between {self.low:.2f} and {self.high:.2f} times what these shots show.")
        if self.source:
            told = f"From {self.source}. {told}"
        if self.high > 1.5:
            told += " That is a wide range: hit more shots before you draw conclusions."
        if self.assumed:
            told += f" Not measured and taken from a preset: {listed(_NOUNS[n] for n in self.assumed)}."
        return told


def sd_range(df, level=0.95) -> tuple[float, float]:
    """The true standard deviation against the estimated one: ``√(df/χ²)`` at both ends of the level.

    For shots that scatter like a bell and do not depend on each other (NIST/SEMATECH e-Handbook 1.3.5.8, from memory).
    """
    from scipy.special import chdtri

    if df < 1:
        raise ValueError(f"df (degrees of freedom) must be 1 or more, got {df}; hit more shots")
    # chdtri wants the probability above
    return tuple(float(np.sqrt(df / chdtri(df, p))) for p in ((1 - level) / 2, (1 + level) / 2))


def own_spread(frame, *, by="condition", level=0.95, otherwise: Spread | None = None) -> OwnSpread:
    """Scatter within conditions, pooled over them, from a tidy frame in SI.

    Parameters
    ----------
    frame
        columns named as in `spinlab.physics.spread.NAMES`, at least one (a launch direction serves as direction).  Where
        mis-hits were set aside beforehand, the scatter comes out too small.
    by
        The column that names the condition; the scatter is that within conditions.  Without it, all shots are one.
    otherwise
        Whose scatter stands in for what was not measured; left out, a steady club player (J).

    Raises
    ------
    ValueError
        no column can be used, or fewer than five complete shots are left.
    """
    otherwise = otherwise or Spread.tuned_club()
    if "direction" not in frame.columns and "launch_direction" in frame.columns:
        frame = frame.rename(columns={"launch_direction": "direction"})
    names = [n for n in NAMES if n in frame.columns and frame[n].notna().sum() >= FEWEST]
    if not names:
        raise ValueError(f"the table has no column with {few(FEWEST)} shots or more among {', '.join(NAMES)}; name one")
    table = frame.dropna(subset=names)
    groups = [part for _, part in table.groupby(by, sort=False)] if by in table.columns else [table]
    groups = [part[names].astype(float) for part in groups if len(part) > 1]
    shots, df = sum(map(len, groups)), sum(len(part) - 1 for part in groups)
    if shots < FEWEST:
        raise ValueError(f"shots: at least {FEWEST} complete shots are needed for a scatter, got {shots}; hit more")
    mean = table[names].astype(float).mean()
    within = np.concatenate([(part - part.mean()).to_numpy() for part in groups])
    # each condition has used up one shot for its own mean
    scaled = mean.to_numpy() + within * np.sqrt((shots - 1) / df)
    found = Spread.from_shots({name: scaled[:, i] for i, name in enumerate(names)})
    assumed = tuple(n for n in NAMES if n not in names)
    spread = found.but(**{name: getattr(otherwise, name) for name in assumed})
    low, high = sd_range(df, level)
    return OwnSpread(spread=spread, shots=shots, df=df, low=low, high=high, level=level, taken=tuple(names), assumed=assumed)


def latest(folder="sessions", **options) -> OwnSpread | None:
    """The scatter of the latest typed session of a folder that tells one; None where there is none.

    Sessions too short, or without a column that can be used, are passed over; options go to `own_spread`.
    """
    return latest_told(own_spread, folder, **options)
