"""The closed forms against published and computed numbers."""

import numpy as np
import pytest
import rigid_impact

from spinlab.physics.closed import critical_spin_loft
from spinlab.units import deg, rpm

RATIO = 0.04593 / 0.300
CLUB = {"speed": 20.0, "restitution": 0.8, "mass_ratio": RATIO}


@pytest.mark.parametrize("friction, below", [(0.1, 5.711), (0.2, 11.310), (0.3, 16.699), (0.4, 21.801)])
@pytest.mark.parametrize("speed, ratio, e", [(5.0, 0.0, 0.6), (20.0, RATIO, 0.8), (45.0, 0.4, 0.9)])
def test_sliding_leaves_at_atan_mu(friction, below, speed, ratio, e):
    """A ball that slides all through leaves at atan μ below the normal, whatever speed, e or head mass: closed form, C."""
    got = rigid_impact.closed_strike(speed=speed, spin_loft=80 * deg, friction=friction, restitution=e, mass_ratio=ratio)
    assert got.slides and got.below_normal / deg == pytest.approx(below, abs=0.001)


@pytest.mark.parametrize("friction, e_t, spin, speed, below", [
    (1.0, 0.0, 4692.9, 20.5015, 11.804), (0.38, 0.2, 5631, 20.69, 14.08), (0.10, 0.2, 2246, 20.17, 5.711)])
def test_grip_spin(friction, e_t, spin, speed, below):
    """V 20 m/s, θ 50°, M 0.3 kg, k 0.4, e 0.8: closed form, C; with e_t = 0 it is Penner 2001 (Q)."""
    got = rigid_impact.closed_strike(spin_loft=50 * deg, friction=friction, tangential_restitution=e_t, **CLUB)
    assert got.spin_rate / rpm == pytest.approx(spin, abs=0.1 if e_t == 0 else 0.6)
    assert got.ball_speed == pytest.approx(speed, abs=0.0001 if e_t == 0 else 0.006)
    assert got.below_normal / deg == pytest.approx(below, abs=0.001 if e_t == 0 else 0.006)


@pytest.mark.parametrize("friction, border", [
    (0.10, 29.7), (0.16, 42.4), (0.20, 48.756), (0.29, 58.8), (0.38, 65.2), (0.40, 66.3)])
def test_border_of_grip_and_slide(friction, border):
    """tan θ_c = μ(1+e)(1+k+kr)/[(1+e_t)k(1+r)], C; on either side of it the bounce grips and slides."""
    found = critical_spin_loft(friction=friction)
    assert found / deg == pytest.approx(border, abs=0.06)
    sides = [rigid_impact.closed_strike(spin_loft=found + turn, friction=friction, **CLUB).slides for turn in (-1e-6, 1e-6)]
    assert sides == [False, True]


@pytest.mark.parametrize("friction, spin", [(0.1, 3034.7), (0.2, 4606.3), (0.3, 5288.9)])
def test_spin_at_the_border_is_the_peak(friction, spin):
    """V 20 m/s, C; and no other spin loft gives more."""
    border = critical_spin_loft(friction=friction)
    peak = rigid_impact.closed_strike(spin_loft=border, friction=friction, **CLUB).spin_rate
    assert peak / rpm == pytest.approx(spin, abs=0.1)
    lofts = np.linspace(0, 85 * deg, 4001)
    assert rigid_impact.closed_strike(spin_loft=lofts, friction=friction, **CLUB).spin_rate.max() <= peak * (1 + 1e-12)


@pytest.mark.parametrize("angle, spin", [(20, 2666), (30, 3898), (40, 5011)])
def test_fixed_barrier(angle, spin):
    """24.384 m/s at a fixed barrier, e_t = 0, C."""
    got = rigid_impact.closed_strike(speed=24.384, spin_loft=angle * deg, friction=1.0, restitution=0.8)
    assert got.spin_rate / rpm == pytest.approx(spin, abs=1)


