"""How much of a difference each cause makes, and what to do first.

Causes work together: a better ball gains little on a dirty face.  So the order in which they are put right changes what each
seems worth.  The Shapley value is the average over every order, and the only split that adds up, treats like causes alike,
gives nothing to a cause that does nothing, and adds over games (Shapley, Contributions to the Theory of Games II, 307, 1953,
from memory).  Here it is exact: the engine is asked for every combination of causes, in one call.
"""

from __future__ import annotations

from dataclasses import dataclass, fields, replace

import numpy as np

from ..kernel.questions import shapley as kernel_shapley
from ..records import Record
from .bands import Band, band_of, draws
from .setting import Setting, in_words, quantity_named, round_step, with_unit
from .uncertain import PARAMETERS

MOST = 10
"""Causes at most: 2^10 combinations."""
DRAWS = 64
"""Draws behind the bands of shares and steps."""
LEAST_STEP = 1e-3
"""A step that would bring less than this share of the whole is left out of a plan."""
LESS_IS_BETTER = ("run_out",)
"""Quantities that a plan makes smaller, wherever the reference lies; the others go towards the reference."""


def shapley(values):
    """Exact Shapley values of a game.

    ``φ_i = Σ_S |S|!(n−|S|−1)!/n! (v(S ∪ i) − v(S))`` over all S without i.

    Parameters
    ----------
    values
        v of every coalition, [2^n, ...]; bit i of the index says whether player i takes part.

    Returns
    -------
    array [n, ...]
    """
    values = np.asarray(values, dtype=float)
    n = int(len(values)).bit_length() - 1
    if len(values) != 1 << n or n < 1:
        raise ValueError(f"values must hold 2^n coalitions, n at least 1; got {len(values)}")
    games = values.reshape(len(values), -1)
    found = np.empty((n, games.shape[1]))
    sizes = np.empty(len(values))
    share = np.empty(n)
    for game in range(games.shape[1]):
        kernel_shapley(np.ascontiguousarray(games[:, game]), n, sizes, share)
        found[:, game] = share
    return found.reshape(n, *values.shape[1:])


@dataclass(frozen=True, kw_only=True)
class Cause:
    """Something that differs between two settings: the `fields` that go over together (``between.water``, or a whole record
    ``ball``), the `effort` of putting it right on a scale of 1 (seconds, free) to 10 (months), and what to do.  Efforts are
    our judgement (J)."""

    name: str
    fields: tuple[str, ...]
    effort: float
    advice: str
    group: str


def _cause(name, paths, effort, group, advice):
    return Cause(name=name, fields=tuple(paths.split()), effort=effort, advice=advice, group=group)


CAUSES = (
    _cause("clean face", "between.soil_on_lands between.soil_in_grooves", 1, "face",
           "clean lands and grooves with a damp towel, then dry, before every shot"),
    _cause("dry face and ball", "between.water", 1, "conditions", "dry the face and, where the Rules allow, the ball"),
    _cause("ball", "ball", 2, "ball", "play a ball with a soft cover"),
    _cause("fresh face", "face.grooves face.roughness face.head_mass", 4, "face", "change the worn wedge for a fresh one"),
    _cause("lie", "between.grass", 5, "conditions", "leave the ball where grass stays out from in between"),
    _cause("loft delivered", "arriving.dynamic_loft", 8, "technique", "deliver the loft that spins most"),
    _cause("head speed", "arriving.head_speed", 8, "technique", "swing a little faster"),
    _cause("attack angle", "arriving.attack_angle", 8, "technique", "let the club come down more"),
    _cause("strike", "arriving.normal_offset", 9, "technique", "meet the ball in the middle of the face"),
)
"""What usually differs between two players.  Leave some out or add your own."""


def combinations(player: Setting, reference: Setting, causes) -> Setting:
    """All 2^n settings between two: bit i of the index says that cause i is as in the reference."""
    states = np.arange(1 << len(causes))
    changed: dict[str, dict] = {}
    for i, cause in enumerate(causes):
        theirs = ((states >> i) & 1).astype(bool)
        for path in cause.fields:
            record, _, name = path.partition(".")
            own, other = getattr(player, record), getattr(reference, record)
            picked = changed.setdefault(record, {})
            for f in [name] if name else [f.name for f in fields(own)]:
                if f in picked:
                    raise ValueError(f"{record}.{f} belongs to two causes; it can go over with one only")
                picked[f] = _mix(getattr(own, f), getattr(other, f), theirs, f"{record}.{f}")
    return player.but(**{record: getattr(player, record).but(**picked) for record, picked in changed.items()})


