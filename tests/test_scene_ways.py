"""The scene of lesson 05: its numbers are those of the same shots played by the engine in one call."""

import json

import numpy as np
import pytest

from spinlab.catalogue import LIES, WETNESS
from spinlab.panels.page import page
from spinlab.panels.scene import Number
from spinlab.panels.ways import FEW, SHOWN, STORED, new_draws, stored_draws, which_repeats
from spinlab.panels.widget import Panel
from spinlab.panels.words import Speaker
from spinlab.physics.spread import SPREADS, Spread
from spinlab.physics.ways import WAYS, chance_range, loose, repeats
from spinlab.units import deg, um

NAMES = ("low", "lob", "run")
PLACES = {
    "as it opens": {},
    "long, beginner": {"distance": 45.0, "player": "beginner", "growth": 1.0},
    "damp, first cut, firm": {
        "water": 2 * um, "lie": "first cut", "green": "firm", "distance": 18.0, "within": 1.5,
    },
    "loft practised": {"practised": "loft", "green": "gripping", "player": "touring professional"},
}  # fmt: skip


@pytest.fixture(scope="module")
def scene():
    return which_repeats()


@pytest.mark.parametrize("turned", PLACES.values(), ids=PLACES)
def test_the_scene_is_the_same_shots_in_one_call_of_the_engine(scene, turned):
    values = scene.start | turned
    answer = scene.answer(values)
    found = repeats(WAYS, **scene.setting(values))
    for name, one in zip(NAMES, found, strict=True):
        assert answer[f"{name}_near"] == float(one.chance(values["within"]))
        assert answer[f"{name}_half"] == pytest.approx(one.miss, rel=1e-9)
        assert answer[f"{name}_head_speed"] == pytest.approx(one.head_speed, rel=1e-12)
        alone = [one.alone[cause] for cause in (*SHOWN, "water", "grass")]
        assert answer[f"{name}_alone"] == pytest.approx(alone, rel=1e-7, abs=1e-9)
        assert np.sort(answer[name].along) == pytest.approx(np.sort(one.scatter.x), rel=1e-9)


@pytest.mark.parametrize("turned", PLACES.values(), ids=PLACES)
def test_what_is_left_open_is_the_range_of_the_lesson(scene, turned):
    values = scene.start | turned
    setting = scene.setting(values)
    told = chance_range(
        values["within"], distance=values["distance"], spread=setting["spread"],
        growth=values["growth"], water=values["water"], lie=values["lie"], green=values["green"],
    )  # fmt: skip
    answer = scene.answer(values)
    for name, way in zip(NAMES, WAYS, strict=True):
        found = [answer[f"{name}_near{end}"] for end in ("", "_low", "_high")]
        assert found == pytest.approx(told[way.name])
        assert found[1] <= found[0] <= found[2]


def test_the_draws_are_stored_as_they_are_drawn():
    assert json.loads(STORED.read_text(encoding="utf-8")) == new_draws()
    assert pytest.approx(loose(256, 1), abs=1e-12) == np.reshape(stored_draws(), (-1, 7)).T


def test_the_hand_moves_the_first_of_the_same_shots(scene):
    given = scene.numbers(scene.start) | scene.room.made() | {"rested": 0.0}
    quick = scene.compute(*(given[name] for name in scene.parameters))
    seen = given["low"].along
    assert np.isfinite(seen).sum() == FEW and quick.rested == 0.0
    assert seen[:FEW] == pytest.approx(scene.answer(scene.start)["low"].along[:FEW], rel=1e-12)
    assert quick.low_near == pytest.approx(scene.answer(scene.start)["low_near"], abs=0.3)


def test_own_shots_are_a_player_too():
    own = Spread(head_speed=0.01, dynamic_loft=0.5 * deg, correlation={("head_speed", "dynamic_loft"): -0.6})
    panel = Panel(which_repeats(own)).go("your own shots")
    assert panel.setting["spread"] == own
    assert panel.answer["low_near"] == float(repeats(WAYS, **panel.setting)[0].chance(3.0))
    assert "your own shots" not in which_repeats().states
    assert list(which_repeats().by_name["player"].options) == list(SPREADS)


def test_sentences_on_both_sides_of_alike(scene):
    said = scene.sentence(scene.start)
    assert said.startswith("The two best are alike here: 72% finish within 3.0")
    long = scene.sentence(scene.start | {"growth": 0.0, "distance": 45.0})
    answer = scene.answer(scene.start | {"growth": 0.0, "distance": 45.0})
    assert (answer["lead"] < 0.05) == long.startswith("The two best are alike")
    dew = scene.start | {"water": WETNESS["dew"].water, "distance": 40.0}
    speak = Speaker(scene.by_name)
    for best, name in enumerate(("Low with spin", "High lob", "Bump-and-run")):
        named = scene.named(dew) | {"best": float(best), "lead": 0.06}
        assert speak.choose(scene.sentences, named).startswith(f"{name} repeats best here: ")
        assert " (" not in speak.choose(scene.sentences, named | {"rested": 1.0})
        named["lead"] = 0.04
        assert speak.choose(scene.sentences, named).startswith("The two best are alike here")


def test_what_the_lesson_says_holds(scene):
    loft = scene.answer(scene.start | {"practised": "loft"})["low_near"]
    speed = scene.answer(scene.start | {"practised": "head speed"})["low_near"]
    now = scene.answer(scene.start)
    assert loft - now["low_near"] > 2 * (speed - now["low_near"]), "loft is worth practising"
    grown = scene.answer(scene.start | {"growth": 1.0})
    assert grown["lob_half"] > now["lob_half"] and grown["run_half"] < now["run_half"]
    assert scene.answer(scene.start)["spoils"] == 0.0


def test_every_control_reaches_the_hole_at_both_ends(scene):
    """Where a way cannot finish, the head speed would be negative."""
    for distance in (10.0, 50.0):
        for lie in LIES:
            for water in (0.0, scene.by_name["water"].high):
                for green in scene.by_name["green"].options:
                    values = scene.start | {"distance": distance, "lie": lie, "water": water, "green": green}
                    given = scene.numbers(values) | scene.room.made() | {"rested": 0.0}
                    quick = scene.compute(*(given[name] for name in scene.parameters))
                    speeds = quick.low_head_speed, quick.lob_head_speed, quick.run_head_speed
                    assert min(speeds) > 4.0 and max(speeds) < 46.0, values


def test_it_is_a_page_of_its_own(scene):
    assert scene.code(), scene.refusal
    assert len(page(scene).encode()) < 200_000
    assert [control.name for control in scene.controls[:2]] == ["distance", "within"]
    assert all(isinstance(scene.by_name[name], Number) for name in ("distance", "within", "growth"))
