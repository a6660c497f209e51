"""Everything that can be taken away as a picture, by name: what it shows is worked out when it is asked for."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from ..catalogue import BALLS, CLEANINGS, FACES, GREENS, LIES, PITCH, SOIL, STATES, WEDGE_LOFTS, WETNESS
from ..physics.bands import band
from ..physics.cleaning import clean
from ..physics.contact import strike
from ..physics.flight import fly
from ..physics.green import land
from ..physics.lofts import compare_lofts
from ..physics.players import PLAYERS, split
from ..physics.shot import Shot, play
from ..physics.stopping import stops, two_shots
from ..records import Between, Delivery, Face
from ..units import deg, rpm
from . import figures
from .draw_pair import Pair, same_swing_twice

SOURCES = {
    "contact": "Contact: Hertz with loss (Hunt and Crossley 1975), friction of the cover after Gobush 1996 [Q]; the water "
               "film is our closure of Reynolds 1886 [J].",
    "flight": "Flight: Smits and Smith 1994 [M], drag ±12 %, lift ±15 % (Lyu and others 2018 [S]).",
    "green": "Green: after Penner 2002 [M] and Haake 1987, 1989; run-out within ±50 % [J].",
    "lands": "Soil, cleaning and amounts of water: our judgement [J].",
    "shots": "Invented demonstration shots; ranges at 95 % (Welch 1947).",
}
"""What a picture rests on, with the mark of each source: S seen, Q quoted by a later text, M from memory, C computed, J our
judgement."""

@dataclass(frozen=True, kw_only=True)
class Exhibit:
    """A picture to take away: its `name` (also that of its files), the `lesson` it belongs to, `title`, builder, what makes
    its result, the sentence on how sure it is (`band`, may be empty), and its `source`."""

    name: str
    lesson: str
    title: str
    build: Callable
    make: Callable
    source: str
    how_sure: Callable = str

    @property
    def band(self) -> str:
        """How sure it is, in a sentence; empty where the picture itself shows it."""
        return self.how_sure()


def plain_name(words: str) -> str:
    """Words as the name of a file: ``wet, grooves closed`` → ``wet-grooves-closed``."""
    return re.sub(r"[^a-z0-9]+", "-", words.casefold()).strip("-")


# -- what the pictures show -------------------------------------------------------------------------------------------

SOFT = BALLS["soft cover"]
WET = STATES["wet"]
WEDGES = np.array(WEDGE_LOFTS)
"""Club's lofts [rad] of the pictures."""


def sure(arriving: Delivery = PITCH, between: Between | None = None) -> str:
    """The band of the spin of one pitch, in a sentence."""
    between = between or Between()
    found = band(arriving, Face(), SOFT, between).say()
    return ("Wet: " if between.water > 0 else "Dry: ") + found[:1].lower() + found[1:]


@lru_cache(maxsize=8)
def filmed(name: str) -> figures.Filmed:
    """One strike of the example pitch, step by step: dry, wet, or wet with closed grooves."""
    meaning, between = {"dry": ("dry", Between()), "wet": ("wet", WET),
                        "grooves closed": ("blocked", WET.but(soil_in_grooves=1.0))}[name]
    return figures.film_strike(PITCH, Face(), SOFT, between, name=name, meaning=meaning)


def flown(name: str) -> figures.Flown:
    """One flight of the example pitch with its landing."""
    shot = filmed(name)
    played = play(PITCH, shot.face, shot.ball, shot.between, points=80, trace=120)
    return figures.Flown(name=name, meaning=shot.meaning, shot=played)


def slow(*names) -> figures.SlowMotion:
    """The contact in slow motion."""
    return figures.SlowMotion(shots=tuple(filmed(name) for name in names), moment=0.45)


def pair(name: str) -> Pair:
    """The clean, dry swing beside the same one in another state, which is wet."""
    shots = (filmed("dry"), replace(filmed(name), name="wet"))
    return Pair(shots=shots, paths=tuple(fly(shot.launch) for shot in shots), moment=0.45)


def measured() -> figures.Compared:
    """The demonstration shots, wet against dry."""
    from ..evidence import report
    from .desk import demonstration_tables
    from .pack import default_rule

    table = next(iter(demonstration_tables().values()))
    return figures.measured(report.make(table, rule=default_rule(), model_bands=False), "spin_rate")


def order() -> figures.Order:
    """An order of shots fixed beforehand."""
    return figures.Order(order=("dry", "wet", "wet", "dry") * 3, done=0)


def terms() -> figures.Terms:
    """The example pitch with the words of the trade."""
    shot = play(PITCH, Face(), SOFT, points=80)
    return figures.Terms(arriving=PITCH, shot=shot, grooves=Face().grooves)


