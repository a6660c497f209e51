"""What the lessons need on this machine, looked at one by one, and how to cure what is missing.

Nothing personal is printed: the home folder appears as ``~``.
"""

from __future__ import annotations

import os
import platform
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from . import __version__, bootstrap

NEED, NICE = "needed", "nice to have"
BROWSERS = ("chromium", "chromium-browser", "google-chrome", "chrome", "firefox", "msedge", "safari")


def main(root) -> int:
    """Print every finding; 0 if nothing that is needed is missing, else 2."""
    print(f"spinlab {__version__}, Python {platform.python_version()}, {platform.system()} {platform.machine()}")
    findings = list(look(Path(root)))
    for weight, what, good, told in findings:
        sign = "good   " if good else ("MISSING" if weight == NEED else "absent ")
        print(f"{sign}  {what}: {without_home(told)}")
    bad = [what for weight, what, good, _ in findings if weight == NEED and not good]
    print("All that is needed is here." if not bad else f"To be cured: {', '.join(bad)}.")
    return 2 if bad else 0


def look(root):
    """(weight, what, good, words) for each check, in the order to cure them."""
    yield NEED, "Python", sys.version_info >= bootstrap.OLDEST, "3.11 or newer is needed"
    yield _writing(root)
    yield _room(root)
    if (root / "pyproject.toml").is_file():
        set_up = bootstrap.ready(root)
        python = bootstrap.python_of(root / ".venv") if set_up else Path(sys.executable)
        lacking = [] if set_up else bootstrap.missing(bootstrap.requirements(root, False))
        yield NEED, "Packages", not lacking, "in .venv" if set_up else "in this Python" if not lacking else (
            f"{len(lacking)} are missing; 'python3 -m spinlab' sets them up")
    else:
        python = Path(sys.executable)
    yield _widgets(python)
    yield _fonts(python)
    browser = next(filter(shutil.which, BROWSERS), None)
    yield NICE, "Browser", bool(browser) or os.name == "nt" or sys.platform == "darwin", (
        browser or "none found by name; any current browser will do, give it the address that is printed")
    film = shutil.which("ffmpeg")
    yield NICE, "ffmpeg", bool(film), film or (
        "clips become GIF instead of video. Debian: apt install ffmpeg; macOS: brew install ffmpeg; Windows: winget install "
        "ffmpeg")


def without_home(words) -> str:
    """Words without the name of the person's own folder."""
    home = str(Path.home())
    return str(words).replace(home, "~") if len(home) > 1 else str(words)


def _writing(root):
    for folder in (root, Path.cwd()):
        try:
            with tempfile.TemporaryFile(dir=folder):
                pass
        except OSError:
            return NEED, "Writing", False, f"{folder} cannot be written to; copy the project to a folder of your own"
    return NEED, "Writing", True, "files can be written here"


def _room(root):
    free = shutil.disk_usage(root).free / 1e9
    enough = free > 0.3 if (root / ".venv").exists() else free * 1e9 > bootstrap.ROOM
    return NEED, "Room on the disk", enough, f"{free:.1f} GB free; a first setup needs {bootstrap.ROOM / 1e9:.1f} GB"


def _widgets(python):
    code = ("import ipywidgets, anywidget, jupyterlab, os, sys; "
            "here = [os.path.join(sys.prefix, 'share', 'jupyter', 'labextensions', name) for name in "
            "('@jupyter-widgets/jupyterlab-manager', 'anywidget')]; raise SystemExit(not all(map(os.path.isdir, here)))")
    good = _says(python, code) is not None
    return NEED, "Sliders in JupyterLab", good, "the widgets load" if good else (
        "the widgets do not load; delete the folder .venv, then 'python3 -m spinlab'")


def _fonts(python):
    name = _says(python, "import matplotlib.font_manager as f; print(f.findfont('DejaVu Sans', fallback_to_default=False))")
    return NEED, "Fonts", bool(name), "the pictures' own font is here" if name else (
        "matplotlib's own font is missing; delete the folder .venv, then 'python3 -m spinlab'")


def _says(python, code):
    """What a few lines print in an environment, or None if they fail."""
    try:
        done = subprocess.run([str(python), "-I", "-c", code], capture_output=True, encoding="utf-8", errors="replace",
                              timeout=120)
    except (OSError, subprocess.TimeoutExpired):
        return None
    return done.stdout.strip() if done.returncode == 0 else None
