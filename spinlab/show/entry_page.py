"""The page of live entry: messages up, what changed down.

Up come ``{n, hello | look | do, …}``; down goes ``{n, error, column, said, session, rows, gone, …}``.  A shot is answered
once it is on the disk, and only then can the next be typed.  The verdict follows when nothing else is waiting.
"""

from __future__ import annotations

import asyncio
import contextlib
import threading
from dataclasses import asdict
from pathlib import Path
from typing import ClassVar

from ..evidence.fields import GIVEN, Field
from ..evidence.intake.columns import COLUMNS
from ..evidence.journal import Journal, JournalError, sessions
from ..evidence.screen import written
from ..messages import message_of
from ..units import deg
from .pack import default_rule
from .style import _HUES, _THEMES, UNITS

_HERE = Path(__file__).parent
_MOST_LISTED = 6
_OFTEN = ("head_speed", "dynamic_loft", "attack_angle", "ball_speed", "launch_angle", "spin_rate", "carry", "strike", "note")
_LATER = 0.25
"""Seconds of quiet before the verdict is worked out: it must not stand between a shot and the next."""


class Page:
    """What stands between an `Entry` and its widget."""

    def __init__(self, entry):
        self.entry, self._told, self._showing, self._token, self._soon = entry, {}, None, None, None
        self._resting, self._busy = entry.journal is None, False
        self._may = {"add": self._add, "correct": self._correct, "delete": self._delete, "undo": self._undo,
                     "begin": self._begin, "open": self._open, "finish": self._finish, "desk": self._desk}
        self.widget = _widget_class()(setup=_setup(entry))
        self.widget.on_msg(self.heard)
        with contextlib.suppress(RuntimeError):  # a browser alone has no threads
            threading.Thread(target=_warm_up, daemon=True).start()

    def heard(self, _, message, buffers=()):
        """Answer one message from the page."""
        act = self._may[message["do"]] if "do" in message else None
        answer, self._busy = {"n": message.get("n"), "error": "", "column": "", "said": ""}, True
        try:
            if act:
                answer["said"] = act(message)
            elif not self._resting:
                self.entry.session.refresh()
        except Exception as error:  # whatever it is, a person reads our words and goes on typing
            answer |= {"error": message_of(error), "column": getattr(error, "column", "")}
        finally:
            self._busy = False
        self.widget.send(answer | self._state("hello" in message))
        self._later()

    def push(self):
        """Show what was done from Python."""
        if not self._busy:
            self._resting = self.entry.journal is None
            self.widget.send({"n": None, "error": "", "column": "", "said": ""} | self._state(False))
            self._later()

    # --- what the page may ask for

    def _add(self, message):
        if message["token"] == self._token:
            return "It was saved already."  # asked again because the answer was slow
        shot = self.entry.add(message["condition"], **message["cells"])
        self._token = message["token"]
        return f"Saved: shot {shot.number}, {shot.cells['condition']}. {self._remarks(shot)}".strip()

    def _correct(self, message):
        shot = self.entry.correct(message["shot"], condition=message["condition"], **message["cells"])
        return f"Saved: shot {shot.number} corrected. {self._remarks(shot)}".strip()

    def _delete(self, message):
        self.entry.delete(message["shot"])
        return f"Shot {message['shot']} is deleted; it stays in the file. Undo brings it back."

    def _undo(self, message):
        self.entry.undo()
        return "Undone."

    def _begin(self, message):
        units = {column["name"]: column["unit"] for column in message["columns"]}
        names = [part for part in message["conditions"].replace(";", ",").split(",") if part.strip()]
        self.entry.begin(message["name"].strip(), player=message["player"].strip(), columns=tuple(units), units=units,
                         conditions=names or None, speak=message.get("system"), rule=self._rule(message.get("rule")))
        self._resting = False
        return "The session is ready. Type the first shot."

    def _rule(self, band):
        """The entry's rule with the band of dynamic loft [°] that stands on the page; None leaves the entry's as it is."""
        if band is None:
            return None
        others = {name: (low, high) for name, low, high in self.entry.rule.bands if name != "dynamic_loft"}
        mine = {"dynamic_loft": tuple(map(_end, band))} if band else {}
        return written(missing=self.entry.rule.missing, **others, **mine)

    def _open(self, message):
        # the page names one of the files it was told of, never a path
        listed = {path.name: path for path in sessions(self.entry.folder)}
        if message["file"] not in listed:
            raise ValueError(f"there is no session {message['file']!r:.80} in the folder; choose one of the list")
        self.entry.open(listed[message["file"]])
        self._resting = False
        return f"Opened where it was left: {len(self.entry.shots)} shots."

    def _finish(self, message):
        self.entry.finish()
        self._resting = True
        return f"Finished. The session is in {self.entry.session.path.name} and can be opened again."

    def _desk(self, message):
        self.entry.to_desk()
        return f"{len(self.entry.shots)} shots are on the desk above."

    def _remarks(self, shot):
        """What the rule says of a shot, and which of its values are unusual."""
        aside = self.entry.why_aside(shot)
        told = [f"Set aside by the rule: {aside}."] if aside else []
        return " ".join([*told, self._odd(shot)]).strip()

    def _odd(self, shot):
        return " ".join(filter(None, (field.odd(shot.cells[field.name]) for field in self.entry.session.fields)))

    # --- what the page is told

    def _state(self, whole):
        entry = self.entry
        if self._resting:
            self._showing = None
            return {"session": None, "earlier": _earlier(entry.folder), "whole": True, "rows": [], "gone": []}
        shots = entry.journal.shots
        whole, self._showing = whole or self._showing is not entry.journal, entry.journal
        known = {} if whole else self._told
        # mostly the same object: a shot costs no more late in the evening than early
        changed = [_row(shot, entry.why_aside(shot)) for number, shot in shots.items()
                   if known.get(number) is not shot and known.get(number) != shot]
        gone = [number for number in self._told if number not in shots]
        self._told = shots
        journal = entry.journal
        fields = [{"name": f.name, "label": f.label, "unit": f.unit, "measured": f.measured} for f in journal.fields
                  if f.name != "condition"]
        done = len(entry.shots)
        return {"session": {"name": journal.name or journal.path.stem, "file": str(journal.path), "fields": fields,
                            "shots": done, "planned": len(journal.order), "next": journal.next_shot},
                "rows": changed, "gone": gone, "whole": whole, "condition": entry.condition,
                "conditions": list(entry.conditions), "notes": journal.notes[-3:],
                "rule": entry.protocol.rule.sentence(entry.talk) if entry.protocol.rule.bands else ""}

    def _later(self):
        """Work the verdict out once it is quiet; at once where nothing runs that could do it later."""
        if self._soon:
            self._soon.cancel()
        try:
            self._soon = asyncio.get_running_loop().call_later(_LATER, self._judge)
        except RuntimeError:
            self._judge()

    def _judge(self):
        if self._resting:
            return
        try:
            said, averages = self.entry.said, _averages(self.entry)
        except Exception as error:  # the former verdict must not stay
            from .entry import Said

            said, averages = Said(brief=f"No verdict: {message_of(error)}."), [["average"]]
        self.widget.send({"n": None, "verdict": asdict(said), "averages": averages})


