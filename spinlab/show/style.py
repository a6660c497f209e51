"""The looks, the colours and the units that every picture shares.

**How a picture is built.**  A builder is a function ``build(look) -> (figure, draw)``.

* ``figure`` comes from ``look.figure()``; its axes from ``figure.add_axes`` or ``figure.subplots`` at *fixed* places (no
  tight or constrained layout: a picture that moves while it is dragged cannot be read).  `look.axes` styles one axes and
  sets its limits.
* ``draw(result, units) -> sentence`` puts a result [SI] into those artists and returns the one sentence that is both the
  read-out and the alternative text.  It makes no new artists.
* A builder is called inside `Look.applied`, so texts and lines it makes take the look's sizes and colours by themselves.

The same builder serves lessons, sheets, exported pictures and clips: only the look differs.  `spinlab.show.picture.Picture`
holds a built figure and turns results into pixels.

**Colour is never the only sign.**  ``look.line("wet")`` gives colour, dash, marker and, where the colour alone would not
stand out 3:1 from the paper, an outline.  Text is always in `ink` or `muted` (at least 7:1 and 4.5:1 on `paper`).

The hues are those of Okabe and Ito (Color Universal Design, 2008) [M], the pink a shade deeper so that it stands out 3:1 by
itself; contrast limits: WCAG 2.2, 1.4.3 and 1.4.11 [M].
"""

from __future__ import annotations

from contextlib import contextmanager
from dataclasses import dataclass, replace

import matplotlib as mpl
from cycler import cycler
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.patheffects import Normal, Stroke
from matplotlib.ticker import ScalarFormatter

from ..units import said, unit, written

DPI = 100
"""Dots per inch that the sizes of a look [px] refer to."""

_HUES = {
    "orange": "#E69F00",
    "sky": "#56B4E9",
    "green": "#009E73",
    "yellow": "#F0E442",
    "blue": "#0072B2",
    "red": "#D55E00",
    "pink": "#C4689B",
}

# on dark paper the blue of the palette sinks: a lighter one of the same hue
_DARK_HUES = _HUES | {"blue": "#3A8FD0"}

# what a hue stands for, with its second sign: hue, dash, marker
SIGNS = {
    "dry": ("red", "-", "o"),
    "wet": ("blue", (0, (5, 1.6)), "s"),
    "blocked": ("pink", (0, (1.4, 1.4)), "^"),
    "grass": ("green", (0, (6, 1.6, 1.4, 1.6)), "D"),
    "water": ("sky", "-", "v"),
    "soil": ("orange", (0, (3, 1.4)), "P"),
    "light": ("yellow", "-", "*"),
}
"""Meanings and their signs.  A line's place in a list may be used instead of a meaning: ``look.line(0)``."""

_THEMES = {
    "light": {"paper": "#FAF8F3", "ink": "#1B2A33", "muted": "#55626B", "grid": "#E2DDD1", "shade": "#EFEBE1"},
    "dark": {"paper": "#12202A", "ink": "#F4F0E6", "muted": "#A9B6BE", "grid": "#2C3D49", "shade": "#1B2D39"},
}


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours, 1 … 21 (WCAG 2.2, relative luminance) [M]."""
    light = []
    for colour in (one, other):
        parts = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in mpl.colors.to_rgb(colour)]
        light.append(0.2126 * parts[0] + 0.7152 * parts[1] + 0.0722 * parts[2] + 0.05)
    return max(light) / min(light)


class _Parted(ScalarFormatter):
    """Numbers along an axis: matplotlib's, with thousands parted as in the text."""

    def __call__(self, x, pos=None):
        return written(x, figures=6) if abs(x) >= 1000 else super().__call__(x, pos)


