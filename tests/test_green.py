"""Landing and roll: published numbers, worked cases, laws."""

import numpy as np
import pytest
from ground import lean, rolled, slid, stays
from hypothesis import given, settings
from hypothesis import strategies as st
from reference import landed
from scipy.optimize import brentq

from spinlab.kernel.ground import MOST_BOUNCES
from spinlab.physics.flight import BALL_RADIUS as R
from spinlab.physics.flight import fly
from spinlab.physics.green import LONGEST_ROLL, bounce, land, restitution_penner_2002, rolling_resistance
from spinlab.physics.green_fit import fit_green, landing
from spinlab.records import Green, Launch, Path
from spinlab.units import GRAVITY, deg, ft, rpm

PENNER = Green.published_penner_2002()
ALONG, DOWN = 18.6 * np.sin(44.4 * deg), 18.6 * np.cos(44.4 * deg)


def bounced(**moving):
    """One bounce, by name, with the lean of the ground it was worked out in."""
    frame = lean(moving["along"], moving["down"], moving["green"], moving.get("resting_tilt"))
    return bounce(**moving)._asdict() | {"frame": frame}


# -- published numbers ------------------------------------------------------------------------------------------------


def test_penner_2002_restitution():
    # Penner, Can. J. Phys. 80:931 (2002) (M)
    assert restitution_penner_2002(np.array([5, 10, 15, 20.0])) == pytest.approx([0.345, 0.225, 0.151, 0.121], abs=1e-3)
    assert restitution_penner_2002(np.array([21.0, 35.0])) == pytest.approx([0.120, 0.120], abs=1e-3)


@pytest.mark.parametrize("spin, along, up, after", [(0, 5.61, 3.89, -302), (600, 2.08, 2.92, -130)])
def test_reference_bounce(spin, along, up, after):
    # Penner's reference shot, 18.6 m/s at 44.4°, worked by hand with μ 0.4, F 1, θ_r 0 (C)
    out = bounced(along=ALONG, down=DOWN, spin=spin, green=PENNER, resting_tilt=0.0)
    assert out["frame"] == pytest.approx(15.4 * deg)
    assert (out["along"], out["up"]) == pytest.approx((along, up), abs=0.02)
    assert out["spin"] == pytest.approx(after, abs=1.0)


def test_haake_backspin_kept():
    # Haake 1987–94 (S): on one kind of green the ball keeps backspin above about 350 rad/s; that is μ 0.161 (C)
    spin = np.linspace(0, 700, 1401)
    kept = bounced(along=ALONG, down=DOWN, spin=spin, green=Green(friction=0.161, tilt=1.0), resting_tilt=0.0)["spin"] > 0
    assert spin[np.argmax(kept)] == pytest.approx(350, abs=5)
    assert not kept[: np.argmax(kept)].any() and kept[np.argmax(kept) :].all()


def test_haake_gripping_green():
    # the other kind (S): always rebounds with topspin
    out = bounced(along=ALONG, down=DOWN, spin=np.linspace(0, 600, 50), green=Green.tuned_gripping())
    assert (out["spin"] < 0).all()


@pytest.mark.parametrize("feet, value", [(12, 0.065), (4, 0.196)])
def test_rolling_resistance_penner_2002(feet, value):
    # Penner 2002 (M)
    assert rolling_resistance(feet * ft) == pytest.approx(value, abs=1e-3)


def test_green_speed_is_how_far_the_ramp_ball_rolls():
    # definition: 6.0 ft/s (1.83 m/s, Holmes 1986, M) rolls 10 ft on a 10 ft green, slowing at 0.549 m/s²
    time, distance, *_ = rolled(1.83, 0.0, Green(speed=10 * ft))
    assert distance == pytest.approx(3.048, rel=2e-3)
    assert 1.83 / time == pytest.approx(0.549, abs=1e-3)


