"""Planning: power kept, orders balanced, the sheet complete, cautions there; seeded.

Marks: S seen in the source, M from memory, C computed, J our judgement.
"""

import numpy as np
import pandas as pd
import pytest
from scipy import stats

from spinlab.evidence.adjust import order_bias
from spinlab.evidence.compare import compare
from spinlab.evidence.plan import SCATTER, Scatter, chance, order_of, plan, scatter_of
from spinlab.units import deg, rpm

EFFECT, SPREAD = 1500 * rpm, 800 * rpm


def demonstration(made, rng):
    """A made-up demonstration that follows a plan, with the effect that was planned for."""
    wet = np.array([c == "wet" for c in made.order])
    spin = rng.normal(6000 * rpm, made.scatter, wet.size) - made.effect * wet
    return pd.DataFrame({"condition": made.order, "spin_rate": spin})


def test_planned_power_is_kept():
    """300 demonstrations that follow the plan, judged by compare itself; tolerance three Monte Carlo errors (4.2 %)."""
    made, rng = plan(EFFECT, SPREAD), np.random.default_rng(6)
    shown = sum(compare(demonstration(made, rng), by="condition", of="spin_rate", baseline="dry").shown for _ in range(300))
    assert made.chance >= 0.9
    assert shown / 300 == pytest.approx(made.chance, abs=0.042)


def test_small_plans_are_judged_by_the_exact_test_too():
    """Six each: below the t test's own power (0.8764, C), and what compare really shows; tolerance 3 MC errors (7 %)."""
    made, rng = plan(2.0, 1.0, wanted=0.8, at_least=2), np.random.default_rng(8)
    assert made.shots_each == 6 and made.chance < 0.8764
    shown = sum(compare(demonstration(made, rng), by="condition", of="spin_rate", baseline="dry").shown for _ in range(300))
    assert shown / 300 == pytest.approx(made.chance, abs=0.07)


def test_chance_is_r_power_t_test():
    assert chance(1.0, 1.0, 20) == pytest.approx(0.8689528, abs=1e-6)  # S


def test_chance_grows_with_shots_and_with_the_effect():
    assert np.all(np.diff([chance(1.5, 1.0, n) for n in (3, 4, 5, 6, 7, 8, 10, 15)]) > 0)
    assert np.all(np.diff([chance(d, 1.0, 6) for d in (0.5, 1.0, 1.5, 2.0)]) > 0)
    assert chance(0.0, 1.0, 8) == pytest.approx(0.05)  # nothing there: the level itself


def test_several_conditions_need_more():
    two = plan(EFFECT, SPREAD, order="blocks").shots_each
    assert plan(EFFECT, SPREAD, conditions=("dry", "damp", "wet"), order="blocks").shots_each > two


@pytest.mark.parametrize("order, steady, curved", [("ABBA", 0.0, None), ("ABBABAAB", 0.0, 0.0)])
def test_orders_cancel_drifts(order, steady, curved):
    hit, _ = order_of(("dry", "wet"), 8, order=order)  # C: a steady drift cancels; the eight cancels a curved one too
    assert order_bias(hit, "wet", "dry") == steady
    if curved is not None:
        assert order_bias(hit, "wet", "dry", degree=2) == curved


def test_blocks_by_lot_are_balanced_and_can_be_drawn_again():
    hit, blocks = order_of(("dry", "damp", "wet"), 5, order="blocks", seed=4)
    for b in set(blocks):
        assert sorted(c for c, of in zip(hit, blocks) if of == b) == ["damp", "dry", "wet"]
    assert (hit, blocks) == order_of(("dry", "damp", "wet"), 5, order="blocks", seed=4)
    assert hit != order_of(("dry", "damp", "wet"), 5, order="blocks", seed=5)[0]


@pytest.mark.parametrize("order, turn", [("ABBA", 2), ("ABBABAAB", 4), ("blocks", 1)])
def test_whole_turns_of_the_order(order, turn):
    made = plan(EFFECT, SPREAD, order=order, at_least=5)
    assert made.shots_each % turn == 0
    assert made.order.count("dry") == made.order.count("wet") == made.shots_each


def test_water_last_says_what_it_costs():
    made = plan(EFFECT, SPREAD, carry_over="last")
    assert made.order == ("dry",) * made.shots_each + ("wet",) * made.shots_each
    assert "dry fully afterwards and hit two more dry shots" in made.cautions[0]
    assert "No order cures carry-over" in plan(EFFECT, SPREAD).cautions[0]


def test_cautions_of_safety_and_of_the_rules():
    """Rules of Golf 4.1a(3) (Q) and 4.2a(2) (S): wetting on purpose is for practice only; safety comes first."""
    text = " ".join(plan(EFFECT, SPREAD).cautions)
    for words in ("Practice only", "4.1a(3)", "4.2a(2)", "licensed professionals come first", "Nobody within a full swing",
                  "stop word", "Impact-rated eyewear", "Stop on pain", "lightning", "no open water"):
        assert words in text
    assert "Practice only" not in " ".join(plan(EFFECT, SPREAD, conditions=("hard cover", "soft cover")).cautions)
    assert "Practice only" in " ".join(plan(EFFECT, SPREAD, conditions=("a", "b"), water=True).cautions)


