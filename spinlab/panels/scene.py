"""A scene: controls, a calculation, a picture described as data, and sentences.

The same description is drawn by one renderer in JupyterLab, on the presenting page and in single
pages; only settings travel between page and Python.  `compute` takes the controls by name, in SI,
and returns named numbers (a `NamedTuple` or a dict).  Where it lies in the kernel's dialect it runs
in the browser; else the kernel is asked.

>>> from typing import NamedTuple
>>> class Answer(NamedTuple):
...     height: float
>>> def compute(speed):
...     return Answer(height=speed * speed / 19.6133)
>>> scene = Scene(
...     name="throw", title="A ball thrown upward",
...     controls=[Number("speed", "Speed", kind="speed", low=1.0, high=20.0, value=10.0, step=0.1)],
...     compute=compute,
...     plots=[Plot(x=Axis("speed", "Speed", "speed", 0.0, 20.0),
...                 y=Axis("height", "Height", "height", 0.0, 25.0),
...                 marks=[curve(x="speed", y="height"), point(x="speed", y="height"),
...                        grip("speed", x="speed", y="height")])],
...     say="It rises {height:height}.")
>>> scene.sentence({"speed": 10.0})
'It rises 5.1\\xa0m.'
"""

from __future__ import annotations

import inspect
import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict, dataclass, field
from typing import get_type_hints

import numpy as np

from .words import CLOSE, KINDS, THOUSANDS, Speaker, rules_of

__all__ = [
    "Axis",
    "Choice",
    "Guess",
    "Number",
    "Plot",
    "Scene",
    "arrow",
    "band",
    "bars",
    "curve",
    "dots",
    "edge",
    "grip",
    "point",
    "points",
    "ring",
    "rows",
    "rule",
    "text",
]

LEVEL = 0.9
"""Share of the draws that lies inside a band."""
FIRST = 4
"""So many controls are in sight; the rest is under "more"."""
CURVE_POINTS = 61
BAND_POINTS = 13
SIGNS = ("dry", "damp", "wet", "blocked", "grass", "plain", "quiet")
"""What a line, a point or a bar stands for; each has a colour, a dash and a shape."""


# -- controls -------------------------------------------------------------------------------------


def _known_kind(kind):
    if kind not in KINDS:
        raise ValueError(f"kind must be one of {', '.join(KINDS)}, got {kind!r}")


@dataclass(frozen=True)
class Number:
    """A number that is turned: range and step in SI, shown as its `kind`.

    With `half` the values from `low` to it have half of the way, for quantities whose beginning
    matters most.
    """

    name: str
    label: str
    kind: str = field(kw_only=True)
    low: float = field(kw_only=True)
    high: float = field(kw_only=True)
    value: float = field(kw_only=True)
    step: float = field(kw_only=True)
    half: float | None = field(default=None, kw_only=True)
    means: str = field(default="", kw_only=True)

    def __post_init__(self):
        _known_kind(self.kind)
        self.check(self.value)
        if not self.step > 0:
            raise ValueError(f"{self.name}: step must be positive, got {self.step!r}")
        if self.half is not None and not self.low < self.half < (self.low + self.high) / 2:
            raise ValueError(
                f"{self.name}: half must lie in the lower half of the range, got {self.half!r}"
            )

    def check(self, value) -> float:
        """The value, or a `ValueError` that says what is possible."""
        if (
            isinstance(value, bool)
            or not isinstance(value, (int, float, np.floating, np.integer))
            or not self.low <= value <= self.high
        ):
            speak = Speaker({self.name: self})
            raise ValueError(
                f"{self.label.lower()} must lie between {speak.say(self.kind, self.low)} and "
                f"{speak.say(self.kind, self.high)} ({self.low:g} to {self.high:g} in SI), got "
                f"{value!r}"
            )
        return float(value)

    def numbers(self, value) -> dict:
        """What `compute` gets."""
        return {self.name: value}

    def described(self) -> dict:
        """The same for the page."""
        return asdict(self)


