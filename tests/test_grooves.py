"""Grooves: section, water held and the equipment limits."""

import numpy as np
import pytest

from spinlab.physics import grooves as g
from spinlab.records import Grooves
from spinlab.units import deg, inch, mm, uL, um

WIDTH, DEPTH = 0.889 * mm, 0.508 * mm


def test_limit_as_water_depth():
    """0.0030 in²/in (Equipment Rules, S) is 76.2 µm of water; over a 10 mm patch 23.94 µL (C)."""
    assert 0.0030 * inch / um == pytest.approx(76.2, abs=1e-9)
    at_limit = g.rectangle(width=WIDTH, depth=DEPTH, separation=WIDTH * DEPTH / (0.0030 * inch) - WIDTH)
    assert g.capacity(at_limit) / um == pytest.approx(76.2, abs=1e-9)
    assert g.capacity_volume(at_limit, patch_radius=10 * mm) / uL == pytest.approx(23.94, abs=0.005)


def test_full_vee_and_full_rectangle():
    """0.889 × 0.508 mm at a pitch of 3.556 mm: V 63.5 µm, rectangle 127 µm (C)."""
    land = 3.556 * mm - WIDTH
    assert g.capacity(g.vee(width=WIDTH, depth=DEPTH, separation=land)) / um == pytest.approx(63.5, abs=1e-6)
    assert g.capacity(g.rectangle(width=WIDTH, depth=DEPTH, separation=land)) / um == pytest.approx(127.0, abs=1e-6)


def test_consequences_of_the_rules():
    """A 0.035 × 0.020 in rectangle needs a pitch of 0.2333 in, S = 5.67 W; at 0.140 in A/P 0.0050, a V 0.0025 in (C)."""
    w, d = 0.035 * inch, 0.020 * inch
    assert w * d / (0.0030 * inch) / inch == pytest.approx(0.2333, abs=1e-4)
    assert pytest.approx(5.67, abs=0.005) == (0.7 / 3 - 0.035) / 0.035
    land = 0.105 * inch
    rectangle, vee = g.rectangle(width=w, depth=d, separation=land), g.vee(width=w, depth=d, separation=land)
    assert g.capacity(rectangle) / inch == pytest.approx(0.0050, abs=1e-6)
    assert g.capacity(vee) / inch == pytest.approx(0.0025, abs=1e-6)
    rounded = {"edge_radius": 0.011 * inch}
    assert "area over pitch" in [row.name for row in g.limits(rectangle.but(**rounded)).limits if not row.within]
    assert "area over pitch" not in [row.name for row in g.limits(vee).limits if not row.within]


def _area_by_painting(grooves, points=20001):
    """The section under the lands by drawing it: wall, edge arc and floor, and numerical integration over the depth."""
    r, lean = grooves.edge_radius, grooves.draft_angle
    wall = np.pi / 2 - lean
    sharp = grooves.width - 2 * r * (np.tan(wall / 2) - 0.5)
    deepest = min(grooves.depth, sharp / 2 / np.tan(lean)) if lean > 0 else grooves.depth
    depth = np.linspace(0, deepest, points)
    half = sharp / 2 - depth * np.tan(lean)
    # the arc: centre r below the land and r tan(wall/2) outside the sharp corner
    centre = sharp / 2 + r * np.tan(wall / 2)
    on_arc = depth <= r * (1 - np.cos(wall))
    arc = centre - np.sqrt(np.maximum(r**2 - (r - depth) ** 2, 0.0))
    half = np.where(on_arc, arc, half)
    return 2 * np.trapezoid(half, depth)


@pytest.mark.parametrize("lean", [0.0, 5.0, 15.0, 30.0, 45.0])
@pytest.mark.parametrize("edge", [0.0, 0.1, 0.25])
def test_area_by_painting(lean, edge):
    """Section of a rounded trapezoid against numerical integration of its outline (plane geometry)."""
    groove = Grooves(width=0.8 * mm, depth=0.45 * mm, separation=2.7 * mm, draft_angle=lean * deg, edge_radius=edge * mm)
    assert g.area(groove) == pytest.approx(_area_by_painting(groove), rel=2e-3)


