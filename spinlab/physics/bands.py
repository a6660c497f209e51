"""Bands: how far a result could lie off, from the stated ranges of what nobody has measured well enough.

A band is what the whole engine gives when all the numbers of `spinlab.physics.uncertain.PARAMETERS` are drawn at once,
evenly over their ranges and independently of each other.  That is a statement about the model, not about a measured
population; and it cannot show what the model leaves out.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np

from ..records import Air, Ball, Between, Delivery, Face, Green
from .setting import Setting, answered, in_words, quantity_named, round_step, with_unit
from .uncertain import PARAMETERS, Parameter, parameters_for, varied_rows

NO_RATIO = ("launch_angle", "descent_angle", "run_out", "first_bounce")
"""Angles, and distances that may be nought or negative."""


@lru_cache(maxsize=32)
def latin_hypercube(dimensions, n, seed):
    """Latin hypercube [n, dimensions], kept so that a slider does not draw it again."""
    from scipy.stats import qmc

    cube = qmc.LatinHypercube(dimensions, rng=seed).random(n)
    cube.flags.writeable = False
    return cube


def draws(setting: Setting, of, *, n=256, seed=1, parameters=PARAMETERS) -> dict:
    """The named quantities for the values used (first row) and for n draws of all parameters [1 + n, *shape], in SI.

    Two settings drawn with the same `n`, `seed` and `parameters` see the same draws, row by row, whatever is asked of them;
    so their difference is honest: what both share cancels.
    """
    if n < 20:
        raise ValueError(f"n (number of draws) must be 20 or more for a band, got {n}")
    used = parameters_for(of, parameters)
    cube = latin_hypercube(len(parameters), n, seed)
    shares = np.vstack([np.full(len(parameters), -1.0), cube]).T[[parameters.index(p) for p in used]]
    rows, shape = varied_rows(setting, used, shares.reshape(*shares.shape, *(1,) * len(setting.shape)))
    return answered(rows, of, shape)


@dataclass(frozen=True, kw_only=True)
class Band:
    """A result with its band [SI]: `mid` is the engine's answer for the values used, `low` and `high` hold a share `level`
    of the draws.  `kind` is value, difference or ratio; `draws` keeps every draw."""

    of: str
    kind: str
    low: float | np.ndarray
    mid: float | np.ndarray
    high: float | np.ndarray
    level: float
    unit: str
    noun: str
    names: tuple[str, str] = ("this", "that")
    draws: np.ndarray = field(repr=False, compare=False)

    def say(self, unit=None) -> str:
        """One sentence that can be spoken, with the band.  Another `unit` of the same kind may be asked for."""
        if np.ndim(self.mid):
            raise ValueError(f"say() takes one result at a time, got shape {np.shape(self.mid)}; pick one: band.at(i)")
        unit = self.unit if unit is None else unit
        step = round_step(self.high - self.low, unit)
        low, mid, high = (in_words(value, step, unit) for value in (self.low, self.mid, self.high))
        noun, (this, that) = self.noun, self.names
        if step == 0:
            return f"{noun.capitalize()} is {with_unit(mid, unit)}; none of the uncertain numbers reaches it."
        between = f"between {with_unit(low, unit) if unit == '°' else low} and {with_unit(high, unit)}"
        if self.kind == "ratio":
            return f"{this.capitalize()}, the {noun} is about {mid} times that of {that}, likely {between}."
        if self.kind == "difference":
            change = with_unit(mid, unit)
            return f"{this.capitalize()} against {that}, the {noun} changes by about {change}, likely {between}."
        return f"{noun.capitalize()} is about {with_unit(mid, unit)}, likely {between}."

    def at(self, index) -> Band:
        """The band of one shot of many."""
        picked = {name: np.asarray(getattr(self, name))[index] for name in ("low", "mid", "high")}
        return Band(**{**vars(self), **picked, "draws": self.draws[:, index]})

    def __str__(self):
        return self.say() if np.ndim(self.mid) == 0 else f"{self.kind} of {self.of}, {np.shape(self.mid)} shots"


def band_of(rows, *, of, kind="value", level=0.9, names=("this", "that"), noun=None, unit=None) -> Band:
    """The band of drawn rows [1 + n, *shape], the first of which is the answer for the values used.  `noun` and `unit` are
    those of the quantity `of`, unless given."""
    if not 0.5 <= level < 1:
        raise ValueError(f"level (share of the draws inside the band) must lie in 0.5 … 1, got {level}")
    mid, rest = rows[0], rows[1:]
    low, high = np.quantile(rest, [(1 - level) / 2, (1 + level) / 2], axis=0)
    low, high = np.minimum(low, mid), np.maximum(high, mid)  # the value itself is never told to be outside
    low, mid, high = (float(v) if np.ndim(v) == 0 else v for v in (low, mid, high))
    noun = quantity_named(of).noun if noun is None else noun
    unit = quantity_named(of).unit if unit is None else unit
    return Band(of=of, kind=kind, low=low, mid=mid, high=high, level=level, unit="" if kind == "ratio" else unit, noun=noun,
                names=names, draws=rest)


def band(arriving: Delivery, face: Face, ball: Ball, between: Between | None = None, air: Air | None = None,
         green: Green | None = None, *, of="spin_rate", level=0.9, n=256, seed=1, parameters=PARAMETERS):
    """The band of one or several results of a shot, from one call of the engine with all parameters drawn.

    Parameters
    ----------
    arriving, face, ball, between, air, green
        The records of the chain.  Arrays give a band for every shot (a curve with its band).
    of
        A name out of `spinlab.physics.setting.QUANTITIES`, or several.
    level
        Share of the draws inside.
    n, seed
        Draws of a Latin hypercube and its seed (McKay, Beckman & Conover, Technometrics 21:239, 1979, from
        memory).
    parameters
        The uncertain numbers; add your own `Parameter` (the water on a dewy morning, say) to the tuple `PARAMETERS`.

    Returns
    -------
    Band, or a dict of them by name
    """
    setting = Setting(arriving=arriving, face=face, ball=ball, between=between or Between(), air=air or Air(),
                      green=green or Green())
    asked = (of,) if isinstance(of, str) else tuple(of)
    rows = draws(setting, asked, n=n, seed=seed, parameters=parameters)
    told = {name: band_of(rows[name], of=name, level=level) for name in asked}
    return told[of] if isinstance(of, str) else told


def contrast(this: Setting, that: Setting, *, of="spin_rate", kind="ratio", names=("this", "that"), level=0.9, n=256, seed=1,
             parameters=PARAMETERS):
    """The band of `this` against `that` – their ratio or difference – with the same draws for both.

    Comparing two separate bands would count what both share (the same ball, the same face) as doubt about the difference.
    """
    if kind not in ("ratio", "difference"):
        raise ValueError(f"kind must be ratio or difference, got {kind!r}")
    asked = (of,) if isinstance(of, str) else tuple(of)
    ours, theirs = (draws(s, asked, n=n, seed=seed, parameters=parameters) for s in (this, that))
    told = {}
    for name in asked:
        if kind == "ratio" and name in NO_RATIO:
            raise ValueError(f"a ratio of {quantity_named(name).noun} says nothing; ask for kind='difference'")
        rows = ours[name] / theirs[name] if kind == "ratio" else ours[name] - theirs[name]
        told[name] = band_of(rows, of=name, kind=kind, level=level, names=names)
    return told[of] if isinstance(of, str) else told


@dataclass(frozen=True, kw_only=True)
class Ranking:
    """Which uncertain number the band of a result comes from, largest first.

    `alone` is the share of the variance that each number makes by itself (first-order Sobol' index), `total` its share
    with all that it does together with others.
    """

    of: str
    parameters: tuple[Parameter, ...]
    alone: np.ndarray
    total: np.ndarray
    calls: int

    def say(self, most=3) -> str:
        """One sentence on the largest contributions."""
        noun = quantity_named(self.of).noun
        named = [f"{p.what} ({share:.0%})" for p, share in zip(self.parameters, self.total) if share >= 0.03][:most]
        if not named:
            return f"None of the uncertain numbers moves the {noun}."
        told = named[0] if len(named) == 1 else ", ".join(named[:-1]) + " and " + named[-1]
        return f"The band of the {noun} comes mostly from {told}."

    def __str__(self):
        return self.say()


def ranking(setting: Setting, *, of="spin_rate", n=256, seed=1, parameters=PARAMETERS) -> Ranking:
    """Rank the uncertain numbers by how much of the band they make (Sobol' indices, Saltelli et al. 2010, quoted by SciPy).

    Parameters
    ----------
    setting
        One shot; for arrays pick one first.
    of
        One name out of `spinlab.physics.setting.QUANTITIES`.
    n
        A power of two; the engine is asked n × (number of parameters + 2) times, in one call.
    """
    from scipy.stats import sobol_indices, uniform

    if setting.shape:
        raise ValueError(f"ranking takes one shot, got shots of shape {setting.shape}; pick one: setting[i]")
    used = parameters_for([of], parameters)

    def engine(shares):
        rows, shape = varied_rows(setting, used, shares)
        return answered(rows, [of], shape)[of]

    with np.errstate(invalid="ignore", divide="ignore"):  # a result that nothing moves has no variance to share out
        index = sobol_indices(func=engine, n=n, dists=[uniform()] * len(used), rng=seed)
    alone, total = (np.clip(np.nan_to_num(x), 0.0, 1.0) for x in (index.first_order, index.total_order))
    order = np.argsort(-total, kind="stable")
    return Ranking(of=of, parameters=tuple(used[i] for i in order), alone=alone[order], total=total[order],
                   calls=n * (len(used) + 2))
