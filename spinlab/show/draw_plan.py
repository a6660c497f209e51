"""Simple pictures of a demonstration: the order of the shots, which were set aside, what each cause is worth."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from ..evidence.wording import saying
from ..units import unit
from .draw_difference import meanings
from .shapes import Changed, first_up, label, place, shape

MOST_ROWS, MOST_CAUSES = 10, 9


@dataclass(frozen=True, kw_only=True)
class Screening:
    """What `set_aside_plot` shows: a measure of every shot [SI] in the order they were hit, the band fixed beforehand, and
    which shots are set aside (by this band or another)."""

    of: str
    values: np.ndarray
    aside: np.ndarray
    low: float = -np.inf
    high: float = np.inf


def screening_of(report) -> Screening | None:
    """The first band of a report's rule with every shot of its table; None where the rule has no band."""
    screened = report.screened
    if not screened.rule.bands:
        return None
    of, low, high = screened.rule.bands[0]
    frame = report.table.frame
    return Screening(of=of, values=frame[of].to_numpy(dtype=float), aside=frame.index.isin(screened.set_aside.index),
                     low=low, high=high)


def set_aside_plot(look):
    """Every shot against the band that was written down before the first ball (`Screening`)."""
    figure = look.figure()
    ax = place(figure, look, (0, 0, 1, 1), left=4.4, right=1.4, top=3.8, bottom=3.1)
    look.axes(ax, x_label="Shot")
    ax.set_title("Which shots count", fontweight="bold", pad=look.points(2.1 * look.text))
    band = shape(ax, facecolor=look.colour("grass"), alpha=0.22, zorder=0)
    edges = [ax.plot([], [], color=look.muted, lw=look.points(0.5 * look.line_width))[0]
             for _ in range(2)]
    kept, = ax.plot([], [], **look.dots("wet", marker="o"))
    out, = ax.plot([], [], **_cross(look))
    words = label(ax, look, 0, 1.02, small=True, transform=ax.transAxes, va="bottom", ha="left")
    new = Changed()

    def draw(result, units):
        say = saying(result.of)
        system = "yards" if units.distance == "yd" else "metric"
        name = getattr(say, system)
        values = np.asarray(unit(name).from_si(np.asarray(result.values, dtype=float)))
        low, high = (unit(name).from_si(v) for v in (result.low, result.high))
        aside, shot = np.asarray(result.aside, dtype=bool), np.arange(1, len(values) + 1)
        seen = [v for v in (*values, low, high) if np.isfinite(v)]
        pad = 0.12 * (max(seen) - min(seen) or 1.0)
        y = min(seen) - pad, max(seen) + pad
        if new(result.of, name, len(values), *y):
            ax.set(xlim=(0.3, len(values) + 0.7), ylim=y, ylabel=f"{first_up(say.noun)} [{name}]")
            ax.xaxis.get_major_locator().set_params(integer=True)
        kept.set_data(shot[~aside], values[~aside])
        out.set_data(shot[aside], values[aside])
        a, b = (float(np.clip(v, *y)) for v in (low, high))
        band.set_xy([(0, a), (1e3, a), (1e3, b), (0, b)])
        for edge, v in zip(edges, (low, high)):
            edge.set_data(([0, 1e3], [v, v]) if np.isfinite(v) else ([], []))
        span = _span(result, say, system)
        words.set_text(f"{(~aside).sum()} kept (●), {aside.sum()} set aside (✕)")
        return (f"{len(values)} shots: {(~aside).sum()} kept and {aside.sum()} set aside. The rule, fixed beforehand: "
                f"{say.noun} {span}.")

    return figure, draw


def _cross(look):
    return look.dots("dry", marker="X", markerfacecolor=look.paper, size=4.6 * look.line_width)


def _span(result, say, system):
    ends = [say.number(v, system) if np.isfinite(v) else None for v in (result.low, result.high)]
    if ends[0] and ends[1]:
        return f"from {ends[0]} to {ends[1]}"
    return f"{ends[0]} or more" if ends[0] else f"{ends[1]} or less" if ends[1] else "may be anything"


