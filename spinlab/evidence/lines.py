"""Lines of a session's file: sealed with a check, opened again only if it holds; and where sessions stand on the disk."""

from __future__ import annotations

import errno
import re
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from zlib import crc32

ENDING = ".journal"
MOST_NAME = 60
LONGEST = 65536
"""Bytes; no line of ours is longer."""
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


def check_columns(fields) -> None:
    """A session needs a column of conditions and one to compare, each column once; a `JournalError` says so."""
    names = [field.name for field in fields]
    if "condition" not in names or len(set(names)) < len(names) or len(names) < 2:
        told = ", ".join(names) or "none"
        raise JournalError(f"a session needs the column condition and others, each once; got {told}")


def whole_lines(file):
    """Lines from where a file stands, without their ends: (line, its length with the end, is it ended).

    Of a line longer than any of ours only the beginning is handed on, so that it costs no memory.
    """
    kept, length = b"", 0
    while chunk := file.read(1 << 20):
        *ended, rest = chunk.split(b"\n")
        for piece in ended:
            yield (kept + piece[:LONGEST])[:LONGEST], length + len(piece) + 1, True
            kept, length = b"", 0
        kept, length = (kept + rest[:LONGEST])[:LONGEST], length + len(rest)
    if length:
        yield kept, length, False


@contextmanager
def saving(path):
    """Turns what the disk says into what is so and what to do about it."""
    try:
        yield
    except OSError as error:
        raise NotSaved(_told(path, error)) from error


def _told(path, error):
    if isinstance(error, FileNotFoundError):
        gone = f"the file {path.name!r}" if path.parent.is_dir() else f"the folder {str(path.parent)!r}"
        return (f"not saved: {gone} is not there any more (removed, renamed, or its disk taken out). What was confirmed so "
                "far is still shown here. Put it back and confirm again, or begin a new session")
    full = error.errno in (errno.ENOSPC, errno.EDQUOT)
    cure = "Free some room" if full else "Choose a folder that can be written to"
    return (f"not saved in {str(path.parent)!r}: {error.strerror or error}. What was saved before is untouched. {cure}, "
            "then confirm again")