@dataclass(frozen=True)
class Choice:
    """One of a few named options; each gives `compute` one number, or several by name."""

    name: str
    label: str
    options: Mapping[str, float | Mapping[str, float]] = field(kw_only=True)
    value: str = field(kw_only=True)
    means: str = field(default="", kw_only=True)

    def __post_init__(self):
        self.check(self.value)

    def check(self, value) -> str:
        """The value, or a `ValueError` that says what is possible."""
        if value not in self.options:
            raise ValueError(
                f"{self.label.lower()} must be one of {', '.join(self.options)}, got {value!r}"
            )
        return value

    def numbers(self, value) -> dict:
        """What `compute` gets."""
        given = self.options[value]
        return dict(given) if isinstance(given, Mapping) else {self.name: given}

    def described(self) -> dict:
        """The same for the page."""
        return {
            "name": self.name,
            "label": self.label,
            "value": self.value,
            "means": self.means,
            "options": {label: self.numbers(label) for label in self.options},
        }


# -- the picture as data --------------------------------------------------------------------------


@dataclass(frozen=True)
class Axis:
    """An axis with fixed ends [SI]: a picture that does not move while it is dragged can be
    read.  Without `ticks` it only has its label."""

    name: str
    label: str
    quantity: str
    low: float
    high: float
    ticks: bool = True

    def __post_init__(self):
        _known_kind(self.quantity)
        if not self.low < self.high:
            raise ValueError(
                f"axis {self.name}: low must be less than high, got {self.low!r} and {self.high!r}"
            )


@dataclass(frozen=True)
class Plot:
    """Marks between two axes; names in marks mean controls and what `compute` returns.  Several
    plots divide the width by their `share`; one above the other they are at least so much higher
    than usual as `tall` says; with `ground` it is drawn on turf."""

    x: Axis
    y: Axis
    marks: Sequence[dict]
    name: str = "plot"
    share: float = 1.0
    tall: float = 1.0
    ground: bool = False

    def described(self) -> dict:
        """The same for the page."""
        return {
            "x": asdict(self.x),
            "y": asdict(self.y),
            "marks": list(self.marks),
            "name": self.name,
            "share": self.share,
            "tall": self.tall,
            "ground": self.ground,
        }


def _signed(sign):
    if sign not in SIGNS:
        raise ValueError(f"sign must be one of {', '.join(SIGNS)}, got {sign!r}")
    return sign


def curve(
    *,
    x: str,
    y: str,
    sign: str = "dry",
    points: int = CURVE_POINTS,
    name: str = "",
    thin: bool = False,
) -> dict:
    """A curve.  Where `x` names a control, it walks its range while the others stay; else `x` and
    `y` name arrays (``"line.spin"`` is one of a record).  Its `name` stands above the plot."""
    return {
        "kind": "curve",
        "x": x,
        "y": y,
        "sign": _signed(sign),
        "points": points,
        "name": name,
        "thin": thin,
        "sweep": None,
        "banded": None,
    }


def band(*, x: str, low: str, high: str, sign: str = "dry", name: str = "") -> dict:
    """An area between two arrays; its `name` stands above the plot."""
    return {"kind": "band", "x": x, "low": low, "high": high, "sign": _signed(sign), "name": name}


def point(*, x: str | float, y: str | float, sign: str = "dry") -> dict:
    """A point, with the band of `y` where it has one."""
    return {"kind": "point", "x": x, "y": y, "sign": _signed(sign)}


def dots(*, x: str, y: str, name: str = "") -> dict:
    """Rings at the places that two arrays name, such as the peaks of curves; their `name` stands
    above the plot."""
    return {"kind": "dots", "x": x, "y": y, "name": name}


def edge(*, x: str, labels: Sequence[str], label: str) -> dict:
    """Marks along the upper edge where an array says, each with its label; `label` says what they
    are."""
    return {"kind": "edge", "x": x, "labels": list(labels), "label": label}


