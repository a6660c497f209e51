"""From launch back to friction: mechanics by hand, round trips with the engine, and the honesty to say "cannot tell"."""

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rigid_impact import closed_strike

from spinlab.evidence.causes import CAUSES, possible, weigh
from spinlab.evidence.diagnose import MEASURED, diagnose
from spinlab.evidence.grip import ERRORS, EXPECTED, INERTIA, by_launch, by_spin, error, grip
from spinlab.physics.contact import strike
from spinlab.records import Ball, Between, Delivery, Face
from spinlab.units import deg, rpm, um

SOFT = Ball.published_soft_cover()


def shots(name="dry", *, n=8, seed=3, ball=SOFT, between=None, loft=44.0, offset=0.0, exact=False):
    """Shots made by the engine, with measurement errors: nothing but invented numbers."""
    rng = np.random.default_rng(seed)
    given = {"head_speed": rng.normal(20, 0.6, n), "dynamic_loft": rng.normal(loft, 1.5, n) * deg,
             "attack_angle": rng.normal(-5, 1, n) * deg}  # fmt: skip
    launch = strike(Delivery(**given, normal_offset=offset), Face(), ball, between or Between())
    true = given | {"ball_speed": launch.ball_speed, "launch_angle": launch.launch_angle, "spin_rate": launch.spin_rate}
    noise = 0.0 if exact else 1.0
    seen = {name: v + noise * error(name, v) * rng.standard_normal(n) for name, v in true.items()}
    return pd.DataFrame(seen).assign(condition=name), launch.contact.effective_friction


# -- mechanics --------------------------------------------------------------------------------------------------------


def test_both_ways_on_the_published_strike():
    # V 20, θ 50°, M 0.3, k 0.4, e 0.8, e_t 0: 4692.9 rpm, 20.5015 m/s, 11.804° below the normal [C]
    assert by_launch(dynamic_loft=50 * deg, launch_angle=50 * deg - 11.804 * deg) == pytest.approx(np.tan(11.804 * deg))
    spin_way = by_spin(ball_speed=20.5015, spin_rate=4692.9 * rpm, inertia_factor=0.4)
    assert spin_way == pytest.approx(np.tan(11.804 * deg), rel=1e-4)


@pytest.mark.parametrize(("friction", "below"), [(0.1, 5.711), (0.2, 11.310), (0.3, 16.699), (0.4, 21.801)])
def test_sliding_launch_gives_the_friction_back(friction, below):
    # sliding launch below the normal, atan μ [C]
    assert by_launch(dynamic_loft=45 * deg, launch_angle=(45 - below) * deg) == pytest.approx(friction, abs=2e-5)


@settings(max_examples=40, deadline=None, derandomize=True)
@given(friction=st.floats(0.02, 0.6), loft=st.floats(20, 75), speed=st.floats(5, 40), e_t=st.floats(0, 0.4),
       k=st.floats(0.36, 0.42))  # fmt: skip
def test_both_ways_agree_on_every_sphere_struck_through_its_middle(friction, loft, speed, e_t, k):
    hit = closed_strike(speed=speed, spin_loft=loft * deg, friction=friction, restitution=0.8, mass_ratio=0.15,
                        inertia_factor=k, tangential_restitution=e_t)  # fmt: skip
    launch_way = by_launch(dynamic_loft=loft * deg, launch_angle=loft * deg - hit.below_normal)
    spin_way = by_spin(ball_speed=hit.ball_speed, spin_rate=hit.spin_rate, inertia_factor=k)
    assert spin_way == pytest.approx(launch_way, rel=1e-9)
    assert launch_way <= friction * (1 + 1e-9)


# -- round trips ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("columns", [MEASURED, ("ball_speed", "spin_rate"), ("dynamic_loft", "launch_angle")])
@pytest.mark.parametrize("friction", [0.08, 0.15, 0.20, 0.30])
def test_interval_holds_the_friction(friction, columns):
    # 300 engine-made shots with errors of the stated size and k over its range: a nominal 90 % interval holds what was used,
    # and the friction itself, at least 83 % of the time (three standard errors of 300 trials, and a little for k) [C]
    rng = np.random.default_rng(11)
    ball = Ball(friction=friction, friction_fast=friction, inertia_factor=rng.uniform(*INERTIA, 300))
    frame, used = shots(n=300, ball=ball)
    found = grip({name: frame[name].to_numpy() for name in columns})
    assert np.mean((found.used.low <= used) & (used <= found.used.high)) > 0.83
    assert np.mean((found.friction.low <= friction) & (friction <= found.friction.high)) > 0.83


def test_interval_is_not_merely_wide():
    frame, _ = shots(n=100, ball=Ball(friction=0.12, friction_fast=0.12))
    found = grip(frame.drop(columns="condition").to_dict("series"))
    assert np.median(found.friction.high - found.friction.low) < 0.05
    assert np.median(found.friction.mid) == pytest.approx(0.12, abs=0.01)


def test_exact_shots_give_the_friction_back():
    # no measurement error: the middle of the interval is right but for k, 0.39 against 0.40, 2.5 % of the spin way [C]
    frame, used = shots(ball=Ball(friction=0.15, friction_fast=0.15), exact=True)
    found = grip(frame.drop(columns="condition").to_dict("series"))
    assert found.by_launch == pytest.approx(used, rel=1e-9)
    assert found.by_spin == pytest.approx(used, rel=0.03)
    assert found.friction.mid == pytest.approx(np.full(len(used), 0.15), rel=0.03)


def test_gripped_ball_has_no_upper_end():
    frame, _ = shots(ball=Ball(friction=0.45, friction_fast=0.45))
    finding = diagnose(frame)["dry"]
    assert finding.held == "gripped"
    assert np.isinf(finding.friction[2])
    assert finding.friction[0] > 0.18
    assert "at least" in finding.say()


