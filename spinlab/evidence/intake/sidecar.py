"""What a user once said about a table's columns, kept in a small file beside it.

``my shots.csv`` has ``my shots.csv.columns.json``::

    {"format": "spinlab columns", "version": 1,
     "columns": {"Tempo": "head_speed", "Player": null},
     "units": {"Tempo": "mph"}}

`columns` gives a heading one of our names (null: leave it as it is), `units` gives a heading its unit.
"""

from __future__ import annotations

import json
from pathlib import Path

from ...files import write_atomically
from .columns import COLUMNS, is_unit
from .sheet import TableError

FORMAT = "spinlab columns"


def sidecar_path(source) -> Path:
    """Where the sidecar of a table stands."""
    path = Path(source)
    return path.parent / (path.name + ".columns.json")


def check(columns, units):
    """The two mappings as plain dictionaries, or a `TableError` that says what is wrong in them."""
    for what, mapping in (("columns", columns), ("units", units)):
        if not isinstance(mapping, dict) or not all(isinstance(key, str) for key in mapping):
            raise TableError(f"{what} must map headings to names, such as {{'Tempo': 'head_speed'}}, got {mapping!r:.80}")
    for header, name in columns.items():
        if name is not None and name not in COLUMNS:
            raise TableError(f"columns[{header!r}]: {name!r:.60} is no column here; use None or one of {', '.join(COLUMNS)}")
    for header, name in units.items():
        bare = name.removesuffix(" down") if isinstance(name, str) else ""
        if not is_unit(bare):
            raise TableError(f"units[{header!r}]: {name!r:.60} is no unit known here; use for example mph, m/s, °, rpm, yd, "
                             "m (“° down” for an attack angle counted downward)")
    return dict(columns), dict(units)


def remember(source, *, columns=None, units=None) -> Path:
    """Keep what was said about a table's columns beside it, so that it need be said once; returns the sidecar's path.

    What is kept already stays, unless it is said anew.  The file is written whole or not at all.
    """
    before, _ = recall(source)
    columns, units = check(columns or {}, units or {})
    kept = {"format": FORMAT, "version": 1, "columns": before[0] | columns, "units": before[1] | units}
    path = sidecar_path(source)
    try:
        write_atomically(path, json.dumps(kept, ensure_ascii=False, indent=1).encode("utf-8"))
    except OSError as error:
        raise TableError(f"the columns' file cannot be written beside the table: {error.strerror}; "
                         "give columns= and units= to read() instead") from None
    return path


def recall(source) -> tuple[tuple[dict, dict], str]:
    """The columns and units kept beside a table, and a note when there is a file that cannot be used."""
    path = sidecar_path(source)
    try:
        if not path.is_file():
            return ({}, {}), ""
        if path.stat().st_size > 1_000_000:
            raise TableError("it is too large")
        kept = json.loads(path.read_text(encoding="utf-8"))
        if not isinstance(kept, dict) or kept.get("format") != FORMAT or kept.get("version") != 1:
            raise TableError(f"it is not a file of “{FORMAT}”, version 1")
        return check(kept.get("columns", {}), kept.get("units", {})), ""
    except (OSError, ValueError, RecursionError) as error:
        return ({}, {}), f"“{path.name}” was not used: {error}"
