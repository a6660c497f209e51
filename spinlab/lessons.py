"""The lessons as they are used: copies of one's own, in a folder beside those that are shipped, which are never written.

A copy whose text is still as it was shipped follows what is shipped; outputs do not count.  A copy that was changed stays as
it is.  Deleting a copy brings the lesson back as it is shipped, at the next start.
"""

from __future__ import annotations

import hashlib
import json
from pathlib import Path

from .files import write_atomically

OWN = "my-lessons"
MADE_HERE = ("sessions", "out")
"""What lessons write beside themselves."""
_SEEN = ".shipped.json"


def own_copies(shipped: Path) -> tuple[Path, list[str]]:
    """Bring the copies of a folder of lessons up to date: their folder, and the lessons of which a newer one is shipped than
    the changed copy was made from.

    Raises
    ------
    OSError
        the folder cannot be written to.
    """
    own = shipped.parent / OWN
    own.mkdir(exist_ok=True)
    for name in MADE_HERE:  # earlier they were written beside what is shipped
        if (shipped / name).is_dir() and not (own / name).exists():
            (shipped / name).rename(own / name)
    seen, late = _read(own / _SEEN), []
    for lesson in sorted(shipped.glob("*.ipynb")):
        copy, now = own / lesson.name, _text_of(lesson)
        there = _text_of(copy) if copy.exists() else None
        if there is None or there == seen.get(lesson.name) != now:
            write_atomically(copy, lesson.read_bytes())
            seen[lesson.name] = now
        elif now not in (there, seen.get(lesson.name)):
            late.append(lesson.stem)
    write_atomically(own / _SEEN, json.dumps(seen, indent=1).encode("utf-8"))
    return own, late


def _read(path):
    try:
        seen = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return seen if isinstance(seen, dict) else {}


def _text_of(lesson):
    """A mark of what stands in the cells, whatever came out of them; an empty one where it cannot be read."""
    try:
        cells = json.loads(lesson.read_text(encoding="utf-8"))["cells"]
        text = [[cell["cell_type"], "".join(cell["source"])] for cell in cells]
    except (OSError, ValueError, KeyError, TypeError):
        return ""
    return hashlib.sha256(json.dumps(text).encode("utf-8")).hexdigest()
