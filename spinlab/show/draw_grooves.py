"""Grooves: their section to scale with what lies in them, and how the film between thins in half a millisecond."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..physics.grooves import capacity, full_depth, sharp_width
from ..records import Between, Grooves
from ..units import inch
from .draw_scene import Filmed
from .shapes import bare, dress, keep_apart, label, pixels, place, shape

LIMIT = 0.0030 * inch
"""The most that groove area over pitch may be [m]: 0.0030 in²/in (Equipment Rules, Part 2 section 5; seen)."""
MOST = 4


@dataclass(frozen=True, kw_only=True)
class Section:
    """What `groove_section` shows: one face's grooves and what lies on and in them."""

    grooves: Grooves
    between: Between


def section_outline(grooves: Grooves, middles):
    """Outline (across, up) of a face's upper side with rounded groove edges; one groove at each of `middles` [m].

    The edge is an arc of the edge radius that touches land and wall.
    """
    g = grooves
    mouth, depth, lean, radius = (float(v) for v in (sharp_width(g), full_depth(g), g.draft_angle, g.edge_radius))
    wall = np.pi / 2 - lean
    floor = max(0.5 * mouth - depth * np.tan(lean), 0.0)
    # an edge cannot be rounder than the wall is deep
    reach = min(radius * np.tan(wall / 2), depth * 0.98 / max(np.sin(wall), 1e-9))
    radius = reach / max(np.tan(wall / 2), 1e-9)
    turn = np.linspace(0, wall, 12)
    arc = np.column_stack([-0.5 * mouth - reach + radius * np.sin(turn), -radius * (1 - np.cos(turn))])
    left = np.vstack([arc, [[-floor, -depth]]])
    one = np.vstack([left, (left * [-1, 1])[::-1]])
    return np.vstack([one + [m, 0.0] for m in middles])


def groove_section(look):
    """Section across grooves, true to scale, with water, soil and lands; below, water held against the limit (`Section`)."""
    figure = look.figure()
    low = (9.2 if look.upright else 6.6) * look.text / look.height
    scene = bare(place(figure, look, (0, low, 1, 1), left=0.8, right=0.8, top=2.2, bottom=0.5))
    wide = 5.8e-3 if look.upright else 9.5e-3
    high = wide * np.divide(*pixels(scene, look)[::-1])
    bottom = -0.55 * high
    scene.set(xlim=(-0.5 * wide, 0.5 * wide), ylim=(bottom, bottom + high))
    edge = {"linewidth": look.points(0.5 * look.line_width), "edgecolor": look.ink}
    water = shape(scene, facecolor=look.colour("water"), zorder=1)
    metal = shape(scene, facecolor=look.muted, zorder=2, **edge)
    soil = shape(scene, facecolor=look.colour("soil"), hatch="..", zorder=3, **edge)
    crumbs = [shape(scene, facecolor=look.colour("soil"), hatch="..", zorder=3, **edge) for _ in range(4)]
    land = label(scene, look, ha="center", va="top", small=True, color=look.paper, zorder=5)
    inside = label(scene, look, 0, 0.28e-3, ha="center", va="bottom", small=True, zorder=5)
    bars = _Bars(figure, look, low)
    figure.text(0.8 * look.text / look.width, 1 - 1.9 * look.text / look.height, "Grooves cut through, to scale",
                va="bottom", fontweight="bold")
    _ruler(scene, look, 0.5 * wide - 0.3e-3, bottom + 0.08 * high)

    def draw(result, units):
        g, b = result.grooves, result.between
        pitch = float(g.pitch)
        middles = pitch * np.arange(-np.ceil(wide / pitch), np.ceil(wide / pitch) + 1)
        walls = section_outline(g, middles)
        metal.set_xy(np.vstack([walls, [[walls[-1, 0], bottom - 1e-3], [walls[0, 0], bottom - 1e-3]]]))
        held = float(capacity(g)) * (1 - float(b.soil_in_grooves))
        film = float(b.water)
        water.set_visible(film > 0)
        water.set_xy(_water(walls, film, held, float(full_depth(g)), 1 - float(b.soil_in_grooves)))
        _soil(soil, crumbs, walls, b, g, middles)
        land.set(position=(0.5 * pitch, -0.12e-3), text=f"land {units.say('size', g.separation, 2)}")
        wide_deep = units.say("size", g.width, 2), units.say("size", g.depth, 2)
        inside.set_text("groove {} × {}".format(*wide_deep))
        bars.show(film, held, units)
        return _said(film, held, g, b, units)

    return figure, draw


