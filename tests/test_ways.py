"""Three ways to play one distance: they finish at the hole, scatter as known cases must, and own shots give own scatter."""

from dataclasses import replace

import numpy as np
import pandas as pd
import pytest

from spinlab.evidence.ownspread import latest, own_spread, sd_range
from spinlab.physics.shot import play
from spinlab.physics.spread import Scatter, Spread
from spinlab.physics.ways import LOOKED_AT, ORDINARY_SPEED, WAYS, grown, repeats, speed_to_finish
from spinlab.records import Air, Ball, Between, Face, Green
from spinlab.show.entry import Entry
from spinlab.units import deg, um

FACE, BALL = Face(), Ball.published_soft_cover()
TIDY = Spread(head_speed=0.006, dynamic_loft=0.4 * deg, attack_angle=0.3 * deg, normal_offset=5e-5, correlation={})


@pytest.fixture(scope="module")
def thirty():
    return repeats(WAYS, FACE, BALL, distance=30.0, spread=Spread.tuned_club(), shots=1024)


# -- aim --------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("way", WAYS, ids=lambda way: way.name)
@pytest.mark.parametrize("distance", [12.0, 30.0, 50.0])
def test_the_meant_shot_finishes_at_the_hole(way, distance):
    speed = speed_to_finish(distance, way, FACE, BALL, Between(), Air(), Green())
    total = float(play(way.delivery(speed), FACE, BALL).total)
    assert total == pytest.approx(distance, abs=0.2)  # read off a curve of 29 speeds, see the docstring [J]


def test_low_high_and_running_are_what_their_names_say(thirty):
    low, lob, bump = (one.scatter.shot for one in thirty)
    assert lob.path.apex.mean() > 2 * low.path.apex.mean() > 4 * bump.path.apex.mean()
    assert bump.run_out.mean() > low.run_out.mean() > lob.run_out.mean()
    assert thirty[1].head_speed > thirty[0].head_speed > thirty[2].head_speed


def test_out_of_reach_is_said():
    upright = replace(WAYS[1], name="straight up", dynamic_loft=80 * deg)
    with pytest.raises(ValueError, match=r"120.0 m is out of reach; a straight up .*ask for less"):
        speed_to_finish(120.0, upright, FACE, BALL, Between(), Air(), Green())


# -- known cases ------------------------------------------------------------------------------------------------------


def test_circular_normal_chance():
    # within r of the middle of a round normal scatter: 1 − exp(−r²/2σ²), Rayleigh (1880) [M]
    x, y = np.random.default_rng(5).standard_normal((2, 400_000))
    told = Scatter(shot=None, x=x, y=y, aim=(0.0, 0.0), causes={}).chance([0.5, 1.0, 1.5, 2.5])
    assert told == pytest.approx(1 - np.exp(-np.array([0.5, 1.0, 1.5, 2.5]) ** 2 / 2), abs=0.003)


def test_small_independent_scatters_add_as_squares():
    # the law of propagation, GUM 5.1.2 [M]: built from one cause at a time, met by all together
    for one in repeats(WAYS, FACE, BALL, distance=30.0, spread=TIDY, shots=1024):
        assert one.scatter.x.std() == pytest.approx(np.sqrt(sum(v**2 for v in one.alone.values())), rel=0.05)


def test_shots_are_the_same_without_each_cause_by_itself():
    dew = Between(water=20 * um)
    kw = {"distance": 30.0, "spread": Spread.tuned_club(), "shots": 64}
    for one, other in zip(repeats(WAYS, FACE, BALL, dew, **kw), repeats(WAYS, FACE, BALL, dew, alone=False, **kw)):
        for name in ("x", "y"):  # taken together with other shots a sum may round otherwise
            assert getattr(one.scatter, name) == pytest.approx(getattr(other.scatter, name), abs=1e-6)
        assert one.alone["water"] > 0 and one.alone["grass"] == 0 and other.alone == {}


def test_one_cause_alone_is_all_there_is():
    still = dict.fromkeys(("head_speed", "attack_angle", "normal_offset", "direction", "water", "grass"), 0.0)
    for one in repeats(WAYS, FACE, BALL, distance=25.0, spread=TIDY.but(**still), shots=1024):
        assert one.ranking[0] == "dynamic_loft"
        assert one.scatter.x.std() == pytest.approx(one.alone["dynamic_loft"], rel=0.02)
        assert all(one.alone[name] < 1e-9 for name in LOOKED_AT if name != "dynamic_loft")
        assert np.abs(one.scatter.y).max() < 1e-9


def test_no_scatter_always_holes_out():
    still = dict.fromkeys((*LOOKED_AT, "direction"), 0.0)
    for one in repeats(WAYS, FACE, BALL, distance=30.0, spread=TIDY.but(**still), shots=16):
        assert float(one.chance(0.3)) == 1.0


def test_even_draws_agree_with_random_ones(thirty):
    # another seed and sixteen times the shots: a chance moves by no more than sampling allows, 3 √(p(1−p)/1024) [C]
    many = repeats(WAYS, FACE, BALL, distance=30.0, spread=Spread.tuned_club(), shots=16384, seed=9)
    for few, all_ in zip(thirty, many):
        p = float(all_.chance(3.0))
        assert float(few.chance(3.0)) == pytest.approx(p, abs=3 * np.sqrt(p * (1 - p) / 1024))


# -- orders -----------------------------------------------------------------------------------------------------------


def test_better_players_finish_nearer():
    near = [[float(one.chance(3.0)) for one in repeats(WAYS, FACE, BALL, distance=30.0, spread=spread)]
            for spread in (Spread.tuned_touring(), Spread.tuned_club(), Spread.tuned_beginner())]
    assert (np.diff(near, axis=0) < 0).all()


