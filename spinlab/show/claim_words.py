"""The words of claims: what each means, and how a sentence is broken into such meanings.

The vocabulary is closed.  A word that is not in it may change everything (*a red ball*, *from a bunker*, *because*), so a
sentence with such a word is not judged at all; nothing is guessed from the words that were known.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from ..units import deg, ft, kmh, mph, rpm, yd


class Unclear(ValueError):
    """A claim that is not understood; the message says what is in the way."""


@dataclass(frozen=True)
class Word:
    """What a word means: its `kind`, and for that kind its `value`."""

    kind: str
    value: object = None
    said: str = ""


@dataclass(frozen=True, kw_only=True)
class Reading:
    """What a claim says: `this` against `that` of a `factor`, under what is `given`, of a result (`of`, a name out of
    `spinlab.physics.setting.QUANTITIES`).  `sense` is more, less, same, effect, times or by; the last two have a `size`.
    `scope` is empty, always, never or some; `denied` turns the whole round.  `grip` asks about a dry face alone."""

    factor: str
    this: object
    that: object
    of: str
    sense: str
    given: dict = field(default_factory=dict)
    size: float = 0.0
    denied: bool = False
    scope: str = ""
    grip: bool = False
    slips: tuple[str, ...] = ()


_MEANINGS = """
factor water dry        dry drier dried drying
factor water damp       damp damper moist moisture
factor water dew        dew dewy
factor water wet        wet wetter water watery rain rainy soaked wetness
factor soil clean       clean cleaner cleaned cleaning wiped
factor soil dusty       dusty dust
factor soil caked       caked muddy mud
factor soil dirty       dirty dirt dirtier soiled soil filthy grime sand
factor grass grass      grass grassy rough
factor grooves grooved  grooves groove grooved
factor grooves plain    plain grooveless
factor wear worn        worn old older wear
factor wear fresh       fresh new newer sharp sharper
factor cover soft       soft softer premium urethane
factor cover hard       hard-covered ionomer distance-ball
factor speed fast       faster fast quick quicker speed
factor speed slow       slow slower
factor attack steep     steep steeper steeply
factor attack shallow   shallow shallower level
factor loft more        loft lofted
factor tool towel       towel towelling toweling
factor tool tee         tee
of spin_rate            spin spins spinning spun backspin
of launch_angle         launch launches launching launched
of apex                 fly flies flying flight
of carry                carry carries carrying carried
grip spin_rate          grip grips gripping grab grabs bite bites biting hold holds
stop run_out            stop stops stopping check checks
run run_out             run runs roll rolls rolling runs-out
degree 1                more higher greater extra high further farther longer far
degree -1               less lower fewer low shorter short
degree 1                better best
degree -1               worse
cause 1                 add adds adding increase increases increased raise raises boost boosts improve improves
cause 1                 gain gains help helps
cause -1                reduce reduces reduced kill kills killed cost costs lose loses losing lost decrease decreases
cause -1                ruin ruins rob robs hurt hurts destroy destroys take takes
make 1                  make makes create creates produce produces generate generates give gives cause causes impart imparts
effect                  matter matters difference effect affect affects change changes
nothing                 nothing
same                    same equal equally identical identically
times 0.5               half halves halve halved halving
times 2                 double doubles doubled twice
not                     not don't doesn't isn't aren't won't didn't wasn't cannot can't false wrong untrue myth
no                      no without
scope always            always every
scope never             never
scope some              sometimes can may might could
than                    than
hedge                   as-much
when                    in when if on under for while once whenever
with                    with from by at
and                     and
skip                    a an the is are be being was that it of to your my his her their our this these one ones do does will
skip                    would i you we they think believe say true fact really so then out off get gets mean means lead leads
noun                    ball balls face faces club clubs wedge wedges clubface shot shots pitch pitches swing swings
noun                    cover covers player players day days head surface
skip                    leave leaves go goes come comes coming amount there has have any angle rate
down                    down
"""
VOCABULARY = {}
for _line in _MEANINGS.strip().splitlines():
    _told, _words = _line[:24].split(), _line[24:].split()
    for _word in _words:
        _value = tuple(_told[1:]) if _told[0] == "factor" else _told[1] if len(_told) > 1 else None
        _value = float(_value) if _told[0] in ("degree", "cause", "make", "times") else _value
        VOCABULARY[_word] = Word(_told[0], _value, _word)

OPPOSITE = {("water", "wet"): "dry", ("water", "damp"): "dry", ("water", "dew"): "dry", ("water", "dry"): "wet",
            ("soil", "dirty"): "clean", ("soil", "dusty"): "clean", ("soil", "caked"): "clean", ("soil", "clean"): "dirty",
            ("grass", "grass"): "none", ("grooves", "grooved"): "plain", ("grooves", "plain"): "grooved",
            ("wear", "worn"): "fresh", ("wear", "fresh"): "worn", ("cover", "soft"): "hard", ("cover", "hard"): "soft",
            ("speed", "fast"): "slow", ("speed", "slow"): "fast", ("attack", "steep"): "shallow",
            ("attack", "shallow"): "steep", ("loft", "more"): "less", ("loft", "less"): "more",
            ("water", "more"): "less", ("water", "less"): "more", ("soil", "more"): "less", ("soil", "less"): "more",
            ("tool", "towel"): "tee", ("tool", "tee"): "towel"}
"""What a thing is set against where the claim does not say."""
ABSENT = {"water": "dry", "soil": "clean", "grass": "none", "grooves": "plain"}
"""What is there where there is none of a thing."""
DEGREES = {("loft", "more"): ("more", "less"), ("speed", "fast"): ("fast", "slow"), ("water", "wet"): ("more", "less"),
           ("attack", "steep"): ("steep", "shallow"), ("attack", "shallow"): ("shallow", "steep"),
           ("soil", "dirty"): ("more", "less"), ("soil", "clean"): ("clean", "dirty"), ("wear", "worn"): ("worn", "fresh")}
"""What more, and less, of a thing is."""
_FACES = ("face", "faces", "clubface", "club", "clubs", "wedge", "wedges", "surface")
_BALLS, _SHOTS = ("ball", "balls"), ("shot", "shots", "pitch", "pitches")
_SWINGS = ("swing", "swings", "club", "head", *_SHOTS)
BELONGS = {"wear": _FACES, "cover": (*_BALLS, "cover", "covers"), "soil": (*_FACES, *_BALLS), "loft": _FACES,
           "water": (*_FACES, *_BALLS, *_SHOTS, "day", "days"), "speed": _SWINGS, "attack": _SWINGS,
           "grooves": (*_FACES, *_BALLS), "tool": (*_FACES, *_BALLS)}
"""Whose property each is: an old ball, a soft wedge or a rough face are other things than those that are known here."""
RELATIVE = {(name, value) for name in ("loft", "water", "soil") for value in ("more", "less")}
"""More or less of a thing, from wherever one is."""

_PHRASES = (
    (r"n't it\?|\b(?:isn't it|doesn't it|don't they|aren't they|right)\s*\?", " "),
    (r"\bnot (?:true|a fact|correct)\b", " untrue "),
    (r"\b(?:clean(?:s|ing)?|wip(?:es?|ing))\b(?: (?:the|a|your) (?:face|club|wedge|grooves))?(?: with)?"
     r"(?=.*\b(?:towel|tee)\b)|(?<=\btowel )cleans\b|(?<=\btee )cleans\b|(?<=\bthan )with\b", " "),
    (r"^compared (?:to|with) ([^,]+), (.+?)[?.!]*$", r"\2 than \1"),
    (r"\b(?:compared (?:to|with)|versus|vs|against|relative to)\b", " than "),
    (r"\b(?:come|leave|start|take)s?(?: the (?:face|club))?(?: out| off)? (?=higher|lower|more)", " launch "),
    (r"\b(?:come|comes) out\b", " launch "),
    (r"\blet(?:s|ting)? (?:the )?water (?:out|away|escape)\b|\b(?:drain|channel|clear)s? (?:the )?water(?: away| out)?\b",
     " add spin when wet "),
    (r"\bwithout (?:any )?grooves\b|\bno grooves\b", " plain "),
    (r"\b(?:hit|hits|hitting|strike|striking) (?:(?:more|it|steeply|harder) )*down(?: more| harder| on it| on the ball)*\b",
     " steep "),
    (r"\b(?:swing|swinging|hit|hits|hitting)(?: it)? (?:harder|hard|faster|fast)\b|\bhard(?:er)? swings?\b", " fast "),
    (r"\bhard(?:er)?(?:[- ]cover(?:ed)?)?(?= (?:ball|cover|one))|\b(?:distance|range)(?= ball)", " hard-covered "),
    (r"\b(?:the same|equal)(?: spin| launch| height)? (?:as|than)\b", lambda found: " " + found[0].replace(" as", " than")),
    (r"\b(half|twice|double) as (?:much|high|far)\b", r" \1 "),
    (r"\b(half|twice|double)((?: the)? (?:spin|carry)) (?:of|as)\b", r" \1\2 than "),
    (r"\b(half|twice|double)((?: \w+)?) as\b", r" \1\2 than "),
    (r"\bas (?:much|high|far|low)((?: \w+)?) as\b", r" as-much \1 than "),
    (r"\brun(?:s|ning)?[ -]out\b|\broll(?:s|ing)?[ -]out\b", " run "),
    (r"\bsand wedge\b", " sandwedge "),
    (r"\bball speed\b", " ballspeed "),
    (r"\bdistance\b", " carry "),
)
_UNITS = {("speed", mph): "mph", ("speed", kmh): "kph km/h kmh", ("speed", 1.0): "m/s", ("angle", deg): "degrees degree deg",
          ("percent", 0.01): "percent", ("spin", rpm): "rpm revs", ("length", yd): "yards yard yd yds",
          ("length", ft): "feet foot ft", ("length", 1.0): "m metres metre meters meter"}
_UNITS = {name: meant for meant, names in _UNITS.items() for name in names.split()}
_NEVER_MEANT = {"shower", "tower", "clear", "cleared", "clearer", "sander", "sleeper", "sheep", "stone", "spine"}
"""Words that are one letter from one of ours and mean something else."""


def words_of(claim: str) -> tuple[list[Word], list[str]]:
    """A claim as words with their meanings, and what was taken for a slip of the pen.

    Raises
    ------
    Unclear
        for a word that is not known
    """
    text = claim.casefold().replace("’", "'").replace("−", "-").replace("°", " degrees ").replace("%", " percent ")
    for pattern, instead in _PHRASES:
        text = re.sub(r"\s+", " ", re.sub(pattern, instead, text))
    found, slips = [], []
    for piece in re.findall(r"\d+(?:[.,]\d+)?|km/h|m/s|[^\W\d_]+(?:['-][^\W\d_]+)*|[^\s\w]", text):
        if piece in ".,!?;:\"“”()-–'":
            found.append(Word("comma") if piece in ",;:" else Word("question") if piece == "?" else Word("skip"))
        elif piece[0].isdigit():
            found.append(Word("number", float(piece.replace(",", ".")), piece))
        elif piece in _UNITS:
            _with_unit(found, piece)
        else:
            word = VOCABULARY.get(piece) or _near(piece)
            if word is None:
                raise Unclear(f"“{piece}” is not a word that is understood here")
            if word.said != piece:
                slips.append(f"{piece} → {word.said}")
            found.append(word)
    return found, slips


def _with_unit(found, unit):
    """Put the unit to the number before it."""
    if not found or found[-1].kind != "number":
        raise Unclear(f"“{unit}” stands without a number")
    kind, scale = _UNITS[unit]
    number = found.pop()
    found.append(Word(kind, number.value * scale, f"{number.said} {unit}"))


def _near(piece):
    """The one meaning within a slip of the pen: a letter doubled or not, or in a long word one left out, put in, swapped or
    wrong; the first is right.  Short words are too near to others (driver, drier)."""
    if len(piece) < 4 or piece in _NEVER_MEANT:
        return None
    near = [word for word in VOCABULARY if word[0] == piece[0]
            and (_single(word) == _single(piece) or _one_slip(piece, word))]
    meant = {(VOCABULARY[word].kind, VOCABULARY[word].value) for word in near}
    return VOCABULARY[near[0]] if len(meant) == 1 else None


def _single(word):
    """A word without the doubling of its letters."""
    return re.sub(r"(.)\1+", r"\1", word)


def _one_slip(a, word):
    """Is one letter too many or missing, are two neighbours swapped, or, in a word of seven letters, is one wrong?"""
    if abs(len(a) - len(word)) > 1 or len(word) < 6:
        return False
    start = next((i for i, (x, y) in enumerate(zip(a, word)) if x != y), min(len(a), len(word)))
    a, b = a[start:], word[start:]
    return (len(word) > 6 and a[1:] == b[1:]) or a[1:] == b or a == b[1:] or (a[:2] == b[:2][::-1] and a[2:] == b[2:])
