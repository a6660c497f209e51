"""The fan of launches: which way the ball leaves, how fast and with how much spin, in several states."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..records import Delivery, Launch
from ..units import rpm
from .shapes import Changed, arrow, bare, halves, keep_apart, label, pixels, place, round_up, shape

MOST = 4


@dataclass(frozen=True, kw_only=True)
class Launched:
    """One state's launch."""

    name: str
    meaning: str
    launch: Launch


@dataclass(frozen=True, kw_only=True)
class Fan:
    """What `launch_fan` shows: how the club arrives and up to four launches."""

    arriving: Delivery
    launched: tuple[Launched, ...]


def launch_fan(look):
    """The face, its normal and the way the ball leaves in up to four states; beside it ball speed and spin (`Fan`)."""
    figure = look.figure()
    left, right = halves(look, 0.55 if look.upright else 0.6)
    fan = bare(place(figure, look, left, left=0.8, right=0.8, top=2.2, bottom=0.8))
    wide, high = pixels(fan, look)
    unit = max(1.3 / (wide - 8.0 * look.text), 1.25 / high)  # the longest arrow is nearly 1 long; names need room beside it
    fan.set(xlim=(-0.3, wide * unit - 0.3), ylim=(-0.3, high * unit - 0.3))
    figure.text(fan.get_position().x0, fan.get_position().y1 + 0.5 * look.text / look.height, "Which way the ball leaves",
                fontweight="bold", va="bottom")
    edge = {"edgecolor": look.ink, "linewidth": look.points(0.4 * look.line_width)}
    face = shape(fan, facecolor=look.muted, zorder=2, **edge)
    thin = look.points(0.5 * look.line_width)
    normal, = fan.plot([], [], color=look.muted, lw=thin, ls=(0, (6, 3)))
    normal_told = label(fan, look, small=True, quiet=True, ha="center", va="bottom")
    fan.axhline(0, color=look.muted, lw=thin, zorder=0)
    arrows = [shape(fan, zorder=4, **edge) for _ in range(MOST)]
    tags = [label(fan, look, small=True, ha="left", va="center", zorder=6) for _ in range(MOST)]
    bars = _SpinBars(figure, look, right)

    def draw(result, units):
        loft, launched = float(result.arriving.dynamic_loft), result.launched[:MOST]
        out, up = np.array([np.cos(loft), np.sin(loft)]), np.array([-np.sin(loft), np.cos(loft)])
        face.set_xy([0.3 * up, -0.26 * up, -0.26 * up - 0.05 * out, 0.3 * up - 0.05 * out])
        normal.set_data(*np.transpose([0 * out, 1.1 * out]))
        normal_told.set(position=1.1 * out + [0.0, 0.01], text=f"square to the face {units.say('angle', loft)}")
        fastest = max(float(s.launch.ball_speed) for s in launched)
        tips = [_tip(s.launch, 0.94 / fastest) for s in launched]
        places = keep_apart([y for _, y in tips], 1.3 * look.small * unit, 0.03)
        for i in range(MOST):
            arrows[i].set_visible(i < len(launched))
            tags[i].set_visible(i < len(launched))
            if i < len(launched):
                s = launched[i]
                arrows[i].set_xy(arrow((0, 0), tips[i], width=0.022, head=0.085))
                arrows[i].set_facecolor(look.colour(s.meaning))
                tags[i].set(position=(max(x for x, _ in tips) + 0.04, places[i]))
                tags[i].set_text(f"{s.name} {units.say('angle', s.launch.launch_angle)}")
        bars.show(launched, units)
        return _said_fan(result, launched, units)

    return figure, draw


def _tip(launch, scale):
    """End of a launch's arrow, its length in proportion to the ball's speed."""
    angle = float(launch.launch_angle)
    return scale * float(launch.ball_speed) * np.array([np.cos(angle), np.sin(angle)])


class _SpinBars:
    """Spin of each state as a bar from nought, ball speed in words."""

    def __init__(self, figure, look, box):
        self.look = look
        self.ax = place(figure, look, box, left=1.0, right=1.6, top=2.2, bottom=3.2)
        self.ax.spines[["left"]].set_visible(False)
        look.axes(self.ax, x=(0, 10000), y=(MOST, 0), x_label="Spin [rpm]", grid="x")
        self.ax.set_yticks([])
        self.ax.locator_params(axis="x", nbins=3)
        edge = {"edgecolor": look.ink, "linewidth": look.points(0.4 * look.line_width)}
        self.bars = [shape(self.ax, **edge) for _ in range(MOST)]
        self.told = [label(self.ax, look, 0, i, small=True, ha="left", va="bottom") for i in range(MOST)]
        self.new = Changed()

    def show(self, launched, units):
        spins = [float(s.launch.spin_rate) / rpm for s in launched]
        top = round_up(max(spins), (8000, 12000, 20000, 30000))
        if self.new(top):
            self.ax.set_xlim(0, top)
        for i, (bar, told) in enumerate(zip(self.bars, self.told)):
            for artist in (bar, told):
                artist.set_visible(i < len(launched))
            if i < len(launched):
                y, s = (i + 0.62) * MOST / max(len(launched), 3), launched[i]
                bar.set_xy([(0, y), (spins[i], y), (spins[i], y + 0.3), (0, y + 0.3)])
                bar.set_facecolor(self.look.colour(s.meaning))
                speed = units.say("speed", s.launch.ball_speed, 1)
                told.set(position=(0, y - 0.04), text=f"{s.name}: {units.say('spin', s.launch.spin_rate)}, {speed}")


def _said_fan(result, launched, units):
    told = []
    for s in launched:
        angle, speed = units.say("angle", s.launch.launch_angle), units.say("speed", s.launch.ball_speed, 1)
        told.append(f"{s.name} at {angle} with {speed} and {units.say('spin', s.launch.spin_rate)}")
    below = float(result.arriving.dynamic_loft) - float(launched[0].launch.launch_angle)
    return (f"The face looks up at {units.say('angle', result.arriving.dynamic_loft)}. The ball leaves " + "; ".join(told) +
            f". Friction holds the {launched[0].name} ball {units.say('angle', below)} below square to the face.")
