"""Every small table gets a verdict: both sides of each threshold, brief sentences, and no words of a library.

The tables are invented.  The full number of random tables: ``python tests/trial_verdicts.py``.
"""

import numpy as np
import pandas as pd
import pytest
import trial_verdicts
from scipy import stats

from spinlab.evidence import smallsample as ss
from spinlab.evidence.compare import compare, headline
from spinlab.evidence.power import shots_for, shots_needed, t_power
from spinlab.evidence.wording import MOST_WORDS, Caution, called, saying, share_in_words
from spinlab.messages import UNFORESEEN, is_our_own, message_of
from spinlab.units import deg, mph, rpm


def close(n, gap=3000.0, step=1.0, other=None):
    """`n` dry and `other` wet shots that lie closely together."""
    other = n if other is None else other
    spins = [*(6000 + step * k for k in range(n)), *(6000 - gap + step * k for k in range(other))]
    return pd.DataFrame({"condition": ["dry"] * n + ["wet"] * other, "spin_rate": np.array(spins) * rpm})


# -- both sides of every threshold ------------------------------------------------------------------------------------


@pytest.mark.parametrize("wet", [1, 2, 3, 4])
def test_a_thin_shot_and_few_wet_ones(wet):
    """Six dry shots, the last of them thin, against one to four wet ones."""
    spins = [6450, 6520, 6390, 6480, 6550, 2100, *[3300, 3340, 3290, 3360][:wet]]
    frame = pd.DataFrame({"condition": ["dry"] * 6 + ["wet"] * wet, "spin_rate": np.array(spins) * rpm})
    head = headline(frame)
    assert len(head.brief().split()) <= MOST_WORDS and not trial_verdicts.NEVER.search(head.sentence())
    assert ("too few" in head.brief()) == (wet < 2)
    if wet < 4:
        assert "Not shown yet" in head.brief() or wet < 2


@pytest.mark.parametrize("n", [2, 3, 4, 5])
@pytest.mark.parametrize("step", [1.0, 1e-3, 1e-6])
def test_close_shots_are_judged_however_close(n, step):
    """C: 2/C(2n, n) is 0.33, 0.10, 0.029, 0.008 for 2, 3, 4, 5 each: only from four on can anything be shown."""
    head = headline(close(n, step=step))
    assert (head["spin_rate"].only.outcome == "shown") == (n >= 4)
    assert head["spin_rate"].only.outcome == ("shown" if n >= 4 else "too few")


def test_shots_that_do_not_differ_get_a_verdict_too():
    head = headline(close(4, step=0.0))
    assert head.verdicts == () and head.open[0][0] == "spin_rate" and "no scatter" in head.open[0][1]
    assert head.brief() == "Wet against dry: too few different shots to compare yet."
    assert head.sentence().startswith("Nothing can be compared yet: spin could not be compared: no scatter")
    assert "launch angle and carry was not measured" not in head.sentence()


@pytest.mark.parametrize("dry, wet", [(1, 1), (1, 2), (2, 1), (6, 1)])
def test_one_shot_of_a_condition_is_told_and_refused_by_compare(dry, wet):
    frame = close(dry, other=wet)
    assert headline(frame).verdicts == () and "1 shot with this value" in headline(frame).sentence()
    with pytest.raises(ValueError, match="has 1 shot with this value"):
        compare(frame, by="condition", of="spin_rate")


@pytest.mark.parametrize("dry, wet", [(30, 29), (30, 30), (31, 30), (31, 31), (60, 1), (70, 70)])
@pytest.mark.parametrize("gap", [0, 250, 3000])
def test_sixty_shots_and_one_more(dry, wet, gap):
    """Up to 60 shots the exact test is asked as well; above, its odds are not there to be told."""
    rng = np.random.default_rng(dry + wet)
    frame = close(dry, gap, other=wet)
    frame["spin_rate"] += 400 * rpm * rng.normal(size=dry + wet)
    frame["launch_angle"] = (30 + rng.normal(size=dry + wet)) * deg
    head = headline(frame)
    for words in (head.sentence(), head.brief(), head.ranges("yards"), *head.doubts()):
        assert words and not trial_verdicts.NEVER.search(words)
    if wet > 1:
        assert (head["spin_rate"].only.exact is None) == (dry + wet > 60)
        assert gap == 250 or (head["spin_rate"].only.outcome == "shown") == (gap == 3000)


