"""A sliding ball, a rolling ball, a bounce and a strike against a general rigid-body engine: MuJoCo.

It knows nothing of golf or of our equations: it is told a sphere, a plane, masses and a coefficient of friction (Todorov,
Erez & Tassa, IROS 2012, 5026, doi 10.1109/IROS.2012.6386109, M).

What agreement can be expected.  Its contacts are soft springs, and its friction is convex: a sliding contact presses harder
than the spring alone would.  So how much of the speed across comes back is *its* answer, read off and handed to our
functions; what is compared is everything along the ground.

* Friction acts halfway into the overlap, so its lever is shorter than R by half the overlap.  The spring is chosen so stiff
  that this share is below 1e-3; twice what it was at its deepest, of the run at hand, is the tolerance (`LEVER`).
* Friction stops what slips within 1 µs, in a contact of 10 µs and more.
* A slide on the ground ends within a few steps of ours, and half a per cent of the speed early, where it is called rolling.
"""

from types import SimpleNamespace

import numpy as np
import pytest
from ground import rolled, slid
from rigid_impact import closed_strike

from spinlab.physics.contact import strike
from spinlab.physics.flight import BALL_RADIUS as R
from spinlab.physics.green import bounce, restitution_penner_2002, rolling_resistance
from spinlab.records import Assumptions, Ball, Delivery, Face, Green
from spinlab.units import GRAVITY, deg, ft

mujoco = pytest.importorskip("mujoco", reason="the general rigid-body engine is not installed: pip install mujoco")

BALL = Ball(friction=0.3, friction_fast=0.3, restitution=0.8, restitution_slope=0.0)
LEVER = 2.0
"""Our and its lever differ by up to the deepest overlap's half; twice that also covers what slip is left at the end."""

WORLD = """
<mujoco>
  <option timestep="{step}" gravity="{pull} 0 {press}" cone="elliptic" solver="Newton" iterations="50" tolerance="1e-14"/>
  <worldbody>
    {ground}
    <body pos="0 0 {radius}"><freejoint/>
      <inertial pos="0 0 0" mass="{mass}" diaginertia="{inertia} {inertia} {inertia}"/>
      <geom name="ball" type="sphere" size="{radius}"/></body>
  </worldbody>
  <contact><pair geom1="ground" geom2="ball" condim="{condim}" friction="{friction} {friction} 0 {rolling} {rolling}"
    solref="-{spring} -{damping}" solreffriction="-1 -{stop}" solimp="0.9999 0.9999 0.001 0.5 2"/></contact>
</mujoco>"""
PLANE = '<geom name="ground" type="plane" size="100 100 1"/>'
HEAD = """<body pos="0 0 -0.1"><joint type="slide" axis="1 0 0"/><joint type="slide" axis="0 0 1"/>
  <inertial pos="0 0 0" mass="{head}" diaginertia="1 1 1"/>
  <geom name="ground" type="box" size="0.5 0.5 0.1"/></body>"""
"""A face that slides and does not turn, as the closed forms have it."""


def world(*, friction, step, spring, damping, stop, ground=PLANE, ball=BALL, gravity=0.0, slope=0.0, rolling=0.0):
    """A ball at rest that just touches the ground; backspin turns it against the y axis."""
    text = WORLD.format(
        step=step, ground=ground, radius=ball.radius, mass=ball.mass, inertia=ball.inertia, friction=friction,
        rolling=rolling, condim=6 if rolling else 3, spring=spring, damping=damping, stop=stop,
        pull=-gravity * np.sin(slope), press=-gravity * np.cos(slope))
    model = mujoco.MjModel.from_xml_string(text)
    return model, mujoco.MjData(model)


def turning(data):
    """Spin about the world's axes [rad/s] (the engine keeps it about the ball's own)."""
    return data.xmat[-1].reshape(3, 3) @ data.qvel[-3:]


def through_contact(model, data):
    """Step until ball and ground have parted; how short the lever of friction was at worst, as a share of R."""
    overlap = 0.0
    for _ in range(20_000):
        mujoco.mj_step(model, data)
        if data.ncon == 0:
            mujoco.mj_forward(model, data)
            return 0.5 * overlap / R
        overlap = max(overlap, -data.contact[0].dist)
    raise AssertionError("ball and ground did not part")


STIFF = {"step": 5e-8, "spring": 4e10, "damping": 2e5, "stop": 1e6}


def on_the_green(*, friction, slope, rolling=0.0, step=1e-4):
    """The same with weight, and a spring that gives way by micrometres."""
    return world(friction=friction, gravity=GRAVITY, slope=slope, rolling=rolling, step=step, spring=0.02 / step**2,
                 damping=0.2 / step, stop=0.2 / step)


# -- sliding until it rolls -------------------------------------------------------------------------------------------