def test_what_the_ramp_lets_go():
    # Bar with a V of 145°, notch 30 in up, let go near 20°: ideal rolling on the flanks of the V, by energy, leaves at
    # 6.18 ft/s (C); the nominal 6.0 ft/s is what is used (Holmes 1986, M), and a school sheet has 6.4 (S).  So the distance
    # may be 6 to 14 % off, the square of the speeds
    height, lever = 30 * 0.0254 * np.sin(20 * deg), np.sin(72.5 * deg)
    ideal = np.sqrt(2 * GRAVITY * height / (1 + 0.4 / lever**2))
    assert ideal / ft == pytest.approx(6.18, abs=0.005)
    assert rolling_resistance(10 * ft) == pytest.approx(1.83**2 / (2 * 5 / 7 * GRAVITY * 10 * ft), rel=2e-3)
    rolls = [rolled(v * ft, 0.0, Green())[1] for v in (6.0, 6.18, 6.4)]
    assert np.array(rolls) / rolls[0] == pytest.approx([1.0, 1.06, 1.14], abs=0.005)


def test_daish_skid():
    # Daish, The Physics of Ball Games (M): no spin, level: 5/7 of the speed is left, after 12 v²/(49 μ g)
    green, v = Green(friction=0.3), 4.0
    time, distance, _, rolling, _ = slid(v, 0.0, 0.0, 0.0, green)
    assert rolling == pytest.approx(5 / 7 * v)
    assert distance == pytest.approx(12 * v**2 / (49 * 0.3 * GRAVITY))
    assert time == pytest.approx(2 * v / (7 * 0.3 * GRAVITY))


def test_backspin_rolls_backwards():
    # mechanics: v_r = (5 v − 2 R ω)/7 turns its sign at R ω = 2.5 v
    v, spin = 1.0, np.array([2.49, 2.51]) / R
    assert [np.sign(slid(v, 0.0, s, 0.0, Green())[3]) for s in spin] == [1.0, -1.0]


@pytest.mark.parametrize("e_t", [0.0, 0.3, 0.8])
def test_a_gripping_bounce_goes_back_above_a_spin(e_t):
    # mechanics: flat ground and full grip: backwards if and only if R ω/v > (5 − 2 e_t)/(2 (1 + e_t))
    edge = (5 - 2 * e_t) / (2 * (1 + e_t))
    spin = np.array([0.99, 1.01]) * edge * 3.0 / R
    flat = Green(tilt=0.0, friction=1.0)
    out = bounced(along=3.0, down=20.0, spin=spin, green=flat.but(grip_restitution=e_t), resting_tilt=0.0)
    assert np.sign(out["along"]).tolist() == [1.0, -1.0]


@pytest.mark.parametrize(
    "speed, angle, spin, run_out, furthest",
    [
        # a trial of the same equations by another hand on a level, medium 10 ft green, a ballpark (C)
        (24, 31, 6500, 5.0, 5.0),
        (23, 41, 3500, 7.1, 7.1),
        (21, 55, 5000, 0.6, 0.6),
        (40, 28, 10000, 0.8, 1.7),
    ],
)
def test_ballpark(speed, angle, spin, run_out, furthest):
    path = fly(Launch(ball_speed=speed, launch_angle=angle * deg, spin_rate=spin * rpm))
    rest = land(path)
    # the trial's bounces end at a rebound of 0.25 m/s; ours are followed to rest
    landing_of_trial = path.landing_speed, path.descent_angle, path.landing_spin, Green()
    equations = landed(*landing_of_trial, last_rebound=0.25)
    assert (equations.run_out, equations.furthest) == pytest.approx((run_out, furthest), abs=0.2)
    to_rest = landed(*landing_of_trial)
    assert (rest.run_out, rest.furthest) == pytest.approx((to_rest.run_out, to_rest.furthest), abs=1e-3)


def test_hop_then_check():
    # the same trial (C): a forward hop of 3.4 m that keeps 1,750 rpm; the flatter spin of 3,500 rpm leaves topspin at once
    path = fly(Launch(ball_speed=[24, 23], launch_angle=np.array([31, 41]) * deg, spin_rate=np.array([6500, 3500]) * rpm))
    rest = land(path)
    assert rest.first_bounce[0] == pytest.approx(3.4, abs=0.15)
    assert rest.spin_after_first[0] / rpm == pytest.approx(1750, rel=0.1)
    assert rest.spin_after_first[1] < 0


