"""The parts that the notebooks in a browser are made of, fetched once and kept in a folder.

Three package clients do it, each from wherever it is set up to fetch from: pip gets JupyterLite's builder (into a folder of
its own: its kernel extension has no place in the JupyterLab here) and the pure Python packages, npm gets Pyodide's core.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from dataclasses import dataclass
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

from .lite_lock import closure, name_in_lock

KERNEL = ("micropip", "ipython", "jedi", "comm", "packaging")
"""What the kernel itself asks for when it starts."""
_MORE = ("ipywidgets", "anywidget", "psygnal", "comm", "jupyterlab-widgets", "openpyxl", "et-xmlfile", "fpdf2", "defusedxml",
         "segno", "typing-extensions")
"""Pure Python that the lessons need besides; what Pyodide's list has not is as new as here: widgets must fit their page."""
_ASK = "from jupyterlite_pyodide_kernel.constants import PYODIDE_VERSION as v, PYODIDE_CDN_URL as u; print(v, u)"


@dataclass(frozen=True)
class Parts:
    """Folders of the `tools`, Pyodide's `core` and the `wheels`, and the address of Pyodide's `distribution`."""

    tools: Path
    core: Path
    wheels: Path
    distribution: str


def gather(store: Path, pins, dependencies, say) -> Parts:
    """All parts, fetched if they are not in the store."""
    store.mkdir(parents=True, exist_ok=True)
    store = store.resolve()
    tools, core, wheels = store / "tools", store / "core" / "node_modules" / "pyodide", store / "wheels"
    if not (tools / "jupyterlite_core").is_dir():
        say(f"fetching {', '.join(pins)}")
        _pip("install", "--target", str(tools), *pins)
    pyodide, distribution = _said([sys.executable, "-c", _ASK], env=beside(tools)).split()
    if not _is(core, pyodide):
        say(f"fetching Pyodide {pyodide}")
        _npm(store / "core", pyodide)
    if not wheels.is_dir():
        say("fetching pure Python packages")
        _wheels(wheels, core, dependencies)
    return Parts(tools, core, wheels, distribution)


def beside(tools) -> dict[str, str]:
    """Surroundings in which the tools are found."""
    return os.environ | {"PYTHONPATH": str(tools), "PYTHONIOENCODING": "utf-8"}


def _is(core, pyodide):
    told = core / "package.json"
    return told.is_file() and json.loads(told.read_text(encoding="utf-8"))["version"] == pyodide


def _npm(folder, pyodide):
    npm = shutil.which("npm")
    if not npm:
        raise ValueError(f"Pyodide's core comes by npm, which is not on this machine; install Node.js, or put the package "
                         f"pyodide {pyodide} into {folder / 'node_modules'}")
    folder.mkdir(parents=True, exist_ok=True)
    _said([npm, "install", "--prefix", str(folder), "--no-audit", "--no-fund", "--ignore-scripts", "--no-package-lock",
           f"pyodide@{pyodide}"], cwd=folder)


def _wheels(folder, core, dependencies):
    """Pure Python in the very versions of Pyodide's list, and what that list has not."""
    lock = json.loads((core / "pyodide-lock.json").read_text(encoding="utf-8"))
    inside = closure(lock["packages"], *KERNEL, *_MORE, *map(name_in_lock, dependencies))
    wanted = [f"{one['name']}=={one['version']}" for one in inside.values() if one["file_name"].endswith("-none-any.whl")]
    wanted += [f"{name}=={_here(name)}" if _here(name) else name for name in _MORE if not closure(lock["packages"], name)]
    draft = folder.with_name(folder.name + ".draft")
    shutil.rmtree(draft, ignore_errors=True)
    python = ".".join(lock["info"]["python"].split(".")[:2])
    _pip("download", "--no-deps", "--dest", str(draft), "--python-version", python, "--implementation", "py",
         "--abi", "none", "--platform", "any", "--only-binary=:all:", *wanted)
    draft.rename(folder)


def _here(name):
    try:
        return version(name)
    except PackageNotFoundError:
        return ""


def _pip(command, *words):
    _said([sys.executable, "-m", "pip", command, "--quiet", "--disable-pip-version-check", "--no-input", *words])


def _said(command, **more):
    done = subprocess.run(command, capture_output=True, encoding="utf-8", errors="replace", **more)
    if done.returncode:
        last = (done.stderr or done.stdout).strip().splitlines()[-1:] or ["no reason given"]
        raise ValueError(f"a part could not be fetched ({Path(command[0]).stem}: {last[0]}); is the network on? "
                         "Only the first time needs it")
    return done.stdout
