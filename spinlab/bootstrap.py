"""From a fresh copy of the project to a working environment, with the standard library alone.

The packages are in ``.venv`` in the project's folder.  A stamp in it says what was wanted when it was made; while that is
still wanted and the environment answers, a start needs neither time nor network.  When something else is wanted, a new
environment is built beside it, in ``.next``, and takes its place only when it is whole: until then, and where that fails,
the one that is there goes on working.  This file must also load on old Pythons, so that they can say in plain words that
they are too old.
"""

import contextlib
import hashlib
import json
import os
import shutil
import subprocess
import sys
import time
from pathlib import Path

from . import installing
from .installing import Trouble, clean_environment, python_of

OLDEST = (3, 11)
ROOM = 1500 * 10**6
"""Free bytes a setup needs: the packages, and what they take, at worst, while they are fetched and unpacked."""

TAKES = "1 GB"
"""What the packages take on the disk."""

HOME, NEXT, FORMER = ".venv", ".next", ".venv-old"
"""The environment in use, the one being built, and the one that is leaving.  The first two are of one length, so that the
paths in the scripts of the new one can be changed in place, in programs, too."""

STAMP = "spinlab-stamp.json"

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
    return _stamped(root / HOME, root, test) and _answers(root / HOME, root)


def ensure(root, test=False, say=print):
    """Make, mend or renew ``.venv`` in `root` if need be; return its Python.

    Raises
    ------
    Trouble
        no room, no network, a folder that cannot be written, a Python without ``venv``, each with its cure; only where no
        environment is there that could go on instead.
    """
    if not ready(root, test):
        try:
            with _alone(root, say):
                if not ready(root, test):
                    _set_up(root, test, say)
        except Trouble as trouble:
            if not _stamp(root / NEXT):
                shutil.rmtree(str(root / NEXT), ignore_errors=True)
            if not serves(root, test):
                raise
            late = lacking(python_of(root / HOME), requirements(root, test))
            say("They could not be renewed. %s" % trouble)
            say("Going on with the packages that are here. Out of date: %s." % (", ".join(late) or "none of them"))
    return python_of(root / HOME)


def serves(root, test=False):
    """Is there an environment that worked before and still answers, whatever is wanted now?"""
    stamp = _stamp(root / HOME)
    return bool(stamp) and (not test or bool(stamp.get("test"))) and _answers(root / HOME, root)


def lacking(python, wanted):
    """Which of the requirements another Python does not meet, their own requirements included; asked there."""
    command = [str(python), "-I", str(Path(__file__).with_name("installed.py")), *wanted]
    try:
        told = subprocess.run(command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, timeout=120)
    except (OSError, subprocess.TimeoutExpired):
        return list(wanted)
    return told.stdout.decode("utf-8", "replace").splitlines() if told.returncode == 0 else list(wanted)


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


# -- the steps of a setup ---------------------------------------------------------------------------------------------


