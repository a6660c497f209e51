"""Small-sample statistics against published worked examples, SciPy, and seeded simulation.

Marks: S seen in the source, M from memory, C computed with SciPy or statsmodels, J our judgement.
"""

import numpy as np
import pytest
from scipy import stats

from spinlab.evidence.adjust import adjusted, order_bias, overlap
from spinlab.evidence.power import (
    best_of,
    both_tests,
    chance,
    detectable,
    fewest,
    half_width,
    shots_for,
    shots_needed,
    t_power,
)
from spinlab.evidence.smallsample import Group, equivalence, fieller, holm, paired, permutation, ratio, t_test, welch

# Student 1908, extra hours of sleep with two drugs (S)
SLEEP = [0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0.0, 2.0], [1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4]
# Darwin's plants, differences of 15 pairs in eighths of an inch, as in Fisher 1935 (M)
DARWIN = [49, -67, 8, 16, 6, 23, 28, 41, 14, 29, 56, 24, 75, 60, -48]
# leprosy data of Snedecor and Cochran 1967, as (before, after) (S)
LEPROSY = {
    "A": [(11, 6), (8, 0), (5, 2), (14, 8), (19, 11), (6, 4), (10, 13), (6, 1), (11, 8), (3, 0)],
    "D": [(6, 0), (6, 2), (7, 3), (8, 1), (18, 18), (8, 4), (19, 14), (8, 9), (5, 1), (15, 9)],
    "F": [(16, 13), (13, 10), (11, 18), (9, 5), (21, 23), (16, 12), (12, 5), (12, 16), (7, 1), (12, 20)],
}


def groups(a, b):
    return Group.of(a, "a"), Group.of(b, "b")


@pytest.mark.parametrize(("middle", "digits"), [(1.2, 13), (1_000_000.2, 9), (10_000_000.2, 8)])
def test_nist_reference_sets_of_numerical_accuracy(middle, digits):
    """NIST Statistical Reference Datasets, NumAcc2, 3 and 4: 1001 numbers, `middle`, then 0.1 below and above it by
    turns; certified mean `middle`, standard deviation 0.1 (from memory).  Careless sums lose the deviation."""
    numbers = [middle, *([middle - 0.1, middle + 0.1] * 500)]
    group = Group.of(numbers, "a")
    assert group.n == 1001
    assert group.mean == pytest.approx(middle, rel=1e-14)
    assert group.sd == pytest.approx(0.1, rel=10.0**-digits)


def test_student_1908_sleep_welch():
    test = welch(*groups(*SLEEP))  # C: SciPy 1.17
    assert test.t == pytest.approx(-1.8608135, abs=1e-7)
    assert test.df == pytest.approx(17.776474, abs=1e-6)
    assert test.p == pytest.approx(0.0793941, abs=1e-7)


def test_student_1908_sleep_paired():
    test = paired(*SLEEP)  # S: the help page of a statistics language
    assert test.t == pytest.approx(-4.0621277, abs=1e-7)
    assert test.p == pytest.approx(0.00283289, abs=1e-8)
    assert (test.difference.low, test.difference.high) == pytest.approx((-2.4598858, -0.7001142), abs=1e-7)


def test_three_each_welch_and_exact():
    a, b = [20.3, 22.1, 21.9], [18.9, 20.3, 19.0]  # S for t and p; C for 4 of 20
    test = welch(*groups(a, b))
    assert (test.t, test.p) == pytest.approx((2.7988719532, 0.0518073603), abs=1e-10)
    exact = permutation(a + b, [1, 1, 1, 0, 0, 0])
    assert (exact.hits, exact.arrangements, exact.complete) == (4, 20, True)


def test_nist_handbook_7_3_1():
    old = [32, 37, 35, 28, 41, 44, 35, 31, 34, 38, 42]  # data M, result NIST/SEMATECH e-Handbook 7.3.1
    new = [36, 31, 30, 31, 34, 36, 29, 32, 31]
    test = welch(*groups(old, new))
    assert (test.t, test.df) == pytest.approx((2.26937, 15.5325), rel=1e-5)


def test_nist_handbook_1_3_5_3_from_summaries():
    usa, japan = Group(n=249, mean=20.14458, sd=6.41470), Group(n=79, mean=30.48101, sd=6.10771)  # NIST 1.3.5.3
    test = welch(usa, japan)
    assert (test.t, test.df) == pytest.approx((-12.9463, 136.875), rel=1e-5)


def test_fisher_1935_darwin_sign_flips():
    zero = [0.0] * 15  # a pair is a block of two: swapping its labels flips the sign of its difference
    exact = permutation([*DARWIN, *zero], [1] * 15 + [0] * 15, blocks=[*range(15), *range(15)])
    assert (exact.hits, exact.arrangements) == (1726, 32768)  # Fisher 1935: 863 one-sided


