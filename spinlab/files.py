"""Writing files so that nothing is lost: whole under the final name, or not there at all."""

from __future__ import annotations

import contextlib
import os
import re
import secrets
import stat
import sys
import time
from pathlib import Path

DRAFT = ".spinlab-draft"
"""How the hidden name of a draft ends; no other program's file is called so."""

FORSAKEN = 600.0
"""Seconds after which a draft that nobody holds is taken for one whose writer was killed."""

_NOT_PLAIN = re.compile(r'^$|[<>:"/\\|?*\x00-\x1f\x7f]|[ .]$|^(con|prn|aux|nul|com\d|lpt\d)(\.|$)', re.I)
"""What no system takes in a name, what some system takes for a way to another place, and what Windows keeps for devices."""

_ALONE = sys.platform == "emscripten"  # in a browser's page there is one process and no lock to be had


def inside(folder, name) -> Path:
    """The path of a file in a folder: a plain name, which leads nowhere else on any system.

    Raises
    ------
    ValueError
        the name holds a folder, a drive, or what some system does not take; the message says so.
    """
    name = str(name)
    if _NOT_PLAIN.search(name) or len(name.encode("utf-8", "replace")) > 200:
        raise ValueError(f"a file's name must be plain (no folder, no drive, none of < > : \" / \\ | ? *, at most 200 "
                         f"letters), got {name!r:.80}; give the folder by itself")
    return Path(folder) / name


def write_atomically(path, data: bytes, *, public=False) -> Path:
    """Write bytes under a name, so that a crash, a full disk or a pulled plug never leaves half a file there.

    The bytes go to a draft in the same folder, are pushed to the disk, and only then take the name.  What may hold names is
    for its owner alone; what is `public` is for everybody whom the user's umask does not shut out.

    Raises
    ------
    OSError
        the folder is missing, read-only or full; the old file, if any, is untouched.
    """
    with draft_of(path, public=public) as draft:
        draft.write_bytes(data)
    return Path(path)


@contextlib.contextmanager
def draft_of(path, *, public=False):
    """A draft in the same folder for others to write to: ``with draft_of("clip.mp4") as draft: …``.

    When the block ends well the draft is pushed to the disk and takes the name; when it does not, the draft is gone and the
    old file untouched.  Drafts of writers that were killed are cleared away first.
    """
    path = Path(path)
    _clear_forsaken(path.parent)
    draft = path.with_name(f".{path.name[:40]}-{secrets.token_hex(8)}{DRAFT}")
    new = os.O_RDWR | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)
    handle = os.open(draft, new, 0o666 if public else 0o600)  # less what the umask shuts out
    try:
        with os.fdopen(handle, "r+b") as held:  # held open while it is written, so that no one clears it away
            with contextlib.suppress(OSError):  # a disk without locks: there its age alone says so
                _hold(handle)
            if _ALONE:  # there, closing it later would put back what was in it when it was opened: nothing
                held.close()
            yield draft
            with open(draft, "r+b") as written:
                os.fsync(written.fileno())
        os.replace(draft, path)
    except BaseException:
        with contextlib.suppress(FileNotFoundError):
            os.unlink(draft)
        raise
    _settle(path.parent)


@contextlib.contextmanager
def alone(path):
    """An existing file open for reading and for adding at its end, while no other window or process does the same.

    The lock goes with the process: one that is killed leaves nothing locked.
    """
    handle = os.open(path, os.O_RDWR | os.O_APPEND | getattr(os, "O_BINARY", 0))
    with os.fdopen(handle, "r+b", buffering=0) as file:
        _lock(handle, True)
        try:
            yield file
        finally:
            _lock(handle, False)


def add(file, data: bytes) -> None:
    """Add bytes at the end of a file opened by `alone` and push them to the disk; all of them, or an `OSError` and none."""
    end = os.fstat(file.fileno()).st_size
    try:
        left = memoryview(data)
        while left:
            left = left[file.write(left):]
        os.fsync(file.fileno())
    except OSError:
        with contextlib.suppress(OSError):
            os.ftruncate(file.fileno(), end)
        raise


def _lock(handle, take):
    if _ALONE:
        return
    try:
        import fcntl
    except ImportError:  # Windows: a byte far behind the end stands for the file, so that others may still read it
        import msvcrt

        os.lseek(handle, 1 << 30, os.SEEK_SET)
        msvcrt.locking(handle, msvcrt.LK_LOCK if take else msvcrt.LK_UNLCK, 1)
        os.lseek(handle, 0, os.SEEK_SET)
    else:
        fcntl.flock(handle, fcntl.LOCK_EX if take else fcntl.LOCK_UN)


def _clear_forsaken(folder):
    """Remove our own drafts that are old and that no living process holds, as a killed one leaves them."""
    with contextlib.suppress(OSError), os.scandir(folder) as found:
        for entry in found:
            if entry.name.startswith(".") and entry.name.endswith(DRAFT):
                with contextlib.suppress(OSError):  # held, not ours, or gone meanwhile: it stays as it is
                    _clear_if_forsaken(entry)


def _clear_if_forsaken(entry):
    told = entry.stat(follow_symlinks=False)
    if not stat.S_ISREG(told.st_mode) or time.time() - told.st_mtime < FORSAKEN:
        return
    handle = os.open(entry.path, os.O_RDWR)
    try:
        _hold(handle)
    finally:
        os.close(handle)
    os.unlink(entry.path)


def _hold(handle):
    """Hold a draft, or an `OSError` if somebody does.  Windows removes no file that is open; nothing need be done there."""
    with contextlib.suppress(ImportError):
        import fcntl

        if not _ALONE:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)


def _settle(folder):
    """Push the new name to the disk as well, where the system can."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
