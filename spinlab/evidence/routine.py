"""The checklist and routine round the pitch: what to do when, why, and what the Rules allow.

What to do follows from the models (what water, soil and grass between face and ball take away); the order follows from the
shares of `spinlab.physics.shares`.  Marks as everywhere: S seen in the source, Q quoted, M from memory, C computed, J our
judgement; "common practice" has no source.
"""

from __future__ import annotations

from dataclasses import dataclass

from ..care import FACILITY, GRIP, ROOM, STOP
from ..catalogue import CLEANINGS
from ..physics.cleaning import clean
from ..physics.setting import Setting, in_words, results
from ..records import Between
from ..units import rpm

WEATHERS = ("dry", "dew", "rain")


@dataclass(frozen=True, kw_only=True)
class Item:
    """One thing to do: what, why, and the mark of what it rests on."""

    do: str
    why: str
    mark: str


@dataclass(frozen=True, kw_only=True)
class Group:
    """Things to do at one time, in their order."""

    when: str
    items: tuple[Item, ...]


@dataclass(frozen=True, kw_only=True)
class Routine:
    """What to do in a kind of `weather`, what the Rules say, and what to take care of."""

    weather: str
    groups: tuple[Group, ...]
    rules: tuple[Item, ...]
    care: tuple[str, ...]

    def __getitem__(self, when) -> Group:
        for group in self.groups:
            if group.when == when:
                return group
        raise KeyError(f"{when!r} is not among: {', '.join(group.when for group in self.groups)}")

    def say(self) -> str:
        """The whole routine as plain lines."""
        lines = []
        for group in self.groups:
            lines += [group.when.upper(), *(f"[ ] {item.do}" for item in group.items), ""]
        lines += ["WHAT THE RULES ALLOW", *(f"- {item.do}" for item in self.rules), "", "TAKE CARE",
                  *(f"- {words}" for words in self.care)]
        return "\n".join(lines)

    def __str__(self):
        return self.say()


def _items(*rows):
    return tuple(Item(do=do, why=why, mark=mark) for do, why, mark in rows)


_BEFORE_ROUND = _items(
    ("Scrub the faces: water, a soft brush, grooves too; then dry them.", "Dried soil costs many players most.", "J"),
    ("Pack two towels: one damp, one dry.", "The damp one loosens soil, the dry one takes the water away.", "J"),
    ("Take soft-covered balls of one kind.", "The cover that grips best, and the same every time.", "Q"),
    ("Look at grooves and edges; note the age of each wedge.", "Worn faces matter most in the wet.", "J"),
)
_BEFORE_SHOT = _items(
    ("Wipe the face: damp towel first, then dry, along the grooves.", "A damp film too thin to see costs spin.", "C"),
    ("Look at it: lands clean, grooves open, nothing shining.", "Lands meet the ball; what shines is wet.", "J"),
    ("Read the lie: what will come between face and ball?", "Grass or sand in between takes spin whatever you do.", "C"),
    ("Choose: spin to stop it, height to stop it, or let it run.", "Without grip, plan on height or on run.", "C"),
    ("Then swing as always.", "The contact is over before a hand can answer.", "C"),
)
_BETWEEN = _items(
    ("Wipe the face at once, before soil dries.", "Fresh soil comes off with a cloth, dried soil does not.", "J"),
    ("Clear the grooves with a tee, and wipe the lands afterwards.", "A tee alone leaves the lands as they are.", "J"),
    ("Dry head and grip before the club goes back.", "Water in the bag finds every club.", "J"),
)
_DEW = _items(
    ("Keep one towel dry under cover: in the bag, under the umbrella.", "A wet towel spreads water.", "J"),
    ("Dry the face last of all, just before the swing; keep it off the grass when you address the ball.",
     "Wet grass wets a dry face again.", "J"),
    ("Expect a higher start, less spin and more run; choose height or run.", "The ball in the grass stays wet.", "C"),
)
_RAIN = _items(
    ("Hood or towel over the club head until you are ready.", "Seconds in the rain wet it again.", "J"),
    ("Dry hands, glove and grip before the face.", "Safety first: a club that slips flies.", "J"),
    ("Plan it without spin: land it short or bring it in high.", "A flooded face is not dried on the way down.", "C"),
    ("Stop for lightning.", "No pitch is worth it.", "common practice"),
)
RULES = _items(
    ("Cleaning and drying the club is allowed at any time.", "4.1a(3) excepts cleaning.", "Q"),
    ("Putting anything on the face to change how it plays is not (Rule 4.1a(3)): disqualification.", "", "Q"),
    ("Nor on the ball (Rule 4.2a(2)).", "", "S"),
    ("The ball may be cleaned when a Rule lets you lift it, with four exceptions (Rule 14.1c); never as it lies.",
     "The four: to see if it is cut or cracked, to identify it, because it interferes, to see if relief is allowed.", "M"),
    ("Dew and frost are no temporary water: no free relief from them.", "", "Q"),
    ("Wet from rain or dew by itself is no breach; wetting on purpose is for the practice ground only.", "", "Q"),
)
CARE = (
    ROOM,
    GRIP,
    "Wipe along the grooves and away from the fingers; worn edges can be sharp.",
    FACILITY,
    STOP,
)


def routine(weather="dry") -> Routine:
    """The routine for dry days, dew or rain.

    Raises
    ------
    ValueError
        the weather is not one of `WEATHERS`.
    """
    if weather not in WEATHERS:
        raise ValueError(f"weather must be one of {', '.join(WEATHERS)}, got {weather!r}")
    extra = {"dry": (), "dew": (Group(when="With dew on the grass", items=_DEW),),
             "rain": (Group(when="In the rain", items=_RAIN),)}[weather]
    groups = (Group(when="Before the round", items=_BEFORE_ROUND), Group(when="Before the shot", items=_BEFORE_SHOT), *extra,
              Group(when="Between shots", items=_BETWEEN))
    return Routine(weather=weather, groups=groups, rules=RULES, care=CARE)


@dataclass(frozen=True, kw_only=True)
class Dried:
    """One way of cleaning and what it leaves of the spin: `spin` [rad/s] and its `share` of the clean, dry spin."""

    how: str
    why: str
    spin: float
    share: float

    def say(self) -> str:
        """One sentence."""
        how, spin = self.how[:1].upper() + self.how[1:], in_words(self.spin, 100 * rpm, "rpm")
        return f"{how}: {spin} rpm, {self.share:.0%} of clean and dry; {self.why}."


def how_to_dry(between: Between, setting: Setting | None = None) -> tuple[Dried, ...]:
    """What every way of cleaning makes of the spin of one pitch, best first.

    Parameters
    ----------
    between
        What lies between face and ball before anything is done.
    setting
        The pitch; left out, that of all lessons with a fresh wedge and a soft-covered ball.
    """
    from ..physics.players import REFERENCE

    pitch = setting or REFERENCE.setting

    def spin(state):
        return float(results(pitch.but(between=state), ["spin_rate"])["spin_rate"])

    best = spin(Between(temperature=between.temperature))
    found = []
    for how, way in CLEANINGS.items():
        rate = spin(clean(between, how))
        found.append(Dried(how=how, why=way.why, spin=rate, share=rate / best))
    return tuple(sorted(found, key=lambda d: -d.spin))
