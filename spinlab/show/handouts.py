"""The handout of anything: a lesson, a picture, a player, a table of shots, by the word for it.

``handouts("02")``, ``handouts("beginner", whom="Kim")``, ``handouts("shots.csv", units="yards")``.
"""

from __future__ import annotations

import re
from pathlib import Path

from ..panels import fixing
from ..panels.scene import Choice as SceneChoice
from ..panels.widget import Panel
from ..panels.words import KINDS
from ..physics.players import PLAYERS, REFERENCE, split
from ..physics.ways import LOOKED_AT, chance_range, ways_repeated
from ..units import rpm, unit, written
from . import pack, sheets
from .desk import demonstration_tables
from .exhibits import exhibit, exhibits, plain_name
from .pack import FIX_FIRST, Grid, Section, Sheet

PLAYER, SHOTS = "player", "shots"
_TABLES = (".csv", ".txt", ".tsv", ".xlsx")


def _planned(units):
    """Lesson 06: the plan that its desk opens with."""
    from ..evidence.plan import plan

    return pack.plan_sheet(plan(1500 * rpm, "club player"), units=units)


def _claimed(units):
    """Lesson 09: what may be said, and how sure it is."""
    from . import words

    return words.claim_sheet(words.claims(units=units))


def _repeated(units):
    """Lesson 05: how often each way finishes near, and what spoils it."""
    length = "yd" if units == "yards" else "m"

    def far(value):
        return f"{written(unit(length).from_si(value), 1)} {length}"

    chances = chance_range(NEAR, distance=HOLE)
    rows = []
    for one in ways_repeated(distance=HOLE):
        chance, low, high = chances[one.way.name]
        worst = one.ranking[0]
        rows.append((one.way.name, f"{chance:.0%} ({low:.0%} … {high:.0%})", f"{_CAUSES[worst]}, {far(one.alone[worst])}"))
    return Sheet(
        title="Which pitch can be repeated?",
        lead=f"A steady club player, {far(HOLE)} from the hole: how many of a hundred shots finish within {far(NEAR)}.",
        tables=(Grid(head=("way", f"within {far(NEAR)}", "what spoils it most, alone"), rows=tuple(rows),
                     caption="In brackets: over firm to soft greens and a scatter that is known to about a quarter."),),
        sections=(Section(title="What it rests on", words=(sheets.MODEL_ONLY,)),
                  Section(title="What to do first", items=FIX_FIRST, ordered=True), sheets.CARE),
    )


HOLE = 30.0
NEAR = 3.0
"""The distance of the lesson [m], and what counts as near [m]."""
_CAUSES = dict(zip(LOOKED_AT, ("head speed", "loft", "attack", "strike height", "water", "lie")))


def _ordinary(units):
    """Lesson 08: the player that its scene opens with."""
    (sheet,) = handouts(next(iter(PLAYERS)), units=units).values()
    return sheet


def _pictured(name):
    """A lesson that is told by one of its pictures."""
    return lambda units: sheets.picture_sheet(exhibit(name), units=units)


_LESSONS = {
    "00": _pictured("words-a-pitch"),
    "01": _pictured("clean-face-caked-dew"),
    "02": _pictured("dry-and-wet-wet"),
    "03": _pictured("loft-and-spin-wedges"),
    "04": _pictured("low-and-high"),
    "05": _repeated,
    "06": _planned,
    "07": lambda units: _demonstration(None, units),
    "08": _ordinary,
    "09": _claimed,
}
WHAT = (*_LESSONS, PLAYER, *PLAYERS, SHOTS)
"""What a handout can be made of, besides a file of shots."""


def handouts(what: str, *, state="", turned=(), whom="", units="metric") -> dict[str, Sheet]:
    """The handouts of something, by the name of their files.

    Parameters
    ----------
    what : str
        a lesson (``"02"``), a picture by its name, a player of the examples or ``"player"``, a file of shots, or
        ``"shots"`` for the demonstration shots
    state : str
        which of the players ``"player"`` begins as
    turned : sequence of str
        what is otherwise true of the player, in the units that are shown: ``"dynamic_loft=50"``
    whom : str
        the player's name on the sheet
    units : {"metric", "yards"}

    Raises
    ------
    ValueError
        there is no such thing, state or knob; the message lists what there is.
    """
    name = what.strip()
    if name == PLAYER or name.casefold() in PLAYERS:
        state = state or (name.casefold() if name != PLAYER else next(iter(PLAYERS)))
        player = fixing.player_of(_turned(Panel(fixing.what_to_fix_first()).go(state), turned, units))
        whom = whom or state.capitalize()
        sheet = sheets.player_sheet(player, REFERENCE.setting, name=whom, units=units, split=split(player))
        return {"-".join(["player", *re.findall(r"[^\W_]+", whom.casefold())]): sheet}
    if whom:
        raise ValueError(f"a player's name goes onto a player's sheet; the handout of {name!r} has none")
    if state or turned:
        raise ValueError(f"{name!r} has nothing to turn; only players have: {', '.join((PLAYER, *PLAYERS))}")
    if name in _LESSONS:
        return {f"lesson-{name}": _LESSONS[name](units)}
    if name in exhibits():
        return {name: sheets.picture_sheet(exhibit(name), units=units)}
    if name == SHOTS or name.casefold().endswith(_TABLES):
        return {plain_name(Path(name).stem): _demonstration(None if name == SHOTS else name, units)}
    raise ValueError(f"a handout can be made of {', '.join(WHAT)}, or of a file of shots ({', '.join(_TABLES)}), got "
                     f"{what!r}")


def _turned(panel, turned, units):
    """A scene's panel with some controls turned, in the units that are shown."""
    controls = panel.scene.by_name
    values = {}
    for words in turned:
        name, sign, value = (part.strip() for part in words.partition("="))
        control = controls.get(name.replace(" ", "_"))
        if not sign or control is None:
            raise ValueError(f"{words!r}: {panel.scene.title} is turned by NAME=VALUE, its names are {', '.join(controls)}")
        if not isinstance(control, SceneChoice):
            number = _number(value)
            if not isinstance(number, float):
                raise ValueError(f"{control.label.lower()} must be a number, got {value!r}")
            about = KINDS[control.kind].described()[units]
            value = number * about["scale"] + about["offset"]
        values[control.name] = value
    return panel.set(**values)


def _number(words):
    """A number as typed; words stay words, which the control then refuses."""
    try:
        return float(words.replace("−", "-").replace(",", "."))
    except ValueError:
        return words


def _demonstration(table, units):
    """The handout of a table of shots, or of the demonstration shots."""
    from ..evidence import report

    table = table or next(iter(demonstration_tables().values()), None)
    if table is None:
        raise ValueError("the demonstration shots are not part of this installation; name a file of shots")
    return pack.demonstration_sheet(report.make(table, rule=pack.default_rule()), units=units)