def fan(**changes) -> figures.Fan:
    """Where the ball goes, dry, damp and wet, from one swing."""
    arriving = PITCH.but(**changes)
    meanings = {"dry": "dry", "damp": "water", "wet": "wet"}
    launched = tuple(
        figures.Launched(name=name, meaning=meaning, launch=strike(arriving, Face(), SOFT, STATES[name]))
        for name, meaning in meanings.items())
    return figures.Fan(arriving=arriving, launched=launched)


def section(face: Face) -> figures.Section:
    """Grooves cut through, with dew in them."""
    return figures.Section(grooves=face.grooves, between=Between(water=WETNESS["dew"].water))


def thinning() -> list[figures.Filmed]:
    """The film of dew with the grooves open, half closed and closed."""
    states = (("open", "wet", 0.0), ("half closed", "soil", 0.5), ("closed", "blocked", 1.0))
    dew = Between(water=WETNESS["dew"].water)
    return [figures.film_strike(PITCH, Face(), SOFT, dew.but(soil_in_grooves=closed), name=name, meaning=meaning)
            for name, meaning, closed in states]


def cleanings(**found) -> figures.Cleanings:
    """What each way of cleaning leaves of what was found, and what the next pitch spins."""
    before = Between(**found)
    ways = []
    for how in CLEANINGS:
        left = clean(before, how)
        ways.append(figures.Cleaned(name=how, between=left, launch=strike(PITCH, Face(), SOFT, left)))
    return figures.Cleanings(ways=tuple(ways), spotless=strike(PITCH, Face(), SOFT))


def lofts_of(**kept):
    """Every wedge, clean and dry, dirty and wet, with the same swing or for the same carry."""
    states = {name: STATES[name] for name in ("dry", "dirty", "wet")}
    return compare_lofts(Face(), SOFT, lofts=WEDGES, states=states, **kept)


def loft_curves(head_speed=PITCH.head_speed) -> figures.Curves:
    """Spin against the club's loft at one swing."""
    return figures.curves_of(lofts_of(head_speed=head_speed), here=56 * deg)


def wedges() -> figures.Wedges:
    """Every wedge swung to carry 45 m; the 64° is pointed at."""
    found = lofts_of(carry=45.0)
    return figures.Wedges(loft=found.loft, names=found.states, meanings=("dry", "soil", "wet"), spin=found.spin_rate,
                          descent=found.descent_angle, run_out=found.run_out, here=64 * deg)


def low_and_high() -> list[figures.Flown]:
    """The two shots of one carry, on the medium green."""
    both = two_shots()
    made = []
    for k, (name, meaning) in enumerate((("low", "dry"), ("high", "wet"))):
        launch = both.but(**{of: getattr(both, of)[k] for of in ("ball_speed", "launch_angle", "spin_rate")})
        path = fly(launch, points=80)
        shot = Shot(launch=launch, path=path, rest=land(path, GREENS["medium"], trace=24))
        made.append(figures.Flown(name=name, meaning=meaning, shot=shot))
    return made


def every_green() -> figures.Greens:
    """Where the two shots of one carry stop on every green."""
    return figures.Greens(stops=stops(two_shots(), list(GREENS.values())), names=("low", "high"), meanings=("dry", "wet"))


def readings() -> figures.Readings:
    """The example pitch, dry and wet, and the figures that the trade usually gives for a dry one."""
    made = []
    for name, loft in (("dry", PITCH.dynamic_loft), ("wet", 54 * deg)):
        launch = strike(PITCH.but(dynamic_loft=loft), Face(), SOFT, STATES[name])
        made.append(figures.Reading(name=f"the model, {name}", meaning=name, dynamic_loft=loft,
                                    launch_angle=launch.launch_angle, ball_speed=launch.ball_speed,
                                    spin_rate=launch.spin_rate))
    usual = figures.Reading(name="usual figures, dry", meaning="grass", dynamic_loft=44 * deg, launch_angle=31 * deg,
                            ball_speed=21.5, spin_rate=6500 * rpm)  # common practice, no source
    return figures.Readings(shots=(*made, usual))


def shares_of(player: str) -> figures.Split:
    """What separates a player of the examples from the well-kept one."""
    return figures.split_of(split(PLAYERS[player].setting))


# -- the pictures -----------------------------------------------------------------------------------------------------

_CONTACT = ("contact",)
_FLOWN = ("contact", "flight", "green")
_CLEANED = ("contact", "lands")
_ORDER = "Order dry, wet, wet, dry: common practice, no source."
_CAKED = SOIL["caked"] | {"water": WETNESS["dew"].water}
_ROUGH = {"grass": LIES["rough"].grass, "water": WETNESS["dew"].water}