def test_grip_never_checks_on_the_second_bounce():
    # C, after Haake's two kinds of green: with μ 0.40 no launch of the trial keeps backspin; "hop, then check" needs μ ≈ 0.2
    launch = Launch(ball_speed=[24.0, 23.0, 21.0, 40.0], launch_angle=np.array([31, 41, 55, 28]) * deg,
                    spin_rate=np.array([6500, 3500, 5000, 10000]) * rpm)  # fmt: skip
    path = fly(launch)
    assert (land(path, Green(friction=0.40)).spin_after_first < 0).all()
    assert (land(path, Green(friction=0.20)).spin_after_first > 0).tolist() == [True, False, True, True]


@pytest.mark.parametrize("angle, spin, run_out, apex", [(31, 6500, 5.0, 8), (41, 3500, 7.1, 12), (55, 2500, 4.1, 21)])
def test_same_carry_stopped_by_spin_or_by_height(angle, spin, run_out, apex):
    # 45 m of carry, a trial of the same equations by another hand (C): spin stops the low ball, height the spinless one
    def short(speed):
        return fly(Launch(ball_speed=speed, launch_angle=angle * deg, spin_rate=spin * rpm)).carry - 45.0

    path = fly(Launch(ball_speed=brentq(short, 10.0, 40.0), launch_angle=angle * deg, spin_rate=spin * rpm))
    assert land(path).run_out == pytest.approx(run_out, abs=0.15)
    assert path.apex == pytest.approx(apex, abs=0.5)


def test_three_degrees_of_tilt_change_the_run_out_much():
    # stated beside the model: ±3° of the 15.4° changes the run-out about 1.6 times (C); so metres are never sure
    path = fly(Launch(ball_speed=24.0, launch_angle=31 * deg, spin_rate=6500 * rpm))
    more, now, less = (land(path, Green(tilt=1.25 * (1 + turn / 15.4))).run_out for turn in (-3, 0, 3))
    assert more / now == pytest.approx(1.55, abs=0.15) and now / less == pytest.approx(1.6, abs=0.15)


def test_presets_hold_the_numbers_stated():
    # J, to be replaced by a fit to a user's own shots
    stated = {"firm": (0.30, 0.85, 1.15), "medium": (0.22, 1.25, 1.0), "soft": (0.22, 1.5, 0.85),
              "gripping": (0.40, 1.25, 1.0)}  # fmt: skip
    for green in (Green.tuned_firm(), Green.tuned_medium(), Green.tuned_soft(), Green.tuned_gripping()):
        assert (green.friction, green.tilt, green.restitution) == stated[green.name]
    assert (PENNER.friction, PENNER.tilt, PENNER.restitution) == (0.40, 1.0, 1.0)  # Penner 2002, M


def test_spin_stops_the_low_ball():
    # model: run-out falls all the way from 2,000 to 10,000 rpm, on every kind of green
    path = fly(Launch(ball_speed=24.0, launch_angle=31 * deg, spin_rate=np.linspace(2000, 10000, 9) * rpm))
    for green in (Green.tuned_firm(), Green.tuned_medium(), Green.tuned_soft(), Green.tuned_gripping()):
        assert (np.diff(land(path, green).run_out) < 0).all()


def test_presets_are_in_order():
    # our judgement: firmer runs further; each preset says its name
    path = fly(Launch(ball_speed=24.0, launch_angle=31 * deg, spin_rate=5000 * rpm))
    firm, medium, soft = (land(path, g).run_out for g in (Green.tuned_firm(), Green.tuned_medium(), Green.tuned_soft()))
    assert firm > medium > soft
    assert Green() == Green.tuned_medium()


