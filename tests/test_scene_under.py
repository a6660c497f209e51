"""The scene under the ball: its numbers are the engine's own, its sentences are short and true on
both sides of their thresholds."""

import re

import numpy as np
import pytest
from scene_page import places

from spinlab import play
from spinlab.catalogue import BALLS, CLEANINGS, PITCH
from spinlab.evidence.questions import answer
from spinlab.panels.under import under_the_ball
from spinlab.physics.cleaning import clean, left_over_parameters
from spinlab.physics.contact import strike
from spinlab.physics.grooves import capacity, capacity_volume, limits
from spinlab.records import Between, Face, Grooves
from spinlab.units import inch, mm, um


@pytest.fixture(scope="module")
def scene():
    return under_the_ball()


def test_the_cleaned_face_is_the_engines_shot(scene):
    for values in places(scene, 25, 7):
        shot = play(**scene.setting(values))
        said = scene.answer(values)
        assert said["now_spin_rate"] == pytest.approx(shot.launch.spin_rate, rel=1e-9)
        assert said["now_run_out"] == pytest.approx(shot.run_out, rel=1e-9, abs=1e-9)


def test_every_way_of_cleaning_is_the_engines(scene):
    values = scene.start | scene.states["caked, dew"]
    said = scene.answer(values)
    names = {
        "nothing": "nothing",
        "tee": "tee",
        "dry towel": "dry_towel",
        "damp towel": "damp_towel",
        "damp towel, then dry": "then_dry",
    }
    assert list(names) == list(CLEANINGS)
    found = Between(
        water=values["water"],
        soil_on_lands=values["soil_on_lands"],
        soil_in_grooves=values["soil_in_grooves"],
    )
    for how, name in names.items():
        spin = strike(PITCH, Face(), BALLS["soft cover"], clean(found, how)).spin_rate
        assert said[f"{name}_spin_rate"] == pytest.approx(spin, rel=1e-9)


def test_a_tee_gives_nothing_back_on_a_dry_day_and_much_in_dew(scene):
    """Dry, only the flats matter; in dew a tee opens the way out (the lesson's two sentences)."""
    dry = scene.answer(scene.start | scene.states["caked, dry day"])
    assert dry["tee_spin_rate"] == pytest.approx(dry["nothing_spin_rate"], rel=0.005)
    dew = scene.answer(scene.start | scene.states["blocked, dew"])
    assert dew["tee_spin_rate"] > 1.5 * dew["nothing_spin_rate"]
    assert dew["then_dry_spin_rate"] > dew["tee_spin_rate"]


def test_grooves_hold_what_the_published_sums_say(scene):
    """Area over pitch against `limits`; the room under the ball in drops of 50 µl (J)."""
    values = scene.start | scene.states["only dew"]
    said = scene.answer(values)
    grooves = scene.setting(values)["face"].grooves
    assert said["groove_holds"] == pytest.approx(float(capacity(grooves)), rel=1e-9)
    contact = strike(PITCH, Face(grooves=grooves), BALLS["soft cover"]).contact
    room = float(capacity_volume(grooves, patch_radius=contact.contact_radius))
    assert said["room_in_drops"] == pytest.approx(room / 50e-9, rel=0.02)


@pytest.mark.parametrize(
    ("name", "inside", "outside"),
    [
        ("groove_width", 0.035 * inch, 0.0351 * inch),
        ("groove_depth", 0.020 * inch, 0.0201 * inch),
        ("edge_radius", 0.020 * inch, 0.0201 * inch),
        ("edge_radius", 0.010 * inch, 0.0099 * inch),
    ],
)
def test_limits_on_both_sides(scene, name, inside, outside):
    """Equipment Rules, Part 2 section 5, as `spinlab.physics.grooves.limits` judges them (S)."""
    start = scene.start | {"land": 4 * mm, "groove_depth": 0.4 * mm, "groove_width": 0.8 * mm}
    for value, broken in ((inside, False), (outside, True)):
        values = start | {name: float(value)}
        grooves = scene.setting(values)["face"].grooves
        judged = not all(row.within for row in limits(grooves).limits)
        assert (scene.answer(values)["limits_broken"] > 0.5) == broken
        if value == outside:
            assert judged


def test_sentences_are_short_and_say_what_was_done(scene):
    """At most 20 words; a number with its unit counts as two."""
    for rule in [*scene.sentences, *scene.first_sentences]:
        words = re.sub(r"\{[^}]*\}", "one rpm", rule.text).split()
        assert len(words) <= 20, rule.text
    clean_values = scene.start | scene.states["only dew"]
    assert "grooves have room" in scene.sentence(clean_values)
    assert "no near way out" in scene.sentence(scene.start | scene.states["no grooves"])
    assert "A tee clears the grooves, not the flats" in scene.sentence(scene.start)


def test_the_film_ends_where_the_engine_says(scene):
    values = scene.start | {"water": 20 * um}
    said = scene.answer(values)
    film = said["now_film"].film
    assert film[0] == pytest.approx(said["now_water"], rel=1e-6)
    assert film[-1] == pytest.approx(said["now_film_left"], rel=0.02)
    assert (np.diff(film) <= 1e-12).all()


@pytest.mark.parametrize(
    ("how", "question"), [("tee", "tee"), ("damp towel, then dry", "towel")]
)
def test_the_band_is_that_of_the_question(scene, how, question):
    """Spin kept on a caked, dewy face: number and band are the suite's one answer."""
    values = scene.start | scene.states["caked, dew"] | {"cleaning": how}
    told = answer(question)
    low, high = scene.bands(values)["kept"]
    assert scene.answer(values)["kept"] == pytest.approx(told.value, rel=1e-9)
    assert (low, high) == pytest.approx((told.low, told.high), rel=2e-3)


def test_the_cover_touches_the_tips_that_carry_it(scene):
    """Dry, all of the load is on solid contact; under the film of a blocked face less than under
    that of an open one."""
    dry = scene.answer(scene.start | scene.states["caked, dry day"])["now_film"]
    assert (dry.solid == 1.0).all()
    dew = scene.answer(scene.start | scene.states["blocked, dew"])
    assert dew["found_film"].solid[-1] < 0.6 * dew["now_film"].solid[-1]
    assert dew["found_film"].filled.max() == 0.0, "a blocked groove takes no water"
    assert 0.2 < dew["now_film"].filled[-1] < 0.9, "an open one has room left"
    assert dew["now_film"].slipped[-1] > 2 * mm, "a wet ball slides all through"


def test_what_cleaning_leaves_is_doubted_once():
    """Soil and grass stand once among the uncertain numbers of a way of cleaning."""
    names = [parameter.name for parameter in left_over_parameters("tee")]
    assert len(names) == len(set(names))
    assert isinstance(Face().grooves, Grooves)
