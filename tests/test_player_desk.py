"""A player's own sheet: it is about the player that the panel is turned to."""

import html
import re

import pytest

from spinlab.panels.fixing import player_of, state_of, what_to_fix_first
from spinlab.panels.widget import Panel
from spinlab.physics.players import PLAYERS, REFERENCE
from spinlab.show.player_desk import PlayerDesk
from spinlab.units import deg, um

MINE = {"cleaned": "not at all", "water": 20 * um, "wear": "worn", "head_speed": 17.0}


@pytest.fixture
def panel():
    return Panel(what_to_fix_first())


def words(page):
    return html.unescape(re.sub("<[^>]+>", " ", page.read_text(encoding="utf-8")))


def test_the_player_is_the_one_the_panel_is_turned_to(panel):
    for name, player in PLAYERS.items():
        panel.go(name)
        assert player_of(panel) == player.setting
    panel.set(dynamic_loft=50 * deg)
    assert player_of(panel).arriving.dynamic_loft == 50 * deg


def test_the_sheet_is_the_players(tmp_path, panel):
    panel.set(**MINE)
    desk = PlayerDesk(panel, folder=tmp_path / "made")
    pdf, page = desk.write("Robin <b>", coach="A & B")
    assert pdf.name == "plan for Robin b.pdf" and pdf.read_bytes()[:5] == b"%PDF-"
    told = words(page)
    assert "Robin <b>: where the spin goes" in told and "A & B" in told and "<b>:" not in page.read_text(encoding="utf-8")
    assert desk.sentence() in told and desk.sentence().startswith("If you do only one thing: dry the face")
    assert "Before every shot" in told and "Take care" in told


def test_names_stay_inside_the_folder_and_bounded(tmp_path, panel):
    made = PlayerDesk(panel, folder=tmp_path / "made").write("../../etc/passwd")
    assert {path.parent for path in made} == {tmp_path / "made"}
    with pytest.raises(ValueError, match="at most 40 letters, got 41"):
        PlayerDesk(panel).write("x" * 41)


def test_a_well_kept_player_is_told_so_and_nothing_is_written(tmp_path, panel):
    panel.set(**state_of(REFERENCE.setting))
    desk = PlayerDesk(panel, folder=tmp_path)
    with pytest.raises(ValueError, match="nothing is left to put right"):
        desk.write()
    assert not list(tmp_path.iterdir())


def test_the_button_writes_and_says_where(tmp_path, panel):
    desk = PlayerDesk(panel, folder=tmp_path)
    desk._repr_mimebundle_()
    view = desk._view
    view.name.value, view.units.value, view.button.value = "Kim", "yards", True
    assert 'role="status"' in view.said.value and "plan for Kim.pdf" in view.said.value and not view.button.value
    assert " yd" in words(tmp_path / "plan for Kim.html")
    view.name.value, view.button.value = "x" * 60, True
    assert 'role="alert"' in view.said.value and "at most 40 letters" in view.said.value


def test_the_routine_is_that_of_the_weather(tmp_path, panel):
    desk = PlayerDesk(panel, folder=tmp_path)
    desk._repr_mimebundle_()
    view = desk._view
    view.weather.value, view.ticks.value = "dew", True
    assert "routine dew.pdf" in view.said.value and (tmp_path / "routine dew.pdf").read_bytes()[:5] == b"%PDF-"
    told = words(tmp_path / "routine dew.html")
    assert "dewy morning" in told and "20 µm of water" in told and "What the Rules allow" in told
