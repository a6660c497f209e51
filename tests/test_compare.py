"""Comparing conditions: verdicts, words, cautions, refusals; error rate and coverage by seeded simulation.

The frames are invented.  Numbers are checked against SciPy and statsmodels, and against frames built so that the answer is
known.  Thresholds without another source are our judgement (J).
"""

import numpy as np
import pandas as pd
import pytest
from scipy import stats

from spinlab.evidence.compare import compare, headline
from spinlab.evidence.wording import saying
from spinlab.units import deg, mph, rpm, yd

AT = {"by": "condition"}


def shots(n, *, seed=3, order="ABBA", spin=(6200, 3200), sd=450, launch=(28, 36.5), carry=(40, 38), loft=(44, 44)):
    """An invented demonstration in SI: `n` dry and `n` wet shots in this order."""
    rng, wet = np.random.default_rng(seed), np.array([c == "B" for c in (order * n)[: 2 * n]])
    draw = lambda pair, scatter: np.where(wet, pair[1], pair[0]) + scatter * rng.normal(size=2 * n)  # noqa: E731
    return pd.DataFrame({
        "shot": np.arange(1, 2 * n + 1), "block": np.arange(2 * n) // 2, "condition": np.where(wet, "wet", "dry"),
        "head_speed": draw((20, 20), 0.4), "dynamic_loft": draw(loft, 1.2) * deg, "spin_rate": draw(spin, sd) * rpm,
        "launch_angle": draw(launch, 1.3) * deg, "carry": draw(carry, 1.6),
    })


def exactly(dry, wet, of="spin_rate"):
    """A frame with just these values."""
    return pd.DataFrame({"condition": ["dry"] * len(dry) + ["wet"] * len(wet), of: [*dry, *wet]})


def test_difference_is_scipys_welch():
    frame = shots(8)
    c = compare(frame, **AT, of="spin_rate").only
    dry, wet = (frame.spin_rate[frame.condition == name] for name in ("dry", "wet"))
    outside = stats.ttest_ind(wet, dry, equal_var=False)
    low, high = outside.confidence_interval()
    assert (c.test.t, c.test.p, c.test.df) == pytest.approx((outside.statistic, outside.pvalue, outside.df))
    assert (c.test.difference.low, c.test.difference.high) == pytest.approx((low, high))
    assert c.test.ratio.value == pytest.approx(wet.mean() / dry.mean())
    assert c.exact.complete and c.exact.arrangements == 12870


def test_adjusted_difference_is_the_formula_fit():
    from statsmodels.formula.api import ols

    frame = shots(8, loft=(43, 45))
    verdict = compare(frame, **AT, of="spin_rate", adjust=["dynamic_loft", "head_speed"])
    outside = ols("spin_rate ~ C(condition) + dynamic_loft + head_speed", frame).fit()
    assert verdict.only.test.difference.value == pytest.approx(outside.params["C(condition)[T.wet]"])
    assert verdict.only.test.p == pytest.approx(outside.pvalues["C(condition)[T.wet]"])
    assert verdict.adjusted_for == ("dynamic_loft", "head_speed")
    assert verdict.sentence().startswith("Shown: at the same dynamic loft and head speed, wet spun")


def test_adjusting_takes_out_the_swing():
    """Built so that the raw difference is all dynamic loft: adjusted, nothing is left to show."""
    rng = np.random.default_rng(4)
    frame = shots(10, loft=(43, 45.5), spin=(0, 0), sd=0)
    frame["spin_rate"] = (2000 + 100 * frame.dynamic_loft / deg + 60 * rng.normal(size=20)) * rpm
    assert compare(frame, **AT, of="spin_rate").only.outcome == "shown"
    assert compare(frame, **AT, of="spin_rate", adjust="dynamic_loft").only.outcome == "spread"


def test_pairs_are_scipys_paired_test():
    frame = shots(7)
    c = compare(frame, **AT, of="spin_rate", block="block", paired=True).only
    wide = frame.pivot(index="block", columns="condition", values="spin_rate")
    outside = stats.ttest_rel(wide["wet"], wide["dry"])
    assert (c.test.t, c.test.p) == pytest.approx((outside.statistic, outside.pvalue))
    assert c.exact.arrangements == 2**7
    assert compare(frame, **AT, of="spin_rate", block="block", paired=True).sentence().endswith("(7 pairs)")