def test_faster_greens_and_downhill_run_further():
    # model
    path = fly(Launch(ball_speed=24.0, launch_angle=31 * deg, spin_rate=5000 * rpm))
    assert (np.diff(land(path, Green(speed=np.linspace(6, 14, 9) * ft)).run_out) > 0).all()
    assert (np.diff(land(path, Green(slope=np.linspace(-3, 4, 15) * deg)).run_out) < 0).all()


# -- laws -------------------------------------------------------------------------------------------------------------

greens = st.builds(
    Green,
    speed=st.floats(3 * ft, 18 * ft),
    slope=st.floats(-10 * deg, 10 * deg),
    friction=st.floats(0, 1),
    tilt=st.floats(0, 3),
    restitution=st.floats(0.1, 1.6),
)
level_greens = greens.map(lambda green: green.but(slope=0.0))


def energy(along, across, up, spin, side_spin):
    """Per mass, of moving and turning."""
    return 0.5 * (along**2 + across**2 + up**2) + 0.2 * R**2 * (spin**2 + side_spin**2)


@settings(max_examples=300, deadline=None)
@given(st.floats(-50, 50), st.floats(-10, 10), st.floats(0, 60), st.floats(-1500, 1500), st.floats(-500, 500), greens,
       st.floats(0, 1))  # fmt: skip
def test_every_bounce_keeps_what_it_must(along, across, down, spin, side_spin, green, e_t):
    # mechanics: v_t − 0.4 R ω is conserved in the ground's tilted frame to 1e-9, and no energy is made
    moving = {"along": along, "across": across, "spin": spin, "side_spin": side_spin}
    out = bounced(**moving, down=down, green=green.but(grip_restitution=e_t))
    c, s = np.cos(out["frame"]), np.sin(out["frame"])
    before = along * c - down * s - 0.4 * R * spin
    after = out["along"] * c + out["up"] * s - 0.4 * R * out["spin"]
    assert after == pytest.approx(before, abs=1e-9)
    assert out["across"] - 0.4 * R * out["side_spin"] == pytest.approx(across - 0.4 * R * side_spin, abs=1e-9)
    told = {name: value for name, value in out.items() if name != "frame"}
    assert energy(**told) <= energy(**moving, up=down) * (1 + 1e-9) + 1e-12


@settings(max_examples=200, deadline=None)
@given(st.floats(-10, 10), st.floats(-10, 10), st.floats(-800, 800), st.floats(-300, 300), level_greens)
def test_slide_and_roll_lose_energy(along, across, spin, side_spin, green):
    # mechanics, level ground: rolling energy is 0.7 v² per mass
    time, dx, dy, rx, ry = slid(along, across, spin, side_spin, green)
    assert 0.7 * (rx**2 + ry**2) <= energy(along, across, 0, spin, side_spin) * (1 + 1e-9) + 1e-12
    assert time >= 0 and np.isfinite([dx, dy]).all()


@settings(max_examples=100, deadline=None, derandomize=True)
@given(st.floats(0.1, 3), st.floats(-1, 1), st.floats(-300, 300), level_greens, st.floats(0.25, 4))
def test_slide_and_roll_scale(along, across, spin, green, scale):
    # dimensional consistency: weight and friction are the only forces, so speeds × √s give lengths × s and times × √s
    def ends(speeds):
        time, x, y, rx, ry = slid(along * speeds, across * speeds, spin * speeds, 0.0, green)
        more, dx, dy = rolled(rx, ry, green)
        return np.array([x + dx, y + dy]), time + more

    (place, time), (far, later) = ends(1.0), ends(np.sqrt(scale))
    if np.hypot(*far) < LONGEST_ROLL and np.hypot(*place) < LONGEST_ROLL:
        assert far == pytest.approx(scale * place, rel=1e-7, abs=1e-9)
        assert later == pytest.approx(np.sqrt(scale) * time, rel=1e-7, abs=1e-9)