def _mix(own, other, theirs, path):
    """One field: own where the reference has not come in, the other where it has."""
    if isinstance(own, Record) and isinstance(other, Record):
        return own.but(**{f.name: _mix(getattr(own, f.name), getattr(other, f.name), theirs, path) for f in fields(own)})
    if own is None or other is None:
        if own is other:
            return own
        raise ValueError(f"{path}: a plain face cannot be mixed with a grooved one; give the plain one very small grooves")
    if isinstance(own, str):
        return own
    if own == other:  # stays one number, and the engine stays quick
        return own
    return np.where(theirs, other, own)


def _same(a, b):
    """Do two settings, records or numbers agree (their names aside)?"""
    if isinstance(a, Record) and isinstance(b, Record):
        return all(_same(getattr(a, f.name), getattr(b, f.name)) for f in fields(a) if f.name != "name")
    return a == b


def _differs(player, reference, cause):
    def at(setting, path):
        record, _, name = path.partition(".")
        owner = getattr(setting, record)
        return getattr(owner, name) if name else owner

    return any(not _same(at(player, path), at(reference, path)) for path in cause.fields)


@dataclass(frozen=True, kw_only=True)
class Step:
    """One thing to do next: its `gain` on top of what was done before, and the value `after` it, each with its band."""

    cause: Cause
    gain: Band
    after: Band


@dataclass(frozen=True, kw_only=True)
class Shares:
    """The split of a difference.  `share` adds up to `whole` = reference − player; `alone` is what each cause brings when it
    is the only one put right.  Arrays [causes] in SI, with a `Band` for each share.  `values` [1 + draws, combinations] and
    `rows` [1 + draws, causes] keep what they were made of."""

    of: str
    causes: tuple[Cause, ...]
    share: np.ndarray
    alone: np.ndarray
    bands: tuple[Band, ...]
    whole: Band
    player: float
    reference: float
    values: np.ndarray
    rows: np.ndarray

    def _index(self, name):
        names = [cause.name for cause in self.causes]
        if name not in names:
            raise ValueError(f"cause {name!r} is not among these: {', '.join(names)}")
        return names.index(name)

    def part(self, *names) -> Band:
        """What share of the whole some causes make together, with its band: ``part("clean face", "ball")``."""
        some = [self._index(name) for name in names]
        rows = self.rows[:, some].sum(axis=1) / self.rows.sum(axis=1)
        return band_of(rows, of=self.of, level=self.whole.level, noun=f"the share of {_listed(names)}", unit="%")

    def group(self, *groups) -> Band:
        """The same for groups of causes: face, ball, conditions, technique."""
        found = self.part(*(cause.name for cause in self.causes if cause.group in groups))
        return replace(found, noun=f"the share of {_listed(groups)}")

    @property
    def _toward(self):
        """1 where more of the quantity is wanted, −1 where less is."""
        return -1.0 if self.of in LESS_IS_BETTER else np.sign(self.whole.mid) or 1.0

    def ranked(self) -> tuple[Cause, ...]:
        """Causes by their share, largest first."""
        toward = self._toward
        return tuple(self.causes[i] for i in np.argsort(-toward * self.share, kind="stable"))

    def plan(self, by="both") -> tuple[Step, ...]:
        """What to do first, second, …, each on top of what was done before.

        By ``gain`` (the largest next step), by ``effort`` (the least effort first), or by ``both`` (the most gain for the
        effort).  Steps that would bring less than a thousandth of the whole are left out.
        """
        if by not in ("gain", "effort", "both"):
            raise ValueError(f"by must be gain, effort or both, got {by!r}")
        toward = self._toward
        values, done, steps, left = self.values[0], 0, [], list(range(len(self.causes)))
        while left:
            gains = {i: toward * (values[done | 1 << i] - values[done]) for i in left}
            helping = [i for i in left if gains[i] > LEAST_STEP * abs(self.whole.mid)]
            if not helping:
                break
            best = -max((self._merit(i, gains[i], by), -i) for i in helping)[1]
            then = done | 1 << best
            told = {"of": self.of, "level": self.whole.level}
            gain = band_of(self.values[:, then] - self.values[:, done], kind="difference", **told)
            steps.append(Step(cause=self.causes[best], gain=gain, after=band_of(self.values[:, then], **told)))
            done = then
            left.remove(best)
        return tuple(steps)

    def _merit(self, i, gain, by):
        """What the next step is chosen by; the larger the better."""
        effort = self.causes[i].effort
        return {"gain": (gain,), "effort": (-effort, gain), "both": (gain / effort,)}[by]

    def one_thing(self, by="both") -> str:
        """If you do only one thing."""
        steps = self.plan(by)
        if not steps:
            return "None of these causes would help."
        quantity, after = quantity_named(self.of), steps[0].after
        step = round_step(self.whole.mid / 2, quantity.unit)
        before, then, low, high = (in_words(v, step, quantity.unit) for v in (self.player, after.mid, after.low, after.high))
        return (f"If you do only one thing: {steps[0].cause.advice}. The {quantity.noun} then goes from about {before} to "
                f"{with_unit(then, quantity.unit)}, likely between {low} and {with_unit(high, quantity.unit)}.")

    def say(self) -> str:
        """The split in sentences."""
        noun, unit = quantity_named(self.of).noun, quantity_named(self.of).unit
        step = round_step(self.whole.mid, unit)
        whole = with_unit(in_words(self.whole.mid, step, unit), unit)
        parts = [(cause.name, self.part(cause.name)) for cause in self.ranked()]
        parts = [f"{name} {part.mid:.0%} ({max(part.low, 0):.0%} to {part.high:.0%})" for name, part in parts[:5]
                 if part.mid >= 0.02]
        return f"The {noun} differs by about {whole}. Of this, {_listed(parts)}."


