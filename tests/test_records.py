"""Records: what they take, what they refuse and how they say it."""

import dataclasses
import datetime
import subprocess
import sys
import warnings

import numpy as np
import pytest

from spinlab import records
from spinlab.physics.flight import fly
from spinlab.physics.green import land
from spinlab.physics.shot import play
from spinlab.records import Aerodynamics, Air, Assumptions, Ball, Between, Delivery, Face, Green, Grooves, Launch
from spinlab.units import deg, mm, mph, rpm, um

EXAMPLES = [
    Ball.published_soft_cover(), Grooves(width=0.8 * mm, depth=0.45 * mm, separation=2.7 * mm), Face(), Between(),
    Assumptions(), Delivery(head_speed=20.0, dynamic_loft=44 * deg),
    Launch(ball_speed=20.0, launch_angle=0.5, spin_rate=600.0),
    Air(), Green(),
]
BOUNDED = [(record, f) for record in EXAMPLES for f in dataclasses.fields(record) if "low" in f.metadata]


@pytest.mark.parametrize("record, field", BOUNDED, ids=lambda part: getattr(part, "name", type(part).__name__))
def test_every_border(record, field):
    """The borders themselves are allowed, a hair beyond is refused, and the message names quantity, value and range."""
    low, high = field.metadata["low"], field.metadata["high"]
    alone = {"attack_angle": 0.0, "dynamic_loft": 40 * deg} if isinstance(record, Delivery) else {}
    beyond = 1e-6 * (high - low)
    for bad in (low - beyond, high + beyond):
        with pytest.raises(ValueError, match=rf"{type(record).__name__}\.{field.name}.*must lie in.*….*got") as told:
            record.but(**alone | {field.name: bad})
        assert field.metadata["what"] in str(told.value)
    for good in (low, high):
        if isinstance(record, Delivery) and field.name in ("dynamic_loft", "attack_angle"):
            # the spin loft has a range of its own
            other = {"attack_angle": min(max(good, -30 * deg), 20 * deg) if good < 60 * deg else 5 * deg} \
                if field.name == "dynamic_loft" else {"dynamic_loft": max(good, 0.0) + 10 * deg}
            assert getattr(record.but(**{field.name: good} | other), field.name) == good
        else:
            assert getattr(record.but(**{field.name: good}), field.name) == good
    for bad in (np.nan, np.inf, "much", None, [1.0, np.nan]):
        with pytest.raises(ValueError, match=rf"{field.name}.*must lie in.*….*got"):
            record.but(**{field.name: bad})


LEAVE_OUT, CONVERT = "; leave missing shots out first", "; give a number or an array of floats"
MASKED = np.ma.array([1e-5, 2e-5, 3e-5], mask=[False, True, False])
NO_NUMBERS = {
    "not a number": (np.nan, f"got nan{LEAVE_OUT}"),
    "infinite": (np.array([0.0, -np.inf]), r"got -inf \(1 of 2 values\)" + LEAVE_OUT),
    "masked": (MASKED, r"got masked values \(1 of 3\)" + LEAVE_OUT),
    "masked constant": (np.ma.masked, r"got masked values \(1 of 1\)" + LEAVE_OUT),
    "masked in a list": ([1e-5, np.ma.masked], f"got .*{CONVERT}"),
    "text": ("1e-5", f"got '1e-5'{CONVERT}"),
    "texts": (["1e-5", "2e-5"], f"got .*{CONVERT}"),
    "array of texts": (np.array(["1e-5"]), f"got .*{CONVERT}"),
    "bytes": (b"1e-5", f"got .*{CONVERT}"),
    "truth": (False, f"got False{CONVERT}"),
    "numpy truth": (np.False_, f"got .*{CONVERT}"),
    "truths": (np.array([False]), f"got .*{CONVERT}"),
    "truth in a list": ([0.0, [False]], f"got .*{CONVERT}"),
    "truth among numbers": ([1e-5, False], f"got .*{CONVERT}"),
    "huge": (10**400, "got a whole number of about 401 digits"),
    "negative and huge": (-(10**5000), "got a whole number of about 5001 digits"),
    "huge in a list": ([0.0, 10**400], f"got .*{CONVERT}"),
    "complex": (1e-5 + 0j, f"got .*{CONVERT}"),
    "complexes": (np.array([1e-5 + 0j]), f"got .*{CONVERT}"),
    "none": (None, f"got None{CONVERT}"),
    "nones": ([None, 1e-5], f"got .*{CONVERT}"),
    "date": (datetime.datetime(2024, 1, 1), f"got .*{CONVERT}"),
    "dates": (np.array(["2024-01-01"], dtype="datetime64[D]"), f"got .*{CONVERT}"),
    "spans": (np.array([0], dtype="timedelta64[s]"), f"got .*{CONVERT}"),
    "objects": (np.array([1e-5, 2e-5], dtype=object), f"got .*{CONVERT}"),
    "ragged": ([[0.0], [0.0, 1e-5]], f"got .*{CONVERT}"),
    "dictionary": ({"water": 0.0}, f"got .*{CONVERT}"),
    "a record": (Air(), f"got .*{CONVERT}"),
}