@settings(max_examples=200, deadline=None)
@given(st.floats(0, 60), st.floats(0, 90 * deg), st.floats(-1500, 1500), greens)
def test_every_landing_ends(speed, angle, spin, green):
    rest = land(landing(speed=speed, descent_angle=angle, spin=spin), green, trace=5)
    numbers = [rest.run_out, rest.run_side, rest.first_bounce, rest.spin_after_first, rest.time, rest.furthest]
    assert np.isfinite(numbers).all() and np.isfinite([rest.trace_time, rest.trace_x, rest.trace_z]).all()
    assert 0 <= rest.bounces <= MOST_BOUNCES
    assert rest.furthest >= max(rest.run_out, 0.0) - 1e-9
    assert rest.time >= 0 and (np.diff(rest.trace_time) >= -1e-9).all()
    # the drawing ends where the numbers say
    assert rest.trace_time[-1] == pytest.approx(rest.time, abs=1e-6)
    assert rest.trace_x[-1] == pytest.approx(rest.run_out * np.cos(green.slope), abs=1e-6)


@settings(max_examples=60, deadline=None)
@given(st.floats(2, 40), st.floats(5, 85), st.floats(-1000, 1000), st.floats(-400, 400), level_greens)
def test_left_and_right_are_alike(speed, angle, spin, side, green):
    nothing = np.zeros(2)
    path = Path(carry=nothing, side=nothing, apex=nothing, flight_time=nothing, descent_angle=angle * deg,
                landing_speed=speed, landing_spin=np.hypot(spin, side), landing_side_spin=side * np.array([1.0, -1.0]))
    rest = land(path, green)
    assert rest.run_out[0] == pytest.approx(rest.run_out[1], abs=1e-9)
    assert rest.run_side[0] == pytest.approx(-rest.run_side[1], abs=1e-9)
    # spin that drags to the left takes it left
    assert rest.run_side[0] * side <= 1e-9


def test_a_ball_curving_right_kicks_right():
    # trade knowledge (common practice, no source)
    rest = land(fly(Launch(ball_speed=30.0, launch_angle=35 * deg, spin_rate=5000 * rpm, spin_tilt=15 * deg)))
    assert rest.run_side > 0


def test_too_steep_to_stop():
    # mechanics: a ball stays on a slope only while tan β < ρ_g; 10 ft: 4.5°
    path = fly(Launch(ball_speed=24.0, launch_angle=31 * deg, spin_rate=5000 * rpm))
    slope = np.array([-8, -3, 0, 4, 8]) * deg
    rest = land(path, Green(slope=slope), trace=9)
    assert rest.stops.tolist() == [False, True, True, True, False]
    assert np.abs(rest.run_out).max() < LONGEST_ROLL + 40
    assert rest.run_out[0] > 40 and rest.run_out[4] < -40
    assert np.isfinite(rest.trace_x).all()


def test_the_threshold_of_staying():
    steepest = np.arctan(rolling_resistance(10 * ft))
    assert [stays(0.5, Green(slope=steepest + more * deg)) for more in (-0.1, 0.1)] == [True, False]


@settings(max_examples=40, deadline=None)
@given(st.floats(0.3, 2.0), st.floats(0.1, 0.6), st.floats(6, 14))
def test_bounce_has_no_steps(tilt, friction, feet):
    # continuity of one bounce in spin, angle and speed: half the spacing, half the change
    green = Green(tilt=tilt, friction=friction, speed=feet * ft)

    def biggest(n):
        angle = np.linspace(1, 90, n) * deg
        by_angle = bounced(along=18 * np.sin(angle), down=18 * np.cos(angle), spin=400.0, green=green)
        by_spin = bounced(along=ALONG, down=DOWN, spin=np.linspace(-600, 1200, n), green=green)
        by_speed = bounced(along=np.linspace(0.5, 20, n), down=np.linspace(0.5, 19, n), spin=400.0, green=green)
        sweeps = (by_angle, by_spin, by_speed)
        return np.array([[np.abs(np.diff(out[k])).max() for k in ("along", "spin", "up")] for out in sweeps])

    assert (biggest(1601) < 0.75 * biggest(801) + 1e-12).all()


