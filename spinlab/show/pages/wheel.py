"""This package as a wheel: a zip archive with three small files about itself (PyPA, "Binary distribution format") [M]."""

from __future__ import annotations

import base64
import hashlib
import zipfile
from pathlib import Path

_PACKAGE = Path(__file__).resolve().parents[2]


def own_wheel(folder: Path, project) -> Path:
    """Write ``wedge_spinlab-…-py3-none-any.whl`` into a folder from the files as they are; the same files, the same wheel.

    Parameters
    ----------
    project
        the ``[project]`` table of the project file.
    """
    whole = f"{project['name'].replace('-', '_')}-{project['version']}"
    about = "".join(f"{key}: {value}\n" for key, value in (
        ("Metadata-Version", "2.1"), ("Name", project["name"]), ("Version", project["version"]),
        ("Summary", project["description"]), *(("Requires-Dist", text) for text in project["dependencies"])))
    files = {path.relative_to(_PACKAGE.parent).as_posix(): path.read_bytes() for path in sorted(_PACKAGE.rglob("*"))
             if path.is_file() and "__pycache__" not in path.parts and not path.name.startswith(".")}
    files[f"{whole}.dist-info/METADATA"] = about.encode("utf-8")
    files[f"{whole}.dist-info/WHEEL"] = b"Wheel-Version: 1.0\nGenerator: spinlab\nRoot-Is-Purelib: true\nTag: py3-none-any\n"
    record = f"{whole}.dist-info/RECORD"
    files[record] = "".join([*(f"{name},sha256={_hash(data)},{len(data)}\n" for name, data in files.items()),
                             f"{record},,\n"]).encode("utf-8")
    target = Path(folder) / f"{whole}-py3-none-any.whl"
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in files.items():
            archive.writestr(zipfile.ZipInfo(name, (1980, 1, 1, 0, 0, 0)), data, zipfile.ZIP_DEFLATED)
    return target


def _hash(data):
    return base64.urlsafe_b64encode(hashlib.sha256(data).digest()).decode().rstrip("=")
