"""The place of contact drawn to scale: ball, face with grooves, film, soil, and the two forces on the ball.

Everything is worked out in the face's own frame – t up the face, n out of it [m] – and turned by the dynamic loft.  Only
the film is drawn thicker than it is, by `FILM_FACTOR`, and every picture says so.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..physics.contact import strike
from ..physics.grooves import full_depth, sharp_width
from ..records import Ball, Between, Delivery, Face, Launch
from .shapes import arrow, bare, label, place, shape, to_scale

FILM_FACTOR = 20
"""Water films are drawn this many times thicker than they are."""
_NEWTONS = 5.5e-6
"""Length of a force arrow [m/N]; half of it where the push is above 4.2 kN, a quarter above twice that."""
_BACK = 4.5e-3
_LOW, _HIGH = -15e-3, 25e-3


@dataclass(frozen=True, kw_only=True)
class Filmed:
    """One strike with its contact step by step, ready for slow motion; `meaning` is a key of `spinlab.show.style.SIGNS`."""

    name: str
    meaning: str
    arriving: Delivery
    face: Face
    ball: Ball
    between: Between
    launch: Launch

    @property
    def history(self):
        return self.launch.contact.history


def film_strike(arriving: Delivery, face: Face, ball: Ball, between: Between | None = None, *, name="strike", meaning="dry",
                **options) -> Filmed:
    """Strike once and keep the contact for slow motion; options go to `spinlab.physics.contact.strike`."""
    between = between or Between()
    launch = strike(arriving, face, ball, between, history=True, **options)
    return Filmed(name=name, meaning=meaning, arriving=arriving, face=face, ball=ball, between=between, launch=launch)


@dataclass(frozen=True)
class Instant:
    """A contact at one moment [SI]: `climbed` is how far the ball has moved up the face, `turned` how far it has turned."""

    time: float
    whole: float
    compression: float
    radius: float
    normal: float
    friction: float
    slip: float
    film: float
    spin: float
    grips: bool
    climbed: float
    turned: float


def instant(shot: Filmed, moment: float) -> Instant:
    """The contact at a moment, 0 as they touch … 1 as they part."""
    h = shot.history
    now = float(np.clip(moment, 0, 1)) * h.time[-1]
    step = np.diff(h.time)
    # the centre moves up the face as fast as the surface slips plus as fast as it rolls
    climbing = h.slip + h.spin_rate * shot.ball.radius
    climbed = np.r_[0, np.cumsum(0.5 * (climbing[1:] + climbing[:-1]) * step)]
    turned = np.r_[0, np.cumsum(0.5 * (h.spin_rate[1:] + h.spin_rate[:-1]) * step)]

    def at(values):
        return float(np.interp(now, h.time, values))

    normal, friction = at(h.normal_force), at(h.friction_force)
    # a part in fifty below the limit is grip; at the very ends nothing pushes and nothing can be said
    grips = abs(friction) < 0.98 * at(h.friction_limit) * normal
    return Instant(time=now, whole=float(h.time[-1]), compression=at(h.compression), radius=at(h.contact_radius),
                   normal=normal, friction=friction, slip=at(h.slip), film=at(h.film), spin=at(h.spin_rate), grips=grips,
                   climbed=at(climbed), turned=at(turned))


def pressed_ball(radius: float, compression: float):
    """Outline (t, n) of a ball pressed on a flat, the flat at n = 0.

    Outside the patch the surface sinks as Hertz's solution has it, ``u = x/π [(2 − ρ²) asin(1/ρ) + √(ρ² − 1)]`` with
    ρ = t/a (Johnson, Contact Mechanics 1985, eq. 3.42a, from memory); it fades out towards the ball's middle.
    """
    angle = np.linspace(-np.pi / 2, np.pi / 2, 121)
    t = radius * np.sin(angle)
    height = radius - compression
    below = height - radius * np.cos(angle)
    if compression > 0:
        rho = np.maximum(np.abs(t) / np.sqrt(radius * compression), 1.0)
        sunk = compression / np.pi * ((2 - rho**2) * np.arcsin(1 / rho) + np.sqrt(rho**2 - 1))
        below = np.maximum(below + sunk * (1 - (t / radius) ** 6), 0.0)
    upper = angle[::-1]
    return np.column_stack([np.r_[t, radius * np.sin(upper)], np.r_[below, height + radius * np.cos(upper)]])


def groove_walls(face: Face, low=_LOW, high=_HIGH):
    """Upper outline (t, n) of a face between two heights, grooves and all; sharp edges."""
    g = face.grooves
    if g is None or not np.all(np.asarray(g.width) * np.asarray(g.depth) > 0):
        return np.array([[low, 0.0], [high, 0.0]])
    mouth, depth = float(sharp_width(g)), float(full_depth(g))
    floor = max(mouth - 2 * depth * np.tan(g.draft_angle), 0.0)
    pitch = float(g.pitch)
    middles = pitch * (np.arange(np.ceil(low / pitch), np.floor(high / pitch) + 1) + 0.5)
    middles = middles[(middles - mouth > low) & (middles + mouth < high)]
    one = np.array([[-mouth / 2, 0], [-floor / 2, -depth], [floor / 2, -depth], [mouth / 2, 0]])
    walls = (np.array([[m, 0] for m in middles])[:, None, :] + one).reshape(-1, 2)
    return np.vstack([[[low, 0.0]], walls, [[high, 0.0]]])


def _turned(points, loft):
    """Face frame (t, n) → the picture: x to the target, z up."""
    t, n = np.asarray(points, dtype=float).T
    return np.column_stack([-t * np.sin(loft) + n * np.cos(loft), t * np.cos(loft) + n * np.sin(loft)])


class Scene:
    """The artists of one strike; `show` moves them to a moment."""

    def __init__(self, figure, look, box, *, margins=(0.6, 0.6, 2.4, 0.8), narrow=False):
        left, right, top, bottom = margins
        self.look, self.narrow = look, narrow
        self.ax = bare(place(figure, look, box, left=left, right=right, top=top, bottom=bottom))
        to_scale(self.ax, look, x=(-20e-3, 38e-3), y=(-15.5e-3, 37e-3))
        edge = {"linewidth": look.points(0.4 * look.line_width), "edgecolor": look.ink}
        water, soil = look.colour("water"), look.colour("soil")
        self.water = shape(self.ax, facecolor=water, zorder=1)
        self.head = shape(self.ax, facecolor=look.muted, zorder=2, **edge)
        self.soil = shape(self.ax, facecolor=soil, zorder=1.5, **(edge | {"hatch": "..."}))
        self.ball = shape(self.ax, facecolor=look.shade, zorder=3, clip_on=False, **edge)
        thin = look.points(0.55 * look.line_width)
        self.first, = self.ax.plot([], [], color=look.muted, ls=(0, (2, 2)), lw=thin, zorder=4,
                                   clip_on=False)
        self.stripe, = self.ax.plot([], [], color=look.ink, lw=2 * thin, zorder=4,
                                    clip_on=False, solid_capstyle="round")
        self.push = shape(self.ax, facecolor=look.ink, zorder=5)
        self.pull = shape(self.ax, zorder=6, **edge)
        self.push_told = label(self.ax, look, small=True, va="center", ha="left", zorder=7)
        self.pull_told = label(self.ax, look, small=True, va="center", ha="left", zorder=7)

    def show(self, shot: Filmed, moment: float) -> Instant:
        """Draw the strike at a moment; returns what was drawn."""
        now, loft = instant(shot, moment), float(shot.arriving.dynamic_loft)
        walls = groove_walls(shot.face)
        middle = now.climbed - 0.5 * instant(shot, 1.0).climbed
        lift = FILM_FACTOR * now.film
        back = [[_HIGH, -_BACK], [_LOW, -_BACK]]
        self.head.set_xy(_turned(np.vstack([walls, back]), loft))
        self._fill(shot, walls, loft)
        outline = pressed_ball(float(shot.ball.radius), now.compression) + [middle, lift]
        self.ball.set_xy(_turned(outline, loft))
        self._mark(shot, now, middle, lift, loft)
        self._forces(shot, now, middle, lift, loft)
        return now

    def _fill(self, shot, walls, loft):
        wet = float(shot.between.water) > 0
        closed = float(shot.between.soil_in_grooves)
        self.water.set_visible(wet)
        if wet:
            # never drawn so thick that it hides the ball
            film = min(FILM_FACTOR * float(shot.between.water), 4e-3)
            self.water.set_xy(_turned(np.vstack([walls, [[walls[-1, 0], film], [walls[0, 0], film]]]), loft))
        self.soil.set_visible(closed > 0 and len(walls) > 2)
        if closed > 0 and len(walls) > 2:
            top = walls.copy()
            top[:, 1] *= 1 - closed
            self.soil.set_xy(_turned(np.vstack([walls, top[::-1]]), loft))

    def _mark(self, shot, now, middle, lift, loft):
        """A stripe across the ball shows how far it has turned; dotted, where it began."""
        centre = _turned([[middle, shot.ball.radius - now.compression + lift]], loft)[0]
        radius = float(shot.ball.radius)
        for line, turned in ((self.first, 0.0), (self.stripe, now.turned)):
            along = _turned([[0, radius]], loft + turned)[0]
            line.set_data(*np.transpose([centre + 0.42 * along, centre + 0.96 * along]))

    def _forces(self, shot, now, middle, lift, loft):
        scale = _NEWTONS
        while np.max(shot.history.normal_force) * scale > 23e-3:
            scale /= 2
        root = np.array([middle, lift + 0.4e-3])
        tip_n, tip_f = root + [0, now.normal * scale], root + [-now.friction * scale, 0.0]
        wide, head = 1.5e-3, 4.2e-3
        self.push.set_xy(arrow(*_turned([root, tip_n], loft), width=wide, head=head))
        lean = np.array([0, 1.6e-3])
        self.pull.set_xy(arrow(*_turned([root + lean, tip_f + lean], loft), width=wide, head=head))
        self.pull.set_facecolor(self.look.colour(shot.meaning))
        # beside the arrow inside the ball, and outside of it at the face's lower end; lower still where words have two lines
        inside, outside = ([-5.5e-3, 9e-3], [-19e-3, 0.6e-3]) if self.narrow else ([-1.5e-3, 10e-3], [-16.5e-3, 2.2e-3])
        self.push_told.set_position(_turned([root + inside], loft)[0])
        self.pull_told.set_position(_turned([root + outside], loft)[0])
        gap = "\n" if self.narrow else " "
        self.push_told.set_text(f"push{gap}{now.normal / 1e3:.1f} kN")
        self.pull_told.set_text(f"friction{gap}{abs(now.friction) / 1e3:.2f} kN")
