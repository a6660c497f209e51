"""Pictures that only make sense when they move: water leaving under the ball, two balls on their way to one hole."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .draw_contact import Trace, headings_of
from .draw_flight import Flown
from .draw_scene import FILM_FACTOR, Filmed, Scene
from .shapes import dress, first_up, label, pixels, place, shape


@dataclass(frozen=True, kw_only=True)
class Draining:
    """What `draining` shows: two wet strikes at a `moment` 0 … 1 of the contact."""

    shots: tuple[Filmed, Filmed]
    moment: float


def draining(look):
    """Two wet strikes side by side; below, the film between and the friction grow with time (`Draining`)."""
    figure = look.figure()
    below = 0.54 if look.upright else 0.42
    scenes = [Scene(figure, look, (0.5 * i, below, 0.5 * (i + 1), 1), margins=(0.4, 0.2, 3.8, 0.1)) for i in range(2)]
    for scene in scenes:
        scene.pull_told.set_visible(not look.upright)
        scene.push_told.set_visible(not look.upright)
    middle = 0.5 * below
    boxes = ((0, 0, 0.5, below), (0.5, 0, 1, below))
    if look.upright:
        boxes = (0, middle, 1, below), (0, 0, 1, middle)
    film = Trace(figure, look, boxes[0], f"Water between [µm], drawn {FILM_FACTOR}\u202f×", y=(0.3, 300), ticks=(1, 10, 100),
                 lines=2, log=True, last=True, unit=1e-6)
    friction = Trace(figure, look, boxes[1], "Friction [kN]", y=(-0.5, 2.0), ticks=(0, 1, 2), lines=2, last=True, unit=1e3)
    headings = [headings_of(scene) for scene in scenes]

    def draw(result, units):
        told = []
        for i, (shot, scene) in enumerate(zip(result.shots, scenes)):
            now, h = scene.show(shot, result.moment), shot.history
            past = h.time <= max(now.time, h.time[1])
            film.show(i, h.time[past], h.film[past], shot.meaning)
            friction.show(i, h.time[past], h.friction_force[past], shot.meaning)
            headings[i][0].set_text(first_up(shot.name))
            left = units.say("thickness", now.film, 1)
            headings[i][1].set_text(f"{left} left, {units.say('spin', max(now.spin, 0.0))}")
            told.append(f"{first_up(shot.name)}, after {now.time / 1e-6:.0f} µs: {left} of water is left between, the ball "
                        f"turns at {units.say('spin', now.spin)}.")
        for chart in (film, friction):
            chart.point(now.time)
        return " ".join(told)

    return figure, draw


@dataclass(frozen=True, kw_only=True)
class Chase:
    """What `two_flights` shows: two shots, the `hole` [m], and where the clock stands: a share 0 … 1 of `whole` [s]."""

    flown: tuple[Flown, Flown]
    hole: float
    whole: float
    moment: float


def track(shot):
    """A shot from the strike to rest: time [s], distance and height [m]."""
    path, rest = shot.path, shot.rest
    last = float(path.flight_time)
    return (np.r_[path.time, last + rest.trace_time], np.r_[path.x, float(path.carry) + rest.trace_x],
            np.r_[path.z, rest.trace_z])


def two_flights(look):
    """Two balls on their way to one hole, from the side and to scale; below, the landing closer (`Chase`)."""
    figure = look.figure()
    em = look.height / look.text
    near = (0.5 if look.upright else 0.4) * em
    air, close = _ground(figure, look, top=4.2, bottom=near + 1.2), _ground(figure, look, top=em - near + 1.2, bottom=3.1)
    close.set_title("The landing, closer", fontsize=look.points(look.small))
    air.tick_params(labelbottom=False)
    views = [[_Ball(ax, look, i) for i in range(2)] for ax in (air, close)]
    told = [label(air, look, 1.2 * look.text / look.width, 1 - (1.2 + 1.4 * i) * look.text / look.height, va="center",
                  small=True, transform=figure.transSubfigure) for i in range(2)]
    flags = [_Flag(ax, look) for ax in (air, close)]
    ready = []

    def draw(result, units):
        if not ready:
            _limits(air, close, look, result, units)
            ready.append(True)
        clock, said = result.moment * result.whole, []
        for flag in flags:
            flag.show(units.shown("distance", result.hole))
        for i, flown in enumerate(result.flown):
            time, x, z = track(flown.shot)
            for view in views:
                view[i].show(flown, time, units.shown("distance", x), units.shown("distance", z), clock)
            doing = _doing(flown.shot, clock, time[-1], units)
            told[i].set_text(f"{flown.name} ({'–' if i == 0 else '- -'}): {doing}")
            said.append(f"{first_up(flown.name)}: {doing}.")
        return f"After {clock:.1f} s. " + " ".join(said)

    return figure, draw


def _ground(figure, look, **margins):
    ax = place(figure, look, (0, 0, 1, 1), left=1.2, right=1.2, **margins)
    ax.spines[["left"]].set_visible(False)
    ax.set_yticks([])
    return ax


def _limits(air, close, look, result, units):
    """Both views to scale, each as close as its shots allow; the landing's from before both pitch marks to past the hole."""
    far = units.shown("distance", 1.12 * max(result.hole, *(float(f.shot.carry) for f in result.flown)))
    wide, high = pixels(air, look)
    top = units.shown("distance", max(float(f.shot.path.apex) for f in result.flown))
    span = max(1.02 * far, 1.08 * top * wide / high)
    air.set(xlim=(-0.02 * far, span - 0.02 * far), ylim=(0, span * high / wide))
    first = units.shown("distance", min(float(f.shot.carry) for f in result.flown))
    past = units.shown("distance", max(float(f.shot.total) for f in result.flown))
    start, span = first - 0.25 * (past - first), 1.6 * (past - first)
    wide, high = pixels(close, look)
    close.set(xlim=(start, start + span), ylim=(0, span * high / wide))
    close.set_xlabel(f"Distance and height, same scale [{units.distance}]")


