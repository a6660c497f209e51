"""The routine, what cleaning is worth, the bags of the three players and the sheets that are printed."""

import re
from html.parser import HTMLParser

import numpy as np
import pytest

from spinlab.evidence.bag import BAGS
from spinlab.evidence.clubs import would_help
from spinlab.evidence.routine import RULES, WEATHERS, how_to_dry, routine
from spinlab.physics.players import PLAYERS, REFERENCE, split
from spinlab.records import Between
from spinlab.show import pack, routines, sheets
from spinlab.units import deg, um

DIRTY = Between(water=20 * um, soil_on_lands=0.4, soil_in_grooves=0.5)


# -- the routine ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("weather", WEATHERS)
def test_every_routine_has_its_three_times_and_the_rules(weather):
    plan = routine(weather)
    assert {"Before the round", "Before the shot", "Between shots"} <= {g.when for g in plan.groups}
    assert plan.rules == RULES and plan.care
    told = plan.say()
    assert all(item.do in told for group in plan.groups for item in group.items)


def test_wet_days_add_their_own_part():
    dry, dew, rain = ({g.when for g in routine(w).groups} for w in WEATHERS)
    assert dew - dry and rain - dry and dew != rain


def test_every_item_says_what_it_rests_on():
    for weather in WEATHERS:
        for group in routine(weather).groups:
            assert all(item.mark in ("S", "Q", "M", "C", "J", "common practice") and item.why for item in group.items)


def test_rules_are_named_with_their_numbers():
    # Rules of Golf 4.1a(3) [Q], 4.2a(2) [S], 14.1c [S]
    told = " ".join(item.do for item in RULES)
    assert all(number in told for number in ("4.1a(3)", "4.2a(2)", "14.1c"))


def test_unknown_weather_is_refused():
    with pytest.raises(ValueError, match=r"weather must be one of dry, dew, rain, got 'snow'"):
        routine("snow")


def test_drying_in_the_order_of_common_practice():
    # common practice, no source: damp towel and then dry is best, a tee alone leaves the flats, nothing is worst
    ways = how_to_dry(DIRTY)
    assert [way.how for way in ways][0] == "damp towel, then dry" and ways[-1].how == "nothing"
    assert ways[0].share > 0.95 > 0.9 > ways[1].share
    assert {way.how: way.share for way in ways}["tee"] < 0.7
    assert (np.diff([way.spin for way in ways]) <= 0).all()


def test_a_clean_dry_face_has_nothing_to_gain():
    best = how_to_dry(Between())
    assert best[0].share == pytest.approx(1.0)
    assert min(way.share for way in best) == {way.how: way.share for way in best}["damp towel"]  # it leaves a damp film


# -- the three players ------------------------------------------------------------------------------------------------


def test_players_and_bags_have_the_same_names():
    assert set(BAGS) == set(PLAYERS)
    for name, bag in BAGS.items():
        cover = PLAYERS[name].setting.ball.name
        assert bag.setting(bag.wedges[-1], 20.0).ball.name == cover, name
        lean = bag.wedges[-1].loft - bag.lean - PLAYERS[name].setting.arriving.dynamic_loft
        assert abs(lean) < 6 * deg, f"{name} delivers about the loft of the pitch"


def test_a_64_needs_a_swing_that_is_there():
    beginner = would_help(BAGS["beginner"], carry=30.0)
    assert not beginner.helps and beginner.swing > 1
    assert "more swing than you have" in beginner.say()


# -- what is printed --------------------------------------------------------------------------------------------------


class Words(HTMLParser):
    """The words of a page, and its lists of boxes."""

    def __init__(self, page):
        super().__init__()
        self.words, self.ticked = [], 0
        self.feed(page)

    def handle_starttag(self, tag, attrs):
        self.ticked += ("class", "ticks") in attrs

    def handle_data(self, data):
        self.words.append(data)


@pytest.mark.parametrize("weather", WEATHERS)
def test_routine_prints_every_item_with_a_box(weather):
    page = Words(pack.html(routines.routine_sheet(weather), coach="A. Coach"))
    told = re.sub(r"\s+", " ", " ".join(page.words))
    plan = routine(weather)
    assert page.ticked == len(plan.groups)
    assert all(item.do in told for group in plan.groups for item in group.items)
    assert "4.1a(3)" in told and "A. Coach" in told


def test_a_players_sheet_has_plan_clubs_and_routine():
    found = split(PLAYERS["beginner"].setting)
    sheet = sheets.player_sheet(PLAYERS["beginner"].setting, REFERENCE.setting, name="B & <b>", bag="Your sand will do.",
                                 split=found)
    page = pack.html(sheet)
    told = re.sub(r"\s+", " ", " ".join(Words(page).words))
    assert "Your sand will do." in told and "Before every shot" in told and re.sub(r"\s+", " ", found.one_thing()) in told
    assert "<b>" not in page and "B &amp; &lt;b&gt;" in page
    assert sheet.sections[-1].care
