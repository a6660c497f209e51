"""The same question has the same number at every place where people read it, to the last printed digit.

A place prints a number rounded to some step; it agrees if the answer of `spinlab.evidence.questions`, rounded to
that step, is what stands there.  Places so far: Python, lessons, scenes, pictures, sayings, handouts and the report.
"""

import json
import re
import shutil

import pandas as pd
import pytest
from lessons import NOTEBOOKS, texts

from spinlab.catalogue import PITCH
from spinlab.evidence import modelled
from spinlab.evidence.questions import QUESTIONS, answer, as_json
from spinlab.panels.fixing import what_to_fix_first
from spinlab.panels.lofts import loft_against_spin
from spinlab.panels.ways import which_repeats
from spinlab.panels.words import Rule, Speaker
from spinlab.physics.players import PLAYERS, REFERENCE
from spinlab.show import facts, sheets
from spinlab.show.exhibits import exhibit
from spinlab.show.picture import Picture
from spinlab.show.style import look
from spinlab.units import unit

NUMBER = r"([+−-]?[\d\u202f]+(?:\.\d+)?)"
ANY = r"[\d\u202f.−-]+"


@pytest.fixture(scope="module", autouse=True)
def in_a_folder_of_its_own(tmp_path_factory):
    room = tmp_path_factory.mktemp("lesson")
    shutil.copytree(NOTEBOOKS.parent / "data", room / "data")
    (room / "notebooks").mkdir()
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(room / "notebooks")
        yield


def picture(name):
    """What a picture to take away says it shows."""
    one = exhibit(name)
    return Picture(one.build, look("page")).show(one.make())


def scene(make, state=""):
    """What a scene says in one of its prepared states: its sentence, its facts, the words in its plots."""
    made = make()
    values = made.start | made.states.get(state, {})
    named = made.named(values, made.bands(values))
    speak = Speaker(made.by_name)
    facts_ = [f"{label} {speak.say(kind, named[name])}" for label, name, kind in made.facts]
    notes = [mark for plot in made.plots for mark in plot.marks if mark["kind"] == "text"]
    words = [speak.choose([told(rule) for rule in mark["text"]], named) for mark in notes]
    return " ".join([made.sentence(values), *facts_, *words])


def told(rule):
    """A rule as it travels, as a rule again."""
    made = Rule(rule["text"])
    made.when = rule["when"]
    return made


def claim(words):
    """What a checked claim says."""
    return " ".join(trial.sentence for trial in facts.check(words).trials)


def sheet(player):
    """The words and the table of a player's handout."""
    made = sheets.player_sheet(PLAYERS[player].setting, REFERENCE.setting)
    table = " ".join(" ".join(row) for grid in made.tables for row in grid.rows)
    return f"{made.pictures[0].sentence} {table} " + " ".join(" ".join(part.words) for part in made.sections)


def report():
    """What the model says in a report about shots with the pitch of all lessons."""
    row = {"head_speed": PITCH.head_speed, "dynamic_loft": PITCH.dynamic_loft, "attack_angle": PITCH.attack_angle}
    frame = pd.DataFrame([row | {"condition": name} for name in ("dry", "wet") for _ in range(4)])
    return modelled.expect(frame, by="condition", baseline="dry", other="wet").sentence()


def lesson(name, cell):
    return lambda: texts(name)[cell]


