"""The words of the trade in one picture: how the club arrives, how the ball flies, what a face looks like cut through."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..records import Delivery, Grooves, Shot
from .draw_grooves import section_outline
from .shapes import Changed, arrow, bare, halves, label, pixels, place, shape, to_scale


@dataclass(frozen=True, kw_only=True)
class Terms:
    """What `words_of_trade` shows: how the club arrives, the shot it makes (with its path drawn), the face's grooves."""

    arriving: Delivery
    shot: Shot
    grooves: Grooves


def words_of_trade(look):
    """Three scenes that name what the lessons talk of: angles at impact, the flight, the face cut through (`Terms`)."""
    figure = look.figure()
    first, others = halves(look, 0.44 if look.upright else 0.5)
    x0, y0, x1, y1 = others
    cut = y0 + 0.36 * (y1 - y0)
    scenes = (_Arriving(figure, look, first), _Flight(figure, look, (x0, cut, x1, y1)),
              _Face(figure, look, (x0, y0, x1, cut)))

    def draw(result, units):
        return " ".join(scene.show(result, units) for scene in scenes)

    return figure, draw


def _scene(figure, look, box, title):
    """A bare axes with its title above it."""
    ax = bare(place(figure, look, box, left=0.8, right=0.8, top=2.3, bottom=0.4))
    at = ax.get_position(original=True)
    figure.text(at.x0, at.y1 + 0.5 * look.text / look.height, title, fontweight="bold", va="bottom")
    return ax


def _arc(radius, start, end):
    """Points of an arc between two directions [rad]."""
    turn = np.linspace(start, end, 30)
    return radius * np.cos(turn), radius * np.sin(turn)


def _ray(length, angle):
    return length * np.array([np.cos(angle), np.sin(angle)])


class _Arriving:
    """Dynamic loft, attack angle, spin loft and launch angle about the point where face and ball meet."""

    def __init__(self, figure, look, box):
        self.ax = ax = _scene(figure, look, box, "The club arrives, the ball leaves")
        wide, high = pixels(ax, look)
        unit = max(2.3 / (wide - 9.5 * look.small), 2.0 / high)  # the longest name stands right of the arrow
        ax.set(xlim=(-1.05, wide * unit - 1.05), ylim=(1.45 - high * unit, 1.45))
        thin, bold = look.points(0.5 * look.line_width), look.points(0.8 * look.line_width)
        edge = {"edgecolor": look.ink, "linewidth": look.points(0.4 * look.line_width)}
        ball = np.column_stack(_arc(1.0, 0, 2 * np.pi))
        self.circle = ball * 0.3
        self.ball = shape(ax, facecolor=look.shade, zorder=1, **edge)
        self.face = shape(ax, facecolor=look.muted, zorder=2, **edge)
        self.leaves = shape(ax, facecolor=look.colour("dry"), zorder=4, **edge)
        self.comes = shape(ax, facecolor=look.colour("wet"), zorder=4, **edge)
        still = {"color": look.muted, "lw": thin}
        ax.plot([-0.9, 1.5], [0, 0], **still)
        ax.plot([0, 0], [0, 1.0], **still)
        self.normal, = ax.plot([], [], ls=(0, (6, 3)), **still)
        self.path, = ax.plot([], [], ls=(0, (2, 2)), **still)
        self.arcs = [ax.plot([], [], color=look.ink, lw=bold, zorder=3)[0] for _ in range(4)]
        small = {"small": True, "zorder": 6}
        self.told = [label(ax, look, ha="left", va="bottom", **small), label(ax, look, ha="left", va="top", **small),
                     label(ax, look, ha="left", va="center", **small), label(ax, look, ha="left", va="center", **small)]
        self.square = label(ax, look, ha="left", va="bottom", quiet=True, text="square to the face", **small)

    def show(self, result, units):
        loft, attack = float(result.arriving.dynamic_loft), float(result.arriving.attack_angle)
        launch = float(result.shot.launch.launch_angle)
        out, up = _ray(1, loft), _ray(1, loft + np.pi / 2)
        self.ball.set_xy(self.circle + 0.3 * out)
        self.face.set_xy([0.55 * up, -0.35 * up, -0.35 * up - 0.07 * out, 0.55 * up - 0.07 * out])
        self.leaves.set_xy(arrow((0, 0), _ray(1.3, launch), width=0.03, head=0.12))
        self.comes.set_xy(arrow(_ray(-0.95, attack), _ray(-0.1, attack), width=0.03, head=0.12))
        self.normal.set_data(*np.transpose([0 * out, 1.25 * out]))
        self.path.set_data(*np.transpose([_ray(0, attack), _ray(1.5, attack)]))
        spans = ((0.85, np.pi / 2, np.pi / 2 + loft), (1.4, attack, 0.0), (0.8, attack, loft), (0.5, 0.0, launch))
        for line, span in zip(self.arcs, spans):
            line.set_data(*_arc(*span))
        spin_loft = loft - attack
        words = ("dynamic loft", loft), ("attack angle", attack), ("spin loft", spin_loft), ("launch angle", launch)
        places = ([-1.05, 1.03], [0.35, min(1.4 * np.sin(attack), 0.0) - 0.08], _ray(0.86, 0.5 * launch), _ray(1.36, launch))
        for tag, (name, angle), at in zip(self.told, words, places):
            tag.set(position=at, text=f"{name} {units.say('angle', angle)}")
        self.square.set_position(1.28 * out)
        told = [f"{name} {units.say('angle', angle)}" for name, angle in words]
        return f"At impact: {', '.join(told)}."


