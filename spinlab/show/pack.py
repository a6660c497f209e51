"""What people take away: the one-page handout, as one self-contained HTML file that prints well.

Every word from a table, a name or a logo is escaped; the page asks nothing of the network (its own policy forbids it).
"""

from __future__ import annotations

import base64
import re
from dataclasses import dataclass, field
from pathlib import Path

from .. import __version__
from ..care import SAFETY, WATER
from ..files import write_atomically
from ..units import deg
from . import figures
from .style import UNITS, look

PAPERS = {"A4": ("A4", "9pt"), "Letter": ("letter", "8.6pt")}
MOST_NAME, MOST_LOGO, MOST_PIXELS, MOST_LINK = 80, 300_000, 4000, 300
_LOGO_KINDS = {b"\x89PNG\r\n\x1a\n": "image/png", b"\xff\xd8\xff": "image/jpeg"}

FIX_FIRST = (
    "Clean face, lands and grooves, before every pitch; then dry it.",
    "A clean, dry ball with a soft cover.",
    "Read the lie: grass, dew or sand between face and ball costs spin whatever you do.",
    "Then technique: centred strikes and a loft you can repeat.",
)


@dataclass(frozen=True, kw_only=True)
class Section:
    """A heading with paragraphs and a list; `ticks` puts a box to tick before each item."""

    title: str
    words: tuple[str, ...] = ()
    items: tuple[str, ...] = ()
    ordered: bool = False
    care: bool = False
    ticks: bool = False


@dataclass(frozen=True, kw_only=True)
class Sheet:
    """What stands on one page, before it is HTML."""

    title: str
    lead: str = ""
    pictures: tuple = ()
    tables: tuple = ()
    sections: tuple[Section, ...] = ()
    footer: str = ""


@dataclass(frozen=True, kw_only=True)
class Grid:
    """A table of words; `blank` leaves room to write in, `text` sets its columns as running text."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    caption: str = ""
    blank: bool = False
    text: bool = False


@dataclass(frozen=True, kw_only=True)
class Shown:
    """A picture on a sheet: PNG bytes, its sentence (the alternative text) and a caption."""

    png: bytes = field(repr=False)
    sentence: str
    caption: str = ""

    @property
    def data(self) -> str:
        return data_uri("image/png", self.png)


def picture(build, result, *, units="metric", caption="", width=1500, half=False) -> Shown:
    """A builder's picture for a sheet, sharp in print; `half` stands beside another and has larger text."""
    import io

    from .picture import Picture

    size = look("page")
    drawn = Picture(build, size.but(text=21, small=19, line_width=3, height=470) if half else size)
    sentence = drawn.show(result, UNITS[units])
    out = io.BytesIO()
    drawn.save(out, form="png", width=width)
    return Shown(png=out.getvalue(), sentence=sentence, caption=caption)


def html(sheet: Sheet, *, paper="A4", coach="", logo=None, date="", link="") -> str:
    """The sheet as one HTML page.

    Parameters
    ----------
    paper : {"A4", "Letter"}
    coach : str
        a name to print, 80 characters at most
    logo : path, optional
        a PNG or JPEG file of at most 300 kB
    link : str
        an address (http or https) to print, with its QR code

    Raises
    ------
    ValueError
        paper, name, logo or link is not as above; the message says the value, the bound and the cure.
    """
    from jinja2 import Environment, StrictUndefined

    signed(paper=paper, coach=coach, link=link)
    size, print_size = PAPERS[paper]
    template = Environment(autoescape=True, undefined=StrictUndefined, trim_blocks=True).from_string(
        (Path(__file__).parent / "handout.html").read_text(encoding="utf-8"))
    return template.render(title=sheet.title, lead=sheet.lead, pictures=sheet.pictures, tables=sheet.tables,
                           sections=sheet.sections, footer=sheet.footer, paper=size, print_size=print_size, coach=coach,
                           logo=_logo(logo), date=date, link=link, code=data_uri("image/png", qr_png(link)) if link else "")


def write(page: str, path) -> Path:
    """Write a page so that no half file is ever left under its name; its folder is made if there is none."""
    Path(path).parent.mkdir(parents=True, exist_ok=True)
    return write_atomically(path, page.encode("utf-8"))


def signed(*, paper, coach, link):
    """Refuse a paper, a name or a link that cannot stand on a sheet."""
    if paper not in PAPERS:
        raise ValueError(f"paper must be one of {', '.join(PAPERS)}, got {paper!r}")
    if len(coach) > MOST_NAME:
        raise ValueError(f"the name must have at most {MOST_NAME} characters, got {len(coach)}; shorten it")
    if link and (len(link) > MOST_LINK or not re.fullmatch(r"https?://[^\s<>\"']+", link)):
        raise ValueError(f"the link must begin with http:// or https:// and have at most {MOST_LINK} characters, without "
                         f"blanks, got {link[:60]!r}")


def qr_png(link: str) -> bytes:
    """The QR code of a link as a PNG."""
    import io

    import segno

    out = io.BytesIO()
    segno.make(link, error="m", micro=False).save(out, kind="png", scale=6, border=2)
    return out.getvalue()


def logo_bytes(path) -> tuple[str, bytes]:
    """Kind and content of a logo's file, whole and within bounds."""
    from PIL import Image

    data = Path(path).read_bytes()
    kind = next((kind for start, kind in _LOGO_KINDS.items() if data.startswith(start)), None)
    if kind is None:
        raise ValueError(f"the logo {Path(path).name!r} is neither a PNG nor a JPEG file; save it as one of these")
    if len(data) > MOST_LOGO:
        raise ValueError(f"the logo has {len(data) / 1000:.0f} kB, at most {MOST_LOGO / 1000:.0f} kB fit; make it smaller")
    try:
        with Image.open(path) as picture:
            wide, high = picture.size
            if max(wide, high) <= MOST_PIXELS:
                picture.load()
    except (OSError, SyntaxError, ValueError) as trouble:
        raise ValueError(f"the logo {Path(path).name!r} cannot be read ({trouble}); save it anew") from trouble
    if max(wide, high) > MOST_PIXELS:
        raise ValueError(f"the logo has {wide} × {high} pixels, at most {MOST_PIXELS} each way fit; make it smaller")
    return kind, data


