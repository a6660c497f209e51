"""Every named thing once: balls, faces, wetness, soil, ways of cleaning, lies, greens, swings,
wedges, example players.

Lessons, panels, pages, handouts, sayings, evidence and tests take them from here, so that one
name has one meaning and the same question has the same number everywhere.  The names of `PRESETS`
say where a thing comes from: ``published_…`` has a source that gives its numbers, ``tuned_…`` is
our judgement, made to agree with what is said beside it.

Marks: S seen in the source, Q quoted by a later text, M from memory, C computed, J our judgement.

>>> str(WETNESS["dew"]), BALLS["soft cover"].friction
('dew: 20 µm of water (10 µm to 30 µm)', 0.38)
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .records import Ball, Between, Delivery, Face, Green, spoken
from .units import deg, mm, mph, um


@dataclass(frozen=True, kw_only=True)
class Preset:
    """What stands behind a name: `preset` (``published_…`` or ``tuned_…``), the reason or source,
    its mark, and the record."""

    kind: str
    name: str
    preset: str
    source: str
    mark: str
    record: object


def _as_table(presets):
    return {preset.name: preset.record for preset in presets}


# -- balls ---------------------------------------------------------------------------------------

_IONOMER_AGAINST_URETHANE = (
    Ball.published_ionomer_cover().friction / Ball.published_urethane_cover().friction
)


def tuned_hard_cover(**changes) -> Ball:
    """The hard cover: the friction of the soft cover times 0.875, at every sliding speed.

    0.875 is ionomer over urethane, 0.35 / 0.40, of Proceedings 49(1):27 (2020, quoted), the one
    source that has both on one plate; the fall with the sliding speed is that of the soft cover
    (Gobush 1996, quoted).  The product, 0.3325 at 12.8 m/s, stands in no source: it is our
    judgement that the ratio of one plate holds on the other.  It stands because a clean, dry pitch
    then spins 3 % less than with the soft cover, as players see (a few per cent, common practice,
    no source), where Gobush's own hard cover (0.16 to 0.075) would spin two fifths less.  The
    conflict stays: see `Ball.published_hard_cover` and `Ball.published_ionomer_cover`.  Range
    0.16 – 0.35 at 12.8 m/s."""
    soft = Ball.published_soft_cover()
    share = _IONOMER_AGAINST_URETHANE
    friction = {"friction": share * soft.friction, "friction_fast": share * soft.friction_fast}
    return Ball(**friction | {"name": "hard cover"} | changes)


_BALLS = (
    Preset(
        kind="ball",
        name="soft cover",
        preset="published_soft_cover",
        mark="Q",
        source="Gobush 1996 in Penner, Rep. Prog. Phys. 66:131 (2003), at wedge shots' sliding speeds",
        record=Ball.published_soft_cover(),
    ),
    Preset(
        kind="ball",
        name="hard cover",
        preset="tuned_hard_cover",
        mark="J",
        source="soft cover times ionomer over urethane, Proceedings 49(1):27 (2020); sources conflict",
        record=tuned_hard_cover(),
    ),
)
BALLS = _as_table(_BALLS)
"""The two balls that lessons compare.

