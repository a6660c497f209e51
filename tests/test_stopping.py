"""From a given launch to the stop: the speed that carries so far, and the band of the run.

Marks: S seen, Q quoted, M from memory, C computed, J our judgement.
"""

import numpy as np
import pytest

from spinlab import Air, Launch, catalogue, fly, land
from spinlab.physics.stopping import ball_speed_for_carry, stops
from spinlab.records import Aerodynamics
from spinlab.units import GRAVITY, deg, rpm

GREENS = list(catalogue.GREENS.values())
ANGLE, SPIN = np.array([31, 55]) * deg, np.array([6500, 2500]) * rpm


def launched(carry=45.0):
    return Launch(ball_speed=ball_speed_for_carry(carry, launch_angle=ANGLE, spin_rate=SPIN), launch_angle=ANGLE,
                  spin_rate=SPIN)


@pytest.mark.parametrize("angle", [10, 31, 45, 60, 80])
def test_without_air_the_speed_is_that_of_the_parabola(angle):
    """``v = √(g carry / sin 2θ)`` (closed form, C)."""
    found = ball_speed_for_carry(45.0, launch_angle=angle * deg, spin_rate=0.0,
                                 aerodynamics=Aerodynamics.constant(drag=0.0))
    assert found == pytest.approx(np.sqrt(GRAVITY * 45.0 / np.sin(2 * angle * deg)), rel=2e-4)


@pytest.mark.parametrize("carry", [10, 30, 60])
@pytest.mark.parametrize("wind", [-8, 0, 8])
def test_flown_again_it_carries_that_far(carry, wind):
    angle, spin = np.meshgrid(np.array([15, 31, 45]) * deg, np.array([0, 1500, 6000]) * rpm)
    speed = ball_speed_for_carry(float(carry), launch_angle=angle, spin_rate=spin, air=Air(wind=wind))
    again = fly(Launch(ball_speed=speed, launch_angle=angle, spin_rate=spin), Air(wind=wind))
    assert speed.shape == angle.shape and np.abs(again.carry - carry).max() < 0.01


def test_out_of_reach_is_said_with_what_can_be_reached():
    with pytest.raises(ValueError, match=r"300 m is out of reach; this launch carries \d+ m"):
        ball_speed_for_carry(300.0, launch_angle=80 * deg, spin_rate=600.0)
    with pytest.raises(ValueError, match="launch angle must lie in"):
        ball_speed_for_carry(30.0, launch_angle=-2 * deg, spin_rate=0.0)


def test_the_middle_of_each_stop_is_the_engine_itself():
    launch, found = launched(), stops(launched(), GREENS)
    for i, green in enumerate(GREENS):
        rest = land(fly(launch), green)
        assert found.run_out.mid[i] == pytest.approx(rest.run_out, abs=1e-9)
        assert found.first_bounce[i] == pytest.approx(rest.first_bounce, abs=1e-9)
        assert found.spin_after_first[i] == pytest.approx(rest.spin_after_first, abs=1e-9)


def test_bands_hold_their_middle_and_come_out_the_same_again():
    one, again = stops(launched(), GREENS), stops(launched(), GREENS)
    assert (one.run_out.low < one.run_out.mid).all() and (one.run_out.mid < one.run_out.high).all()
    assert (one.run_out.low == again.run_out.low).all() and one.greens == ("soft", "medium", "firm", "gripping")


def test_firm_runs_furthest_and_spin_stops_the_low_ball():
    """Orderings of the model: firm > medium > soft; of two low shots the one with less spin runs further.  The trial of the
    science document has 5.0 m for 24 m/s, 31°, 6,500 rpm on the medium green (C), here to ±1 m."""
    run = stops(launched(), GREENS).run_out.mid
    assert (run[2] > run[1]).all() and (run[1] > run[0]).all()
    spins = np.array([1500, 4000, 6500]) * rpm
    low = Launch(ball_speed=ball_speed_for_carry(45.0, launch_angle=31 * deg, spin_rate=spins), launch_angle=31 * deg,
                 spin_rate=spins)
    assert (np.diff(stops(low, GREENS).run_out.mid, axis=1) < 0).all()
    pitch = Launch(ball_speed=np.array([24.0]), launch_angle=31 * deg, spin_rate=6500 * rpm)
    trial = stops(pitch, [catalogue.GREENS["medium"]])
    assert trial.run_out.mid[0, 0] == pytest.approx(5.0, abs=1.0)
