"""Writing files so that nothing is lost: whole under the final name, or not there at all."""

from __future__ import annotations

import contextlib
import os
import tempfile
from pathlib import Path


def write_atomically(path, data: bytes) -> Path:
    """Write bytes under a name, so that a crash, a full disk or a pulled plug never leaves half a file there.

    The bytes go to a draft in the same folder, are pushed to the disk, and only then take the name.

    Raises
    ------
    OSError
        the folder is missing, read-only or full; the old file, if any, is untouched.
    """
    with draft_of(path) as draft:
        draft.write_bytes(data)
    return Path(path)


@contextlib.contextmanager
def draft_of(path):
    """A draft in the same folder for others to write to: ``with draft_of("clip.mp4") as draft: …``.

    When the block ends well the draft is pushed to the disk and takes the name; when it does not, the draft is gone and the
    old file untouched.
    """
    path = Path(path)
    handle, draft = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name[:40]}-", suffix=".draft")
    os.close(handle)
    try:
        yield Path(draft)
        with open(draft, "r+b") as written:
            os.fsync(written.fileno())
        os.chmod(draft, path.stat().st_mode & 0o777 if path.exists() else 0o644)
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
    try:
        import fcntl
    except ImportError:  # Windows: a byte far behind the end stands for the file, so that others may still read it
        import msvcrt

        os.lseek(handle, 1 << 30, os.SEEK_SET)
        msvcrt.locking(handle, msvcrt.LK_LOCK if take else msvcrt.LK_UNLCK, 1)
        os.lseek(handle, 0, os.SEEK_SET)
    else:
        fcntl.flock(handle, fcntl.LOCK_EX if take else fcntl.LOCK_UN)


def _settle(folder):
    """Push the new name to the disk as well, where the system can."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