_ALL = (
    # lesson, name, title, builder, what it shows, what it rests on, how sure it is
    ("00", "words-of-the-trade", "The words of the trade", figures.words_of_trade, terms, _FLOWN, None),
    ("00", "words-a-pitch", "Where the ball goes", figures.launch_fan, fan, _CONTACT, sure),
    ("00", "words-low-and-steep", "Where the ball goes: low and steep", figures.launch_fan,
     lambda: fan(dynamic_loft=38 * deg), _CONTACT, lambda: sure(PITCH.but(dynamic_loft=38 * deg))),
    ("01", "groove-shape-dew", "Grooves cut through", figures.groove_section, lambda: section(Face()), _CONTACT, None),
    ("01", "groove-shape-worn", "Grooves cut through: worn", figures.groove_section, lambda: section(FACES["worn"]),
     _CONTACT, None),
    ("01", "film-thins", "Water between face and ball", figures.film_against_time, thinning, _CONTACT, None),
    ("01", "clean-face-caked-dew", "Ways of cleaning: caked, dew", figures.ways_of_cleaning,
     lambda: cleanings(**_CAKED), _CLEANED, None),
    ("01", "clean-face-caked-dry-day", "Ways of cleaning: caked, dry day", figures.ways_of_cleaning,
     lambda: cleanings(**SOIL["caked"]), _CLEANED, None),
    ("01", "clean-face-from-the-rough", "Ways of cleaning: from the rough", figures.ways_of_cleaning,
     lambda: cleanings(**_ROUGH), _CLEANED, None),
    ("02", "dry-and-wet-wet", "The same swing, dry and wet", same_swing_twice, lambda: pair("wet"), _FLOWN,
     lambda: sure(between=WET)),
    ("02", "dry-and-wet-grooves-closed", "The same swing, dry and wet: grooves closed", same_swing_twice,
     lambda: pair("grooves closed"), _FLOWN, None),
    ("02", "dry-beside-wet", "The contact, dry and wet", figures.contact_pair, lambda: slow("dry", "wet"), _CONTACT, None),
    ("02", "slow-motion-dry", "The contact, dry", figures.contact_slow_motion, lambda: slow("dry"), _CONTACT, sure),
    ("02", "slow-motion-wet", "The contact, wet", figures.contact_slow_motion, lambda: slow("wet"), _CONTACT,
     lambda: sure(between=WET)),
    ("02", "flights-dry-and-wet", "Two flights of one swing", figures.flight_side_view,
     lambda: [flown("dry"), flown("wet")], _FLOWN, None),
    ("03", "loft-and-spin-wedges", "Loft against spin", figures.spin_against_loft, loft_curves, _CONTACT, None),
    ("03", "loft-and-spin-a-fuller-swing", "Loft against spin: a fuller swing", figures.spin_against_loft,
     lambda: loft_curves(32.0), _CONTACT, None),
    ("03", "one-carry-64", "The same carry with every wedge", figures.wedges_compared, wedges, _FLOWN, None),
    ("04", "low-and-high", "Stopped by spin, stopped by height", figures.flight_side_view, low_and_high,
     ("flight", "green"), None),
    ("04", "every-green", "On every green", figures.stops_on_greens, every_green, ("flight", "green"), None),
    ("06", "order-of-shots", "An order fixed beforehand", figures.order_strip, order, (), None),
    ("07", "measured-dry-and-wet", "Measured: dry and wet", figures.difference_plot, measured, ("shots",), None),
    ("07", "one-strike-two-readings", "One strike, two readings of its loft", figures.two_lofts, readings, _CONTACT, None),
    ("08", "what-it-costs", "Where the spin goes", figures.shares_bars, lambda: shares_of("ordinary player"), _CLEANED,
     None),
)


@lru_cache(maxsize=1)
def exhibits() -> dict[str, Exhibit]:
    """All pictures by name.  Results are not yet worked out."""
    from .desk import demonstration_tables

    found = {}
    for lesson, name, title, build, make, rests_on, how_sure in _ALL:
        source = " ".join(SOURCES[part] for part in rests_on) or _ORDER
        found[name] = Exhibit(name=name, lesson=lesson, title=title, build=build, make=make, source=source,
                              how_sure=how_sure or str)
    if not demonstration_tables():
        del found["measured-dry-and-wet"]
    return found


def exhibit(name: str) -> Exhibit:
    """One picture by its name, or a `ValueError` that lists what there is."""
    if name not in exhibits():
        raise ValueError(f"there is no picture {name!r}; there are {', '.join(exhibits())}")
    return exhibits()[name]


def of_lesson(lesson: str) -> tuple[Exhibit, ...]:
    """The pictures of a lesson (``"02"``)."""
    found = tuple(one for one in exhibits().values() if one.lesson == lesson)
    if not found:
        having = sorted({one.lesson for one in exhibits().values()})
        raise ValueError(f"there are pictures of lessons {', '.join(having)}, got {lesson!r}")
    return found
