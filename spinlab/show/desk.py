"""The desk of one's own shots: open a table, set mis-hits aside, compare, see the model beside it, write the handout.

Everything follows from a few choices; turning one works the whole report out again.  Without a browser it is plain Python:
``Desk(table=...)``, ``desk.choose(baseline="dry", other="wet")``, ``desk.report``.
"""

from __future__ import annotations

import html as _html
from pathlib import Path

from ..evidence import report as reports
from ..evidence import screen, table
from ..evidence.wording import saying
from ..files import inside
from ..units import deg
from . import figures, pack
from .plate import STYLE, folded, listed, plate
from .spoken import follow, units_of
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
        self.by, self.units, self.folder = by, units_of(units), Path(folder)
        self.dynamic_loft = dynamic_loft
        self.error, self.written, self._view = "", None, None
        if source is None:
            found = demonstration_tables()
            if not found:
                raise ValueError("there is no demonstration table beside the package; give the path of a table")
            source = next(iter(found.values()))
        self.open(source, baseline=baseline, other=other)

    def open(self, source, *, baseline=None, other=None, units=None, columns=None) -> Desk:
        """Read another table and report on it; `units` and `columns` answer what its headings leave open."""
        read = table.read(source, units=units, columns=columns)
        self.source, self.read = source, read
        known = reports.conditions(read.frame, self.by)
        baseline, other = (name if name in known else None for name in (baseline, other))
        self._work(read, baseline, other)
        return self

    def choose(self, *, baseline=None, other=None, dynamic_loft=..., units=None) -> Desk:
        """Choose conditions, the rule or the units, and report again.  What is left out stays."""
        if units is not None:
            if units not in UNITS:
                raise ValueError(f"units must be one of {', '.join(UNITS)}, got {units!r}")
            self.units = units
        before = self.dynamic_loft
        if dynamic_loft is not ...:
            self.dynamic_loft = dynamic_loft
        try:
            self._work(self.report.table, baseline or self.report.baseline, other or self.report.other)
        except ValueError:
            self.dynamic_loft = before
            raise
        return self

    def _work(self, read, baseline, other):
        has = "dynamic_loft" in read.frame.columns
        rule = screen.written(dynamic_loft=self.dynamic_loft) if self.dynamic_loft and has else screen.Rule()
        self.report = reports.make(read, by=self.by, baseline=baseline, other=other, rule=rule)

    @property
    def sentence(self) -> str:
        """The measured verdict, to say aloud."""
        return self.report.headline.sentence(self.units)

    def handout(self, *, coach="", logo=None, paper="A4", name="handout.html") -> Path:
        """Write the handout of what is on the desk; returns where it is."""
        sheet = pack.demonstration_sheet(self.report, units=self.units)
        self.folder = Path(self.folder)
        self.folder.mkdir(parents=True, exist_ok=True)
        self.written = pack.write(pack.html(sheet, coach=coach, logo=logo, paper=paper), inside(self.folder, name))
        return self.written

    def show(self):
        """Bring what is seen up to date, where the desk is shown."""
        if self._view is not None:
            self._view.apart()

    def _repr_mimebundle_(self, **options):
        if self._view is None:
            self._view = _View(self)
        return self._view.box._repr_mimebundle_(**options) | {"text/plain": self.sentence}


class _View:
    """The desk as widgets: choices above, what follows from them below."""

    def __init__(self, desk):
        import ipywidgets as w

        from .desk_intake import Intake

        self.desk, self._quiet = desk, False
        wide, label = w.Layout(width="auto"), {"description_width": "8em"}
        tables = demonstration_tables()
        self.table = w.Dropdown(options=[(_OWN, _OWN), *tables.items()], description="Table",
                                value=tables.get(desk.report.table.name.strip("“”"), _OWN), layout=wide, style=label)
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
        self.measure.observe(lambda _: self._quiet or self._draw(), "value")
        self.write.observe(self._write, "value")
        follow(self.units)

    def _try(self, step):
        """Take a step; what goes wrong is said on the desk and the last report stays."""
        try:
            step()
            self.desk.error = ""
        except (ValueError, OSError) as error:
            self.desk.error = str(error)
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
            self._try(lambda: self.desk.handout(coach=self.coach.value))

    def show(self):
        """Put the report into the widgets."""
        from .desk_intake import left_out

        desk, report = self.desk, self.desk.report
        self._quiet = True
        names = reports.conditions(report.table.frame, desk.by)
        self.baseline.options, self.other.options = names, names
        self.baseline.value, self.other.value, self.units.value = report.baseline, report.other, desk.units
        self.ruled.value = desk.dynamic_loft is not None
        for box, angle in zip(self.rule, desk.dynamic_loft or (None, None)):
            box.disabled = angle is None
            box.value = box.value if angle is None else round(angle / deg, 2)
        seen, before = [v.of for v in report.headline.verdicts], self.measure.value
        self.measure.options = [(saying(of).noun, of) for of in seen]
        self.measure.value = before if before in seen else seen[0]
        self._quiet = False
        self.wrong.value = f'<p role="alert"><b>{_html.escape(desk.error)}</b></p>{self._as_read()}' if desk.error else ""
        self.intake.ask(desk.source, desk.read.asked)
        said = report.sentences(desk.units)
        self.said.value = f"<p style='font-size:1.25em;line-height:1.35'>{_html.escape(said['measured'])}</p>"
        where = desk.written and f"The handout is in {desk.written}; open it in a browser and print it."
        rest = [where, said["modelled"], said.get("everything"),
                *left_out(report, said["screening"], desk.dynamic_loft), said.get("green"), said["limits"]]
        whole = report.text(desk.units)
        self.more.value = ("".join(f"<p>{_html.escape(line)}</p>" for line in rest if line)
                           + self._which_count() + _told_as_it_is("How the table was read, and every note", whole))
        self._draw()

    def _as_read(self):
        """What came of a table that could be read but not compared."""
        read = self.desk.read
        if read is self.desk.report.table:
            return ""
        return _told_as_it_is("How this table was read; below still stands the one before", read.report())

    def _which_count(self):
        """Every shot against the rule, and why some are set aside, folded away."""
        report, screening = self.desk.report, figures.screening_of(self.desk.report)
        if screening is None:
            return ""
        reasons = listed(f"line {line}: {why}" for line, why in report.screened.set_aside["reason"].items())
        return folded("Which shots count, and why some do not",
                      plate(figures.set_aside_plot, screening, self.desk.units) + reasons)

    def _draw(self):
        """Put the picture of the chosen measure in."""
        compared = figures.measured(self.desk.report, self.measure.value)
        self.picture.value = plate(figures.difference_plot, compared, self.desk.units)


def rule_boxes(**look):
    """Two number boxes for the band of dynamic loft: unlike the handles of a slider, each has a name that is read out."""
    import ipywidgets as w

    low, high = RULE_SPAN
    return tuple(w.BoundedFloatText(description=words, min=low, max=high, step=0.5, **look)
                 for words in ("Loft counts from [°]", "to [°]"))


def _told_as_it_is(title, text):
    """Lines as they stand, folded away."""
    return folded(title, f"<pre style='white-space:pre-wrap'>{_html.escape(text)}</pre>")
