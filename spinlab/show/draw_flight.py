"""Flights from the side, true to scale, with landing, bounces and run."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from matplotlib.transforms import blended_transform_factory

from ..records import Shot
from .shapes import Changed, dress, first_up, keep_apart, label, pixels, place, round_up

MOST = 4
_CLOSER = 13.5
"""Height of the closer view with its title [em]."""
_REACHES = (15, 20, 25, 32, 40, 50, 65, 80, 100, 130, 165, 210, 270, 350)
"""Ends of the ground [m]; the picture goes from one to the next only when a shot would leave it."""


@dataclass(frozen=True, kw_only=True)
class Flown:
    """One shot to draw: its name, a key of `spinlab.show.style.SIGNS`, and the shot with its path and trace kept."""

    name: str
    meaning: str
    shot: Shot


def flight_side_view(look):
    """Up to four shots from the side (a sequence of `Flown`); below the ground, where each pitched and where it stopped."""
    figure = look.figure()
    room = look.height / look.text - 2.0 - 3.0
    lanes = max(5.3, room - 0.45 * look.width / look.text)
    close = _closer(figure, look) if lanes > 20 else None
    lanes = 11.0 if close else lanes
    above = 2.0 + (_CLOSER if close else 0.0)
    air = place(figure, look, (0, 0, 1, 1), left=1.2, right=1.2, top=above, bottom=lanes + 3.0)
    air.spines[["left", "bottom"]].set_visible(False)
    air.set_yticks([])
    air.tick_params(labelbottom=False, bottom=False)
    wide, high = pixels(air, look)
    run = place(figure, look, (0, 0, 1, 1), left=1.2, right=1.2, top=look.height / look.text - lanes - 3.0, bottom=3.0)
    run.spines[["left", "top"]].set_visible(False)
    run.set_yticks([])
    run.set_ylim(MOST, 0)
    ground = look.points(0.5 * look.line_width)
    air.axhline(0, color=look.muted, lw=ground)
    shots = [_Lines(air, run, close, look, i, lanes > 8) for i in range(MOST)]
    figure.text(1.2 * look.text / look.width, 1 - 1.8 * look.text / look.height, "Flight, landing and run",
                fontweight="bold")
    new = Changed()

    def draw(result, units):
        flown = tuple(result)[:MOST]
        reach = round_up(max(max(_ends(f.shot)[1] / 0.93, 1.03 * float(f.shot.path.apex) * wide / high) for f in flown),
                         _REACHES)
        if new(reach, units.name):
            far = units.shown("distance", reach)
            air.set(xlim=(-0.02 * far, far), ylim=(0, 1.02 * far * high / wide))
            run.set_xlim(-0.02 * far, far)
            run.set_xlabel(f"Distance and height, same scale [{units.distance}]")
        if close:
            _aim(close, look, flown, reach, units)
        for i, lines in enumerate(shots):
            lines.show(flown[i] if i < len(flown) else None, i, len(flown), units, reach)
        _angles(shots, flown, reach, units)
        return " ".join(_said(f, units) for f in flown)

    return figure, draw


def _closer(figure, look):
    """A second view, of the landing alone, where there is room for it."""
    high = look.height / look.text
    ax = place(figure, look, (0, 0, 1, 1), left=1.2, right=1.2, top=3.9, bottom=high - _CLOSER + 0.2)
    ax.set_title("The landing, three times closer", fontsize=look.points(look.small))
    ax.spines[["left"]].set_visible(False)
    ax.set_yticks([])
    return ax


def _aim(close, look, flown, reach, units):
    """Point the closer view at the landings; it moves in strides, so that it mostly stands still."""
    wide, high = pixels(close, look)
    stride = units.shown("distance", reach) / 15
    first = min(units.shown("distance", float(f.shot.carry)) for f in flown)
    start = np.floor(first / stride - 0.6) * stride
    limits = start, start + units.shown("distance", reach) / 3
    if close.get_xlim() != limits:
        close.set(xlim=limits, ylim=(0, (limits[1] - limits[0]) * high / wide))


class _Lines:
    """The artists of one shot."""

    def __init__(self, air, run, close, look, i, tall):
        self.look, self.tall = look, tall
        self.path, = air.plot([], [], clip_on=False, **look.line(i))
        self.bounces, = air.plot([], [], **look.line(i, width=0.6 * look.line_width))
        self.slope, = air.plot([], [], color=look.muted, lw=look.points(0.4 * look.line_width))
        self.angle = label(air, look, small=True, ha="left", va="center")
        self.close = [close.plot([], [], **look.line(i))[0] for _ in range(2)] if close else []
        self.way, = run.plot([], [], **look.line(i))
        self.pitched, = run.plot([], [], **look.dots(i, markerfacecolor=look.paper))
        self.stopped, = run.plot([], [], **look.dots(i))
        at = blended_transform_factory(run.transAxes, run.transData)
        self.told = label(run, look, 0.0, 0, small=True, transform=at, ha="left", va="center")
        self.artists = (self.path, self.bounces, self.slope, self.angle, self.way, self.pitched, self.stopped, self.told,
                        *self.close)

    def show(self, flown, i, n, units, reach):
        for artist in self.artists:
            artist.set_visible(flown is not None)
        if flown is None:
            return
        shot, y = flown.shot, (i + 0.5) * MOST / max(n, 3)
        landing, end = (units.shown("distance", v) for v in _ends(shot, signed=True))
        dress(self.path, self.look, flown.meaning)
        dress(self.way, self.look, flown.meaning)
        dress(self.bounces, self.look, flown.meaning, width=0.6 * self.look.line_width)
        dots = self.look.dots(flown.meaning)
        self.stopped.set(marker=dots["marker"], color=dots["color"], markeredgecolor=self.look.ink)
        self.pitched.set(marker=dots["marker"], color=dots["color"], markeredgecolor=self.look.ink,
                         markerfacecolor=self.look.paper)
        self.path.set_data(units.shown("distance", shot.path.x), units.shown("distance", shot.path.z))
        if shot.rest.trace_x is not None:
            self.bounces.set_data(landing + units.shown("distance", shot.rest.trace_x),
                                  units.shown("distance", shot.rest.trace_z))
        for line, whole in zip(self.close, (self.path, self.bounces)):
            dress(line, self.look, flown.meaning)
            line.set_data(*whole.get_data())
        self.way.set_data([landing, end], [y, y])
        self.pitched.set_data([landing], [y])
        self.stopped.set_data([end], [y])
        carry = units.say("distance", shot.carry, 1)
        self.told.set(y=y - 0.33 * self.tall, text=f"{flown.name}: carry {carry}, {_run(shot, units)}")


def _angles(shots, flown, reach, units):
    """The way the ball comes down, as a thin straight line with its angle; the words keep apart."""
    length = units.shown("distance", 0.13 * reach)
    tips = []
    for lines, f in zip(shots, flown):
        fall, x = float(f.shot.descent_angle), units.shown("distance", float(f.shot.carry))
        tips.append((x + 0.06 * length, length * np.sin(fall)))
        lines.slope.set_data([x, x - length * np.cos(fall)], [0, length * np.sin(fall)])
    gap = 1.25 * shots[0].look.small * units.shown("distance", reach) * 1.02 / pixels(shots[0].path.axes, shots[0].look)[0]
    for lines, f, (x, _), y in zip(shots, flown, tips, keep_apart([0.9 * y for _, y in tips], gap, 1.7 * gap)):
        lines.angle.set(position=(max(x for x, _ in tips), y), text=f"{f.name} ↘ {units.say('angle', f.shot.descent_angle)}")


def _ends(shot, signed=False):
    """Where it pitched and where it stopped [m] (or the farthest point it reached)."""
    carry, total = float(shot.carry), float(shot.total)
    return (carry, total) if signed else (carry, max(carry, total, carry + float(shot.rest.furthest)))


def _run(shot, units):
    out = float(shot.run_out)
    if not np.all(shot.rest.stops):
        return "does not stop"
    return f"runs {units.say('distance', out, 1)}" if out >= 0 else f"comes back {units.say('distance', -out, 1)}"


def _said(flown, units):
    shot = flown.shot
    return (f"{first_up(flown.name)}: carries {units.say('distance', shot.carry, 1)}, rises "
            f"{units.say('height', shot.path.apex, 1)}, comes down at {units.say('angle', shot.descent_angle)} with "
            f"{units.say('spin', shot.path.landing_spin)} and {_run(shot, units)}.")