def test_pairs_that_lack_a_condition_are_left_out_and_counted():
    frame = shots(7)
    frame.loc[0, "spin_rate"] = np.nan
    verdict = compare(frame, **AT, of="spin_rate", block="block", paired=True)
    assert verdict.only.other.n == 6
    assert "left out one block without every condition" in verdict.warnings


def test_turning_it_round_turns_the_answer_round():
    frame = shots(6)
    there, back = (compare(frame, **AT, of="spin_rate", baseline=b).only for b in ("dry", "wet"))
    assert there.test.difference.low == pytest.approx(-back.test.difference.high)
    assert there.test.ratio.low == pytest.approx(1 / back.test.ratio.high)
    assert (there.p, there.exact.hits) == (back.p, back.exact.hits)


def test_units_rows_and_order_of_rows_do_not_matter():
    frame = shots(6)
    a = compare(frame, **AT, of="spin_rate", baseline="dry").only
    other = frame.sample(frac=1, random_state=1).assign(spin_rate=lambda f: f.spin_rate / rpm)
    b = compare(other, **AT, of="spin_rate", baseline="dry").only
    assert (a.p, a.test.ratio.low) == pytest.approx((b.p, b.test.ratio.low))
    assert a.test.difference.low == pytest.approx(b.test.difference.low * rpm)


def test_blocks_take_out_a_step_between_blocks():
    frame = shots(8)
    stepped = frame.assign(spin_rate=frame.spin_rate + 40 * frame.block)
    a, b = (compare(f, **AT, of="spin_rate", block="block").only.test for f in (frame, stepped))
    assert (a.difference.value, a.se, a.p) == pytest.approx((b.difference.value, b.se, b.p))
    assert compare(stepped, **AT, of="spin_rate").only.test.se > 2 * b.se


def test_sentence_with_its_numbers():
    # hand calculation: means 600 and 300 rad/s, sd 10 both, 5 each: se = 10 √(2/5), t(0.975, 8) = 2.306004 (M)
    base = np.array([-1, -1, 0, 1, 1.0])
    values = 600 + 10 * base, 300 + 10 * base
    verdict = compare(exactly(*values), **AT, of="spin_rate")
    half = 2.306004 * 10 * np.sqrt(2 / 5)
    assert verdict.only.test.difference.high == pytest.approx(-300 + half, rel=1e-6)
    assert verdict.sentence() == "Shown: wet spun 0.50 times as much as dry (0.48 to 0.52). (5 dry and 5 wet shots)"


def test_sentence_in_metres_and_in_yards():
    frame = exactly([40, 41, 42, 40, 41, 42.0], [30, 31, 32, 30, 31, 32.0], of="carry")
    c = compare(frame, **AT, of="carry")
    assert "wet carried 10.0 m shorter than dry (8.8 m to 11.2 m)" in c.sentence()
    assert f"wet carried {10 / yd:.1f} yd shorter than dry" in c.sentence("yards")
    with pytest.raises(ValueError, match="metric, yards, got 'feet'"):
        c.sentence("feet")


def test_ratio_is_not_said_of_angles():
    frame = shots(6)
    c = compare(frame, **AT, of="launch_angle").only
    assert c.test.ratio is None
    assert "° higher than dry" in compare(frame, **AT, of="launch_angle").sentence()


def test_three_shots_each_are_never_enough():
    """However wide the gap: the exact test cannot go below 2 of 20 (C)."""
    verdict = compare(exactly([600, 601, 602], [100, 101, 102]), **AT, of="spin_rate")
    assert verdict.only.test.p < 1e-6 and verdict.only.outcome == "too few"
    assert "three shots each can never settle it" in verdict.sentence()
    assert "1 time in 10" in verdict.sentence()
    assert "three shots each can never reach 5 %" in verdict.warnings[0]
    assert verdict.only.needed >= 4


