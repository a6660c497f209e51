"""The loft that was read against the loft that launch, spin and ball speed ask for."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..physics.central_strike import LOFT_OFFSET, loft_in_contact
from ..units import deg
from .shapes import dress_dots, first_up, label, place, shape

MOST = 4
_LOW, _HIGH = 30.0, 65.0
_AGREE = 1 * deg
"""Readings that differ by less are said to agree [rad] (our judgement: lofts are read to a degree)."""


@dataclass(frozen=True, kw_only=True)
class Reading:
    """Four numbers of one shot [SI], its name and what it stands for."""

    name: str
    meaning: str
    dynamic_loft: float
    launch_angle: float
    ball_speed: float
    spin_rate: float

    @property
    def asked(self) -> float:
        """The loft that launch, spin and ball speed ask for [rad]."""
        return float(loft_in_contact(self.launch_angle, self.ball_speed, self.spin_rate))


@dataclass(frozen=True, kw_only=True)
class Readings:
    """What `two_lofts` shows: up to four shots."""

    shots: tuple[Reading, ...]


def two_lofts(look):
    """Loft as read across, loft from launch, spin and speed upward; on the line the two agree (`Readings`)."""
    figure = look.figure()
    ax = place(figure, look, (0, 0, 1, 1), left=5.2, right=2.0, top=2.3, bottom=3.1)
    look.axes(ax, x=(_LOW, _HIGH), y=(_LOW, _HIGH))
    ax.set_title("One strike, two readings of its loft", fontweight="bold")
    ends = np.array([_LOW, _HIGH])
    offset = LOFT_OFFSET[1] / deg
    corners = [(_LOW, _LOW), (_HIGH, _HIGH), (_HIGH, _HIGH + offset), (_LOW, _LOW + offset)]
    shape(ax, corners, facecolor=look.muted, alpha=0.18, zorder=1)
    ax.plot(ends, ends, color=look.ink, lw=look.points(0.5 * look.line_width), zorder=2)
    ax.set_xlabel("Dynamic loft as read [°]")
    ax.set_ylabel("Loft that launch and spin ask for [°]")
    note = {"transform": ax.transAxes, "ha": "left", "va": "top", "small": True, "quiet": True}
    label(ax, look, 0.03, 0.97, "shaded: the offset that is usual", **note)
    dots = [ax.plot([], [], zorder=4, **look.dots(i, size=4.4 * look.line_width))[0] for i in range(MOST)]
    rows = {"transform": ax.transAxes, "ha": "left", "va": "center", "small": True}
    names = [label(ax, look, 0.62, 0.32 - 0.08 * i, **rows) for i in range(MOST)]
    signs = [ax.plot([], [], transform=ax.transAxes, **look.dots(i))[0] for i in range(MOST)]

    def draw(result, units):
        shots = result.shots[:MOST]
        for i in range(MOST):
            for artist in (dots[i], names[i], signs[i]):
                artist.set_visible(i < len(shots))
        for i, shot in enumerate(shots):
            dots[i].set_data([shot.dynamic_loft / deg], [shot.asked / deg])
            signs[i].set_data([0.585], [0.32 - 0.08 * i])
            for artist in (dots[i], signs[i]):
                dress_dots(artist, look, shot.meaning)
            names[i].set_text(shot.name)
        return " ".join(_said(shot) for shot in shots)

    return figure, draw


def _said(shot):
    gap = shot.asked - shot.dynamic_loft
    read = f"{first_up(shot.name)}: {shot.dynamic_loft / deg:.1f}° read, {shot.asked / deg:.1f}° asked for"
    if abs(gap) <= _AGREE:
        return f"{read}; they agree."
    if LOFT_OFFSET[0] <= gap <= LOFT_OFFSET[1]:
        return f"{read}; an offset that is usual, or a loft mis-read."
    return f"{read}; a number is mis-read, or the strike was off the middle."