There were two soft covers, Gobush's and the urethane of 2020.  Gobush's stays: it was measured at
the sliding speeds of wedge shots, and at two of them.  A flat 0.35 for the hard cover beside it
would grip more than the soft cover in every fast strike, so the hard cover keeps the measured
ratio instead."""


# -- faces ---------------------------------------------------------------------------------------


def _face(name, **changes):
    fresh = Face()
    of_grooves = {key: changes.pop(key) for key in ("depth", "edge_radius") if key in changes}
    return fresh.but(name=name, grooves=fresh.grooves.but(**of_grooves), **changes)


_FACES = (
    Preset(
        kind="face",
        name="fresh",
        preset="tuned_fresh_face",
        mark="J",
        source="sizes within the Equipment Rules; roughness of face and ball 2 µm (1 – 5)",
        record=_face("fresh wedge"),
    ),
    Preset(
        kind="face",
        name="two seasons",
        preset="tuned_two_seasons_face",
        mark="J",
        source="half-way from fresh to worn",
        record=_face(
            "two-season wedge", depth=0.375 * mm, edge_radius=0.375 * mm, roughness=1.75 * um
        ),
    ),
    Preset(
        kind="face",
        name="worn",
        preset="tuned_worn_face",
        mark="J",
        source="a hundred rounds: shallower, rounder grooves, lands polished to 1.5 µm (1 – 2)",
        record=_face("worn wedge", depth=0.30 * mm, edge_radius=0.45 * mm, roughness=1.5 * um),
    ),
    Preset(
        kind="face",
        name="polished",
        preset="tuned_polished_face",
        mark="J",
        source="grooves of the fresh face, lands polished to 1 µm (0.5 – 1.5)",
        record=_face("polished wedge", roughness=1.0 * um),
    ),
    Preset(
        kind="face",
        name="milled",
        preset="tuned_milled_face",
        mark="J",
        source="grooves of the fresh face, lands milled to about the limit of roughness (memory)",
        record=_face("milled wedge", roughness=4.5 * um),
    ),
)
FACES = _as_table(_FACES)
"""Faces by name.  A worn *face* is polished as well as shallow; "worn grooves" alone means
`FACES["worn"].grooves` on lands that are still rough.  The two answer different questions, and
texts say which."""

WEAR = {name: FACES[name] for name in ("fresh", "two seasons", "worn")}
"""The faces that a player's bag can hold."""


# -- water ---------------------------------------------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class Wetness:
    """A kind of wet: the film we use and its range [m]."""

    name: str
    water: float
    low: float
    high: float

    def between(self, **changes) -> Between:
        """A clean face and ball, this wet; other fields by name:
        ``WETNESS["dew"].between(temperature=281)``."""
        return Between(**{"water": self.water} | changes)

    def __str__(self):
        span = f"{spoken(self.low, 'µm')} to {spoken(self.high, 'µm')}"
        return (
            f"{self.name}: {spoken(self.water, 'µm')} of water ({span})"
            if self.high
            else f"{self.name}: no water"
        )


def _wet(name, water, low, high, source, mark):
    record = Wetness(name=name, water=water * um, low=low * um, high=high * um)
    return Preset(
        kind="wetness", name=name, preset=f"tuned_{name}", source=source, mark=mark, record=record
    )


_WETNESS = (
    _wet("dry", 0, 0, 0, "by definition", "C"),
    _wet("damp", 1, 0.1, 5, "our judgement of a face that was wiped", "J"),
    _wet(
        "dew",
        20,
        10,
        30,
        "our judgement of what a face picks up; on the ground lie 140 ± 120 µm (Ritter 2019)",
        "J",
    ),
    _wet("poured", 30, 20, 45, "a few seconds after pouring; draining by Jeffreys (1930)", "C"),
    _wet("flooded", 150, 100, 300, "heavy rain or just poured; our judgement", "J"),
)
WETNESS = _as_table(_WETNESS)
"""Kinds of wet by name.  Films are means over face and ball together.

Damp was 1, 2 and 3 µm in different places.  It is 1 µm, about the middle of its range on a scale
of factors, and what a damp towel leaves; the range goes wherever the number goes, for spin
depends strongly on it.  Wet, where nothing else is said, is `poured`: it was 30 and 40 µm, and 30
is about the middle of what drains in a few seconds.  Flooded was 150 and 200 µm; the model hardly
sees a difference, and 150 is where the sliders end."""


def films_in_words(*names) -> str:
    """Ranges of films as a slider's legend: ``damp 0.1–5, dew 10–30``; all kinds if none is named.

    >>> films_in_words("damp", "dew")
    'damp 0.1–5, dew 10–30'
    """
    names = names or [name for name in WETNESS if name != "dry"]
    return ", ".join(
        f"{name} {WETNESS[name].low / um:g}–{WETNESS[name].high / um:g}" for name in names
    )