def theirs_rolled(*, speed, across=0.0, spin=0.0, side_spin=0.0, friction, slope=0.0):
    """Slide until it rolls: time, place along and across, and speeds then."""
    model, data = on_the_green(friction=friction, slope=slope)
    data.qvel[:] = [speed, across, 0, side_spin, -spin, 0]
    while data.time < 5.0:
        mujoco.mj_step(model, data)
        wx, wy, _ = turning(data)
        slip = np.hypot(data.qvel[0] - R * wy, data.qvel[1] + R * wx)
        if slip < 0.005 * max(abs(speed), 0.1):
            return SimpleNamespace(time=data.time, x=data.qpos[0], y=data.qpos[1], along=data.qvel[0], across=data.qvel[1])
    raise AssertionError("it never rolled")


@pytest.mark.parametrize("speed, spin, friction", [(2.0, 0.0, 0.3), (4.0, 0.0, 0.2), (2.0, 100.0, 0.3), (1.0, 200.0, 0.22),
                                                   (1.0, -150.0, 0.4)])
def test_slide_to_roll(speed, spin, friction):
    """Level: 5/7 of the speed less 2/7 of R ω, after 2 s/(7 μ g); backwards where R ω > 2.5 v (Daish, M; mechanics)."""
    theirs = theirs_rolled(speed=speed, spin=spin, friction=friction)
    time, x, y, along, across = slid(speed, 0.0, spin, 0.0, Green(friction=friction))
    assert along == pytest.approx((5 * speed - 2 * R * spin) / 7, abs=1e-12)
    assert theirs.along == pytest.approx(along, abs=0.005 * speed)
    assert theirs.time == pytest.approx(time, rel=0.01, abs=1e-3)
    assert theirs.x == pytest.approx(x, abs=0.01 * time * speed)


def test_slide_to_roll_with_side_spin():
    """Slip points one way all through the slide, so the path is a parabola (mechanics)."""
    moving = {"speed": 2.0, "across": 0.4, "spin": 80.0, "side_spin": 60.0}
    theirs = theirs_rolled(**moving, friction=0.25)
    time, x, y, along, across = slid(2.0, 0.4, 80.0, 60.0, Green(friction=0.25))
    assert (theirs.along, theirs.across) == pytest.approx((along, across), abs=0.01)
    assert theirs.time == pytest.approx(time, rel=0.01)
    assert (theirs.x, theirs.y) == pytest.approx((x, y), abs=0.02 * time)


@pytest.mark.parametrize("slope", [-4.0, 3.0])
def test_slide_to_roll_on_a_slope(slope):
    """Gravity helps or hinders the end of slip by 3.5 μ cos β ∓ sin β (mechanics)."""
    theirs = theirs_rolled(speed=2.0, spin=60.0, friction=0.3, slope=slope * deg)
    time, x, _, along, _ = slid(2.0, 0.0, 60.0, 0.0, Green(friction=0.3, slope=slope * deg))
    assert theirs.along == pytest.approx(along, abs=0.01)
    assert theirs.time == pytest.approx(time, rel=0.01)
    assert theirs.x == pytest.approx(x, abs=0.02 * time)


@pytest.mark.parametrize("slope", [0.0, -1.5, 2.0])
def test_roll_to_rest(slope):
    """A rolling couple ρ_g N R slows a solid sphere by (5/7) g (ρ_g cos β ± sin β): the ramp's 1.83 m/s on a 10 ft green.

    There, sliding and rolling share one friction cone; with much friction the rolling has it to itself.
    """
    green, step = Green(speed=10 * ft, slope=slope * deg), 5e-4
    model, data = on_the_green(friction=20.0, slope=green.slope, rolling=rolling_resistance(green.speed) * R, step=step)
    data.qvel[:] = [1.83, 0, 0, 0, 1.83 / R, 0]
    while data.qvel[0] > 0.02 and data.time < 10:
        mujoco.mj_step(model, data)
    time, distance, _ = rolled(1.83, 0.0, green)
    # the last 2 cm/s take 0.02/1.83 of the time and the square of that of the way; it settles in four steps
    assert data.time / (1 - 0.02 / 1.83) == pytest.approx(time, abs=8 * step)
    assert data.qpos[0] / (1 - (0.02 / 1.83) ** 2) == pytest.approx(distance, abs=4 * step * 1.83)


# -- a bounce ---------------------------------------------------------------------------------------------------------

MOVING = [(0.0, 0.0, 0.0), (120.0, 0.0, 0.0), (-200.0, 0.0, 0.0), (60.0, 1.0, 80.0)]