def points(*, x: str, y: str, sign: str = "dry") -> dict:
    """A scatter of small points from two arrays; what is not finite is left out."""
    return {"kind": "points", "x": x, "y": y, "sign": _signed(sign)}


def ring(*, x: str | float, y: str | float, radius: str | float) -> dict:
    """A dashed ring about a place, as wide as both axes say."""
    return {"kind": "ring", "x": x, "y": y, "radius": radius}


def rule(*, x: str | float | None = None, y: str | float | None = None) -> dict:
    """A line right across the plot, at `x` or at `y`."""
    return {"kind": "rule", "x": x, "y": y}


def rows(
    *of: str,
    labels: Sequence[str],
    signs: Sequence[str] = ("grass",),
    against: str = "dry",
    low: str = "",
    high: str = "",
    open: str = "",
    place: str = "",
    sets: Sequence[Mapping] = (),
    pressed: str = "",
    known: int = 0,
    down: float = 1.0,
) -> dict:
    """A named row for each number of an array, with its bar; a bar each where several arrays are
    named.

    Bars look as `signs` say, negative ones as `against`.  `low` and `high` name arrays of the ends
    of bands, `known` from that rest on; `open` one that is 0 where a row is ticked off; `place` one
    by which rows are sorted, 0 for those left out.  A row is pressed to turn the controls in
    `sets`, and again to turn them back; `pressed` is said then.  Rows go `down` so far in the plot.
    """
    return {
        "kind": "rows",
        "of": list(of),
        "labels": list(labels),
        "signs": [_signed(sign) for sign in signs],
        "against": _signed(against),
        "low": low,
        "high": high,
        "open": open,
        "place": place,
        "sets": [dict(one) for one in sets],
        "pressed": pressed,
        "known": known,
        "down": down,
    }


def bars(*of: str, labels: Sequence[str], sign: str = "dry") -> dict:
    """A bar for each named number."""
    return {"kind": "bars", "of": list(of), "labels": list(labels), "sign": _signed(sign)}


def arrow(
    *, x: str | float, y: str | float, dx: str | float, dy: str | float, sign: str = "dry"
) -> dict:
    """An arrow from a place, as long as two named numbers say."""
    return {"kind": "arrow", "x": x, "y": y, "dx": dx, "dy": dy, "sign": _signed(sign)}


def text(template, *, across: float, up: float, anchor: str = "start") -> dict:
    """Words in the plot, at shares 0 … 1 of its width and height: a template, or pairs of condition
    and template."""
    rules = [rule_.described() for rule_ in rules_of(template)]
    return {"kind": "text", "text": rules, "across": across, "up": up, "anchor": anchor}


def grip(
    moves: str,
    *,
    x: str | float,
    y: str | float,
    along: str = "x",
    label: str = "",
    less: str = "",
    shape: str = "",
) -> dict:
    """A handle in the plot that turns the control `moves` when it is dragged `along` ``"x"`` or
    ``"y"``.

    The control becomes what the axis says there, `less` another number; a `shape` may be
    ``"flag"``.
    """
    return {
        "kind": "grip",
        "moves": moves,
        "x": x,
        "y": y,
        "along": along,
        "label": label or moves,
        "less": less,
        "shape": shape,
    }


@dataclass(frozen=True, kw_only=True)
class Guess:
    """A question that is asked before the answer shows.

    `kind` is ``"arrow"`` or ``"place"`` (a number that is dragged), ``"curve"`` (sketched in the
    plot named `of`; `start` are its points) or ``"choose"`` (`options`; `answers` are pairs of
    condition and option).  A place on the lower axis of a plot names that plot in `along`.
    """

    kind: str
    of: str
    ask: str
    label: str = ""
    quantity: str = "number"
    low: float = 0.0
    high: float = 1.0
    step: float = 0.01
    start: float | Sequence[float] | None = None
    options: Sequence[str] = ()
    answers: Sequence[tuple[str, str]] = ()
    along: str = ""

    def __post_init__(self):
        kinds = ("arrow", "place", "curve", "choose")
        if self.kind not in kinds:
            raise ValueError(
                f"kind of a guess must be one of {', '.join(kinds)}, got {self.kind!r}"
            )
        _known_kind(self.quantity)
        if self.kind == "choose" and not {said for _, said in self.answers} <= set(self.options):
            raise ValueError(
                f"the answers of the guess {self.of} must be among its options "
                f"{', '.join(self.options)}"
            )

    def described(self) -> dict:
        """The same for the page."""
        start = list(self.start) if isinstance(self.start, Sequence) else self.start
        rules = (
            [rule.described() for rule in rules_of(self.answers)] if self.kind == "choose" else []
        )
        return asdict(self) | {"start": start, "answers": rules, "options": list(self.options)}


