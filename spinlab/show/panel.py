"""Panels: knobs → compute → draw, quick enough to feel like touching the thing.

A panel is plain Python first: ``panel.set(speed=20.0)`` computes and draws at once and lets exceptions through, so that
tests and the next cell can use it without a browser.  Shown in a notebook it becomes one widget: native sliders, boxes
and buttons, and one picture.  Where widgets cannot run, its picture still shows.

**On the wire.**  Up go small messages ``{n, hello | values | units | do}``; down comes ``{n, values, sentence, error, …}``
with what changed in the picture (`spinlab.show.changes`).  The page sends new values only when fewer than two answers are
outstanding and always the latest ones: no queue builds up, and the last value always arrives.

**Held and settled.**  A panel that plays many shots may answer with fewer while a slider is moved (`quick`); the page asks
for the full answer as soon as the hand rests, and whoever asks in Python gets the full one at once.

**Units** are those of the whole page (`spinlab.show.spoken`): the switch of one panel turns everything at once.
"""

from __future__ import annotations

from pathlib import Path
from typing import ClassVar

from ..panels.spoken import hear, speak, units_of
from .changes import Changes
from .knobs import Choice, Knob
from .picture import Picture
from .style import _HUES, _THEMES, LOOKS, UNITS, look

__all__ = ["Choice", "Knob", "Panel"]

_HERE = Path(__file__).parent
_MOST_KEPT = 3