@pytest.mark.parametrize("bad, message", NO_NUMBERS.values(), ids=NO_NUMBERS)
def test_what_is_no_number_is_refused_with_the_cure(bad, message):
    """Quantity, what was given, range and cure in one line, from records and from options alike."""
    range_of_water = r"Between\.water \(water film\) must lie in 0 µm … 1\u202f000 µm, "
    with warnings.catch_warnings(), pytest.raises(ValueError, match=range_of_water + message) as told:
        warnings.simplefilter("error")
        Between(water=bad)
    assert "\n" not in str(told.value) and len(str(told.value)) < 250
    shot = Launch(ball_speed=20.0, launch_angle=0.5, spin_rate=600.0)
    for name in ("drag_scale", "lift_scale") if bad is not None else ():  # without one, the record's counts
        with pytest.raises(ValueError, match=rf"{name} \(factor .*\) must lie in 0 … 3, {message}"):
            fly(shot, **{name: bad})
    path = fly(shot)
    if bad is not None:  # without one, θ_r is the green's
        with pytest.raises(ValueError, match=rf"resting_tilt \(lean .*must lie in 0.*{message}"):
            land(path, resting_tilt=bad)
    for name in ("direction", "spin_tilt"):
        with pytest.raises(ValueError, match=rf"Launch\.{name} .*{message}"):
            play(Delivery(head_speed=20.0, dynamic_loft=0.7), Face(), Ball.published_soft_cover(), **{name: bad})


@pytest.mark.parametrize("name", ["drag_scale", "lift_scale"])
def test_borders_of_scales(name):
    for good in (0.0, 3.0, np.array([0.0, 3.0])):
        assert np.all(getattr(Aerodynamics(**{name: good}), name) == good)
    for bad in (-1e-9, 3.0 + 1e-9, np.array([0.0, 3.0 + 1e-9])):
        with pytest.raises(ValueError, match=name):
            Aerodynamics(**{name: bad})


def test_borders_of_the_resting_tilt():
    path = fly(Launch(ball_speed=20.0, launch_angle=0.5, spin_rate=600.0))
    land(path, resting_tilt=0.0)
    land(path, resting_tilt=40 * deg)
    for bad in (-1e-9, 40 * deg + 1e-9):
        with pytest.raises(ValueError, match="resting_tilt"):
            land(path, resting_tilt=bad)


@pytest.mark.parametrize("good", [
    20, np.float32(20.0), np.int64(20), np.array(20.0), np.array(20, dtype=np.uint8),
    np.ma.array(20.0, mask=False)])
def test_one_number_of_any_kind_becomes_a_float(good):
    value = Delivery(head_speed=good, dynamic_loft=0.7).head_speed
    assert type(value) is float and value == 20.0


@pytest.mark.parametrize("good", [
    [20, 21.5], (20, 21.5), np.array([20.0, 21.5]), np.array([20.0, 21.5], dtype=">f8"),
    np.ma.array([20.0, 21.5]), np.array([[20.0, 0.0], [21.5, 0.0]])[:, 0],
    np.broadcast_to([20.0, 21.5], (2,))])
