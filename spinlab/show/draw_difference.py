"""Measured shots of two or more conditions, every one shown, with averages, the difference and the model beside it."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from ..evidence.wording import saying
from ..units import unit
from .shapes import Changed, first_up, halves, label, place, shape
from .style import SIGNS

MOST = 4


@dataclass(frozen=True, kw_only=True)
class Condition:
    """One condition's shots [SI]: those compared, those set aside, the average with its range, what the model expects."""

    name: str
    meaning: str | int
    shots: np.ndarray
    set_aside: np.ndarray = field(default_factory=lambda: np.empty(0))
    mean: float
    low: float
    high: float
    modelled: float | None = None


@dataclass(frozen=True, kw_only=True)
class Gap:
    """A condition less the baseline [SI] with its range; the model's with its band, where there is one."""

    name: str
    value: float
    low: float
    high: float
    modelled: float | None = None
    modelled_band: tuple[float, float] | None = None


@dataclass(frozen=True, kw_only=True)
class Compared:
    """What `difference_plot` shows: a measure (``"spin_rate"``), its conditions – the baseline first – and their gaps."""

    of: str
    conditions: tuple[Condition, ...]
    gaps: tuple[Gap, ...]


_ALSO = {"damp": "water", "dew": "water", "dirt": "soil", "mud": "soil", "sand": "soil", "rough": "grass"}


def meanings(names) -> list:
    """A key of `SIGNS` for each name that has one of its words, and for the others what is still free."""
    taken = []
    for name in names:
        words = str(name).casefold()
        found = next((key for key in ("blocked", "grass", "soil", "wet", "dry") if key in words and key not in taken), None)
        found = found or next((key for word, key in _ALSO.items() if word in words and key not in taken), None)
        taken.append(found or next(key for key in SIGNS if key not in taken and key not in ("dry", "wet")))
    return taken


def group(values):
    """Average of some shots with its 95 % range (Student), [SI]."""
    from scipy.special import stdtrit

    values = np.asarray(values, dtype=float)
    mean, n = float(np.mean(values)), len(values)
    half = float(stdtrit(n - 1, 0.975) * np.std(values, ddof=1) / np.sqrt(n)) if n > 1 else np.nan
    return mean, mean - half, mean + half


def measured(report, of="spin_rate") -> Compared:
    """One measure of a report (`spinlab.evidence.report.make`), ready to be drawn."""
    verdict = next((v for v in report.headline.verdicts if v.of == of), None)
    if verdict is None:
        have = ", ".join(v.of for v in report.headline.verdicts)
        raise ValueError(f"the report says nothing about {of!r}; it has {have}")
    names = (report.baseline, report.other)
    signs, aside = meanings(names), report.screened.set_aside
    expected = report.modelled.values.get(of) if report.modelled else None
    conditions = []
    for i, name in enumerate(names):
        shots = report.kept.loc[report.kept[report.by] == name, of].dropna().to_numpy(dtype=float)
        out = aside.loc[aside[report.by] == name, of].dropna().to_numpy(dtype=float) if len(aside) else np.empty(0)
        mean, low, high = group(shots)
        conditions.append(Condition(name=name, meaning=signs[i], shots=shots, set_aside=out, mean=mean, low=low, high=high,
                                    modelled=expected and expected[i]))
    seen = verdict.only.test.difference
    gap = Gap(name=report.other, value=seen.value, low=seen.low, high=seen.high,
              modelled=expected and expected[1] - expected[0], modelled_band=_band(report.modelled, of, expected))
    return Compared(of=of, conditions=tuple(conditions), gaps=(gap,))


def _band(modelled, of, expected):
    band = modelled.bands.get(of) if modelled else None
    if band is None or of != "spin_rate":
        return band
    return tuple((ratio - 1) * expected[0] for ratio in band)  # spin's band is told as a ratio