def _warm_up():
    """Load what the first verdict needs while people choose their columns: it takes seconds, and a shot must not wait."""
    from ..evidence import compare, report  # noqa: F401


def _row(shot, aside):
    return {"n": shot.number, "time": shot.time[11:16], "condition": shot.cells["condition"], "cells": shot.cells,
            "aside": "" if shot.deleted else aside, "corrected": shot.corrected, "deleted": shot.deleted}


def _averages(entry):
    """What was typed, averaged over the shots that count, in the units typed: a line a measure, a column a condition.

    Where the rule set shots aside, a line says how many, and the average of every shot stands in brackets beside it.
    """
    every = {name: [shot for shot in entry.shots if shot.cells["condition"] == name] for name in entry.conditions}
    every = {name: shots for name, shots in every.items() if shots}
    counting = {shot.number for shot in entry.kept}
    kinds = {name: [shot for shot in shots if shot.number in counting] for name, shots in every.items()}
    rows = [["average", *kinds], ["shots", *(str(len(shots)) for shots in kinds.values())]]
    aside = [len(every[name]) - len(kinds[name]) for name in kinds]
    if any(aside):
        rows.append(["set aside", *map(str, aside)])
    for field in entry.session.fields:
        if field.measured:
            rows.append([f"{field.label} [{field.unit}]",
                         *(_beside(field.name, kinds[name], every[name]) for name in kinds)])
    return rows