def test_arrays_become_arrays_of_the_record_alone(good):
    """Changing the caller's array afterwards changes nothing, and the record's cannot be changed."""
    arriving = Delivery(head_speed=good, dynamic_loft=0.7)
    if isinstance(good, (np.ndarray, list)) and not (isinstance(good, np.ndarray) and not good.flags.writeable):
        good[0] = 30.0
    assert type(arriving.head_speed) is np.ndarray and arriving.head_speed.dtype == float
    assert arriving.head_speed.tolist() == [20.0, 21.5]
    with pytest.raises(ValueError, match="read-only"):
        arriving.head_speed[0] = 30.0


def test_a_changed_record_owns_its_arrays_too():
    speeds = np.array([20.0, 21.5])
    arriving = Delivery(head_speed=19.0, dynamic_loft=0.7).but(head_speed=speeds)
    some = arriving[:1]
    speeds[:] = 30.0
    assert arriving.head_speed.tolist() == [20.0, 21.5] and some.head_speed.tolist() == [20.0]
    factors = np.array([1.0, 1.1])
    kept = records.Aerodynamics(drag_scale=factors)
    factors[:] = 2.0
    assert kept.drag_scale.tolist() == [1.0, 1.1]


@pytest.mark.parametrize("shape", [(0,), (3, 0)])
def test_no_shots_at_all_are_no_shots(shape):
    arriving = Delivery(head_speed=np.empty(shape), dynamic_loft=0.7)
    shot = play(arriving, Face(), Ball.published_soft_cover())
    assert arriving.shape == shot.launch.shape == shot.path.shape == shot.rest.shape == shape
    assert Delivery(head_speed=[], dynamic_loft=0.7).shape == (0,)


@pytest.mark.parametrize("bad", [1.0, "grooves", Between()])
def test_grooves_are_grooves_or_none(bad):
    with pytest.raises(ValueError, match=r"Face\.grooves .*must be a Grooves or None, got .*plain face"):
        Face(grooves=bad)


@pytest.mark.parametrize("record", EXAMPLES, ids=lambda r: type(r).__name__)
def test_frozen_and_keyword_only(record):
    with pytest.raises(dataclasses.FrozenInstanceError):
        record.name = "other"
    with pytest.raises(TypeError):
        type(record)(1.0)


def test_presets_say_where_they_come_from():
    """Gobush 1996 in Penner 2003 (Q); Proceedings 49(1):27, 2020 (Q).  The two sources are never merged."""
    soft, hard = Ball.published_soft_cover(), Ball.published_hard_cover()
    assert (soft.friction, soft.friction_fast) == (0.38, 0.29) and "Gobush 1996" in soft.name
    assert (hard.friction, hard.friction_fast) == (0.16, 0.075) and "Gobush 1996" in hard.name
    assert Ball.published_urethane_cover().friction == 0.40 and Ball.published_ionomer_cover().friction == 0.35
    for kind in (Ball, Green):
        presets = [name for name in vars(kind) if isinstance(vars(kind)[name], classmethod)]
        assert presets and all(name.startswith(("published_", "tuned_")) for name in presets)


def test_ball_of_the_rules():
    """At most 45.93 g and at least 42.67 mm (Equipment Rules, S); I 8.363e-6 kg m² (Proceedings 49(1):47, 2020, S)."""
    ball = Ball.published_soft_cover()
    assert ball.mass == pytest.approx(0.04593, abs=1e-9) and 2 * ball.radius == pytest.approx(42.67 * mm, abs=1e-9)
    assert ball.inertia == pytest.approx(8.363e-6, rel=1e-3)


def test_spin_loft_range_is_told_with_the_cure():
    with pytest.raises(ValueError, match=r"spin loft .*must lie in 0° … 85°, got −4°; lower the dynamic loft"):
        Delivery(head_speed=20.0, dynamic_loft=1 * deg, attack_angle=5 * deg)
    with pytest.raises(ValueError, match="spin loft"):
        Delivery(head_speed=20.0, dynamic_loft=[40 * deg, 80 * deg], attack_angle=-10 * deg)