# -- intervals that keep what they say --------------------------------------------------------------------------------


def test_pooled_test_is_scipys():
    a, b = [20.3, 22.1, 21.9, 21.0], [18.9, 20.3, 19.0]
    test, outside = ss.student(ss.Group.of(a), ss.Group.of(b)), stats.ttest_ind(a, b)
    low, high = outside.confidence_interval()
    assert (test.t, test.p, test.df) == pytest.approx((outside.statistic, outside.pvalue, outside.df))
    assert (test.difference.low, test.difference.high) == pytest.approx((low, high))


@pytest.mark.parametrize("other, welch_too", [(2, True), (30, False)])
def test_two_shots_against_many_keep_the_stated_rate(other, welch_too):
    """3,000 made-up tables; Welch alone misses about 12 of 100 at 2 against 30, so the wider of both is told.

    Tolerance: three Monte Carlo standard errors of 5 in 100 (1.2).
    """
    rng, missed = np.random.default_rng(2), np.zeros(2)
    for _ in range(3000):
        a, b = ss.Group.of(rng.normal(0, 1, 2)), ss.Group.of(rng.normal(0, 1, other))
        missed += [not test(a, b).difference.holds(0) for test in (ss.unpaired, ss.welch)]
    assert missed[0] / 3000 <= 0.05 + 0.012
    assert (missed[1] / 3000 <= 0.05 + 0.012) == welch_too


def test_with_as_many_shots_of_each_it_is_welchs():
    rng = np.random.default_rng(4)
    a, b = ss.Group.of(rng.normal(6, 1, 6)), ss.Group.of(rng.normal(5, 0.4, 6))
    assert ss.unpaired(a, b).difference == ss.welch(a, b).difference


def test_ratio_and_difference_agree_with_unlike_numbers():
    rng = np.random.default_rng(2)
    agree = []
    for _ in range(200):
        a, b = ss.Group.of(rng.normal(6, 1, 9)), ss.Group.of(rng.normal(5.2, 0.6, 4))
        test = ss.unpaired(a, b)
        agree.append(test.ratio.holds(1.0) == test.difference.holds(0.0) == (test.p > 0.05))
    assert all(agree)


def test_a_sample_of_random_tables():
    """Some of `trial_verdicts`; its main runs 5,000."""
    sums = trial_verdicts.rates(range(90))
    assert sums["tables"] == 90 and sums["wrong"] == [] and sums["null"] > 20
    for name, (rate, most) in trial_verdicts.bounds(sums).items():
        assert rate <= most, name


def test_the_trial_notices_a_broken_promise():
    sums = {"alarms": 90, "null": 1000, "covered": 930, "covered of": 1000, "ratios": 990, "ratios of": 1000}
    assert [rate <= most for rate, most in trial_verdicts.bounds(sums).values()] == [False, True, True]
    assert trial_verdicts.NEVER.search("The function value at x=1.1 is NaN; solver cannot continue.")
    assert not trial_verdicts.NEVER.search("Shown: wet spun 0.50 times as much as dry (0.48 to 0.52).")


# -- power ------------------------------------------------------------------------------------------------------------


def test_power_is_a_chance_for_any_effect():
    """From a hundredth of a standard deviation to a hundred billions; it grows with the shots (to 1e-7)."""
    for d in np.geomspace(0.01, 1e11, 60):
        for alpha in (0.05, 0.05 / 3, 0.001):
            chances = [t_power(d, n, alpha=alpha) for n in (2, 2.3, 3, 4, 9, 30, 200)]
            assert all(-1e-12 <= p <= 1 + 1e-9 for p in chances) and np.all(np.diff(chances) > -1e-7)
            assert shots_for(d, alpha=alpha) >= 2
    assert shots_needed(3000.0, 1e-9) == 4, "the fewest that the exact test can show anything with"