@pytest.mark.parametrize("n, smallest", [(3, 0.10), (4, 0.0286), (5, 0.0079)])
def test_smallest_p_of_so_few(n, smallest):
    exact = permutation([*range(n), *range(100, 100 + n)], [0] * n + [1] * n)  # C: 2 / C(2n, n)
    assert exact.p == exact.smallest == pytest.approx(smallest, abs=5e-5)


def test_three_each_never_reach_five_percent():
    assert fewest() == 4 and chance(100.0, 1.0, 3) == 0.0


def test_permutation_agrees_with_scipy_and_its_sampled_form_with_its_exact_form():
    rng = np.random.default_rng(5)
    a, b = rng.normal(0, 1, 6), rng.normal(1, 1, 5)
    outside = stats.permutation_test((a, b), lambda x, y, axis: abs(x.mean(axis) - y.mean(axis)), alternative="greater",
                                     vectorized=True, n_resamples=np.inf)
    z = [1] * 6 + [0] * 5
    exact = permutation([*a, *b], z)
    assert exact.p == pytest.approx(outside.pvalue, abs=1e-12)
    sampled = permutation([*a, *b], z, limit=10, draws=20_000)
    assert not sampled.complete
    # four Monte Carlo standard errors
    assert sampled.p == pytest.approx(exact.p, abs=4 * np.sqrt(exact.p * (1 - exact.p) / 20_000))
    assert permutation([*a, *b], z, limit=10) == permutation([*a, *b], z, limit=10)


def test_permutation_does_not_mind_rounding_of_ties():
    values = np.array([0.1, 0.2, 0.3, 0.1, 0.2, 0.3])  # both groups alike: every arrangement is at least as far apart
    assert permutation(values, [1, 1, 1, 0, 0, 0]).p == 1.0


def test_fieller_interval_is_welch_turned_round():
    """Outside check: at each end ρ, SciPy's Welch test of a against ρ·b has p = 0.05."""
    a, b = np.array([3000, 3500, 2900, 3100.0]), np.array([6200, 6500, 6100.0])
    found = ratio(*groups(a, b))
    for rho in (found.low, found.high):
        assert stats.ttest_ind(a, rho * b, equal_var=False).pvalue == pytest.approx(0.05, abs=1e-9)
    assert found.value == pytest.approx(a.mean() / b.mean())


def test_ratio_of_pairs_is_the_paired_test_turned_round():
    """Outside check: at each end ρ, SciPy's t test of a − ρ·b against 0 has p = 0.05."""
    rng = np.random.default_rng(8)
    swing = rng.normal(0, 300, 8)  # what both shots of a pair share
    a, b = 3200 + 0.5 * swing + rng.normal(0, 150, 8), 6200 + swing + rng.normal(0, 150, 8)
    found = paired(a, b).ratio
    for rho in (found.low, found.high):
        assert stats.ttest_1samp(a - rho * b, 0.0).pvalue == pytest.approx(0.05, abs=1e-9)


def test_adjusted_ratio_is_the_contrast_turned_round():
    """Outside check: at each end ρ, statsmodels' test of mean(F) − ρ·mean(D) = 0 has p = 0.05."""
    from statsmodels.regression.linear_model import OLS

    after, drug, before = leprosy()
    after = np.array(after) + 20.0  # well away from zero, as spin is
    found = adjusted(after, drug, before).test("F", "D").ratio
    cells = [[float(d == name) for d in drug] for name in "ADF"]
    fit = OLS(after, np.column_stack([*cells, np.array(before) - np.mean(before)])).fit()
    for rho in (found.low, found.high):
        assert float(fit.t_test([0.0, -rho, 1.0, 0.0]).pvalue) == pytest.approx(0.05, abs=1e-9)


def test_fieller_meets_the_delta_method_when_scatter_is_small():
    # C: for small scatter, sd(ratio)/ratio = √(v_a/a² + v_b/b²)
    found = fieller(3.0, 6.0, 1e-6, 4e-6, 0.0, 1e9)
    half = 0.5 * 1.959964 * np.sqrt(1e-6 / 9 + 4e-6 / 36)
    assert (found.high - found.low) / 2 == pytest.approx(half, rel=1e-4)


def test_no_ratio_where_the_bottom_may_be_nothing():
    assert ratio(*groups([5.0, 6.0, 7.0], [-1.0, 0.5, 1.0])) is None


