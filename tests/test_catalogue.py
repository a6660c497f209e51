"""Every named thing stands once: what the catalogue holds, and that nobody defines it again."""

import ast
import doctest
import json
import re
from pathlib import Path

import pytest

from spinlab import catalogue
from spinlab.catalogue import (
    BALLS,
    CLEANINGS,
    FACES,
    GREENS,
    LIES,
    PITCH,
    PLAYERS,
    PRESETS,
    REFERENCE,
    SOIL,
    STATES,
    WETNESS,
)
from spinlab.evidence.bag import BAGS
from spinlab.physics import players
from spinlab.physics.contact import strike
from spinlab.physics.lofts import Habit
from spinlab.records import Ball, Face, Green
from spinlab.units import deg, um

ROOT = Path(__file__).resolve().parents[1]
SOURCES = sorted(
    path
    for path in (ROOT / "spinlab").rglob("*.py")
    if path.name not in ("records.py", "units.py") and path != ROOT / "spinlab" / "catalogue.py"
)
LESSONS = sorted((ROOT / "notebooks").glob("*.ipynb"))

MICRONS = {entry.water / um for entry in WETNESS.values()} | {2.0, 3.0, 40.0, 75.0, 200.0}
"""The films of the catalogue and those that once stood beside them, in micrometres."""
PRESET_CALLS = re.compile(r"\b(?:Ball|Green)\.(?:published|tuned)_\w+\(")
SOIL_FIELDS = {"soil_on_lands", "soil_in_grooves", "grass", "water"}


def code_of(path):
    """The Python of a module or of a lesson's cells."""
    if path.suffix == ".py":
        return path.read_text(encoding="utf-8")
    cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
    code = ["".join(cell["source"]) for cell in cells if cell["cell_type"] == "code"]
    return "\n".join(line for line in "\n".join(code).split("\n") if not line.startswith("%"))


def number_of(node):
    """The value of a literal number, or of a literal times ``um``; None for anything else."""
    if isinstance(node, ast.Constant) and isinstance(node.value, (int, float)):
        return float(node.value)
    if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Mult):
        parts = (node.left, node.right)
        units = [part.id for part in parts if isinstance(part, ast.Name)]
        if units == ["um"]:
            return next((number_of(part) for part in parts if number_of(part)), None)
    return None


def second_definitions(code):
    """Places where a literal film, share of soil or grass, ball or pitch is written down."""
    found = []
    for node in ast.walk(ast.parse(code)):
        pairs = []
        if isinstance(node, ast.Call):
            pairs = [(keyword.arg, keyword.value) for keyword in node.keywords]
            name = getattr(node.func, "id", getattr(node.func, "attr", ""))
            given = {key: number_of(value) for key, value in pairs}
            if name == "Ball" and given.get("friction"):
                found.append((node.lineno, "a ball"))
            whole = {"head_speed", "dynamic_loft", "attack_angle"} <= set(given)
            if name == "Delivery" and whole and given["head_speed"] == PITCH.head_speed:
                found.append((node.lineno, "a pitch"))
            if name in ("Knob", "_number", "_share"):
                pairs = []  # the range of a slider is no state
        if isinstance(node, ast.Dict):
            pairs = [
                (key.value, value)
                for key, value in zip(node.keys, node.values)
                if isinstance(key, ast.Constant)
            ]
        for key, value in pairs:
            amount = number_of(value)
            if key in SOIL_FIELDS and amount not in (None, 0.0, 1.0):
                found.append((node.lineno, f"{key} {amount:g}"))
    return found


@pytest.mark.parametrize("path", [*SOURCES, *LESSONS], ids=lambda path: path.name)
def test_no_second_definition(path):
    assert second_definitions(code_of(path)) == []


@pytest.mark.parametrize("path", SOURCES, ids=lambda path: path.name)
def test_balls_and_greens_are_taken_by_name(path):
    # the first two show the published sources themselves, the engine has examples
    allowed = {"model_curves.py", "models.py", "contact.py"}
    if path.name not in allowed:
        assert PRESET_CALLS.findall(code_of(path)) == []


@pytest.mark.parametrize("path", SOURCES, ids=lambda path: path.name)
def test_no_film_is_written_down(path):
    films = re.findall(r"(?<![\w.])(\d+(?:\.\d+)?) ?\* ?um\b", code_of(path))
    allowed = {"causes.py", "cleaning.py", "water.py", "film.py", "contacts.py", "usual.py", "impact.py", "widget.py"}
    if path.name not in allowed and "Knob" not in code_of(path):
        assert [film for film in films if float(film) in MICRONS] == []


