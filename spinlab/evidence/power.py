"""How many shots would tell: power of the t test and of the exact test, and what luck alone does.

Effects and scatters are in the same unit, whatever it is; `d` is effect over scatter (one standard deviation).
"""

from __future__ import annotations

from math import ceil, comb, sqrt

import numpy as np

EXACT_UP_TO = 7
"""Shots each up to which `chance` simulates the rule of the verdict, exact test included; above, both agree closely."""

FEWEST_WITH_SCATTER = 2
"""Shots each below which there is no scatter, so no test."""
CERTAIN = 1000.0
"""Standard deviations beyond which two shots each show an effect for certain (computed: the power differs from 1 by less
than 1e-5 down to a level of 0.1 %); the library's noncentral t fails for effects of billions of standard deviations, which
three values typed almost alike do have."""


def t_power(d: float, n: float, *, alpha=0.05) -> float:
    """Chance that a two-sided t test of two groups of `n` shows an effect of `d` standard deviations.

    From the noncentral t with ``ncp = d √(n/2)``, ``df = 2n − 2`` (Cohen 1988, from memory); equal scatter, bell-shaped;
    two shots each at least.  An effect of more than `CERTAIN` standard deviations counts as `CERTAIN`.
    """
    from scipy.special import stdtrit
    from scipy.stats import nct

    df, ncp = 2 * n - 2, min(abs(d), CERTAIN) * sqrt(n / 2)
    edge = float(stdtrit(df, 1 - alpha / 2))
    # shown the wrong way round: less than Φ(−ncp), 3e-5 at 4, and farther out the library gives NaN
    wrong_way = nct.cdf(-edge, df, ncp) if ncp < 4 else 0.0
    return float(nct.sf(edge, df, ncp) + wrong_way)


def shots_for(d: float, *, power=0.8, alpha=0.05) -> float:
    """Shots in each group for this power, as a fraction of shots; round it up.  The turning round of `t_power`."""
    from scipy.optimize import brentq

    if not abs(d) > 0:
        raise ValueError("an effect of 0 cannot be shown by any number of shots; say how large a difference would matter")
    high = 4.0
    while t_power(d, high, alpha=alpha) < power:
        high *= 2
        if high > 1e6:
            return float("inf")
    low = float(FEWEST_WITH_SCATTER)
    if t_power(d, low, alpha=alpha) >= power:
        return low
    return float(brentq(lambda n: t_power(d, n, alpha=alpha) - power, low, high))


def detectable(n: int, *, power=0.8, alpha=0.05) -> float:
    """The effect, in standard deviations, that `n` shots each show with this power."""
    from scipy.optimize import brentq

    high = 1.0
    while t_power(high, n, alpha=alpha) < power:
        high *= 1.5
    return float(brentq(lambda d: t_power(d, n, alpha=alpha) - power, 1e-6, high))


def half_width(n: int, *, confidence=0.95) -> float:
    """Half the interval of a difference between two groups of `n`, in standard deviations."""
    from scipy.special import stdtrit

    return float(stdtrit(2 * n - 2, (1 + confidence) / 2)) * sqrt(2 / n)


def best_of(k: int) -> float:
    """How far the best of `k` shots lies above the average by luck alone, in standard deviations.

    The mean of the largest of `k` values of a bell curve; 0.85, 1.16, 1.54 for 3, 5, 10.  So a best shot is never typical.
    """
    from scipy.integrate import quad
    from scipy.special import ndtr

    return quad(lambda x: k * x * np.exp(-x * x / 2) / sqrt(2 * np.pi) * ndtr(x) ** (k - 1), -10, 10)[0]


def fewest(*, alpha=0.05, comparisons=1) -> int:
    """Fewest shots each with which an exact test can reach `alpha` at all: 4 for one comparison at 5 %."""
    n = 2
    while 2 * comparisons / comb(2 * n, n) > alpha:
        n += 1
    return n


def both_tests(d: float, n: int, *, alpha=0.05, runs=4000, seed=1908) -> float:
    """Chance that Welch's test and the exact permutation test both show the effect, by seeded simulation.

    Every run is a made-up demonstration with `n` bell-shaped shots each.  The Monte Carlo error is at most 1.6 % (two
    standard errors at 4000 runs).
    """
    from itertools import combinations

    from scipy.special import stdtr

    if 2 / comb(2 * n, n) > alpha:
        return 0.0
    shots = np.random.default_rng(seed).normal(size=(runs, 2 * n))
    shots[:, n:] += d
    gap = shots[:, n:].mean(1) - shots[:, :n].mean(1)
    va, vb = shots[:, :n].var(1, ddof=1) / n, shots[:, n:].var(1, ddof=1) / n
    df = (va + vb) ** 2 * (n - 1) / (va**2 + vb**2)
    p_t = 2 * stdtr(df, -np.abs(gap) / np.sqrt(va + vb))

    chosen = np.array(list(combinations(range(2 * n), n)))
    labels = np.zeros((len(chosen), 2 * n), dtype=np.float32)
    np.put_along_axis(labels, chosen, 1.0, axis=1)
    centred = (shots - shots.mean(1, keepdims=True)).astype(np.float32)
    as_far = np.zeros(runs)
    for some in np.array_split(np.arange(runs), max(1, runs * len(chosen) // 4_000_000)):
        tries = np.abs(centred[some] @ labels.T)
        as_far[some] = (tries >= tries[:, -1:] * (1 - 1e-5)).sum(1)  # the last arrangement is the real one
    return float(((p_t <= alpha) & (as_far <= alpha * len(chosen))).mean())


def chance(effect: float, scatter: float, n: int, *, confidence=0.95, comparisons=1, seed=1908) -> float:
    """Chance (0 … 1) that `n` shots each give a convincing result, if the true difference is `effect`.

    The same rule as in `compare`: both tests must agree.  Simulated with this seed up to `EXACT_UP_TO` shots each,
    noncentral t above.  With several comparisons, each is held to the strictest step of Holm's method.
    """
    check_scatter(scatter)
    if n < 2 or int(n) != n:
        raise ValueError(f"shots each must be a whole number of 2 or more, got {n}")
    d, alpha = abs(effect) / scatter, (1 - confidence) / comparisons
    if n < fewest(alpha=1 - confidence, comparisons=comparisons):
        return 0.0
    return both_tests(d, int(n), alpha=alpha, seed=seed) if n <= EXACT_UP_TO else t_power(d, n, alpha=alpha)


def shots_needed(effect: float, scatter: float, *, power=0.8, confidence=0.95, comparisons=1, seed=1908) -> int:
    """Fewest shots each for this chance of a convincing result."""
    check_scatter(scatter)
    if not 0 < power < 1:
        raise ValueError(f"the chance wanted must lie between 0 and 1, got {power}; 0.8 and 0.9 are usual")
    wanted = shots_for(effect / scatter, power=power, alpha=(1 - confidence) / comparisons)
    if wanted > 1e6:
        return 1_000_000
    n = max(ceil(wanted), fewest(alpha=1 - confidence, comparisons=comparisons))
    while n <= EXACT_UP_TO and chance(effect, scatter, n, confidence=confidence, comparisons=comparisons, seed=seed) < power:
        n += 1
    return n


def check_scatter(scatter):
    """Refuse a scatter that is no scatter."""
    if not (np.isfinite(scatter) and scatter > 0):
        raise ValueError(f"the scatter (one standard deviation, SI) must be above 0, got {scatter}; measure it")
