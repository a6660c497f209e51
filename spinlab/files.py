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
    path = Path(path)
    handle, draft = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name[:40]}-", suffix=".draft")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        os.chmod(draft, path.stat().st_mode & 0o777 if path.exists() else 0o644)
        os.replace(draft, path)
    except BaseException:
        with contextlib.suppress(FileNotFoundError):
            os.unlink(draft)
        raise
    _settle(path.parent)
    return path


def _settle(folder):
    """Push the new name to the disk as well, where the system can."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