def test_superball_cross_2002():
    """Superball thrown at 2.69 m/s, 36° to a block, R 23 mm, e 0.91, e_t 0.45: 98.4 rad/s, v_x × 0.59 (Cross 2002, Q)."""
    speed, angle = 2.69, (90 - 36) * deg
    got = rigid_impact.closed_strike(speed=speed, spin_loft=angle, friction=2.0, restitution=0.91,
                                     tangential_restitution=0.45, ball_radius=0.023)
    assert got.spin_rate == pytest.approx(98.4, rel=0.03)
    along = speed * np.sin(angle) - got.ball_speed * np.sin(got.below_normal)
    assert along / (speed * np.sin(angle)) == pytest.approx(0.59, abs=0.015)


def test_launch_direction_shares():
    """Lofts 10–55°: the ball starts 0.58–0.86 of the way toward the face; measured 0.61–0.83 (Wood et al. 2018, S)."""
    shares = [rigid_impact.face_direction_share(loft=loft * deg) for loft in (10, 20, 30, 40, 50, 55)]
    assert all(0.58 <= share <= 0.86 for share in shares)
    assert np.all(np.diff(shares) < 0)  # less toward the face with more loft, as measured


def test_normal_offset():
    """0.5 mm of offset of the normal force is about 570 rpm on a pitch (C): J_n D/I."""
    how = {"spin_loft": 50 * deg, "friction": 0.3, **CLUB}
    more = rigid_impact.closed_strike(normal_offset=0.5e-3, **how).spin_rate - rigid_impact.closed_strike(**how).spin_rate
    assert more / rpm == pytest.approx(570, rel=0.15)


@pytest.mark.parametrize("poisson, inertia_factor, chi, mark", [
    (0.3, 0.4, 1.441, "sphere, M"), (0.28, 0.5, 1.2558, "disc slice, S")])
def test_gross_slip_border_maw_1976(poisson, inertia_factor, chi, mark):
    """Maw, Barber & Fawcett 1976: gross slip where ψ₁ > 4χ − 1; χ read back from where the function turns over."""
    speeds = np.linspace(0.0, 6.0, 600_001)
    slides = rigid_impact.slides_throughout(friction=0.3, tangential_speed=speeds, normal_speed=1.0, poisson=poisson,
                                      inertia_factor=inertia_factor)
    border = speeds[np.argmax(slides)]
    assert not slides[speeds < border].any() and slides[speeds >= border].all()
    psi = 2 * (1 - poisson) * border / (0.3 * (2 - poisson))
    assert (psi + 1) / 4 == pytest.approx(chi, abs=5e-4), mark


@pytest.mark.parametrize("loft, slides", [(10, False), (30, False), (80, True)])
def test_pitches_grip_and_the_steepest_lofts_slide(loft, slides):
    """The same border at ν 0.3 and μ 0.4 (C)."""
    got = rigid_impact.slides_throughout(friction=0.4, tangential_speed=np.tan(loft * deg), normal_speed=1.0, poisson=0.3)
    assert got == slides


def test_energy_never_grows():
    """Ball, spin and head together never have more than the head brought, e_t up to 1 (identity)."""
    lofts, mu = np.meshgrid(np.linspace(0, 85, 200) * deg, [0.0, 0.1, 0.4, 1.0])
    for e, e_t in [(0.5, 0.0), (0.8, 0.35), (1.0, 1.0)]:
        got = rigid_impact.closed_strike(speed=20.0, spin_loft=lofts, friction=mu, restitution=e, tangential_restitution=e_t,
                                   mass_ratio=RATIO)
        m, M, inertia = 0.04593, 0.300, 0.4 * 0.04593 * 0.021335**2
        jn, jt = m * got.ball_speed * np.cos(got.below_normal), m * got.ball_speed * np.sin(got.below_normal)
        after = 0.5 * m * got.ball_speed**2 + 0.5 * inertia * got.spin_rate**2 + 0.5 * M * (
            (20 * np.cos(lofts) - jn / M) ** 2 + (20 * np.sin(lofts) - jt / M) ** 2)
        assert np.all(after <= 0.5 * M * 400 * (1 + 1e-12))