# -- cleaning and soil ---------------------------------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class Cleaning:
    """One way of cleaning: what shares of soil on lands, soil in grooves, grass and water it
    leaves, and the film [m] that the cleaning itself adds.

    `doubt` is the range of a factor on the soil and grass that it leaves (J).
    """

    name: str
    leaves_on_lands: float
    leaves_in_grooves: float
    leaves_grass: float
    leaves_water: float
    adds_water: float
    why: str
    doubt: tuple[float, float]

    def of(self, between: Between) -> Between:
        """What lies between face and ball afterwards: shares that stay are multiplied in; the
        damp of the cloth is a floor under what water is left."""
        return between.but(
            soil_on_lands=between.soil_on_lands * self.leaves_on_lands,
            soil_in_grooves=between.soil_in_grooves * self.leaves_in_grooves,
            grass=between.grass * self.leaves_grass,
            water=np.maximum(between.water * self.leaves_water, self.adds_water),
        )


_WAYS = (
    Cleaning(
        name="nothing",
        leaves_on_lands=1.0, leaves_in_grooves=1.0, leaves_grass=1.0, leaves_water=1.0,
        adds_water=0.0, doubt=(1.0, 1.0),
        why="the face stays as it was",
    ),
    Cleaning(
        name="tee",
        leaves_on_lands=1.0, leaves_in_grooves=0.1, leaves_grass=1.0, leaves_water=1.0,
        adds_water=0.0, doubt=(0.8, 1.0),
        why="a point clears the grooves, not the flats between them, which meet the ball",
    ),
    Cleaning(
        name="dry towel",
        leaves_on_lands=0.3, leaves_in_grooves=0.7, leaves_grass=0.1, leaves_water=0.05,
        adds_water=0.0, doubt=(0.5, 2.0),
        why="cloth smears dry soil on the flats and hardly reaches into the grooves",
    ),
    Cleaning(
        name="damp towel",
        leaves_on_lands=0.05, leaves_in_grooves=0.2, leaves_grass=0.0, leaves_water=0.05,
        adds_water=WETNESS["damp"].water, doubt=(0.0, 4.0),
        why="water loosens the soil and takes it away, and a breath of damp stays behind",
    ),
    Cleaning(
        name="damp towel, then dry",
        leaves_on_lands=0.05, leaves_in_grooves=0.2, leaves_grass=0.0, leaves_water=0.0,
        adds_water=0.0, doubt=(0.0, 4.0),
        why="as clean as the damp towel, and no water left",
    ),
)  # fmt: skip
_CLEANINGS = tuple(
    Preset(
        kind="cleaning",
        name=way.name,
        preset="tuned_" + way.name.replace(",", "").replace(" ", "_"),
        source="no measurement of cleaning a club face was found",
        mark="J",
        record=way,
    )
    for way in _WAYS
)
CLEANINGS = _as_table(_CLEANINGS)
"""Every way of cleaning by its name, all our judgement (J) of what common practice sees: a tee
clears grooves and nothing else, a damp towel clears both, a dry towel leaves soil on both."""


def _soil(name, on_lands, in_grooves, source):
    record = {"soil_on_lands": on_lands, "soil_in_grooves": in_grooves}
    return Preset(
        kind="soil",
        name=name,
        preset="tuned_" + name.replace(" ", "_"),
        source=source,
        mark="J",
        record=record,
    )