class _Flag:
    """The flag at the hole."""

    def __init__(self, ax, look):
        self.ax = ax
        self.pole, = ax.plot([], [], color=look.ink, lw=look.points(0.5 * look.line_width))
        self.cloth = shape(ax, facecolor=look.ink)

    def show(self, x):
        (left, right), (low, high) = self.ax.get_xlim(), self.ax.get_ylim()
        wide, tall = 0.018 * (right - left), 0.22 * (high - low)
        self.pole.set_data([x, x], [0, tall])
        self.cloth.set_xy([(x, tall), (x + wide, 0.83 * tall), (x, 0.66 * tall)])


class _Ball:
    """One ball in one view: its way so far and where it is."""

    def __init__(self, ax, look, i):
        self.look = look
        self.way, = ax.plot([], [], **look.line(i))
        self.ball, = ax.plot([], [], zorder=5, **look.dots(i, size=3.6 * look.line_width))

    def show(self, flown, time, x, z, clock):
        past = time <= clock
        here = np.interp(clock, time, x), np.interp(clock, time, z)
        dress(self.way, self.look, flown.meaning)
        sign = self.look.dots(flown.meaning)
        self.ball.set(marker=sign["marker"], color=sign["color"], markeredgecolor=self.look.ink)
        left, right = self.ball.axes.get_xlim()
        self.ball.set_clip_on(not left <= here[0] <= right)  # whole where it touches the ground
        self.way.set_data(np.r_[x[past], here[0]], np.r_[z[past], here[1]])
        self.ball.set_data([here[0]], [here[1]])


def _doing(shot, clock, end, units):
    if clock <= 0:
        launch = shot.launch
        return f"leaves at {units.say('angle', launch.launch_angle)} with {units.say('spin', launch.spin_rate)}"
    if clock < float(shot.path.flight_time):
        return f"in the air, {clock:.1f} s"
    pitched = f"pitches at {units.say('distance', shot.carry, 1)}, {units.say('angle', shot.descent_angle)} down"
    if clock < end:
        return pitched
    out = float(shot.run_out)
    return f"{pitched}, {'runs' if out >= 0 else 'comes back'} {units.say('distance', abs(out), 1)}"
