"""What the lessons need on this machine, looked at one by one, and how to cure what is missing.

Nothing personal is printed or logged: the home folder appears as ``~``, the person's and the machine's name not at all.
"""

from __future__ import annotations

import contextlib
import os
import platform
import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from . import __version__, bootstrap, installed
from .files import write_atomically

NEED, NICE = "needed", "nice to have"
PROBLEM = "spinlab-problem.txt"
BROWSERS = ("chromium", "chromium-browser", "google-chrome", "chrome", "firefox", "msedge", "safari")


def main(root, log=None, here=False) -> int:
    """Print every finding, also into a file if asked; 0 if nothing that is needed is missing, else 2."""
    root, lines = Path(root), []

    def say(words):
        lines.append(without_person(words))
        print(lines[-1], flush=True)

    say(system())
    findings = []
    for weight, what, good, told in look(root, here):
        findings.append((weight, what, good))
        sign = "good   " if good else ("MISSING" if weight == NEED else "absent ")
        say(f"{sign}  {what}: {told}")
    bad = [what for weight, what, good in findings if weight == NEED and not good]
    say("All that is needed is here." if not bad else f"To be cured, in this order: {', '.join(bad)}.")
    if log:
        written = write_atomically(log, "\n".join([*lines, "", *packages(root, here), ""]).encode("utf-8"))
        print(f"Written to {written}. It names no person; send it along when you report a problem.")
    return 2 if bad else 0


def system() -> str:
    """Version, Python and system in a line."""
    return (f"spinlab {__version__}, Python {platform.python_version()}, {platform.system()} {platform.release()} "
            f"{platform.machine()}")


def packages(root, here=False):
    """What is asked for and what there is in the environment that a start would use, a line each."""
    python = environment(root, here)
    asked = bootstrap.requirements(root, True) if (root / "pyproject.toml").is_file() else []
    told = _says(python, VERSIONS, *asked) if python else None
    yield from told.splitlines() if told else (f"{text}: not here" for text in asked)


VERSIONS = """
import re, sys
from importlib.metadata import PackageNotFoundError, version
for text in sys.argv[1:]:
    try:
        print(f"{text}: {version(re.match(r'[-\\w.]+', text)[0])}")
    except PackageNotFoundError:
        print(f"{text}: not here")
"""
"""Lines for another Python: which versions it has."""


def environment(root, here=False):
    """The Python that a start would use, as it is now; None where a start would make it first."""
    if here or not (root / "pyproject.toml").is_file():
        return Path(sys.executable)
    python = bootstrap.python_of(root / bootstrap.HOME)
    return python if _says(python, "import sys; print(sys.version_info >= (3, 11))") == "True" else None


def note_problem(error) -> str:
    """Keep where an unexpected error came from in a file, to be sent along; says where it is.  The error's own words are
    left out: they may quote a table."""
    import traceback

    lines = [system(), ""]
    while error is not None:
        lines += [type(error).__name__, *map(str.rstrip, traceback.format_tb(error.__traceback__)), ""]
        error = error.__cause__ or error.__context__
    words = without_person("\n".join(lines)).encode("utf-8", "replace")
    for folder in (os.getcwd, tempfile.gettempdir):
        with contextlib.suppress(OSError):  # no such folder, no room, not ours
            written = write_atomically(Path(folder()) / PROBLEM, words)
            return f"Where it came from is in {written}, which names no person; please send it along"
    return "Where it came from could not be written down: neither this folder nor the one for passing files takes any"


def look(root, here=False):
    """(weight, what, good, words) for each check, in the order to cure them."""
    yield NEED, "Python", sys.version_info >= bootstrap.OLDEST, f"{platform.python_version()}; 3.11 or newer is needed"
    yield _writing(root)
    yield _room(root)
    python = environment(root, here)
    good, words = _packages(root, python, here)
    yield NEED, "Packages", good, words
    yield _listening()
    yield _widgets(python, good)
    yield _fonts(python, good)
    browser = next(filter(shutil.which, BROWSERS), None)
    yield NICE, "Browser", bool(browser) or os.name == "nt" or sys.platform == "darwin", (
        f"{browser} is here" if browser else
        "none found by name; any current browser will do: open it and copy the address there that a start prints")
    film = shutil.which("ffmpeg")
    yield NICE, "ffmpeg", bool(film), "here; clips can be videos" if film else (
        "without it clips become GIF instead of video. Debian: apt install ffmpeg; macOS: brew install ffmpeg; Windows: "
        "winget install ffmpeg")


def without_person(words) -> str:
    """Words without the names of people, of their folders and of their machines, without addresses and secrets."""
    words = str(words)
    for folder, sign in _folders():
        words = re.sub(rf"{re.escape(folder)}(?![\w.-])", lambda _, sign=sign: sign, words, flags=re.I)
    for pattern, sign in _PERSONAL:
        words = re.sub(pattern, sign, words)
    for name, sign in _names():
        words = re.sub(rf"(?<![^\W_]){re.escape(name)}(?![^\W_])", sign, words, flags=re.I)
    return words


_PERSONAL = (
    (r"(?i)\b(token|password|passwd|secret|api[_-]?key|authorization)(\s*[=:]\s*)(?:(?:token|bearer|basic) )?[^\s&\"'<>]+",
     r"\1\2(hidden)"),
    (r"\b[0-9a-fA-F]{32,}\b", "(hidden)"),
    (r"(?i)\b[a-z]+://[^\s/@]+@", "(hidden)@"),
    (r"[^\s@<>\"'():=]+@[^\s@<>\"')]+\.\w+", "(address)"),
    # a home folder, anybody's: its name may hold blanks where the path goes on behind it
    (r"(?i)(?:\b[a-z]:)?[\\/]+(?:home|users|documents and settings|(?:run[\\/])?media)[\\/]+"
     r"(?:[^\\/\s\"':;,]+(?: [^\\/\s\"':;,]+)*(?=[\\/])|[^\\/\s\"':;,]+)", "~"),
)
"""What is personal by its shape, and what stands for it."""


