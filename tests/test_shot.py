"""The whole chain, the chain backwards, and the scatter of one player."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import chi2, spearmanr

from spinlab.physics.contact import strike
from spinlab.physics.flight import fly
from spinlab.physics.green import land
from spinlab.physics.shot import carry_to_speed, finish, play
from spinlab.physics.spread import NAMES, Spread, scatter
from spinlab.records import Air, Ball, Between, Delivery, Face, Green
from spinlab.units import deg, mph, um

FACE, BALL = Face(), Ball.published_soft_cover()
PITCH = Delivery(head_speed=45 * mph, attack_angle=-6 * deg, dynamic_loft=44 * deg)
WET = Between(water=20 * um)


# -- the chain --------------------------------------------------------------------------------------------------------


def test_play_is_the_chain():
    # by hand: strike, then fly, then land
    air, green = Air(wind=-3.0), Green(slope=1 * deg)
    shot = play(PITCH, FACE, BALL, WET, air, green)
    launch = strike(PITCH, FACE, BALL, WET)
    path = fly(launch, air, ball=BALL)
    assert shot.launch.spin_rate == launch.spin_rate
    assert shot.carry == path.carry
    assert shot.run_out == land(path, green, ball=BALL).run_out
    assert shot.total == shot.carry + shot.run_out


def test_finish_turns_with_the_shot():
    # geometry: turning the whole shot turns where it ends, on level ground and in still air
    straight, turned = play(PITCH, FACE, BALL), play(PITCH, FACE, BALL, direction=10 * deg)
    x, y = finish(straight)
    assert y == 0.0 and x == pytest.approx(straight.total)
    assert finish(turned) == pytest.approx((x * np.cos(10 * deg), x * np.sin(10 * deg)))


def test_a_water_film_flies_higher_and_runs_further():
    # common practice, no source: the wet pitch comes out higher, with less spin, and releases
    dry, wet = play(PITCH, FACE, BALL), play(PITCH, FACE, BALL, WET)
    assert wet.launch.spin_rate < dry.launch.spin_rate
    assert wet.launch.launch_angle > dry.launch.launch_angle
    assert wet.descent_angle > dry.descent_angle


def test_drawing_is_kept_when_asked():
    shot = play(PITCH.but(head_speed=np.array([15.0, 20.0])), FACE, BALL, points=11, trace=6)
    assert shot.path.z.shape == (11, 2) and shot.rest.trace_z.shape[1] == 2
    assert play(PITCH, FACE, BALL).rest.trace_x is None


# -- backwards --------------------------------------------------------------------------------------------------------


@settings(max_examples=15, deadline=None)
@given(st.floats(2, 90), st.floats(25, 60), st.floats(0, 100))
def test_speed_for_a_carry_and_back(carry, loft, water):
    # the right answer is known: playing the speed found gives the carry asked for
    between = Between(water=water * um)
    try:
        speed = carry_to_speed(carry, PITCH.but(dynamic_loft=loft * deg), FACE, BALL, between)
    except ValueError as trouble:
        assert "out of reach" in str(trouble)
        assert play(PITCH.but(dynamic_loft=loft * deg, head_speed=79.0), FACE, BALL, between).carry < carry
        return
    again = play(PITCH.but(dynamic_loft=loft * deg, head_speed=speed), FACE, BALL, between)
    assert again.carry == pytest.approx(carry, abs=2e-3)


def test_speeds_for_many_carries_at_once():
    carry, loft = np.linspace(5, 70, 6)[:, None], np.linspace(35, 60, 4) * deg
    speed = carry_to_speed(carry, PITCH.but(dynamic_loft=loft), FACE, BALL, air=Air(wind=-4.0))
    assert speed.shape == (6, 4)
    again = play(PITCH.but(dynamic_loft=loft, head_speed=speed), FACE, BALL, air=Air(wind=-4.0)).carry
    assert again == pytest.approx(np.broadcast_to(carry, (6, 4)), abs=2e-3)
    # more loft needs more speed for the same carry
    assert (np.diff(speed[:, 1:], axis=1) > 0).all()


def test_out_of_reach_is_said():
    with pytest.raises(ValueError, match=r"carry: 300.0 m is out of reach; this delivery carries [\d.]+ m at a head speed"):
        carry_to_speed(300.0, PITCH, FACE, BALL)
    with pytest.raises(ValueError, match=r"carry \(wanted carry\) must lie in"):
        carry_to_speed(-1.0, PITCH, FACE, BALL)


# -- scatter ----------------------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def club():
    return scatter(PITCH, FACE, BALL, WET, spread=Spread.tuned_club(), shots=2000, seed=7)


def test_no_scatter_hits_the_aim():
    none = dict.fromkeys(NAMES, 0.0)
    out = scatter(PITCH, FACE, BALL, WET, spread=Spread(**none), shots=5)
    assert out.x == pytest.approx(np.full(5, out.aim[0])) and out.y == pytest.approx(np.zeros(5))
    assert out.chance(0.01) == 1.0
    assert out.ranking() == {}


def test_causes_have_the_spread_asked_for(club):
    # the right answer is known: standard deviations and correlation of 2,000 normal draws, within four standard errors
    spread, near = Spread.tuned_club(), 4 / np.sqrt(2 * 2000)
    assert club.causes["dynamic_loft"].std() == pytest.approx(spread.dynamic_loft, rel=near)
    assert club.causes["head_speed"].std() / PITCH.head_speed == pytest.approx(spread.head_speed, rel=near)
    tied = np.corrcoef(club.causes["dynamic_loft"], club.causes["attack_angle"])[0, 1]
    assert tied == pytest.approx(0.5, abs=4 * 0.75 / np.sqrt(2000))


def test_same_seed_same_shots(club):
    again = scatter(PITCH, FACE, BALL, WET, spread=Spread.tuned_club(), shots=2000, seed=7)
    other = scatter(PITCH, FACE, BALL, WET, spread=Spread.tuned_club(), shots=2000, seed=8)
    assert (again.x == club.x).all() and not (other.x == club.x).any()


def test_ellipse_holds_its_share(club):
    # the right answer is known: points of a two-dimensional normal inside the ellipse, chi-squared with two degrees
    rng = np.random.default_rng(5)
    x, y = np.linalg.cholesky([[9.0, 2.0], [2.0, 4.0]]) @ rng.standard_normal((2, 20_000)) + [[50.0], [1.0]]
    made = type(club)(shot=club.shot, x=x, y=y, aim=(50.0, 1.0), causes={})
    centre, (long, short), angle = made.ellipse(0.90)
    values = np.linalg.eigvalsh([[9.0, 2.0], [2.0, 4.0]])
    assert (long, short) == pytest.approx(np.sqrt(chi2.ppf(0.90, 2) * values[::-1]), rel=0.03)
    assert centre == pytest.approx((50.0, 1.0), abs=0.1)
    u = (x - centre[0]) * np.cos(angle) + (y - centre[1]) * np.sin(angle)
    v = (y - centre[1]) * np.cos(angle) - (x - centre[0]) * np.sin(angle)
    assert np.mean((u / long) ** 2 + (v / short) ** 2 <= 1) == pytest.approx(0.90, abs=0.01)


def test_chance(club):
    chance = club.chance([0.5, 2.0, 5.0, 100.0])
    assert (np.diff(chance) > 0).all() and chance[-1] == 1.0
    assert club.chance(3.0, hole=(club.aim[0] + 40, 0.0)) < 0.01


def test_ranking_is_spearman(club):
    # outside check: SciPy's rank correlation
    ranking = club.ranking()
    for name, value in ranking.items():
        assert value == pytest.approx(spearmanr(club.causes[name], club.x).statistic, abs=1e-9)
    assert np.all(np.diff(np.abs(list(ranking.values()))) <= 0)
    # direction matters for the side and for nothing else
    assert next(iter(club.ranking(club.y))) == "direction"
    assert ranking["head_speed"] > 0.3


def test_better_players_scatter_less():
    # our presets are in order
    sizes = [
        scatter(PITCH, FACE, BALL, spread=spread, shots=500).ellipse()[1][0]
        for spread in (Spread.tuned_touring(), Spread.tuned_club(), Spread.tuned_beginner())
    ]
    assert sizes == sorted(sizes)


def test_own_shots_give_the_spread():
    # the right answer is known: columns made with known scatter and correlation
    rng = np.random.default_rng(11)
    a, b = rng.standard_normal((2, 4000))
    shots = {"head_speed": 20 * (1 + 0.03 * a), "dynamic_loft": 44 * deg + 2 * deg * (0.6 * a + 0.8 * b)}
    spread = Spread.from_shots(shots)
    assert spread.head_speed == pytest.approx(0.03, rel=0.05)
    assert spread.dynamic_loft == pytest.approx(2 * deg, rel=0.05)
    assert spread.matrix[0, 1] == pytest.approx(0.6, abs=0.04)
    assert spread.attack_angle == Spread().attack_angle


@settings(max_examples=10, deadline=None)
@given(st.floats(5, 40), st.floats(15, 70), st.floats(-12, 3), st.floats(0, 200))
def test_no_player_breaks_it(speed, loft, attack, water):
    aim = Delivery(head_speed=speed, dynamic_loft=loft * deg, attack_angle=attack * deg)
    out = scatter(aim, FACE, BALL, Between(water=water * um), spread=Spread.tuned_beginner(), shots=64)
    assert np.isfinite(out.x).all() and np.isfinite(out.y).all()


def test_refusals():
    with pytest.raises(ValueError, match="use two different names of head_speed"):
        Spread(correlation={("loft", "head_speed"): 0.3})
    with pytest.raises(ValueError, match="must lie in −1 … 1, got 1.5"):
        Spread(correlation={("dynamic_loft", "head_speed"): 1.5})
    with pytest.raises(ValueError, match="cannot all hold together"):
        pairs = (("dynamic_loft", "head_speed"), ("dynamic_loft", "attack_angle"), ("head_speed", "attack_angle"))
        Spread(correlation=dict(zip(pairs, (0.9, 0.9, -0.9))))
    with pytest.raises(ValueError, match="at least 5 complete shots"):
        Spread.from_shots({"head_speed": [20.0, 21.0, np.nan]})
    with pytest.raises(ValueError, match="the scatter is about one shot"):
        scatter(PITCH.but(head_speed=np.array([18.0, 20.0])), FACE, BALL, spread=Spread())
    with pytest.raises(ValueError, match="level .*must lie between 0 and 1"):
        scatter(PITCH, FACE, BALL, spread=Spread(), shots=10).ellipse(1.0)