def test_thirty_degree_width():
    """Where a rounded edge has turned by 30° the half mouth is half the width: the rule's reading (S)."""
    for lean in (0.0, 15 * deg, 40 * deg):
        groove = Grooves(width=0.8 * mm, depth=0.45 * mm, separation=2.7 * mm, draft_angle=lean, edge_radius=0.25 * mm)
        wall = np.pi / 2 - lean
        centre = g.sharp_width(groove) / 2 + groove.edge_radius * np.tan(wall / 2)
        assert 2 * (centre - groove.edge_radius * np.sin(30 * deg)) == pytest.approx(groove.width, rel=1e-9)


def test_area_never_jumps_or_turns_negative():
    """Each dimension swept over its whole allowed range: no jump, never below nought."""
    base = {"width": 0.8 * mm, "depth": 0.45 * mm, "separation": 2.7 * mm, "draft_angle": 15 * deg, "edge_radius": 0.25 * mm}
    ranges = {"width": 3e-3, "depth": 2e-3, "draft_angle": 80 * deg, "edge_radius": 2e-3}
    for name, high in ranges.items():
        for points, worst in ((2001, 0.02), (20001, 0.002)):  # ten times finer, ten times smaller steps: it is continuous
            area = g.area(Grooves(**base | {name: np.linspace(0, high, points)}))
            assert area.min() >= 0, name
            assert np.abs(np.diff(area)).max() < worst * area.max(), name


def _row(name, **changes):
    base = {"width": 0.8 * mm, "depth": 0.45 * mm, "separation": 2.7 * mm, "draft_angle": 40 * deg, "edge_radius": 0.3 * mm}
    rows = [row for row in g.limits(Grooves(**base | changes)).limits if row.name == name]
    return all(row.within for row in rows)


@pytest.mark.parametrize("name, inside, outside", [
    ("groove width", {"width": 0.035 * inch}, {"width": 0.0351 * inch}),
    ("depth", {"depth": 0.020 * inch}, {"depth": 0.0201 * inch}),
    ("separation", {"separation": 0.075 * inch, "width": 0.5 * mm}, {"separation": 0.0749 * inch, "width": 0.5 * mm}),
    ("separation against three widths", {"width": 0.8 * mm, "separation": 2.4 * mm},
     {"width": 0.8 * mm, "separation": 2.39 * mm}),
    ("edge radius", {"edge_radius": 0.010 * inch}, {"edge_radius": 0.0099 * inch}),
    ("edge radius", {"edge_radius": 0.020 * inch}, {"edge_radius": 0.0201 * inch}),
])
def test_each_limit_on_its_border(name, inside, outside):
    """Equipment Rules for irons of 25° or more, models since 1 January 2010, S."""
    assert _row(name, **inside)
    assert not _row(name, **outside)


def test_wording_and_memory_is_never_a_verdict():
    groove = Grooves(width=0.7 * mm, depth=0.4 * mm, separation=3.2 * mm, draft_angle=30 * deg, edge_radius=0.3 * mm)
    told = g.limits(groove, roughness=12e-6)
    assert told.within and told.remarks  # a rough face is remarked on and decides nothing
    assert "only the governing bodies rule on a club" in str(told) and str(told).startswith("Within")
    assert str(g.limits(groove.but(width=1.0 * mm))).startswith("Outside")


def test_low_lofts_have_no_area_or_edge_limit():
    """Area and edge radius bind from 25° of loft (Equipment Rules, S)."""
    names = {row.name for row in g.limits(g.rectangle(width=WIDTH, depth=DEPTH, separation=2.7 * mm), loft=20 * deg).limits}
    assert "area over pitch" not in names and "edge radius" not in names


def test_many_faces_at_once_are_refused_with_the_cure():
    with pytest.raises(ValueError, match=r"one face at a time.*shape \(3,\)"):
        g.limits(Grooves(width=np.full(3, 0.8 * mm), depth=0.4 * mm, separation=2.7 * mm))