PLACES = [
    # question, which of its numbers, place, the words around the number, the step it is printed in
    ("dry spin", "value", lesson("00", "strike"), f"and {NUMBER} rpm", 10),
    ("dry spin", "value", lesson("02", "answer"), f"from {NUMBER} rpm", 10),
    ("dry spin", "value", lesson("01", "flats"), rf"spotless \| {NUMBER}\Wrpm", 10),
    ("dry spin", "value", lesson("03", "bag"), rf"56° \| {NUMBER}\Wrpm", 10),
    ("dry spin", "value", lesson("00", "sure"), rf"spin \| {NUMBER} \(", 100),
    ("dry spin", "low", lesson("00", "sure"), rf"spin \| {ANY} \({NUMBER} to", 100),
    ("dry spin", "high", lesson("00", "sure"), rf"spin \| {ANY} \({ANY} to {NUMBER}\)", 100),
    ("dry spin", "value", lambda: picture("words-a-pitch"), f"leaves dry .*? and {NUMBER} rpm; damp", 10),
    ("dry spin", "value", lambda: picture("clean-face-caked-dew"), f"spotless, dry face: {NUMBER} rpm", 10),
    ("dry spin", "value", lambda: picture("dry-and-wet-wet"), f"Dry, .*? with {NUMBER} rpm", 10),
    ("dry spin", "value", lambda: picture("loft-and-spin-wedges"), f"at 56°: dry {NUMBER} rpm", 10),
    ("dry spin", "value", lambda: scene(loft_against_spin), f"here spin {NUMBER} rpm", 10),
    ("dry spin", "value", lambda: scene(what_to_fix_first), f"Spin well kept {NUMBER} rpm", 10),
    ("damp spin", "value", lambda: picture("words-a-pitch"), f"damp at .*? and {NUMBER} rpm", 10),
    ("damp spin", "value", lesson("03", "bag"), rf"56° \| {ANY} rpm \| {NUMBER} rpm", 10),
    ("wet spin", "value", lesson("02", "answer"), f"to {NUMBER} rpm", 10),
    ("wet spin", "value", lesson("04", "answers"), f"lesson 02, with {NUMBER} rpm", 10),
    ("wet spin", "value", lesson("02", "strikes"), rf"soft, wet .*?\| {NUMBER}\Wrpm", 10),
    ("wet spin", "value", lambda: picture("dry-and-wet-wet"), f"wet, .*? with {NUMBER} rpm", 10),
    ("wet spin", "value", lambda: picture("loft-and-spin-wedges"), f"at 56°.*?wet {NUMBER} rpm", 10),
    ("wet spin", "value", lambda: scene(loft_against_spin, "wet"), f"here spin {NUMBER} rpm", 10),
    ("dry launch", "value", lesson("02", "answer"), f"from {NUMBER}°", 1),
    ("dry launch", "value", lambda: picture("dry-and-wet-wet"), f"launches at {NUMBER}°", 0.1),
    ("dry launch", "value", lesson("00", "sure"), rf"launch \| {NUMBER} \(", 1),
    ("wet launch", "value", lesson("02", "answer"), f"to {NUMBER}°", 1),
    ("wet launch", "value", lambda: picture("dry-and-wet-wet"), f"wet, .*?launches at {NUMBER}°", 0.1),
    ("dry carry", "value", lesson("02", "answer"), rf"moves: {NUMBER} m", 0.1),
    ("dry carry", "value", lambda: picture("dry-and-wet-wet"), f"carries {NUMBER} m;", 0.1),
    ("dry carry", "value", lesson("00", "strike"), f"carries {NUMBER} m", 1),
    ("wet carry", "value", lesson("02", "answer"), rf"dry, {NUMBER} m", 0.1),
    ("wet carry", "value", lambda: picture("dry-and-wet-wet"), f"wet, .*?carries {NUMBER} m", 0.1),
    ("dry run", "value", lesson("00", "sure"), rf"run \| {NUMBER} \(", 1),
    ("wet run", "value", lesson("00", "sure"), rf"run \| .*? \| {NUMBER} \(", 1),
    ("wet over dry spin", "value", lesson("02", "check"), f"spin × {NUMBER}", 0.01),
    ("wet over dry spin", "value", lesson("02", "say_it"), f"keeps {NUMBER}%", 0.01),
    ("wet over dry spin", "low", lesson("02", "say_it"), f"of its spin .band {NUMBER}%", 0.01),
    ("wet over dry spin", "high", lesson("02", "say_it"), f"of its spin .band .*? to {NUMBER}%", 0.01),
    ("wet over dry spin", "value", lambda: picture("dry-and-wet-wet"), f"{NUMBER} times the spin", 0.01),
    ("wet over dry spin", "value", lambda: claim("wet halves the spin"), rf"[Pp]oured .*?{NUMBER} times", 0.01),
    ("wet over dry spin", "low", lambda: claim("wet halves the spin"), rf"[Pp]oured [^:]*: [^(]*\({NUMBER} to", 0.01),
    ("wet over dry spin", "high", lambda: claim("wet halves the spin"), rf"[Pp]oured [^:]*: [^(]*\(\S+ to {NUMBER}\)", 0.01),
    ("wet over dry spin", "value", report, f"{NUMBER} times the spin", 0.01),
    ("wet over dry spin", "low", report, rf"times the spin \({NUMBER} to", 0.01),
    ("wet over dry spin", "high", report, rf"times the spin \(\S+ to {NUMBER}\)", 0.01),
    ("wet less dry launch", "value", lesson("02", "check"), f"launch {NUMBER}° higher", 0.1),
    ("wet less dry launch", "value", lesson("02", "say_it"), f"ball {NUMBER}° higher", 1),
    ("wet less dry launch", "value", lambda: picture("dry-and-wet-wet"), rf"launch {NUMBER}°", 0.1),
    ("wet less dry launch", "value", report, f"launch angle {NUMBER}°", 0.1),
    ("wet less dry launch", "low", report, rf"launch angle \S+ \({NUMBER}°", 0.1),
    ("peak dry", "value", lesson("00", "answer"), f"point: {NUMBER}°", 1),
    ("peak dry", "value", lesson("00", "say_it"), f"about {NUMBER}° of dynamic loft", 1),
    ("peak dry", "low", lesson("00", "say_it"), f"dry .band {NUMBER}°", 1),
    ("peak dry", "value", lambda: scene(loft_against_spin), f"up to {NUMBER}°", 1),
    ("peak dry", "low", lambda: scene(loft_against_spin), rf"up to \S+ \({NUMBER} to", 1),
    ("peak dry", "high", lambda: scene(loft_against_spin), rf"up to \S+ \(\S+ to {NUMBER}°", 1),
    ("peak dry", "value", lesson("03", "peaks"), rf"dry \| {NUMBER}°", 1),
    ("peak damp", "value", lesson("00", "answer"), f"damp that point lies at {NUMBER}°", 1),
    ("peak damp", "value", lesson("03", "peaks"), rf"damp \| {NUMBER}°", 1),
    ("peak wet", "value", lesson("00", "answer"), f"wet at {NUMBER}°", 1),
    ("peak wet", "value", lesson("00", "say_it"), f"comes at about {NUMBER}°", 1),
    ("peak wet", "value", lambda: scene(loft_against_spin, "wet"), f"Past {NUMBER}°", 1),
    ("peak wet", "high", lambda: scene(loft_against_spin, "wet"), rf"Past \S+ \(\S+ to {NUMBER}°", 1),
    ("peak wet", "value", lesson("03", "peaks"), rf"wet \| {NUMBER}°", 1),
    ("peak dirty", "value", lesson("03", "peaks"), rf"dirty \| {NUMBER}°", 1),
    ("60 over 54", "value", lesson("03", "say_it"), f"60° {NUMBER} times", 0.01),
    ("tee", "value", lesson("01", "say_it"), f"leaves you {NUMBER}%", 0.01),
    ("tee", "low", lesson("01", "say_it"), f"leaves you .*?band {NUMBER}%", 0.01),
    ("towel", "value", lesson("01", "say_it"), f"gives back {NUMBER}%", 0.01),
    ("towel", "low", lesson("01", "say_it"), rf"gives back \S+ \({NUMBER}%", 0.01),
    ("open over blocked", "value", lesson("01", "say_it"), f"leave {NUMBER} times", 0.1),
    ("open over blocked", "high", lesson("01", "say_it"), rf"leave .*?band \S+ to {NUMBER}\)", 0.1),
    ("ordinary spin", "value", lambda: scene(what_to_fix_first), f"Spin as you are {NUMBER} rpm", 10),
    ("ordinary spin", "value", lambda: sheet("ordinary player"), f"as you are {NUMBER} rpm", 10),
    ("ordinary clean face", "value", lesson("08", "answer"), f"Most is the face, {NUMBER}%", 0.01),
    ("ordinary clean face", "value", lesson("08", "three"), f"Ordinary player.*?clean face {NUMBER}%", 0.01),
    ("ordinary clean face", "value", lesson("08", "say_it"), f"clean face alone {NUMBER}%", 0.01),
    ("ordinary clean face", "value", lambda: sheet("ordinary player"), f"clean face {NUMBER}%", 0.01),
    ("ordinary clean face", "low", lambda: sheet("ordinary player"), rf"clean face \S+ \({NUMBER}%", 0.01),
    ("keen drying", "value", lesson("08", "answers"), f"drying is worth {NUMBER}%", 0.01),
    ("keen drying", "value", lesson("08", "three"), f"Keen .*?dry face and ball {NUMBER}%", 0.01),
    ("beginner spin", "value", lambda: scene(what_to_fix_first, "beginner"), f"Spin as you are {NUMBER} rpm", 10),
    ("ordinary first step", "value", lambda: scene(what_to_fix_first), f"it saves {NUMBER} m of run-out", 0.1),
    ("ordinary first step", "low", lambda: scene(what_to_fix_first), rf"run-out \({NUMBER} to", 0.1),
    ("ordinary first step", "high", lambda: scene(what_to_fix_first), rf"run-out \(\S+ to {NUMBER} m", 0.1),
    ("ordinary first step", "value", lesson("08", "say_it"), f"it saves {NUMBER} m of run-out", 0.1),
    ("low with spin near", "value", lambda: scene(which_repeats), f"low with spin: {NUMBER}% near", 0.01),
    ("low with spin near", "high", lambda: scene(which_repeats), rf"low with spin: \S+ near \(\S+ to {NUMBER}%", 0.01),
    ("low with spin near", "value", lesson("05", "ways"), rf"low with spin \| .*? \| {NUMBER}% \|", 0.01),
    ("bump-and-run near", "value", lambda: scene(which_repeats), f"bump-and-run: {NUMBER}% near", 0.01),
    ("bump-and-run near", "value", lesson("05", "answer"), f"bump-and-run {NUMBER}%", 0.01),
]


