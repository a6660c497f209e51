"""Tables whose columns are set with blanks: cut by two blanks or more, or by every blank, and put under their headings."""

from __future__ import annotations

import re


def split_blanks(lines):
    """Cells of lines set with blanks, and the lines' numbers (from 1).

    The line that names most columns gives the places.  A line with as many words as headings is taken in order; any other
    goes under the heading it overlaps or stands nearest to, so that a missing cell stays missing.
    """
    from .columns import cut_well

    spaced = [line.expandtabs(4) for line in lines]
    best, places, cut = float("-inf"), [], r"\S+"
    for pattern in (r"\S+(?: \S+)*", r"\S+"):  # words one blank apart belong together, unless that names fewer columns
        for line in spaced[:100]:
            found = list(re.finditer(pattern, line))
            named = cut_well([match.group() for match in found])
            if len(found) > 1 and named > best:
                best, places, cut = named, [match.span() for match in found], pattern
    return [_row(line, places, cut) for line in spaced], list(range(1, len(lines) + 1))


def _row(line, places, cut):
    found = list(re.finditer(cut, line))
    if len(found) == len(places) or not places or len(found) < 2:
        return [match.group() for match in found]
    if len(found) > len(places):  # "6 450" or "12.3 R" in a table cut by every blank
        loose = list(re.finditer(r"\S+(?: \S+)*", line))
        found = loose if len(loose) == len(places) else found
    row = [""] * len(places)
    for match in found:
        start, end = match.span()
        apart = [max(left - end, start - right) for left, right in places]
        nearest = apart.index(min(apart))
        row[nearest] = f"{row[nearest]} {match.group()}".strip()
    return row
