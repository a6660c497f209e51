"""A player's grip over weeks: one condition, session by session, each with its interval, and what the change shows."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot, sqrt
from pathlib import Path

import numpy as np

from .diagnose import diagnose
from .journal import Journal, JournalError, sessions
from .wording import few, listed


@dataclass(frozen=True, kw_only=True)
class Trend:
    """Grip against what a clean, dry face gives (1 is all of it), one row a session.

    `frame` has session, begun, shots, level_low, level, level_high, friction_low, friction, friction_high (without an upper
    end where the ball gripped).  `notes` say which sessions are not in it, and why.
    """

    condition: str
    frame: object
    notes: tuple[str, ...]

    @property
    def change(self) -> tuple[float, float, float]:
        """The last session's level less the first's: low, middle, high."""
        first, last = self.frame.iloc[0], self.frame.iloc[-1]
        gap = last.level - first.level
        low = hypot(last.level - last.level_low, first.level_high - first.level)
        high = hypot(last.level_high - last.level, first.level - first.level_low)
        return gap - low, gap, gap + high

    def sentence(self, units="metric") -> str:
        """What the sessions show about the change, in words; the same in any units."""
        n = len(self.frame)
        if n == 0:
            return (f"No session with {self.condition} shots has been typed in yet from which grip can be told; it takes "
                    "ball speed and spin, or dynamic loft and launch angle, of each shot.")
        said = [f"{row.level:.0%} ({row.level_low:.0%} to {row.level_high:.0%})" for row in self.frame.itertuples()]
        of = "of what a clean, dry face gives"
        if n == 1:
            return f"One session so far: {self.condition} shots gripped with {said[0]} {of}."
        low, gap, high = self.change
        moved = "more" if gap > 0 else "less"
        sure = f"shown: {moved} than at first" if low * high > 0 else "not shown: the ranges would fit no change at all"
        return (f"From the first of {few(n)} sessions to the last, the grip of {self.condition} shots went from {said[0]} "
                f"to {said[-1]} {of}; a change is {sure}.")


def trend(source, *, condition="dry", player=None, face=None, ball=None, level=0.9) -> Trend:
    """Grip of the shots of one condition, session by session.

    Each interval joins what the measurements leave open (`spinlab.evidence.diagnose`) with the scatter from shot to shot
    (Student's t, two shots at least), as independent parts.  The change of first to last takes all of both intervals as
    independent; a bias that all sessions share cancels in truth, so the change is told with more doubt than it has.

    Parameters
    ----------
    source : folder, or sequence of paths or `Journal`
        sessions; those of a folder in the order of their names, which begin with the date
    condition : str
        the shots to follow
    player : str, optional
        only sessions of this player
    face, ball, level
        as in `spinlab.evidence.diagnose.diagnose`
    """
    import pandas as pd

    listed_ = sorted(sessions(source)) if isinstance(source, (str, Path)) else list(source)
    rows, notes = [], []
    for one in listed_:
        try:
            journal = one if isinstance(one, Journal) else Journal.open(one)
            if player is not None and journal.player.casefold() != player.casefold():
                continue
            rows.append(_session(journal, condition, face, ball, level))
        except JournalError as why:
            notes.append(str(why))
        except LookupError as why:
            notes.append(f"{journal.path.stem}: {why.args[0]}")
    frame = pd.DataFrame(rows, columns=["session", "begun", "shots", *(f"{name}{end}" for name in ("level", "friction")
                                                                       for end in ("_low", "", "_high"))])
    clock = [row["begun"] for row in rows]
    if clock != sorted(clock):
        notes.append("the clock was set back between sessions: they stand in the order of their names")
    return Trend(condition=condition, frame=frame, notes=tuple(notes))


def _session(journal, condition, face, ball, level):
    """One row: the level and the friction of the session's shots of this condition."""
    frame = journal.frame
    mine = frame[frame["condition"] == condition]
    if not len(mine):
        known = listed(sorted(set(frame["condition"].dropna()))) if frame["condition"].notna().any() else "no shots"
        raise LookupError(f"no {condition} shots (it has {known})")
    told = diagnose(mine, face=face, ball=ball, level=level)
    found = told.findings[0]
    if found.held == "unknown":
        raise LookupError("grip takes ball speed and spin, or dynamic loft and launch angle, of the same shot")
    each = told.shots["level"].dropna().to_numpy()
    spread = _half_width(each, level)
    low, mid, high = found.level
    return {"session": journal.name or journal.path.stem, "begun": journal.begun, "shots": found.counted,
            "level_low": mid - hypot(mid - low, spread), "level": mid, "level_high": mid + hypot(high - mid, spread),
            "friction_low": found.friction[0], "friction": found.friction[1], "friction_high": found.friction[2]}


def _half_width(values, level):
    """Half the t interval of the mean; nothing where one shot tells no scatter."""
    from scipy.special import stdtrit

    if len(values) < 2:
        return 0.0
    return float(stdtrit(len(values) - 1, (1 + level) / 2)) * float(np.std(values, ddof=1)) / sqrt(len(values))
