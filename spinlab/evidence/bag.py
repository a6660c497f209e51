"""A player's wedges, ball and habits, kept in one small file of our own.

The file is plain JSON with a version, written whole or not at all.  Numbers stand in it with their unit in the name, so that
it can be read and mended by hand: ``"loft [°]": 56``.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path

from .. import catalogue
from ..catalogue import BALLS, GREENS, LIES, SOIL, WEAR, WETNESS
from ..files import write_atomically
from ..physics.lofts import Habit
from ..physics.setting import Setting
from ..records import Air, Between, Face, check
from ..units import deg

FORMAT, VERSION = "spinlab bag", 1

_OLD_WATERS = {"wiped": "damp", "just poured": "poured", "rain": "flooded"}
"""What kinds of wet were called in files of earlier versions."""


def _one_of(what, name, table):
    if name not in table:
        raise ValueError(f"{what} {name!r} is not known; use one of: {', '.join(table)}")
    return name


@dataclass(frozen=True, kw_only=True)
class Wedge:
    """One wedge: its `name`, `loft` [rad] and `wear` (a name out of `WEAR`)."""

    name: str
    loft: float
    wear: str = "fresh"

    def __post_init__(self):
        check("loft", self.loft, what=f"loft of {self.name}", unit="°", low=40 * deg, high=70 * deg,
              cure="give degrees times deg")
        _one_of("wear", self.wear, WEAR)

    @property
    def face(self) -> Face:
        """The face with this loft and wear."""
        return WEAR[self.wear].but(loft=self.loft, name=self.name)


@dataclass(frozen=True, kw_only=True)
class Bag:
    """A player's bag.  `head_speed` [m/s] is the fastest pitch swing; `soil` and `water` say how face and ball usually are
    when the ball is struck (names out of `SOIL` and `WETNESS`); `lean` and `attack_angle` [rad] are the player's habit."""

    player: str
    wedges: tuple[Wedge, ...]
    ball: str = "soft cover"
    head_speed: float = 28.0
    lean: float = catalogue.LEAN
    attack_angle: float = catalogue.PITCH.attack_angle
    soil: str = "dusty"
    water: str = "dry"
    green: str = "medium"

    def __post_init__(self):
        if not self.wedges:
            raise ValueError("a bag needs one wedge at least")
        object.__setattr__(self, "wedges", tuple(sorted(self.wedges, key=lambda w: w.loft)))
        names = [w.name for w in self.wedges]
        if len(set(names)) < len(names):
            raise ValueError(f"wedges need different names, got {', '.join(names)}")
        check("head_speed", self.head_speed, what="fastest pitch swing", unit="m/s", low=5.0, high=60.0)
        for what, table in (("ball", BALLS), ("soil", SOIL), ("water", WETNESS), ("green", GREENS)):
            _one_of(what, getattr(self, what), table)

    @property
    def habit(self) -> Habit:
        """How any club is delivered."""
        return Habit(lean=self.lean, attack_angle=self.attack_angle)

    @property
    def usual(self) -> Between:
        """What usually lies between face and ball."""
        return WETNESS[self.water].between(**SOIL[self.soil])

    def setting(self, wedge: Wedge, head_speed, *, lie="tight fairway", green=None, between=None) -> Setting:
        """A shot with one of the wedges; head speeds may be an array."""
        between = self.usual if between is None else between
        grass = max(LIES[_one_of("lie", lie, LIES)].grass, float(between.grass))
        green = GREENS[_one_of("green", green or self.green, GREENS)]
        return Setting(arriving=self.habit.deliver(wedge.loft, head_speed), face=wedge.face, ball=BALLS[self.ball],
                       between=between.but(grass=grass), air=Air(), green=green)


EXAMPLE = Bag(
    player="invented player", ball="hard cover", soil="dusty", water="damp",
    wedges=(Wedge(name="pitching", loft=46 * deg, wear="worn"), Wedge(name="gap", loft=52 * deg, wear="two seasons"),
            Wedge(name="sand", loft=56 * deg, wear="two seasons")),
)  # fmt: skip
"""An invented bag to start from."""


def _bag_of(player: catalogue.Player) -> Bag:
    return Bag(
        player=player.name,
        ball=player.ball,
        soil=player.soil,
        water=player.wetness,
        head_speed=player.fastest,
        lean=player.lean,
        attack_angle=player.attack_angle,
        wedges=tuple(
            Wedge(name=name, loft=loft, wear=player.wear) for name, loft in player.wedges
        ),
    )


BAGS = {name: _bag_of(player) for name, player in catalogue.PLAYERS.items()}
"""The bags of the invented players, by name."""

_NUMBERS = {"head_speed": ("fastest pitch swing [m/s]", 1.0), "lean": ("lean [°]", deg),
            "attack_angle": ("attack angle [°]", deg)}
_WORDS = ("player", "ball", "soil", "water", "green")


def save(bag: Bag, path) -> Path:
    """Keep a bag in a file; an old file of that name is replaced as a whole."""
    told = {"format": FORMAT, "version": VERSION} | {name: getattr(bag, name) for name in _WORDS}
    told |= {label: round(getattr(bag, name) / scale, 6) for name, (label, scale) in _NUMBERS.items()}
    told["wedges"] = [{"name": w.name, "loft [°]": round(w.loft / deg, 6), "wear": w.wear} for w in bag.wedges]
    return write_atomically(path, (json.dumps(told, indent=2, ensure_ascii=False) + "\n").encode())


def load(path) -> Bag:
    """Open a kept bag.

    Raises
    ------
    ValueError
        the file is not a bag, is of a newer version, or holds something that does not belong there.
    """
    path = Path(path)
    try:
        told = json.loads(path.read_text(encoding="utf-8-sig"))
    except (UnicodeDecodeError, json.JSONDecodeError) as problem:
        told = f"{path.name} is not a bag that can be read ({problem}); save it again, or start a new one"
        raise ValueError(told) from None
    if not isinstance(told, dict) or told.pop("format", None) != FORMAT:
        raise ValueError(f'{path.name} is not a bag: it lacks "format": "{FORMAT}"')
    version = told.pop("version", None)
    if version != VERSION:
        raise ValueError(f"{path.name} is a bag of version {version}; this program reads version {VERSION}")
    try:
        rows = told.pop("wedges")
        wedges = tuple(Wedge(name=str(w["name"]), loft=w["loft [°]"] * deg, wear=w.get("wear", "fresh")) for w in rows)
        known = {name: told.pop(label) * scale for name, (label, scale) in _NUMBERS.items() if label in told}
    except (KeyError, TypeError, AttributeError) as problem:
        raise ValueError(f"{path.name}: a number or a name is missing or of the wrong kind ({problem})") from None
    known |= {name: told.pop(name) for name in _WORDS if name in told}
    known["water"] = _OLD_WATERS.get(known.get("water"), known.get("water", "dry"))
    if told:
        raise ValueError(f"{path.name} holds what does not belong in a bag: {', '.join(told)}")
    return Bag(wedges=wedges, **known)