@dataclass(frozen=True, kw_only=True)
class Look:
    """Size of a picture and of what is in it, all in pixels at 100 dots per inch, and its colours."""

    name: str
    width: int
    height: int
    text: float
    small: float
    line_width: float
    theme: str = "light"

    def __post_init__(self):
        if self.theme not in _THEMES:
            raise ValueError(f"theme must be one of {', '.join(_THEMES)}, got {self.theme!r}")

    @property
    def upright(self) -> bool:
        """Is the picture taller than wide?  Builders then stack what otherwise stands side by side."""
        return self.height > self.width

    def __getattr__(self, name):
        if name in _THEMES["light"]:
            return _THEMES[self.theme][name]
        raise AttributeError(f"Look has no {name!r}")

    def points(self, pixels: float) -> float:
        """Pixels of this look → points, the measure of fonts and lines in Matplotlib."""
        return pixels * 72 / DPI

    def colour(self, meaning: str | int) -> str:
        """The hue of a meaning (``"wet"``) or of a place in a list."""
        return self._hue(_sign(meaning)[0])

    def _hue(self, name):
        return (_HUES if self.theme == "light" else _DARK_HUES)[name]

    def line(self, meaning: str | int, **changes) -> dict:
        """Keywords for ``axes.plot``: colour, dash and, where contrast fails, an outline."""
        hue, dash, _ = _sign(meaning)
        wide = self.points(changes.pop("width", self.line_width))
        colour = self._hue(hue)
        style = {"color": colour, "linestyle": dash, "linewidth": wide, "path_effects": self.outline(colour, wide)}
        return style | {"solid_capstyle": "round", "dash_capstyle": "butt"} | changes

    def dots(self, meaning: str | int, **changes) -> dict:
        """Keywords for ``axes.plot`` with markers alone: shape, fill and an edge in ink."""
        hue, _, marker = _sign(meaning)
        size = self.points(changes.pop("size", 3.2 * self.line_width))
        style = {"color": self._hue(hue), "marker": marker, "markersize": size, "linestyle": "none"}
        return style | {"markeredgecolor": self.ink, "markeredgewidth": self.points(0.3 * self.line_width)} | changes

    def outline(self, colour: str, wide: float) -> list:
        """Path effects that edge a line in muted ink where its colour stands out less than 3:1; otherwise none."""
        if contrast(colour, self.paper) >= 3:
            return []
        return [Stroke(linewidth=wide + 2 * self.points(0.35 * self.line_width), foreground=self.muted), Normal()]

    def figure(self, **options) -> Figure:
        """An empty figure of this look on the Agg canvas."""
        options = {"figsize": (self.width / DPI, self.height / DPI), "dpi": DPI, "facecolor": self.paper} | options
        figure = Figure(**options)
        FigureCanvasAgg(figure)
        return figure

    def axes(self, ax, *, x=None, y=None, x_label="", y_label="", grid="y"):
        """Style one axes: limits `x` and `y`, labels, a quiet grid along ``"x"``, ``"y"``, ``"both"`` or ``""``."""
        if x:
            ax.set_xlim(*x)
        if y:
            ax.set_ylim(*y)
        ax.set_xlabel(x_label)
        ax.set_ylabel(y_label)
        ax.set_axisbelow(True)
        for axis in (ax.xaxis, ax.yaxis):
            axis.set_major_formatter(_Parted())
        if grid:
            ax.grid(True, axis=grid)
        return ax

    @property
    def rc(self) -> dict:
        """Matplotlib settings of this look."""
        text, small, thin = self.points(self.text), self.points(self.small), self.points(0.3 * self.line_width)
        return {
            "font.family": ["DejaVu Sans"],
            "font.size": text,
            "axes.titlesize": text,
            "axes.titlelocation": "left",
            "axes.titlepad": 0.5 * text,
            "axes.titley": 1.0,  # where it stands by itself; to be told saves measuring every tick in each full draw
            "axes.labelsize": text,
            "axes.labelpad": 0.35 * text,
            "xtick.labelsize": small,
            "ytick.labelsize": small,
            "legend.fontsize": small,
            "legend.frameon": False,
            "text.color": self.ink,
            "axes.labelcolor": self.ink,
            "axes.edgecolor": self.muted,
            "axes.titlecolor": self.ink,
            "xtick.color": self.muted,
            "ytick.color": self.muted,
            "xtick.labelcolor": self.ink,
            "ytick.labelcolor": self.ink,
            "axes.facecolor": self.paper,
            "figure.facecolor": self.paper,
            "savefig.facecolor": self.paper,
            "axes.spines.top": False,
            "axes.spines.right": False,
            "axes.linewidth": thin,
            "xtick.major.width": thin,
            "ytick.major.width": thin,
            "xtick.major.size": 0.3 * text,
            "ytick.major.size": 0.3 * text,
            "grid.color": self.grid,
            "grid.linewidth": thin,
            "lines.linewidth": self.points(self.line_width),
            "lines.markersize": self.points(3.2 * self.line_width),
            "axes.prop_cycle": cycler(color=[self._hue(hue) for hue, _, _ in SIGNS.values()]),
            "axes.unicode_minus": True,
            "text.parse_math": False,  # a dollar sign in a table's words is no formula
            "pdf.fonttype": 42,
            "svg.fonttype": "none",
        }

    @contextmanager
    def applied(self):
        """While this lasts, artists that are made or drawn take the sizes and colours of the look."""
        with mpl.rc_context(self.rc):
            yield self

    def but(self, **changes) -> Look:
        """The same look with something changed: ``look.but(theme="dark")``."""
        return replace(self, **changes)


