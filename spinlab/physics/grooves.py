"""Grooves: section, water held, and the published limits of the equipment rules."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..kernel import grooves as kernel
from ..records import Grooves, spoken
from ..units import deg, inch
from .rows import of_record

fitting_edge = of_record(kernel.fitting_edge)
sharp_width = of_record(kernel.sharp_width)
full_depth = of_record(kernel.full_depth)
area = of_record(kernel.area)
capacity = of_record(kernel.capacity)


def capacity_volume(grooves: Grooves, *, patch_radius):
    """Water the grooves hold under a round patch of contact [m³]."""
    return capacity(grooves) * np.pi * np.asarray(patch_radius) ** 2


def rectangle(**dimensions) -> Grooves:
    """Square-walled groove with sharp edges."""
    return Grooves(**{"draft_angle": 0.0, "edge_radius": 0.0} | dimensions)


def vee(*, width, depth, **dimensions) -> Grooves:
    """V groove whose sharp-edged walls meet exactly at the depth."""
    lean = np.arctan2(width / 2, depth)
    return Grooves(width=width, depth=depth, **{"draft_angle": lean, "edge_radius": 0.0} | dimensions)


@dataclass(frozen=True)
class Limit:
    """One line of the limits: the number entered [SI], the bound, and whether it lies within."""

    name: str
    value: float
    bound: float
    at_most: bool
    unit: str
    source: str

    @property
    def within(self) -> bool:
        # a part in a million: a groove typed in at the limit is at the limit, whatever the rounding of 0.035 in
        slack = 1e-6 * abs(self.bound)
        return bool(self.value <= self.bound + slack if self.at_most else self.value >= self.bound - slack)

    def __str__(self):
        word, sign = "within" if self.within else "outside", "≤" if self.at_most else "≥"
        return f"{self.name}: {spoken(self.value, self.unit)}, limit {sign} {spoken(self.bound, self.unit)} – {word}"


MOST_WIDTH = 0.035 * inch
MOST_DEPTH = 0.020 * inch
LEAST_LAND_IN_WIDTHS = 3.0
LEAST_LAND = 0.075 * inch
MOST_AREA_OVER_PITCH = 0.0030 * inch
LEAST_EDGE_RADIUS = 0.010 * inch
MOST_EDGE_RADIUS = 0.020 * inch
"""The limits of the Equipment Rules, Part 2 section 5 (S); the last three are for 25° of loft and
more."""

RULING = "by the numbers entered; only the governing bodies rule on a club"


@dataclass(frozen=True)
class Limits:
    """Every limit, and one sentence.  Values known only from memory are listed as `remarks` and never decide."""

    limits: tuple[Limit, ...]
    remarks: tuple[str, ...] = ()

    @property
    def within(self) -> bool:
        return all(limit.within for limit in self.limits)

    def __str__(self):
        over = [limit.name for limit in self.limits if not limit.within]
        told = "Within the limits" if not over else f"Outside the limits ({', '.join(over)})"
        return f"{told} {RULING}."


def limits(grooves: Grooves, *, loft=56 * deg, roughness=None) -> Limits:
    """Hold one groove against the equipment rules for irons and wedges of 25° or more, models since 1 January 2010.

    Source: Equipment Rules, Part 2 section 5 (width by the 30-degree method, depth, separation, area over pitch, edge
    radius) – seen.  The roughness figure (about 4.57 µm) is from memory and only remarked on.  Where several grooves are
    measured, a club fails if half or more exceed a limit, or any one is wider than 0.037 in or deeper than 0.022 in (seen);
    that is not worked out here.

    Raises
    ------
    ValueError
        the grooves are an array: ask one face at a time.
    """
    if grooves.shape:
        raise ValueError(f"limits() takes one face at a time, got grooves of shape {grooves.shape}; pick one: grooves[i]")
    source = "Equipment Rules, S"
    rows = [
        Limit("groove width", grooves.width, MOST_WIDTH, True, "mm", source),
        Limit("depth", grooves.depth, MOST_DEPTH, True, "mm", source),
        Limit("separation against three widths", grooves.separation, LEAST_LAND_IN_WIDTHS * grooves.width, False, "mm",
              source),
        Limit("separation", grooves.separation, LEAST_LAND, False, "mm", source),
    ]
    if loft >= 25 * deg:
        rows += [
            Limit("area over pitch", float(capacity(grooves)), MOST_AREA_OVER_PITCH, True, "mm", source),
            Limit("edge radius", grooves.edge_radius, LEAST_EDGE_RADIUS, False, "mm", source),
            Limit("edge radius", grooves.edge_radius, MOST_EDGE_RADIUS, True, "mm", source),
        ]
    remarks = []
    if roughness is not None and roughness > 4.57e-6:
        remarks.append(f"Roughness {spoken(roughness, 'µm')}: about 4.6 µm is remembered, unchecked; it decides nothing.")
    return Limits(tuple(rows), tuple(remarks))