def _ruler(ax, look, right, y):
    """A millimetre, for the eye."""
    ax.plot([right - 1e-3, right], [y, y], color=look.paper, lw=look.points(look.line_width), zorder=6)
    ax.text(right - 0.5e-3, y + 0.06e-3, "1 mm", color=look.paper, ha="center", va="bottom", zorder=6,
            fontsize=look.points(look.small))


class _Bars:
    """Two bars on one scale of water depth: what is there, and what the grooves can hold, the limit marked."""

    def __init__(self, figure, look, top):
        self.above = look.upright
        left = 0.8 if self.above else 13.5
        self.ax = place(figure, look, (0, 0, 1, top), left=left, right=1.8, top=0.2, bottom=3.0)
        self.ax.spines[["left"]].set_visible(False)
        look.axes(self.ax, x=(0, 160), y=(2.0, 0), grid="x")
        self.ax.set_yticks([])
        self.ax.set_xlabel("as an even film over the face [µm]", fontsize=look.points(look.small))
        edge = {"edgecolor": look.ink, "linewidth": look.points(0.4 * look.line_width)}
        self.bars = [shape(self.ax, facecolor=look.colour("water"), **edge),
                     shape(self.ax, facecolor=look.shade, hatch="//", **edge)]
        self.ax.axvline(LIMIT / 1e-6, ymin=0.0, ymax=0.5, color=look.ink, lw=look.points(0.7 * look.line_width))
        small = look.points(look.small)
        self.ax.text(LIMIT / 1e-6 + 2, 1.72 if self.above else 1.5, "limit 76", va="center", fontsize=small)
        row = self.ax.get_yaxis_transform()
        where = {"ha": "left" if self.above else "right", "va": "center", "transform": row}
        self.told = [label(self.ax, look, 0 if self.above else -0.015, y, small=True, **where)
                     for y in ((0.26, 1.26) if self.above else (0.5, 1.5))]

    def show(self, film, held, units):
        for i, (bar, value) in enumerate(zip(self.bars, (film, held))):
            end, top = min(value / 1e-6, 160), i + (0.52 if self.above else 0.18)
            bar.set_xy([(0, top), (end, top), (end, i + 0.88), (0, i + 0.88)])
        self.told[0].set_text(f"water now {units.say('thickness', film, 0)}")
        self.told[1].set_text(f"grooves hold {units.say('thickness', held, 0)}")


def _water(walls, film, held, depth, open_share):
    """Outline of the water: it fills the grooves first and then stands on the lands."""
    level = film - held
    if level < 0:
        level = -depth * open_share * (1 - np.sqrt(film / held))
    left, right = walls[0, 0], walls[-1, 0]
    return np.array([[left, -depth], [right, -depth], [right, level], [left, level]])


def _soil(soil, crumbs, walls, between, grooves, middles):
    """Soil closes the lower part of each groove and lies in strips on the lands."""
    closed, share = float(between.soil_in_grooves), float(between.soil_on_lands)
    soil.set_visible(closed > 0)
    if closed > 0:
        depth = float(full_depth(grooves))
        top = walls.copy()
        top[:, 1] = np.maximum(walls[:, 1], -depth * (1 - closed))
        soil.set_xy(np.vstack([walls, top[::-1]]))
    pitch, width = float(grooves.pitch), share * float(grooves.separation)
    for crumb, k in zip(crumbs, (-2, -1, 0, 1)):
        middle = (k + 0.5) * pitch
        crumb.set_visible(share > 0)
        top = 0.12e-3
        crumb.set_xy([(middle + a * width, y) for a, y in ((-0.5, 0), (0.5, 0), (0.45, top), (-0.45, top))])


