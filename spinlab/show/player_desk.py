"""A player's own sheet, from what the panel of lesson 08 is turned to, and the routine for the weather.

Without a browser it is plain Python: ``PlayerDesk(panel).write("Robin")``.
"""

from __future__ import annotations

import html as _html
import re
from pathlib import Path

from ..panels.fixing import player_of
from ..panels.spoken import follow, units_of
from ..physics.players import REFERENCE, split
from . import routines, sheets
from .pack import PAPERS
from .plate import STYLE
from .style import UNITS


class PlayerDesk:
    """Writes the sheet of a player: where the spin goes, what to do first, the routine before every shot.

    Parameters
    ----------
    panel : Panel
        of the scene `spinlab.panels.fixing.what_to_fix_first`; what it is turned to when the sheet is written is the
        player
    folder : path
        where the sheets go
    """

    def __init__(self, panel, *, folder="."):
        self.panel, self.folder, self._view = panel, Path(folder), None

    @property
    def player(self):
        """The player as the panel stands now (`spinlab.physics.setting.Setting`)."""
        return player_of(self.panel)

    @property
    def split(self):
        """What separates the player from the well-kept one, cause by cause (`spinlab.physics.shares.Shares`)."""
        found = split(self.player)
        if not found.causes or abs(found.whole.mid) < 1e-6 * found.player:
            raise ValueError("the player set above is the well-kept one: nothing is left to put right; turn something")
        return found

    def sentence(self) -> str:
        """The one thing to do first."""
        return self.split.one_thing()

    def write(self, name="", *, coach="", logo=None, paper="A4", units=None) -> list[Path]:
        """Write the sheet as PDF and as HTML; returns where they are."""
        sheet = sheets.player_sheet(self.player, REFERENCE.setting, name=name, units=units_of(units), split=self.split)
        safe = re.sub(r"[^\w -]", "", name).strip() or "you"  # names a file
        return sheets.write_both(self.folder / f"plan for {safe}", sheet, paper=paper, coach=coach, logo=logo)

    def routine(self, weather="dry", *, coach="", logo=None, paper="A4") -> list[Path]:
        """Write the routine with boxes to tick, for a dry, a dewy or a rainy day, as PDF and as HTML."""
        sheet = routines.routine_sheet(weather)
        return sheets.write_both(self.folder / f"routine {weather}", sheet, paper=paper, coach=coach, logo=logo)

    def _repr_mimebundle_(self, **options):
        if self._view is None:
            self._view = _View(self)
        return self._view.box._repr_mimebundle_(**options) | {"text/plain": "A sheet for the player as set above."}


class _View:
    """Two names, paper, units, the weather, and a button for each sheet."""

    def __init__(self, desk):
        import ipywidgets as w

        self.desk = desk
        look = {"layout": w.Layout(width="auto"), "style": {"description_width": "8em"}}
        self.name = w.Text(description="Player", placeholder="stands on the sheet, may stay empty", **look)
        self.coach = w.Text(description="Your name", placeholder="may stay empty", **look)
        self.paper = w.Dropdown(description="Paper", options=list(PAPERS), **look)
        self.units = w.Dropdown(description="Units", options=[(UNITS[name].name, name) for name in UNITS], value=units_of(),
                                **look)
        follow(self.units)
        days = [("a dry day" if name == "dry" else f"a day with {name}", name) for name in routines.WEATHERS]
        self.weather = w.Dropdown(description="Routine for", options=days, **look)
        button = {"icon": "file", "layout": w.Layout(width="auto", min_width="14em")}
        self.button = w.ToggleButton(description="Write the player's sheet", **button)
        self.ticks = w.ToggleButton(description="Write the routine", **button)
        self.said = w.HTML()
        columns = w.Layout(grid_template_columns="repeat(auto-fit, minmax(20em, 1fr))", grid_gap="2px 14px")
        fields = w.GridBox([self.name, self.coach, self.paper, self.units, self.weather], layout=columns)
        row = w.Layout(flex_flow="row wrap", grid_gap="4px 14px")
        buttons = w.HBox([self.button, self.ticks], layout=row)
        self.box = w.VBox([w.HTML(STYLE), fields, buttons, self.said], layout=w.Layout(padding="0 1em"))
        self.box.add_class("spin-desk")
        self.button.observe(lambda change: self._press(change, self._sheet), "value")
        self.ticks.observe(lambda change: self._press(change, self._routine), "value")

    def _sheet(self):
        page, _ = self.desk.write(self.name.value, coach=self.coach.value, paper=self.paper.value, units=self.units.value)
        return f"{self.desk.sentence()} The sheet is in {page}, and as .html beside it."

    def _routine(self):
        page, _ = self.desk.routine(self.weather.value, coach=self.coach.value, paper=self.paper.value)
        return f"The routine is in {page}, and as .html beside it."

    def _press(self, change, make):
        if not change["new"]:
            return
        change["owner"].value = False
        self.said.value = '<p role="status">Working …</p>'
        try:
            self.said.value = f'<p role="status" style="line-height:1.4">{_html.escape(make())}</p>'
        except (ValueError, OSError) as trouble:
            self.said.value = f'<p role="alert"><b>{_html.escape(str(trouble))}</b></p>'