def difference_plot(look):
    """Every shot of two to four conditions, averages with ranges, and the differences from the first (`Compared`)."""
    figure = look.figure()
    left, right = halves(look, 0.55 if look.upright else 0.58)
    shots = place(figure, look, left, left=4.6, right=1.0, top=2.2, bottom=3.3)
    gaps = place(figure, look, right, left=2.4, right=1.6, top=2.2, bottom=3.3)
    gaps.spines[["left"]].set_visible(False)
    look.axes(shots, x=(-0.5, 1.5))
    shots.set_xlabel("hollow: set aside;  grey bar: model", fontsize=look.points(look.small), color=look.muted)
    look.axes(gaps, grid="x")
    gaps.set_yticks([])
    zero = gaps.axvline(0, color=look.muted, lw=look.points(0.5 * look.line_width))
    zero.set_zorder(0)
    columns = [_Column(shots, look, i) for i in range(MOST)]
    rows = [_Row(gaps, look, i) for i in range(MOST - 1)]
    new = Changed()

    def draw(result, units):
        say, name, system = saying(result.of), _unit_name(result.of, units), _system(units)
        scale = unit(name).from_si if name else (lambda v: v)
        step = unit(name).scale if name else 1.0
        names = tuple(c.name for c in result.conditions)
        y, x = _limits(result, scale), _gap_limits(result, step)
        if new(result.of, units.name, names, y, x):
            _lay_out(shots, gaps, result, say, name, y, x)
        for i, column in enumerate(columns):
            column.show(result.conditions[i] if i < len(names) else None, scale)
        for i, row in enumerate(rows):
            row.show(result.gaps[i] if i < len(result.gaps) else None, step, say, system)
        return _said(result, say, system)

    return figure, draw


class _Column:
    """The shots of one condition: dots, hollow ones set aside, average with its range, the model's value."""

    def __init__(self, ax, look, i):
        self.look, self.i = look, i
        thick = look.points(1.3 * look.line_width)
        self.dots, = ax.plot([], [], alpha=0.85, **look.dots(i))
        self.aside, = ax.plot([], [], **look.dots(i, markerfacecolor="none"))
        self.span, = ax.plot([], [], color=look.ink, lw=thick, solid_capstyle="butt")
        self.mean, = ax.plot([], [], color=look.ink, lw=thick, solid_capstyle="butt")
        self.model, = ax.plot([], [], **look.dots(i, marker="_", color=look.muted, markersize=
                              look.points(8 * look.line_width), markeredgecolor=look.muted, markeredgewidth=thick))
        self.artists = (self.dots, self.aside, self.span, self.mean, self.model)

    def show(self, condition, scale):
        for artist in self.artists:
            artist.set_visible(condition is not None)
        if condition is None:
            return
        dots = self.look.dots(condition.meaning)
        self.dots.set(color=dots["color"], marker=dots["marker"], markeredgecolor=self.look.ink)
        self.aside.set(marker=dots["marker"], markeredgecolor=self.look.muted)
        i, n = self.i, len(condition.shots)
        self.dots.set_data(i - 0.16 + 0.11 * _fan(n), scale(condition.shots))
        self.aside.set_data(i - 0.16 + 0.11 * _fan(len(condition.set_aside)), scale(condition.set_aside))
        self.span.set_data([i + 0.1] * 2, scale(np.array([condition.low, condition.high])))
        self.mean.set_data([i + 0.02, i + 0.18], [scale(condition.mean)] * 2)
        self.model.set_visible(condition.modelled is not None)
        if condition.modelled is not None:
            self.model.set_data([i + 0.34], [scale(condition.modelled)])