def test_wet_against_dry():
    # common practice, no source: water about halves the spin; here the friction used falls to about half with it
    frame = pd.concat([shots("dry")[0], shots("wet", between=Between(water=30 * um), seed=4)[0]], ignore_index=True)
    found = diagnose(frame)
    assert found["dry"].level[0] < 1.0 < found["dry"].level[2]
    assert 0.40 < found["wet"].level[1] < 0.65
    assert found["wet"].held == "slid"
    assert "nothing needs to be blamed" in found["dry"].say()
    assert len(found.shots) == len(frame)
    assert list(found.shots["condition"]) == list(frame["condition"])


# -- causes -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("kind", "cause"),
    [
        ({"between": Between(water=30 * um)}, "water"),
        ({"between": Between(soil_on_lands=0.7)}, "soil or grass on the face"),
        ({"ball": Ball(friction=0.15, friction_fast=0.12)}, "hard or worn cover"),
    ],
)
def test_low_friction_is_found_and_not_pinned_on_one_cause(kind, cause):
    # launch and spin carry one number about friction: water, soil and cover must all stay possible
    finding = diagnose(shots("poor", n=12, **kind)[0])["poor"]
    assert cause in finding.possible
    assert len(finding.possible) >= 3
    assert finding.settled is None
    assert "clean and dry" not in finding.possible
    assert "strike off the ball's middle" not in finding.possible
    assert "cannot tell them apart" in finding.say()
    assert "dry face and ball, change nothing else" in finding.say()


def test_strike_off_the_middle_is_told_from_low_friction():
    finding = diagnose(shots("thin", n=12, offset=-1.5e-3)[0])["thin"]
    assert finding.fits[0].cause.name == "strike off the ball's middle"
    assert finding.loft_offset[2] < 0
    assert "blamed" not in finding.say()


def test_more_loft_than_thought():
    loft = EXPECTED["dynamic_loft"][0] / deg + 10
    frame = shots("high", n=12, loft=loft)[0].drop(columns="dynamic_loft")
    finding = diagnose(frame)["high"]
    assert finding.settled == "more loft than thought"
    assert "dynamic loft 44.5° ± 3.0°" in finding.say()
    measured = diagnose(shots("high", n=12, loft=loft)[0])["high"]  # measured: no doubt about it, and no cause
    assert all(fit.cause.name != "more loft than thought" for fit in measured.fits)


def test_shares_of_the_causes_add_up():
    fits = weigh({"spin_rate": 4000 * rpm, "launch_angle": 36 * deg, "dynamic_loft": 44 * deg, "head_speed": 20.0})
    assert sum(fit.share for fit in fits) == pytest.approx(1.0)
    assert [fit.share for fit in fits] == sorted((fit.share for fit in fits), reverse=True)
    assert set(possible(fits)) <= set(fits)
    assert len(weigh({"spin_rate": 4000 * rpm})) == len(CAUSES)
    assert "plausibility" in fits[0].say()


# -- honesty ----------------------------------------------------------------------------------------------------------


def test_only_spin_cannot_tell():
    finding = diagnose(shots()[0][["condition", "spin_rate"]])["dry"]
    assert finding.held == "unknown"
    assert finding.counted == 0
    assert finding.possible == ()
    assert finding.settled is None
    assert "cannot be told" in finding.say()
    assert "Not measured: head speed, ball speed, attack angle, dynamic loft and launch angle." in finding.say()


@pytest.mark.parametrize("gone", MEASURED)
def test_carries_on_without_any_one_column(gone):
    finding = diagnose(shots("wet", between=Between(water=30 * um))[0].drop(columns=gone))["wet"]
    assert finding.held == "slid"
    assert finding.missing == (gone,)
    assert finding.used[1] == pytest.approx(0.145, abs=0.03)
    assert "Not measured" in finding.say()


def test_missing_cells_and_impossible_ones():
    frame = shots(n=6)[0]
    frame.loc[0, ["ball_speed", "dynamic_loft"]] = np.nan
    frame.loc[1, "ball_speed"] = -3.0
    found = diagnose(frame)
    assert found["dry"].counted == 5  # the second still has launch and loft
    assert np.isnan(found.shots["used"][0])
    assert found.shots["used"].notna().sum() == 5
    assert found.notes == ("Set aside 1 impossible value(s) of ball speed.",)


def test_numbers_that_no_cause_explains():
    frame = pd.DataFrame({"ball_speed": [20.0] * 3, "spin_rate": [11000 * rpm] * 3, "launch_angle": [40 * deg] * 3,
                          "dynamic_loft": [44 * deg] * 3, "head_speed": [20.0] * 3})  # fmt: skip
    told = diagnose(frame).say()
    assert "more spin than the launch explains" in told
    assert "do not belong to one strike" in told


def test_without_conditions_and_with_other_errors():
    frame = shots(n=6)[0].drop(columns="condition")
    found = diagnose(frame)
    assert [f.name for f in found.findings] == ["all shots"]
    fine = diagnose(frame, errors={name: e / 3 for name, e in ERRORS.items()})
    width = [f.findings[0].used[2] - f.findings[0].used[0] for f in (fine, found)]
    assert width[0] < width[1]


def test_same_seed_same_words():
    frame = shots()[0]
    assert diagnose(frame).say() == diagnose(frame).say()


def test_refusals():
    with pytest.raises(ValueError, match="no shots"):
        diagnose(pd.DataFrame({"spin_rate": []}))
    with pytest.raises(KeyError, match="snow.*dry"):
        diagnose(shots()[0])["snow"]
