"""The decorator `kernel`: compiles a function with numba, or leaves it plain Python.

A function of the kernel is written in the dialect that `spinlab.kernel.javascript` describes.  It stays plain Python
where numba is not installed or the environment says ``SPINLAB_PLAIN=1``; both give the same numbers.

numba keeps compiled code in a cache on disk and does not see an edit in a function that is called.  Each state of the
kernel's source therefore has a cache folder of its own, named by a hash.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import sys
import tempfile
import warnings
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

try:
    import numba
except ImportError:
    numba = None

__all__ = ["PLAIN", "REGISTRY", "Array", "compiled", "entry", "kernel"]

Array = NDArray[np.float64]
"""Annotation of a parameter that is a one-dimensional array of floats."""

REGISTRY: list = []
"""The plain Python functions of the kernel, in the order of their definition."""

_PLAIN_WANTED = os.environ.get("SPINLAB_PLAIN", "") not in ("", "0")
PLAIN: bool = _PLAIN_WANTED or numba is None or bool(numba.config.DISABLE_JIT)
"""True where the kernel runs as plain Python."""

_HERE = Path(__file__).parent
_KEPT_FOLDERS = 5

if numba is None and not _PLAIN_WANTED:
    warnings.warn_explicit(
        "numba is not installed: every answer is the same, some hundred times slower (pip install numba)",
        RuntimeWarning, filename="spinlab.kernel", lineno=1)


def kernel(function):
    """The same function, entered in the `REGISTRY` and compiled where that is possible.

    >>> @kernel
    ... def double(x):
    ...     return 2.0 * x
    >>> double(21.0)
    42.0
    >>> REGISTRY.pop().__name__
    'double'
    """
    REGISTRY.append(function)
    return compiled(function)


def entry(function):
    """A `kernel` function that callers call whole: its code is not copied into theirs."""
    REGISTRY.append(function)
    return compiled(function, copied=False)


def compiled(function, copied=True):
    """The same function, compiled where that is possible; for loops outside the dialect.

    Code that is `copied` into its callers makes a shot a third quicker, since records need not be
    passed from function to function; large functions that several callers use are not.
    """
    if PLAIN:
        return function
    fast = numba.njit(nogil=True, error_model="numpy", forceinline=copied)(function)
    if CACHE is not None and os.path.exists(function.__code__.co_filename):
        fast._cache = _KernelCache(function)
    return fast


def source_hash():
    """Hash of all source that compiled code depends on: this package and the records' fields."""
    digest = hashlib.sha256()
    package = _HERE.parent
    records = [package / "outcomes.py", package / "records.py"]
    for path in [*sorted(_HERE.glob("*.py")), *records]:
        if path.exists():
            digest.update(path.name.encode() + b"\0" + path.read_bytes() + b"\0")
    return digest.hexdigest()[:16]


def user_cache():
    """The user's cache folder of this package by the platform's own rule; None without a home."""
    try:
        home = Path.home()
    except RuntimeError:
        return None
    if os.environ.get("XDG_CACHE_HOME"):
        base = Path(os.environ["XDG_CACHE_HOME"])
    elif sys.platform == "win32":
        base = Path(os.environ.get("LOCALAPPDATA") or home / "AppData" / "Local")
    elif sys.platform == "darwin":
        base = home / "Library" / "Caches"
    else:
        base = home / ".cache"
    return base / "spinlab" / "kernel"


def cache_folder(base, name):
    """The folder `name` below `base`, made if need be; None where nothing can be written there.

    When a new folder is made, only the `_KEPT_FOLDERS` most recently used ones stay.
    """
    if base is None:
        return None
    folder = base / name
    try:
        new = not folder.is_dir()
        folder.mkdir(parents=True, exist_ok=True)
        tempfile.TemporaryFile(dir=folder).close()
        os.utime(folder)
        if new:
            lately = sorted(base.iterdir(), key=lambda old: old.stat().st_mtime, reverse=True)
            for old in lately[_KEPT_FOLDERS:]:
                shutil.rmtree(old, ignore_errors=True)
    except OSError:
        return None
    return folder


CACHE = None if PLAIN else cache_folder(user_cache(), source_hash())
"""Where compiled code is kept; None where it is not kept."""


if not PLAIN:
    from numba.core import caching

    class _Locator(caching.UserWideCacheLocator):
        """Puts a function's compiled code below `CACHE`."""

        def get_cache_path(self):
            return str(CACHE / Path(super().get_cache_path()).name)

    class _CacheFiles(caching.CompileResultCacheImpl):
        _locator_classes = [_Locator]

    class _KernelCache(caching.FunctionCache):
        _impl_class = _CacheFiles
