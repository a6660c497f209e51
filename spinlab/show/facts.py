"""Checking a claim that somebody typed: shown, depends or not so, with the computed reason and a picture.

Each kind of claim is a pattern of words and a few trials: the same pitch computed twice, with the band of their ratio or
difference.  What is claimed holds if the whole band lies on its side in every trial.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

from ..physics.bands import Band, contrast
from ..physics.cleaning import WETNESS, clean, tuned_soil
from ..physics.lofts import Habit
from ..physics.players import WORN
from ..physics.setting import Setting, in_words, round_step, with_unit
from ..physics.shot import carry_to_speed
from ..records import Ball, Between, Face
from ..units import deg, um
from .exhibits import PITCH, SOURCES, WET

SHOWN, DEPENDS, NOT_SO, UNKNOWN = "shown", "depends", "not so", "cannot say"
ALIKE, ALIKE_ANGLE, ALIKE_LENGTH = 0.03, 1 * deg, 0.3
"""Differences that nobody would notice: 3 % of spin, 1°, 0.3 m (our judgement)."""
_SOFT, _HARD = Ball.published_soft_cover(), Ball.published_ionomer_cover()


@dataclass(frozen=True, kw_only=True)
class Trial:
    """One comparison: under which condition (`when`), what was set against what, and its band."""

    when: str
    band: Band
    sentence: str

    def side(self) -> int:
        """+1 if it is more for sure, −1 if less for sure, 0 if alike or unsure."""
        if self.alike:
            return 0
        none = 1.0 if self.band.kind == "ratio" else 0.0
        return 1 if self.band.low > none else -1 if self.band.high < none else 0

    @property
    def alike(self) -> bool:
        """Is the difference too small to notice?"""
        if self.band.kind == "ratio":
            return abs(self.band.mid - 1) <= ALIKE
        return abs(self.band.mid) <= (ALIKE_ANGLE if self.band.unit == "°" else ALIKE_LENGTH)


@dataclass(frozen=True, kw_only=True)
class Answer:
    """What may be said to a claim: `verdict` (shown, depends, not so, cannot say), the `reason` in sentences, the `trials`
    it rests on, the name of the `picture` to show, and the `source` with its marks."""

    claim: str
    verdict: str
    reason: str
    picture: str = ""
    source: str = ""
    trials: tuple[Trial, ...] = ()
    why: str = ""

    def __str__(self):
        by = " by the model" if self.verdict == SHOWN else " (the model's answer)" if self.trials else ""
        return f"{self.verdict[:1].upper()}{self.verdict[1:]}{by}: {self.reason}"


@dataclass(frozen=True, kw_only=True)
class Kind:
    """A kind of claim: an `example`, the pattern that knows it, what works out its trials (given the match), why it is so,
    and the picture to show.  `wants` is the side the plain claim takes; words like *less* turn it round.  With `half` a size
    is claimed: one half."""

    example: str
    pattern: str
    trials: Callable
    why: str
    picture: str
    source: str = SOURCES["contact"]
    wants: int = 1
    half: bool = False


def _pitch(between=None, *, face=None, ball=_SOFT, **arriving) -> Setting:
    return Setting(arriving=PITCH.but(**arriving), face=face or Face(), ball=ball, between=between or Between())


def _trial(when, this, that, names, of="spin_rate", kind="ratio") -> Trial:
    found = contrast(this, that, of=of, kind=kind, names=names, n=128)
    return Trial(when=when, band=found, sentence=f"{when[:1].upper()}{when[1:]}: {_said(found)}.")


def _said(band: Band) -> str:
    """What a comparison found, with its band, in words."""
    (this, that), noun = band.names, band.noun
    if band.high - band.low < 1e-6 and band.mid == 1:
        return f"{this} and {that} give the same {noun}"
    if band.kind == "ratio":
        return f"{this} gives {band.mid:.2f} times the {noun} of {that} ({band.low:.2f} to {band.high:.2f})"
    step = round_step(band.high - band.low, band.unit)
    low, mid, high = (in_words(value, step, band.unit) for value in (band.low, band.mid, band.high))
    sign = "+" if band.mid > 0 else ""
    return f"{this} against {that}, {noun} {sign}{with_unit(mid, band.unit)} ({low} to {high})"


def _wet(of="spin_rate", kind="ratio"):
    amounts = (("just damp (1 µm)", 1 * um), ("dew (20 µm)", WETNESS["dew"].water), ("poured (30 µm)", WET.water))
    return tuple(_trial(name, _pitch(Between(water=film)), _pitch(), ("a wet ball", "a dry one"), of, kind)
                 for name, film in amounts)


def _lofts(match):
    high, low = (float(x) for x in match.group("this", "that"))
    for loft in (high, low):
        if not 40 <= loft <= 68:
            raise ValueError(f"lofts from 40° to 68° can be compared, got {loft:g}°; ask for two wedges")
    lean, names = Habit().lean, (f"a {high:g}", f"a {low:g}")
    return tuple(_trial(when, *(_pitch(between, dynamic_loft=loft * deg - lean) for loft in (high, low)), names)
                 for when, between in (("clean and dry", Between()), ("just damp", Between(water=1 * um)), ("wet", WET)))


def _grooves(match):
    return (_trial("clean and dry", _pitch(), _pitch(face=Face(grooves=None)), ("a grooved face", "a plain one")),)


def _channels(match):
    return (_trial("wet", _pitch(WET), _pitch(WET, face=Face(grooves=None)), ("a grooved face", "a plain one")),)


def _worn(match):
    return tuple(_trial(when, _pitch(between, face=WORN), _pitch(between), ("a worn face", "a fresh one"))
                 for when, between in (("clean and dry", Between()), ("wet", WET)))


def _towel(match):
    ways = ("damp towel, then dry", "tee")
    return tuple(_trial(when, *(_pitch(clean(dirty, how)) for how in ways), ("a towel", "a tee"))
                 for when, dirty in (("caked, dry day", tuned_soil("caked")),
                                     ("caked, dew", tuned_soil("caked", water=20 * um)),
                                     ("dusty", tuned_soil("dusty"))))


def _dirty(match):
    return tuple(_trial(name, _pitch(tuned_soil(name)), _pitch(), ("a dirty face", "a clean one"))
                 for name in ("dusty", "caked"))


def _clean(match):
    return tuple(_trial(f"against {name}", _pitch(), _pitch(tuned_soil(name)), ("a clean face", "a dirty one"))
                 for name in ("dusty", "caked"))


def _soft(match):
    return tuple(_trial(when, _pitch(between, ball=_SOFT), _pitch(between, ball=_HARD), ("a soft cover", "a hard one"))
                 for when, between in (("clean and dry", Between()), ("wet", WET)))


def _stopping(match):
    """Run-out of a 60 against a 54 for the same carry of 40 m."""
    habit, made = Habit(), []
    for when, between in (("clean and dry", Between()), ("wet", WET)):
        two = []
        for loft in (60 * deg, 54 * deg):
            arriving = habit.deliver(loft, 20.0)
            speed = carry_to_speed(40.0, arriving, Face(), _SOFT, between)
            two.append(Setting(arriving=arriving.but(head_speed=speed), face=Face(), ball=_SOFT, between=between))
        made.append(_trial(when, *two, ("a 60", "a 54"), "run_out", "difference"))
    return tuple(made)


def _faster(match):
    return tuple(_trial(when, _pitch(between, head_speed=24.0), _pitch(between), ("a swing of 24 m/s", "one of 20 m/s"))
                 for when, between in (("clean and dry", Between()), ("wet", WET)))


def _steep(match):
    return tuple(_trial(when, _pitch(between, attack_angle=-10 * deg), _pitch(between, attack_angle=-4 * deg),
                        ("10° down", "4° down")) for when, between in (("clean and dry", Between()), ("wet", WET)))


_WET_WORDS = r"\b(?:wet|water|rain|dew|damp|moist)"
KINDS = (
    Kind(example="a 60 spins more than a 54", pattern=r"\b(?P<this>\d\d)\b.*\bspin.*\bthan\b.*?\b(?P<that>\d\d)\b",
         trials=_lofts, picture="loft-and-spin-wedges",
         why="Loft adds spin only up to a peak, and the less friction there is, the earlier the peak comes."),
    Kind(example="wet halves the spin", pattern=_WET_WORDS + r".*\b(?:halv|half)", trials=lambda match: _wet(),
         half=True, picture="dry-and-wet-wet", why="How much is lost depends on the film: a micrometre costs a quarter."),
    Kind(example="a wet ball comes out lower", pattern=_WET_WORDS + r".*\b(?:launch|come|fl(?:y|ies)|start|leave)",
         trials=lambda match: _wet("launch_angle", "difference"), picture="words-a-pitch",
         why="A ball that slides leaves closer to where the face points."),
    Kind(example="a wet ball spins less", pattern=_WET_WORDS + r".*\bspin|\bspin.*" + _WET_WORDS,
         trials=lambda match: _wet(), picture="dry-and-wet-wet",
         why="A film carries part of the load, and only the rest is held by friction."),
    Kind(example="grooves let water out", pattern=r"\bgroove.*\b(?:water|wet|channel|drain)", trials=_channels,
         picture="film-thins-dew", why="Grooves shorten the water's way out from between ball and face."),
    Kind(example="worn grooves cost spin", pattern=r"\b(?:worn|old)\b.*\b(?:groove|wedge|face)", trials=_worn, wants=-1,
         picture="groove-shape-shallow-and-worn", why="Worn grooves hold less, and a polished face thins a film less well."),
    Kind(example="grooves grip the ball", pattern=r"\bgroove.*\b(?:grip|grab|bite|cut|spin|make|create)",
         trials=_grooves, picture="groove-shape-dew",
         why="Clean and dry, the flats make the spin; grooves are there for water and soil."),
    Kind(example="a towel is better than a tee", pattern=r"\btowel.*\btee\b", trials=_towel, picture="clean-face-caked-dew",
         source=SOURCES["lands"], why="A tee clears the grooves, a towel the flats, and the flats meet the ball."),
    Kind(example="a clean face spins more", pattern=r"\bclean", trials=_clean, picture="clean-face-caked-dry-day",
         source=SOURCES["lands"], why="Friction over soil is a fraction of that between cover and steel."),
    Kind(example="a dirty face costs spin", pattern=r"\b(?:dirt|soil|mud|sand)", trials=_dirty, wants=-1,
         picture="clean-face-caked-dry-day", source=SOURCES["lands"],
         why="Friction over soil is a fraction of that between cover and steel."),
    Kind(example="a soft ball spins more", pattern=r"\b(?:soft|premium)\b.*\b(?:ball|cover)?.*\bspin", trials=_soft,
         picture="dry-and-wet-clean-and-dry",
         why="When both grip, the cover hardly matters; where the ball slides, its friction does."),
    Kind(example="more loft stops quicker", pattern=r"\bloft.*\b(?:stop|check|run|roll|bite)", trials=_stopping, wants=-1,
         picture="one-carry-64", source=f"{SOURCES['flight']} {SOURCES['green']}",
         why="For the same carry, more loft comes down more steeply; what spin adds depends on the grip."),
    Kind(example="a faster swing spins more", pattern=r"\b(?:fast|hard|speed|quick)\w*\b.*\bspin", trials=_faster,
         picture="first-look-a-fuller-swing", why="Where the ball grips, spin grows with speed."),
    Kind(example="hitting down more adds spin", pattern=r"\b(?:down|steep)\w*\b.*\bspin", trials=_steep,
         picture="words-low-and-steep", why="Steeper at the same dynamic loft means more spin loft, up to the peak."),
)
"""All kinds of claims, the special ones first."""

EXAMPLES = tuple(kind.example for kind in KINDS)
_LESS = re.compile(r"\b(?:less|lower|fewer|reduc\w*|kill\w*|cost\w*|takes?|los\w*|worse|ruin\w*|decreas\w*|shorter)\b")
_NOT = re.compile(r"\b(?:not|no|never|don't|doesn't|isn't|cannot|can't)\b")
_LONGEST = 200


def check(claim: str) -> Answer:
    """Check a typed claim.  A kind that is not known is answered with what can be asked."""
    if len(claim) > _LONGEST:
        raise ValueError(f"a claim may have {_LONGEST} characters at most, got {len(claim)}; make it one sentence")
    text = claim.casefold().replace("’", "'").replace("°", " ")
    for kind in KINDS:
        match = re.search(kind.pattern, text)
        if match:
            return _answered(claim, text, kind, match)
    return Answer(claim=claim, verdict=UNKNOWN,
                  reason="this kind of claim is not known here. What can be asked, in words like these: "
                         + "; ".join(EXAMPLES) + ".")


def _answered(claim, text, kind, match):
    trials = kind.trials(match)
    verdict = _half(trials) if kind.half else _on_one_side(trials, _wanted(text, kind))
    if _NOT.search(text):
        verdict = {SHOWN: NOT_SO, NOT_SO: SHOWN}.get(verdict, verdict)
    reason = " ".join([*(trial.sentence for trial in trials), kind.why])
    return Answer(claim=claim, verdict=verdict, reason=reason, picture=kind.picture, source=kind.source,
                  trials=trials, why=kind.why)


def _half(trials):
    """Does one half lie in the bands?"""
    within = [trial.band.low <= 0.5 <= trial.band.high for trial in trials]
    return SHOWN if all(within) else DEPENDS if any(within) else NOT_SO


def _on_one_side(trials, wanted):
    """Do all trials lie on the side that is claimed?"""
    sides = [trial.side() * wanted for trial in trials]
    if all(side > 0 for side in sides):
        return SHOWN
    against = all(side < 0 or trial.alike for side, trial in zip(sides, trials))
    return NOT_SO if against else DEPENDS


def _wanted(text, kind):
    """The side the words claim; a few kinds say less by themselves (worn, dirty, stops)."""
    if kind.wants == -1:
        return 1 if re.search(r"\b(?:more spin|spins? more|adds?)\b", text) and "stop" not in kind.example else -1
    return -1 if _LESS.search(text) else 1
