"""One switch of units for the whole page: panels, desks, planner, studio."""

import pytest

from spinlab.panels import spoken
from spinlab.panels.fixing import what_to_fix_first
from spinlab.panels.impact import impact_scene
from spinlab.panels.widget import Panel
from spinlab.show.desk import Desk, demonstration_tables
from spinlab.show.entry import Entry
from spinlab.show.planner import Planner
from spinlab.show.player_desk import PlayerDesk
from spinlab.show.studio import Studio
from spinlab.units import rpm


def widgets(thing):
    """The page of a desk, made as a notebook would."""
    thing._repr_mimebundle_()
    return thing._view


def shown(panel):
    """The widget of a scene, made as a notebook would."""
    panel._repr_mimebundle_()
    return panel._view


@pytest.fixture
def page(tmp_path):
    panel = Panel(impact_scene())
    desk = Desk(next(iter(demonstration_tables().values())), folder=tmp_path)
    planner, studio = Planner(folder=tmp_path, sessions=tmp_path), Studio(tmp_path)
    player = PlayerDesk(Panel(what_to_fix_first()), folder=tmp_path)
    return panel, desk, planner, studio, player


def test_a_panels_switch_turns_the_desks_and_back(page):
    panel, desk, planner, studio, player = page
    desks = [widgets(one) for one in (desk, planner, studio, player)]
    before = desk.sentence
    view = shown(panel)
    view.units = "yards"
    assert [one.units.value for one in desks] == ["yards"] * 4
    assert desk.units == planner.units == "yards"
    assert panel.units == "yards"
    panel.units = "metric"
    assert view.units == "metric"
    assert [one.units.value for one in desks] == ["metric"] * 4
    assert desk.sentence == before


def test_a_desks_switch_turns_the_panels_and_the_other_desks(page):
    panel, desk, planner, studio, player = page
    desks = [widgets(one) for one in (desk, planner, studio, player)]
    desks[1].units.value = "yards"
    assert panel.units == "yards" and shown(panel).units == "yards"
    assert [one.units.value for one in desks] == ["yards"] * 4


def test_what_is_typed_stays(page):
    panel, _, planner, studio, _ = page
    at, making = widgets(planner), widgets(studio)
    at.effect.value, at.first.value, making.coach.value = 750.0, "towel", "Robin Example"
    panel.units = "yards"
    assert (at.effect.value, at.first.value, making.coach.value) == (750.0, "towel", "Robin Example")
    assert planner.plan.effect == pytest.approx(750 * rpm)


def test_what_is_made_later_begins_with_the_units_that_are_spoken(tmp_path):
    Panel(impact_scene()).units = "yards"
    made = (Panel(impact_scene()), Planner(folder=tmp_path, sessions=tmp_path), Studio(tmp_path))
    assert [one.units for one in made] == ["yards"] * 3
    entry = Entry(folder=tmp_path)
    assert entry.units == "yards"
    Panel(impact_scene()).units = "metric"
    assert entry.units == "yards", "the columns that are typed into keep their units"
    assert Panel(impact_scene(), units="yards").units == "yards", "unless one is given its own"


def test_units_that_do_not_exist_are_refused():
    with pytest.raises(ValueError, match="units must be one of metric, yards, got 'feet'"):
        spoken.speak("feet")
    with pytest.raises(ValueError, match="units must be one of"):
        Studio(units="feet")
