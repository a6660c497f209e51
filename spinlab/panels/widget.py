"""A scene in a notebook: one widget, and the values it stands at.

A panel is plain Python first: ``panel.set(water=40*um)`` checks and lets exceptions through,
``panel.values``, ``panel.answer`` and ``panel.setting`` are what the next cell needs, also without
a browser.  The page computes by itself where it can; it sends settings when the hand rests, and
Python computes the same from them.
"""

from __future__ import annotations

import json
from pathlib import Path

from ..files import write_atomically
from . import page
from .scene import Scene
from .spoken import UNITS, hear, speak, units_of

__all__ = ["Panel"]


class Panel:
    """A scene that is shown in JupyterLab and on the presenting page.

    Parameters
    ----------
    scene
        what is shown.
    sessions
        the folder in which guesses are kept.
    units
        ``"metric"`` or ``"yards"``; those that the whole page speaks now if left out.

    Examples
    --------
    >>> from spinlab.panels.impact import impact_scene
    >>> panel = Panel(impact_scene())
    >>> panel.set(water=0.0).values["water"]
    0.0
    """

    def __init__(self, scene: Scene, *, sessions="sessions", units: str | None = None):
        self.scene = scene
        self.sessions = Path(sessions)
        self.guesses: list = []
        self._values = scene.start
        self._view = None
        self._units = units_of(units)
        hear(self, Panel._turn_units)

    # -- what cells and tests use

    @property
    def values(self) -> dict:
        """What the controls stand at: numbers in SI, choices by name."""
        return dict(self._values)

    @property
    def answer(self) -> dict:
        """All named numbers of the scene for these values."""
        return self.scene.answer(self._values)

    @property
    def bands(self) -> dict:
        """Both ends of the band of every number that has one."""
        return self.scene.bands(self._values)

    @property
    def setting(self) -> dict:
        """The records of the shot that the scene shows: ``play(**panel.setting)``."""
        if self.scene.setting is None:
            raise ValueError(
                f"the scene {self.scene.name} names no records; use .values or .answer"
            )
        return self.scene.setting(self._values)

    @property
    def sentence(self) -> str:
        """What is seen, in one sentence."""
        return self.scene.sentence(self._values, self.units)

    def set(self, **values) -> Panel:
        """Turn controls: numbers in SI, choices by name.  A `ValueError` names what is possible."""
        self._values = self._values | self.scene.checked(values)
        self._show()
        return self

    def go(self, state: str) -> Panel:
        """Show a prepared state."""
        if state not in self.scene.states:
            raise ValueError(
                f"state must be one of {', '.join(self.scene.states) or '(none are prepared)'}, "
                f"got {state!r}"
            )
        self._values = self.scene.start | self.scene.states[state]
        self._show()
        return self

    def reset(self) -> Panel:
        """All controls back to where they began."""
        self._values = self.scene.start
        self._show()
        return self

    @property
    def units(self) -> str:
        """``"metric"`` or ``"yards"``."""
        return self._units

    @units.setter
    def units(self, name):
        self._turn_units(units_of(name))
        speak(name, by=self)

    def _turn_units(self, name):
        self._units = name
        if self._view is not None and self._view.units != name:
            self._view.units = name

    def page(self, path) -> Path:
        """Write the scene as a page of its own that opens in this state."""
        return page.write(self.scene, path, self._fragment())

    # -- the browser's side

    def _fragment(self):
        from urllib.parse import urlencode

        start = self.scene.start
        changed = {name: value for name, value in self._values.items() if value != start[name]}
        return urlencode(changed | ({"units": self.units} if self.units != "metric" else {}))

    def _show(self):
        if self._view is not None and self._view.values != self._values:
            self._view.values = dict(self._values)

    def _turned(self, change):
        try:
            self._values = self.scene.start | self.scene.checked(change["new"])
        except ValueError:
            self._view.values = dict(self._values)  # what a page may not set is put back

    def _units_turned(self, change):
        if change["new"] in UNITS and change["new"] != self._units:
            self.units = change["new"]

    def _heard(self, _, message, buffers=()):
        """Answer one message from the page."""
        if "ask" in message:
            self._view.send({"answer": self._answered(message["ask"])})
        elif "guess" in message:
            self._keep_guess(message["guess"])
        elif "wipe" in message:
            self.guesses.clear()
            self._guess_file.unlink(missing_ok=True)
        elif "page" in message:
            written = page.write(self.scene, f"{self.scene.name}.html", str(message["page"]))
            self._view.send({"said": f"Written: {written.name}, beside this notebook."})

    def _answered(self, question):
        try:
            values = self.scene.start | self.scene.checked(question["values"])
            return {
                "id": question["id"],
                "result": self.scene.travelling(values, bool(question.get("bands"))),
            }
        except ValueError as error:
            return {"id": question["id"], "result": None, "error": str(error)}
        except Exception as error:
            self._view.send(
                {
                    "answer": {
                        "id": question["id"],
                        "result": None,
                        "error": f"{type(error).__name__}: {error}",
                    }
                }
            )
            raise

    @property
    def _guess_file(self):
        return self.sessions / f"guesses-{self.scene.name}.json"

    def _keep_guess(self, guess):
        self.guesses.append(guess)
        self.sessions.mkdir(exist_ok=True)
        kept = (
            json.loads(self._guess_file.read_text(encoding="utf-8"))
            if self._guess_file.exists()
            else []
        )
        write_atomically(self._guess_file, json.dumps([*kept, guess], indent=1).encode("utf-8"))

    def _repr_mimebundle_(self, **options):
        if self._view is None:
            self._view = _view_class()(
                spec=self.scene.described(page.browser_code(self.scene)),
                values=dict(self._values),
                units=self._units,
            )
            self._view.observe(self._turned, "values")
            self._view.observe(self._units_turned, "units")
            self._view.on_msg(self._heard)
        shown = self._view._repr_mimebundle_(**options)
        data, about = shown if isinstance(shown, tuple) else (shown, {})
        return (data or {}) | {"text/plain": self.scene.title}, about


def _view_class():
    """The widget's class, made when the first panel is shown: a panel that is only computed needs
    no widgets."""
    import anywidget
    import traitlets

    class View(anywidget.AnyWidget):
        _esm = page.module("widget.js", "widget")
        _css = page.style(page.DRAWINGS) + page.text("notebook.css")
        spec = traitlets.Dict().tag(sync=True)
        values = traitlets.Dict().tag(sync=True)
        units = traitlets.Unicode("metric").tag(sync=True)

    return View