def _stamp(home):
    """What was written down when the environment was whole, or nothing."""
    try:
        stamp = json.loads((home / STAMP).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return stamp if isinstance(stamp, dict) else {}


def _stamped(home, root, test):
    """Does the stamp name what is wanted?  An environment made for the tests also serves without them."""
    return _stamp(home).get("wanted") in {wanted(root, test), wanted(root, True)}


def _answers(home, root):
    """Does the environment's Python find the package in this folder, and not in another?"""
    return _runs(home, "import os, sys, spinlab; raise SystemExit(not os.path.samefile(spinlab.__path__[0], sys.argv[1]))",
                 root / "spinlab")


def _runs(home, code="import sys; raise SystemExit(sys.version_info < %r)" % (OLDEST,), *words):
    """Does the environment's Python run these lines without complaint?"""
    command = [str(python_of(home)), "-I", "-c", code, *map(str, words)]
    try:
        return subprocess.run(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, timeout=60).returncode == 0
    except (OSError, subprocess.TimeoutExpired):
        return False


def _point(home, root):
    """Let the environment's Python find the package.  The way from there to here is written down, not the place, so that
    the folder can be moved and copied."""
    return _runs(home, "import os, sys, sysconfig\nplace = sysconfig.get_path('purelib')\n"
                       "with open(os.path.join(place, '0-spinlab.pth'), 'w', encoding='utf-8') as file:\n"
                       "    file.write(os.path.relpath(sys.argv[1], place))", root) and _answers(home, root)


def _set_up(root, test, say):
    home, spare = root / HOME, root / NEXT
    try:
        if (root / FORMER).exists() and not home.exists():  # stopped between the two steps of a change
            (root / FORMER).replace(home)
        if _stamped(home, root, test) and _point(home, root):
            return
        _check_room(root)
        started = time.time()
        if _own(home):
            _fill(home, root, test, say)
        else:
            if not _stamped(spare, root, test):
                say("Making a place for the packages in this folder." if not serves(root) else
                    "The packages that are here are out of date. New ones are put beside them, to take their place when "
                    "all are there.")
                installing.make(spare)
                _fill(spare, root, test, say)
            _change(root)
        say("All is in place (%d s). From now on a start takes seconds and needs no network." % (time.time() - started))
    except OSError as error:
        raise Trouble(installing.of_files(error, root)) from None


def _own(home):
    """Is there a working environment that somebody else made?  It is filled, never thrown away."""
    stamp = _stamp(home)
    return not stamp.get("made", bool(stamp)) and _runs(home)


def _fill(place, root, test, say):
    """Install what is wanted; stamp the environment once all of it is seen to be there."""
    needed = requirements(root, test)
    own = place == root / HOME
    say("Fetching and installing packages. This takes a minute or more, and %s of the disk." % TAKES)
    installing.install(root, place, needed, say, patient=not serves(root))
    absent = lacking(python_of(place), needed)
    if absent:
        raise Trouble("Pip ended without a complaint, but these are not in place: %s. Its settings may have kept it from "
                      "them ('pip config list' shows them). All it said is in %s."
                      % (", ".join(absent), root / installing.LOG))
    if not _point(place, root):
        raise Trouble("The new environment does not find the package in %s. Delete the folder %s, then start again."
                      % (root, place.name))
    installing.warm(root, place, say)
    if not own:
        _rename_in_scripts(place, root / HOME)
    stamp = {"wanted": wanted(root, test), "test": test, "made": not own}
    (place / STAMP).write_text(json.dumps(stamp), encoding="utf-8")


def _rename_in_scripts(place, name):
    """Scripts and programs name the environment they belong to: here the one it is going to be."""
    old, new = os.fsencode(str(place)), os.fsencode(str(name))
    for script in python_of(place).parent.iterdir():
        if script.is_file() and not script.is_symlink():
            written = script.read_bytes()
            if old in written:
                script.write_bytes(written.replace(old, new))


def _change(root):
    """The new environment takes the place of the old one."""
    home, former = root / HOME, root / FORMER
    shutil.rmtree(str(former), ignore_errors=True)
    try:
        if home.exists() or home.is_symlink():
            home.replace(former)
        (root / NEXT).replace(home)
    except OSError:
        if not home.exists() and former.exists():
            former.replace(home)
        raise Trouble("The new packages are ready, but the old ones are in use. Close the lessons that are open, then start "
                      "again.") from None
    shutil.rmtree(str(former), ignore_errors=True)


def _check_room(root):
    free = shutil.disk_usage(str(root)).free
    if free < ROOM:
        raise Trouble("The disk is nearly full: a setup needs about %.1f GB in %s, %.1f GB are free. Make room, then start "
                      "again." % (ROOM / 1e9, root, free / 1e9))


@contextlib.contextmanager
def _alone(root, say):
    """One setup at a time; the lock goes with the process that holds it, even if it is killed."""
    try:
        file = open(str(root / ".venv.lock"), "ab")  # noqa: SIM115 - closed below
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