def test_growth_is_nothing_at_the_ordinary_swing_and_doubles_at_twice_it():
    club = Spread.tuned_club()
    assert grown(club, ORDINARY_SPEED, 1.0) == club
    twice = grown(club, 2 * ORDINARY_SPEED, 1.0)
    assert twice.dynamic_loft == pytest.approx(2 * club.dynamic_loft)
    assert twice.head_speed == club.head_speed  # a share of the mean: it grows by itself
    assert grown(Spread.tuned_beginner(), 60.0, 1.0).dynamic_loft == 10 * deg  # the most a scatter may be


def test_the_longest_swing_suffers_most_from_growth():
    kw = {"distance": 30.0, "spread": Spread.tuned_club()}
    before, after = ([one.miss for one in repeats(WAYS, FACE, BALL, growth=g, **kw)] for g in (0.0, 1.0))
    assert after[1] > 1.2 * before[1] and after[2] < before[2]


def test_water_and_lie_scatter_only_where_there_is_some(thirty):
    assert all(max(one.alone["water"], one.alone["grass"]) < 1e-9 for one in thirty)
    wet = repeats(WAYS, FACE, BALL, Between(water=2 * um, grass=0.35), distance=30.0, spread=Spread.tuned_club())
    assert all(one.alone["water"] > 0 and one.alone["grass"] > 0 for one in wet)
    film = wet[0].scatter.causes["water"]
    assert film.min() > 0 and film.mean() == pytest.approx(2 * um, rel=0.02)  # lognormal: the mean stays [C]


def test_same_seed_same_shots(thirty):
    again = repeats(WAYS, FACE, BALL, distance=30.0, spread=Spread.tuned_club(), shots=1024)
    assert all((a.scatter.x == b.scatter.x).all() for a, b in zip(thirty, again))


@pytest.mark.parametrize(("changes", "said"), [({"shots": 100}, "power of two"), ({"growth": 2.0}, "growth"),
                                               ({"distance": -1.0}, "distance to the hole")])
def test_refusals(changes, said):
    with pytest.raises(ValueError, match=said):
        repeats(WAYS, FACE, BALL, **{"distance": 30.0, "spread": TIDY} | changes)


# -- own shots --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("df", "low", "high"), [(4, 0.599, 2.874), (9, 0.688, 1.826), (29, 0.796, 1.344)])
def test_range_of_a_scatter_from_the_chi_squared_table(df, low, high):
    # χ² at 0.025 and 0.975: 11.143, 0.4844 (4); 19.023, 2.7004 (9); 45.722, 16.047 (29), any printed table [M]
    assert sd_range(df) == pytest.approx((low, high), abs=0.001)


def frame(seed=1, each=400):
    """Two conditions a long way apart, with a scatter of 1° in loft and 2 % in head speed."""
    rng, parts = np.random.default_rng(seed), []
    for name, loft in ("dry", 44.0), ("wet", 52.0):
        parts.append(pd.DataFrame({"condition": name, "head_speed": 20 * (1 + 0.02 * rng.standard_normal(each)),
                                   "dynamic_loft": (loft + rng.standard_normal(each)) * deg}))
    return pd.concat(parts, ignore_index=True)


def test_scatter_is_that_within_conditions():
    own = own_spread(frame())
    assert own.spread.dynamic_loft / deg == pytest.approx(1.0, rel=0.1)
    assert own.spread.head_speed == pytest.approx(0.02, rel=0.1)
    assert (own.shots, own.df) == (800, 798)
    assert own.assumed == ("attack_angle", "normal_offset", "direction", "water", "grass")
    assert own.spread.attack_angle == Spread.tuned_club().attack_angle


def test_pooled_scatter_by_hand():
    # 1 2 3 and 11 12 13 14: within sums of squares 2 and 5, df 5, s² = 7/5 [C]
    values = np.array([1.0, 2, 3, 11, 12, 13, 14]) * deg
    own = own_spread(pd.DataFrame({"condition": list("aaabbbb"), "dynamic_loft": values}))
    assert own.spread.dynamic_loft / deg == pytest.approx(np.sqrt(7 / 5))
    assert own.df == 5


def test_few_shots_are_told_to_be_few():
    few = own_spread(frame(each=3))
    assert few.shots == 6 and few.high > 2.5
    assert "six shots" in few.say() and "hit more shots" in few.say()
    assert "hit more shots" not in own_spread(frame()).say()


def test_launch_direction_serves_as_direction():
    shots = frame().assign(launch_direction=np.random.default_rng(2).normal(0, 2 * deg, 800))
    assert own_spread(shots).spread.direction / deg == pytest.approx(2.0, rel=0.1)


@pytest.mark.parametrize(("table", "said"), [(pd.DataFrame({"carry": [1.0] * 9}), "no column"),
                                             (pd.DataFrame({"dynamic_loft": [0.7] * 4}), "no column")])
def test_tables_without_enough_are_refused(table, said):
    with pytest.raises(ValueError, match=said):
        own_spread(table)


def test_the_latest_typed_session_with_enough_shots_is_taken(tmp_path):
    assert latest(tmp_path) is None
    columns = {"columns": ("head_speed", "dynamic_loft"), "conditions": ("dry",), "units": "metric"}
    full, short = Entry(tmp_path / "a.journal", name="evening", **columns), Entry(tmp_path / "b.journal", **columns)
    for loft in (43, 44, 45, 46, 47):
        full.add(head_speed=20, dynamic_loft=loft)
    short.add(head_speed=20, dynamic_loft=44)  # one shot tells no scatter
    own = latest(tmp_path)
    assert own.shots == 5 and "From the session “evening”." in own.say()
    assert own.spread.dynamic_loft / deg == pytest.approx(np.sqrt(2.5))  # 43 … 47: squares sum to 10, df 4 [C]
