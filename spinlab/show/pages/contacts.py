"""What the pages look up about the contact: launch and spin, their bands, and what each fault costs.

Every number comes from the engine (`spinlab.physics`), asked at the knots of a grid.  Spin and ball speed are kept for each
m/s of head speed, and launch as the angle below the face's loft: these bend less than spin and launch themselves.
"""

from __future__ import annotations

from functools import cache, lru_cache

import numpy as np

from ... import catalogue
from ...catalogue import BALLS, CLEANINGS, PITCH
from ...physics.bands import draws
from ...physics.contact import strike
from ...physics.grooves import capacity
from ...physics.players import REFERENCE
from ...physics.setting import Setting
from ...physics.shares import CAUSES, shapley
from ...records import Between, Delivery, Face
from ...units import deg, mm, um
from ..panels.common import COVERS, GROOVES, grooved
from .grid import WARPS, Axis, Table, filled, refined

ALLOWED = {"spin": ("share", 0.005), "below": ("by", 0.12 * deg), "fast": ("share", 0.004)}
"""How well a table is read in the middle of its gaps; half a page's promise or better."""
ROUGHER = {"spin": ("share", 0.009), "below": ("by", 0.2 * deg), "fast": ("share", 0.004)}
"""The same for a table of many axes, whose knots multiply; errors along several axes seldom meet."""
LEVEL, DRAWS = 0.9, 64
ATTACK = PITCH.attack_angle


def even(name, low, high, count, warp=""):
    """An axis with knots evenly along it."""
    there, back = WARPS[warp]
    return Axis(name, tuple(float(x) for x in back(np.linspace(there(low), there(high), count))), warp)


def loft(count, low=25, high=70):
    """Knots of dynamic loft, low and high in degrees."""
    return even("dynamic_loft", low * deg, high * deg, count)


def speed(count):
    """Knots of head speed."""
    return even("head_speed", 8.0, 40.0, count)


def water(count, most=150):
    """Knots of a film, the most in micrometres."""
    return even("water", 0.0, most * um, count, "film")


def by_choice(ask, **choices):
    """An engine that gets its choices as records: ``ask(cover=ball, …)`` for all places of one combination together."""
    def engine(**places):
        size = len(next(iter(places.values())))
        chosen = np.array([places[name] for name in choices], dtype=int).reshape(len(choices), size)
        found = {}
        for combination in np.unique(chosen, axis=1).T:
            here = (chosen == combination[:, None]).all(axis=0)
            given = {name: list(options.values())[k] for (name, options), k in zip(choices.items(), combination)}
            told = ask(**given, **{name: x[here] for name, x in places.items() if name not in choices})
            for name, values in told.items():
                if name not in found:
                    found[name] = np.empty((size, *np.shape(values)[1:]))
                found[name][here] = values
        return found

    return engine


def choice(name, options) -> Axis:
    """The axis of a choice."""
    return Axis(name, options=tuple(options))


def launched(launch, arriving, **more) -> dict:
    """What is kept of a launch, for each m/s of head speed."""
    return {"spin": launch.spin_rate / arriving.head_speed, "below": arriving.dynamic_loft - launch.launch_angle,
            "fast": launch.ball_speed / arriving.head_speed} | more


# -- dry and wet ------------------------------------------------------------------------------------------------------


def _wet_strike(dynamic_loft, head_speed, water, grooves, cover):
    face, closed = grooved(grooves)
    arriving = Delivery(head_speed=head_speed, dynamic_loft=dynamic_loft, attack_angle=ATTACK)
    launch = strike(arriving, face, cover, Between(water=water, soil_in_grooves=closed))
    return launched(launch, arriving, left=launch.contact.film_left, grip=launch.contact.grip_share)


@cache
def wet() -> Table:
    """Launch, film left and grip over loft, head speed, water, grooves and cover."""
    choices = {"grooves": GROOVES, "cover": COVERS}
    engine = by_choice(_wet_strike, **choices)
    axes = (loft(10), speed(5), water(12), *(choice(*item) for item in choices.items()))
    return filled(engine, refined(engine, axes, ALLOWED))


_ASKED = ("spin_rate", "launch_angle")


@lru_cache(maxsize=256)
def _dry_draws(dynamic_loft, head_speed, cover):
    arriving = Delivery(head_speed=head_speed, dynamic_loft=dynamic_loft, attack_angle=ATTACK)
    return draws(Setting(arriving=arriving, face=Face(), ball=cover), _ASKED, n=DRAWS)


def edges(rows, *, around=0.0):
    """Ends of the band of drawn rows [1 + draws, shots]; what the draws are held against is never outside."""
    low, high = np.quantile(rows[1:], [(1 - LEVEL) / 2, (1 + LEVEL) / 2], axis=0)
    return np.minimum(low, around), np.maximum(high, around)