def _said(film, held, grooves, between, units):
    wide, deep, land = (units.say("size", v, 2) for v in (grooves.width, grooves.depth, grooves.separation))
    hold, limit, there, over = (units.say("thickness", v) for v in (held, LIMIT, film, max(film - held, 0.0)))
    rest = "There is no water."
    if film > 0:
        rest = "All of it fits into the grooves." if film <= held else f"{over} stays on the lands."
    parts = [f"Grooves {wide} wide and {deep} deep, with lands of {land}, hold {hold} of water as an even film (limit "
             f"{limit}); {there} is on the face. {rest}"]
    if float(between.soil_in_grooves) > 0:
        parts.append(f" Soil closes {units.say('share', between.soil_in_grooves)} of the grooves.")
    if float(between.soil_on_lands) > 0:
        parts.append(f" Soil lies on {units.say('share', between.soil_on_lands)} of the lands.")
    return "".join(parts)


def film_against_time(look):
    """Film thickness through the contact for up to four strikes, on a scale of powers of ten (a sequence of `Filmed`)."""
    figure = look.figure()
    ax = place(figure, look, (0, 0, 1, 1), left=4.4, right=7.6, top=2.3, bottom=3.1)
    look.axes(ax, x=(0, 600), y=(0.3, 300), x_label="Time since they touched [µs]", y_label="Water between [µm]")
    ax.set_yscale("log")
    ax.set_yticks([1, 10, 100], ["1", "10", "100"])
    ax.minorticks_off()
    ax.set_xticks(range(0, 601, 200))
    ax.set_title("The film thins in half a millisecond", fontweight="bold")
    rough, = ax.plot([], [], color=look.muted, lw=look.points(0.6 * look.line_width))
    rough_told = label(ax, look, 590, 1, "roughness", small=True, quiet=True, ha="right", va="bottom")
    lines = [ax.plot([], [], **look.line(i))[0] for i in range(MOST)]
    beside = {"ha": "left", "va": "center", "transform": ax.get_yaxis_transform()}
    tags = [label(ax, look, 1.02, 0, small=True, **beside) for _ in range(MOST)]

    def draw(result, units):
        shots: tuple[Filmed, ...] = tuple(result)[:MOST]
        sigma = float(shots[0].face.roughness) / 1e-6
        rough.set_data([0, 600], [sigma] * 2)
        rough_told.set_y(1.06 * sigma)
        ends = []
        for i, (line, tag) in enumerate(zip(lines, tags)):
            line.set_visible(i < len(shots))
            tag.set_visible(i < len(shots))
            if i < len(shots):
                h = shots[i].history
                dress(line, look, shots[i].meaning)
                line.set_data(h.time / 1e-6, np.maximum(h.film, 1e-9) / 1e-6)
                ends.append(np.log10(max(h.film[-1] / 1e-6, 0.3)))
                tag.set_text(f"{shots[i].name}\n{units.say('thickness', h.film[-1], 1)} left")
        gap = 2.7 * look.small * 3.0 / pixels(ax, look)[1]
        for tag, y in zip(tags, keep_apart(ends, gap, np.log10(0.3) + 0.5 * gap, 2.3)):
            tag.set_y(10**y)
        left = "; ".join(f"{s.name}, {units.say('thickness', s.history.film[-1], 1)}" for s in shots)
        roughness = units.say("thickness", shots[0].face.roughness, 1)
        return (f"Water between ball and face as they part: {left}. The roughness is {roughness}: a film well above it "
                "carries the ball, a thinner one lets solids touch.")

    return figure, draw