# -- the scene ------------------------------------------------------------------------------------


@dataclass(kw_only=True)
class Scene:
    """What people touch, declared once.

    Parameters
    ----------
    name, title
        in file names and links; and for people.
    controls
        `Number` and `Choice`; the first four are in sight.
    compute
        ``compute(controls …, arrays …)`` [SI] → named numbers.
    helpers
        functions of your own that `compute` calls and that the browser needs, too.
    plots, closeup
        the picture as data, or the name of a drawing of its own.
    say
        a sentence, or pairs of condition and sentence; `name_low` and `name_high` are the ends of a
        band.
    say_first
        the same without bands, for the moment before they are known; `say` if left out.
    states
        prepared states by name; other controls go to where they start.
    arrays
        size of each array parameter of `compute`; for a `NamedTuple` of arrays that of each field.
        An array that is only read is given by its numbers instead, the stored draws of all bands
        by ``"draws"``: the shares of a whole row, one draw after the other.
    rests
        how often a page asks its worker again once the hand rests, where an answer takes long: the
        parameter `rested` of `compute` is 0.0 under the hand and for the numbers of bands, then 1.0
        … `rests`; in Python always `rests`.  The bands of `banded` come after the first.
    lasting
        results that `compute` may leave open (infinite) under the hand: each stays as it was
        while only the controls named here are turned, and else is drawn faded.
    banded
        the numbers that get a band, where `compute` asks through a parameter ``usual: Usual``.  All
        numbers that a person may repeat belong there.
    setting
        values → the records of the next cell.
    facts
        ``(label, name, kind)`` of the numbers that two kept states are compared by.
    words
        words of the trade and what they mean, which a close-up can point at.
    """

    name: str
    title: str
    controls: Sequence[Number | Choice]
    compute: Callable
    helpers: Sequence[Callable] = ()
    say: object
    say_first: object = None
    plots: Sequence[Plot] = ()
    closeup: str | None = None
    states: Mapping[str, Mapping] = field(default_factory=dict)
    arrays: Mapping[str, int | str | Sequence[float]] = field(default_factory=dict)
    rests: int = 0
    lasting: Mapping[str, Sequence[str]] = field(default_factory=dict)
    banded: Sequence[str] = ()
    setting: Callable | None = None
    facts: Sequence[tuple[str, str, str]] = ()
    guesses: Sequence[Guess] = ()
    guess_state: str = ""
    ask_first: bool = False
    texts: Mapping[str, object] = field(default_factory=dict)
    most: Mapping[str, float] = field(default_factory=dict)
    summary: str = ""
    tries: Sequence[str] = ()
    words: Mapping[str, str] = field(default_factory=dict)

    def __post_init__(self):
        self.by_name = {control.name: control for control in self.controls}
        self.states = {name: self.checked(values) for name, values in self.states.items()}
        self.parameters = list(inspect.signature(_plain(self.compute)).parameters)
        self.room = _Room(self.compute, self.arrays)
        known = set().union(
            *(control.numbers(control.value) for control in self.controls), self.room.kinds
        )
        if self.rests:
            known.add("rested")
        unknown = [name for name in self.parameters if name not in known]
        if unknown:
            raise ValueError(
                f"compute of the scene {self.name} asks for {', '.join(unknown)}; controls and "
                f"arrays are "
                f"{', '.join(sorted(known))}"
            )
        if bool(self.plots) == bool(self.closeup):
            raise ValueError(f"the scene {self.name} needs either plots or a close-up")
        if self.guesses and self.guess_state not in self.states:
            raise ValueError(
                f"guess_state must be one of the states {', '.join(self.states)}, got "
                f"{self.guess_state!r}"
            )
        if self.banded and not self.room.has_usual:
            raise ValueError(
                f"the scene {self.name} names numbers with bands; let compute ask through "
                f"`usual: Usual`"
            )
        self.sentences = rules_of(self.say)
        self.first_sentences = (
            rules_of(self.say_first) if self.say_first is not None else self.sentences
        )
        self.phrases = {name: rules_of(rules) for name, rules in self.texts.items()}
        for plot in self.plots:
            for mark in plot.marks:
                self._complete(mark)
        self._check_words()

    def _complete(self, mark):
        """Say of a mark what only the scene knows."""
        if mark["kind"] == "grip" and mark["moves"] not in self.by_name:
            raise ValueError(
                f"a grip moves {mark['moves']!r}; the scene has {', '.join(self.by_name)}"
            )
        if mark["kind"] == "grip" and mark["label"] == mark["moves"]:
            mark["label"] = self.by_name[mark["moves"]].label
        if mark["kind"] == "curve":
            mark["sweep"] = mark["x"] in self.by_name
            if mark["sweep"] and mark["y"] in self.banded:
                curves = self._band_curves()
                mark["banded"] = [(c["x"], c["y"]) for c in curves].index((mark["x"], mark["y"]))

    def _band_curves(self):
        found = {}
        for plot in self.plots:
            for mark in plot.marks:
                if (
                    mark["kind"] == "curve"
                    and mark["x"] in self.by_name
                    and mark["y"] in self.banded
                ):
                    found[mark["x"], mark["y"]] = {
                        "x": mark["x"],
                        "y": mark["y"],
                        "points": BAND_POINTS,
                    }
        return list(found.values())

    def _check_words(self):
        """A misspelt name in a sentence is found when the scene is made."""
        result = get_type_hints(_plain(self.compute)).get("return")
        named = getattr(result, "_fields", None) or self.answer(self.start)
        numbers = set().union(*(control.numbers(control.value) for control in self.controls))
        known = (
            set(named)
            | numbers
            | {f"{name}{end}" for name in self.banded for end in ("_low", "_high")}
        )
        for rule in [*self.sentences, *self.first_sentences]:
            for name, kind in rule.places:
                if name not in (known if kind else self.by_name) or (kind and kind not in KINDS):
                    raise ValueError(
                        f"the sentence {rule.text!r} asks for {name}{':' * bool(kind)}{kind}; "
                        f"there is "
                        f"{', '.join(sorted(known))}"
                    )
            for name, _, _ in rule.when:
                if name not in known:
                    raise ValueError(
                        f"a condition of {rule.text!r} asks for {name}; there is "
                        f"{', '.join(sorted(known))}"
                    )

    # -- values

    @property
    def start(self) -> dict:
        """Where the controls begin."""
        return {control.name: control.value for control in self.controls}

    def checked(self, values: Mapping) -> dict:
        """The same values, or a `ValueError` that names the control and what it can be."""
        unknown = set(values) - set(self.by_name)
        if unknown:
            raise ValueError(
                f"{self.title} has no control {', '.join(sorted(unknown))}; it has "
                f"{', '.join(self.by_name)}"
            )
        return {name: self.by_name[name].check(value) for name, value in values.items()}

    def numbers(self, values: Mapping) -> dict:
        """The controls as plain numbers, by the names that `compute` has for them."""
        found = {"rested": float(self.rests)} if self.rests else {}
        for control in self.controls:
            found |= control.numbers(values[control.name])
        return found

    def answer(self, values: Mapping) -> dict:
        """All named numbers and arrays for these values: controls, and what `compute` returns."""
        given = self.numbers(values)
        room = self.room.made()
        result = self.compute(*((room | given)[name] for name in self.parameters))
        return dict(values) | given | _named(result) | room

    def sweep(self, values: Mapping, x: str, y: str, points: int = CURVE_POINTS) -> np.ndarray:
        """One named number while one control walks its range."""
        control = self.by_name[x]
        return np.array(
            [
                self.answer(
                    dict(values)
                    | {x: control.low + (control.high - control.low) * k / (points - 1)}
                )[y]
                for k in range(points)
            ]
        )

    def bands(self, values: Mapping) -> dict:
        """Both ends of the band of every number that has one."""
        if not self.banded:
            return {}
        middle = self.answer(values)
        return {
            name: (min(low, middle[name]), max(high, middle[name]))
            for name, (low, high) in self._ends(values, self.banded).items()
        }

    def band_curves(self, values: Mapping) -> list:
        """Both ends of the band along every curve that has one."""
        found = []
        for about in self._band_curves():
            control = self.by_name[about["x"]]
            walk = np.linspace(control.low, control.high, about["points"])
            found.append(
                [
                    self._ends(dict(values) | {about["x"]: float(x)}, [about["y"]])[about["y"]]
                    for x in walk
                ]
            )
        return found

    def _ends(self, values, names):
        given = self.numbers(values) | {"rested": 0.0} | self.room.made(filled=False)
        rows = []
        for draw in _draws():
            given["usual"].shares[:] = draw
            rows.append(_named(self.compute(*(given[name] for name in self.parameters))))
        tails = (1 - LEVEL) / 2, 1 - (1 - LEVEL) / 2
        return {
            name: tuple(float(end) for end in np.quantile([row[name] for row in rows], tails))
            for name in names
        }

    def travelling(self, values: Mapping, bands: bool) -> dict | None:
        """The kernel's answer to a page that asks it: numbers and sampled curves, or bands."""
        if bands:
            return (
                {"values": self.bands(values), "curves": self.band_curves(values)}
                if self.banded
                else None
            )
        found = {
            name: value
            for name, value in self.answer(values).items()
            if isinstance(value, (float, str))
        }
        walks = {
            (mark["x"], mark["y"], mark["points"])
            for plot in self.plots
            for mark in plot.marks
            if mark.get("sweep")
        }
        return found | {
            "sweeps": {
                f"{x}:{y}": self.sweep(values, x, y, points).tolist() for x, y, points in walks
            }
        }

    def named(self, values: Mapping, bands: Mapping | None = None) -> dict:
        """All that a sentence may name."""
        found = self.answer(values)
        for name, (low, high) in (bands or {}).items():
            found |= {f"{name}_low": low, f"{name}_high": high}
        return found

    def sentence(self, values: Mapping, units: str = "metric") -> str:
        """What is seen, in one sentence: read-out, live words and alternative text."""
        bands = self.bands(values)
        speak = Speaker(self.by_name, units)
        return speak.choose(
            self.sentences if bands or not self.banded else self.first_sentences,
            self.named(values, bands),
        )

    # -- for the page

    def code(self) -> str | None:
        """`compute` as a script for the browser; None where it is not in the kernel's dialect (see
        `refusal`)."""
        from ..kernel import javascript

        try:
            self.refusal = ""
            return javascript.translate([self.compute, *self.helpers])
        except javascript.NotInDialect as refusal:
            self.refusal = str(refusal)
            return None

    def described(self, code: str | None) -> dict:
        """The whole scene as data for the renderer; `code` is the browser's script, or None if the
        kernel is asked."""
        banded = list(self.banded)
        spec = {
            "name": self.name,
            "title": self.title,
            "first": FIRST,
            "close": list(CLOSE),
            "thousands": THOUSANDS,
            "controls": [control.described() for control in self.controls],
            "states": self.states,
            "kinds": {name: kind.described() for name, kind in KINDS.items()},
            "say": [rule.described() for rule in self.sentences],
            "say_first": [rule.described() for rule in self.first_sentences],
            "texts": {
                name: [rule.described() for rule in rules] for name, rules in self.phrases.items()
            },
            "plots": [plot.described() for plot in self.plots],
            "closeup": self.closeup,
            "parameters": self.parameters,
            "room": self.room.described(),
            "rests": self.rests,
            "lasting": {name: list(controls) for name, controls in self.lasting.items()},
            "level": LEVEL,
            "banded": banded,
            "band_curves": self._band_curves(),
            **(_table_of_draws() if banded else {"draws": [], "spread": []}),
            "facts": [{"label": label, "of": of, "kind": kind} for label, of, kind in self.facts],
            "guesses": [guess.described() for guess in self.guesses],
            "guess_state": self.guess_state,
            "ask_first": self.ask_first,
            "most": dict(self.most),
            "summary": self.summary,
            "words": dict(self.words),
            "tries": list(self.tries),
            "hidden_alt": f"{self.title}. The answer is hidden until you lock your guess.",
            "values": {},
            "code": code,
        }
        return json.loads(json.dumps(spec))


