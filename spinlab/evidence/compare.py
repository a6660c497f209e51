"""What the measured shots show about two or more conditions, and what they do not.

`compare` asks about one measure, `headline` about spin, launch and carry together; the rule by which a difference counts as
shown stands in `spinlab.evidence.verdict`.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from ..messages import message_of
from . import adjust as adj
from . import frame as rows
from . import smallsample as ss
from .verdict import Comparison, Headline, Verdict, settle, too_few
from .wording import Caution, listed, not_measured, saying

__all__ = ["Comparison", "Headline", "Verdict", "compare", "headline"]

FEW = 60
"""Shots in a comparison up to which the permutation test is asked as well; above, it says what the t test says."""


def compare(frame, *, by, of, baseline=None, other=None, adjust=(), order=None, block=None, paired=False,
            confidence=0.95, small=None) -> Verdict:
    """What do the shots show about `of` in the conditions of column `by`?

    Parameters
    ----------
    frame : pandas.DataFrame
        one shot a row, SI, canonical columns
    by, of : str
        the column of conditions; the measure
    baseline, other : str, optional
        the condition to compare with (the first in the table if left out), and those to compare (all the rest)
    adjust : sequence of str
        delivery to hold equal, such as ``["dynamic_loft", "head_speed"]``; one below six shots a condition
    order : str, optional
        the column with the order of hitting, to look for a drift; ``shot`` is used if the table has it
    block : str, optional
        the column of blocks (or of pairs); shots are compared within blocks
    paired : bool
        compare the averages within each block as pairs
    confidence : float
        0.95 means intervals of 95 % and a level of 5 %
    small : float, optional
        a difference [SI] that would not matter: asks whether the conditions are shown to be that close (two one-sided tests)

    Notes
    -----
    Intervals: `smallsample.unpaired`, the wider of Welch's and Student's; ratios: Fieller (see `smallsample.ratio`).
    Rows without a value are left out and counted in ``.warnings``.  Adjusting assumes one slope and like scatter for all
    conditions; ``.warnings`` says where in doubt.

    Raises
    ------
    ValueError
        a column or condition is not there, a condition has one shot only, or nothing scatters.
    """
    if not 0.5 <= confidence < 1:
        raise ValueError(f"confidence must lie in 0.5 … 1, got {confidence}; 0.95 is usual")
    adjust = (adjust,) if isinstance(adjust, str) else tuple(adjust)
    if paired and adjust:
        raise ValueError("pairs are not adjusted for delivery; leave out adjust=, or paired= and keep block=")
    if order is None and "shot" in frame.columns and frame["shot"].dtype.kind in "iuf" and not frame["shot"].isna().any():
        order = "shot"
    data = rows.prepare(frame, by=by, of=of, baseline=baseline, other=other, adjust=adjust, order=order, block=block)
    data, pair_notes = rows.pairs(data) if paired else (data, [])
    groups = tuple(ss.Group.of(data.y[data.labels == name], name) for name in data.names)
    used, notes = rows.allowed(adjust, groups)
    fit = None
    if not paired and (used or block):
        fit = adj.adjusted(data.y, data.labels, data.x[:, : len(used)] if used else None, data.blocks if block else None)
    done = [_one(data, groups[0], g, fit, used, paired, confidence, small) for g in groups[1:]]
    comparisons = settle(done)
    cautions = _cautions(*data.notes, *pair_notes, *notes, *too_few(comparisons),
                         *rows.cautions(frame, data, fit, used, paired))
    return Verdict(of=of, by=by, comparisons=comparisons, groups=groups, adjusted_for=used, fit=fit, paired=paired,
                   cautions=cautions, confidence=confidence)


def _cautions(*doubts):
    """Doubts, each once, as `Caution`."""
    return tuple(dict.fromkeys(doubt if isinstance(doubt, Caution) else Caution(doubt) for doubt in doubts))


def _one(data, base, group, fit, used, paired, confidence, small):
    """One condition against the baseline."""
    two = np.isin(data.labels, [base.name, group.name])
    y, is_other = data.y[two], data.labels[two] == group.name
    plain = ss.unpaired(group, base, confidence=confidence)
    if paired:
        test = ss.paired(y[is_other], y[~is_other], confidence=confidence)
    else:
        test = fit.test(group.name, base.name, confidence=confidence) if fit else plain
    exact = None
    if y.size <= FEW:
        x = data.x[two][:, : len(used)] if used else None
        exact = ss.permutation(y, is_other, covariates=x, blocks=None if data.blocks is None else data.blocks[two])
    if not rows.has_ratio(data.of, y):
        test, plain = replace(test, ratio=None), replace(plain, ratio=None)
    return Comparison(of=data.of, other=group, baseline=base, test=test, plain=plain, exact=exact, alpha=1 - confidence,
                      small=small)


def headline(frame, by="condition", baseline=None, other=None, *, of=("spin_rate", "launch_angle", "carry"),
             absent=not_measured, **options):
    """Spin ratio, launch rise and carry difference together, corrected for being looked at together.

    Every table with two conditions gets one, however few its shots: a measure that the table does not have, or that cannot
    be compared yet, stands in ``.open`` with the reason.  `absent` says of a measure that is not in the table why it is
    not (``absent("carry")`` → ``"was not measured"``).  `options` go to `compare`.

    Raises
    ------
    ValueError
        there are no two conditions, one asked for is not there, or the table has none of the measures at all.
    """
    names, counts = rows.conditions(frame, by=by, baseline=baseline, other=other)
    if not any(measure in frame.columns and not frame[measure].isna().all() for measure in of):
        raise ValueError(f"the table has none of {listed(of)} with values; it has {listed(map(str, frame.columns))}")
    verdicts, left_open = [], []
    for measure in of:
        if measure not in frame.columns or frame[measure].isna().all():
            left_open.append((measure, f"{absent(measure)}, so nothing is said about it"))
            continue
        try:
            verdicts.append(compare(frame, by=by, of=measure, baseline=baseline, other=other, **options))
        except (ValueError, ArithmeticError) as why:
            left_open.append((measure, f"could not be compared: {message_of(why)}"))
    # what each measure alone could reach no longer holds once all are judged together
    apart = {Caution(words) for v in verdicts for words in too_few(v.comparisons)}
    settled = iter(settle([c for v in verdicts for c in v.comparisons]))
    verdicts = tuple(replace(v, comparisons=tuple(next(settled) for _ in v.comparisons)) for v in verdicts)
    heard = [doubt for v in verdicts for doubt in v.cautions if doubt not in apart]
    jointly = too_few([c for v in verdicts for c in v.comparisons])
    missing = [f"{saying(measure).noun} {why}" for measure, why in left_open]
    return Headline(verdicts=verdicts, names=names, counts=counts, open=tuple(left_open),
                    cautions=_cautions(*missing, *heard, *jointly))
