"""Lines of a session's file: sealed with a check, opened again only if it holds; and where sessions stand on the disk."""

from __future__ import annotations

import re
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from zlib import crc32

ENDING = ".journal"
MOST_NAME = 60
_UNSEEN = re.compile(r"[\x00-\x1f\x7f-\x9f\u2028-\u202e\u2066-\u2069\ud800-\udfff]+")
"""What breaks a line apart, steers a terminal or turns the direction of what follows."""


class JournalError(ValueError):
    """A file that is no session, or cannot be read as one; the message says what to do."""


class NotSaved(OSError):
    """The disk refused a line: nothing of it was kept, and what was kept before is untouched."""


@dataclass(frozen=True, kw_only=True)
class Shot:
    """A shot as it stands after every correction; `cells` as typed, by column."""

    number: int
    time: str
    cells: dict[str, str]
    corrected: int = 0
    deleted: bool = False


@dataclass(frozen=True, kw_only=True)
class Line:
    """One line of a session: its number, what it does, when, to which shot (of an `undo`: which line), and its cells."""

    number: int
    what: str
    time: str
    shot: int
    cells: tuple[str, ...] = ()


def sessions(folder) -> list[Path]:
    """The sessions in a folder, the latest first (by name: names begin with the date)."""
    try:
        return sorted((path for path in Path(folder).glob("*" + ENDING) if path.is_file()), reverse=True)
    except OSError:
        return []


def new_path(folder, name="", *, now=None) -> Path:
    """A free file name for a session begun now: date, time, and what is left of its name once it is safe for any disk."""
    stamp = (now or datetime.now()).strftime("%Y-%m-%d %Hh%M")
    safe = " ".join(re.findall(r"[^\W_]+", name))[:MOST_NAME].strip()
    base = f"{stamp} {safe}".strip()
    taken = {path.name.casefold() for path in sessions(folder)}
    count = next(k for k in range(1, 10_000) if _counted(base, k).casefold() not in taken)
    return Path(folder) / _counted(base, count)


def _counted(base, count):
    return base + (f" ({count})" if count > 1 else "") + ENDING


def now() -> str:
    """The time of day with its zone, as it is written down."""
    return datetime.now().astimezone().isoformat(timespec="seconds")


def plain(cell):
    """A cell without what breaks a line apart, steers a terminal or turns the direction of what follows."""
    return _UNSEEN.sub(" ", str(cell)).strip()


def seal(row) -> bytes:
    """Cells → a line with its check."""
    line = "\t".join(plain(cell) for cell in row).encode("utf-8")
    return line + b"\t%08x\n" % crc32(line)


def unseal(raw: bytes):
    """A line → its cells, or None where its check fails."""
    line, _, check = raw.rstrip(b"\r\n").rpartition(b"\t")
    if check != b"%08x" % crc32(line):
        return None
    try:
        return [plain(cell) for cell in line.decode("utf-8").split("\t")]
    except UnicodeDecodeError:
        return None


@contextmanager
def saving(path):
    """Turns what the disk says into what to do about it."""
    try:
        yield
    except OSError as error:
        raise NotSaved(f"not saved in {str(path.parent)!r}: {error.strerror or error}. What was saved before is untouched. "
                       "Free some room, or choose a folder that can be written to, then confirm again") from error