_AFTER_A_TEE = CLEANINGS["tee"].of(Between(soil_on_lands=0.2, soil_in_grooves=0.2))
_SOIL = (
    _soil("clean", 0.0, 0.0, "by definition"),
    _soil("dusty", 0.2, 0.2, "our judgement (lands 0.1 – 0.3)"),
    _soil(
        "after a tee",
        _AFTER_A_TEE.soil_on_lands,
        _AFTER_A_TEE.soil_in_grooves,
        "dusty, cleaned with a tee",
    ),
    _soil("soiled", 0.4, 0.6, "our judgement (lands 0.2 – 0.6)"),
    _soil("caked", 0.6, 0.8, "our judgement (lands 0.4 – 0.8)"),
    _soil("grooves full", 0.0, 1.0, "flats wiped, grooves closed, by soil or on purpose with wax"),
)
SOIL = _as_table(_SOIL)
"""Shares of the flats under soil and of the groove section that is closed, by name:
``Between(**SOIL["caked"])``.

Mud is `caked`; dirt and sand are `soiled`; blocked, filled or clogged grooves are `grooves full`.
"""


# -- lies and greens -----------------------------------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class Lie:
    """Share of the flats under grass [-], with its range."""

    name: str
    grass: float
    low: float
    high: float


def _lie(name, grass, low, high, source):
    record = Lie(name=name, grass=grass, low=low, high=high)
    return Preset(
        kind="lie",
        name=name,
        preset="tuned_" + name.replace(" ", "_"),
        source=source,
        mark="J",
        record=record,
    )


_LIES = (
    _lie("tight fairway", 0.0, 0.0, 0.0, "nothing between, by definition"),
    _lie(
        "first cut",
        0.77,
        0.6,
        0.9,
        "calibrated: light rough costs a dry pitch 40 % (common practice, no source)",
    ),
    _lie(
        "rough",
        1.0,
        0.9,
        1.0,
        "calibrated: 5 cm rough keeps 20 – 50 % of the spin (common practice, no source)",
    ),
)
LIES = _as_table(_LIES)
"""Lies by name.  Grass is a share of the flats with the friction of wet solids; nobody has
measured it.  The two shares are calibrated to two rows of what is seen in play, and those rows
are no check of the model."""

GREENS = {
    "soft": Green.tuned_soft(),
    "medium": Green.tuned_medium(),
    "firm": Green.tuned_firm(),
    "gripping": Green.tuned_gripping(),
}
"""Greens by name, after Haake's two kinds (1987 – 94, seen), sizes our judgement (J)."""
_GREENS = tuple(
    Preset(
        kind="green",
        name=name,
        preset=f"tuned_{name}",
        source="after Haake's two kinds of green; size our judgement",
        mark="J",
        record=green,
    )
    for name, green in GREENS.items()
)


# -- swings and wedges ---------------------------------------------------------------------------

LEAN = 11.5 * deg
"""How far the shaft leans forward in a pitch [rad]: it makes the 44.5° of `PITCH` out of a 56°
wedge (J)."""
PITCH = Delivery(head_speed=20.0, dynamic_loft=56 * deg - LEAN, attack_angle=-6 * deg)
"""The pitch of all lessons: dynamic loft in the mid-forties, some 45 mph (common practice, no
source)."""
_SWINGS = (
    Preset(
        kind="swing",
        name="pitch",
        preset="tuned_pitch",
        mark="J",
        record=PITCH,
        source="mid-forties of dynamic loft at about 45 mph (common practice, no source)",
    ),
)
SWINGS = _as_table(_SWINGS)
PITCH_DOUBT = {"head_speed": 3.0, "dynamic_loft": 3 * deg, "attack_angle": 2 * deg}
"""One standard deviation of a pitch that was not measured, about `PITCH` (J)."""

WEDGE_LOFTS = tuple(loft * deg for loft in range(46, 65, 2))
"""Club's lofts from 46° to 64° [rad]."""


# -- states of lessons ---------------------------------------------------------------------------

STATES = {
    "dry": WETNESS["dry"].between(),
    "damp": WETNESS["damp"].between(),
    "wet": WETNESS["poured"].between(),
    "dirty": Between(**SOIL["caked"]),
}
"""The four states of face and ball that lessons compare.  "Wet" is poured."""


