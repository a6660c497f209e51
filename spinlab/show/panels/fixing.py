"""Lesson 08: what a player's spin lacks, cause by cause, what to do first, and which club."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

import numpy as np

from ...catalogue import BALLS, GREENS, LIES, PITCH, SOIL, WEAR, WETNESS
from ...evidence.bag import BAGS
from ...evidence.clubs import choose
from ...physics.players import PLAYERS, REFERENCE
from ...physics.setting import Setting, results
from ...physics.shares import CAUSES, Shares, combinations, shapley, shares
from ...records import Between, Delivery
from ...units import deg, mm
from ..draw_bag import Clubs, clubs_to_the_hole
from ..draw_plan import Split, shares_bars, split_of
from ..panel import Choice, Knob, Panel
from .common import speed_knob, water_knob

CLEANED = {"just now, towel": SOIL["clean"], "with a tee": SOIL["after a tee"], "not at all": SOIL["caked"]}
"""When and how the face was last cleaned: kinds of soil."""
STRIKES = {"down, 6°": (PITCH.attack_angle, 0.0), "down, 5°": (-5 * deg, 0.0), "down, 3°": (-3 * deg, 0.0),
           "scoop, off the middle": (0.0, -0.5 * mm)}
"""Attack angle [rad] and offset of the force [m]."""
_OF = {"spin": "spin_rate", "run-out": "run_out"}
_BEGIN, _END = "as you are", "well kept"


@lru_cache(maxsize=16)
def split(player: Setting, of="spin_rate") -> Shares:
    """The shares of a player's difference to the well-kept reference, kept for the next time it is asked for."""
    return shares(player, REFERENCE.setting, of=of)


def _quick(player: Setting, of) -> Split:
    """The same shares without bands: 512 shots instead of ten thousands, quick enough for a slider."""
    values = results(combinations(player, REFERENCE.setting, CAUSES), [of])[of]
    values = np.broadcast_to(values, (1 << len(CAUSES),))
    found, toward = shapley(values), np.sign(values[-1] - values[0]) or 1.0
    order = sorted(range(len(CAUSES)), key=lambda i: -toward * found[i])
    parts = tuple((CAUSES[i].name, float(found[i]), None, None) for i in order)
    return _moving(Split(of=of, begin=(_BEGIN, float(values[0])), end=(_END, float(values[-1])), parts=parts))


def _moving(split: Split) -> Split:
    """Without the causes in which both agree."""
    least = 1e-9 * abs(split.end[1] - split.begin[1])
    return replace(split, parts=tuple(part for part in split.parts if abs(part[1]) > least))


def _setting(cleaned, water, grass, wear, cover, head_speed, dynamic_loft, strike) -> Setting:
    attack, offset = strike
    arriving = Delivery(head_speed=head_speed, dynamic_loft=dynamic_loft, attack_angle=attack, normal_offset=offset)
    between = Between(water=water, grass=grass, **cleaned)
    return Setting(arriving=arriving, face=wear, ball=cover, between=between)


def _state(setting: Setting) -> dict:
    """Where the knobs stand for a player."""
    a, b = setting.arriving, setting.between
    soiled = {"soil_on_lands": b.soil_on_lands, "soil_in_grooves": b.soil_in_grooves}
    cleaned = next(name for name, soil in CLEANED.items() if soil == soiled)
    wear = next(name for name, face in WEAR.items() if (face.grooves, face.roughness) == (setting.face.grooves,
                                                                                          setting.face.roughness))
    cover = next(name for name, ball in BALLS.items() if ball == setting.ball)
    strike = next(name for name, pair in STRIKES.items() if pair == (a.attack_angle, a.normal_offset))
    return {"cleaned": cleaned, "water": b.water, "grass": b.grass, "wear": wear, "cover": cover, "strike": strike,
            "head_speed": a.head_speed, "dynamic_loft": a.dynamic_loft}