@dataclass(frozen=True, kw_only=True)
class Split:
    """What `shares_bars` shows: from a value to another [SI], the part of each cause with its band.

    `parts` are (cause, value, low, high); low and high may be None.  `title` says which of two quantities the values are: a
    fair share, averaged over every order, or a gain on top of the steps before.
    """

    of: str
    begin: tuple[str, float]
    end: tuple[str, float]
    parts: tuple[tuple[str, float, float | None, float | None], ...] = field(default_factory=tuple)
    title: str = "Fair share of each cause"


def split_of(shares, *, begin="as you are", end="as it could be") -> Split:
    """The parts of a `spinlab.physics.shares.Shares`, largest first, ready to be drawn."""
    place = {cause.name: i for i, cause in enumerate(shares.causes)}
    parts = []
    for cause in shares.ranked():
        band = shares.bands[place[cause.name]]
        parts.append((cause.name, float(shares.share[place[cause.name]]), float(band.low), float(band.high)))
    return Split(of=shares.of, begin=(begin, float(shares.player)), end=(end, float(shares.reference)), parts=tuple(parts))


def shares_bars(look):
    """From one player's number to another's, cause by cause; the whiskers are the bands (`Split`)."""
    figure = look.figure()
    left = 0.8 if look.upright else 15.0
    ax = place(figure, look, (0, 0, 1, 1), left=left, right=1.8, top=2.3, bottom=3.1)
    ax.spines[["left"]].set_visible(False)
    look.axes(ax, grid="x")
    ax.set_yticks([])
    edge = {"edgecolor": look.ink, "linewidth": look.points(0.4 * look.line_width)}
    total = [shape(ax, facecolor=look.muted, zorder=2, **edge) for _ in range(2)]
    bars = [shape(ax, zorder=2, **edge) for _ in range(MOST_CAUSES)]
    steps, = ax.plot([], [], color=look.muted, lw=look.points(0.4 * look.line_width), zorder=1)
    bands = [ax.plot([], [], color=look.ink, lw=look.points(0.7 * look.line_width), zorder=4)[0]
             for _ in range(MOST_CAUSES)]
    above = look.upright
    where = {"ha": "left", "va": "bottom"} if above else {"ha": "right", "va": "center"}
    names = [label(ax, look, 0.0 if above else -0.015, 0, small=True, transform=ax.get_yaxis_transform(), **where)
             for _ in range(MOST_CAUSES + 2)]
    new = Changed()

    def draw(result, units):
        say, system = saying(result.of), "yards" if units.distance == "yd" else "metric"
        name = getattr(say, system)
        step = unit(name).scale if name else 1.0
        parts = result.parts[:MOST_CAUSES]
        ends = np.cumsum([result.begin[1], *(p[1] for p in parts)]) / step
        low = min(0.0, *ends, result.end[1] / step)
        high = 1.06 * max(*ends, result.end[1] / step, *(_whisker(p, e, step)[1] for p, e in zip(parts, ends)))
        scale = 10.0 ** np.floor(np.log10(high - low)) / 2
        limits = np.floor(low / scale) * scale, np.ceil(high / scale) * scale
        if new(result.of, result.title, name, len(parts), *limits):
            ax.set_title(result.title, fontweight="bold")
            ax.set(xlim=limits, ylim=(len(parts) + 1.6, -0.75 if above else -0.6))
            ax.set_xlabel(f"{first_up(say.noun)}" + (f" [{name}]" if name else ""))
            ax.locator_params(axis="x", nbins=5)
        thick = 0.24 if above else 0.32
        for bar, y, value in zip(total, (0, len(parts) + 1), (result.begin[1], result.end[1])):
            bar.set_xy(_box(0.0, value / step, y, thick))
        _steps(look, bars, bands, parts, ends, step, thick)
        x = np.repeat(ends, 2)
        steps.set_data(x, np.ravel([(i, i + 1) for i in range(len(ends))]))
        rows = [(result.begin[0], say.number(result.begin[1], system)),
                *((p[0], say.number(p[1], system, signed=True)) for p in parts),
                (result.end[0], say.number(result.end[1], system))]
        for i, text in enumerate(names):
            text.set_visible(i < len(rows))
            if i < len(rows):
                text.set(y=i - (0.27 if above else 0.0), text="{}: {}".format(*rows[i]))
        whiskers = " Whiskers: the model's bands." if any(p[2] is not None for p in parts) else ""
        return f"{result.title}. {first_up(say.noun)}: " + "; ".join("{} {}".format(*row) for row in rows) + "." + whiskers

    return figure, draw