# -- example players -----------------------------------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class Player:
    """An invented player: how a pitch of about fifty yards arrives, with what, in which state,
    and the wedges in the bag.

    `pitch_loft` is the club's loft of that pitch and `lean` the shaft's forward lean [rad];
    `fastest` is the fastest pitch swing [m/s]; `wedges` are (name, loft [rad]); `wear`, `ball`,
    `soil`, `wetness` and `lie` are names of the tables above."""

    name: str
    about: str
    head_speed: float
    fastest: float
    pitch_loft: float
    lean: float
    attack_angle: float
    normal_offset: float = 0.0
    wear: str
    ball: str
    soil: str
    wetness: str
    lie: str
    wedges: tuple[tuple[str, float], ...]

    @property
    def arriving(self) -> Delivery:
        """How the club arrives."""
        return Delivery(
            head_speed=self.head_speed,
            dynamic_loft=self.pitch_loft - self.lean,
            attack_angle=self.attack_angle,
            normal_offset=self.normal_offset,
        )

    @property
    def between(self) -> Between:
        """What lies between face and ball."""
        return Between(
            water=WETNESS[self.wetness].water, grass=LIES[self.lie].grass, **SOIL[self.soil]
        )


REFERENCE = Player(
    name="touring professional",
    about="a fresh, clean and dry wedge, a soft-covered ball, a tight fairway",
    head_speed=PITCH.head_speed,
    fastest=30.0,
    pitch_loft=56 * deg,
    lean=LEAN,
    attack_angle=PITCH.attack_angle,
    wear="fresh",
    ball="soft cover",
    soil="clean",
    wetness="dry",
    lie="tight fairway",
    wedges=(("pitching", 46 * deg), ("gap", 50 * deg), ("sand", 56 * deg), ("lob", 60 * deg)),
)
"""Whom the others are held against: the pitch of all lessons, clean and dry."""

PLAYERS = {
    player.name: player
    for player in (
        Player(
            name="ordinary player",
            about="a dry day, a worn wedge that nobody has cleaned, a hard distance ball",
            head_speed=43 * mph,
            fastest=26.0,
            pitch_loft=56 * deg,
            lean=8 * deg,
            attack_angle=-3 * deg,
            wear="worn",
            ball="hard cover",
            soil="caked",
            wetness="dry",
            lie="tight fairway",
            wedges=(("pitching", 46 * deg), ("sand", 56 * deg)),
        ),
        Player(
            name="keen club player",
            about="a two-season wedge cleaned with a tee, a soft-covered ball, a damp morning",
            head_speed=45 * mph,
            fastest=28.0,
            pitch_loft=58 * deg,
            lean=12 * deg,
            attack_angle=-5 * deg,
            wear="two seasons",
            ball="soft cover",
            soil="after a tee",
            wetness="damp",
            lie="tight fairway",
            wedges=(("pitching", 46 * deg), ("gap", 52 * deg), ("lob", 58 * deg)),
        ),
        Player(
            name="beginner",
            about="a caked face, any ball found, a damp first cut, a scooping strike",
            head_speed=43 * mph,
            fastest=22.0,
            pitch_loft=56 * deg,
            lean=4 * deg,
            attack_angle=0.0,
            normal_offset=-0.5 * mm,
            wear="worn",
            ball="hard cover",
            soil="caked",
            wetness="damp",
            lie="first cut",
            wedges=(("pitching", 46 * deg), ("sand", 56 * deg)),
        ),
    )
}
"""Three invented players by name.  Nobody here is real; speeds, lofts and states are our
judgement (J) of what is common.

There were two of each, one for the pitch and one for the bag, with different soil, water and
lean; now the bag is made from the same entry."""
_PLAYERS = tuple(
    Preset(
        kind="player",
        name=player.name,
        preset="tuned_" + player.name.replace(" ", "_"),
        source=player.about,
        mark="J",
        record=player,
    )
    for player in (REFERENCE, *PLAYERS.values())
)

PRESETS = (*_BALLS, *_FACES, *_WETNESS, *_CLEANINGS, *_SOIL, *_LIES, *_GREENS, *_SWINGS, *_PLAYERS)
"""Everything above with its honest name, source and mark."""