def test_not_shown_says_how_many_would_tell_and_never_no_difference():
    verdict = compare(exactly([600, 640, 560, 620, 580], [590, 630, 540, 600, 570]), **AT, of="spin_rate")
    said = verdict.sentence()
    assert said.startswith("Not shown with this few shots: on average wet spun")
    assert "shots each would be needed" in said
    assert "no difference" not in said
    assert verdict.only.needed > 5


def test_needed_keeps_its_promise():
    """The number said is enough: new demonstrations of that size, true difference as seen, are shown 80 % of the time.

    300 made-up demonstrations; tolerance three Monte Carlo standard errors (7 %).
    """
    c = compare(shots(6, spin=(6200, 5700), seed=9), **AT, of="spin_rate").only
    assert c.outcome == "spread"
    rng, hits = np.random.default_rng(1), 0
    for _ in range(300):
        dry, wet = rng.normal(0, c.scatter, (2, c.needed))
        hits += stats.ttest_ind(wet + c.test.difference.value, dry, equal_var=False).pvalue <= 0.05
    assert hits / 300 == pytest.approx(0.80, abs=0.07)


def test_shown_to_be_small():
    frame = shots(12, spin=(6200, 6200), sd=150)
    verdict = compare(frame, **AT, of="spin_rate", small=400 * rpm)
    dry, wet = (frame.spin_rate[frame.condition == name] for name in ("dry", "wet"))
    # outside check: statsmodels' two one-sided tests, unequal scatter
    from statsmodels.stats.weightstats import ttost_ind

    assert verdict.only.small_p == pytest.approx(ttost_ind(wet, dry, -400 * rpm, 400 * rpm, usevar="unequal")[0])
    assert verdict.only.outcome == "small"
    assert "differ in spin by less than 400 rpm" in verdict.sentence()


def test_asked_whether_small_and_not_shown():
    frame = exactly([600, 640, 560, 620, 580], [590, 630, 540, 600, 570])
    said = compare(frame, **AT, of="spin_rate", small=50 * rpm).sentence()
    assert said.startswith("Not shown") and "Nor is it shown to be smaller than 50 rpm." in said


def test_shown_and_small_at_once_says_both():
    frame = shots(20, spin=(6200, 5900), sd=100)
    assert "and it is small: less than 500 rpm" in compare(frame, **AT, of="spin_rate", small=500 * rpm).sentence()


def many(n=6):
    """Four conditions, two of them really different."""
    parts = [shots(n, seed=s) for s in (1, 2)]
    parts[1]["condition"] = parts[1].condition.replace({"dry": "damp", "wet": "soiled"})
    return pd.concat(parts, ignore_index=True).drop(columns="shot")


def test_several_conditions_are_held_to_holm():
    from statsmodels.stats.multitest import multipletests

    verdict = compare(many(), **AT, of="spin_rate")
    assert [c.other.name for c in verdict.comparisons] == ["wet", "damp", "soiled"]
    raw = [c.p_both for c in verdict.comparisons]
    assert [c.p for c in verdict.comparisons] == pytest.approx(multipletests(raw, method="holm")[1].tolist())
    assert any("judged together" in w for w in verdict.warnings)
    assert len(verdict.table()) == 3 and len(verdict.averages()) == 4
    with pytest.raises(ValueError, match="3 comparisons"):
        _ = verdict.only


def test_one_may_be_picked_from_several():
    verdict = compare(many(), **AT, of="spin_rate", baseline="damp", other="soiled")
    assert verdict.only.baseline.name == "damp" and verdict.only.other.name == "soiled"


def test_table_holds_si_numbers():
    line = compare(shots(6), **AT, of="spin_rate").table().iloc[0]
    assert line.difference == pytest.approx(-3000 * rpm, rel=0.2)  # 3000 rpm less, built so
    assert line.low < line.difference < line.high and line.outcome == "shown"


def test_missing_values_are_left_out_and_counted():
    frame = shots(8)
    frame.loc[[0, 1, 2], "spin_rate"] = np.nan
    verdict = compare(frame, **AT, of="spin_rate")
    assert verdict.only.other.n + verdict.only.baseline.n == 13
    assert verdict.warnings[0] == "left out without a spin: 1 dry and 2 wet shots"