class Panel:
    """Knobs, a picture that answers them, and the sentence that says what is seen.

    Parameters
    ----------
    knobs : sequence of Knob and Choice
    compute : callable
        ``compute(**values)`` [SI] → result; a `ValueError` is shown on the panel's error line.
    build : callable
        ``build(look) -> (figure, draw)``; see `spinlab.show.style`.
    quick : callable, optional
        like `compute`, coarser and quicker, for a slider that moves.  A coarse result has a true `rough`, and its picture
        says no number finer than it is known.
    states : dict of dict, optional
        prepared states by name, each some values [SI]; the other knobs go to where they stood at the start.
    title : str
        the panel's accessible name.
    units : {"metric", "yards"}, optional
        for this panel alone; those that are spoken now if left out.
    """

    def __init__(self, *, knobs, compute, build, quick=None, states=None, title="Panel", units=None):
        self.knobs = {knob.name: knob for knob in knobs}
        self.compute, self.build, self.quick, self.title = compute, build, quick, title
        self.states = {name: self._checked(values) for name, values in (states or {}).items()}
        self.kept, self._units, self._look, self._pictures, self._view = [], units_of(units), look(), {}, None
        self.state, self.error, self._width, self._changes = "", "", None, Changes()
        self._result, self._rough = None, False
        self._set({name: knob.value for name, knob in self.knobs.items()})
        hear(self, Panel._speak)

    # --- what cells and tests use

    @property
    def values(self) -> dict:
        """What the knobs stand at: numbers in SI, choices as the values they mean."""
        return self._meant(self._values)

    @property
    def result(self):
        """What `compute` gave for these values, in full also while a slider is moved."""
        self._finish()
        return self._result

    def set(self, **values) -> Panel:
        """Turn knobs (numbers in SI, choices by label or value), compute and draw before returning.  Exceptions pass
        through; the last picture and values stay."""
        self._try(lambda: self._set(self._values | self._checked(values)))
        return self

    def reset(self) -> Panel:
        """All knobs back to where they stood at the start; kept curves are forgotten."""
        self.kept = []
        self._try(self._set, {name: knob.value for name, knob in self.knobs.items()})
        return self

    def go(self, state: str) -> Panel:
        """Show a prepared state."""
        if state not in self.states:
            raise ValueError(f"state must be one of {', '.join(self.states) or '(none are prepared)'}, got {state!r}")
        self._try(self._set, {name: knob.value for name, knob in self.knobs.items()} | self.states[state], state)
        return self

    def keep(self) -> Panel:
        """Keep what is shown as a dotted ghost; the three latest stay."""
        self.kept = [*self.kept, (self.result, self._picture.sentence)][-_MOST_KEPT:]
        self._try(self._draw)
        return self

    def forget(self) -> Panel:
        """Let all kept curves go."""
        self.kept = []
        self._try(self._draw)
        return self

    @property
    def units(self) -> str:
        """``"metric"`` or ``"yards"``; setting it changes everything that is read, on the whole page, at once."""
        return self._units

    @units.setter
    def units(self, name):
        self._units = units_of(name)
        self._try(self._draw)
        speak(name, by=self)

    def _speak(self, name):
        if self._units != name:
            self._units = name
            self._try(self._draw)

    @property
    def sentence(self) -> str:
        """What is seen, in one sentence: the read-out and the alternative text."""
        self._finish()
        return self._picture.sentence

    def picture(self, name: str = "page", theme: str = "light") -> Picture:
        """What is shown now, drawn in another look, ready to be saved."""
        drawn = Picture(self.build, look(name, theme))
        drawn.show(self.result, UNITS[self._units], kept=[result for result, _ in self.kept])
        return drawn

    # --- the chain

    def _checked(self, values):
        unknown = set(values) - set(self.knobs)
        if unknown:
            raise ValueError(f"{self.title} has no knob {', '.join(sorted(unknown))}; it has {', '.join(self.knobs)}")
        return {name: self.knobs[name].check(value, getattr(self, "_units", "metric")) for name, value in values.items()}

    def _meant(self, values):
        return {name: knob.options[values[name]] if isinstance(knob, Choice) else values[name]
                for name, knob in self.knobs.items()}

    def _set(self, values, state="", compute=None):
        result = (compute or self.compute)(**self._meant(values))
        self._values, self._result, self.state, self._rough = values, result, state, getattr(result, "rough", False)
        self._draw()

    def _finish(self):
        if self._rough:
            self._set(self._values, self.state)

    def _draw(self):
        self._picture.show(self._result, UNITS[self._units], kept=[result for result, _ in self.kept])

    def _try(self, step, *arguments):
        """Take a step and tell the page how it went, also when it fails."""
        try:
            step(*arguments)
            self.error = ""
        except Exception as error:
            self.error = str(error) if isinstance(error, ValueError) else f"{type(error).__name__}: {error}"
            raise
        finally:
            self._tell()

    @property
    def _picture(self):
        if self._look not in self._pictures:
            self._pictures[self._look] = Picture(self.build, self._look)
            if self._width:
                self._pictures[self._look].scale(self._width)
            if self._result is not None:
                self._draw()
        return self._pictures[self._look]

    # --- the page

    def _heard(self, _, message, buffers=()):
        """Answer one message from the page."""
        self._answering, failure = message.get("n"), None
        try:
            if "hello" in message:
                self._try(self._met, message["hello"])
            elif "values" in message:
                self._try(self._turned, message["values"], message["units"], message.get("moving"))
            elif "units" in message:
                self.units = message["units"]
            elif message.get("do") == "go":
                self.go(message["state"])
            elif message.get("do") in ("reset", "keep", "forget"):
                getattr(self, message["do"])()
        except ValueError:
            pass  # the page shows it on the error line
        except Exception as error:
            failure = error
        self._answering = None
        if failure:
            raise failure

    def _met(self, page):
        """A page says how wide its picture is and whether it is light or dark."""
        self._look = look("hand" if page["narrow"] else "talk", page["theme"])
        self._width = min(max(page["width"], 300), 1600)
        self._picture.scale(self._width)
        self._draw()
        self._changes.forget()

    def _turned(self, shown, units, moving):
        values = self._values | {name: self.knobs[name].read(value, units) for name, value in shown.items()}
        self._set(values, compute=self.quick if moving else None)

    def _tell(self):
        if self._view is None:
            return
        units = self._units
        told = {"n": getattr(self, "_answering", None), "sentence": self._picture.sentence, "error": self.error,
                "units": units, "rough": self._rough,
                "values": {name: knob.show(self._values[name], units) for name, knob in self.knobs.items()},
                "state": self.state, "kept": [sentence for _, sentence in self.kept], "theme": self._look.theme}
        if self.error:
            self._view.send(told, [])
            return
        about, pixels = self._changes.to(self._picture.pixels)
        self._view.send(told | {"picture": about}, [pixels])

    def _described(self):
        shapes = {name: [LOOKS[name].width, LOOKS[name].height] for name in ("talk", "hand")}
        accents = {"light": {"accent": _HUES["blue"], "wrong": "#A23B00"},
                   "dark": {"accent": _HUES["sky"], "wrong": "#FFB38A"}}
        return {"title": self.title, "states": list(self.states), "shapes": shapes,
                "knobs": {units: [knob.described(units) for knob in self.knobs.values()] for units in UNITS},
                "themes": {theme: colours | accents[theme] for theme, colours in _THEMES.items()},
                "unit_names": {name: units.name for name, units in UNITS.items()}}

    def _repr_mimebundle_(self, **options):
        import base64

        png = base64.b64encode(self._picture.encoded("png")).decode()
        bundle = {"text/plain": self.sentence, "image/png": png}
        if self._view is None:
            self._view = _view_class()(setup=self._described())
            self._view.on_msg(self._heard)
        shown = self._view._repr_mimebundle_(**options)
        data, about = shown if isinstance(shown, tuple) else (shown, {})
        return bundle | {kind: what for kind, what in (data or {}).items() if kind not in bundle}, about


def _view_class():
    """The widget's class, made when the first panel is shown: a panel that is only computed needs no widgets."""
    import anywidget
    import traitlets

    class View(anywidget.AnyWidget):
        _esm: ClassVar = _HERE / "panel.js"
        _css: ClassVar = _HERE / "panel.css"
        setup = traitlets.Dict().tag(sync=True)

    return View
