"""The scene of lesson 03: its numbers are those of the engine asked otherwise; its sentences say what is so."""

import numpy as np
import pytest

from spinlab.catalogue import BALLS, FACES, PITCH, STATES
from spinlab.panels.lofts import (
    AT_END,
    CLOSE_PEAK,
    HIGHEST,
    KNOTS,
    LINE_POINTS,
    LOWEST,
    WET,
    loft_against_spin,
)
from spinlab.panels.page import page
from spinlab.panels.widget import Panel
from spinlab.panels.words import Speaker
from spinlab.physics.contact import strike
from spinlab.physics.lofts import peak
from spinlab.physics.setting import Setting
from spinlab.physics.shot import carry_to_speed, play
from spinlab.units import deg, um

PLACES = {
    "as it opens": {},
    "a harder ball, wet": {"water": 12 * um, "ball": "hard cover", "head_speed": 26.0},
    "steep and dirty": {"dynamic_loft": 60 * deg, "soil": "caked", "lean": 4 * deg},
    "one carry": {"kept": "one carry", "carry": 38.0, "dynamic_loft": 30 * deg},
    "one carry, wet": {"kept": "one carry", "water": WET, "soil": "grooves full"},
}


@pytest.fixture(scope="module")
def scene():
    return loft_against_spin()


@pytest.fixture(scope="module")
def answers(scene):
    """The whole answer in every prepared state."""
    return {name: scene.answer(scene.start | state) for name, state in scene.states.items()}


def quick(scene, turned):
    """What is answered under the hand."""
    given = scene.numbers(scene.start | turned) | {"rested": 0.0} | scene.room.made()
    return scene.compute(*(given[name] for name in scene.parameters)), given


@pytest.mark.parametrize("turned", PLACES.values(), ids=PLACES)
def test_the_shot_is_that_of_its_setting(scene, turned):
    values = scene.start | turned
    shot = play(**scene.setting(values))
    answer, _ = quick(scene, turned)
    assert answer.spin_rate == pytest.approx(shot.launch.spin_rate, rel=1e-5)
    assert answer.carried == pytest.approx(shot.path.carry, rel=1e-5)
    assert answer.run_out == pytest.approx(shot.rest.run_out, rel=1e-4)
    assert answer.arriving_speed == pytest.approx(scene.setting(values)["arriving"].head_speed)
    if values["kept"] == "one carry":
        assert answer.carried == pytest.approx(values["carry"], abs=2e-4)


def test_the_curves_are_the_engines(answers):
    """One swing: one call with an array of lofts for each state; one carry: the search of `physics`."""
    lofts = np.linspace(LOWEST, HIGHEST, LINE_POINTS)
    arriving = PITCH.but(dynamic_loft=lofts)
    shot = {"face": FACES["fresh"], "ball": BALLS["soft cover"]}
    for name, between in STATES.items():
        spin = strike(arriving, **shot, between=between).spin_rate
        assert getattr(answers["damp"]["states"], name) == pytest.approx(spin, rel=1e-9)
        speed = carry_to_speed(45.0, arriving, **shot, between=between)
        found = play(arriving.but(head_speed=speed), **shot, between=between)
        line = getattr(answers["one carry, dry"]["states"], name)
        assert line == pytest.approx(found.launch.spin_rate, rel=1e-5)
        if name == "dry":
            assert answers["one carry, dry"]["run"].distance == pytest.approx(found.rest.run_out, rel=1e-3)
    assert answers["damp"]["now"].spin == pytest.approx(answers["damp"]["states"].damp)


def test_the_peaks_are_those_of_physics(answers):
    for kept, place in ((None, "wet"), (45.0, "one carry, wet")):
        peaks = answers[place]["peaks"]
        for k, between in enumerate(STATES.values()):
            shot = Setting(arriving=PITCH, face=FACES["fresh"], ball=BALLS["soft cover"], between=between)
            found = peak(shot, carry=kept, low=LOWEST, high=HIGHEST)
            assert peaks.loft[k] == pytest.approx(found.dynamic_loft, abs=CLOSE_PEAK)
            assert peaks.spin[k] == pytest.approx(found.value, rel=1e-4)
        assert answers[place]["best_loft"] == peaks.loft[2] == answers[place]["top"].loft[0]


def test_the_band_along_the_curve_is_that_of_the_point(scene, answers):
    """The same draws on another way: at three knots the band of the number itself."""
    edges = answers["wet"]["edges"]
    for knot in (0, 5, KNOTS - 1):
        values = scene.start | {"water": WET, "dynamic_loft": float(edges.loft[knot])}
        low, high = scene.bands(values)["spin_rate"]
        assert (edges.low[knot], edges.high[knot]) == pytest.approx((low, high), rel=1e-9)
    assert (edges.low < edges.high).all()