def what_it_costs(**options) -> Panel:
    """Lesson 08: a player against a well-kept one, the difference split among its causes."""
    def compute(of, bands, **turned):
        player = _setting(**turned)
        return _moving(split_of(split(player, of), begin=_BEGIN, end=_END)) if bands else _quick(player, of)

    start = _state(PLAYERS["ordinary player"].setting)

    def knob(name, label, low, high, step, unit, scale):
        span = {"low": low * scale, "high": high * scale, "step": step * scale, "value": start[name]}
        return Knob(name, label, **span, unit=unit)

    knobs = [Choice("cleaned", "Face last cleaned", CLEANED, value=start["cleaned"]),
             water_knob(start["water"], high=WETNESS["poured"].high, means=""),
             knob("grass", "Grass on the flats", 0, 1.0, 0.05, "%", 1.0),
             Choice("wear", "Face", WEAR, value=start["wear"]), Choice("cover", "Ball", BALLS, value=start["cover"]),
             speed_knob(start["head_speed"], low=12.0, high=30.0, means=""),
             knob("dynamic_loft", "Dynamic loft", 35, 60, 0.5, "°", deg),
             Choice("strike", "Strike", STRIKES, value=start["strike"]),
             Choice("of", "Look at", _OF), Choice("bands", "Bands", {"hidden": False, "shown": True})]
    states = {name: _state(player.setting) for name, player in PLAYERS.items()}
    states |= {"with bands": {"bands": "shown"}, "stopping": {"of": "run-out"}}
    return Panel(knobs=knobs, compute=compute, build=shares_bars, states=states, title="What each cause is worth", **options)


def player_of(panel: Panel) -> Setting:
    """The player that a panel of `what_it_costs` is turned to."""
    return _setting(**{name: value for name, value in panel.values.items() if name not in ("of", "bands")})


_BY = {"gain for the effort": "both", "gain": "gain", "effort": "effort"}
_OWN = "as set above"


def what_to_do_first(own: Panel | None = None, **options) -> Panel:
    """Lesson 08: step by step from a player's spin to what it could be, in the order that is chosen; with `own`, a panel of
    `what_it_costs`, also for the player it is turned to when this is asked."""
    def compute(player, by, of, steps):
        found = split(player_of(own) if player == _OWN else PLAYERS[player].setting, of)
        plan = found.plan(by)[: round(steps)]
        parts = tuple((f"{i}. {step.cause.name}", step.gain.mid, step.gain.low, step.gain.high)
                      for i, step in enumerate(plan, 1))
        end = plan[-1].after.mid if plan else found.player
        return Split(of=of, begin=(_BEGIN, found.player), end=("then", end), parts=parts,
                     title="Gain of each step in this order")

    players = (*PLAYERS, _OWN) if own else tuple(PLAYERS)
    knobs = [Choice("player", "Player", {name: name for name in players}), Choice("by", "In the order of", _BY),
             Choice("of", "Look at", _OF),
             Knob("steps", "Steps done", low=0.0, high=6.0, step=1.0, value=3.0, play=8.0)]
    states = {name: {"player": name} for name in players} | {"only one thing": {"steps": 1.0}}
    return Panel(knobs=knobs, compute=compute, build=shares_bars, states=states, title="What to do first", **options)


def which_club(**options) -> Panel:
    """Lesson 08: which wedge of a bag for a distance, lie and green."""
    def compute(bag, distance, lie, green):
        return Clubs(choices=choose(BAGS[bag], distance=distance, lie=lie, green=green), distance=distance)

    knobs = [Choice("bag", "Bag of the", {name: name for name in BAGS}),
             Knob("distance", "Distance to the hole", low=10.0, high=60.0, step=1.0, value=30.0, unit="m"),
             Choice("lie", "Lie", {name: name for name in LIES}),
             Choice("green", "Green", {name: name for name in GREENS}, value="medium")]
    states = {name: {"bag": name} for name in BAGS} | {"firm green": {"green": "firm"}, "longer": {"distance": 50.0}}
    return Panel(knobs=knobs, compute=compute, build=clubs_to_the_hole, states=states, title="Which club", **options)