def test_message_speaks_the_trade_units():
    with pytest.raises(ValueError, match=r"head_speed \(head speed\) must lie in .* m/s, got 200 m/s"):
        Delivery(head_speed=200.0, dynamic_loft=44 * deg)
    told = r"water film\) must lie in 0 µm … 1\u202f000 µm, got 2\u202f000 µm \(1 of 2 values\)"
    with pytest.raises(ValueError, match=told):
        Between(water=[0.0, 2000 * um])


def test_arrays_broadcast_or_are_refused_with_their_shapes():
    many = Delivery(head_speed=np.full((3, 1), 20.0), dynamic_loft=np.linspace(40, 50, 4) * deg)
    assert many.shape == (3, 4) and many.spin_loft.shape == (4,)
    with pytest.raises(ValueError, match=r"Delivery: .*head_speed \(3,\).*dynamic_loft \(4,\)"):
        Delivery(head_speed=np.full(3, 20.0), dynamic_loft=np.linspace(40, 50, 4) * deg)
    assert Face(grooves=Grooves(width=[0.7e-3, 0.8e-3], depth=0.4e-3, separation=2.7e-3)).shape == (2,)


def test_picking_one_shot():
    many = Delivery(head_speed=[18.0, 20.0, 22.0], dynamic_loft=44 * deg)
    assert many[1].head_speed == 20.0 and many[1].dynamic_loft == 44 * deg and many[1].shape == ()
    face = Face(grooves=Grooves(width=[0.7e-3, 0.8e-3], depth=0.4e-3, separation=2.7e-3))
    assert face[1].grooves.width == 0.8e-3
    assert many[1:].shape == (2,)


def test_but_checks_again():
    with pytest.raises(ValueError, match="Ball.mass"):
        Ball.published_soft_cover().but(mass=1.0)
    assert Ball.published_soft_cover(mass=0.045).mass == 0.045


def test_units_at_the_edge():
    arriving = Delivery(head_speed=45 * mph, dynamic_loft=44 * deg, attack_angle=-6 * deg)
    assert arriving.head_speed == pytest.approx(20.1168) and arriving.spin_loft == pytest.approx(50 * deg)
    assert Launch(ball_speed=20.0, launch_angle=0.5, spin_rate=6000 * rpm).spin_rate / rpm == pytest.approx(6000)


def test_light_to_import():
    """Naming the package and its units costs no numpy, and nothing draws until it is asked to."""
    code = ("import sys, spinlab, spinlab.units; heavy = {'numpy', 'scipy', 'pandas', 'matplotlib', 'ipywidgets'};"
            "assert not heavy & set(sys.modules), heavy & set(sys.modules); import spinlab.records;"
            "assert not {'scipy', 'pandas', 'matplotlib', 'ipywidgets'} & set(sys.modules)")
    subprocess.run([sys.executable, "-c", code], check=True)


def test_what_the_docstrings_promise_of_public_records():
    for name in ("Ball", "Grooves", "Face", "Between", "Assumptions", "Delivery", "Launch", "Air", "Green"):
        record = getattr(records, name)
        assert record.__doc__ and all(f.metadata["what"] for f in dataclasses.fields(record) if "low" in f.metadata)


def test_every_allowed_delivery_gives_a_launch():
    """The fastest head, the liveliest and the smallest ball, the largest offset: none is refused."""
    from spinlab.physics.contact import strike

    quick = Ball(friction=1.5, friction_fast=1.5, mass=0.030, radius=0.015, inertia_factor=0.2, restitution=0.99,
                 restitution_slope=0.0)
    loft = np.linspace(0.0, 80.0, 9) * deg
    for offset in (-3e-3, 0.0, 3e-3):
        launch = strike(Delivery(head_speed=80.0, dynamic_loft=loft, normal_offset=offset), Face(head_mass=5.0), quick)
        assert np.all(np.isfinite(launch.spin_rate)) and np.any(launch.ball_speed > 155.0)