def against_dry(arriving, face, cover, between) -> dict:
    """Bands of the ratio of spin (as shares of its middle) and of the rise of launch (around it), against the clean, dry
    swing with a fresh face; the same draws for both (see `spinlab.physics.bands.contrast`)."""
    wet = draws(Setting(arriving=arriving, face=face, ball=cover, between=between), _ASKED, n=DRAWS)
    swings = np.broadcast_arrays(arriving.dynamic_loft, arriving.head_speed)
    once, which = np.unique(np.stack(swings), axis=1, return_inverse=True)
    dry = [_dry_draws(loft, speed, cover) for loft, speed in once.T.tolist()]
    dry = {name: np.stack([one[name] for one in dry], axis=1)[:, which.ravel()] for name in _ASKED}
    ratio, rise = wet["spin_rate"] / dry["spin_rate"], wet["launch_angle"] - dry["launch_angle"]
    told = dict(zip(("ratio_low", "ratio_high"), edges(ratio / ratio[0], around=1.0)))
    return told | dict(zip(("rise_low", "rise_high"), edges(rise - rise[0])))


@cache
def wet_bands() -> Table:
    """How far ratio of spin and rise of launch could lie off, against the clean, dry swing."""
    def ask(dynamic_loft, head_speed, water, grooves, cover):
        face, closed = grooved(grooves)
        arriving = Delivery(head_speed=head_speed, dynamic_loft=dynamic_loft, attack_angle=ATTACK)
        return against_dry(arriving, face, cover, Between(water=water, soil_in_grooves=closed))

    choices = {"grooves": GROOVES, "cover": COVERS}
    return filled(by_choice(ask, **choices), (loft(10), speed(5), water(24), *(choice(*item) for item in choices.items())))


# -- grooves and cleaning ---------------------------------------------------------------------------------------------

FACES = {
    "fresh": catalogue.FACES["fresh"],
    "worn grooves, rough lands": Face(grooves=catalogue.FACES["worn"].grooves),
    "far apart": Face(grooves=Face().grooves.but(separation=6 * mm)),
    "none (plain face)": Face(grooves=None),
}
"""Faces of the page on grooves: those of lesson 01."""


def _dirty_strike(water, soil_on_lands, soil_in_grooves, face):
    found = Between(water=water, soil_on_lands=soil_on_lands, soil_in_grooves=soil_in_grooves)
    launch = strike(PITCH.but(head_speed=PITCH.head_speed + 0 * water), face, COVERS["soft cover"], found)
    return launched(launch, PITCH, left=launch.contact.film_left)


def _soil(count):
    return even("soil_on_lands", 0.0, 1.0, count), even("soil_in_grooves", 0.0, 1.0, count)


@cache
def dirty() -> Table:
    """The pitch of all lessons over what lies between: water, soil on lands and in grooves, kind of face."""
    engine = by_choice(_dirty_strike, face=FACES)
    return filled(engine, refined(engine, (water(9, 200), *_soil(5), choice("face", FACES)), ALLOWED))


@cache
def dirty_bands() -> Table:
    """How far the ratio of spin to the clean, dry pitch could lie off."""
    def ask(water, soil_on_lands, soil_in_grooves, face):
        found = Between(water=water, soil_on_lands=soil_on_lands, soil_in_grooves=soil_in_grooves)
        return against_dry(PITCH.but(head_speed=PITCH.head_speed + 0 * water), face, COVERS["soft cover"], found)

    return filled(by_choice(ask, face=FACES), (water(10, 200), *_soil(6), choice("face", FACES)))


def ways() -> list[dict]:
    """What each way of cleaning leaves, for the page to multiply in (see `spinlab.physics.cleaning.clean`)."""
    return [{"name": name, "why": way.why, "on_lands": way.leaves_on_lands, "in_grooves": way.leaves_in_grooves,
             "water": way.leaves_water, "adds": way.adds_water} for name, way in CLEANINGS.items()]


# -- loft against spin ------------------------------------------------------------------------------------------------

_STATES = {"water": lambda x: Between(water=x), "soil": lambda x: Between(soil_on_lands=x)}


@cache
def lofts(state: str) -> Table:
    """Launch over loft, head speed, cover and either water or soil on the lands."""
    def ask(dynamic_loft, head_speed, cover, **dirt):
        arriving = Delivery(head_speed=head_speed, dynamic_loft=dynamic_loft, attack_angle=ATTACK)
        return launched(strike(arriving, Face(), cover, _STATES[state](dirt[state])), arriving)

    engine = by_choice(ask, cover=COVERS)
    amount = water(12) if state == "water" else even("soil", 0.0, 1.0, 5)
    return filled(engine, refined(engine, (loft(10, 26, 64), speed(5), amount, choice("cover", COVERS)), ALLOWED))


