"""A kept figure: laid out once, then only the artists that move are drawn again.

A full draw costs about ten times as much as its moving artists, because text, ticks and legends are the dear part.  So the
still part is drawn once and copied, and each result is drawn on top of the copy ("blitting").
"""

from __future__ import annotations

import io

import numpy as np
from matplotlib.artist import Artist
from matplotlib.lines import Line2D
from PIL import Image

from .style import DPI, METRIC, Look, Units


class Picture:
    """A builder's figure in one look, ready to show results.

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
        self._still = None
        self._ghosts, self._moving, self._shown = [], [], None

    @property
    def moving(self) -> list:
        """The artists that change, in drawing order."""
        found = self.figure.findobj(Artist.get_animated)
        return sorted(found, key=lambda a: (a.axes.zorder if a.axes else np.inf, a.zorder))

    def show(self, result, units: Units = METRIC, *, kept=()) -> str:
        """Draw a result; returns its sentence.  ``kept`` are results whose lines stay as dotted ghosts."""
        wanted = (units, *map(id, kept))
        if wanted != self._shown:
            with self.look.applied():
                self._ghost(kept, units)
                self.sentence = self._draw(result, units)
            self._shown, self._still = wanted, None
        else:
            self.sentence = self._draw(result, units)
        self._paint()
        return self.sentence

    def scale(self, width: float) -> None:
        """Draw with this many pixels across, everything in proportion: sharp on any screen."""
        dpi = DPI * (width + 1e-6) / self.look.width  # a hair more: sizes are cut down to whole pixels
        if abs(dpi - self.figure.dpi) > 0.01:
            self.figure.set_dpi(dpi)
            self._still = None

    @property
    def pixels(self) -> np.ndarray:
        """The picture as it stands: rows, columns, red-green-blue-alpha [0 … 255].  A view; copy it to keep it."""
        return np.asarray(self.figure.canvas.buffer_rgba())

    def encoded(self, form: str = "jpeg") -> bytes:
        """The picture as it stands, as a ``"jpeg"`` (small) or ``"png"`` (exact)."""
        pixels, out = self.pixels, io.BytesIO()
        if form == "jpeg":
            # colour is not halved (4:4:4): thin coloured lines would smear
            image = Image.frombuffer("RGBX", pixels.shape[1::-1], pixels, "raw", "RGBX", 0, 1)
            image.save(out, "jpeg", quality=92, subsampling=0)
        else:
            Image.fromarray(pixels).save(out, "png", compress_level=1)
        return out.getvalue()

    def save(self, target, *, form: str | None = None, width: float | None = None, transparent=False) -> None:
        """Write what is shown to a file or buffer: png, pdf, svg (by `form` or the file's ending), `width` pixels across,
        with no paper behind it where `transparent`."""
        moving = self.moving
        dpi = DPI * width / self.look.width if width else DPI
        try:
            for artist in moving:
                artist.set_animated(False)
            with self.look.applied():
                # the date would make two equal pictures differ
                dated = {"pdf": {"CreationDate": None}, "svg": {"Date": None}}
                kind = form or str(target).rsplit(".", 1)[-1].lower()
                self.figure.savefig(target, format=form, dpi=dpi, metadata=dated.get(kind), transparent=transparent)
        finally:
            for artist in moving:
                artist.set_animated(True)
            self._still = None

    def _paint(self):
        canvas = self.figure.canvas
        if self.figure.stale or self._still is None:
            # entering the look's settings and asking every artist whether it moves are dear: once for each still part
            with self.look.applied():
                canvas.draw()
            self._still, self._moving = canvas.copy_from_bbox(self.figure.bbox), self.moving
            self.figure.stale = False  # looking through the artists touches the ticks
        else:
            canvas.restore_region(self._still)
        renderer = canvas.get_renderer()
        for artist in self._moving:
            artist.draw(renderer)

    def _ghost(self, kept, units):
        for ghost in self._ghosts:
            ghost.remove()
        self._ghosts = []
        for result in kept:
            self._draw(result, units)
            lines = [a for a in self.moving if isinstance(a, Line2D) and a.axes and a.get_gid() != "no ghost"]
            for line in lines:
                if line.get_visible() and len(line.get_xdata()) > 1:
                    self._ghosts.append(_ghost_of(line))


def _ghost_of(line):
    ghost = Line2D(*(np.array(part) for part in line.get_data()))
    ghost.update_from(line)
    ghost.set(animated=False, linestyle=(0, (0.4, 1.8)), dash_capstyle="round", marker="", alpha=0.75)
    ghost.set(zorder=line.zorder - 0.5, path_effects=[], linewidth=0.8 * line.get_linewidth())
    placed = line.get_transform()
    line.axes.add_line(ghost)
    ghost.set_transform(placed)
    return ghost
