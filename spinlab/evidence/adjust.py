"""Differences adjusted for how the club was delivered, and drift looked for (analysis of covariance)."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

import numpy as np

from .smallsample import Test, fieller, t_test


@dataclass(frozen=True, kw_only=True)
class Adjusted:
    """One line through every group, all with the same slope; read off at the average delivery."""

    names: tuple[str, ...]
    means: np.ndarray
    covariance: np.ndarray
    slopes: np.ndarray
    slope_p: np.ndarray
    df: float
    mse: float
    r_squared: float
    f: float
    p: float
    same_slope_p: float | None
    """p of the test that all groups share the slope; None where there are too few shots to ask."""

    def test(self, other: str, baseline: str, *, confidence=0.95) -> Test:
        """Adjusted difference and ratio (Fieller, with the covariance of the two adjusted means)."""
        i, j = self.names.index(other), self.names.index(baseline)
        (top, bottom), v = self.means[[i, j]].tolist(), self.covariance[np.ix_([i, j], [i, j])].tolist()
        part = fieller(top, bottom, v[0][0], v[1][1], v[0][1], self.df, confidence=confidence)
        se = sqrt(max(v[0][0] + v[1][1] - 2 * v[0][1], 0.0))
        return t_test(top - bottom, se, self.df, ratio=part, confidence=confidence)


def _dummies(labels, names):
    """One 0/1 column for each name."""
    labels = np.asarray(labels)
    return np.column_stack([(labels == name).astype(float) for name in names])


def adjusted(values, groups, covariates=None, blocks=None) -> Adjusted:
    """Least squares with one mean per group, common slopes on the covariates, and a step for each block.

    ``y = mean[group] + Σ slope (x − x̄) + step[block]``; the adjusted mean of a group is its value at the average delivery
    (Fisher 1932; Snedecor and Cochran 1967; from memory).  Valid where the groups share the slope, where their deliveries
    overlap, and where they scatter alike.
    """
    from statsmodels.regression.linear_model import OLS

    y, groups = np.asarray(values, dtype=float), np.asarray(groups)
    names = tuple(dict.fromkeys(groups.tolist()))
    g = _dummies(groups, names)
    x = np.empty((y.size, 0)) if covariates is None else np.asarray(covariates, dtype=float).reshape(y.size, -1)
    x = x - x.mean(0)
    # covariates of very different size (3 rad/s, 40 m/s) are scaled so that the fit is well conditioned
    scale = np.where(x.std(0) > 0, x.std(0), 1.0)
    x = x / scale
    steps = np.empty((y.size, 0))
    if blocks is not None and len(set(np.asarray(blocks).tolist())) > 1:
        steps = _dummies(blocks, list(dict.fromkeys(np.asarray(blocks).tolist()))[1:])
        steps = steps - steps.mean(0)
    design = np.column_stack([g, x, steps])
    if np.linalg.matrix_rank(design) < design.shape[1]:
        raise ValueError("conditions cannot be told apart from delivery or blocks; adjust for less, or mix the order")
    if y.size - design.shape[1] < 1:
        raise ValueError(f"{y.size} shots are too few to adjust for {x.shape[1]} measure(s); hit more or adjust for less")
    full = OLS(y, design).fit()
    rest = OLS(y, np.column_stack([np.ones(y.size), x, steps])).fit()
    f, p, _ = full.compare_f_test(rest)
    k, cov = len(names), full.cov_params()
    inner = slice(k, k + x.shape[1])
    return Adjusted(
        names=names, means=full.params[:k], covariance=cov[:k, :k],
        slopes=full.params[inner] / scale, slope_p=full.pvalues[inner],
        df=float(full.df_resid), mse=float(full.mse_resid), r_squared=float(1 - full.ssr / ((y - y.mean()) ** 2).sum()),
        f=float(f), p=float(p), same_slope_p=_same_slope(y, g, x, design, full),
    )


def _same_slope(y, g, x, design, full):
    """F test of one slope for all against a slope for each group."""
    from statsmodels.regression.linear_model import OLS

    crossed = [g[:, i] * x[:, j] for j in range(x.shape[1]) for i in range(1, g.shape[1])]
    wide = np.column_stack([design, *crossed]) if crossed else design
    if not crossed or y.size - wide.shape[1] < 2 or np.linalg.matrix_rank(wide) < wide.shape[1]:
        return None
    return float(OLS(y, wide).fit().compare_f_test(full)[1])


def overlap(x, groups) -> float:
    """Share of the whole range of a covariate that every group covers; 0 where two groups do not meet."""
    x, groups = np.asarray(x, dtype=float), np.asarray(groups)
    parts = [x[groups == name] for name in dict.fromkeys(groups.tolist())]
    shared = min(p.max() for p in parts) - max(p.min() for p in parts)
    whole = x.max() - x.min()
    return max(0.0, shared / whole) if whole > 0 else 1.0


def order_bias(labels, other, baseline, *, degree=1) -> float:
    """How much a steady drift of one per shot adds to ``other − baseline`` in this order of hitting.

    2 for AABB, 1 for ABAB, 0 for ABBA; with ``degree=2`` the same for a curved drift, which ABBABAAB cancels too.
    """
    labels = np.asarray(list(labels))
    steps = np.arange(labels.size, dtype=float) ** degree
    return float(steps[labels == other].mean() - steps[labels == baseline].mean())
