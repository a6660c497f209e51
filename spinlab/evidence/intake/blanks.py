"""Tables whose columns are set with blanks: cut by two blanks or more, or by every blank, and put under their headings."""

from __future__ import annotations

import re

_APART = r"\S+(?: \S+)*"  # words one blank apart belong together
_EVERY = r"\S+"


def split_blanks(lines):
    """Cells of lines set with blanks, and the lines' numbers (from 1).

    The line that names most columns gives the places.  A line with as many words as headings is taken in order; any other
    goes under the heading it overlaps or stands nearest to, so that a missing cell stays missing.
    """
    from .columns import score

    spaced = [line.expandtabs(4) for line in lines]
    best, places = 0.0, []
    for pattern in (_APART, _EVERY):
        for line in spaced[:100] if best < 1 else ():
            found = list(re.finditer(pattern, line))
            named = score([match.group() for match in found]) if len(found) > 1 else 0.0
            if named > best:
                best, places = named, [match.span() for match in found]
    return [_row(line, places) for line in spaced], list(range(1, len(lines) + 1))


def _row(line, places):
    for pattern in (_APART, _EVERY):
        found = list(re.finditer(pattern, line))
        if len(found) == len(places):
            return [match.group() for match in found]
    found = list(re.finditer(_APART, line))
    if len(found) < 2 or not places:
        return [match.group() for match in found]
    row = [""] * len(places)
    for match in found:
        start, end = match.span()
        apart = [max(left - end, start - right) for left, right in places]
        nearest = apart.index(min(apart))
        row[nearest] = f"{row[nearest]} {match.group()}".strip()
    return row
