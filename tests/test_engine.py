"""What the engine must hold, through its public calls alone: against the stated equations integrated
anew (`reference`), smoothness, both sides of borders, the corners of every range.

`python tests/accuracy.py` asks the same for more shots and prints the table.
"""

import accuracy
import numpy as np
import pytest
import reference
from cases import flights, level_flights, strikes
from scipy.integrate import DOP853, LSODA, Radau

from spinlab.physics.contact import strike
from spinlab.physics.flight import fly
from spinlab.physics.green import land
from spinlab.physics.green_fit import landing
from spinlab.physics.shot import play
from spinlab.records import Air, Ball, Between, Delivery, Face, Green, Launch
from spinlab.units import deg, rpm, um

STRIKES, FLIGHTS = 300, 150

# -- the reference itself --------------------------------------------------------------------------


@pytest.mark.parametrize("method, rtol", [(Radau, 1e-8), (LSODA, 1e-10), (DOP853, 1e-12)],
                         ids=["Radau", "LSODA", "DOP853 at 1e-12"])
def test_three_integrators_agree(method, rtol):
    """An implicit and a multistep method and a hundredth of the tolerance: one answer each.

    Steps across a corner of a law (friction at 12.8 m/s, a film's cap) cost 3e-7 of the spin.
    """
    for number, (regime, case) in enumerate(strikes(22, seed=5)):
        one = reference.struck(*case)
        other = reference.struck(*case, rtol=rtol, method=method)
        scale = 0.05 * case.arriving.head_speed / case.ball.radius
        near = 1e-6 * max(abs(one.spin_rate), scale)
        assert other.spin_rate == pytest.approx(one.spin_rate, abs=near), (number, regime)
        assert other.launch_angle == pytest.approx(one.launch_angle, abs=1e-6), (number, regime)
        assert other.film_left == pytest.approx(one.film_left, rel=1e-5), (number, regime)
        assert other.time == pytest.approx(one.time, rel=1e-8), (number, regime)


@pytest.mark.parametrize("number", [11, 230, 279, 1066, 2080, 2173, 2417, 3734, 4301])
def test_strikes_that_are_hard_to_integrate(number):
    """Force, slip and limit meet zero or each other at nearly one instant here."""
    case = [case for _, case in strikes(number + 1)][-1]
    one, other = (reference.struck(*case, rtol=rtol) for rtol in (1e-10, 1e-12))
    assert one.phases == other.phases < 20
    scale = 0.05 * case.arriving.head_speed / case.ball.radius
    assert one.spin_rate == pytest.approx(other.spin_rate, abs=1e-6 * max(abs(other.spin_rate), scale))


@pytest.mark.parametrize("friction", [0.05, 0.2])
def test_the_reference_slides_at_atan_mu(friction):
    """Closed form (C); the integrator's own error is all that is left."""
    ball = Ball(friction=friction, friction_fast=friction)
    one = reference.struck(Delivery(head_speed=20.0, dynamic_loft=80 * deg), Face(), ball)
    assert one.slid_throughout
    assert 80 * deg - one.launch_angle == pytest.approx(np.arctan(friction), abs=1e-9)


def test_the_reference_flies_a_parabola_without_air():
    """v² sin 2α/g (C)."""
    launch = Launch(ball_speed=24.0, launch_angle=31 * deg, spin_rate=600.0)
    path = reference.flown(launch, drag_scale=0.0, lift_scale=0.0)
    assert path.carry == pytest.approx(24.0**2 * np.sin(62 * deg) / 9.80665, rel=1e-10)
    assert path.apex == pytest.approx((24.0 * np.sin(31 * deg)) ** 2 / (2 * 9.80665), rel=1e-9)


def test_the_reference_flies_linear_drag_and_lift():
    """w(t) = (w₀ + i g/l) e^(−l t) − i g/l with w = v_x + i v_z, l = a − i b: coefficients that go as
    1/U make the equation linear (closed form, C)."""
    a, b = 0.15, 0.25
    density, viscosity = reference.air(Air())
    pull = density * np.pi * 0.021335**2 / (2 * 0.04593)
    per_speed = 2 * 0.021335 * density / viscosity

    def linear(_, reynolds):
        return a * per_speed / (pull * reynolds), b * per_speed / (pull * reynolds)

    launch = Launch(ball_speed=25.0, launch_angle=np.arctan2(15, 20), spin_rate=600.0)
    path = reference.flown(launch, law=linear)
    l = a - 1j * b
    w = [(20 + 15j + 1j * 9.80665 / l) * np.exp(-l * t) - 1j * 9.80665 / l for t in (2.0, path.flight_time)]
    assert (w[0].real, w[0].imag) == pytest.approx((11.6200, 0.5563), abs=1e-3)
    assert path.landing_speed == pytest.approx(abs(w[1]), rel=1e-9)
    assert path.descent_angle == pytest.approx(-np.angle(w[1]), abs=1e-9)