def test_the_guard_sees_a_second_definition():
    for code, what in (
        ("Between(water=3*um)", "water 3"),
        ("WET = {'water': 40 * um}", "water 40"),
        ("Between(soil_on_lands=0.4)", "soil_on_lands 0.4"),
        ("Ball(friction=0.3, friction_fast=0.3)", "a ball"),
        ("Delivery(head_speed=20.0, dynamic_loft=44*deg, attack_angle=-6*deg)", "a pitch"),
    ):
        assert [found for _, found in second_definitions(code)] == [what]
    assert second_definitions("Between(water=film, soil_on_lands=0.0)") == []
    assert PRESET_CALLS.findall("x = Ball.published_soft_cover()")


def test_catalogue_imports_records_and_units_only():
    tree = ast.parse((ROOT / "spinlab" / "catalogue.py").read_text(encoding="utf-8"))
    inner = {
        node.module for node in ast.walk(tree) if isinstance(node, ast.ImportFrom) and node.level
    }
    assert inner == {"records", "units"}


def test_every_preset_has_an_honest_name_a_mark_and_a_source():
    for preset in PRESETS:
        assert preset.preset.startswith(("published_", "tuned_")), preset
        assert preset.mark in "SQMCJ"
        assert preset.source
        assert preset.preset.startswith("published_") == (preset.mark in "SQM")
    assert len({(preset.kind, preset.name) for preset in PRESETS}) == len(PRESETS)


def test_ranges_hold_their_values():
    for entry in (*WETNESS.values(),):
        assert entry.low <= entry.water <= entry.high
    for lie in LIES.values():
        assert lie.low <= lie.grass <= lie.high


def test_fresh_face_is_the_face_that_records_give():
    assert FACES["fresh"].but(name="") == Face(name="")
    assert GREENS["medium"] == Green()


def test_hard_cover_never_grips_better_than_the_soft_one():
    soft, hard = BALLS["soft cover"], BALLS["hard cover"]
    assert hard.friction < soft.friction and hard.friction_fast < soft.friction_fast
    # Proceedings 49(1):27 (2020), quoted: 0.40 for urethane, 0.35 for ionomer
    assert hard.friction / soft.friction == pytest.approx(0.35 / 0.40)
    assert hard.friction > Ball.published_hard_cover().friction


def test_why_the_hard_cover_keeps_the_ratio():
    """What its docstring says of a clean, dry pitch: 3 % less spin; by Gobush's own hard cover two fifths less."""
    soft, hard, gobush = (
        strike(PITCH, FACES["fresh"], ball).spin_rate
        for ball in (BALLS["soft cover"], BALLS["hard cover"], Ball.published_hard_cover())
    )
    assert hard / soft == pytest.approx(0.97, abs=0.005)
    assert gobush / soft == pytest.approx(0.6, abs=0.025)


@pytest.mark.parametrize(("more", "factor"), [(1.10, 0.70), (1.24, 0.58)])
def test_wear_that_is_seen_would_need_far_less_friction(more, factor):
    """Why dry friction knows no wear: for the 10 – 24 % that a fresh face spins more (common practice, no source), a
    worn one would have to keep 0.70 – 0.58 of the friction, and no source has that."""
    soft = BALLS["soft cover"]
    worn = soft.but(friction=factor * soft.friction, friction_fast=factor * soft.friction_fast)
    fresh, less = (strike(PITCH, FACES["fresh"], ball).spin_rate for ball in (soft, worn))
    assert fresh / less == pytest.approx(more, abs=0.02)


def test_wear_goes_one_way():
    fresh, used, worn = (catalogue.WEAR[name] for name in ("fresh", "two seasons", "worn"))
    for of in ("roughness", "depth", "edge_radius"):
        values = [
            getattr(face if of == "roughness" else face.grooves, of) for face in (fresh, used, worn)
        ]
        assert values[1] == pytest.approx((values[0] + values[2]) / 2)


def test_lessons_players_and_bags_are_one():
    assert players.PLAYERS.keys() == BAGS.keys() == PLAYERS.keys()
    for name, player in PLAYERS.items():
        bag = BAGS[name]
        wedge = next(wedge for wedge in bag.wedges if wedge.loft == player.pitch_loft)
        from_bag = bag.setting(wedge, player.head_speed, lie=player.lie)
        own = players.PLAYERS[name].setting
        assert from_bag.between == own.between
        assert from_bag.ball == own.ball
        assert from_bag.face.grooves == own.face.grooves
        assert from_bag.arriving.dynamic_loft == pytest.approx(own.arriving.dynamic_loft)
        assert from_bag.arriving.attack_angle == own.arriving.attack_angle
    assert (
        players.REFERENCE.setting.arriving == PITCH == Habit().deliver(56 * deg, PITCH.head_speed)
    )
    assert REFERENCE.between == STATES["dry"]


def test_a_damp_towel_leaves_a_damp_face():
    assert CLEANINGS["damp towel"].adds_water == WETNESS["damp"].water == STATES["damp"].water
    assert SOIL["after a tee"]["soil_on_lands"] == SOIL["dusty"]["soil_on_lands"]


def test_examples():
    assert doctest.testmod(catalogue).failed == 0
