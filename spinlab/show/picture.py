"""A figure laid out once, ready to show one result after the other."""

from __future__ import annotations

import numpy as np

from .style import DPI, METRIC, Look, Units


class Picture:
    """A builder's figure in one look.

    Parameters
    ----------
    build : callable
        ``build(look) -> (figure, draw)``; see `spinlab.show.style` for what it promises.
    look : Look
        size, text and colours.
    """

    def __init__(self, build, look: Look):
        self.look = look
        with look.applied():
            self.figure, self._draw = build(look)
        self.sentence = ""

    def show(self, result, units: Units = METRIC) -> str:
        """Draw a result; returns its sentence."""
        with self.look.applied():
            self.sentence = self._draw(result, units)
            self.figure.canvas.draw()
        return self.sentence

    def scale(self, width: float) -> None:
        """Draw with this many pixels across, everything in proportion: sharp on any screen."""
        dpi = DPI * (width + 1e-6) / self.look.width  # a hair more: sizes are cut down to whole pixels
        if abs(dpi - self.figure.dpi) > 0.01:
            self.figure.set_dpi(dpi)

    @property
    def pixels(self) -> np.ndarray:
        """The picture as it stands: rows, columns, red-green-blue-alpha [0 … 255].  A view; copy it to keep it."""
        return np.asarray(self.figure.canvas.buffer_rgba())

    def save(self, target, *, form: str | None = None, width: float | None = None, transparent=False) -> None:
        """Write what is shown to a file or buffer: png, pdf, svg (by `form` or the file's ending), `width` pixels across,
        with no paper behind it where `transparent`."""
        dpi = DPI * width / self.look.width if width else DPI
        with self.look.applied():
            # the date would make two equal pictures differ
            dated = {"pdf": {"CreationDate": None}, "svg": {"Date": None}}
            kind = form or str(target).rsplit(".", 1)[-1].lower()
            self.figure.savefig(target, format=form, dpi=dpi, metadata=dated.get(kind), transparent=transparent)
