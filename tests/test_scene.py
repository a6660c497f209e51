"""Scenes in Python: controls, words, bands, what a panel says, and a panel of twenty-five lines."""

import json
import math
import re
from pathlib import Path
from typing import NamedTuple

import numpy as np
import pytest

from spinlab import play
from spinlab.catalogue import PITCH
from spinlab.panels import page, usual
from spinlab.panels.impact import impact_scene
from spinlab.panels.scene import Axis, Choice, Guess, Number, Plot, Scene, curve, grip, point
from spinlab.panels.usual import WATER, WATER_TEMPERATURE, Usual, begin, struck
from spinlab.panels.widget import Panel
from spinlab.panels.words import KINDS, Rule, Speaker
from spinlab.physics.contact import strike
from spinlab.physics.uncertain import PARAMETERS, columns_of
from spinlab.records import Aerodynamics, Assumptions, Ball, Between, Face, Green
from spinlab.units import deg, rpm, um, written

VECTORS = json.loads((Path(__file__).parent / "number_vectors.json").read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def scene():
    return impact_scene()


# -- a teacher's panel, without JavaScript ---------------------------------------------------------


class Spin(NamedTuple):
    spin_rate: float


def spin_of(temperature, film, usual: Usual) -> Spin:
    begin(usual)
    usual.now[WATER] = film
    usual.now[WATER_TEMPERATURE] = temperature
    return Spin(spin_rate=struck(usual).spin_rate)


def warm_water(**changes):
    return Scene(
        **{
            "name": "warm-water",
            "title": "Spin against water temperature",
            "controls": [
                Number(
                    "temperature",
                    "Water",
                    kind="temperature",
                    low=273.15,
                    high=333.15,
                    value=288.15,
                    step=1.0,
                ),
                Number(
                    "film",
                    "Film",
                    kind="thickness",
                    low=0.0,
                    high=60 * um,
                    value=20 * um,
                    step=0.5 * um,
                ),
            ],
            "compute": spin_of,
            "banded": ["spin_rate"],
            "plots": [
                Plot(
                    x=Axis("temperature", "Water temperature", "temperature", 273.15, 333.15),
                    y=Axis("spin_rate", "Spin", "spin", 0.0, 8000 * rpm),
                    marks=[
                        curve(x="temperature", y="spin_rate", sign="wet"),
                        point(x="temperature", y="spin_rate", sign="wet"),
                        grip("temperature", x="temperature", y="spin_rate"),
                    ],
                )
            ],
            "say": (
                "At {temperature} the ball spins {spin_rate:spin} ({spin_rate_low:spin#} to "
                "{spin_rate_high:spin})."
            ),
            "states": {"cold": {"temperature": 276.15}, "warm": {"temperature": 318.15}},
        }
        | changes
    )


def test_a_panel_of_25_lines_is_the_engine():
    made = warm_water()
    values = {"temperature": 318.15, "film": 20 * um}
    launch = strike(
        PITCH, Face(), Ball.published_soft_cover(), Between(water=20 * um, temperature=318.15)
    )
    assert made.answer(values)["spin_rate"] == pytest.approx(launch.spin_rate, rel=1e-12)
    assert made.code(), "it runs in the browser"
    said = made.sentence(values)
    assert said.startswith(
        f"At 45\u00a0°C the ball spins "
        f"{written(round(launch.spin_rate / rpm / 10) * 10)}\u00a0rpm ("
    )


# -- words and numbers -----------------------------------------------------------------------------


@pytest.mark.parametrize("vector", VECTORS, ids=str)
def test_numbers_are_written_as_the_shared_vectors_say(vector):
    speak = Speaker({}, vector["units"])
    said = speak.say(
        vector["kind"], vector["value"], vector.get("digits"), vector.get("sign", False)
    )
    assert said == vector["text"].replace("_", "\u202f").replace(" ", "\u00a0")


def test_templates_choose_the_first_sentence_that_holds():
    speak = Speaker({})
    rules = [
        Rule("dry", "water < 1e-7"),
        Rule("damp and {turn:angle+}", "water <= 1e-6 and turn > 0.1"),
        Rule("wet"),
    ]
    assert speak.choose(rules, {"water": 0.0, "turn": 0.0}) == "dry"
    assert speak.choose(rules, {"water": 1e-6, "turn": 10 * deg}) == "damp and +10°"
    assert speak.choose(rules, {"water": 1e-6, "turn": 0.1}) == "wet"
    with pytest.raises(ValueError, match="name < number"):
        Rule("x", "water is low")


def test_a_misspelt_name_is_found_when_the_scene_is_made():
    for wrong in ("{spin_rates:spin}", "{spin_rate:spins}", "{temprature}"):
        with pytest.raises(ValueError, match="asks for"):
            warm_water(say=wrong)
    with pytest.raises(ValueError, match="no condition"):
        warm_water(say=[("film < 1e-6", "Thin.")])


def test_sentences_are_short(scene):
    """At most 20 words; a number with its unit counts as two."""
    for rule in [*scene.sentences, *scene.first_sentences]:
        words = re.sub(r"\{[^}]*\}", "one rpm", rule.text).split()
        assert len(words) <= 20, rule.text


# -- controls and values ---------------------------------------------------------------------------


def test_controls_refuse_with_the_range():
    loft = Number(
        "loft",
        "Loft",
        kind="fine_angle",
        low=25 * deg,
        high=70 * deg,
        value=45 * deg,
        step=0.5 * deg,
    )
    assert loft.check(25 * deg) == 25 * deg and loft.check(70 * deg) == 70 * deg
    for wrong in (24.9 * deg, 70.1 * deg, math.nan, "45", True):
        with pytest.raises(ValueError, match=r"loft must lie between 25\.0° and 70\.0°"):
            loft.check(wrong)
    ball = Choice("ball", "Ball", options={"soft": 1.0, "hard": 2.0}, value="soft")
    with pytest.raises(ValueError, match="soft, hard"):
        ball.check("medium")
    for half in (0.0, 50 * um, 60 * um):
        with pytest.raises(ValueError, match="half"):
            Number(
                "w", "W", kind="thickness", low=0.0, high=100 * um, value=0.0, step=um, half=half
            )


def test_a_scene_refuses_what_does_not_fit():
    with pytest.raises(ValueError, match="asks for film"):
        warm_water(controls=warm_water().controls[:1], say="x", states={})
    with pytest.raises(ValueError, match="either plots or a close-up"):
        warm_water(closeup="impact")
    with pytest.raises(ValueError, match="no control speed"):
        warm_water(states={"fast": {"speed": 1.0}})
    with pytest.raises(ValueError, match="guess_state"):
        warm_water(
            guesses=[Guess(kind="choose", of="x", ask="?", options=["a"], answers=[("", "a")])]
        )
    with pytest.raises(ValueError, match="must be one of arrow"):
        Guess(kind="shout", of="x", ask="?")


def test_the_panel_is_the_shot_of_the_next_cell(scene):
    panel = Panel(scene)
    rng = np.random.default_rng(5)
    for _ in range(25):
        values = {
            control.name: rng.choice(list(control.options))
            if isinstance(control, Choice)
            else rng.uniform(control.low, control.high)
            for control in scene.controls
        }
        panel.set(
            **{
                name: str(value) if isinstance(value, str) else float(value)
                for name, value in values.items()
            }
        )
        shot, said = play(**panel.setting), panel.answer
        for name, value in (
            ("spin_rate", shot.launch.spin_rate),
            ("launch_angle", shot.launch.launch_angle),
            ("ball_speed", shot.launch.ball_speed),
            ("carry", shot.carry),
            ("total", shot.total),
        ):
            assert said[f"wet_{name}"] == pytest.approx(value, rel=1e-9, abs=1e-9), name


def test_a_panel_sets_goes_and_resets(scene):
    panel = Panel(scene)
    assert panel.set(water=3 * um).values["water"] == 3 * um
    with pytest.raises(ValueError, match="water must lie between"):
        panel.set(water=1.0)
    assert panel.values["water"] == 3 * um, "what is refused changes nothing"
    assert panel.go("clean and dry").values["water"] == 0.0
    with pytest.raises(ValueError, match="state must be one of"):
        panel.go("soaked")
    panel.units = "yards"
    assert "mph" in Speaker(scene.by_name, panel.units).control("head_speed", 20.0)
    with pytest.raises(ValueError, match="metric, yards"):
        panel.units = "furlongs"
    assert panel.reset().values == scene.start


def test_the_page_asks_with_checked_values(scene, tmp_path):
    panel = Panel(scene, sessions=tmp_path / "sessions")
    sent = []
    panel._view = type(
        "View",
        (),
        {"send": lambda self, message: sent.append(message), "values": {}, "units": "metric"},
    )()
    panel._heard(None, {"ask": {"id": 3, "values": {"water": 5 * um}, "bands": False}})
    panel._heard(None, {"ask": {"id": 4, "values": {"water": 5.0}, "bands": False}})
    assert sent[0]["answer"]["id"] == 3 and sent[0]["answer"]["result"]["ratio"] < 1
    assert sent[1]["answer"]["result"] is None and "water must lie" in sent[1]["answer"]["error"]
    panel._heard(
        None, {"guess": {"scene": "impact", "guesses": [{"of": "wet_spin_rate", "value": 1.0}]}}
    )
    panel._heard(None, {"guess": {"scene": "impact", "guesses": []}})
    kept = json.loads((tmp_path / "sessions" / "guesses-impact.json").read_text())
    assert [len(one["guesses"]) for one in kept] == [1, 0] and len(panel.guesses) == 2
    panel._heard(None, {"wipe": True})
    assert not (tmp_path / "sessions" / "guesses-impact.json").exists() and panel.guesses == []


# -- the usual shot, its draws, its bands ----------------------------------------------------------


def test_the_stored_draws_are_a_latin_hypercube():
    """Every uncertain number has exactly one draw in each of 256 even parts of its range."""
    table = usual.draws()
    assert table.shape == (usual.DRAWS, len(PARAMETERS))
    parts = np.sort(np.floor(np.clip(table, 0, 1 - 1e-9) * usual.DRAWS + 1e-6).astype(int), axis=0)
    # stored with four decimals, a draw may lie a hundredth of its part over the edge
    assert np.abs(parts - np.arange(usual.DRAWS)[:, None]).max() <= 1
    assert json.loads(usual.STORED.read_text()) == usual.new_draws()


def test_doubts_stand_where_their_numbers_stand():
    """By name: each uncertain number moves the field that it names, and nothing else."""
    row, columns = np.array(usual.usual_shot()), np.array(usual.spread())
    doubts = usual.usual().doubts
    assert (columns >= 0).sum() == sum(len(parameter.fields) for parameter in PARAMETERS)
    for parameter in PARAMETERS:
        column = PARAMETERS.index(parameter)
        for place in np.flatnonzero(columns == column):
            assert (doubts.low[place], doubts.high[place]) == (parameter.low, parameter.high)
    assert row[usual.FRICTION] == Ball.published_soft_cover().friction
    values = {
        "arriving": PITCH,
        "between": Between(),
        "face": Face(),
        "ball": Ball.published_soft_cover(),
        "assume": Assumptions(),
        "green": Green(),
        "flight": Aerodynamics(),
    }
    for parameter in PARAMETERS:
        for name, column in zip(parameter.fields, columns_of(parameter)):
            assert row[column] == getattr(values[parameter.record], name), parameter.name


def test_a_band_holds_its_number_and_is_the_share_of_draws(scene):
    values = scene.start
    bands, middle = scene.bands(values), scene.answer(values)
    for name, (low, high) in bands.items():
        assert low <= middle[name] <= high, name
    assert bands["ratio"][0] < 0.9 * middle["ratio"], "water is what is known least"
    ends = scene._ends(values, ["wet_spin_rate"])["wet_spin_rate"]
    rows = []
    given = scene.numbers(values) | scene.room.made(filled=False)
    for draw in usual.draws()[:, np.array(usual.spread())]:
        given["usual"].shares[:] = np.where(np.array(usual.spread()) >= 0, draw, -1.0)
        rows.append(scene.compute(*(given[name] for name in scene.parameters)).wet_spin_rate)
    inside = np.mean((np.array(rows) >= ends[0]) & (np.array(rows) <= ends[1]))
    assert inside == pytest.approx(0.9, abs=0.01)


# -- the close-up's rows ---------------------------------------------------------------------------


def test_what_moves_ends_as_the_launch_says(scene):
    """The rows integrate forces; Newton's second law must bring them to the launch that the contact
    gives."""
    for water in (0.0, 3 * um, 40 * um):
        answer = scene.answer(scene.start | {"water": water})
        rows = answer["wet_motion"]
        step = rows.time[-1] - rows.time[-2]
        speed = (
            math.hypot(rows.ball_x[-1] - rows.ball_x[-2], rows.ball_z[-1] - rows.ball_z[-2]) / step
        )
        angle = math.atan2(rows.ball_z[-1] - rows.ball_z[-2], rows.ball_x[-1] - rows.ball_x[-2])
        assert speed == pytest.approx(answer["wet_ball_speed"], rel=0.005)
        assert angle == pytest.approx(answer["wet_launch_angle"], abs=0.4 * deg)
        assert rows.spin[-1] == answer["wet_spin_rate"]
        assert np.all(np.diff(rows.time) > 0) and rows.gap.min() == 0.0 and rows.gap.max() == 1.0


def test_the_path_ends_where_the_ball_rests(scene):
    answer = scene.answer(scene.start)
    for name in ("dry", "wet"):
        path = answer[f"{name}_path"]
        assert path.x[-1] == pytest.approx(answer[f"{name}_total"], abs=0.02)
        assert path.z[-1] == 0.0 and path.z.min() > -1e-9
        assert np.all(np.diff(path.time) > 0)
        down = np.flatnonzero((path.z < 0.01) & (path.x > 5.0))[0]
        assert path.x[down] == pytest.approx(answer[f"{name}_carry"], abs=0.01)


# -- pages -----------------------------------------------------------------------------------------


def test_modules_are_put_together():
    files = {
        "a.js": 'import { two as deux } from "./b.js";\nexport const one = () => deux() - 1;\n',
        "b.js": "// a comment\nconst hidden = 2;\nexport function two() {\n  return hidden;\n}\n",
    }
    text, name = page.bundle("a.js", files.__getitem__)
    assert "import" not in text and "export" not in text and "comment" not in text
    assert text.index("hidden") < text.index("deux") and name in text
    with pytest.raises(ValueError, match="write imports as"):
        page.bundle("c.js", {"c.js": 'import x from "y";\n'}.__getitem__)


def test_a_page_is_small_and_may_ask_nobody(scene):
    text = page.page(scene)
    assert len(text.encode()) <= 200_000
    policy = re.search(r'Content-Security-Policy" content="([^"]+)"', text)[1]
    assert "default-src 'none'" in policy and "connect-src" not in policy
    assert not re.search(r'(?:src|href)="(?!data:)', text.split("<script")[0])


def test_a_page_needs_the_dialect():
    def answer(temperature, film):
        return {"spin_rate": np.float64(film / temperature)}

    made = warm_water(compute=answer, banded=[], say="{spin_rate:spin}")
    with pytest.raises(ValueError, match="needs a kernel"):
        page.page(made)


def test_kinds_have_both_units():
    for kind in KINDS.values():
        assert set(kind.described()) == {"metric", "yards"}


def test_every_scene_is_kept_under_its_own_name():
    from spinlab.panels.every import SCENES

    assert {name: make().name for name, make in SCENES.items()} == {name: name for name in SCENES}


def test_words_that_a_picture_points_at_are_defined_once():
    from spinlab.panels.first import first_look
    from spinlab.panels.terms import SHOWN, TERMS

    made = first_look()
    assert list(made.words) == list(SHOWN) and set(SHOWN) <= set(TERMS)
    assert made.described(None)["words"]["carry"] == TERMS["carry"]
