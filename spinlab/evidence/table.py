"""Any table of measured shots → one tidy frame in SI, with what was understood, set apart, refused and asked.

Nothing is lost: every line of the source that is not blank is a shot, is set apart, or is refused, each with its reason.
Nothing is guessed: a unit or a word that could mean two things is asked about, and its column is kept as written.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from operator import itemgetter
from pathlib import Path

import numpy as np

from .intake import sidecar as sidecars
from .intake.columns import COLUMNS, heading
from .intake.layout import headings, lay_out
from .intake.reading import Reading
from .intake.sheet import UNSEEN, TableError, load
from .intake.sidecar import remember
from .journal import Journal, is_session
from .protocol import Protocol
from .wording import listed, not_measured

__all__ = ["Table", "TableError", "read", "remember"]


@dataclass(frozen=True, kw_only=True)
class Table:
    """A table of shots as it was read.

    Attributes
    ----------
    frame : DataFrame
        one row a shot, in SI and radians under our column names; columns not understood keep their headings and cells.
        The index (`line`) is the line in the source.
    understood : DataFrame
        column, name, unit, how: what each heading was taken for.
    refused : DataFrame
        line, column, value, reason, cure, row: a line with a cell that cannot be read, kept whole in `row`.
    set_apart : DataFrame
        line, reason, row: titles, headings, units, averages.
    asked : DataFrame
        column, question, choices, cure: what only the user can say.
    notes : tuple of str
        what else is worth knowing (missing cells, spellings made one).
    """

    frame: object
    understood: object
    refused: object
    set_apart: object
    asked: object
    notes: tuple[str, ...] = ()
    name: str = "the table"
    how: str = ""
    protocol: Protocol | None = None
    """Rule and units fixed before the first ball, where the table is a session that knows them."""
    begun: str = ""
    """When its first shot was typed, where the table is a session."""

    @property
    def counts(self) -> dict[str, int]:
        """Lines that are not blank: ``read = shots + set apart + refused``."""
        shots, apart, refused = len(self.frame), len(self.set_apart), len(self.refused)
        return {"read": shots + apart + refused, "shots": shots, "set apart": apart, "refused": refused}

    def why_absent(self, measure: str) -> str:
        """Why there is no column of this measure: it was not measured, or what stands there was not understood."""
        asked = [row.column for row in self.asked.itertuples() if row.column not in self.frame or measure in row.choices
                 or heading(row.column).name == measure]
        mine = [column for column in asked if heading(column).name == measure]
        known = self.understood
        unknown = known.loc[(known["name"] == "") & (known["how"] == "kept as it is"), "column"]
        columns = mine or [*asked, *unknown]
        if not columns:
            return not_measured(measure)
        return f"was not understood ({listed(f'“{column}”' for column in columns[:3])})"

    def report(self) -> str:
        """All of this in plain words."""
        from .intake.told import report

        return report(self)


def read(source, *, units=None, columns=None, sidecar=True, sheet=None, name="") -> Table:
    """Read a table of measured shots.

    A session (`spinlab.evidence.journal`) is read as the shots that stand in it: without those undone or deleted, as last
    corrected; its rule and units come along in ``.protocol``.

    Parameters
    ----------
    source : path, bytes, open file, or pasted text (with line breaks)
        CSV with commas, semicolons, tabs, upright bars or blanks, or an .xlsx workbook.
    units : dict, optional
        a heading's (or column's) unit, where the table does not say it: ``{"Carry": "yd"}``.  ``"° down"`` says that an
        attack angle is counted downward.
    columns : dict, optional
        a heading's meaning, where it is not known by its words: ``{"Tempo": "head_speed"}``; None leaves it as it is.
    sidecar : bool
        use what `remember` has kept beside the file; what is said here comes first.
    sheet : str, optional
        the sheet of a workbook; else the one that names most columns.
    name : str
        what to call it, where the source has no file name of its own.

    Raises
    ------
    TableError
        nothing can be read at all: no file, no table, too large, no line with headings, two columns with one meaning given.
    """
    if isinstance(source, Journal) or isinstance(source, (str, Path)) and _is_path(source) and is_session(source):
        return _of_session(source if isinstance(source, Journal) else Journal.open(source))
    columns, units, notes = _told(source, units, columns, sidecar)
    raw = load(source, sheet=sheet)
    layout = lay_out(raw.rows, raw.lines, columns)
    cells = _by_column([raw.rows[i] for i in layout.shots], len(layout.headers))
    reading = Reading(layout.headers, headings(layout, columns), cells, layout.units, units)
    reading.notes += [*notes, *raw.notes]
    reading.run(layout.sections)
    return _table(raw, layout, reading, f"“{_seen(name)}”" if name else _name(source))


def _of_session(journal):
    """The shots that stand in a session, read like any table."""
    deleted, torn = sum(one.deleted for one in journal.shots.values()), len(journal.notes)
    notes = [f"{deleted} shot{'s' * (deleted > 1)} deleted"] if deleted else []
    notes += [f"{torn} line{'s' * (torn > 1)} not counted"] if torn else []
    table = read(journal.table, sidecar=False)
    return replace(table, name=_seen(journal.title), how="typed in as they were hit", protocol=journal.protocol,
                   begun=journal.begun, notes=(*table.notes, *notes))


def _seen(name):
    """A name without what nobody sees, and not endless."""
    return UNSEEN.sub(" ", name)[:120]


def _is_path(source):
    return isinstance(source, Path) or not {"\n", "\r", "\0"} & set(source)


def _told(source, units, columns, use_sidecar):
    """What the user says now and said before, and a note when what was said before cannot be used."""
    columns, units = sidecars.check(columns or {}, units or {})
    if not (use_sidecar and isinstance(source, (str, Path)) and _is_path(source)):
        return columns, units, []
    (before, before_units), note = sidecars.recall(source)
    return before | columns, before_units | units, [note] if note else []


def _name(source):
    if isinstance(source, (str, Path)):
        return f"“{_seen(Path(source).name)}”" if _is_path(source) else "a pasted table"
    return "a table without a name"


def _by_column(body, width):
    """Rows → one array of cells a column; a row that is too short is filled with blanks."""
    grid = np.empty((len(body), width), dtype=object)
    grid[:] = ""
    for place, row in enumerate(body):
        grid[place, : min(len(row), width)] = row[:width]
    return [np.ascontiguousarray(column) for column in grid.T]


def _table(raw, layout, reading, name):
    import pandas as pd

    lines = np.array([raw.lines[i] for i in layout.shots], dtype=int)
    cure = "mend the line: quotation marks keep a cell together"
    refused = [(raw.lines[i], "", "", reason, cure, tuple(raw.rows[i])) for i, reason in layout.refused]
    for place, problems in reading.problems.items():
        header, cell, reason, cure = problems[0]
        more = "".join(f"; also {other}: “{value}” {why}" for other, value, why, _ in problems[1:])
        refused.append((int(lines[place]), header, str(cell), reason + more, cure, tuple(raw.rows[layout.shots[place]])))
    apart = [(raw.lines[i], reason, tuple(raw.rows[i])) for i, reason in layout.apart]
    apart += [(int(lines[place]), reason, tuple(raw.rows[layout.shots[place]])) for place, reason in reading.apart.items()]
    keep = np.ones(len(lines), dtype=bool)
    keep[[*reading.problems, *reading.apart]] = False
    frame = pd.DataFrame(reading.frame, index=pd.Index(lines, name="line"))[keep]
    notes, by_line = [*reading.notes, *_missing(frame)], itemgetter(0)
    return Table(
        frame=frame,
        understood=pd.DataFrame(reading.understood, columns=["column", "name", "unit", "how"]),
        refused=pd.DataFrame(sorted(refused, key=by_line), columns=["line", "column", "value", "reason", "cure", "row"]),
        set_apart=pd.DataFrame(sorted(apart, key=by_line), columns=["line", "reason", "row"]),
        asked=pd.DataFrame(reading.asked, columns=["column", "question", "choices", "cure"]),
        notes=tuple(notes), name=name, how=raw.how)


def _missing(frame):
    """A note for each measured column with blanks."""
    for name, values in frame.items():
        if name in COLUMNS and name != "note":
            lines = [str(line) for line in frame.index[values.isna()]]
            if lines:
                where = f"line{'s' if len(lines) > 1 else ''} {', '.join(lines[:8])}{' …' if len(lines) > 8 else ''}"
                yield f"{name}: missing in {len(lines)} of {len(frame)} shots ({where}); the shots are kept"
