"""The scene of lesson 08: fair shares, gains in order and bands are those of the engine's own split."""

import numpy as np
import pytest

from spinlab import play
from spinlab.panels.fixing import (
    ONLY,
    cause_of_columns,
    player_of,
    setting,
    state_of,
    what_to_fix_first,
)
from spinlab.panels.page import page
from spinlab.panels.widget import Panel
from spinlab.panels.words import Speaker
from spinlab.physics.players import PLAYERS, REFERENCE, split
from spinlab.physics.setting import Setting
from spinlab.physics.shares import CAUSES
from spinlab.units import deg, um

OWN = {"water": 5 * um, "grass": 0.3, "dynamic_loft": 50 * deg, "wear": "worn", "cover": "hard cover"}


@pytest.fixture(scope="module")
def scene():
    return what_to_fix_first()


def values_of(scene, name):
    return scene.start | (OWN if name == "own" else scene.states[name])


@pytest.mark.parametrize("name", [*PLAYERS, "own"])
def test_the_scene_is_the_split_of_the_engine(scene, name):
    values = values_of(scene, name)
    player = Setting(**setting(values))
    answer = scene.answer(values)
    found = split(player, "run_out")
    assert answer["saved"] == pytest.approx(-found.share, abs=1e-6)
    assert answer["own_run"] - answer["kept_run"] == pytest.approx(answer["saved"].sum(), abs=1e-6)
    lows = [-band.high for band in found.bands]
    highs = [-band.low for band in found.bands]
    # the page's draws have four decimals
    assert answer["saved_low"] == pytest.approx(lows, abs=0.02)
    assert answer["saved_high"] == pytest.approx(highs, abs=0.02)


@pytest.mark.parametrize("name", [*PLAYERS, "own"])
def test_the_order_is_the_plan_of_the_engine(scene, name):
    values = values_of(scene, name)
    answer = scene.answer(values)
    steps = split(Setting(**setting(values)), "run_out").plan()
    order = sorted((k for k in range(len(CAUSES)) if answer["place"][k]), key=lambda k: answer["place"][k])
    assert [CAUSES[k].name for k in order] == [step.cause.name for step in steps]
    for k, step in zip(order, steps, strict=True):
        assert answer["gain"][k] == pytest.approx(-step.gain.mid, abs=1e-6)
        assert answer["gain_low"][k] == pytest.approx(-step.gain.high, abs=0.02)
        assert answer["gain_high"][k] == pytest.approx(-step.gain.low, abs=0.02)
    assert answer["first"] == order[0] and answer["first_gain"] == answer["gain"][order[0]]


@pytest.mark.parametrize("name", PLAYERS)
def test_the_shot_is_the_records_of_the_next_cell(scene, name):
    panel = Panel(scene).go(name)
    assert player_of(panel) == PLAYERS[name].setting
    shot = play(**panel.setting)
    assert panel.answer["own_run"] == pytest.approx(shot.run_out, rel=1e-9)
    assert panel.answer["own_spin"] == pytest.approx(shot.launch.spin_rate, rel=1e-9)
    assert panel.answer["own_spin"] == pytest.approx(split(PLAYERS[name].setting).player, rel=1e-9)


def test_a_cause_that_is_put_right_is_the_single_fix(scene):
    """Pressing a row turns the controls to the well-kept player's; the others answer."""
    marks = next(plot for plot in scene.plots if plot.name == "shares").marks
    found = split(PLAYERS["beginner"].setting, "run_out")
    for k, (cause, sets) in enumerate(zip(CAUSES, marks[0]["sets"], strict=True)):
        fixed = scene.answer(scene.start | scene.states["beginner"] | sets)
        assert fixed["own_run"] - found.player == pytest.approx(found.alone[k], abs=1e-6), cause.name
        assert fixed["differs"][k] == 0.0 and fixed["differs"].sum() == len(CAUSES) - 1


def test_more_run_out_is_never_called_a_gain(scene):
    """A lofted swing stops sooner than the well-kept one; what helps still saves metres."""
    lofted = scene.states["well kept"] | {"dynamic_loft": 56 * deg, "cleaned": "not at all"}
    answer = scene.answer(scene.start | lofted)
    assert answer["own_run"] < answer["kept_run"]
    steps = split(Setting(**setting(scene.start | lofted)), "run_out").plan()
    assert steps and all(step.gain.mid < 0 for step in steps)
    assert (answer["gain"] >= 0).all() and answer["gain"].max() > 0


def test_every_column_that_can_differ_belongs_to_its_cause():
    owners = set(cause_of_columns()) - {-1.0}
    assert owners == set(map(float, range(len(CAUSES))))
    assert state_of(REFERENCE.setting)["cleaned"] == "just now, towel"


def test_sentences_on_both_sides_of_their_thresholds(scene):
    assert scene.sentence(scene.start).startswith("Clean the face first: it saves 1.5")
    keen = scene.sentence(scene.start | scene.states["keen club player"])
    assert keen.startswith("Dry face and ball first: it saves 2.2")
    kept = scene.sentence(scene.start | scene.states["well kept"])
    assert kept == "Nothing is left here that would save you metres."
    speak = Speaker(scene.by_name)
    named = scene.named(scene.start)
    said = {speak.choose(scene.sentences, named | {"first": float(k)}) for k in range(len(CAUSES))}
    assert len(said) == len(CAUSES)
    for k in range(len(CAUSES)):
        small = named | {"first": float(k), "first_gain": 0.9 * ONLY}
        assert "though it saves only" in speak.choose(scene.sentences, small)
        assert "only" not in speak.choose(scene.sentences, small | {"first_gain": 1.1 * ONLY})


def test_under_the_hand_what_takes_long_is_left_open(scene):
    def quick(values):
        given = scene.numbers(values) | scene.room.made() | {"rested": 0.0}
        return scene.compute(*(given[name] for name in scene.parameters)), given

    _, few = quick(scene.start)
    assert few["saved"] == pytest.approx(scene.answer(scene.start)["saved"])
    answer, many = quick(scene.start | scene.states["beginner"])
    assert np.isinf(many["saved"]).all() and answer.own_run == pytest.approx(9.07, abs=0.01)


def test_it_is_a_page_of_its_own(scene):
    assert scene.code(), scene.refusal
    assert len(page(scene).encode()) < 200_000