def test_rules_are_written_down_beforehand():
    rules = plan(EFFECT, SPREAD, dynamic_loft=(40 * deg, 48 * deg)).rules
    assert any("dynamic loft is 40° … 48°" in r for r in rules)
    assert any("no more and no fewer" in r for r in rules) and any("never the best shot" in r for r in rules)


def test_sheet_has_a_line_for_every_shot_and_spare_ones():
    made = plan(EFFECT, SPREAD, lost=0.2)
    rows = made.sheet_rows()
    assert [r["shot"] for r in rows] == list(range(1, len(rows) + 1))
    assert [r["condition"] for r in rows if not r["spare"]] == list(made.order)
    # enough: if one in five is lost of all that are hit, the planned number is left
    assert (made.shots_each + made.spare) * 0.8 >= made.shots_each
    assert sum(r["spare"] for r in rows) == 2 * made.spare
    assert all(r["spin_rate"] == r["note"] == "" for r in rows)


def test_sentence_says_numbers_and_chance():
    made = plan(EFFECT, SPREAD)
    assert made.sentence() == (
        "Hit eight dry and eight wet shots, turn about (dry, wet, wet, dry), so that a steady drift cancels. If the true "
        "difference in spin is 1\u202f500 rpm and single shots scatter by 800 rpm, the chance of a convincing result is "
        "about 94 in 100.")
    assert "better than 99 in 100" in plan(5 * EFFECT, SPREAD).sentence()
    assert "yd" in plan(6.0, "club player", of="carry").sentence("yards")


def test_scatter_of_earlier_shots():
    # hand calculation: pooled variance (2·1 + 2·4)/4 = 2.5 (C)
    frame = pd.DataFrame({"condition": ["a"] * 3 + ["b"] * 3, "spin_rate": [1, 2, 3, 10, 12, 14.0]})
    found = scatter_of(frame, of="spin_rate")
    assert found.value == pytest.approx(np.sqrt(2.5)) and found.df == 4
    assert found.careful == pytest.approx(np.sqrt(2.5 * 4 / stats.chi2.ppf(0.2, 4)))  # outside check: SciPy's chi-squared
    assert plan(6.0, found).scatter == found.careful


def test_careful_scatter_is_enough_four_times_in_five():
    """500 earlier tables of 5 + 5 shots; tolerance three Monte Carlo standard errors (5.4 %)."""
    rng, label, enough = np.random.default_rng(2), ["a"] * 5 + ["b"] * 5, 0
    for _ in range(500):
        earlier = pd.DataFrame({"condition": label, "spin_rate": rng.normal(size=10)})
        enough += scatter_of(earlier, of="spin_rate").careful >= 1
    assert enough / 500 == pytest.approx(0.8, abs=0.054)


def test_presets_are_in_si_and_sensible():
    for preset in SCATTER.values():
        assert 200 * rpm < preset["spin_rate"] < 1000 * rpm and 0.5 * deg < preset["launch_angle"] < 3 * deg  # J


@pytest.mark.parametrize("change, message", [
    ({"effect": 0.0}, "effect of 0"),
    ({"effect": EFFECT / 300}, "more than 500 shots each"),
    ({"scatter": 0.0}, "scatter.*above 0, got 0"),
    ({"scatter": "tour"}, "no preset scatter 'tour' for 'spin_rate'; there are steady hitter and club player"),
    ({"order": "ABAB"}, "order must be one of ABBA, ABBABAAB, blocks, last, got 'ABAB'"),
    ({"conditions": ("dry", "damp", "wet")}, "use 'blocks' for more"),
    ({"conditions": ("dry", "dry")}, "two different conditions"),
    ({"wanted": 1.0}, "chance wanted must lie between 0 and 1, got 1.0"),
    ({"lost": 0.9}, "share of shots lost must lie in 0 … 0.6, got 0.9"),
    ({"carry_over": "ignored"}, "'dried' or 'last', got 'ignored'"),
])
def test_bad_input_is_refused_with_its_cure(change, message):
    with pytest.raises(ValueError, match=message):
        plan(**({"effect": EFFECT, "scatter": SPREAD} | change))


def test_scatter_record_and_missing_columns():
    assert Scatter(value=1.0, careful=1.2, df=8).careful == 1.2
    with pytest.raises(ValueError, match="no column 'spin_rate'"):
        scatter_of(pd.DataFrame({"condition": ["a"]}), of="spin_rate")
    with pytest.raises(ValueError, match="too few shots for a scatter"):
        scatter_of(pd.DataFrame({"condition": ["a", "b"], "spin_rate": [1.0, 2.0]}), of="spin_rate")
