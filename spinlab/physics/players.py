"""The example players of the catalogue as settings for the engine."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from .. import catalogue
from .setting import Setting
from .shares import Shares, shares


@dataclass(frozen=True, kw_only=True)
class Player:
    """A player's pitch: who (invented), and the `setting` as it usually is."""

    name: str
    about: str
    setting: Setting


def _pitch_of(player: catalogue.Player) -> Player:
    setting = Setting(
        arriving=player.arriving,
        face=catalogue.FACES[player.wear],
        ball=catalogue.BALLS[player.ball],
        between=player.between,
    )
    return Player(name=player.name, about=player.about, setting=setting)


REFERENCE = _pitch_of(catalogue.REFERENCE)
PLAYERS = {name: _pitch_of(player) for name, player in catalogue.PLAYERS.items()}
"""By name; see `spinlab.catalogue.PLAYERS`."""


@lru_cache(maxsize=16)
def split(player: Setting, of="spin_rate") -> Shares:
    """The shares of a player's difference to the well-kept reference, kept for the next time it is asked for."""
    return shares(player, REFERENCE.setting, of=of)
