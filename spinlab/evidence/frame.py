"""From a table of shots to the plain arrays that are compared, and what to be careful about in that table."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from . import adjust as adj
from . import smallsample as ss
from .wording import SAYINGS, Caution, few, listed, saying

DELIVERY = ("dynamic_loft", "head_speed", "attack_angle")
RESULTS = ("spin_rate", "launch_angle", "ball_speed", "carry", "apex", "descent_angle", "run_out")
MIN_SHOTS_FOR_TWO = 6
"""Shots a condition below which at most one measure is adjusted for (common practice, no source)."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Shots:
    """The shots of the conditions that are compared; the baseline's name comes first."""

    of: str
    by: str
    names: tuple[str, ...]
    y: np.ndarray
    labels: np.ndarray
    x: np.ndarray
    order: np.ndarray | None
    blocks: np.ndarray | None
    there: np.ndarray
    """The condition of every row of the table, compared or not."""
    notes: tuple[str, ...] = ()


def prepare(frame, *, by, of, baseline=None, other=None, adjust=(), order=None, block=None) -> Shots:
    """Pick the rows and columns; leave out rows with a value missing and count them; refuse what cannot be compared."""
    wanted = [by, of, *adjust, *([order] if order else []), *([block] if block else [])]
    missing = [name for name in wanted if name not in frame.columns]
    if missing:
        raise ValueError(f"the table has no column {listed(map(repr, missing))}; it has {listed(map(str, frame.columns))}")
    if {of, by} & set(adjust):
        raise ValueError(f"{of!r} and {by!r} are compared, so they cannot be adjusted for as well; name delivery only")
    there = _cells(frame, by)
    names = _conditions(there, by, baseline, other)
    compared = np.isin(there, names)
    frame, labels = frame[compared], there[compared]
    numbers = {name: _numbers(frame, name) for name in (of, *adjust, *([order] if order else []))}
    nameless = int((there == "").sum())
    notes = [f"left out without a {by}: {nameless} shot{'s' * (nameless > 1)}"] if nameless else []
    good = np.ones(len(frame), dtype=bool)
    for name, values in numbers.items():
        bad = good & ~np.isfinite(values)
        notes += _left_out(labels[bad], f"without a {saying(name).noun}")
        good &= ~bad
    if block:
        bad = good & frame[block].isna().to_numpy()
        notes += _left_out(labels[bad], f"without a {block}")
        good &= ~bad
    x = np.column_stack([numbers[name][good] for name in adjust]) if adjust else np.empty((int(good.sum()), 0))
    return Shots(of=of, by=by, names=names, y=numbers[of][good], labels=labels[good], x=x, there=there,
                 order=numbers[order][good] if order else None,
                 blocks=frame[block].astype(str).to_numpy(dtype=object)[good] if block else None, notes=tuple(notes))


def conditions(frame, *, by, baseline=None, other=None) -> tuple[tuple[str, ...], dict[str, int]]:
    """The conditions to compare, the baseline first, and how many shots each has; refuses what cannot be compared."""
    if by not in frame.columns:
        raise ValueError(f"the table has no column {by!r}; it has {listed(map(str, frame.columns))}")
    cells = _cells(frame, by)
    names = _conditions(cells, by, baseline, other)
    return names, {name: int((cells == name).sum()) for name in names}


def _cells(frame, by):
    """The condition of every shot as text, empty where there is none."""
    return np.array(["" if gone else str(cell).strip() for cell, gone in zip(frame[by], frame[by].isna())])


def _conditions(cells, by, baseline, other):
    """The names to compare, the baseline first, or a `ValueError` that lists what the table has."""
    there = [name for name in dict.fromkeys(cells.tolist()) if name]
    if len(there) < 2:
        raise ValueError(f"column {by!r} has {len(there)} condition(s) ({', '.join(there)}); comparing needs two at least")
    first = there[0] if baseline is None else str(baseline)
    if other is None:
        rest = [name for name in there if name != first]
    else:
        rest = [other] if isinstance(other, str) else [str(name) for name in other]
    for name in (first, *rest):
        if name not in there:
            raise ValueError(f"condition {name!r} is not in column {by!r}; the table has {listed(there)}")
    if first in rest or len(set(rest)) < len(rest):
        raise ValueError(f"{listed([first, *rest])}: name each condition once, the baseline and the others apart")
    return (first, *rest)


def _numbers(frame, name):
    """A column as floats; text that is no number is refused with its row."""
    from pandas import to_numeric

    if frame[name].dtype == float:
        return frame[name].to_numpy()
    values = to_numeric(frame[name], errors="coerce")
    wrong = values.isna() & frame[name].notna()
    if wrong.any():
        row = wrong[wrong].index[0]
        raise ValueError(f"column {name!r} holds {frame[name][row]!r} in row {row}, not a number; correct or empty it")
    return values.to_numpy(dtype=float)


def _left_out(labels, why):
    """One sentence on the rows that were left out, if there were any."""
    if len(labels) == 0:
        return []
    each = listed(f"{(labels == n).sum()} {n}" for n in dict.fromkeys(labels))
    return [f"left out {why}: {each} shot{'s' * (len(labels) > 1)}"]


