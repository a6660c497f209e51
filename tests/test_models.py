"""The model's page: nothing is said twice in different words, every curve draws, every formula is one.

The page's texts stand beside the functions they tell of; what is checked is that both name the same sources, that bands come
from the register, and a number in a picture against the published one.  Marks: S seen, Q quoted, M from memory, C computed.
"""

import importlib
import inspect
import re
from pathlib import Path

import numpy as np
import pytest
from latex2mathml.converter import convert

from spinlab import records
from spinlab.physics.uncertain import PARAMETERS
from spinlab.show import model_curves
from spinlab.show.draw_model import model_curve
from spinlab.show.models import MODELS, models
from spinlab.show.picture import Picture
from spinlab.show.still import drawn
from spinlab.show.style import look

NAMED = [pytest.param(model, id=model.name) for model in MODELS]


def owner(call):
    """The function or class that a dotted name means, and the module it stands in."""
    module, name = call.split(".")
    if hasattr(records, module):
        return getattr(getattr(records, module), name), records
    for room in ("kernel", "physics", "evidence"):
        try:
            found = importlib.import_module(f"spinlab.{room}.{module}")
        except ModuleNotFoundError:
            continue
        if hasattr(found, name):
            return getattr(found, name), found
    raise AssertionError(call)


def own_words(model):
    """All that the modules of the model's functions say of themselves, and the uncertain numbers that it names."""
    told = []
    for call in model.calls:
        found, module = owner(call)
        assert inspect.getdoc(found), call
        told.append(inspect.getsource(module))
    told += [p.source for p in PARAMETERS if p.name in model.uncertain]
    told += [records.Assumptions.__doc__] * any(name.startswith("assume.") for name in model.uncertain)
    return " ".join(told)


@pytest.mark.parametrize("model", NAMED)
def test_every_source_on_the_page_stands_beside_the_function_too(model):
    """A surname and a year on the page are found in the functions' own words, so the two cannot drift apart."""
    told = own_words(model)
    for name, year in re.findall(r"([A-Z][a-z]+)(?: (?:and|et) [\w.]+)? (1[89]\d\d|20\d\d)", model.source):
        assert name in told and year in told, f"{name} {year}"


@pytest.mark.parametrize("model", NAMED)
def test_every_model_says_all_that_is_asked(model):
    assert model.holds and model.source and model.band and model.leaves_out and model.calls
    assert re.search(r"\[[SQMCJ, ]+\]|geometry|gas law|mechanics|range|19\d\d", model.source)
    known = {p.name for p in PARAMETERS}
    assert set(model.uncertain) <= known
    assert "<math" in convert(model.equation)


WORDS_OF_CHECKS = {
    "common practice": "common practice",
    "MuJoCo": "MuJoCo",
    "IAPWS": "iapws",
    "library of the atmosphere": "ambiance",
}
"""A phrase of the page where a check's source is no name with a year, and the word that its test's file has for it."""


@pytest.mark.parametrize("model", NAMED)
def test_what_a_model_was_checked_against_stands_in_a_test(model):
    """Every source of the first column is named by the test that it points at, or by the file that the test stands in."""
    assert len(model.unmeasured) > 15
    for what, place in model.checked:
        room, name = place.split(".")
        file = Path(__file__).with_name(f"{room}.py").read_text(encoding="utf-8")
        assert f"\ndef {name}(" in file, place
        named = re.findall(r"[A-Z][a-z]+|CIPM|NIST|DOP853", what)
        years = re.findall(r"\b(?:1[89]|20)\d\d\b", what)
        words = [word for phrase, word in WORDS_OF_CHECKS.items() if phrase in what]
        asked = words or named or re.findall(r"by hand", what)
        assert asked, what
        low = file.lower()
        assert all(word.lower() in low for word in [*asked, *years]), what


def test_a_number_that_set_the_model_is_no_check():
    """Friction, restitution and stiffness came from these; a check against them would be its own input."""
    checked = " ".join(what for model in MODELS for what, _ in model.checked)
    for source in ("Gobush", "Chou", "Arakawa", "Smits", "Haake", "Dewhurst"):
        assert source not in checked