@pytest.mark.parametrize("spin, across, side_spin", MOVING)
@pytest.mark.parametrize("friction", [0.1, 0.22, 0.4, 1.0])
def test_bounce(friction, spin, across, side_spin):
    """A second landing, 6 m/s along and 4 m/s down, on hard flat ground: it slides (J = μ J_n) or grips (no slip left).

    The first row slides, the last one grips; v_t − 0.4 R ω stays in both engines, for nothing turns the ball about the point
    of contact (mechanics).
    """
    along, down = 6.0, 4.0
    model, data = world(friction=friction, **STIFF)
    data.qvel[:] = [along, across, -down, side_spin, -spin, 0]
    short = LEVER * through_contact(model, data) * (np.hypot(along, across) + R * np.hypot(spin, side_spin))
    wx, wy, _ = turning(data)
    # our ground is given their restitution
    green = Green(friction=friction, tilt=0.0, restitution=data.qvel[2] / down / restitution_penner_2002(down))
    out = bounce(along=along, across=across, down=down, spin=spin, side_spin=side_spin, green=green,
                 resting_tilt=0.0)._asdict()
    assert out["up"] == pytest.approx(data.qvel[2], rel=1e-9)
    assert (data.qvel[0], data.qvel[1]) == pytest.approx((out["along"], out["across"]), abs=short)
    assert (-wy * R, wx * R) == pytest.approx((out["spin"] * R, out["side_spin"] * R), abs=2.5 * short)
    assert data.qvel[0] + 0.4 * R * wy == pytest.approx(along - 0.4 * R * spin, abs=short)
    slip = np.hypot(data.qvel[0] - R * wy, data.qvel[1] + R * wx)
    if friction == 0.1 and spin > -200:
        assert slip > 1.0 and np.hypot(along - data.qvel[0], across - data.qvel[1]) == pytest.approx(
            friction * (down + data.qvel[2]), rel=1e-5)
    if friction == 1.0:
        assert slip < short


# -- a strike ---------------------------------------------------------------------------------------------------------


def struck(*, spin_loft, friction, speed=20.0, head=0.3):
    """A free head that cannot turn strikes a ball at rest: speeds across and down the face, spin, restitution, tolerance."""
    model, data = world(friction=friction, ground=HEAD.format(head=head), **STIFF)
    data.qvel[:2] = [-speed * np.sin(spin_loft), speed * np.cos(spin_loft)]
    short = LEVER * through_contact(model, data)
    _, wy, _ = turning(data)
    e = (data.qvel[4] - data.qvel[1]) / (speed * np.cos(spin_loft))
    return SimpleNamespace(across=data.qvel[4], down=-data.qvel[2], spin=wy, e=e, short=short)


LOFTS = [10.0, 30.0, 50.0, 70.0]


@pytest.mark.parametrize("friction", [0.1, 0.3, 1.0])
@pytest.mark.parametrize("spin_loft", LOFTS)
def test_closed_strike(spin_loft, friction):
    """A rigid ball and a rigid head of 0.3 kg, from all gripping to all sliding, against the closed forms (e_t = 0)."""
    theirs = struck(spin_loft=spin_loft * deg, friction=friction)
    ours = closed_strike(speed=20.0, spin_loft=spin_loft * deg, friction=friction, restitution=theirs.e,
                         mass_ratio=BALL.mass / 0.3)
    assert np.hypot(theirs.across, theirs.down) == pytest.approx(ours.ball_speed, rel=1e-3)
    assert np.arctan2(theirs.down, theirs.across) == pytest.approx(ours.below_normal, abs=theirs.short)
    assert theirs.spin == pytest.approx(ours.spin_rate, rel=2 * theirs.short)
    assert ours.slides == (theirs.down == pytest.approx(friction * theirs.across, rel=1e-5))


@pytest.mark.parametrize("spin_loft", [60.0, 75.0])
def test_strike_where_it_slides(spin_loft):
    """The engine resolved in time, where the ball slides throughout: the same launch, whatever the compliance."""
    theirs = struck(spin_loft=spin_loft * deg, friction=0.1)
    ours = strike(Delivery(head_speed=20.0, dynamic_loft=spin_loft * deg), Face(head_mass=0.3, grooves=None),
                  BALL.but(friction=0.1, friction_fast=0.1, restitution=theirs.e))
    assert ours.contact.grip_share == 0
    assert ours.ball_speed == pytest.approx(np.hypot(theirs.across, theirs.down), rel=1e-3)
    assert spin_loft * deg - ours.launch_angle == pytest.approx(np.arctan2(theirs.down, theirs.across), abs=theirs.short)
    assert ours.spin_rate == pytest.approx(theirs.spin, rel=2 * theirs.short)


def test_strike_where_it_grips_spins_more_than_a_rigid_ball():
    """Real balls grip and let go again, and keep more spin than rolling leaves (Cross 2002, S): between e_t 0 and 1."""
    for spin_loft in (20.0, 40.0):
        rigid = struck(spin_loft=spin_loft * deg, friction=1.0)
        face = Face(head_mass=0.3, grooves=None)
        launch = strike(Delivery(head_speed=20.0, dynamic_loft=spin_loft * deg), face,
                        BALL.but(friction=1.0, friction_fast=1.0, restitution=rigid.e), assume=Assumptions())
        assert 1.0 < launch.spin_rate / rigid.spin < 2.0
        assert launch.spin_rate / rigid.spin == pytest.approx(1 + launch.contact.tangential_restitution, rel=3 * rigid.short)