def _box(a, b, y, half):
    return [(a, y - half), (b, y - half), (b, y + half), (a, y + half)]


def _whisker(part, begin, step):
    low, high = (part[1] if end is None else end for end in part[2:])
    return begin + low / step, begin + high / step


def _steps(look, bars, bands, parts, ends, step, thick):
    """The causes as steps from the first number to the last: towards it and away from it differ in hatch as well as hue."""
    toward = 1.0 if ends[-1] >= ends[0] else -1.0
    for i, (bar, band) in enumerate(zip(bars, bands)):
        bar.set_visible(i < len(parts))
        band.set_visible(i < len(parts) and parts[i][2] is not None)
        if i < len(parts):
            gain = toward * parts[i][1] >= 0
            bar.set_xy(_box(ends[i], ends[i + 1], i + 1, thick))
            bar.set(facecolor=look.colour("grass" if gain else "dry"), hatch="" if gain else "//")
            band.set_data(_whisker(parts[i], ends[i], step), [i + 1, i + 1])


@dataclass(frozen=True, kw_only=True)
class Order:
    """What `order_strip` shows: the conditions in the order they are hit, and how many shots are done."""

    order: tuple[str, ...]
    done: int = 0


def order_strip(look):
    """The plan's order as a strip of tiles, one a shot, in rows of eight; done ones are filled (`Order`)."""
    figure = look.figure()
    ax = place(figure, look, (0, 0, 1, 1), left=0.8, right=0.8, top=2.3, bottom=2.2)
    ax.set_axis_off()
    ax.set_title("The order of the shots, fixed beforehand", fontweight="bold")
    columns = 4 if look.upright else 8
    most = columns * MOST_ROWS
    edge = {"edgecolor": look.ink, "linewidth": look.points(0.5 * look.line_width)}
    tiles = [shape(ax, **edge) for _ in range(most)]
    names = [label(ax, look, small=True, ha="center", va="center") for _ in range(most)]
    foot = label(ax, look, 0, -0.02, small=True, transform=ax.transAxes, va="top")
    new = Changed()

    def draw(result, units):
        order, n = result.order[:most], len(result.order[:most])
        rows = max(2 if columns == 8 else 4, -(-n // columns))
        if new(rows):
            ax.set(xlim=(0, columns), ylim=(rows, 0))
        kinds = list(dict.fromkeys(order))
        signs = dict(zip(kinds, meanings(kinds[:5])))
        for i, (tile, name) in enumerate(zip(tiles, names)):
            for artist in (tile, name):
                artist.set_visible(i < n)
            if i < n:
                row, column = divmod(i, columns)
                tile.set_xy(_tile(column, row))
                done = i < result.done
                tile.set(facecolor=look.shade if done else look.paper, hatch="" if done else None)
                tile.set_edgecolor(look.colour(signs[order[i]]))
                name.set(position=(column + 0.5, row + 0.5), text=f"{i + 1}\n{order[i]}" + (" ✓" if done else ""))
        count = ", ".join(f"{order.count(k)} {k}" for k in kinds)
        done = f"; {min(result.done, n)} of {n} done" if result.done else ""  # a plan that is not begun has none
        foot.set_text(count + done)
        return f"{n} shots in this order: {', '.join(order)} – {count}{done}."

    return figure, draw


def _tile(column, row):
    a, b, c, d = column + 0.06, column + 0.94, row + 0.1, row + 0.9
    return [(a, c), (b, c), (b, d), (a, d)]