def test_ratio_and_difference_say_the_same():
    rng = np.random.default_rng(2)
    agree = []
    for _ in range(200):
        a, b = groups(rng.normal(6, 1, 5), rng.normal(5, 0.6, 6))
        test = welch(a, b)
        agree.append(test.ratio.holds(1.0) == test.difference.holds(0.0))
    assert all(agree)


def leprosy():
    rows = [(drug, *pair) for drug, pairs in LEPROSY.items() for pair in pairs]
    return [r[2] for r in rows], [r[0] for r in rows], [r[1] for r in rows]


def test_snedecor_cochran_1967_leprosy():
    after, drug, before = leprosy()
    fit = adjusted(after, drug, before)
    assert (fit.mse, fit.r_squared) == pytest.approx((16.046254, 0.676261), abs=1e-6)  # S: a statistics handbook
    assert fit.slopes[0] == pytest.approx(0.987184, abs=1e-6)  # C, as all below
    assert fit.means == pytest.approx([6.714963, 6.823935, 10.161102], abs=1e-6)
    assert (fit.f, fit.p) == pytest.approx((2.136128, 0.138379), abs=1e-6)
    raw = adjusted(after, drug)
    assert (raw.f, raw.p) == pytest.approx((3.983117, 0.030490), abs=1e-6)
    assert fit.test("F", "A").difference.value == pytest.approx(10.161102 - 6.714963, abs=1e-6)
    assert fit.same_slope_p > 0.05 and overlap(before, drug) == pytest.approx((19 - 7) / (21 - 3))


def test_adjusting_takes_out_a_known_slope():
    # hand calculation: y = 100 + 3 x + 10 for b exactly, plus a scatter that is the same in both
    x, noise = np.array([1, 2, 3, 4, 2, 3, 4, 5.0]), np.array([1, -1, -1, 1, 1, -1, -1, 1.0]) * 0.1
    y = 100 + 3 * x + noise + np.repeat([0.0, 10.0], 4)
    label = ["a"] * 4 + ["b"] * 4
    assert adjusted(y, label, x).test("b", "a").difference.value == pytest.approx(10.0, abs=1e-9)
    assert adjusted(y, label).test("b", "a").difference.value == pytest.approx(13.0, abs=1e-9)


def test_equivalence_example():
    # inputs M (a primer on equivalence tests), C with SciPy
    a, b = Group(n=95, mean=5.25, sd=0.95), Group(n=89, mean=5.22, sd=0.83)
    test = welch(a, b, confidence=0.90)
    assert test.df == pytest.approx(181.134367, abs=1e-5)
    assert (test.difference.value - 0.3835687) / test.se == pytest.approx(-2.692771, abs=1e-5)
    assert equivalence(test, bound=0.3835687) == pytest.approx(0.003876, abs=1e-6)
    assert (test.difference.low, test.difference.high) == pytest.approx((-0.187084, 0.247084), abs=1e-5)


def test_power_of_the_t_test():
    assert t_power(1.0, 20) == pytest.approx(0.8689528, abs=1e-6)  # S: R's power.t.test; it leaves out 2e-7 of the far tail
    assert shots_for(1.0, power=0.9) == pytest.approx(22.0211, abs=1e-4)  # S
    assert shots_for(1.0, power=0.8) == pytest.approx(16.7148, abs=1e-4)  # S


@pytest.mark.parametrize("n, d", [(3, 3.07), (5, 2.02), (8, 1.51), (10, 1.32)])
def test_detectable_effect(n, d):
    assert detectable(n) == pytest.approx(d, abs=0.006)  # C


@pytest.mark.parametrize("n, width", [(3, 2.267), (5, 1.458), (10, 0.940)])
def test_half_width(n, width):
    assert half_width(n) == pytest.approx(width, abs=6e-4)  # C


@pytest.mark.parametrize("k, above", [(3, 0.846), (5, 1.163), (10, 1.539)])
def test_best_of_k_is_luck(k, above):
    assert best_of(k) == pytest.approx(above, abs=5e-4)  # C; order statistics of the bell curve


@pytest.mark.parametrize("order, steady", [("AABB", 2.0), ("ABAB", 1.0), ("ABBA", 0.0), ("ABBABAAB", 0.0)])
def test_drift_bias(order, steady):
    assert order_bias(order, "B", "A") == pytest.approx(steady)  # C


def test_only_the_eight_cancels_a_curved_drift():
    assert order_bias("ABBABAAB", "B", "A", degree=2) == 0.0  # C
    assert order_bias("ABBAABBA", "B", "A", degree=2) != 0.0


def test_holm_against_statsmodels():
    from statsmodels.stats.multitest import multipletests

    p = [0.01, 0.04, 0.03, 0.005, 0.9]
    assert holm(p) == pytest.approx(multipletests(p, method="holm")[1].tolist())
    assert holm([0.04]) == [0.04]