def pairs(data: Shots):
    """Average each condition within each block; keep the blocks that hold all conditions, sorted alike."""
    if data.blocks is None:
        raise ValueError("pairs need a column that says which shots belong together; name it with block=")
    names = list(dict.fromkeys(data.blocks))
    whole = [b for b in names if all(((data.blocks == b) & (data.labels == n)).any() for n in data.names)]
    cells = [(n, b, (data.blocks == b) & (data.labels == n)) for n in data.names for b in whole]
    lost = len(names) - len(whole)
    notes = [f"left out {few(lost)} block{'s' * (lost > 1)} without every condition"] if lost else []
    if len(whole) < 2:
        raise ValueError(f"pairs need at least 2 whole blocks, got {len(whole)}; hit every condition in each block")
    return replace(data, y=np.array([data.y[c].mean() for *_, c in cells]), labels=np.array([n for n, *_ in cells]),
                   blocks=np.array([b for _, b, _ in cells]), x=np.empty((len(cells), 0)), order=None), notes


def allowed(adjust, groups):
    """Which measures may be adjusted for with so many shots, and what to say about it."""
    notes, least = [], min(g.n for g in groups)
    for name in adjust:
        if name in RESULTS:
            notes.append(f"{saying(name).noun} is made by the strike, not delivered: adjusting for it can hide the effect")
    if len(adjust) > 1 and least < MIN_SHOTS_FOR_TWO:
        notes.append(f"only {saying(adjust[0]).noun} was adjusted for: {few(least)} shots in a condition do not carry more")
        adjust = adjust[:1]
    return tuple(adjust), notes


def has_ratio(of, y) -> bool:
    """Does "so many times as much" make sense?  Not for angles, and not where values can be nought or negative."""
    return not (of in SAYINGS and SAYINGS[of].metric == "°") and bool((y > 0).all())


def cautions(frame, data, fit, used, paired):
    """Doubts that the table itself raises."""
    yield from _mixed(frame, data)
    if fit is not None:
        yield from _adjusting(data, fit, used)
    if not paired:
        yield from _delivery(frame, data, used)
    if data.order is not None and not paired:
        yield from _order(data)


def _mixed(frame, data):
    compared = np.isin(data.there, data.names)
    for name in ("club", "ball", "player"):
        if name in frame.columns and name != data.by:
            kinds = frame[name][compared].dropna().astype(str).unique()
            if len(kinds) > 1:
                yield f"the shots mix more than one {name} ({listed(kinds[:4])}): compare within one, or block by it"


def _adjusting(data, fit, used):
    nouns = listed(saying(n).noun for n in used) if used else ""
    if used and fit.same_slope_p is not None and fit.same_slope_p < 0.05:
        yield (f"{saying(data.of).noun} changes with {nouns} differently in each condition: the adjusted number holds at "
               f"the average {nouns} only, so look at the unadjusted one too")
    for column, name in zip(data.x.T, used):
        if adj.overlap(column, data.labels) < 0.25:
            yield (f"the conditions hardly overlap in {saying(name).noun}: adjusting guesses beyond the shots, so deliver "
                   "both alike and hit again")
    sds = [ss.Group.of(data.y[data.labels == n], n).sd for n in data.names]
    if max(sds) > 3 * min(sds):
        yield "one condition scatters much more, which adjusting does not allow for: look at the unadjusted number too"


def _delivery(frame, data, used):
    for name in DELIVERY:
        if name in used or name == data.of or name not in frame.columns:
            continue
        by_label = {n: _finite(frame, name, data.there == n) for n in data.names}
        base = by_label[data.names[0]]
        for n in data.names[1:]:
            if min(len(base), len(by_label[n])) < 2 or np.ptp(base) == np.ptp(by_label[n]) == 0:
                continue
            test = ss.unpaired(ss.Group.of(by_label[n], n), ss.Group.of(base, data.names[0]))
            say = saying(name)
            if test.p < 0.05 and say.tells(test.difference.value):
                yield Caution(f"{n} {say.past} ", name, test.difference.value, f" than {data.names[0]}: part of the "
                              f"difference may be the swing; adjust for {say.noun}")


def _finite(frame, name, some):
    values = _numbers(frame[some], name)
    return values[np.isfinite(values)]


def _order(data):
    if len(set(data.order.tolist())) < data.order.size:
        yield "the numbers of the shots repeat, so the order of hitting is not known and no drift was looked for"
        return
    first = np.argsort(data.order, kind="stable")
    runs = 1 + int((data.labels[first][1:] != data.labels[first][:-1]).sum())
    if runs == len(data.names):
        yield (f"{listed(dict.fromkeys(data.labels[first]))} were hit one lot after the other: anything else that changed "
               "meanwhile would look like a difference; mix the order, or finish with a few shots of the first lot")
        return
    if data.y.size < len(data.names) + 4 or np.ptp(data.order) == 0:
        return
    place = np.empty(data.y.size)
    place[first] = np.arange(data.y.size)
    try:
        fit = adj.adjusted(data.y, data.labels, place)
    except ValueError:
        return
    if fit.slope_p[0] < 0.05:
        say = saying(data.of)
        yield Caution(f"{say.noun} seems to drift in the order hit, about ", data.of, fit.slopes[0], " each shot: tiring, "
                      "wear or drying may mix with the conditions")
