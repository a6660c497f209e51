"""Columns of words: club, ball, condition, strike, shot number, time.  Spellings are made one; nothing is guessed."""

from __future__ import annotations

import re
from collections import Counter

import numpy as np

from .cells import is_missing, tidy

_DAY_FIRST = (r"\d{1,2}/\d{1,2}/\d{4}", "%d/%m/%Y", "%m/%d/%Y")


def words(cells, *, merge=False):
    """Cells as tidy text, None where missing, and what was made one: ``wet``, ``Wet `` and ``WET`` are one condition."""
    codes, different = _factorize(cells)
    texts = [_text(cell) for cell in different]
    merged = ""
    if merge:
        counts = Counter()
        for code in codes:
            counts[texts[code]] += 1
        chosen = {}
        for text, _ in counts.most_common():
            if text is not None:
                chosen.setdefault(text.casefold(), text)
        same = sorted({f"“{text}”" for text in counts if text is not None and chosen[text.casefold()] != text})
        merged = f"{', '.join(same)} taken as another spelling of the same" if same else ""
        texts = [None if text is None else chosen[text.casefold()] for text in texts]
    table = np.empty(len(texts), dtype=object)
    table[:] = texts
    return table[codes], merged


def _factorize(cells):
    import pandas as pd

    return pd.factorize(np.asarray(cells, dtype=object))


def _text(cell):
    if isinstance(cell, float):
        return f"{cell:.12g}"
    if is_missing(cell):
        return None
    return " ".join(tidy(cell).split())


def numbers_or_words(cells):
    """Whole numbers where every cell is one (shot numbers), words otherwise."""
    texts, _ = words(cells)
    if all(text is None or re.fullmatch(r"-?\d{1,15}", text) for text in texts):
        if all(text is not None for text in texts) and len(texts):
            return texts.astype(np.int64)
        return np.array([np.nan if text is None else float(text) for text in texts])
    return texts


def times(cells):
    """Dates and times where they can be read in one way only, words otherwise; and the question if there are two ways."""
    import pandas as pd

    texts, _ = words(cells)
    given = [text for text in texts if text is not None]
    if not given:
        return texts, ""
    series = pd.Series(texts, dtype=object)
    if all(re.match(r"\d{4}-\d{1,2}-\d{1,2}(?!\d)", text) for text in given):
        zoned = any(re.search(r"(Z|:\d\d[+-]\d\d:?\d\d)$", text) for text in given)
        read = pd.to_datetime(series, format="ISO8601", errors="coerce", utc=zoned)
        return (read.to_numpy(), "") if read.notna().sum() == len(given) else (texts, "")
    if all(re.fullmatch(r"\d{1,2}\.\d{1,2}\.\d{4}", text) for text in given):
        return _one_way(series, ["%d.%m.%Y"], texts, len(given))
    if all(re.fullmatch(_DAY_FIRST[0], text) for text in given):
        return _one_way(series, list(_DAY_FIRST[1:]), texts, len(given))
    return texts, ""


def _one_way(series, formats, texts, count):
    import pandas as pd

    ways = [pd.to_datetime(series, format=one, errors="coerce") for one in formats]
    ways = [read for read in ways if read.notna().sum() == count]
    if len(ways) == 1 or len(ways) == 2 and ways[0].equals(ways[1]):
        return ways[0].to_numpy(), ""
    return texts, "does the day or the month come first?" if ways else ""