def test_shots_do_not_feel_each_other():
    speed, spin = np.array([[8.0], [14.0], [20.0]]), np.linspace(-200, 900, 5)
    green = Green(slope=np.array([-2.0, -1.0, 0.0, 1.0, 6.0]) * deg)
    many = land(landing(speed=speed, descent_angle=40 * deg, spin=spin), green, trace=4)
    assert many.run_out.shape == (3, 5) and many.trace_x.shape[1:] == (3, 5)
    for i in range(3):
        for j in range(5):
            alone = land(landing(speed=speed[i, 0], descent_angle=40 * deg, spin=spin[j]), green[j])
            # one shot uses Python's own sines, many those of arrays: they differ in the last digit
            assert alone.run_out == pytest.approx(many.run_out[i, j], abs=1e-10)
            assert many[i, j].trace_x.shape == many.trace_x.shape[:1]


# -- a green from one's own pitch marks -------------------------------------------------------------------------------


def own_shots():
    launch = Launch(ball_speed=np.linspace(20, 26, 12), launch_angle=np.tile([28.0, 40.0, 52.0], 4) * deg,
                    spin_rate=np.linspace(3000, 9000, 12) * rpm)  # fmt: skip
    return fly(launch)


def test_fit_finds_the_green_that_made_the_shots():
    # the right answer is known: shots made on F 1.0, μ 0.30 with half a metre of scatter
    path = own_shots()
    noise = np.random.default_rng(3).normal(0, 0.5, 12)
    fit = fit_green(path, land(path, Green(tilt=1.0, friction=0.30)).run_out + noise)
    assert fit.tilt[0] <= 1.0 <= fit.tilt[2] and fit.friction[0] <= 0.30 <= fit.friction[2]
    assert fit.tilt[0] <= fit.tilt[1] <= fit.tilt[2] and fit.friction[0] <= fit.friction[1] <= fit.friction[2]
    assert fit.tilt_told and fit.friction_told
    # the best fit is no worse than the truth, and cannot follow more than two numbers' worth of the noise
    true_scatter = np.sqrt(np.sum(noise**2) / 10)
    assert 0.6 * true_scatter < fit.scatter <= true_scatter * 1.001
    assert land(path, fit.green).run_out == pytest.approx(land(path, Green(tilt=1.0, friction=0.30)).run_out, abs=1.0)


def test_fit_intervals_hold_the_truth_as_often_as_they_say():
    # by repetition on a known green (C): 90 % intervals, 60 seeded sets of shots; two standard errors of that are 8 %
    path, rng, held = own_shots(), np.random.default_rng(11), np.zeros(2)
    run_out = land(path, Green(tilt=1.3, friction=0.22)).run_out
    for _ in range(60):
        fit = fit_green(path, run_out + rng.normal(0, 0.5, 12))
        held += [fit.tilt[0] <= 1.3 <= fit.tilt[2], fit.friction[0] <= 0.22 <= fit.friction[2]]
    assert (held / 60 > 0.82).all() and (held / 60 < 0.99).all()


def test_fit_says_when_it_cannot_tell():
    # steep balls without spin grip on any turf: they say nothing about friction
    path = landing(speed=np.linspace(16, 19, 8), descent_angle=62 * deg, spin=np.zeros(8))
    fit = fit_green(path, land(path, Green(tilt=1.2, friction=0.4)).run_out + 0.3 * np.array([1, -1, 1, -1, 1, -1, 1, -1]))
    assert not fit.friction_told
    assert "cannot be told" in fit.sentence


def test_fit_refuses_too_little():
    path = own_shots()
    with pytest.raises(ValueError, match="at least 4 measured shots"):
        fit_green(path[:3], [1.0, 2.0, 3.0])
    with pytest.raises(ValueError, match="one of each per shot"):
        fit_green(path, np.arange(5.0))
    with pytest.raises(ValueError, match="got nan.*leave missing shots out"):
        fit_green(path, np.full(12, np.nan))
    with pytest.raises(ValueError, match="descent angle .*must lie in"):
        landing(speed=18.0, descent_angle=48.0, spin=300.0)