def test_shots_without_a_condition_are_counted_and_odd_numbers_do_no_harm():
    frame = shots(6)
    frame["condition"] = frame.condition.astype(object)
    frame.loc[[0, 5], "condition"] = [None, "  "]
    verdict = compare(frame, **AT, of="spin_rate")
    assert verdict.warnings[0] == "left out without a condition: 2 shots"
    assert sum(g.n for g in verdict.groups) == 10
    again = compare(frame.assign(shot=[1, 2, 3] * 4), **AT, of="spin_rate")
    assert any("numbers of the shots repeat" in w for w in again.warnings)
    assert compare(frame.assign(shot=["1a"] * 12), **AT, of="spin_rate").only.p == verdict.only.p


def test_order_one_lot_after_the_other_is_cautioned():
    verdict = compare(shots(6, order="A" * 6 + "B" * 6), **AT, of="spin_rate")
    assert any("one lot after the other" in w for w in verdict.warnings)
    assert not any("one lot" in w for w in compare(shots(6), **AT, of="spin_rate").warnings)


def test_drift_is_found_where_it_was_put():
    frame = shots(8, sd=100)
    frame["spin_rate"] -= 60 * rpm * frame.shot
    found = [w for w in compare(frame, **AT, of="spin_rate").warnings if "drift" in w]
    assert found and "60 rpm slower each shot" in found[0]
    assert not any("drift" in w for w in compare(shots(8, sd=100), **AT, of="spin_rate").warnings)


def test_different_delivery_is_cautioned_until_adjusted_for():
    frame = shots(8, loft=(42, 45))
    assert any("adjust for dynamic loft" in w for w in compare(frame, **AT, of="spin_rate").warnings)
    assert not any("adjust for dynamic" in w for w in compare(frame, **AT, of="spin_rate", adjust="dynamic_loft").warnings)


def test_cautions_of_adjusting():
    few = compare(shots(5), **AT, of="spin_rate", adjust=["dynamic_loft", "head_speed"])
    assert few.adjusted_for == ("dynamic_loft",)  # at most one below six shots a group (common practice, no source)
    assert any("only dynamic loft was adjusted for" in w for w in few.warnings)
    apart = compare(shots(8, loft=(40, 48)), **AT, of="spin_rate", adjust="dynamic_loft")
    assert any("hardly overlap in dynamic loft" in w for w in apart.warnings)
    result = compare(shots(8), **AT, of="spin_rate", adjust="launch_angle")
    assert any("made by the strike" in w for w in result.warnings)
    frame = shots(10, sd=40)
    frame["spin_rate"] += np.where(frame.condition == "wet", 1, -1) * 120 * rpm * (frame.dynamic_loft / deg - 44)
    assert any("differently in each" in w for w in compare(frame, **AT, of="spin_rate", adjust="dynamic_loft").warnings)


def test_mixed_clubs_are_cautioned():
    frame = shots(6).assign(club=["wedge one", "wedge two"] * 6)
    assert any("mix more than one club" in w for w in compare(frame, **AT, of="spin_rate").warnings)


def test_best_shot_is_never_shown_as_typical():
    verdict = compare(shots(5), **AT, of="spin_rate")
    assert "best of five beats the average by about 1.2 times the scatter" in verdict.reading  # C: 1.163
    assert not any("best" in column or "max" in column for column in [*verdict.averages(), *verdict.table()])


def test_headline_says_three_things_in_one_breath():
    head = headline(shots(6, carry=(40, 36)))
    said = head.sentence("yards")
    assert said.startswith("Shown: wet spun 0.5") and "and carried" in said and said.count("Shown") == 1
    assert "launched" in said and "° higher" in said and said.endswith("(6 dry and 6 wet shots)")
    assert head["spin_rate"].only.several == 3
    with pytest.raises(KeyError, match="apex was not compared"):
        _ = head["apex"]


def test_headline_does_without_what_was_not_measured():
    head = headline(shots(6).drop(columns="carry"))
    assert [v.of for v in head.verdicts] == ["spin_rate", "launch_angle"]
    assert "carry was not measured, so nothing is said about it" in head.warnings
    with pytest.raises(ValueError, match="none of spin_rate, launch_angle and carry"):
        headline(shots(6)[["condition", "head_speed"]])