def test_welch_and_fieller_intervals_cover_95_percent():
    """2000 made-up demonstrations with unlike scatter; tolerance three Monte Carlo standard errors (1.5 %)."""
    rng = np.random.default_rng(1908)
    covered = np.zeros(2)
    for _ in range(2000):
        test = welch(*groups(rng.normal(3200, 600, 5), rng.normal(6200, 300, 6)))
        covered += test.difference.holds(-3000), test.ratio.holds(3200 / 6200)
    assert covered / 2000 == pytest.approx([0.95, 0.95], abs=0.015)


def test_adjusted_interval_covers_95_percent():
    """1000 made-up demonstrations, the wet shots with more loft; tolerance three Monte Carlo standard errors (2.1 %)."""
    rng, label, covered = np.random.default_rng(7), np.repeat(["dry", "wet"], 6), 0
    for _ in range(1000):
        loft = rng.normal(44, 1.5, 12) + np.repeat([0.0, 1.0], 6)
        spin = 6000 - 90 * loft + np.repeat([0.0, -1500], 6) + rng.normal(0, 300, 12)
        covered += adjusted(spin, label, loft).test("wet", "dry").difference.holds(-1500)
    assert covered / 1000 == pytest.approx(0.95, abs=0.021)


def test_percentile_bootstrap_covers_too_little():
    """Why t intervals: Hesterberg 2015 (S) and C say about 75, 83, 90 % at n = 3, 5, 10; tolerance 3 %."""
    rng, got = np.random.default_rng(11), []
    for n in (3, 5, 10):
        x = rng.normal(size=(2000, n))
        draws = x[np.arange(2000)[:, None, None], rng.integers(0, n, (2000, 400, n))].mean(2)
        low, high = np.quantile(draws, [0.025, 0.975], axis=1)
        got.append(((low <= 0) & (high >= 0)).mean())
    assert got == pytest.approx([0.75, 0.83, 0.90], abs=0.03)


def test_exact_test_keeps_its_error_rate():
    """1000 made-up nulls with skewed scatter, 5 against 5: at most 5 % + 3 MC standard errors, and not far below."""
    rng = np.random.default_rng(3)
    z = [0] * 5 + [1] * 5
    rate = np.mean([permutation(rng.exponential(size=10), z).p <= 0.05 for _ in range(1000)])
    assert 0.025 < rate < 0.05 + 0.021


@pytest.mark.parametrize("d, n", [(2.0, 5), (3.0, 4), (2.0, 6)])
def test_both_tests_power_by_plain_repetition(d, n):
    """The vectorised power against compare's own two tests, one demonstration at a time; tolerance 3 MC errors (5 %)."""
    rng, z = np.random.default_rng(21), [0] * n + [1] * n
    hits = 0
    for _ in range(800):
        y = rng.normal(size=2 * n) + np.repeat([0, d], n)
        hits += max(welch(*groups(y[n:], y[:n])).p, permutation(y, z).p) <= 0.05
    assert both_tests(d, n) == pytest.approx(hits / 800, abs=0.057)


@pytest.mark.parametrize("d", [0.8, 1.5, 2.5])
def test_shots_needed_is_enough_and_one_less_is_not(d):
    n = shots_needed(d, 1.0, power=0.8)
    assert chance(d, 1.0, n) >= 0.8 > chance(d, 1.0, n - 1)


def test_bad_input_says_what_and_how_to_cure():
    with pytest.raises(ValueError, match="wet has 1 shot with this value.*hit more"):
        Group.of([1.0], "wet")
    with pytest.raises(ValueError, match="missing values.*leave them out"):
        Group.of([1.0, np.nan])
    with pytest.raises(ValueError, match="no scatter"):
        welch(*groups([1.0, 1.0], [2.0, 2.0]))
    with pytest.raises(ValueError, match="no scatter"):
        t_test(1.0, 0.0, 3)
    with pytest.raises(ValueError, match="as many of one"):
        paired([1.0, 2.0], [1.0])
    with pytest.raises(ValueError, match="above 0, got 0"):
        equivalence(welch(*groups(*SLEEP)), bound=0)
    with pytest.raises(ValueError, match="scatter.*above 0, got 0"):
        chance(1.0, 0.0, 5)
    with pytest.raises(ValueError, match="whole number.*got 1"):
        chance(1.0, 1.0, 1)
    with pytest.raises(ValueError, match="effect of 0"):
        shots_for(0.0)
    with pytest.raises(ValueError, match="cannot be told apart"):
        adjusted([1.0, 2.0, 3.0, 4.0], ["a", "a", "b", "b"], [0.0, 0.0, 1.0, 1.0])
