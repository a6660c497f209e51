"""Words to take away: a claim sheet, a storyboard with timings, and tables that are safe to open in a spreadsheet."""

from __future__ import annotations

import csv
import io
from dataclasses import astuple, dataclass, fields
from pathlib import Path

from .. import __version__
from ..files import write_atomically
from .facts import UNKNOWN, check
from .pack import Section, Sheet
from .shapes import first_up

WORDS_A_SECOND = 2.4
"""How fast people speak in a film: about 145 words a minute (common practice, no source)."""
_LEAST, _PAUSE = 4.0, 0.8
MODEL = "the model, one pitch, 128 draws of its uncertain numbers"


@dataclass(frozen=True, kw_only=True)
class Claim:
    """A sentence to say aloud, what it is `about`, the `number` in it, its `band`, the shots or model it `rests_on`, and the
    `source` with its mark (S seen, Q quoted, M from memory, C computed, J our judgement)."""

    about: str
    sentence: str
    number: str
    band: str
    rests_on: str
    source: str


DEFAULT_CLAIMS = ("a wet ball spins less", "a wet ball comes out higher", "grooves grip the ball", "grooves let water out",
                  "a towel is better than a tee", "a 60 spins more than a 54", "a soft ball spins more",
                  "more loft stops quicker")
"""The claims a sheet begins with; each is checked anew."""


def claims(asked=DEFAULT_CLAIMS, *, report=None, units="metric") -> tuple[Claim, ...]:
    """Sentences with their numbers: first those of a measured demonstration, if given, then one for each claim asked.

    A claim that is not so, or depends, becomes the sentence that may be said instead.
    """
    made = list(_measured(report, units)) if report is not None else []
    for words in asked:
        answer = check(words, units)
        if answer.verdict == UNKNOWN:
            raise ValueError(f"{words!r}: {answer.reason}")
        for trial in answer.trials:
            low, mid, high = _spoken(trial.band, units)
            made.append(Claim(about=f"“{words}”: {answer.verdict}", sentence=trial.sentence, number=mid,
                              band=f"{low} to {high}", rests_on=MODEL, source=answer.source))
    return tuple(made)


def _spoken(band, units="metric"):
    """Low, mid and high of a band as short words."""
    if band.kind == "ratio":
        return tuple(f"{sign}{value:.2f}" for sign, value in (("", band.low), ("× ", band.mid), ("", band.high)))
    from ..physics.setting import in_words, round_step, with_unit

    unit = {"m": "yd", "m/s": "mph"}.get(band.unit, band.unit) if units == "yards" else band.unit
    step = round_step(band.high - band.low, unit)
    low, mid, high = (in_words(value, step, unit) for value in (band.low, band.mid, band.high))
    return low, with_unit(mid, unit), with_unit(high, unit)


def _measured(report, units):
    """One claim for each measure of a demonstration."""
    from ..evidence.wording import saying

    for verdict in report.headline.verdicts:
        say, test = saying(verdict.of), verdict.only
        if say.as_ratio and test.test.ratio:
            r = test.test.ratio
            number, band = f"× {r.value:.2f}", f"{r.low:.2f} to {r.high:.2f}"
        else:
            d = test.test.difference
            number = say.number(d.value, units, signed=True)
            band = f"{say.number(d.low, units, signed=True)} to {say.number(d.high, units, signed=True)}"
        shots = f"{test.baseline.n} {report.baseline} and {test.other.n} {report.other} shots of {report.table.name}"
        yield Claim(about=f"Measured: {say.noun}", sentence=verdict.sentence(units), number=number, band=band,
                    rests_on=shots, source="measured; ranges at 95 % by Welch 1947, ratios by Fieller 1954 [C]")


def claim_sheet(found, *, title="What may be said, and how sure it is") -> Sheet:
    """The claims as a handout."""
    sections = []
    for about in dict.fromkeys(claim.about for claim in found):
        some = [claim for claim in found if claim.about == about]
        rests_on = "Rests on: " + "; ".join(dict.fromkeys(claim.rests_on for claim in some)) + "."
        said = tuple(claim.sentence for claim in some)
        sections.append(Section(title=first_up(about), items=said, words=(rests_on,)))
    sources = tuple(dict.fromkeys(c.source for c in found))
    return Sheet(title=title, lead="Each number stands with its band. Say both.",
                 sections=(*sections, Section(title="Sources", items=sources)),
                 footer=f"Made with wedge-spinlab {__version__}. Marks: S seen, Q quoted by a later text, M from memory, "
                        "C computed, J our judgement.")