# -- brief sentences --------------------------------------------------------------------------------------------------


def test_the_brief_sentence_is_the_one_to_say_aloud():
    rng = np.random.default_rng(3)
    wet = np.repeat([0, 1], 6)
    frame = pd.DataFrame({"condition": np.where(wet, "wet", "dry"),
                          "spin_rate": (6200 - 3100 * wet + 60 * rng.normal(size=12)) * rpm,
                          "launch_angle": (30 + 9 * wet + 0.4 * rng.normal(size=12)) * deg})
    head = headline(frame)
    assert head.brief() == "Wet: about half the spin, 9° higher. Shown."
    assert head.ranges().startswith("Spin 0.50 times (0.4") and head.ranges().endswith("6 dry and 6 wet shots.")


@pytest.mark.parametrize("value, low, high, words", [
    (0.5, 0.48, 0.52, "about half the spin"), (0.52, 0.49, 0.55, "about half the spin"),
    (0.52, 0.51, 0.53, "48\u00a0% less spin"), (0.54, 0.3, 0.8, "46\u00a0% less spin"), (0.66, 0.6, 0.7, "about two thirds "
     "of the spin"), (1.0, 0.9, 1.1, "about the same spin"), (1.3, 1.2, 1.4, "30\u00a0% more spin"),
    (2.0, 1.5, 2.5, "about twice the spin"), (4.2, 4, 5, "4.2 times the spin")])
def test_shares_in_words(value, low, high, words):
    """A fraction is named only where it is near and fits the shots."""
    assert share_in_words(ss.Estimate(value=value, low=low, high=high), "spin") == words


def test_long_names_are_cut_and_numbers_are_short():
    assert called("wet, with blocked grooves and sand") == "wet, with blocked…"
    assert called("wet") == "wet" and len(called("w" * 300)) <= 25
    say = saying("launch_angle")
    assert (say.briefly(8.94 * deg), say.briefly(4.94 * deg), say.briefly(-4.96 * deg)) == ("9° higher", "4.9° higher",
                                                                                           "5° lower")
    assert say.briefly(0.04 * deg) == "" and saying("apex").briefly(2.0) == "peak height 2.0 m higher"
    frame = close(5)
    frame["condition"] = frame["condition"].replace({"wet": "a very long name of many words " * 6})
    assert len(headline(frame).brief().split()) <= MOST_WORDS


def test_doubts_speak_the_units_asked_for():
    doubt = Caution("wet was swung ", "head_speed", 2 * mph, " than dry")
    assert doubt.words("yards") == "wet was swung 2.0 mph faster than dry"
    assert doubt.words() == "wet was swung 0.9 m/s faster than dry"


# -- no message of a library ------------------------------------------------------------------------------------------


def caught(do):
    try:
        do()
    except Exception as error:
        return error
    raise AssertionError("nothing was raised")


@pytest.mark.parametrize("do", [
    lambda: float("about six"),
    lambda: stats.ttest_ind([1.0], [2.0], alternative="sideways"),
    lambda: np.linalg.inv(np.zeros((2, 2))),
    lambda: pd.DataFrame({"a": [1]})["b"],
    lambda: None.hits])
def test_what_a_library_says_reaches_nobody(do):
    error = caught(do)
    assert not is_our_own(error) and message_of(error) == UNFORESEEN


def test_our_own_words_stay():
    error = caught(lambda: compare(close(3), by="state", of="spin_rate"))
    assert is_our_own(error) and "no column 'state'" in message_of(error)
    full = OSError(28, "No space left on device")
    assert message_of(full).startswith("the file or folder could not be used: No space left on device")


def test_a_solver_that_fails_inside_a_comparison_is_told_in_our_words(monkeypatch):
    def fails(*_, **__):
        return np.linalg.inv(np.zeros((2, 2)))

    monkeypatch.setattr(ss, "permutation", fails)
    head = headline(close(6))
    assert head.open[0] == ("spin_rate", f"could not be compared: {UNFORESEEN}")