def printed(text, around):
    """The number that stands at a place, as it is printed there."""
    found = re.search(around, text.replace("\u00a0", " "), flags=re.S)
    assert found, f"{around!r} is not in: {text[-600:]}"
    return float(found[1].replace("\u202f", "").replace("−", "-"))


def rounded(name, which, step):
    """The answer as a place prints that rounds to this step."""
    told = answer(name)
    value = unit(told.unit).from_si(getattr(told, which)) if told.unit not in ("%", "") else getattr(told, which)
    return round(value / step) * step


@pytest.mark.parametrize(("name", "which", "place", "around", "step"), PLACES)
def test_the_same_question_has_the_same_number(name, which, place, around, step):
    text = place()
    percent = 100 if f"{NUMBER}%" in around else 1
    assert printed(text, around) == pytest.approx(percent * rounded(name, which, step), abs=1e-6 * percent)


def test_twenty_questions_each_with_a_place():
    assert len(QUESTIONS) >= 20
    assert {name for name, *_ in PLACES} == set(QUESTIONS)


def test_bands_hold_their_answers():
    for name in QUESTIONS:
        told = answer(name)
        assert told.low <= told.value <= told.high or told.low == told.high
        assert told.number(told.value) in told.text()


def test_answers_are_data():
    told = json.loads(json.dumps(as_json()))
    assert set(told["answers"]) == set(QUESTIONS)
    assert told["numbers"]["minus"] == "−"
    assert "{value}" in told["phrases"]["band"]


def test_unknown_question():
    with pytest.raises(ValueError, match="moon.*dry spin"):
        answer("moon")