@pytest.mark.parametrize("name", ["dry", "wet"])
def test_the_band_of_the_peak_is_the_lessons(scene, answers, name):
    """The same draws; the scene looks for each peak from thirteen knots."""
    shot = Setting(
        arriving=PITCH, face=FACES["fresh"], ball=BALLS["soft cover"], between=STATES[name]
    )
    found = peak(shot, bands=True, low=LOWEST, high=HIGHEST)
    answer = answers["clean and dry" if name == "dry" else name]
    lean = found.loft - found.dynamic_loft
    told = (found.band.low - lean, found.band.high - lean)
    assert (answer["best_low"], answer["best_high"]) == pytest.approx(told, abs=0.3 * deg)
    assert answer["best_low"] <= answer["best_loft"] <= answer["best_high"]


def test_under_the_hand_the_same_numbers_and_the_rest_open(scene, answers):
    for name, state in scene.states.items():
        answer, room = quick(scene, state)
        whole = answers[name]
        assert answer.spin_rate == whole["spin_rate"] and answer.run_out == whole["run_out"]
        swing = not name.startswith("one carry")
        assert (answer.best_loft == whole["best_loft"]) == swing
        for open_now in ("states", "peaks", "run", "edges", *(() if swing else ("now", "top", "past"))):
            assert room[open_now].loft[0] == np.inf, open_now
    assert set(scene.lasting) <= set(scene.room.kinds) | set(scene.compute(
        *({**scene.numbers(scene.start), **scene.room.made(filled=False)}[name] for name in scene.parameters)
    )._fields)
    assert answers["one carry, dry"]["edges"].loft[0] == np.inf


def test_the_shares_are_put_back(scene):
    given = scene.numbers(scene.start) | scene.room.made()
    scene.compute(*(given[name] for name in scene.parameters))
    assert (given["usual"].shares == -1.0).all()


def test_sentences_on_both_sides_of_their_thresholds(scene):
    best = scene.answer(scene.start)["best_loft"]
    before = scene.sentence(scene.start | {"dynamic_loft": best - 0.5 * deg})
    past = scene.sentence(scene.start | {"dynamic_loft": best + 0.5 * deg})
    assert before.startswith("Spin grows up to ") and past.startswith("Past ")
    assert "more loft spins less" in past and " to " in past
    kept = scene.sentence(scene.start | {"kept": "one carry"})
    assert kept.startswith("The same carry: run ")
    named = scene.named(scene.start, scene.bands(scene.start))
    ends = {LOWEST + 0.5 * AT_END: "Every degree", HIGHEST - 0.5 * AT_END: "Spin grows with loft"}
    speak = Speaker(scene.by_name)
    for loft, words in ends.items():
        assert speak.choose(scene.sentences, named | {"best_loft": loft}).startswith(words)
        nearer = loft + AT_END if loft < best else loft - AT_END
        assert not speak.choose(scene.sentences, named | {"best_loft": nearer}).startswith(words)


def test_every_sentence_is_short_with_bands(scene):
    for name, state in scene.states.items():
        words = scene.sentence(scene.start | state)
        assert len(words.replace("\u202f", "").replace("\u00a0", " ").split()) <= 20, name
        assert words.count(" to ") >= 2, "a band stands beside each number"


def test_what_the_lesson_says_holds(answers):
    """64° does not spin most; each film moves the peak to less loft; one carry: less spin, less run."""
    dry, damp, dirty, wet = (
        answers[name]["best_loft"] for name in ("clean and dry", "damp", "dirty", "wet")
    )
    assert wet < damp < dry and wet < dirty < dry
    assert dry + answers["wet"]["lean"] < 64 * deg
    assert answers["wet"]["lob_ratio"] < 0.97 < 1.0 < answers["clean and dry"]["lob_ratio"] < 1.05
    carry = answers["one carry, wet"]
    steep = carry["now"].loft > carry["best_loft"]
    assert carry["now"].spin[steep][-1] < carry["now"].spin[steep][0]
    assert (np.diff(carry["run"].distance) < 0).all()


def test_the_guess_has_its_answers(scene, answers):
    place, choice = scene.guesses
    assert place.along == scene.plots[0].name and place.low < answers["wet"][place.of] < place.high
    assert choice.answers[-1][1] == "less" and scene.guess_state == "wet"


def test_one_page_without_a_kernel(scene):
    assert scene.code() is not None, scene.refusal
    assert len(page(scene).encode()) < 200_000
    assert scene.described(None)["room"]["draws"] == {"draws": True}


def test_a_panel_gives_its_records(scene):
    panel = Panel(scene).go("one carry, wet")
    assert panel.setting["between"].water == WET
    assert panel.setting["arriving"].head_speed > PITCH.head_speed
