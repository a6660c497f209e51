"""The desk of one's own shots: open a table, set mis-hits aside, compare, see the model beside it, write the handout.

Everything follows from a few choices; turning one works the whole report out again.  Without a browser it is plain Python:
``Desk(table=...)``, ``desk.choose(baseline="dry", other="wet")``, ``desk.report``.
"""

from __future__ import annotations

import html as _html
from datetime import date
from pathlib import Path
from weakref import WeakSet

from ..evidence import report as reports
from ..evidence import screen, table
from ..evidence.protocol import Protocol
from ..evidence.wording import saying
from ..files import inside
from ..messages import message_of
from ..panels.spoken import follow, units_of
from ..units import deg
from . import figures, pack
from .plate import STYLE, folded, listed, plate
from .style import UNITS

_WHOLE = Path(__file__).resolve().parents[2]
_OWN = "(a table of your own)"
RULE_SPAN = (20.0, 70.0)
"""What the boxes of the rule can be set to [°]."""


def demonstration_tables() -> dict[str, Path]:
    """The tables that come with the suite, by name; empty where only the package is installed."""
    folder = _WHOLE / "data"
    return {path.name: path for path in sorted(folder.glob("*")) if path.suffix in (".csv", ".xlsx", ".tsv", ".txt")}


class Desk:
    """A table of shots on the desk.

    Parameters
    ----------
    source : path, optional
        a table; the first demonstration table if left out
    baseline, other : str, optional
        the conditions to set against each other
    dynamic_loft : (low, high) or None
        the rule for mis-hits [rad]; None keeps every shot
    folder : path
        where the handout goes
    """

    def __init__(self, source=None, *, baseline=None, other=None, dynamic_loft=(40 * deg, 48 * deg), units=None,
                 by="condition", folder="."):
        self.by, self.folder = by, Path(folder)
        self.protocol = Protocol(rule=_rule(dynamic_loft), units=units_of(units))
        self.error, self.written, self._view, self._followers = "", None, None, WeakSet()
        self.source = self.read = self._report = None
        self.name = ""
        if source is None:
            found = demonstration_tables()
            if not found:
                raise ValueError("there is no demonstration table beside the package; give the path of a table")
            source = next(iter(found.values()))
        self.open(source, baseline=baseline, other=other)

    def open(self, source, *, baseline=None, other=None, units=None, columns=None, name="") -> Desk:
        """Read another table and report on it; `units` and `columns` answer what its headings leave open.

        A session brings its rule and its units.  Of a table that cannot be read or compared nothing is reported, and
        nothing of the table before it either.
        """
        self.source, self.name, self.read, self._report = source, name, None, None
        self.written = None
        self.read = table.read(source, units=units, columns=columns, name=name)
        self.protocol = self.read.protocol or self.protocol
        known = reports.conditions(self.read.frame, self.by)
        self._work(*(name if name in known else None for name in (baseline, other)))
        return self

    def bring(self, session) -> Desk:
        """Put a session of live entry on the desk and show it, also where it cannot be compared yet."""
        self._try(lambda: self.open(session))
        self.show()
        return self

    def choose(self, *, baseline=None, other=None, dynamic_loft=..., units=None) -> Desk:
        """Choose conditions, the rule or the units, and report again.  What is left out stays."""
        if units is not None and units not in UNITS:
            raise ValueError(f"units must be one of {', '.join(UNITS)}, got {units!r}")
        before = self.protocol
        rule = before.rule if dynamic_loft is ... else _rule(dynamic_loft)
        self.protocol = Protocol(rule=rule, units=units or before.units)
        if self.read is None:
            return self
        try:
            now = self._report
            self._work(baseline or now and now.baseline, other or now and now.other)
        except ValueError:
            self.protocol = before
            raise
        return self

    def _work(self, baseline, other):
        self._report = reports.make(self.read, by=self.by, baseline=baseline, other=other, protocol=self.protocol)
        self.written = None
        self._tell_followers()

    def _tell_followers(self):
        for follower in list(self._followers):
            follower.show()

    def _try(self, step):
        """Take a step; what goes wrong is told on the desk in our words."""
        try:
            step()
            self.error = ""
        except Exception as error:
            self.error = message_of(error)
            self._tell_followers()

    @property
    def report(self):
        """The report on the table that is on the desk (`spinlab.evidence.report.Report`).

        Raises
        ------
        ValueError
            the table could not be read or compared.
        """
        if self._report is None:
            why = self.error or "the table on the desk could not be compared"
            raise ValueError(f"there is no report: {why}. Open another table, or mend this one")
        return self._report

    @property
    def has_report(self) -> bool:
        """Is there a report on the table that is on the desk?"""
        return self._report is not None

    @property
    def units(self) -> str:
        """The units spoken: metric or yards."""
        return self.protocol.units

    @property
    def dynamic_loft(self):
        """The band of dynamic loft [rad] that counts; None where the rule does not ask for it."""
        return self.protocol.rule.band("dynamic_loft")

    @property
    def sentence(self) -> str:
        """The measured verdict in full, to say aloud."""
        return self.report.headline.sentence(self.units)

    @property
    def brief(self) -> str:
        """The measured verdict in at most 15 words, or why there is none."""
        return self._report.brief() if self._report else f"No verdict on this table: {self.error or 'it could not be read'}."

    def follow(self, build):
        """Something that is built from the report and built anew whenever another table, rule or unit is chosen.

        >>> desk.follow(lambda report: tell(report.brief()))            # doctest: +SKIP
        """
        from .following import Following

        return Following(self, build)

    def handout(self, *, coach="", logo=None, paper="A4", name="handout.html", date="") -> Path:
        """Write the handout of what is on the desk; returns where it is.  Its `date` is printed at the top."""
        sheet = pack.demonstration_sheet(self.report)
        self.folder = Path(self.folder)
        self.folder.mkdir(parents=True, exist_ok=True)
        page = pack.html(sheet, coach=coach, logo=logo, paper=paper, date=date)
        self.written = pack.write(page, inside(self.folder, name))
        return self.written

    def show(self):
        """Bring what is seen up to date, where the desk is shown."""
        if self._view is not None:
            self._view.apart()

    def _repr_mimebundle_(self, **options):
        if self._view is None:
            self._view = _View(self)
        return self._view.box._repr_mimebundle_(**options) | {"text/plain": self.brief}


