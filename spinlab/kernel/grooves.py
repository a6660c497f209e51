"""Grooves as channels: their section and the water they hold.  Plane geometry; no source needed."""

from __future__ import annotations

import math

from .compiled import kernel
from .nouns import Grooves


@kernel
def width_lost_to_edge(wall):
    """Half of what rounded edges take off the width, over their radius, `wall` from land to wall
    [rad]: ``tan(β/2) − sin 30°``.

    The width of the rules is read between the points where the edge has turned by 30°.  A wall that
    leans so far that the edge never turns by 30° has its width where the arc ends.
    """
    return math.tan(wall / 2.0) - math.sin(min(wall, math.pi / 6.0))


@kernel
def fitting_edge(grooves: Grooves):
    """Radius of the edges [m]: the one asked for, or the largest whose arc fits into the groove."""
    wall = math.pi / 2.0 - grooves.draft_angle
    sunk = 1.0 - math.cos(wall)
    across = 2.0 * (width_lost_to_edge(wall) + math.tan(grooves.draft_angle) * sunk)
    return min(grooves.edge_radius, grooves.depth / sunk, grooves.width / max(across, 1e-9))


@kernel
def sharp_width(grooves: Grooves):
    """Width of the mouth if its edges were sharp [m]."""
    wall = math.pi / 2.0 - grooves.draft_angle
    return max(grooves.width - 2.0 * fitting_edge(grooves) * width_lost_to_edge(wall), 0.0)


@kernel
def full_depth(grooves: Grooves):
    """Depth of the groove [m]: the depth asked for, or where leaning walls meet in a V."""
    slope = math.tan(max(grooves.draft_angle, 1e-9))
    return min(grooves.depth, sharp_width(grooves) / (2.0 * slope))


@kernel
def area(grooves: Grooves):
    """Cross-section of the groove A below the plane of the lands [m²].

    A trapezoid ``W₀ d − d² tan δ`` with sharp mouth W₀, depth d and wall lean δ, plus the two
    sickles ``r² (tan(β/2) − β/2)`` that the rounded edges open.
    """
    depth = full_depth(grooves)
    wall = math.pi / 2.0 - grooves.draft_angle
    edge = fitting_edge(grooves)
    sickles = 2.0 * edge * edge * (math.tan(wall / 2.0) - wall / 2.0)
    return sharp_width(grooves) * depth - depth * depth * math.tan(grooves.draft_angle) + sickles


@kernel
def capacity(grooves: Grooves):
    """Water the full grooves hold, as an even film over the whole face [m]: A/P, P the pitch."""
    return area(grooves) / (grooves.width + grooves.separation)