# -- strikes ---------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def struck():
    return list(accuracy.strike_errors(STRIKES))


@pytest.mark.parametrize("what, place, allowed", [
    ("spin", 2, 1e-3), ("launch", 3, 0.01 * deg), ("ball speed", 4, 1e-3),
    ("contact time", 5, 2e-4), ("film left", 6, 2e-3)])
def test_strikes_of_every_regime(struck, what, place, allowed):
    """Dry, damp, wet, flooded, blocked, soiled, grass, plain, off centre, steady, corners."""
    worst = sorted(struck, key=lambda row: -row[place])[:3]
    assert worst[0][place] <= allowed, [(row[0], row[1], float(row[place])) for row in worst]


def test_many_strikes_are_struck_like_one():
    """The corner cases above in one array, each equal to its own to 1e-12."""
    faults = accuracy.corner_faults(300, seed=7, alone=300)
    assert faults.pop("one against array") == 0
    assert not any(faults.values()), faults


def test_corners_of_all_ranges():
    """20,000 whole shots: finite, no energy made, descents within 0 … 90°, one against the array."""
    faults = accuracy.corner_faults(20_000, alone=100)
    assert not any(faults.values()), faults


@pytest.mark.parametrize("friction", [0.0, 0.03, 0.1, 0.2, 0.3, 0.4])
@pytest.mark.parametrize("speed, head_mass, e", [(0.5, 0.05, 0.1), (20.0, 0.3, 0.8), (80.0, 5.0, 0.99)])
def test_sliding_throughout_leaves_at_atan_mu(friction, speed, head_mass, e):
    """atan μ below the normal to 1e-9 rad, whatever speed, head mass and restitution (C)."""
    ball = Ball(friction=friction, friction_fast=friction, restitution=e, restitution_slope=0.0)
    loft = np.array([72.0, 78.0, 84.0, 84.9]) * deg
    launch = strike(Delivery(head_speed=speed, dynamic_loft=loft), Face(head_mass=head_mass), ball)
    slid = launch.contact.grip_share == 0
    assert slid[-1]
    assert (loft - launch.launch_angle)[slid] == pytest.approx(np.arctan(friction), abs=1e-9)


@pytest.mark.parametrize("friction", [0.1, 0.2, 0.3])
def test_the_border_of_sliding_throughout(friction):
    """The steepest spin loft that still grips, found from the engine: beyond it atan μ to 1e-9,
    short of it less.  Near it there is no step."""
    ball = Ball(friction=friction, friction_fast=friction)

    def below(loft):
        launch = strike(Delivery(head_speed=20.0, dynamic_loft=loft), Face(), ball)
        return loft - launch.launch_angle, launch.contact.grip_share

    low, high = 20 * deg, 84 * deg
    assert below(low)[1] > 0 and below(high)[1] == 0
    for _ in range(50):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if below(middle)[1] > 0 else (low, middle)
    assert below(high)[0] == pytest.approx(np.arctan(friction), abs=1e-9)
    assert below(high + 1e-6)[0] == pytest.approx(np.arctan(friction), abs=1e-9)
    assert below(low)[0] == pytest.approx(np.arctan(friction), abs=1e-6)
    assert below(low - 2 * deg)[0] < np.arctan(friction) - 1e-6


# -- flights ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("cases", [flights(FLIGHTS), level_flights(40)], ids=["usual", "level"])
def test_flights(cases):
    """Carry and apex within 0.1 % or 5 mm, wind to 15 m/s, levels with lift near the weight."""
    for number, way, carry, apex in accuracy.flight_errors(cases):
        if way >= 5:
            assert carry <= 1 and apex <= 1, (number, way, carry, apex)


@pytest.mark.parametrize("speed", [45.0, 50.0, 60.0, 75.0])
def test_a_level_launch_rises_only_where_lift_exceeds_the_weight(speed):
    """Both sides of the border: nothing below it, above it a carry that begins at nothing."""
    for _, share, true, found in accuracy.border_errors((speed,)):
        if share < 1:
            assert found == true == 0, share
        else:
            assert found == pytest.approx(true, rel=1e-3, abs=5e-3), share
            assert share < 1.01 or true > 0.5