class _View:
    """The desk as widgets: choices above, what follows from them below."""

    def __init__(self, desk):
        import ipywidgets as w

        from .desk_intake import Intake

        self.desk, self._quiet = desk, False
        wide, label = w.Layout(width="auto"), {"description_width": "8em"}
        tables = demonstration_tables()
        on_it = tables.get(desk.read.name.strip("“”"), _OWN) if desk.read else _OWN
        self.table = w.Dropdown(options=[(_OWN, _OWN), *tables.items()], description="Table", value=on_it, layout=wide,
                                style=label)
        self.baseline = w.Dropdown(description="Compare", layout=wide, style=label)
        self.other = w.Dropdown(description="with", layout=wide, style=label)
        self.units = w.Dropdown(options=[(UNITS[name].name, name) for name in UNITS], description="Units", layout=wide,
                                style=label)
        self.measure = w.Dropdown(description="Picture of", layout=wide, style=label)
        self.coach = w.Text(description="Your name", placeholder="for the handout; may stay empty", layout=wide, style=label)
        self.ruled = w.Checkbox(description="Set mis-hits aside", indent=False, layout=w.Layout(width="auto"))
        self.rule = rule_boxes(layout=w.Layout(width="17em", max_width="100%"), style={"description_width": "initial"})
        button = w.Layout(width="auto", min_width="14em")
        self.intake = Intake(self._brought)
        self.upload = self.intake.upload
        self.write = w.ToggleButton(description="Write the handout", icon="file", layout=button)
        self.wrong, self.said, self.picture, self.more = (w.HTML() for _ in range(4))
        columns = w.Layout(grid_template_columns="repeat(auto-fit, minmax(17em, 1fr))", grid_gap="2px 14px")
        row = w.Layout(flex_flow="row wrap", align_items="center", grid_gap="4px 14px")
        choices = [self.table, self.baseline, self.other, self.units, self.measure, self.coach]
        self.box = w.VBox([w.HTML(STYLE), w.GridBox(choices, layout=columns), self.intake.box, self.wrong,
                           w.HBox([self.ruled, *self.rule, self.write], layout=row), self.said, self.picture, self.more],
                          layout=w.Layout(padding="0 1em"))
        self.box.add_class("spin-desk")
        self.show()
        self.table.observe(self._opened, "value")
        for part in (self.baseline, self.other, *self.rule, self.ruled, self.units):
            part.observe(self._chosen, "value")
        self.measure.observe(self._draw, "value")
        self.write.observe(self._write, "value")
        follow(self.units)

    def _try(self, step):
        """Take a step; what goes wrong is told on the desk."""
        self.desk._try(step)
        self.show()

    def _opened(self, change):
        if change["new"] != _OWN and not self._quiet:
            self._try(lambda: self.desk.open(change["new"]))

    def _brought(self, source, **answers):
        """A table from outside the list, with what was answered about it."""
        self._try(lambda: self.desk.open(source, **answers))
        self.apart()

    def apart(self):
        """Show the report of a table that is not one of the list."""
        self._quiet, self.table.value = True, _OWN
        self._quiet = False
        self.show()

    def _chosen(self, _):
        if not self._quiet:
            band = tuple(box.value * deg for box in self.rule) if self.ruled.value else None
            self._try(lambda: self.desk.choose(baseline=self.baseline.value, other=self.other.value, dynamic_loft=band,
                                               units=self.units.value))

    def _write(self, change):
        if change["new"]:
            self.write.value = False
            self._try(lambda: self.desk.handout(coach=self.coach.value, date=f"{date.today():%Y-%m-%d}"))

    def show(self):
        """Put the report into the widgets; where there is none, why."""
        desk = self.desk
        self._quiet = True
        self.units.value = desk.units
        self.ruled.value = desk.dynamic_loft is not None
        for box, angle in zip(self.rule, desk.dynamic_loft or (None, None)):
            box.disabled = angle is None
            box.value = box.value if angle is None else round(angle / deg, 2)
        for part in (self.baseline, self.other, self.measure, self.write):
            part.disabled = not desk.has_report
        self._choices() if desk.has_report else self._no_choices()
        self._quiet = False
        if desk.read is not None:
            self.intake.ask(desk.source, desk.read.asked, desk.name)
        if not desk.has_report:
            self._say_why_not()
            return
        # all is worked out before anything changes: no picture of one table under the words of another
        picture, (said, more) = self._drawn(), self._words()
        self.wrong.value = f'<p role="alert"><b>{_html.escape(desk.error)}</b></p>' if desk.error else ""
        self.said.value, self.picture.value, self.more.value = said, picture, more

    def _choices(self):
        """The conditions and measures that can be chosen."""
        report = self.desk.report
        names = reports.conditions(report.table.frame, self.desk.by)
        self.baseline.options, self.other.options = names, names
        self.baseline.value, self.other.value = report.baseline, report.other
        seen, before = [v.of for v in report.headline.verdicts], self.measure.value
        self.measure.options = [(saying(of).noun, of) for of in seen]
        if seen:
            self.measure.value = before if before in seen else seen[0]

    def _no_choices(self):
        for part in (self.baseline, self.other, self.measure):
            part.options = ()

    def _say_why_not(self):
        """Nothing of the table before stays: only why this one has no verdict, and how it was read."""
        desk = self.desk
        self.said.value = self.picture.value = ""
        self.wrong.value = f'<p role="alert"><b>{_html.escape(desk.brief)}</b></p>'
        self.more.value = _told_as_it_is("How this table was read", desk.read.report()) if desk.read else ""

    def _words(self):
        """The verdict, 15 words large, the ranges under it and what the rule did; and all else, folded away."""
        from .desk_intake import left_out

        desk, report = self.desk, self.desk.report
        said = report.sentences()
        lines = [said["ranges"], report.kept_and_all(),
                 desk.written and f"The handout is in {desk.written}; open it in a browser and print it."]
        first = (f"<p class='spin-brief'>{_html.escape(said['brief'])}</p>"
                 + "".join(f"<p>{_html.escape(line)}</p>" for line in lines if line))
        rest = [said["measured"], said["modelled"], said.get("everything"), said["screening"], said.get("green"),
                said["limits"]]
        in_full = "".join(f"<p>{_html.escape(line)}</p>" for line in rest if line)
        told = "".join(f"<p>{_html.escape(line)}</p>" for line in left_out(report, desk.dynamic_loft))
        return first, (told + folded("In full, the model, and what the shots do not show", in_full) + self._which_count()
                       + _told_as_it_is("How the table was read, and every note", report.text()))

    def _which_count(self):
        """Every shot against the rule, and why some are set aside, folded away."""
        report, screening = self.desk.report, figures.screening_of(self.desk.report)
        if screening is None or not len(report.screened.set_aside) and not report.headline.verdicts:
            return ""
        reasons = listed(f"line {line}: {why}" for line, why in report.screened.set_aside["reason"].items())
        return folded("Which shots count, and why some do not",
                      plate(figures.set_aside_plot, screening, self.desk.units) + reasons)

    def _draw(self, _=None):
        """Put the picture of the chosen measure in."""
        if not self._quiet:
            self.picture.value = self._drawn()

    def _drawn(self):
        """The picture of the chosen measure; none where nothing can be compared yet."""
        if not self.desk.has_report or self.measure.value is None:
            return ""
        return plate(figures.difference_plot, figures.measured(self.desk.report, self.measure.value), self.desk.units)


def _rule(dynamic_loft):
    """The rule for mis-hits with this band of dynamic loft [rad]; every shot counts without one."""
    return screen.Rule() if dynamic_loft is None else screen.written(dynamic_loft=dynamic_loft)


def rule_boxes(**look):
    """Two number boxes for the band of dynamic loft: unlike the handles of a slider, each has a name that is read out."""
    import ipywidgets as w

    low, high = RULE_SPAN
    return tuple(w.BoundedFloatText(description=words, min=low, max=high, step=0.5, **look)
                 for words in ("Loft counts from [°]", "to [°]"))


def _told_as_it_is(title, text):
    """Lines as they stand, folded away."""
    return folded(title, f"<pre style='white-space:pre-wrap'>{_html.escape(text)}</pre>")
