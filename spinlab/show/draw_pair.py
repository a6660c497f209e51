"""The same swing twice: the clean, dry strike beside another state, with where each shot goes."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..records import Path
from .draw_contact import Trace, doing, headings_of
from .draw_scene import FILM_FACTOR, Filmed, Scene
from .shapes import first_up, keep_apart, pixels


@dataclass(frozen=True, kw_only=True)
class Pair:
    """Two filmed strikes and their flights, at a `moment` 0 … 1 of the contact."""

    shots: tuple[Filmed, Filmed]
    paths: tuple[Path, Path]
    moment: float = 0.4


def same_swing_twice(look):
    """Two strikes side by side with launch, spin and carry above; friction, slip and water over time below (`Pair`)."""
    figure = look.figure()
    upright = look.upright
    below = 0.56 if upright else 0.37
    scenes = [Scene(figure, look, (0.5 * i, below, 0.5 * (i + 1), 1), margins=(0.6, 0.4, 3.0, 0.1)) for i in range(2)]
    friction, slip, film = _charts(figure, look, below)
    headings = [headings_of(scene) for scene in scenes]
    tags = [slip.tag() for _ in scenes]
    low, high = slip.ax.get_ylim()
    gap = 1.15 * look.small * (high - low) / pixels(slip.ax, look)[1]  # a line of words, as slip [m/s]
    for scene in scenes:
        scene.pull_told.set_visible(not upright)
        scene.push_told.set_visible(not upright)

    def draw(result, units):
        times, ends, acts = [], [], []
        for i, (shot, path, scene) in enumerate(zip(result.shots, result.paths, scenes)):
            now, h = scene.show(shot, result.moment), shot.history
            headings[i][0].set_text(_short(shot, path, units, upright))
            does = doing(now, units)
            acts.append(f"{shot.name} {does}")
            headings[i][1].set_text(f"{first_up(shot.name)}: {does.split()[0] if upright else does}")
            friction.show(i, h.time, h.friction_force, shot.meaning)
            slip.show(i, h.time, h.slip, shot.meaning)
            wet = float(shot.between.water) > 0
            film.show(i, h.time, h.film if wet else np.full_like(h.time, np.nan), shot.meaning)
            times.append(now.time)
            ends.append(h.slip[-1])
        for chart in (friction, slip, film):
            chart.point(max(times))
        for tag, shot, y in zip(tags, result.shots, keep_apart(ends, gap, -9.0, 29.0)):
            tag.set_text(shot.name)
            tag.set_position((516, y - 2.5))
        return f"{_told(result, units)} {max(times) / 1e-6:.0f} µs after they touch: {'; '.join(acts)}."

    return figure, draw


def _charts(figure, look, below):
    """Friction, slip and water: side by side below the scenes, or one above the other where the picture is upright."""
    if look.upright:
        axis = 2.2 * look.text / look.height
        top = below - 0.015
        step = (top - axis) / 3
        boxes = [(0.0, top - (i + 1) * step - (axis if i == 2 else 0), 1.0, top - i * step) for i in range(3)]
    else:
        boxes = [(i / 3 + 0.008 * i, 0.0, (i + 1) / 3, below - 0.01) for i in range(3)]
    flat = not look.upright
    friction = Trace(figure, look, boxes[0], "Friction [kN]", y=(-0.9, 2.6), ticks=(0, 2), lines=2, unit=1e3, last=flat)
    slip = Trace(figure, look, boxes[1], "Slip [m/s]", y=(-10, 30), ticks=(0, 15), lines=2, last=flat)
    film = Trace(figure, look, boxes[2], f"Water [µm], drawn {FILM_FACTOR}\u202f×", y=(0.3, 300), ticks=(1, 100), lines=2,
                  log=True, last=True, unit=1e-6)
    return friction, slip, film


def _short(shot, path, units, narrow):
    """Launch, spin and carry, as short as a heading."""
    launch, spin = units.say("angle", shot.launch.launch_angle, 1), units.say("spin", shot.launch.spin_rate)
    return f"{launch}, {spin}" if narrow else f"{launch}, {spin}, {units.say('distance', path.carry)}"


def _told(result, units):
    """One sentence: both shots, and what changed between them."""
    (one, two), (a, b) = result.shots, result.paths

    def said(shot, path):
        launch, spin = units.say("angle", shot.launch.launch_angle, 1), units.say("spin", shot.launch.spin_rate)
        return f"launches at {launch} with {spin} and carries {units.say('distance', path.carry, 1)}"

    ratio = two.launch.spin_rate / one.launch.spin_rate if one.launch.spin_rate else float("nan")
    rise = units.say("angle", two.launch.launch_angle - one.launch.launch_angle, 1)
    gripped = "grips" if two.launch.contact.grip_share > 0.02 else "slides all through"
    return (f"{first_up(one.name)}, the ball {said(one, a)}; {two.name}, it {gripped}, {said(two, b)}: "
            f"{ratio:.2f} times the spin, launch {'+' if two.launch.launch_angle >= one.launch.launch_angle else ''}{rise}.")
