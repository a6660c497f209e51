"""Contact in slow motion: one strike with its forces, slip and film beside it, or two strikes side by side."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..units import rpm
from .draw_scene import FILM_FACTOR, Filmed, Scene
from .shapes import dress, first_up, halves, keep_apart, label, place

_LONGEST = 600
"""End of the time axes [µs]."""
_THICKEST, _THINNEST = 300e-6, 0.3e-6


@dataclass(frozen=True, kw_only=True)
class SlowMotion:
    """What the slow-motion pictures show: one strike or two, at a `moment` 0 … 1 of the contact."""

    shots: tuple[Filmed, ...]
    moment: float = 0.4


class Trace:
    """A small chart over the time of the contact, with a pointer at now and one line for each strike."""

    def __init__(self, figure, look, box, title, *, y, ticks, lines=1, log=False, last=False, unit=1.0):
        self.look, self.unit = look, unit
        self.ax = place(figure, look, box, left=3.2, right=1.4, top=1.6, bottom=2.9 if last else 0.6)
        look.axes(self.ax, x=(0, _LONGEST), y=y)
        self.ax.set_title(title, fontsize=look.points(look.small), pad=look.points(0.35 * look.small))
        if log:
            self.ax.set_yscale("log")
            self.ax.minorticks_off()
        self.ax.set_yticks(ticks, [f"{tick:g}".replace("-", "−") for tick in ticks])
        self.ax.set_xticks(range(0, _LONGEST + 1, 200))
        self.ax.tick_params(labelbottom=last)
        if last:
            self.ax.set_xlabel("Time [µs]", fontsize=look.points(look.small))
        if not log and y[0] < 0:
            self.ax.axhline(0, color=look.muted, lw=look.points(0.3 * look.line_width))
        thin = look.points(0.5 * look.line_width)
        self.now, = self.ax.plot([], [], color=look.muted, lw=thin)
        self.lines = [self.ax.plot([], [], **look.line(i))[0] for i in range(lines)]

    def show(self, i, time, curve, meaning=None):
        """Put a curve into line `i`, dressed for its meaning."""
        self.lines[i].set_data(time / 1e-6, curve / self.unit)
        if meaning is not None:
            dress(self.lines[i], self.look, meaning)

    def point(self, time):
        """Move the pointer."""
        self.now.set_data([time / 1e-6] * 2, self.ax.get_ylim())

    def tag(self, text=""):
        """A small word that can be put beside a line."""
        return label(self.ax, self.look, 0, 0, text, small=True, ha="left", va="bottom")


def contact_slow_motion(look):
    """One strike: ball, face, grooves and film at a moment; forces, slip and film over time beside it (`SlowMotion`)."""
    figure = look.figure()
    main, side = halves(look, 0.52 if look.upright else 0.56)
    scene = Scene(figure, look, main, margins=(0.6, 0.6, 3.3, 2.0))
    charts = _charts(figure, look, side)
    forces, film = charts["forces"], charts["film"]
    push = forces.tag("push")
    forces.ax.text(30, -0.1, "friction", va="top", fontsize=look.points(look.small))
    title, state = headings_of(scene)
    none = label(film.ax, look, 0.5, 0.5, "no water", transform=film.ax.transAxes, va="center", ha="center", small=True)
    _note(figure, look, main)

    def draw(result, units):
        shot = result.shots[0]
        now, h = scene.show(shot, result.moment), shot.history
        wet = float(shot.between.water) > 0
        forces.show(0, h.time, h.normal_force)
        forces.show(1, h.time, h.friction_force, shot.meaning)
        if "slip" in charts:
            charts["slip"].show(0, h.time, h.slip, shot.meaning)
        film.show(0, h.time, h.film if wet else np.full_like(h.time, np.nan), shot.meaning)
        for chart in charts.values():
            chart.point(now.time)
        k = len(h.time) * 5 // 8
        push.set_position((h.time[k] / 1e-6 + 12, h.normal_force[k] / 1e3))
        none.set_visible(not wet)
        title.set_text(f"{first_up(shot.name)}: {now.time / 1e-6:.0f} of {now.whole / 1e-6:.0f} µs")
        state.set_text(doing(now, units))
        return _said(shot, now, units)

    return figure, draw


def _charts(figure, look, box):
    """Charts of forces, slip and film, one above the other; where there is no room the slip is left to the words."""
    x0, y0, x1, y1 = box
    em = look.text / look.height
    room = (y1 - y0 - 2.4 * em) / em
    names = ("forces", "slip", "film") if room > 18 else ("forces", "film")
    step = room * em / len(names)
    cuts = [y1 - i * step for i in range(len(names))] + [y0]
    thin, thick = _THINNEST / 1e-6, _THICKEST / 1e-6
    kinds = {
        "forces": {"title": "Forces [kN]", "y": (-1.7, 6.5), "ticks": (0, 3, 6), "lines": 2, "unit": 1e3},
        "slip": {"title": "Slip up the face [m/s]", "y": (-13, 33), "ticks": (0, 15, 30)},
        "film": {"title": "Water between [µm]", "y": (thin, thick), "ticks": (1, 10, 100), "log": True, "last": True,
                 "unit": 1e-6},
    }
    charts = {name: Trace(figure, look, (x0, low, x1, high), **kinds[name])
              for name, high, low in zip(names, cuts, cuts[1:])}
    charts["forces"].lines[0].set(color=look.ink, linestyle="-", path_effects=[])
    return charts


def contact_pair(look):
    """Two strikes at the same moment side by side, with friction and spin over time below (`SlowMotion` of two)."""
    figure = look.figure()
    stacked = look.upright and look.height > 40 * look.text
    below = 0.27 if stacked else 0.36
    charts = (0, 0, 0.5, below), (0.5, 0, 1, below)
    if stacked:
        middle = 0.5 * (1 + below)
        boxes = (0, middle, 1, 1), (0, below, 1, middle)
    else:
        boxes = (0, below, 0.5, 1), (0.5, below, 1, 1)
    narrow = look.upright and not stacked
    scenes = [Scene(figure, look, box, margins=(0.6, 0.2, 4.2 if narrow else 3.2, 0.3), narrow=narrow) for box in boxes]
    below = {"lines": 2, "last": True}
    friction = Trace(figure, look, charts[0], "Friction [kN]", y=(-0.9, 2.6), ticks=(0, 1, 2), unit=1e3, **below)
    spin = Trace(figure, look, charts[1], "Spin [1000 rpm]", y=(0, 12), ticks=(0, 5, 10), unit=1e3 * rpm, **below)
    headings = [headings_of(scene) for scene in scenes]
    tags = [spin.tag() for _ in scenes]

    def draw(result, units):
        told, ends = [], []
        for i, (shot, scene) in enumerate(zip(result.shots, scenes)):
            now, h = scene.show(shot, result.moment), shot.history
            headings[i][0].set_text(f"{first_up(shot.name)}: {units.say('spin', now.spin)}")
            headings[i][1].set_text(doing(now, units).replace(", ", ",\n") if narrow else doing(now, units))
            friction.show(i, h.time, h.friction_force, shot.meaning)
            spin.show(i, h.time, h.spin_rate, shot.meaning)
            for chart in (friction, spin):
                chart.point(now.time)
            tags[i].set_text(shot.name)
            ends.append(h.spin_rate[-1] / spin.unit)
            told.append(_said(shot, now, units))
        for tag, shot, y in zip(tags, result.shots, keep_apart(ends, 2.4, 0.2, 11)):
            tag.set_position((shot.history.time[-1] / 1e-6 + 8, y - 1.0))
        return " ".join(told)

    return figure, draw


def headings_of(scene):
    """Two lines above a scene: what and when, and what the contact does."""
    at = {"transform": scene.ax.transAxes, "ha": "left", "va": "bottom"}
    em = scene.look.text / (scene.ax.get_position().height * scene.look.height)
    return (label(scene.ax, scene.look, 0.0, 1 + (2.7 if scene.narrow else 1.6) * em, fontweight="bold", **at),
            label(scene.ax, scene.look, 0.0, 1 + 0.3 * em, small=True, **at))


def _note(figure, look, box):
    """What is not to scale, said in the picture."""
    em_x, em_y = look.text / look.width, look.text / look.height
    figure.text(box[0] + 0.6 * em_x, box[1] + 0.5 * em_y, f"To scale; water drawn {FILM_FACTOR}\u202f× thicker", va="bottom",
                fontsize=look.points(look.small), color=look.muted)


def doing(now, units):
    """Grip or slide, in words."""
    if now.normal < 1:
        return "just touching" if now.time < 0.5 * now.whole else "just parting"
    if now.grips:
        return "gripping"
    way = "up" if now.slip >= 0 else "down"
    return f"sliding {way} the face, {units.say('speed', abs(now.slip), 1)}"


def _said(shot, now, units):
    wet = float(shot.between.water) > 0
    water = f"{units.say('thickness', now.film, 1)} of water is left between" if wet else "no water lies between"
    return (f"{first_up(shot.name)}, {now.time / 1e-6:.0f} of {now.whole / 1e-6:.0f} µs into the contact: the ball is "
            f"flattened by {units.say('size', now.compression, 1)}, the face pushes with "
            f"{now.normal / 1e3:.1f} kN and friction with {abs(now.friction) / 1e3:.2f} kN; it is {doing(now, units)}; "
            f"{water}; the ball turns at {units.say('spin', now.spin)}.")