def test_headline_goes_on_where_one_measure_cannot_be_compared():
    head = headline(shots(6).assign(carry=40.0))
    assert [v.of for v in head.verdicts] == ["spin_rate", "launch_angle"]
    assert any(w.startswith("carry could not be compared: no scatter") for w in head.warnings)
    with pytest.raises(ValueError, match="'icy' is not in column"):
        headline(shots(6), baseline="icy")


def test_four_each_cannot_say_three_things():
    head = headline(shots(4))  # C: 3 · 2/70 = 0.086
    assert any("four shots each can never reach 5 % when three results are judged together" in w for w in head.warnings)
    assert "Shown:" not in head.sentence()


@pytest.mark.parametrize("change, message", [
    (lambda f: compare(f, by="state", of="spin_rate"), "no column 'state'; it has shot, block"),
    (lambda f: compare(f, **AT, of="loudness"), "no column 'loudness'"),
    (lambda f: compare(f, **AT, of="spin_rate", baseline="icy"), "'icy' is not in column .*; the table has dry and wet"),
    (lambda f: compare(f, **AT, of="spin_rate", baseline="dry", other="dry"), "name each condition once"),
    (lambda f: compare(f[f.condition == "dry"], **AT, of="spin_rate"), r"1 condition\(s\) \(dry\); comparing needs two"),
    (lambda f: compare(f[:2], **AT, of="spin_rate"), "dry has 1 shot with this value"),
    (lambda f: compare(f.assign(spin_rate=600.0), **AT, of="spin_rate"), "no scatter"),
    (lambda f: compare(f.assign(spin_rate="lots"), **AT, of="spin_rate"), "holds 'lots' in row 0, not a number"),
    (lambda f: compare(f, **AT, of="spin_rate", adjust="spin_rate"), "cannot be adjusted for"),
    (lambda f: compare(f, **AT, of="spin_rate", paired=True), "name it with block="),
    (lambda f: compare(f, **AT, of="spin_rate", paired=True, block="block", adjust="head_speed"), "pairs are not adjusted"),
    (lambda f: compare(f, **AT, of="spin_rate", confidence=95), "0.5 … 1, got 95"),
    (lambda f: compare(f, **AT, of="spin_rate", small=0.0), "bound of a small difference must be above 0"),
])
def test_bad_input_is_refused_with_its_cure(change, message):
    with pytest.raises(ValueError, match=message):
        change(shots(6))


def test_false_alarms_are_at_most_five_percent():
    """400 made-up demonstrations without any difference: at most 5 % + 3 Monte Carlo standard errors (3.3 %)."""
    alarms = sum(compare(shots(5, spin=(5000, 5000), seed=s)[["condition", "spin_rate"]], **AT, of="spin_rate").shown
                 for s in range(400))
    assert 2 <= alarms <= 400 * (0.05 + 0.033)


def test_headline_false_alarms_are_at_most_five_percent():
    """200 made-up demonstrations, nothing different in three measures: any alarm at most 5 % + 3 MC errors (4.6 %)."""
    alarms = 0
    for seed in range(200):
        frame = shots(5, spin=(5000, 5000), launch=(30, 30), carry=(40, 40), seed=seed)
        frame = frame[["condition", "spin_rate", "launch_angle", "carry"]]
        alarms += any(c.outcome == "shown" for v in headline(frame).verdicts for c in v.comparisons)
    assert 1 <= alarms <= 200 * (0.05 + 0.046)


def test_a_large_table_is_compared_without_the_permutation_test():
    frame = shots(5000, order="AB")
    c = compare(frame, **AT, of="spin_rate").only
    assert c.exact is None and c.outcome == "shown"
    assert c.test.difference.holds(-3000 * rpm)


def test_words_for_measures_without_a_saying():
    assert "had a loudness" in saying("loudness").past
    assert saying("head_speed").by(-2 * mph, "yards") == "2.0 mph slower"
    assert saying("launch_angle").number(-8.94 * deg, signed=True) == "−8.9°"