def test_the_page_shows_both_columns_of_every_model():
    told = models().data
    assert told.count("| checked against | never measured |") == len(MODELS)
    for model in MODELS:
        assert model.unmeasured in told
        for what, _ in model.checked:
            assert what in told
    # a model without a check says so
    bare = sum(not model.checked for model in MODELS)
    assert told.count("nothing from outside, only limits and laws") == bare > 0


@pytest.mark.parametrize("model", NAMED)
def test_every_citation_on_the_page_has_its_mark(model):
    """Between two semicolons, a name with its year stands with a mark of S, Q, M, C or J."""
    checked = [what for what, _ in model.checked]
    for told in (model.source, model.leaves_out, model.also, model.holds, model.unmeasured, *checked):
        for clause in told.split(";"):
            cited = re.search(r"\b[A-Z]\w+[ -](?:1[89]|20)\d\d\b", clause)
            assert not cited or re.search(r"\[[SQMCJ, ]+\]", clause), clause


def test_every_uncertain_number_is_on_the_page_once():
    """C: the register of uncertain numbers and the page hold the same names."""
    listed = [name for model in MODELS for name in model.uncertain]
    assert sorted(listed) == sorted(p.name for p in PARAMETERS)


@pytest.mark.parametrize("model", [p for p in NAMED if p.values[0].curve])
def test_every_curve_draws_and_says_something(model):
    trace = model.curve()
    assert trace.said.endswith(".") and "nan" not in trace.said
    for line in trace.lines:
        assert line.y.shape == trace.x.shape and np.isfinite(line.y[:-5]).all()
        assert line.low is None or (line.low <= line.high + 1e-12).all()
    picture = Picture(model_curve, look("page").but(width=600, height=290))
    assert picture.show(trace) == trace.said
    assert np.ptp(picture.pixels[..., :3]) > 100


def test_the_curves_meet_published_numbers():
    """Covers: 0.38 at 12.8 m/s, 0.29 at 26.8 m/s, hard 0.16 and 0.075 (Gobush 1996, quoted in Penner 2003, Q).  The limit of
    the grooves is 76.2 µm of water (Equipment Rules, S; C).  Rolling from 1.83 m/s on a 10 ft green ends after 10 ft (by
    definition; Holmes 1986, M).  Ten shots of each kind: 0.94 scatters (Student's t, C)."""
    covers = model_curves.friction_of_covers()
    lines = {line.name: line.y for line in covers.lines}
    for name, slow, fast in (("soft 1996", 0.38, 0.29), ("hard 1996", 0.16, 0.075)):
        assert np.interp([12.8, 26.8], covers.x, lines[name]) == pytest.approx([slow, fast], abs=0.003)
    assert model_curves.water_held().mark[1] == pytest.approx(76.2, abs=0.01)
    rolls = model_curves.rolling()
    ten, = (line.y for line in rolls.lines if line.name == "10 ft")
    assert np.interp(1.83, rolls.x, ten) == pytest.approx(3.048, abs=0.02)
    few = model_curves.few_shots()
    assert few.lines[0].y[list(few.x).index(10)] == pytest.approx(0.940, abs=0.001)


def test_the_page_folds_every_model_and_asks_nothing_of_the_outside():
    told = models().data
    assert told.count("<details>") == told.count("</details>") == len(MODELS)
    assert told.count("<img ") == sum(model.curve is not None for model in MODELS)
    assert all(len(words) > 30 for words in re.findall(r'alt="([^"]*)"', told))
    assert set(re.findall(r'src="(\w+):', told)) == {"data"} and "http" not in told
    assert len(told) < 400_000, "a page to be carried about"
    assert models("Green").data.count("<details>") == sum(model.part == "Green" for model in MODELS)
    with pytest.raises(ValueError, match="'Moon' is not known; use one of: Contact"):
        models("Moon")


def test_a_still_picture_says_what_it_shows():
    markup, said = drawn(model_curve, model_curves.spin_fades(), width=600, height=290)
    assert said in markup and markup.startswith("<img ") and 'src="data:image/png;base64,' in markup
