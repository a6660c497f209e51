"""Handouts of a lesson and of a player, and any handout as a file: ``write("page.pdf", sheet)``."""

from __future__ import annotations

from pathlib import Path

from .. import __version__
from ..care import SAFETY, WATER
from ..evidence.routine import routine
from ..files import write_atomically
from ..physics.bands import band
from ..physics.setting import Setting, in_words, quantity_named, round_step, with_unit
from ..physics.shares import Shares, shares
from . import figures, pack
from .pack import FIX_FIRST, Grid, Section, Sheet, picture

_FIRST_STEPS = 4
_ASKED = ("spin_rate", "launch_angle", "ball_speed", "carry", "descent_angle", "run_out")
_YARDS = {"m/s": "mph", "m": "yd"}
MODEL_ONLY = ("The numbers come from a model of contact, flight and green. Its bands hold nine of ten draws of the numbers "
              "that nobody has measured well enough; they say nothing about what the model leaves out.")
CARE = Section(title="Take care", items=(*SAFETY[:3], WATER[-1]), care=True)
"""The cautions that every handout ends with; the last is the practice-only note."""
MOST_PLAYER = 40
"""Letters of a player's name [-]; it stands in a title and names files."""


def write(path, sheet: Sheet, **signed) -> Path:
    """Write a handout as its name says: .pdf or .html.  `paper`, `coach`, `logo`, `date`, `link` as in `pack.html`."""
    path = Path(path)
    if path.suffix.lower() == ".pdf":
        from .sheetpdf import pdf

        return write_atomically(path, pdf(sheet, **signed))
    if path.suffix.lower() in (".html", ".htm"):
        return pack.write(pack.html(sheet, **signed), path)
    raise ValueError(f"a handout's name must end in .pdf or .html, got {path.name!r}")


def write_both(stem, sheet: Sheet, **signed) -> list[Path]:
    """A handout as PDF and as HTML beside it, into a folder that is made if there is none; `signed` as in `write`."""
    Path(stem).parent.mkdir(parents=True, exist_ok=True)
    return [write(f"{stem}.{form}", sheet, **signed) for form in ("pdf", "html")]


def picture_sheet(exhibit, *, sentences=(), units="metric") -> Sheet:
    """The handout of a picture: what it shows, up to three sentences more, checklist, cautions."""
    shown = picture(exhibit.build, exhibit.make(), units=units, caption=exhibit.source, width=2000)
    words = (exhibit.band, *sentences[:3], MODEL_ONLY)
    sections = (
        Section(title="What it rests on", words=tuple(filter(None, words))),
        Section(title="What to do first", items=FIX_FIRST, ordered=True),
        CARE,
    )
    return Sheet(title=exhibit.title, lead=shown.sentence, pictures=(shown,), sections=sections, footer=_footer())


def player_sheet(player: Setting, reference: Setting, *, name="", bag="", units="metric",
                 split: Shares | None = None) -> Sheet:
    """The handout of a player: what separates their spin from a reference's, cause by cause, what to do first, and the
    routine before every shot.

    Parameters
    ----------
    player, reference : Setting
        such as those of `spinlab.physics.players` or of a bag
    name : str
        stands in the title, `MOST_PLAYER` letters at most; "You" if empty
    bag : str
        sentences on the clubs, such as `spinlab.evidence.clubs.Advice.say` gives
    split : Shares, optional
        as already worked out
    """
    name = name.strip() or "You"
    if len(name) > MOST_PLAYER:
        raise ValueError(f"the player's name must have at most {MOST_PLAYER} letters, got {len(name)}; shorten it")
    split = split or shares(player, reference)
    shown = picture(figures.shares_bars, figures.split_of(split), units=units, width=2000,
                    caption="Each bar: a cause's fair share, its average over every order of putting things right; "
                            "whiskers: the bands of the model's uncertain numbers.")
    steps = split.plan()[:_FIRST_STEPS]
    todo = tuple(f"{step.cause.advice[:1].upper()}{step.cause.advice[1:]}: {_gain(step)}." for step in steps)
    sections = (
        Section(title="What to do first: gains in this order", items=todo or FIX_FIRST, ordered=True),
        Section(title="How to read it", words=(split.say(), MODEL_ONLY)),
        *([Section(title="Your clubs", words=(bag,))] if bag else []),
        Section(title="Before every shot", items=tuple(item.do for item in routine()["Before the shot"].items), ticks=True),
        CARE,
    )
    return Sheet(title=f"{name}: where the spin goes", lead=split.one_thing(), pictures=(shown,),
                 tables=(numbers(player, reference, units=units),), sections=sections, footer=_footer())


def _gain(step):
    """What a step brings on top of those before, with its band."""
    unit = quantity_named(step.gain.of).unit
    jump = round_step(step.gain.high - step.gain.low, unit)
    low, mid, high = (in_words(value, jump, unit) for value in (step.gain.low, step.gain.mid, step.gain.high))
    return f"about {with_unit(mid, unit)} more (likely {low} to {with_unit(high, unit)})"


def numbers(player: Setting, reference: Setting, *, units="metric", names=("as you are", "as it could be")) -> Grid:
    """What both shots do, with bands, as a table of words."""
    found = [band(s.arriving, s.face, s.ball, s.between, s.air, s.green, of=_ASKED) for s in (player, reference)]
    rows = []
    for of in _ASKED:
        unit = quantity_named(of).unit
        unit = _YARDS.get(unit, unit) if units == "yards" else unit
        cells = []
        for bands in found:
            step = round_step(bands[of].high - bands[of].low, unit)
            low, mid, high = (in_words(v, step, unit) for v in (bands[of].low, bands[of].mid, bands[of].high))
            cells.append(f"{with_unit(mid, unit)} ({low} … {high})")
        rows.append((quantity_named(of).noun, *cells))
    return Grid(head=("", *names), rows=tuple(rows), caption="In brackets: the band of the model, nine draws of ten.")


def _footer():
    return f"Made with wedge-spinlab {__version__}. Angles against level ground; the players of the examples are invented."