@pytest.mark.parametrize("speed, spin", [(60.0, 1562), (50.0, 2037)])
def test_a_level_launch_that_barely_rises(speed, spin):
    """60 m/s and 1,562 rpm at exactly 0° in standard air: down again after a centimetre or two (C)."""
    launch = Launch(ball_speed=speed, launch_angle=0.0, spin_rate=spin * rpm)
    true = reference.flown(launch).carry
    assert 0 < true < 0.02
    assert fly(launch).carry == pytest.approx(true, abs=1e-6)


# -- the ground ------------------------------------------------------------------------------------


def test_landings():
    """The first bounce is that of the equations; what is counted of the last, smallest bounces may
    move the run-out by no more than small hops do."""
    for number, first, spin, run_out in accuracy.landing_errors(300):
        assert first < 1e-9 and spin < 1e-7, number
        assert run_out <= 1, (number, run_out)


# -- smoothness ------------------------------------------------------------------------------------

SCANS = [(state, name) for state in accuracy.WATER for name in accuracy.INPUTS]
SHRINKS = 2.0
"""A hundred times finer, the largest step is a hundredth; where a curve bends most, the steepest of
its finer steps exceeds their mean by up to this (1.6 in the reference)."""


@pytest.mark.parametrize("state, name", SCANS)
def test_scans_of_strikes_are_smooth(state, name):
    """Each input in a thousand steps: second differences of spin and launch are those of the
    reference within 0.02 % of the range; finer steps shrink as many times."""
    worst = accuracy.strike_scan(name, accuracy.WATER[state], most=3)
    assert all(error <= 2e-4 for error, _ in worst.values()), worst
    left, place = accuracy.spin_shrinks(name, accuracy.WATER[state])
    assert left <= SHRINKS, place


@pytest.mark.parametrize("state, name", SCANS)
def test_run_out_has_no_steps(state, name):
    """The whole shot's run-out over each input of the strike, the bounces included.

    Where a bounce begins to grip the slope changes, so that the steepest finer step may exceed the
    mean by up to three; a step would not shrink at all, and leave 80 to 100.
    """
    left, place = accuracy.total_shrinks(name, accuracy.WATER[state])
    assert left <= 3.0, place


@pytest.mark.parametrize("name", accuracy.FLIGHT_INPUTS)
def test_scans_of_flights_are_smooth(name):
    left, place = accuracy.carry_shrinks(name)
    assert left <= SHRINKS, place


@pytest.mark.parametrize("name", ["landing_speed", "descent_angle", "spin", *accuracy.GREEN_INPUTS])
@pytest.mark.parametrize("angle", [15.0, 25.0, 45.0])
def test_scans_of_landings_are_smooth(name, angle):
    """Low, long shots bounce often: no step where one bounce more is counted."""
    left, place = accuracy.run_out_shrinks(name, angle=angle * deg)
    assert left <= SHRINKS, place


# -- bad input through the whole chain ---------------------------------------------------------------


@pytest.mark.parametrize("bad", [np.nan, np.ma.masked, "20", True, 10**400, 1j, None])
@pytest.mark.parametrize("kind, name", [
    (Delivery, "head_speed"), (Face, "roughness"), (Ball, "modulus"), (Between, "grass"), (Air, "wind"),
    (Green, "slope")])
def test_nothing_that_is_no_number_reaches_the_engine(kind, name, bad):
    with pytest.raises(ValueError, match=rf"{kind.__name__}\.{name} .*must lie in .*got"):
        usual = {"head_speed": 20.0, "dynamic_loft": 0.7} if kind is Delivery else {}
        usual |= {"friction": 0.3, "friction_fast": 0.3} if kind is Ball else {}
        kind(**usual | {name: bad})


def test_results_do_not_follow_the_arrays_they_came_from():
    """A shot worked out stays as it is, whatever the caller does with the arrays given."""
    speeds, water = np.array([18.0, 20.0]), np.array([0.0, 20 * um])
    arriving = Delivery(head_speed=speeds, dynamic_loft=0.7)
    between = Between(water=water)
    before = play(arriving, Face(), Ball.published_soft_cover(), between)
    carry = before.carry.copy()
    speeds[:], water[:] = 30.0, 1e-3
    again = play(arriving, Face(), Ball.published_soft_cover(), between)
    assert (before.carry == carry).all() and (again.carry == carry).all()
    path = landing(speed=speeds, descent_angle=0.7, spin=300.0)
    run_out = land(path).run_out
    speeds[:] = 10.0
    assert (land(path).run_out == run_out).all()
