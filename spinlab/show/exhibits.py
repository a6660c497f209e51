"""Everything that can be taken away as a picture, by name: each prepared state of each panel, and a few pictures more."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

from ..catalogue import BALLS, GREENS, PITCH, STATES
from ..physics.bands import band
from ..physics.flight import fly
from ..physics.green import land
from ..physics.shot import play
from ..physics.stopping import stops, two_shots
from ..records import Between, Delivery, Face, Shot
from ..units import deg
from . import figures, panels

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

_RESTS_ON = {
    "groove_shape": ("contact",), "film_thins": ("contact",), "clean_face": ("contact", "lands"),
    "dry_and_wet": ("contact", "flight"), "one_carry": ("contact", "flight", "green"),
}


@dataclass(frozen=True, kw_only=True)
class Exhibit:
    """A picture to take away: its `name` (also that of its files), `title`, builder, what makes its result, the sentence on
    how sure it is (`band`, may be empty), and its `source`."""

    name: str
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


def of_panel(panel, kind: str) -> tuple[Exhibit, ...]:
    """The prepared states of a panel; `kind` is the name of the function that makes it."""
    source = " ".join(SOURCES[part] for part in _RESTS_ON.get(kind, ("contact",)))
    made = []
    for state in panel.states:
        name, title = f"{plain_name(kind)}-{plain_name(state)}", f"{panel.title}: {state}"
        made.append(Exhibit(name=name, title=title, build=panel.build, source=source,
                            make=lambda state=state: panel.go(state).result,
                            how_sure=lambda state=state: band_of_values(panel.go(state).values)))
    return tuple(made)


_ONE_PITCH = {"dynamic_loft", "head_speed", "attack_angle", "water", "grooves", "cover", "moment"}
"""Knobs that set one pitch.  A panel with others (soil, wear, scatter) shows something else; this band is not of that."""


def band_of_values(values: dict) -> str:
    """The band of the spin of one pitch, where a panel's knobs set just that; else nothing."""
    if not {"dynamic_loft", "head_speed"} <= set(values) <= _ONE_PITCH:
        return ""
    loft = values["dynamic_loft"]
    grooves, face = values.get("grooves", 0.0), Face()
    if grooves is None:
        face = Face(grooves=None)
    between = Between(water=values.get("water", 0.0), soil_in_grooves=grooves or 0.0)
    swing = Delivery(head_speed=values["head_speed"], dynamic_loft=loft, attack_angle=values.get("attack_angle", -6 * deg))
    found = band(swing, face, values.get("cover", BALLS["soft cover"]), between)
    return ("Wet: " if between.water > 0 else "Dry: ") + found.say()[:1].lower() + found.say()[1:]


# -- pictures that no panel shows --------------------------------------------------------------------------------------

"""The pitch of the examples: about 45 yards, a dynamic loft in the mid-forties."""
WET = STATES["wet"]


@lru_cache(maxsize=8)
def filmed(name: str) -> figures.Filmed:
    """One strike of the example pitch, step by step: dry, wet, or wet with closed grooves."""
    meaning, between = {"dry": ("dry", Between()), "wet": ("wet", WET),
                        "grooves closed": ("blocked", WET.but(soil_in_grooves=1.0))}[name]
    return figures.film_strike(PITCH, Face(), BALLS["soft cover"], between, name=name, meaning=meaning)


def flown(name: str) -> figures.Flown:
    """One flight of the example pitch with its landing."""
    shot = filmed(name)
    played = play(PITCH, shot.face, shot.ball, shot.between, points=80, trace=120)
    return figures.Flown(name=name, meaning=shot.meaning, shot=played)


def _slow(*names):
    return lambda: figures.SlowMotion(shots=tuple(filmed(name) for name in names), moment=0.45)


def _measured():
    from ..evidence import report
    from .desk import demonstration_tables
    from .pack import default_rule

    table = next(iter(demonstration_tables().values()))
    return figures.measured(report.make(table, rule=default_rule(), model_bands=False), "spin_rate")


def _order():
    return figures.Order(order=("dry", "wet", "wet", "dry") * 3, done=0)


def terms() -> figures.Terms:
    """The example pitch with the words of the trade."""
    shot = play(PITCH, Face(), BALLS["soft cover"], points=80)
    return figures.Terms(arriving=PITCH, shot=shot, grooves=Face().grooves)


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


def _others():
    contact, air, green, shots = (SOURCES[part] for part in ("contact", "flight", "green", "shots"))
    return (
        Exhibit(name="slow-motion-dry", title="The contact, dry", build=figures.contact_slow_motion, make=_slow("dry"),
                source=contact),
        Exhibit(name="slow-motion-wet", title="The contact, wet", build=figures.contact_slow_motion, make=_slow("wet"),
                source=contact),
        Exhibit(name="dry-beside-wet", title="The same swing, dry and wet", build=figures.contact_pair,
                make=_slow("dry", "wet"), source=contact),
        Exhibit(name="flights-dry-and-wet", title="Two flights of one swing", build=figures.flight_side_view,
                make=lambda: [flown("dry"), flown("wet")], source=f"{contact} {air} {green}"),
        Exhibit(name="low-and-high", title="Stopped by spin, stopped by height", build=figures.flight_side_view,
                make=low_and_high, source=f"{air} {green}"),
        Exhibit(name="every-green", title="On every green", build=figures.stops_on_greens, make=every_green,
                source=f"{air} {green}"),
        Exhibit(name="words-of-the-trade", title="The words of the trade", build=figures.words_of_trade, make=terms,
                source=f"{contact} {air} {green}"),
        Exhibit(name="order-of-shots", title="An order fixed beforehand", build=figures.order_strip, make=_order,
                source="Order dry, wet, wet, dry: common practice, no source."),
        Exhibit(name="measured-dry-and-wet", title="Measured: dry and wet", build=figures.difference_plot, make=_measured,
                source=shots),
    )


@lru_cache(maxsize=1)
def panel(kind: str):
    """The panel of a name such as ``dry_and_wet``."""
    return dict(_kinds())[kind]()


def _kinds():
    return [(make.__name__, make) for make in panels.EVERY]


@lru_cache(maxsize=1)
def exhibits() -> dict[str, Exhibit]:
    """All pictures by name.  Panels are made, results are not yet worked out."""
    from .desk import demonstration_tables

    found = [exhibit for kind, make in _kinds() for exhibit in of_panel(make(), kind)]
    found += [e for e in _others() if e.name != "measured-dry-and-wet" or demonstration_tables()]
    return {exhibit.name: exhibit for exhibit in found}


def exhibit(name: str) -> Exhibit:
    """One picture by its name, or a `ValueError` that lists what there is."""
    if name not in exhibits():
        raise ValueError(f"there is no picture {name!r}; there are {', '.join(exhibits())}")
    return exhibits()[name]