@cache
def lofts_bands(state: str) -> Table:
    """How far spin could lie off, as a share of its middle."""
    def ask(dynamic_loft, head_speed, cover, **dirt):
        arriving = Delivery(head_speed=head_speed, dynamic_loft=dynamic_loft, attack_angle=ATTACK)
        setting = Setting(arriving=arriving, face=Face(), ball=cover, between=_STATES[state](dirt[state]))
        rows = draws(setting, ["spin_rate"], n=DRAWS)["spin_rate"]
        return dict(zip(("spin_low", "spin_high"), edges(rows / rows[0], around=1.0)))

    amount = water(12) if state == "water" else even("soil", 0.0, 1.0, 7)
    return filled(by_choice(ask, cover=COVERS), (loft(10, 26, 64), speed(4), amount, choice("cover", COVERS)))


# -- what to fix first ------------------------------------------------------------------------------------------------

WEAR = {name: catalogue.WEAR[name] for name in ("fresh", "worn")}
FIXES = ("soil", "water", "ball", "wear", "grass", "dynamic_loft")
"""Knobs of the page that are put right one by one: face, conditions, ball, wear, lie, and the loft delivered."""
_ARRIVING = REFERENCE.setting.arriving


def _faulty(soil, water, grass, dynamic_loft, ball, wear):
    arriving = _ARRIVING.but(dynamic_loft=dynamic_loft)
    return Setting(arriving=arriving, face=wear, ball=ball,
                   between=Between(water=water, grass=grass, soil_on_lands=soil, soil_in_grooves=soil))


def _faulty_strike(**places):
    s = _faulty(**places)
    return launched(strike(s.arriving, s.face, s.ball, s.between), s.arriving)


def put_right(values, axes, fixes, skip=0):
    """An array over the axes with some knobs at the reference's knot, kept as wide as it was."""
    for axis in [a for a in axes if a.name in fixes]:
        k = axes.index(axis) + skip
        best = 0 if axis.name != "dynamic_loft" else int(np.argmin(np.abs(np.array(axis.knots) - _ARRIVING.dynamic_loft)))
        values = np.broadcast_to(np.take(values, [best], axis=k), values.shape)
    return values


def _fault_axes(soil, film, grass, lofts):
    return (even("soil", 0.0, 0.8, soil), water(film, 100), even("grass", 0.0, 1.0, grass), loft(lofts, 34, 54),
            choice("ball", BALLS), choice("wear", WEAR))


@cache
def faults() -> Table:
    """Launch over every fault, and each fault's fair share (Shapley) of what separates this spin from the reference's."""
    engine = by_choice(_faulty_strike, ball=BALLS, wear=WEAR)
    whole = filled(engine, refined(engine, _fault_axes(4, 9, 4, 5), ROUGHER))
    spin = whole.answers["spin"]
    every = ([name for i, name in enumerate(FIXES) if mask >> i & 1] for mask in range(1 << len(FIXES)))
    sets = [put_right(spin, whole.axes, some) for some in every]
    shares = dict(zip((f"share_{name}" for name in FIXES), shapley(np.array(sets))))
    return Table(whole.axes, whole.answers | shares)


@cache
def faults_bands() -> Table:
    """How far the gain of each single fix could lie off, for each m/s of head speed, and the band of the spin itself."""
    axes = _fault_axes(4, 9, 4, 5)
    engine = by_choice(lambda **places: {"rows": draws(_faulty(**places), ["spin_rate"], n=DRAWS)["spin_rate"].T},
                       ball=BALLS, wear=WEAR)
    rows = np.moveaxis(filled(engine, axes).answers["rows"], -1, 0) / _ARRIVING.head_speed  # [1 + draws, *grid]
    told = {}
    for name in FIXES:
        gain = put_right(rows, axes, [name], skip=1) - rows
        told |= dict(zip((f"low_{name}", f"high_{name}"), edges(gain - gain[0])))
    return Table(axes, told)


def remedies() -> dict:
    """For each fix its name, what to do and its effort (see `spinlab.physics.shares.CAUSES`), and the best knobs."""
    field = {"soil": "between.soil_on_lands", "water": "between.water", "ball": "ball", "wear": "face.grooves",
             "grass": "between.grass", "dynamic_loft": "arriving.dynamic_loft"}
    causes = {name: next(c for c in CAUSES if path in c.fields) for name, path in field.items()}
    fixes = [{"knob": name, "name": c.name, "advice": c.advice, "effort": c.effort} for name, c in causes.items()]
    return {"fixes": fixes, "speed": _ARRIVING.head_speed, "best": dict.fromkeys(FIXES, 0)
            | {"dynamic_loft": _ARRIVING.dynamic_loft}}


def sections() -> list:
    """Sizes of each face's grooves [m], for drawing."""
    return [face.grooves and {"width": face.grooves.width, "depth": face.grooves.depth, "land": face.grooves.separation,
                              "holds": float(capacity(face.grooves))} for face in FACES.values()]
