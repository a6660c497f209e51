"""From a fresh copy of the project to a working environment, with the standard library alone.

The packages go into ``.venv`` in the project's folder.  A stamp in it says what was wanted when it was made; while that is
still wanted and the environment answers, a start needs neither time nor network.  This file must also load on old Pythons,
so that they can say in plain words that they are too old.
"""

import contextlib
import hashlib
import json
import os
import re
import shutil
import subprocess
import sys
import time
from pathlib import Path

from . import installing
from .installing import Trouble, clean_environment, python_of

OLDEST = (3, 11)
ROOM = 1200 * 10**6
"""Free bytes a first setup needs: 650 MB of packages and as much again, at worst, while they are unpacked."""

STAMP, HALF_MADE = "spinlab-stamp.json", "spinlab-half-made"


def check_python(version=None):
    """Refuse a Python that is too old, and name a newer one of this machine if there is one."""
    version = tuple(version or sys.version_info)[:3]
    if version >= OLDEST:
        return
    newer = next(filter(shutil.which, ("python3.%d" % k for k in range(20, OLDEST[1] - 1, -1))), None)
    cure = "Start with %s instead." % newer if newer else "Install a newer one from python.org or your system's packages."
    raise Trouble("Python %d.%d or newer is needed, this is %s. %s" % (*OLDEST, ".".join(map(str, version)), cure))


def requirements(root, test):
    """What the project file asks for, as written there."""
    import tomllib

    project = tomllib.loads((root / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    return project["dependencies"] + (project["optional-dependencies"]["test"] if test else [])


def wanted(root, test):
    """A hash of what is wanted: it changes when the requirements do, not when anything else in the project file does."""
    return hashlib.sha256("\n".join(sorted(requirements(root, test))).encode("utf-8")).hexdigest()


def ready(root, test=False):
    """Is the environment there, made for what is wanted now, and does it answer from this folder?"""
    return _stamped(root, test) and _answers(root)


def ensure(root, test=False, say=print):
    """Make or mend ``.venv`` in `root` if need be; return its Python.

    Raises
    ------
    Trouble
        no room, no network, a folder that cannot be written, a Python without ``venv``: each with its cure.
    """
    if not ready(root, test):
        with _alone(root, say):
            if not ready(root, test):
                _set_up(root, test, say)
    return python_of(root / ".venv")


def become(command, folder=None, more=None):
    """Go on as another program: its end is our end.  Windows has no such step, there we wait for it."""
    command = [str(part) for part in command]
    surroundings = dict(clean_environment(), **(more or {}))
    sys.stdout.flush()
    if os.name == "nt":
        import signal

        signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is the child's to answer
        sys.exit(subprocess.call(command, cwd=folder, env=surroundings))
    if folder:
        os.chdir(str(folder))
    os.execve(command[0], command, surroundings)


def missing(requirements):
    """Which of the requirements (``name>=version``) this very Python does not meet, in words."""
    from importlib.metadata import PackageNotFoundError, version

    lacking = []
    for text in requirements:
        name, _, least = (part.strip() for part in text.partition(">="))
        try:
            have = version(name)
        except PackageNotFoundError:
            lacking.append(text)
            continue
        if _number(have) < _number(least):
            lacking.append("%s (there is %s)" % (text, have))
    return lacking


def _number(text):
    return tuple(int(part) for part in re.findall(r"\d+", text)[:3])


# -- the steps of a setup ---------------------------------------------------------------------------------------------


def _stamped(root, test):
    """Does the stamp name what is wanted?  An environment made for the tests also serves without them."""
    try:
        stamp = json.loads((root / ".venv" / STAMP).read_text(encoding="utf-8"))
        return any(stamp["wanted"] == wanted(root, kind) for kind in {test, True})
    except (OSError, ValueError, KeyError, TypeError):
        return False


def _answers(root):
    """Does the environment's Python find the package in this folder, and not where the folder used to be?"""
    return _runs(root, "import os, sys, spinlab; raise SystemExit(not os.path.samefile(spinlab.__path__[0], sys.argv[1]))")


def _runs(root, code="import sys; raise SystemExit(sys.version_info < %r)" % (OLDEST,)):
    """Does the environment's Python run these lines without complaint?"""
    command = [str(python_of(root / ".venv")), "-I", "-c", code, str(root / "spinlab")]
    try:
        return subprocess.run(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, timeout=60).returncode == 0
    except (OSError, subprocess.TimeoutExpired):
        return False


def _set_up(root, test, say):
    home = root / ".venv"
    try:
        if _stamped(root, test) and _runs(root) and _relink(root, say):
            return
        _check_room(root)
        if home.exists() and ((home / HALF_MADE).exists() or not _runs(root)):
            _clear(home, say)
        if (home / STAMP).exists():  # no longer what is wanted: from here until the new stamp it is half made
            (home / STAMP).replace(home / HALF_MADE)
        if not home.exists():
            home.mkdir()
            (home / HALF_MADE).touch()
            say("Making a place for the packages: .venv in this folder.")
            installing.make(home)
        say("Fetching and installing packages. The first time this takes a minute or more, and 650 MB.")
        started = time.time()
        installing.install(root, ["setuptools>=77", "-e", ".[test]" if test else "."], say)
        (home / STAMP).write_text(json.dumps({"wanted": wanted(root, test)}), encoding="utf-8")
        with contextlib.suppress(FileNotFoundError):
            (home / HALF_MADE).unlink()
        say("All is in place (%d s). From now on a start takes seconds and needs no network." % (time.time() - started))
    except OSError as error:
        raise Trouble(installing.of_files(error, root)) from None


def _relink(root, say):
    """After the folder was moved or copied: point the environment here again.  Needs no network."""
    say("The folder has moved; mending the environment.")
    try:
        installing.install(root, ["--no-deps", "--no-build-isolation", "-e", "."], lambda words: None)
    except Trouble:
        return False
    return _answers(root)


def _check_room(root):
    free = shutil.disk_usage(str(root)).free
    if free < ROOM:
        raise Trouble("The disk is nearly full: a setup needs about %.1f GB in %s, %.1f GB are free. Make room, then start "
                      "again." % (ROOM / 1e9, root, free / 1e9))


def _clear(home, say):
    if Path(sys.prefix).resolve() == home.resolve():
        raise Trouble("The environment you are in was left half made. Type 'deactivate', then start again.")
    say("An earlier setup was interrupted, or its Python is gone; starting it afresh.")
    shutil.rmtree(str(home))


@contextlib.contextmanager
def _alone(root, say):
    """One setup at a time; the lock goes with the process that holds it, even if it is killed."""
    try:
        file = open(str(root / ".venv.lock"), "a")  # noqa: SIM115 - closed below
    except OSError as error:
        raise Trouble(installing.of_files(error, root)) from None
    with file:
        if not _locked(file):
            say("Another start is setting up in this folder; waiting for it.")
            while not _locked(file):
                time.sleep(0.5)
        yield


def _locked(file):
    try:
        if os.name == "nt":
            import msvcrt

            msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)
        else:
            import fcntl

            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        return False
    return True
