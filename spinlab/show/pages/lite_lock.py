"""Pyodide's list of packages (its lock): what is in it, what depends on what, and our own wheels put in.

The form is that of ``pyodide-lock.json`` in Pyodide's npm package [S]: each package with its version, file and SHA-256, the
modules it brings and the packages it needs.  The kernel loads a package when a cell imports one of its modules.
"""

from __future__ import annotations

import hashlib
import re
import zipfile
from email import message_from_string
from pathlib import Path

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

_PLAIN = {"unvendored_tests": False, "package_type": "package", "install_dir": "site"}
_THERE = {"sys_platform": "emscripten", "platform_system": "Emscripten", "os_name": "posix", "extra": ""}


def name_in_lock(requirement) -> str:
    """``Jinja2>=3.1`` is called ``jinja2`` there."""
    return canonicalize_name(Requirement(requirement).name)


def closure(packages, *names) -> dict:
    """The packages of these names and all they need; names that are not in the list are passed over."""
    by_name, found, waiting = {canonicalize_name(key): key for key in packages}, {}, list(names)
    while waiting:
        key = by_name.get(canonicalize_name(waiting.pop()))
        if key and key not in found:
            found[key] = packages[key]
            waiting += packages[key]["depends"]
    return found


def merged(lock, wheels) -> dict:
    """The list with these wheels in it, in the place of those of the same name."""
    packages = dict(lock["packages"])
    python = ".".join(lock["info"]["python"].split(".")[:2])
    there = _THERE | {"python_version": python, "python_full_version": lock["info"]["python"]}
    told = {canonicalize_name(metadata["Name"]): (path, metadata) for path in wheels for metadata in [_metadata(path)]}
    keys = {canonicalize_name(key): key for key in packages} | {name: name for name in told}
    for name, (path, metadata) in told.items():
        old = next((packages.pop(key) for key in list(packages) if canonicalize_name(key) == name), {})
        asked = [Requirement(text) for text in metadata.get_all("Requires-Dist") or []]
        asked = [canonicalize_name(one.name) for one in asked if not one.marker or one.marker.evaluate(there)]
        packages[name] = _PLAIN | {"imports": _modules(path)} | old | {
            "name": name, "version": metadata["Version"], "depends": sorted({keys[one] for one in asked if one in keys}),
            "file_name": path.name, "sha256": hashlib.sha256(path.read_bytes()).hexdigest()}
    return lock | {"packages": packages}


def too_old(lock, requirements) -> list[str]:
    """Which requirements the list does not meet, in words; those it does not have are passed over."""
    have = {canonicalize_name(name): one["version"] for name, one in lock["packages"].items()}
    wrong = []
    for asked in map(Requirement, requirements):
        there = have.get(canonicalize_name(asked.name))
        if there and not asked.specifier.contains(there, prereleases=True):
            wrong.append(f"{asked} (there is {there})")
    return wrong


def _metadata(path):
    with zipfile.ZipFile(path) as wheel:
        name = next(name for name in wheel.namelist() if re.fullmatch(r"[^/]+\.dist-info/METADATA", name))
        return message_from_string(wheel.read(name).decode("utf-8"))


def _modules(path):
    """Modules and packages at the top of a wheel."""
    with zipfile.ZipFile(path) as wheel:
        tops = {Path(name).parts[0] for name in wheel.namelist() if name.endswith(".py")}
    return sorted(top.removesuffix(".py") for top in tops if not top.endswith((".dist-info", ".data")))