def _listed(words):
    """``face, ball and conditions``."""
    *first, last = words
    return ", ".join(first) + " and " + last if first else last


def shares(player: Setting, reference: Setting, *, causes=CAUSES, of="spin_rate", level=0.9, n=DRAWS, seed=1,
           parameters=PARAMETERS) -> Shares:
    """Split the difference between a player's setting and a reference fairly among its causes.

    Parameters
    ----------
    player, reference
        Two settings, one shot each.
    causes
        At most ten that differ.  A field that differs and belongs to no cause is refused, or the parts would not add up.
    of
        A name out of `spinlab.physics.setting.QUANTITIES`.
    level, n, seed, parameters
        For the bands; every combination sees the same draws.
    """
    if player.shape or reference.shape:
        raise ValueError("shares compare one shot with one shot; pick one of each: player[i], reference[i]")
    different = tuple(cause for cause in causes if _differs(player, reference, cause))
    if len(different) > MOST:
        raise ValueError(f"causes that differ: at most {MOST}, got {len(different)}; put some together")
    everything = combinations(player, reference, different)
    _check_complete(everything, reference, len(different))
    rows = draws(everything, [of], n=n, seed=seed, parameters=parameters)[of].reshape(n + 1, -1)
    split = np.zeros((n + 1, len(causes)))
    if different:
        split[:, [causes.index(cause) for cause in different]] = shapley(rows.T).T
    values = _spread_out(rows, different, causes)
    bands = tuple(band_of(split[:, i], of=of, kind="difference", level=level, names=(cause.name, "as it was"))
                  for i, cause in enumerate(causes))
    whole = band_of(rows[:, -1] - rows[:, 0], of=of, kind="difference", level=level, names=("the reference", "the player"))
    alone = np.array([values[0, 1 << i] - values[0, 0] for i in range(len(causes))])
    return Shares(of=of, causes=tuple(causes), share=split[0], alone=alone, bands=bands, whole=whole,
                  player=float(rows[0, 0]), reference=float(rows[0, -1]), values=values, rows=split)


def _spread_out(values, different, causes):
    """Values of all combinations of all causes, from those of the causes that differ (the others change nothing)."""
    states = np.arange(1 << len(causes))
    index = np.zeros_like(states)
    for j, cause in enumerate(different):
        index |= ((states >> causes.index(cause)) & 1) << j
    return values[:, index]


def _check_complete(everything, reference, n):
    """With every cause gone over, nothing may differ from the reference."""
    last = everything[(1 << n) - 1] if everything.shape else everything
    for f in fields(reference):
        a, b = getattr(last, f.name), getattr(reference, f.name)
        if not _same(a, b):
            names = [g.name for g in fields(b) if g.name != "name" and not _same(getattr(a, g.name), getattr(b, g.name))]
            raise ValueError(f"{f.name}.{', '.join(names)} differs and belongs to no cause; add a Cause for it")