class _Flight:
    """Carry, height, descent angle, run."""

    def __init__(self, figure, look, box):
        self.ax, self.look = _scene(figure, look, box, "The ball flies and stops"), look
        self.line, = self.ax.plot([], [], **look.line("dry"))
        self.run, = self.ax.plot([], [], color=look.ink, lw=look.points(look.line_width))
        self.carry, = self.ax.plot([], [], color=look.muted, lw=look.points(0.6 * look.line_width))
        self.marks = [self.ax.plot([], [], **look.dots(i, size=3.6 * look.line_width))[0] for i in (0, 1)]
        small = {"small": True}
        self.told = [label(self.ax, look, ha=across, va=up, **small)
                     for across, up in (("center", "top"), ("center", "top"), ("right", "bottom"), ("center", "top"))]
        self.new = Changed()

    def show(self, result, units):
        path, rest = result.shot.path, result.shot.rest
        carry, run, apex = float(path.carry), float(rest.run_out), float(path.apex)
        if self.new(carry, run, apex):
            spans = {"x": (-0.03 * carry, 1.55 * carry), "y": (-0.32 * apex - 2.0, 1.15 * apex)}
            self.unit = to_scale(self.ax, self.look, **spans)
        low, step = -0.7 * self.look.small * self.unit, self.look.small * self.unit
        self.line.set_data(path.x, path.z)
        self.carry.set_data([0, carry], [low, low])
        self.run.set_data([carry, carry + run], [0, 0])
        self.marks[0].set_data([carry], [0])
        self.marks[1].set_data([carry + run], [0])
        words = (f"carry {units.say('distance', carry)}", f"height {units.say('height', apex)}",
                 f"descent angle {units.say('angle', path.descent_angle)}", f"run {units.say('distance', run)}")
        top = float(path.x[int(np.argmax(path.z))])
        places = ((0.45 * carry, low - 0.3 * step), (top, apex - 0.6 * step), (1.54 * carry, 0.45 * apex),
                  (carry + 0.5 * run + 4.5 * step, low - 0.3 * step))
        for tag, text, at in zip(self.told, words, places):
            tag.set(position=at, text=text)
        return f"Then: {', '.join(words)}."


class _Face:
    """Grooves and the lands between them."""

    def __init__(self, figure, look, box):
        self.ax, self.look = _scene(figure, look, box, "The face, cut through"), look
        self.metal = shape(self.ax, facecolor=look.muted)
        self.told = [label(self.ax, look, ha="center", va="bottom", small=True) for _ in range(3)]
        self.new = Changed()

    def show(self, result, units):
        pitch = float(result.grooves.pitch)
        if self.new(pitch):
            self.unit = to_scale(self.ax, self.look, x=(-1.4 * pitch, 1.4 * pitch), y=(-0.9e-3, 0.9e-3))
        edge = self.ax.get_xlim()
        count = int((edge[1] - float(result.grooves.width)) / pitch)
        top = section_outline(result.grooves, pitch * np.arange(-count, count + 1))
        self.metal.set_xy([(edge[0], -5e-3), (edge[0], 0), *top, (edge[1], 0), (edge[1], -5e-3)])
        words = "land", "groove", "land"
        for tag, text, x in zip(self.told, words, (-0.5 * pitch, 0.0, 0.5 * pitch)):
            tag.set(position=(x, 0.4 * self.look.small * self.unit), text=text)
        return ("The face: grooves " + units.say("size", result.grooves.width, 2) + " wide, lands "
                + units.say("size", result.grooves.separation, 2) + " between them.")