def _plain(function):
    """The Python function behind a compiled one."""
    return getattr(function, "py_func", function)


# -- arrays that `compute` fills, and the usual shot ---------------------------------------------


class _Room:
    """The array parameters of a `compute`: arrays and records of arrays to fill, and the usual
    shot."""

    def __init__(self, function, sizes):
        hints = get_type_hints(_plain(function))
        self.kinds = {
            name: hints[name]
            for name in inspect.signature(_plain(function)).parameters
            if hints.get(name, float) not in (float, int, bool)
        }
        self.sizes = sizes
        missing = [
            name for name, kind in self.kinds.items() if not _is_usual(kind) and name not in sizes
        ]
        if missing:
            raise ValueError(
                f"compute fills {', '.join(missing)}; give the size of each in arrays={{…}}"
            )

    @property
    def has_usual(self):
        return any(map(_is_usual, self.kinds.values()))

    def made(self, filled=True) -> dict:
        """Fresh arrays; empty ones where nothing is to be drawn."""
        return {name: self._made(name, kind, filled) for name, kind in self.kinds.items()}

    def _made(self, name, kind, filled):
        if _is_usual(kind):
            from .usual import usual

            return usual()
        if self.sizes[name] == "draws":
            return _draws().ravel()
        if self._is_given(name):
            return np.array(self.sizes[name], dtype=float)
        size = self.sizes[name] if filled else 0
        fields = getattr(kind, "_fields", None)
        return kind(*(np.zeros(size) for _ in fields)) if fields else np.zeros(size)

    def described(self) -> dict:
        """The same for the page: data, or sizes, by name and field."""
        return {name: self._described(name, part) for name, part in self.made().items()}

    def _described(self, name, part):
        if self.sizes.get(name) == "draws":
            return {"draws": True}
        given = _is_usual(self.kinds[name]) or self._is_given(name)
        return _as_data(part) if given else _as_size(part)

    def _is_given(self, name):
        return not isinstance(self.sizes.get(name, 0), int)


def _is_usual(kind):
    return getattr(kind, "__name__", "") == "Usual"


def _as_data(value):
    if isinstance(value, tuple):
        return {"fields": {name: _as_data(part) for name, part in value._asdict().items()}}
    return {"data": value.tolist()}


def _as_size(value):
    if isinstance(value, tuple):
        return {"fields": {name: _as_size(part) for name, part in value._asdict().items()}}
    return {"size": len(value)}


def _table_of_draws():
    """The stored draws in ten-thousandths, and which column moves which number of the row."""
    from .usual import draws, spread

    return {"draws": np.rint(draws() * 1e4).astype(int).tolist(), "spread": spread()}


def _draws():
    """Every draw as the shares of a whole row; negative where nothing is moved."""
    from .usual import draws, spread

    columns = np.array(spread())
    return np.where(columns >= 0, draws()[:, columns], -1.0)


def _named(result):
    found = result._asdict() if hasattr(result, "_asdict") else dict(result)
    return {name: float(value) for name, value in found.items()}
