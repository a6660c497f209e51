"""Live entry: shots typed in as they are hit, by keyboard alone, each on the disk before the next can be typed.

Plain Python first: ``Entry(path, columns=…, units=…).add(spin_rate="6450")``.  Shown in a notebook it is one widget: a
table of native boxes, and the verdict beside it.  What is typed may be text or a number in the column's unit; ``.frame`` is
in SI.
"""

from __future__ import annotations

import csv
import io
import re
from pathlib import Path

from ..evidence.journal import Field, Journal, JournalError, new_path, sessions
from .spoken import units_of

COLUMNS = ("condition", "head_speed", "dynamic_loft", "launch_angle", "spin_rate", "carry", "note")
"""What is typed for each shot, unless said otherwise."""
_IMPERIAL = {"mph", "yd", "ft", "ft/s"}


class CellError(ValueError):
    """What was typed into one cell cannot be taken; `column` names it."""

    def __init__(self, column, message):
        super().__init__(message)
        self.column = column


class Entry:
    """A session being typed in.

    Parameters
    ----------
    path : path, optional
        the session's file: opened where it is there, begun where it is not.  Left out, the latest session of `folder` that
        was not finished is opened again; where there is none, the page offers to begin one.
    columns : sequence of str
        what is typed for each shot, such as ``("condition", "spin_rate")``
    units : "metric", "yards", or a dict of units by column; left out, those the page speaks when this is made
    conditions : sequence of str
        those offered; the first stands at the start
    order : sequence of str
        a plan's order of conditions; the next one is offered for each shot
    folder : path
        where sessions are kept; nothing is written elsewhere
    desk : Desk, optional
        where `to_desk` puts the shots; the page then has a button for it
    """

    def __init__(self, path=None, *, columns=COLUMNS, units=None, conditions=("dry", "wet"), order=(), name="",
                 player="", folder="sessions", desk=None):
        self.desk = desk
        self.folder = Path(path).parent if path is not None else Path(folder)
        self.columns, self.units = tuple(columns), units_of() if units is None else units
        self.offered, self.condition = tuple(conditions), ""
        self.journal, self._view, self._cached = None, None, (None, "")
        if path is not None and Path(path).exists():
            self.open(path)
        elif path is not None:
            self._begin(path, name, player, columns, self.units, conditions, order)
        else:
            self._carry_on()

    # --- sessions

    def begin(self, name="", *, player="", columns=None, units=None, conditions=None, order=()) -> Entry:
        """Begin a new session in the folder; its file is named by date, time and name."""
        columns = self.columns if columns is None else columns
        return self._begin(new_path(self.folder, name), name, player, columns, units or self.units,
                           conditions or self.offered, order)

    def _begin(self, path, name, player, columns, units, conditions, order):
        names = tuple(dict.fromkeys(("condition", *columns)))
        fields = [Field.of(column, units) for column in names]
        words = [Field("condition").read(condition) for condition in conditions]
        self.journal = Journal.create(path, fields=fields, name=name, player=player, order=order,
                                      conditions=[word for word in dict.fromkeys(words) if word] or ["all shots"])
        self._settle()
        return self

    def open(self, path) -> Entry:
        """Open an earlier session where it was left."""
        self.journal = Journal.open(path)
        self._settle()
        return self

    def _carry_on(self):
        """Open the latest session that was not finished, if there is one."""
        latest = next(iter(sessions(self.folder)), None)
        if latest:
            try:
                journal = Journal.open(latest)
            except JournalError:
                return
            if not journal.finished:
                self.journal = journal
                self._settle()

    def _settle(self):
        last = next(reversed(self.shots), None)
        self.condition = last.cells["condition"] if last else (*self.journal.conditions, "all shots")[0]
        self._changed()

    def _changed(self):
        """Offer the condition that the plan wants next, if there is a plan; show what is new."""
        done = len(self.shots)
        if done < len(self.session.order):
            self.condition = self.session.order[done]
        if self._view is not None:
            self._view.push()

    @property
    def session(self) -> Journal:
        """The session that is open."""
        if self.journal is None:
            raise ValueError("no session is open; begin one, or open an earlier one")
        return self.journal

    # --- typing

    def add(self, condition=None, **cells):
        """Take a shot: it is on the disk when this returns.  The condition stays until another is given.

        Raises
        ------
        CellError
            a cell cannot be taken (a `ValueError` naming the quantity, the value, the range and the cure); nothing is kept.
        NotSaved
            the disk refused it (an `OSError`); nothing is kept.
        """
        read = self._read(cells | {"condition": condition or self.condition})
        if not any(cell for name, cell in read.items() if name not in ("condition", "note")):
            first = next((field.label for field in self.session.fields if field.measured), "a value")
            raise ValueError(f"a shot needs at least one value; type {first}, or Esc to leave")
        line = self.session.write("shot", cells=read)
        self.condition = read["condition"]
        self._changed()
        return self.session.shots[line.shot]

    def correct(self, number: int, **cells):
        """Change cells of a shot; what it was stays in the session.  Correcting a deleted shot brings it back."""
        before = self._shot(number)
        line = self.session.write("correct", shot=number, cells=before.cells | self._read(cells))
        self._changed()
        return self.session.shots[line.shot]

    def delete(self, number: int):
        """Leave a shot out from now on; it stays in the session, marked."""
        if self._shot(number).deleted:
            raise ValueError(f"shot {number} is deleted already; correct it to bring it back")
        self.session.write("delete", shot=number)
        self._changed()

    def undo(self):
        """Take back the last thing done: a shot, a correction, a deletion; again for the one before."""
        self.session.write("undo")
        self._changed()

    def finish(self):
        """Close the session: it is not opened by itself any more.  It can still be read, opened and typed in."""
        self.session.write("finish")
        self._changed()

    def to_desk(self):
        """Put the shots that stand on the desk: mis-hits set aside, compared, beside the model, and the handout."""
        if self.desk is None:
            raise ValueError("there is no desk to put them on; give one, as in Entry(desk=Desk())")
        self.desk.open(self.table)
        self.desk.show()

    def _shot(self, number):
        shots = self.session.shots
        if number not in shots:
            raise ValueError(f"there is no shot {number}; the session has {', '.join(map(str, shots)) or 'none yet'}")
        return shots[number]

    def _read(self, cells):
        fields = {field.name: field for field in self.session.fields}
        unknown = set(cells) - set(fields)
        if unknown:
            raise ValueError(f"the session has no column {', '.join(sorted(unknown))}; it has {', '.join(fields)}")
        read = {}
        for name, typed in cells.items():
            try:
                read[name] = fields[name].read(typed)
            except ValueError as why:
                raise CellError(name, str(why)) from None
        return read

    # --- what stands in it

    @property
    def shots(self) -> tuple:
        """The shots that stand, in order."""
        return tuple(shot for shot in self.journal.shots.values() if not shot.deleted) if self.journal else ()

    @property
    def frame(self):
        """The shots that stand, tidy and in SI."""
        return self.session.frame

    @property
    def conditions(self) -> tuple[str, ...]:
        """The conditions offered: those named at the start, then those that came up."""
        used = [shot.cells["condition"] for shot in self.session.shots.values()]
        return tuple(dict.fromkeys([*self.session.conditions, *self.session.order, *filter(None, used), self.condition]))

    @property
    def talk(self) -> str:
        """The units to speak in: yards where any column is typed in them."""
        return "yards" if {field.unit for field in self.session.fields} & _IMPERIAL else "metric"

    @property
    def table(self) -> str:
        """The shots that stand as a table with headings and units, as the desk and any spreadsheet read it."""
        out = io.StringIO()
        write = csv.writer(out, lineterminator="\n")
        write.writerow(["shot", *(field.heading for field in self.session.fields)])
        write.writerows([shot.number, *map(_tame, shot.cells.values())] for shot in self.shots)
        return out.getvalue()

    @property
    def verdict(self) -> str:
        """What the shots show so far, every shot kept, in words to say aloud; or what is still missing."""
        if self.journal is None:
            return ""
        stands = (self.session.path, len(self.session.lines))
        if self._cached[0] != stands:
            self._cached = stands, _verdict(self.frame, self.talk)
        return self._cached[1]

    # --- the page

    def _repr_mimebundle_(self, **options):
        from .entry_page import Page

        if self._view is None:
            self._view = Page(self)
        where = f"{len(self.shots)} shots in {self.journal.path.name}. " if self.journal else "No session is open. "
        shown = self._view.widget._repr_mimebundle_(**options)
        data, about = shown if isinstance(shown, tuple) else (shown, {})
        return {"text/plain": where + self.verdict} | {k: v for k, v in (data or {}).items() if k != "text/plain"}, about


def _tame(cell):
    """Words that a spreadsheet would run as a formula get an apostrophe before them; numbers stay."""
    return "'" + cell if cell[:1] in ("=", "+", "@", "-") and not re.fullmatch(r"[+-]?[\d.]+(e[+-]?\d+)?", cell) else cell


def _verdict(frame, units):
    from ..evidence import compare, report

    counts = frame["condition"].value_counts()
    enough = [name for name in report.conditions(frame) if counts[name] >= 2]
    if len(enough) < 2:
        told = ", ".join(f"{count} {name}" for name, count in counts.items()) or "none"
        return f"Shots so far: {told}. Two each of two conditions are needed before anything can be compared."
    some = frame[frame["condition"].isin(enough)]
    try:
        return compare.headline(some, baseline=report.choose(some)[0]).sentence(units)
    except ValueError as why:
        return f"Nothing can be said yet: {why}."
