"""Three invented players of different standard, and a touring professional to hold them against.

Nobody here is real.  Speeds, lofts and states are our judgement (J) of what is common, for one pitch of about fifty yards.
"""

from __future__ import annotations

from dataclasses import dataclass

from ..records import Ball, Between, Delivery, Face, Grooves
from ..units import deg, mm, mph, um
from .setting import Setting

FRESH = Face(name="fresh wedge")
WORN = Face(
    grooves=Grooves(width=0.8 * mm, depth=0.30 * mm, separation=2.7 * mm, edge_radius=0.45 * mm), roughness=1.5 * um,
    name="worn wedge",
)  # fmt: skip
"""Shallower grooves with rounder edges and a polished face: what a hundred rounds leave (J)."""


@dataclass(frozen=True, kw_only=True)
class Player:
    """A player's pitch: who (invented), and the `setting` as it usually is."""

    name: str
    about: str
    setting: Setting


def _pitch(speed, loft, attack, face, ball, between, offset=0.0):
    arriving = Delivery(head_speed=speed * mph, dynamic_loft=loft * deg, attack_angle=attack * deg,
                        normal_offset=offset * mm)
    return Setting(arriving=arriving, face=face, ball=ball, between=between)


REFERENCE = Player(
    name="touring professional",
    about="a fresh, clean and dry wedge, a soft-covered ball, a tight fairway",
    setting=_pitch(45, 44, -6, FRESH, Ball.published_urethane_cover(), Between()),
)

PLAYERS = {
    player.name: player
    for player in (
        Player(
            name="ordinary player",
            about="a dry day, a worn wedge that was last cleaned at home, a hard distance ball, some grass in between",
            setting=_pitch(43, 48, -3, WORN, Ball.published_ionomer_cover(),
                           Between(soil_on_lands=0.6, soil_in_grooves=0.7, grass=0.15)),
        ),
        Player(
            name="keen club player",
            about="a wedge two seasons old, cleaned with a tee, a soft-covered ball, dew on the ground",
            setting=_pitch(45, 46, -5, WORN.but(roughness=1.8 * um, name="two-season wedge"),
                           Ball.published_urethane_cover(),
                           Between(water=2 * um, soil_on_lands=0.25, soil_in_grooves=0.05)),
        ),
        Player(
            name="beginner",
            about="a face caked from the last shot, any ball found, grass in between, a scooping strike",
            setting=_pitch(43, 52, 0, WORN, Ball.published_ionomer_cover(),
                           Between(water=5 * um, soil_on_lands=0.6, soil_in_grooves=0.8, grass=0.25), offset=-0.5),
        ),
    )
}  # fmt: skip
"""By name.  Soil, grass and water in the amounts of `spinlab.physics.cleaning`."""