LOOKS = {
    "talk": Look(name="talk", width=1200, height=675, text=26, small=22.5, line_width=4.5),
    "hand": Look(name="hand", width=780, height=900, text=29, small=26, line_width=5),
    "page": Look(name="page", width=700, height=430, text=14, small=12.5, line_width=2.2),
    "wide": Look(name="wide", width=1920, height=1080, text=40, small=35, line_width=7),
    "tall": Look(name="tall", width=1080, height=1920, text=42, small=37, line_width=7),
}
"""``talk`` panels and projectors, ``hand`` panels on a telephone, ``page`` printed sheets, ``wide`` and ``tall`` video."""


def look(name: str = "talk", theme: str = "light") -> Look:
    """A look by its name, light or dark."""
    if name not in LOOKS:
        raise ValueError(f"look must be one of {', '.join(LOOKS)}, got {name!r}")
    return LOOKS[name].but(theme=theme)


def _sign(meaning):
    if isinstance(meaning, int):
        return list(SIGNS.values())[meaning % len(SIGNS)]
    if meaning not in SIGNS:
        raise ValueError(f"a line's meaning must be one of {', '.join(SIGNS)}, or a number, got {meaning!r}")
    return SIGNS[meaning]


@dataclass(frozen=True, kw_only=True)
class Units:
    """What people read: one unit for each kind of quantity.  ``units.say("speed", 20.1)`` gives ``45 mph``."""

    name: str
    speed: str
    distance: str
    height: str
    offset: str
    temperature: str
    wind: str
    angle: str = "°"
    spin: str = "rpm"
    thickness: str = "µm"
    size: str = "mm"
    time: str = "µs"
    share: str = "%"

    def shown(self, kind: str, value):
        """A value, or an array, in SI → the unit that is shown."""
        return unit(getattr(self, kind)).from_si(value)

    def say(self, kind: str, value, digits: int = 0) -> str:
        """A value [SI] in words, with thousands set apart and a true minus: ``−6°``, ``9 200 rpm``."""
        return said(value, getattr(self, kind), digits)


METRIC = Units(name="metric", speed="m/s", distance="m", height="m", offset="cm", temperature="°C", wind="m/s")
YARDS = Units(name="yards and mph", speed="mph", distance="yd", height="ft", offset="in", temperature="°F", wind="mph")
UNITS = {"metric": METRIC, "yards": YARDS}
"""The two sets of units a panel can be switched between."""
