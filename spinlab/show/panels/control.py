"""Lesson 05: three ways to play one distance, and which of them can be repeated."""

from __future__ import annotations

from functools import partial

from ...catalogue import BALLS, FACES, GREENS, LIES, WETNESS
from ...physics.spread import Spread
from ...physics.ways import WAYS, Repeat, repeats
from ...records import Between
from ...units import deg, mm
from ..draw_lanes import Lanes, lanes_from_above
from ..draw_ways import Spoiled, spoiled_and_near
from ..panel import Choice, Knob, Panel
from .common import water_knob

SCATTERS = {"club player": Spread.tuned_club(), "touring professional": Spread.tuned_touring(),
            "beginner": Spread.tuned_beginner()}
"""Three standards of player, all our judgement (J)."""
MEANINGS = ("dry", "wet", "grass")
_SHOTS, _FEW = 256, 64
"""Shots of each way that settle a picture, and those, the first of the same, that it makes do with while a slider moves."""


def ways_repeated(*, distance=30.0, spread: Spread | None = None, growth=0.5, water=0.0, lie="tight fairway", green="medium",
                  shots=_SHOTS, seed=1, alone=True) -> tuple[Repeat, ...]:
    """The three ways with a fresh wedge and a soft-covered ball; `lie` and `green` are names of the bag's tables, `alone` as
    in `repeats`."""
    between = Between(water=water, grass=LIES[lie].grass)
    return repeats(WAYS, FACES["fresh"], BALLS["soft cover"], between, green=GREENS[green], distance=distance,
                   spread=spread or Spread.tuned_club(), growth=growth, shots=shots, seed=seed,
                   alone=alone)


class _Remembered:
    """The same call with its latest answers kept: moving only the ring about the hole asks for the same shots again."""

    def __init__(self, call, most=8):
        self.call, self.most, self.kept = call, most, {}

    def __call__(self, **options):
        key = self._key(options)
        if key not in self.kept:
            answer = self.call(**options)
            while len(self.kept) >= self.most:
                self.kept.pop(next(iter(self.kept)))
            self.kept[key] = answer
        return self.kept[key]

    def in_a_hurry(self, **options):
        """All shots if they are here already, or a few."""
        return self(**options) if self._key(options) in self.kept else self(**options, shots=_FEW)

    @staticmethod
    def _key(options):
        return repr(sorted(options.items()))


def chance_range(within, *, spread: Spread | None = None, **way):
    """Chance of each way to finish within a distance [m] of the hole: (as computed, lowest, highest), by name.

    Lowest and highest over a firm, a medium and a soft green and over scatters of 0.8 to 1.25 times the one given.  That is
    what some thirty shots leave open about a scatter; greens differ at least as much.
    """
    spread = spread or Spread.tuned_club()
    names = ("head_speed", "dynamic_loft", "attack_angle", "normal_offset", "direction")
    rows = []
    for factor in (1.0, 0.8, 1.25):
        moved = spread.but(**{name: getattr(spread, name) * factor for name in names})
        for green in ("medium", "firm", "soft"):
            found = ways_repeated(spread=moved, **way | {"green": green})
            rows.append([float(one.chance(within)) for one in found])
    return {w.name: (column[0], min(column), max(column)) for w, column in zip(WAYS, zip(*rows))}


def _distance():
    return Knob("distance", "Distance to the hole", low=10.0, high=50.0, step=1.0, value=30.0, unit="m")


def _within():
    return Knob("within", "Near means within", low=0.5, high=6.0, step=0.25, value=3.0, unit="m")


def _growth(means=""):
    return Knob("growth", "Grows with the swing", low=0.0, high=1.0, step=0.05, value=0.5, unit="%", means=means)


def three_ways(own: Spread | None = None, **options) -> Panel:
    """Lesson 05: where the shots of three ways finish; `own` adds a player's own scatter to choose."""
    scatters = SCATTERS | ({"your own shots": own} if own else {})
    played = _Remembered(partial(ways_repeated, alone=False))

    def pattern(within, player, play=played, **turned):
        return Lanes(repeats=play(**turned, spread=player), meanings=MEANINGS, within=within)

    knobs = [_distance(), _within(), Choice("player", "Whose scatter", scatters),
             _growth("0: the same with every swing; 100: twice the swing, twice the scatter"), water_knob(0.0),
             Choice("lie", "Lie", {name: name for name in LIES}),
             Choice("green", "Green", {name: name for name in GREENS}, value="medium")]
    states = {"30 metres": {}, "same scatter with every swing": {"growth": 0.0}, "longer": {"distance": 45.0},
              "beginner": {"player": "beginner"}, "dew": {"water": WETNESS["dew"].water}, "firm green": {"green": "firm"}}
    return Panel(knobs=knobs, compute=pattern, quick=partial(pattern, play=played.in_a_hurry), build=lanes_from_above,
                 states=states, title="Three ways, one distance", **options)


def what_spoils(**options) -> Panel:
    """Lesson 05: what spoils the distance of each way, and the chance to finish near the hole."""
    club, played = Spread.tuned_club(), _Remembered(ways_repeated)

    def scatter_knob(name, label, high, step, unit, scale):
        return Knob(name, label, low=0.0, high=high * scale, step=step * scale, value=getattr(club, name), unit=unit)

    def compute(distance, within, head_speed, dynamic_loft, attack_angle, normal_offset, growth, water, lie, play=played):
        spread = club.but(head_speed=head_speed, dynamic_loft=dynamic_loft, attack_angle=attack_angle,
                          normal_offset=normal_offset)
        found = play(distance=distance, spread=spread, growth=growth, water=water, lie=lie)
        return Spoiled(repeats=found, meanings=MEANINGS, within=within)

    knobs = [_distance(), _within(),
             scatter_knob("head_speed", "Scatter: head speed", 0.08, 0.0025, "%", 1.0),
             scatter_knob("dynamic_loft", "Scatter: loft", 4, 0.1, "°", deg),
             scatter_knob("attack_angle", "Scatter: attack", 4, 0.1, "°", deg),
             scatter_knob("normal_offset", "Scatter: strike height", 0.8, 0.05, "mm", mm), _growth(),
             water_knob(0.0, means=""), Choice("lie", "Lie", {name: name for name in LIES})]
    states = {name: {n: getattr(s, n) for n in ("head_speed", "dynamic_loft", "attack_angle", "normal_offset")}
              for name, s in SCATTERS.items()}
    states |= {"perfect loft": {"dynamic_loft": 0.0}, "damp rough": {"water": WETNESS["damp"].water, "lie": "rough"}}
    return Panel(knobs=knobs, compute=compute, quick=partial(compute, play=played.in_a_hurry), build=spoiled_and_near,
                 states=states, title="What spoils the distance", **options)