# -- storyboard -------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class Shot:
    """One shot of a film: from `begin` to `end` [s], what is `seen` and what is `said`."""

    begin: float
    end: float
    seen: str
    said: str


STORY = (
    ("You, ball and wedge in hand",
     "Half a thousandth of a second: that is how long face and ball touch. All spin is made then.", ""),
    ("Clip dry-and-wet", None, "a wet ball spins less"),
    ("Picture words-a-pitch", None, "a wet ball comes out higher"),
    ("Clip grooves-draining", None, "grooves let water out"),
    ("Clip loft-sweep", None, "a 60 spins more than a 54"),
    ("You, wiping the face", None, "a towel is better than a tee"),
    ("You, to the camera",
     "Wetting face or ball on purpose is for the practice ground only. Drying and towelling are fine.", ""),
)
"""The story as it is offered: what is seen, and what is said or the claim whose checked sentence is said."""


def storyboard(story=STORY) -> tuple[Shot, ...]:
    """A film in shots with timings: as long as the words take, four seconds at least."""
    made, now = [], 0.0
    for seen, said, claim in story:
        if said is None:
            answer = check(claim)
            if answer.verdict == UNKNOWN:
                raise ValueError(f"{claim!r}: {answer.reason}")
            said = f"{answer.trials[-1].sentence} {answer.why}"
        lasts = max(_LEAST, round(len(said.split()) / WORDS_A_SECOND + _PAUSE, 1))
        made.append(Shot(begin=now, end=round(now + lasts, 1), seen=seen, said=said))
        now = made[-1].end
    return tuple(made)


# -- tables and files -------------------------------------------------------------------------------------------------

_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")


def neutral(value):
    """A cell that no spreadsheet takes for a formula: words that begin like one get an apostrophe; numbers stay numbers.
    What parts thousands for a reader would break a number for a program: it goes."""
    if not isinstance(value, str):
        return value
    value = value.replace("\u202f", "")
    return "'" + value if value.lstrip(" \u00a0").startswith(_STARTS) or value.startswith(_STARTS) else value


def csv_text(records) -> str:
    """Records of one kind as CSV: their field names as headings, every cell harmless."""
    records = list(records)
    if not records:
        raise ValueError("a table needs one line at least; there is nothing to write")
    out = io.StringIO()
    table = csv.writer(out, lineterminator="\r\n")
    table.writerow([f.name.replace("_", " ") for f in fields(records[0])])
    table.writerows([[neutral(cell) for cell in astuple(record)] for record in records])
    return out.getvalue()


def plain_text(records) -> str:
    """Records as text to read."""
    parts = []
    for number, record in enumerate(records, 1):
        lines = [f"{f.name.replace('_', ' ')}: {_cell(getattr(record, f.name))}" for f in fields(record)]
        parts.append(f"{number}.\n" + "\n".join(lines))
    return "\n\n".join(parts) + "\n"


def _cell(value):
    return f"{int(value // 60)}:{value % 60:04.1f}" if isinstance(value, float) else value


def write(records, path) -> Path:
    """Write claims or a storyboard as the name says: .csv, .txt, or (claims) .pdf and .html."""
    path, records = Path(path), list(records)
    form = path.suffix.lower()
    if form == ".csv":
        return write_atomically(path, csv_text(records).encode("utf-8-sig"))  # the mark lets spreadsheets read µ and °
    if form == ".txt":
        return write_atomically(path, plain_text(records).encode("utf-8"))
    if form in (".pdf", ".html") and all(isinstance(r, Claim) for r in records):
        from .sheets import write as write_sheet

        return write_sheet(path, claim_sheet(records))
    raise ValueError(f"words can be written as .csv or .txt, claims also as .pdf or .html, got {path.name!r}")