def _beside(column, kept, every):
    """The average of the shots that count, and in brackets that of all where it is another."""
    of_kept, of_all = (_mean([shot.cells[column] for shot in shots]) for shots in (kept, every))
    return of_kept if of_kept == of_all else f"{of_kept} ({of_all})"


def _end(typed):
    """An end of the rule's band [rad] as it was typed in degrees."""
    field = Field.of("dynamic_loft")
    cell = field.read(typed)
    if not cell:
        raise ValueError("the rule needs two lofts in degrees, from low to high; type both, or switch the rule off")
    return field.si(cell)


def _mean(cells):
    numbers = [float(cell) for cell in cells if cell]
    if not numbers:
        return "–"
    mean = sum(numbers) / len(numbers)
    return f"{mean:.0f}" if abs(mean) >= 1000 else f"{mean:.1f}".replace("-", "−")


def _earlier(folder):
    """The latest sessions of a folder: file, name, shots, finished or not."""
    found = []
    for path in sessions(folder)[:_MOST_LISTED]:
        try:
            journal = Journal.open(path)
        except JournalError:
            continue
        shots = sum(not shot.deleted for shot in journal.shots.values())
        found.append({"file": path.name, "name": path.stem, "shots": shots, "finished": journal.finished})
    return found


def _setup(entry):
    """What the page needs to offer a new session."""
    columns = []
    for name, column in COLUMNS.items():
        if name in GIVEN or name == "condition":
            continue
        usual = {units: Field.of(name, units).unit for units in UNITS}
        choices = Field.of(name).choices
        chosen = entry.units.get(name, "") if isinstance(entry.units, dict) else usual[entry.units]
        columns.append({"name": name, "label": name.replace("_", " "), "units": list(choices), "usual": usual,
                        "unit": chosen, "on": name in entry.columns, "measured": column.measured,
                        "often": name in _OFTEN or name in entry.columns})
    accents = {"light": {"accent": _HUES["blue"], "wrong": "#A23B00"},
               "dark": {"accent": _HUES["sky"], "wrong": "#FFB38A"}}
    return {"columns": columns, "conditions": ", ".join(entry.offered), "folder": str(entry.folder),
            "desk": entry.desk is not None, "rule": _offered(entry.rule),
            "system": entry.units if isinstance(entry.units, str) else "metric",
            "unit_names": {name: units.name for name, units in UNITS.items()},
            "themes": {theme: colours | accents[theme] for theme, colours in _THEMES.items()}}


def _offered(rule):
    """The band of dynamic loft [°] that the page begins with, and whether it is switched on."""
    band = rule.band("dynamic_loft")
    low, high = (round(end / deg, 2) for end in band or default_rule().band("dynamic_loft"))
    return {"on": band is not None, "low": low, "high": high}


def _widget_class():
    import anywidget
    import traitlets

    class Typing(anywidget.AnyWidget):
        _esm: ClassVar = (_HERE / "entry.js").read_text(encoding="utf-8")
        _css: ClassVar = _HERE / "entry.css"
        setup = traitlets.Dict().tag(sync=True)

    return Typing