def _logo(path):
    return "" if path is None else data_uri(*logo_bytes(path))


def data_uri(kind, data) -> str:
    """A file inside a page: `kind` is its media type."""
    return f"data:{kind};base64," + base64.b64encode(data).decode()


# -- sheets -----------------------------------------------------------------------------------------------------------


def demonstration_sheet(report, *, units=None, title=None) -> Sheet:
    """The handout of one measured demonstration (`spinlab.evidence.report.make`), in its own units unless said otherwise."""
    units = units or report.protocol.units
    said = report.sentences(units)
    seen = [v.of for v in report.headline.verdicts][:2]
    captions = ("Every shot that was compared; crosses: averages with the range that fits these shots.",
                "On the right of each: the difference with its range, and the model's with its band.")
    shown = tuple(picture(figures.difference_plot, figures.measured(report, of), units=units, caption=caption,
                          half=len(seen) == 2) for of, caption in zip(seen, captions))
    words = [said["measured"], said["modelled"], *([said["everything"]] if "everything" in said else []), said["screening"]]
    sections = (
        Section(title="In full, the model, and how the shots were chosen", words=tuple(words)),
        Section(title="What these shots do not prove", words=(said["limits"],),
                items=tuple(note[0].upper() + note[1:] + "." for note in report.doubts(units))),
        Section(title="What to do first", items=FIX_FIRST, ordered=True),
        Section(title="Take care", items=(*SAFETY, *WATER), care=True),
    )
    reading = [report.headline.verdicts[0].reading] if report.headline.verdicts else []
    title = title or f"{report.other[:1].upper()}{report.other[1:]} against {report.baseline}: what the shots show"
    made = [f"Shots: {report.table.name}.", f"Made with wedge-spinlab {__version__}.", *reading]
    return Sheet(title=title, lead=f"{said['brief']} {said['ranges']}", pictures=shown,
                 tables=(numbers(report, units),) if report.headline.verdicts else (), sections=sections,
                 footer=" ".join(made))


def plan_sheet(plan, *, units="metric", title=None) -> Sheet:
    """The sheet of a plan (`spinlab.evidence.plan.plan`): a blank line a shot in the order to hit, rules, kit, cautions."""
    from ..evidence.fields import Field

    heads = [Field.of(name, units).heading.replace("_", " ") for name in plan.columns]
    rows = [(str(row["shot"]), "spare" if row["spare"] else str(row["block"]), row["condition"], *[""] * len(heads), "", "")
            for row in plan.sheet_rows()]
    grid = Grid(head=("shot", "block", "condition", *heads, "counts?", "note"), rows=tuple(rows), blank=True,
                caption="One line a shot, in this order. Write down every shot; whether it counts is decided by the rule.")
    chances = "; ".join(f"{n} each: {odds(chance)}" for n, chance in plan.chances)
    sections = (
        Section(title="Fixed before the first ball", items=plan.rules, ordered=True),
        Section(title="Take along", items=plan.kit),
        Section(title="The chance of a convincing result, by number of shots", words=(chances + ".",)),
        Section(title="Take care", items=plan.cautions, care=True),
    )
    title = title or f"Plan: {' against '.join(reversed(plan.conditions))}"
    return Sheet(title=title, lead=plan.sentence(units), tables=(grid,), sections=sections,
                 footer="Player: ____________________   Club and ball: ____________________   Place and date: "
                        f"____________________   Made with wedge-spinlab {__version__}.")


def odds(chance: float) -> str:
    """A chance in words: nothing is quite certain."""
    return "over 99 %" if chance > 0.99 else f"{100 * chance:.0f} %"


def numbers(report, units) -> Grid:
    """Averages, differences and their ranges as a table of words."""
    from ..evidence.wording import saying

    rows = []
    for verdict in report.headline.verdicts:
        say, test = saying(verdict.of), verdict.only
        gap, ratio = test.test.difference, test.test.ratio
        show = [say.number(g.mean, units) for g in (test.baseline, test.other)]
        span = f"{say.number(gap.low, units, signed=True)} … {say.number(gap.high, units, signed=True)}"
        times = f"× {ratio.value:.2f} ({ratio.low:.2f} … {ratio.high:.2f})" if ratio and say.as_ratio else "–"
        model = "–"
        if report.modelled and verdict.of in report.modelled.values:
            change = report.modelled.change(verdict.of)
            model = f"× {change:.2f}" if say.as_ratio else say.number(change, units, signed=True)
        outcome = {"shown": "shown", "small": "shown to be small"}.get(test.outcome, "not shown")
        rows.append((say.noun, *show, say.number(gap.value, units, signed=True), span, times, model, outcome))
    head = ("", report.baseline, report.other, "difference", "range", "ratio (range)", "model", "verdict")
    n = report.headline.verdicts[0].only
    caption = f"Averages of {n.baseline.n} {report.baseline} and {n.other.n} {report.other} shots; ranges at 95 %."
    return Grid(head=head, rows=tuple(rows), caption=caption)


def default_rule():
    """The rule for mis-hits offered to begin with: dynamic loft 40° … 48°, for a pitch played with a mid-40s loft."""
    from ..evidence.screen import written

    return written(dynamic_loft=(40 * deg, 48 * deg))
