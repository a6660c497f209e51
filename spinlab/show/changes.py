"""A picture's way to the page: whole at first, then only what changed, exact to the pixel.

A step moves some lines and words, a few per cent of the picture.  They go down as runs of pixels of one colour: fewer bytes
than a compressed picture, quicker to find, and the page puts them in place at once, where a compressed picture would first
be decoded on another thread.
"""

from __future__ import annotations

import numpy as np


class Changes:
    """What a page has to paint to be up to date with a picture."""

    def __init__(self):
        self._sent, self._serial = None, 0

    def forget(self) -> None:
        """The next picture goes whole: a page has come that has none yet, or has lost one."""
        self._sent = None

    def to(self, pixels: np.ndarray) -> tuple[dict, bytes]:
        """From the last picture to this one (rows, columns, red-green-blue-alpha).

        Returns the picture's number, its size and whether it is whole; and the runs: where each begins, all their colours,
        all their lengths, as numbers of four, four and two bytes.  A run ends at its row's end.
        """
        now = np.ascontiguousarray(pixels).view(np.uint32)[..., 0]
        whole = self._sent is None or self._sent.shape != now.shape
        self._serial += 1
        if whole:
            self._sent = now.copy()
            begin, length = runs(now)
        else:
            other = now != self._sent
            rows = np.flatnonzero(other.any(axis=1))
            top, bottom = (rows[0], rows[-1] + 1) if len(rows) else (0, 0)
            begin, length = runs(now[top:bottom], other[top:bottom])
            begin += np.uint32(top * now.shape[1])
            self._sent[top:bottom] = now[top:bottom]
        about = {"serial": self._serial, "width": now.shape[1], "height": now.shape[0], "whole": whole}
        return about, begin.tobytes() + now.ravel()[begin].tobytes() + length.tobytes()


def runs(colours: np.ndarray, wanted: np.ndarray | None = None) -> tuple[np.ndarray, np.ndarray]:
    """Where runs of one colour begin, counted row by row, and how long they are; only `wanted` pixels, if given."""
    wide, flat = colours.shape[1], colours.ravel()
    starts = np.empty(flat.size, dtype=bool)
    np.not_equal(flat[1:], flat[:-1], out=starts[1:])
    if wanted is not None:
        wanted = wanted.ravel()
        starts[1:] |= wanted[1:] != wanted[:-1]
    starts[::wide] = True
    begin = np.flatnonzero(starts)
    length = np.diff(begin, append=flat.size)
    if wanted is not None:
        kept = wanted[begin]
        begin, length = begin[kept], length[kept]
    return begin.astype(np.uint32), length.astype(np.uint16)
