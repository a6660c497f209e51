"""Strikes above and below the head's centre of mass: the head turns and pushes less."""

import numpy as np
import pytest

from spinlab.catalogue import BALLS, FACES, PITCH, WETNESS
from spinlab.physics.bands import band
from spinlab.physics.contact import strike
from spinlab.physics.shot import play
from spinlab.physics.uncertain import HEAD_TURNS, PARAMETERS
from spinlab.records import Between, Delivery
from spinlab.units import deg, mm, um

FACE, SOFT = FACES["fresh"], BALLS["soft cover"]
HEIGHTS = np.linspace(-20 * mm, 20 * mm, 41)
BETWEENS = [Between(), WETNESS["poured"].between(), Between(water=5 * um, grass=0.3)]


def met_at(height, face=FACE, between=None, arriving=PITCH, **more):
    return strike(arriving.but(strike_height=height), face, SOFT, between, **more)


@pytest.mark.parametrize("between", BETWEENS)
def test_level_with_the_centre_the_head_does_not_turn(between):
    """Identity, to the last bit: without a lever no inertia counts."""
    one, other = (met_at(0.0, FACE.but(head_inertia=inertia), between) for inertia in (3e-5, 1.0))
    assert one == other


@pytest.mark.parametrize("between", BETWEENS)
def test_a_head_that_cannot_turn_is_the_old_answer(between):
    """Limit I → ∞: what is left of the lever falls as 1/I."""
    old = met_at(0.0, between=between)
    misses = []
    for inertia in (1e-3, 1e-2, 1e-1, 1.0):
        now = met_at(15 * mm, FACE.but(head_inertia=inertia), between)
        misses.append([now.ball_speed - old.ball_speed, now.launch_angle - old.launch_angle])
    misses = np.abs(misses)
    assert misses[-1] == pytest.approx([0, 0], abs=2e-4)
    assert np.all(misses[:-1] / misses[1:] == pytest.approx(10, rel=0.2))


@pytest.mark.parametrize(("height", "inertia", "mass"), [
    (10 * mm, 9e-5, 0.3), (-20 * mm, 6e-5, 0.3), (5 * mm, 3e-5, 0.2)])
def test_point_mass_against_a_free_body(height, inertia, mass):
    """The classic collision: a point mass m meets a free body M, I at rest relative to it at a lever b.

    By hand, from momentum, angular momentum about the body's centre and restitution alone, solved as
    three linear equations for the speeds after (mechanics; no formula of the package).
    """
    speed = 20.0
    launch = met_at(height, FACE.but(head_inertia=inertia, head_mass=mass),
                    arriving=Delivery(head_speed=speed, dynamic_loft=0.0))
    e = launch.contact.normal_restitution
    # unknown: ball v, head V, turning w (its contact point moves at V + b w)
    after = np.linalg.solve(
        [[SOFT.mass, mass, 0.0],
         [SOFT.mass * height, 0.0, inertia],
         [1.0, -1.0, -height]],
        [mass * speed, 0.0, e * speed])
    assert launch.ball_speed == pytest.approx(after[0], rel=1e-9)
    assert launch.contact.head_speed_after == pytest.approx(after[1], rel=1e-9)
    energy = 0.5 * (SOFT.mass * after[0] ** 2 + mass * after[1] ** 2 + inertia * after[2] ** 2)
    assert energy < 0.5 * mass * speed**2


@pytest.mark.parametrize("between", BETWEENS)
def test_the_further_off_the_slower(between):
    """Monotony: ball speed falls with |b|, alike up and down; higher strikes start higher."""
    launch = met_at(HEIGHTS, between=between)
    upper = launch.ball_speed[20:]
    assert np.all(np.diff(upper) < 0)
    assert launch.ball_speed == pytest.approx(launch.ball_speed[::-1], rel=1e-12)
    assert launch.spin_rate == pytest.approx(launch.spin_rate[::-1], rel=1e-12)
    turned = launch.launch_angle - launch.launch_angle[::-1]
    assert np.all(turned[21:] > 0)


@pytest.mark.parametrize("speed", [8.0, 20.0, 40.0])
def test_the_launch_turns_by_the_face_turning_under_the_push(speed):
    """The force-weighted mean turn of a free head, integrated over the contact's own force."""
    arriving, height = PITCH.but(head_speed=speed), 10 * mm
    high = met_at(height, arriving=arriving, history=True)
    low = met_at(-height, arriving=arriving)
    h = high.contact.history

    def summed(values):
        return np.concatenate([[0.0], np.cumsum(0.5 * (values[1:] + values[:-1]) * np.diff(h.time))])

    given = summed(h.normal_force)
    turned = summed(given * height / FACE.head_inertia)
    mean = np.trapezoid(turned * h.normal_force, h.time) / given[-1]
    half = 0.5 * (high.launch_angle - low.launch_angle)
    # the share 1/9 stands for pushes a little different in shape
    assert half == pytest.approx(mean, rel=0.03)


def test_what_a_centimetre_costs():
    """A pitch met 1 cm high or low loses about 4 % of its ball speed (computed)."""
    middle, high = met_at(0.0), met_at(10 * mm)
    assert high.ball_speed / middle.ball_speed == pytest.approx(0.96, abs=0.01)
    assert 0.2 * deg < met_at(10 * mm).launch_angle - met_at(-10 * mm).launch_angle < 1.5 * deg
    assert play(PITCH.but(strike_height=10 * mm), FACE, SOFT).path.carry < play(PITCH, FACE, SOFT).path.carry


def test_the_head_s_inertia_has_a_place_in_the_bands():
    """Away from the middle it widens the band of ball speed; in the middle it moves nothing."""
    alone = (HEAD_TURNS,)
    off = band(PITCH.but(strike_height=15 * mm), FACE, SOFT, of="ball_speed", parameters=alone, n=64)
    level = band(PITCH, FACE, SOFT, of="ball_speed", parameters=alone, n=64)
    assert off.low < off.high
    assert level.low == level.high
    assert HEAD_TURNS.low < FACE.head_inertia < HEAD_TURNS.high
    assert HEAD_TURNS not in PARAMETERS
