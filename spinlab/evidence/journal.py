"""Sessions of shots typed in as they were hit, kept as plain tables that are only ever added to.

**The format, version 2.**  A session is one file, ``<name>.journal``: UTF-8, a line an entry, fields apart by tabs, lines
ended by a line feed.  The last field of every line is its check: CRC-32 of the bytes before its tab, as eight hex digits.
A line torn by a pulled plug fails its check; it stays in the file, is not counted, and costs nothing before it::

    spinlab journal 2   evening pitches   5b0e4c11
    player      Robin   …                                             (this, conditions, order and rule may be missing)
    conditions  dry     wet     …
    order       dry     wet     wet     dry     …                     a plan's order
    units       yards   …                                             what people read: metric or yards
    rule        keep    dynamic_loft [°]    40    48    …             which shots count, fixed before the first
    line  what     time                       shot  condition  spin_rate [rpm]  note  …
    1     shot     2026-05-04T10:31:07+02:00  1     dry        6450                   …
    2     correct  2026-05-04T10:31:40+02:00  1     dry        6540                   …
    3     delete   2026-05-04T10:32:02+02:00  1
    4     undo     2026-05-04T10:32:05+02:00  3                                       (line 3 no longer counts)
    5     finish   2026-05-04T11:02:12+02:00

The head is written whole or not at all.  Headings name our columns and the unit typed in (`spinlab.evidence.fields`).
`shot` and `correct` hold every cell, as typed, with a decimal point; correcting a deleted shot brings it back.  Lines count
in the order they stand, whatever the clock said.  Nothing is ever erased: undoing, correcting and deleting are lines, too.
The shot after an undone one takes its number, so that numbers have no holes.  Version 1 has neither units nor rule; it is
read as without a rule, in yards where any column was typed in them.
"""

from __future__ import annotations

import csv
import io
import os
import re
from dataclasses import replace
from datetime import datetime
from pathlib import Path

from .. import files
from ..messages import message_of
from . import lines as form
from .fields import Field
from .lines import JournalError, Line, NotSaved, Shot, new_path, sessions
from .protocol import Protocol

__all__ = ["Field", "Journal", "JournalError", "Line", "NotSaved", "Shot", "is_session", "new_path", "sessions",
           "units_of_fields"]

VERSION = 2
MOST_NOTES = 20
"""Lines that are none of ours, named one by one."""
_KINDS = ("shot", "correct", "delete", "undo", "finish")
_TITLE = "spinlab journal"
_HEAD = ("player", "conditions", "order", "units", "rule")
_IMPERIAL = {"mph", "yd", "ft", "ft/s"}