class _Row:
    """One difference: measured, and the model's below it."""

    def __init__(self, ax, look, i):
        self.look, self.y = look, i
        thick = look.points(1.3 * look.line_width)
        self.span, = ax.plot([], [], color=look.ink, lw=thick, solid_capstyle="butt")
        self.value, = ax.plot([], [], **look.dots(0, color=look.ink))
        self.band = shape(ax, facecolor=look.muted, alpha=0.45)
        self.model, = ax.plot([], [], **look.dots(0, marker="|", color=look.muted, markersize=
                              look.points(3.6 * look.line_width), markeredgecolor=look.muted, markeredgewidth=thick))
        self.told = label(ax, look, small=True, ha="left", va="bottom", transform=ax.get_yaxis_transform())
        self.model_told = label(ax, look, small=True, ha="left", va="bottom", transform=ax.get_yaxis_transform())
        self.artists = (self.span, self.value, self.band, self.model, self.told, self.model_told)

    def show(self, gap, step, say, units):
        for artist in self.artists:
            artist.set_visible(gap is not None)
        if gap is None:
            return
        top, low = self.y, self.y + 0.5
        self.span.set_data(np.array([gap.low, gap.high]) / step, [top, top])
        self.value.set_data([gap.value / step], [top])
        self.told.set(position=(0, top - 0.12), text=f"{gap.name}: {say.number(gap.value, units, signed=True)}")
        modelled = gap.modelled is not None
        for artist in (self.model, self.model_told, self.band):
            artist.set_visible(modelled)
        if modelled:
            self.model.set_data([gap.modelled / step], [low])
            a, b = np.array(gap.modelled_band or (gap.modelled,) * 2) / step
            self.band.set_xy([(a, low - 0.05), (b, low - 0.05), (b, low + 0.05), (a, low + 0.05)])
            self.model_told.set(position=(0, low - 0.12), text=f"model {say.number(gap.modelled, units, signed=True)}")


def _lay_out(shots, gaps, result, say, name, y, x):
    """What stands still until measure, units or conditions change."""
    names = [f"{c.name} ({len(c.shots)})" for c in result.conditions]
    shots.set(xlim=(-0.55, len(names) - 0.4), ylim=y)
    shots.set_xticks(range(len(names)), names)
    shots.set_title(f"{first_up(say.noun)} of every shot" + (f" [{name}]" if name else ""))
    gaps.set(xlim=x, ylim=(max(len(result.gaps), 1) - 0.1, -0.45))
    gaps.set_title(f"Against {result.conditions[0].name}")
    gaps.set_xlabel("difference" + (f" [{name}]" if name else ""))
    gaps.locator_params(axis="x", nbins=4)


def _fan(n):
    """Sideways places −1 … 1 that keep neighbouring dots apart, the same every time (golden-ratio steps)."""
    return 2 * np.mod(0.5 + np.arange(n) * 0.618034, 1.0) - 1


def _unit_name(of, units):
    say = saying(of)
    return getattr(say, _system(units))


def _system(units):
    return "yards" if units.distance == "yd" else "metric"


def _nice(low, high):
    """Limits on round numbers around low … high."""
    span = max(high - low, 1e-9)
    step = 10.0 ** np.floor(np.log10(span))
    step = next(s for s in (step / 5, step / 2, step) if span / s <= 12)
    return float(np.floor(low / step - 0.2) * step), float(np.ceil(high / step + 0.2) * step)


def _limits(result, scale):
    every = [v for c in result.conditions for v in (*c.shots, *c.set_aside, c.low, c.high, c.modelled) if v is not None]
    every = scale(np.array(every, dtype=float))
    return _nice(np.nanmin(every), np.nanmax(every))


def _gap_limits(result, step):
    every = [v for g in result.gaps for v in (g.value, g.low, g.high, g.modelled, *(g.modelled_band or ())) if v is not None]
    low, high = min(0.0, np.nanmin(every) / step), max(0.0, np.nanmax(every) / step)
    return _nice(low, high)


def _said(result, say, units):
    base, parts = result.conditions[0], []
    for c in result.conditions:
        aside = f" ({len(c.set_aside)} set aside, drawn hollow)" if len(c.set_aside) else ""
        parts.append(f"{len(c.shots)} {c.name} shots average {say.number(c.mean, units)}{aside}")
    said = f"{first_up(say.noun)}: " + "; ".join(parts) + "."
    for g in result.gaps:
        said += (f" {first_up(g.name)} against {base.name}: {say.number(g.value, units, signed=True)}, between "
                 f"{say.number(g.low, units, signed=True)} and {say.number(g.high, units, signed=True)} fits these shots")
        said += f"; the model expects {say.number(g.modelled, units, signed=True)}." if g.modelled is not None else "."
    return said
