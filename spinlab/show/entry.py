"""Live entry: shots typed in as they are hit, by keyboard alone, each on the disk before the next can be typed.

Plain Python first: ``Entry(path, columns=…, units=…).add(spin_rate="6450")``.  Shown in a notebook it is one widget: a
table of native boxes, and the verdict beside it.  What is typed may be text or a number in the column's unit; ``.frame`` is
in SI.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from ..evidence.journal import Field, Journal, JournalError, new_path, sessions, units_of_fields
from ..evidence.protocol import Protocol
from ..evidence.screen import Rule
from ..messages import message_of
from ..panels.spoken import units_of

COLUMNS = ("condition", "head_speed", "dynamic_loft", "launch_angle", "spin_rate", "carry", "note")
"""What is typed for each shot, unless said otherwise."""


@dataclass(frozen=True, kw_only=True)
class Said:
    """What the shots show so far: `brief` in at most 15 words, the `ranges` that fit them, `every` (how many the rule set
    aside, and the verdict had every shot been kept) and the `whole` verdict in full."""

    brief: str
    ranges: str = ""
    every: str = ""
    whole: str = ""


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
    rule : spinlab.evidence.screen.Rule, optional
        which shots count, fixed before the first; left out, the desk's rule, and without a desk every shot counts
    folder : path
        where sessions are kept; nothing is written elsewhere
    desk : Desk, optional
        where `to_desk` puts the shots; the page then has a button for it
    """

    def __init__(self, path=None, *, columns=COLUMNS, units=None, conditions=("dry", "wet"), order=(), name="",
                 player="", rule=None, folder="sessions", desk=None):
        self.desk = desk
        self.folder = Path(path).parent if path is not None else Path(folder)
        self.columns, self.units = tuple(columns), units_of() if units is None else units
        self.offered, self.condition = tuple(conditions), ""
        self.rule = rule if rule is not None else desk.protocol.rule if desk is not None else Rule()
        self.journal, self._view, self._cached = None, None, (None, None)
        if path is not None and Path(path).exists():
            self.open(path)
        elif path is not None:
            self._begin(path, name, player, columns, self.units, conditions, order, self.rule)
        else:
            self._carry_on()

    # --- sessions

    def begin(self, name="", *, player="", columns=None, units=None, conditions=None, order=(), rule=None,
              speak=None) -> Entry:
        """Begin a new session in the folder; its file is named by date, time and name.  `speak` are the units of its
        sentences (metric or yards) where they do not follow from `units`."""
        columns = self.columns if columns is None else columns
        return self._begin(new_path(self.folder, name), name, player, columns, units or self.units,
                           conditions or self.offered, order, self.rule if rule is None else rule, speak)

    def _begin(self, path, name, player, columns, units, conditions, order, rule, speak=None):
        names = tuple(dict.fromkeys(("condition", *columns)))
        fields = [Field.of(column, units) for column in names]
        words = [Field("condition").read(condition) for condition in conditions]
        speak = speak or (units if isinstance(units, str) else units_of_fields(fields))
        self.journal = Journal.create(path, fields=fields, name=name, player=player, order=order,
                                      protocol=Protocol(rule=rule.within(names), units=speak),
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
        """Put the shots that stand on the desk, with the session's rule and units: compared, beside the model, and the
        handout."""
        if self.desk is None:
            raise ValueError("there is no desk to put them on; give one, as in Entry(desk=Desk())")
        self.desk.bring(self.session)

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
    def protocol(self) -> Protocol:
        """Which shots count, and the units spoken: as fixed when the session was begun."""
        return self.session.protocol

    @property
    def talk(self) -> str:
        """The units to speak in."""
        return self.protocol.units

    @property
    def table(self) -> str:
        """The shots that stand as a table with headings and units, as the desk and any spreadsheet read it."""
        return self.session.table

    def why_aside(self, shot) -> str:
        """Why the rule sets a shot aside; nothing where it counts."""
        fields = {field.name: field for field in self.session.fields}
        rule = self.protocol.rule.within(fields)
        values = {name: fields[name].si(shot.cells[name]) for name, _, _ in rule.bands}
        return "; ".join(rule.reasons(values, self.talk))

    @property
    def kept(self) -> tuple:
        """The shots that stand and count by the rule, in order."""
        return tuple(shot for shot in self.shots if not self.why_aside(shot))

    @property
    def said(self) -> Said:
        """What the shots that count show so far, and beside it what all of them would; or what is still missing."""
        if self.journal is None:
            return Said(brief="")
        stands = (self.session.path, len(self.session.lines))
        if self._cached[0] != stands:
            kept = [shot.number for shot in self.kept]
            self._cached = stands, _said(self.frame, kept, self.talk)
        return self._cached[1]

    @property
    def verdict(self) -> str:
        """The verdict of the shots that count, in full."""
        return self.said.whole

    # --- the page

    def _repr_mimebundle_(self, **options):
        from .entry_page import Page

        if self._view is None:
            self._view = Page(self)
        where = f"{len(self.shots)} shots in {self.journal.path.name}. " if self.journal else "No session is open. "
        shown = self._view.widget._repr_mimebundle_(**options)
        data, about = shown if isinstance(shown, tuple) else (shown, {})
        words = f"{where}{self.said.brief} {self.said.ranges}".rstrip()
        return (data or {}) | {"text/plain": words}, about


def _said(frame, kept, units) -> Said:
    """The verdict of the shots with the numbers `kept`, and of all."""
    counted = frame.loc[kept]
    brief, ranges, whole = _verdict(counted, units)
    aside = len(frame) - len(counted)
    every = ""
    if aside:
        was = "shot is" if aside == 1 else "shots are"
        every = f"{aside} {was} set aside by the rule. With every shot kept: {_verdict(frame, units)[0]}"
    return Said(brief=brief, ranges=ranges, every=every, whole=whole)


def _verdict(frame, units):
    """Brief, ranges and the whole verdict of some shots; what is missing where nothing can be compared yet."""
    from ..evidence import compare, report

    counts = frame["condition"].value_counts()
    told = ", ".join(f"{counts[name]} {name}" for name in report.conditions(frame)) or "none"
    enough = [name for name in report.conditions(frame) if counts[name] >= 2]
    if len(enough) < 2:
        missing = "Not enough yet: two shots of each condition are needed."
        return missing, f"Shots that count: {told}.", (f"Shots so far: {told}. Two each of two conditions are needed before "
                                                       "anything can be compared.")
    some = frame[frame["condition"].isin(enough)]
    try:
        head = compare.headline(some, baseline=report.choose(some)[0])
    except (ValueError, ArithmeticError) as why:
        return ("Nothing to compare yet: spin, launch angle or carry is needed.", f"Shots that count: {told}.",
                f"Nothing can be said yet: {message_of(why)}.")
    return head.brief(units), head.ranges(units), head.sentence(units)
