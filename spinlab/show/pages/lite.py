"""The notebooks in a browser alone: a folder with JupyterLite, Pyodide's kernel, the lessons, the data and this package.

What fits what is fixed in two places and nowhere else: the project file pins JupyterLite and its kernel, and the kernel
names the one Pyodide it runs on, whose own list (its lock) fixes NumPy, SciPy, Matplotlib and pandas.  The list that goes
into the folder is that one, with this package and all pure Python beside the page, and the compiled rest at the address of
Pyodide's distribution (or beside the page, too, if its files are at hand).
"""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
import tempfile
import tomllib
from pathlib import Path

from . import lite_parts as parts
from .lite_lock import closure, merged, too_old
from .wheel import own_wheel

_WIDGETS = ("@jupyter-widgets/jupyterlab-manager", "anywidget")
"""What ipywidgets and anywidget bring for the page; it comes from this environment."""
SAID = ("numpy", "scipy", "matplotlib", "pandas", "ipywidgets", "anywidget", "wedge-spinlab")
"""Packages whose versions are told."""
_NOT_OURS = shutil.ignore_patterns("out", "sessions", "*.py", ".*", "__pycache__")
_NOT_RUN = shutil.ignore_patterns("*.map", "*.html", "*.d.ts", "README*", "package.json")
_KERNEL_SETTINGS = "@jupyterlite/pyodide-kernel-extension:kernel"


def build(notebooks: Path, folder, *, store, distribution="", say=lambda words: None) -> Path:
    """Write the folder; returns its start page.  It must be served (``python3 -m http.server``), it does not open from disk.

    Parameters
    ----------
    notebooks
        the folder of lessons; ``data`` and the project file lie beside it.
    folder
        where to; replaced if it is there.
    store
        a folder for the parts; what lies in it is not fetched again.
    distribution
        where the compiled packages are, as an address or as a folder of files; that of the kernel's own if left out.

    Raises
    ------
    ValueError
        a part is missing and cannot be had, or the versions do not fit.
    """
    folder = Path(folder)
    if folder.exists() and any(folder.iterdir()) and not (folder / "jupyter-lite.json").is_file():
        raise ValueError(f"{folder} holds something else, which would be lost; give a new folder")
    project = tomllib.loads((notebooks.parent / "pyproject.toml").read_text(encoding="utf-8"))
    have = parts.gather(Path(store), project["dependency-groups"]["lite"], project["project"]["dependencies"], say)
    with tempfile.TemporaryDirectory() as scratch:
        room = Path(scratch) / "room"
        for name in ("notebooks", "data"):
            shutil.copytree(notebooks.parent / name, room / "files" / name, ignore=_NOT_OURS)
        core = room / "static" / "pyodide"
        shutil.copytree(have.core, core, ignore=_NOT_RUN)
        wheels = [shutil.copy2(path, core) for path in sorted(have.wheels.glob("*.whl"))]
        wheels.append(own_wheel(core, project["project"]))
        told = _lock(core, wheels, project["project"], str(distribution) or have.distribution)
        _settings(room, have)
        say("putting the folder together")
        _run_builder(have.tools, room, folder.resolve())
    say(_versions(told, project["dependency-groups"]["lite"]))
    return folder / "lab" / "index.html"


def _versions(lock, pins):
    """What is in it, in a line."""
    inside = [f"{name} {lock['packages'][name]['version']}" for name in SAID]
    return f"{', '.join(pins)}; Python {lock['info']['python']} with {', '.join(inside)}".replace("==", " ")


def _lock(core, wheels, project, distribution):
    """Write the list of packages that the kernel goes by; returns it."""
    path = core / "pyodide-lock.json"
    told = merged(json.loads(path.read_text(encoding="utf-8")), [Path(wheel) for wheel in wheels])
    if wrong := too_old(told, project["dependencies"]):
        raise ValueError(f"this Pyodide does not fit the project file: {', '.join(wrong)}; pin a newer kernel there")
    near = {Path(wheel).name for wheel in wheels}
    if Path(distribution).is_dir():
        told["packages"] = closure(told["packages"], project["name"], *parts.KERNEL)
    for one in told["packages"].values():
        if one["file_name"] in near:
            continue
        if Path(distribution).is_dir():
            shutil.copy2(Path(distribution) / one["file_name"], core)
        else:
            one["file_name"] = f"{distribution.rstrip('/')}/{one['file_name']}"
    path.write_text(json.dumps(told), encoding="utf-8")
    return told


def _settings(room, have):
    """What JupyterLite's builder and the page are told."""
    extensions = [have.tools / "share/jupyter/labextensions/@jupyterlite/pyodide-kernel-extension"]
    extensions += [Path(sys.prefix) / "share/jupyter/labextensions" / name for name in _WIDGETS]
    builder = {"apps": ["lab"], "no_sourcemaps": True, "no_unused_shared_packages": True, "no_libarchive": True,
               "ignore_sys_prefix": ["federated_extensions"], "federated_extensions": [str(path) for path in extensions]}
    page = {"jupyter-lite-schema-version": 0, "jupyter-config-data": {
        "appName": "spinlab", "litePluginSettings": {_KERNEL_SETTINGS: {"disablePyPIFallback": True}}}}
    for name, told in (("jupyter_lite_config.json", {"LiteBuildConfig": builder}), ("jupyter-lite.json", page)):
        (room / name).write_text(json.dumps(told), encoding="utf-8")


def _run_builder(tools, room, folder):
    """JupyterLite's own builder, in a process of its own because it lives beside the environment, not in it."""
    shutil.rmtree(folder, ignore_errors=True)
    command = [sys.executable, "-m", "jupyterlite_core", "build", "--lite-dir", str(room), "--output-dir", str(folder)]
    done = subprocess.run(command, cwd=room, env=parts.beside(tools), capture_output=True, encoding="utf-8",
                          errors="replace")
    if done.returncode:
        raise ValueError(f"JupyterLite could not be put together: {(done.stderr or done.stdout).strip()[-500:]}")