class Journal:
    """A session on disk.  `create` or `open` it; every `write` is on the disk before it returns.

    `lines` are those that count or once counted; `notes` say what could not be read and what another window did.
    """

    def __init__(self, path):
        self.path = Path(path)
        self.name, self.player, self.conditions, self.order, self.fields = "", "", (), (), ()
        self.protocol = Protocol()
        self.lines: list[Line] = []
        self.notes: list[str] = []
        self._seen = self._row = 0
        self._torn, self._spoilt = False, 0
        self._told = (0, {})  # how many lines `shots` has been through, and what came of them

    # --- making and opening

    @classmethod
    def create(cls, path, *, fields, name="", player="", conditions=(), order=(),
               protocol=None) -> Journal:
        """Begin a session under a name that is still free; its `protocol` holds until the handout."""
        path = Path(path)
        if path.exists():
            raise JournalError(f"there is a session {path.name!r} already; open it, or choose another name")
        form.check_columns(fields)
        head = [[f"{_TITLE} {VERSION}", name], ["player", player], ["conditions", *conditions], ["order", *order],
                ["line", "what", "time", "shot", *(field.heading for field in fields)]]
        kept = (protocol or Protocol(units=units_of_fields(fields))).rows()
        lines = [head[0], *(row for row in head[1:4] if any(row[1:])), *kept, head[4]]
        with form.saving(path):
            path.parent.mkdir(parents=True, exist_ok=True)
            files.write_atomically(path, b"".join(form.seal(row) for row in lines))
        return cls.open(path)

    @classmethod
    def open(cls, path) -> Journal:
        """Open a session where it was left."""
        journal = cls(path)
        try:
            with open(journal.path, "rb") as file:
                journal._head(file)
                journal._take_in(file)
        except OSError as error:
            raise JournalError(f"the session {str(path)!r} cannot be opened: {error.strerror or error}") from error
        if journal._torn:
            journal.notes.append("the last line was not finished when the program stopped; its shot had not been confirmed")
        return journal

    # --- writing

    def write(self, what: str, *, shot: int | None = None, cells: dict[str, str] | None = None, time=None) -> Line:
        """Add a line and push it to the disk.  `shot` left out means the next shot.

        Raises
        ------
        NotSaved
            the disk is full, read-only or gone; nothing of the line was kept.
        JournalError
            what is asked for makes no sense any more, because another window wrote meanwhile.
        """
        with form.saving(self.path), files.alone(self.path) as file:
            news = self._news(self._take_in(file))
            if what == "undo" and (news or not (shot := self.last_undoable)):
                raise JournalError("another window has written to this session; look at its shots, then undo again" if news
                                   else "there is nothing to undo")
            if what in ("correct", "delete") and shot not in self.shots:
                raise JournalError(f"there is no shot {shot} in this session; it has {len(self.shots)}")
            number = shot if what in ("undo", "correct", "delete") else self.next_shot if what == "shot" else 0
            kept = () if cells is None else tuple(form.plain(cells.get(field.name, "")) for field in self.fields)
            line = Line(number=self.lines[-1].number + 1 if self.lines else 1, what=what, shot=number,
                        time=time or form.now(), cells=kept)
            torn = self._torn  # what stands half-written at the end is closed off first
            files.add(file, b"\n" * torn + form.seal([str(line.number), what, line.time, str(number or ""), *line.cells]))
            self._seen = os.fstat(file.fileno()).st_size
        self._torn, self._row = False, self._row + 1 + torn
        self.lines.append(line)
        return line

    def refresh(self) -> int:
        """Take in what another window has written meanwhile; returns how many lines."""
        with form.saving(self.path), open(self.path, "rb") as file:
            return self._news(self._take_in(file))

    # --- what stands in it

    @property
    def shots(self) -> dict[int, Shot]:
        """Every shot by its number, deleted ones too."""
        known, shots = self._told
        news = self.lines[known:]
        if any(line.what == "undo" for line in news):  # what it takes back may lie far behind
            news, shots = self._counting(), {}
        for line in news:
            self._tell(shots, line)
        self._told = len(self.lines), shots
        return dict(shots)

    def _tell(self, shots, line):
        if line.what in ("shot", "correct"):
            before = shots.get(line.shot)
            cells = dict(zip((field.name for field in self.fields), line.cells))
            shots[line.shot] = Shot(number=line.shot, time=before.time if before else line.time, cells=cells,
                                    corrected=before.corrected + 1 if before else 0)
        elif line.what == "delete" and line.shot in shots:
            shots[line.shot] = Shot(**{**vars(shots[line.shot]), "deleted": True})

    def trail(self, number: int) -> list[Line]:
        """Everything that was ever done to a shot, undone or not, in order."""
        return [line for line in self.lines if line.shot == number and line.what in ("shot", "correct", "delete")]

    @property
    def frame(self):
        """The shots that stand, tidy and in SI; the index is the shot's number."""
        import pandas as pd

        live = [shot for shot in self.shots.values() if not shot.deleted]
        columns = {"shot": [shot.number for shot in live]}
        for field in self.fields:
            cells = [shot.cells[field.name] for shot in live]
            columns[field.name] = pd.Series([field.si(c) for c in cells], dtype=float) if field.measured else \
                pd.Series([c or None for c in cells], dtype=object)
        frame = pd.DataFrame(columns)
        frame.index = pd.Index(frame["shot"], name="line")
        return frame

    @property
    def last_undoable(self) -> int:
        """The number of the line that undoing would take back; 0 where there is none."""
        return next((line.number for line in reversed(self._counting()) if line.what != "finish"), 0)

    @property
    def next_shot(self) -> int:
        """The number the next shot gets: one more than the last that was not undone."""
        return max(self.shots, default=0) + 1

    @property
    def table(self) -> str:
        """The shots that stand as a table with headings and units, as the reader of tables and any spreadsheet read it."""
        out = io.StringIO()
        write = csv.writer(out, lineterminator="\n")
        write.writerow(["shot", *(field.heading for field in self.fields)])
        for shot in self.shots.values():
            if not shot.deleted:
                write.writerow([shot.number, *(_tame(shot.cells[field.name]) for field in self.fields)])
        return out.getvalue()

    @property
    def title(self) -> str:
        """Its name and the day it was begun, for a heading: “evening pitches”, 4 May 2026."""
        day = _day(self.begun)
        return f"“{self.name or self.path.stem}”" + (f", {day}" if day else "")

    @property
    def finished(self) -> bool:
        """Was it closed, and nothing typed since?"""
        return bool(self.lines) and self.lines[-1].what == "finish"

    @property
    def begun(self) -> str:
        """When its first shot was typed."""
        return self.lines[0].time if self.lines else ""

    def _counting(self):
        """The lines that no later line undoes."""
        undone, left = set(), []
        for place, line in enumerate(self.lines):
            if line.what == "undo":
                # two windows without working locks could number alike: the latest of that number is meant
                undone.add(max((i for i in range(place) if self.lines[i].number == line.shot), default=-1))
        for place, line in enumerate(self.lines):
            if line.what != "undo" and place not in undone:
                left.append(line)
        return left

    # --- reading

    def _head(self, file):
        title = form.unseal(file.readline(4096))
        found = re.fullmatch(rf"{_TITLE} (\d+)", title[0]) if title else None
        if not found or len(title) != 2:
            raise JournalError(f"{self.path.name!r} is no session of ours, or its first line was changed")
        if int(found[1]) > VERSION:
            raise JournalError(f"{self.path.name!r} was written by a newer version (format {found[1]}, this one reads up to "
                               f"{VERSION}); bring this program up to date")
        self.name, self._row, self._seen = title[1], 1, file.tell()
        spoilt, kept = [], {}
        for raw, length, _ in form.whole_lines(file):
            self._row, self._seen = self._row + 1, self._seen + length
            row = form.unseal(raw) or [""]
            if row[:4] == ["line", "what", "time", "shot"]:
                self.fields = self._fields(row[4:])
                self.protocol = self._protocol(kept)
                return
            if row[0] in ("player", "conditions", "order"):
                setattr(self, row[0], "".join(row[1:2]) if row[0] == "player" else tuple(row[1:]))
            elif row[0] in _HEAD:
                kept[row[0]] = row[1:]
            elif len(row) > 1 and row[1] in _KINDS:
                break
            else:
                spoilt.append(self._row)
                self._note(self._row)
        line = (*spoilt, self._row)[0]
        raise JournalError(f"the head of {self.path.name!r} was changed (line {line}), so its shots cannot be told apart; "
                           "put that line back as it was")

    def _fields(self, headings):
        try:
            fields = tuple(Field.written(text) for text in headings)
            form.check_columns(fields)
        except ValueError as why:
            raise JournalError(f"the columns of {self.path.name!r} (line {self._row}) cannot be used: {why}") from why
        return fields

    def _protocol(self, rows):
        try:
            return Protocol.of(rows) or Protocol(units=units_of_fields(self.fields))
        except ValueError as why:
            raise JournalError(f"the head of {self.path.name!r} was changed: {message_of(why)}") from why

    def _take_in(self, file):
        """Read what stands behind the place read so far; returns how many lines count."""
        if os.fstat(file.fileno()).st_size < self._seen:
            raise JournalError(f"the session {self.path.name!r} was shortened by another program; begin a new one")
        file.seek(self._seen)
        self._torn, before = False, len(self.lines)
        for raw, length, ended in form.whole_lines(file):
            if not ended:
                self._torn = True
                break
            self._row, self._seen = self._row + 1, self._seen + length
            line = self._line(raw)
            if line:
                self.lines.append(line)
            elif raw:
                self._note(self._row)
        return len(self.lines) - before

    def _note(self, row):
        """Say which line is none of ours, or no longer; of very many only the first."""
        self._spoilt += 1
        if self._spoilt <= MOST_NOTES:
            self.notes.append(f"line {row} of the file is torn or was changed; it is kept there and not counted")
        elif self._spoilt == MOST_NOTES + 1:
            self.notes.append(f"line {row} and further lines, too")

    def _news(self, count):
        if count:
            lines = "one line" if count == 1 else f"{count} lines"
            self.notes.append(f"another window has written to this session ({lines}); that is shown here, too")
        return count

    def _line(self, raw):
        row = form.unseal(raw)
        if not row or len(row) < 4 or row[1] not in _KINDS or not all(re.fullmatch(r"\d{0,9}", row[k]) for k in (0, 3)):
            return None
        holds = row[1] in ("shot", "correct")
        if holds and len(row) != 4 + len(self.fields) or not 0 < int(row[0] or 0) <= self._row >= int(row[3] or 0):
            return None  # a number that no line before it leads to would leave none for the lines behind it
        try:
            for field, cell in zip(self.fields, row[4:]):
                field.si(cell) if field.measured else None
        except ValueError:
            return None
        return Line(number=int(row[0]), what=row[1], time=row[2], shot=int(row[3] or 0), cells=tuple(row[4:]))


