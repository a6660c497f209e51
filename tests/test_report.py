"""From a table to what may be said: demonstration tables whose answer is known, and the ways a table can fall short."""

from pathlib import Path

import pytest

from spinlab import Between
from spinlab.catalogue import WETNESS
from spinlab.evidence import modelled, report, screen
from spinlab.evidence.table import TableError
from spinlab.units import deg, rpm

DATA = Path(__file__).resolve().parents[1] / "data"
RULE = screen.written(dynamic_loft=(40 * deg, 48 * deg))


@pytest.fixture(scope="module")
def states():
    return report.make(DATA / "pitch_states.csv", rule=RULE)


def test_dry_against_wet_is_shown_with_ratio_and_rise(states):
    """Common practice, no source: water about halves the spin and launches some 6 to 11° higher."""
    assert (states.baseline, states.other) == ("dry", "wet")
    spin, launch = states.headline["spin_rate"].only, states.headline["launch_angle"].only
    assert spin.outcome == launch.outcome == "shown"
    assert 0.40 < spin.test.ratio.low < spin.test.ratio.value < spin.test.ratio.high < 0.65
    assert 6 * deg < launch.test.difference.low < launch.test.difference.high < 11 * deg
    assert "Shown: wet spun 0.5" in states.sentences()["measured"]


def test_the_modelled_pair_lies_where_the_trade_sees_it(states):
    """Common practice, no source: spin × 0.40 … 0.65; independent tests of wet against dry see the launch rise by 5 … 7°."""
    assert 0.40 <= states.modelled.change("spin_rate") <= 0.65
    assert 5 * deg <= states.modelled.change("launch_angle") <= 7 * deg
    low, high = states.modelled.bands["spin_rate"]
    assert low < states.modelled.change("spin_rate") < high


def test_like_is_compared_with_like(states):
    assert set(states.kept["ball"]) == {"soft cover A"}
    assert any("hard cover B" in note for note in states.notes)


def test_every_shot_is_accounted_for(states):
    counts = states.screened.counts
    assert counts["shots"] == len(states.table.frame) == counts["kept"] + counts["set aside"]
    assert counts["set aside"] == 2
    assert "everything" in states.sentences()


def test_three_shots_each_are_never_shown():
    """Fisher's exact count: 3 against 3 can be sorted 20 ways, so p is 0.10 at the least (C)."""
    told = report.make(DATA / "towel_and_tee.xlsx", baseline="towelled", other="unwiped")
    assert all(v.only.outcome != "shown" for v in told.headline.verdicts)
    assert "three shots each can never" in told.text()
    assert told.modelled is None and "unwiped" in told.why_not


def test_a_state_can_be_said_where_the_name_does_not():
    told = report.make(DATA / "towel_and_tee.xlsx", baseline="towelled", other="unwiped",
                       states={"unwiped": Between(soil_on_lands=0.5)})
    assert told.modelled.change("spin_rate") < 1


def test_yards_are_spoken_in_yards(states):
    assert " yd " in states.text("yards") and " mph" in states.sentences("yards")["modelled"]
    with pytest.raises(ValueError, match="metric"):
        states.sentences("furlongs")


@pytest.mark.parametrize("words, water, soil", [("Dry", 0.0, 0.0), ("wet, blocked grooves", 30e-6, 1.0),
                                                ("damp", 1e-6, 0.0), ("soiled", 0.0, 0.6), ("rain", 150e-6, 0.0)])
def test_conditions_are_read_from_their_words(words, water, soil):
    between = modelled.between_from_words(words)
    assert between.water == pytest.approx(water) and between.soil_in_grooves == pytest.approx(soil)


def test_unknown_words_say_nothing():
    assert modelled.between_from_words("Tuesday") is None


def test_choosing_conditions():
    import pandas as pd

    frame = pd.DataFrame({"condition": ["soaked", "clean", "wet"]})
    assert report.choose(frame) == ("clean", "wet")
    assert report.choose(frame, baseline="soaked") == ("soaked", "wet")
    for bad in ({"baseline": "frozen"}, {"baseline": "wet", "other": "wet"}, {"by": "moon"}):
        with pytest.raises(ValueError):
            report.choose(frame, **bad)
    with pytest.raises(ValueError, match="two conditions"):
        report.choose(frame[:1])


def test_a_table_without_shots_is_told_in_words():
    with pytest.raises((ValueError, TableError), match=r"(?i)shots|headings|read"):
        report.make("condition,spin rate [rpm]\n", sidecar=False)


def test_without_head_speed_the_model_is_left_out():
    states = (("dry", 6400, 30), ("wet", 3200, 38))
    rows = "\n".join(f"{c},{s + 40 * i},{l + i % 3}" for i in range(5) for c, s, l in states)
    told = report.make("condition,spin rate [rpm],launch angle [°]\n" + rows, sidecar=False)
    assert told.modelled is None and "head speed" in told.why_not
    assert told.headline["spin_rate"].only.baseline.mean == pytest.approx(6480 * rpm)


def test_water_is_what_was_said():
    assert modelled.between_from_words("poured").water == pytest.approx(WETNESS["poured"].water)