def _folders():
    """The folders that are known, in each way of writing them, the longest first, with what stands for them."""
    from urllib.parse import quote

    known, found = {Path(__file__).resolve().parent.parent: "(spinlab)"}, {}
    for folder, sign in ((Path.cwd, "(here)"), (Path.home, "~")):
        with contextlib.suppress(OSError, RuntimeError):  # it was removed, or the system knows none
            known[folder()] = sign
    for folder, sign in known.items():
        for path in {folder, folder.resolve()}:
            found |= dict.fromkeys({str(path), path.as_posix(), quote(path.as_posix())} - {"/"}, sign)
    return sorted(found.items(), key=lambda one: -len(one[0]))


def _names():
    """The person's and the machine's names, as far as the system tells them."""
    import getpass
    import socket

    people = [os.environ.get(name, "") for name in ("USER", "LOGNAME", "USERNAME", "SUDO_USER")]
    with contextlib.suppress(Exception):  # some systems know no name
        people.append(getpass.getuser())
    with contextlib.suppress(Exception):
        import pwd

        whole = pwd.getpwuid(os.getuid()).pw_gecos.partition(",")[0]
        people += [whole, *whole.split()]
    machines = [platform.node(), socket.gethostname()]
    machines += [name.partition(".")[0] for name in machines]
    for names, sign in ((people, "(person)"), (machines, "(machine)")):
        for name in sorted(set(names), key=len, reverse=True):
            if len(name) > 1 and name.casefold() not in ("root", "localhost"):
                yield name, sign


def _writing(root):
    for name, folder in (("the project's folder", root), ("the folder you are in", Path.cwd())):
        try:
            with tempfile.TemporaryFile(dir=folder):
                pass
        except OSError:
            return NEED, "Writing", False, f"{name} cannot be written to; copy the project to a folder of your own"
    return NEED, "Writing", True, "files can be written here"


def _room(root):
    free = shutil.disk_usage(root).free / 1e9
    enough = free > 0.3 if (root / bootstrap.HOME).exists() else free * 1e9 > bootstrap.ROOM
    return NEED, "Room on the disk", enough, f"{free:.1f} GB free; a first setup needs {bootstrap.ROOM / 1e9:.1f} GB"


def _listening():
    import socket

    try:
        with socket.create_server(("127.0.0.1", 0)) as server, socket.create_connection(server.getsockname(), timeout=5):
            return NEED, "Speaking to the browser", True, "this machine may talk to itself (127.0.0.1)"
    except OSError as error:
        return NEED, "Speaking to the browser", False, (
            f"this machine may not talk to itself on 127.0.0.1 ({error.strerror or error}); allow it in the firewall")


AFRESH = "delete the folder .venv, then 'python3 -m spinlab'"


def _packages(root, python, here):
    """Has the Python that a start would use what is wanted?  And what the next start would do about it."""
    if not (root / "pyproject.toml").is_file():
        return True, "this Python"
    if python is None:
        return False, "not set up yet; 'python3 -m spinlab' sets them up"
    asked = bootstrap.requirements(root, False)
    lacking = installed.lacking(asked) if here else bootstrap.lacking(python, asked)
    if here:
        return not lacking, f"{_few(lacking)}; install these, or leave out --here" if lacking else "all here, in this Python"
    if bootstrap.ready(root):
        return not lacking, f"{_few(lacking)}; {AFRESH}" if lacking else "all here, in .venv"
    if not lacking:
        return True, "all here, in .venv; to be pointed to this folder, which the next start does without network"
    if bootstrap.serves(root):
        return True, (f"those in .venv work. Out of date: {_few(lacking)}; a start with the network on renews them, a start "
                      "without goes on with these")
    return False, f"{_few(lacking)}; 'python3 -m spinlab' sets them up"


def _few(names, most=4):
    return ", ".join(names[:most]) + (f" and {len(names) - most} more" if len(names) > most else "")


def _widgets(python, packages):
    code = ("import ipywidgets, anywidget, jupyterlab, os, sys; "
            "here = [os.path.join(sys.prefix, 'share', 'jupyter', 'labextensions', name) for name in "
            "('@jupyter-widgets/jupyterlab-manager', 'anywidget')]; raise SystemExit(not all(map(os.path.isdir, here)))")
    good = _says(python, code) is not None
    return NEED, "Sliders in JupyterLab", good, "the widgets load" if good else (
        f"the widgets do not load; {AFRESH}" if packages else "they come with the packages")


def _fonts(python, packages):
    name = _says(python, "import matplotlib.font_manager as f; print(f.findfont('DejaVu Sans', fallback_to_default=False))")
    return NEED, "Fonts", bool(name), "the pictures' own font is here" if name else (
        f"matplotlib's own font is missing; {AFRESH}" if packages else "they come with the packages")


def _says(python, code, *words):
    """What a few lines print in an environment, or None if they fail or there is none."""
    if python is None:
        return None
    try:
        done = subprocess.run([str(python), "-I", "-c", code, *words], capture_output=True, encoding="utf-8",
                              errors="replace", timeout=120)
    except (OSError, subprocess.TimeoutExpired):
        return None
    return done.stdout.strip() if done.returncode == 0 else None