def is_session(source) -> bool:
    """Is this the path of a session, by its ending or by how it begins?"""
    path = Path(source)
    try:
        if not path.is_file():
            return False
        with open(path, "rb") as file:
            return file.read(len(_TITLE) + 1) == f"{_TITLE} ".encode()
    except (OSError, ValueError):
        return False


def units_of_fields(fields):
    """What people read where no one said: yards where any column is typed in them."""
    return "yards" if {field.unit for field in fields} & _IMPERIAL else "metric"


def _tame(cell):
    """Words that a spreadsheet would run as a formula get an apostrophe before them; numbers stay."""
    return "'" + cell if cell[:1] in ("=", "+", "@", "-") and not re.fullmatch(r"[+-]?[\d.]+(e[+-]?\d+)?", cell) else cell


def _day(time):
    """The day of a time as it is written down, in words; nothing where it cannot be read."""
    try:
        begun = datetime.fromisoformat(time)
    except ValueError:
        return ""
    return f"{begun.day} {begun:%B %Y}"


def latest_told(tell, folder, **options):
    """What `tell` finds in the shots of the latest session of a folder that tells something, with that session as its
    `source`; None where there is none.  `tell` takes a frame and `options`, and refuses with a `ValueError`."""
    for path in sessions(folder):
        try:
            journal = Journal.open(path)
            found = tell(journal.frame, **options)
        except (JournalError, ValueError):
            continue
        return replace(found, source=f"the session “{journal.name or path.stem}”")
    return None
