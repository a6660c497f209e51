"""The studio: everything that can be taken away, made from one place in a lesson.

Without a browser it is plain Python: ``Studio().check("wet halves the spin")``, ``Studio().clip("loft-sweep")``.
"""

from __future__ import annotations

import threading
from pathlib import Path

from ..files import inside
from ..panels.spoken import units_of
from ..physics.players import PLAYERS
from . import clip as clips
from . import deck, facts, gallery, handouts, sheets, words
from .moving import CLIPS, clip_named


class Studio:
    """Makes handouts, pictures, clips, words and slides into a folder.

    Parameters
    ----------
    folder : path
        where files go; made when the first is written
    coach, logo, link : str
        what is printed on handouts, the name also on slides; the logo is the path of a PNG or JPEG file
    units, theme : str
        ``"metric"`` or ``"yards"``; ``"light"`` or ``"dark"``
    """

    def __init__(self, folder="out", *, coach="", logo=None, link="", units=None, theme="light"):
        self.folder, self.coach, self.logo, self.link = Path(folder), coach, logo, link
        self.units, self.theme, self._view = units_of(units), theme, None

    def place(self, name) -> Path:
        """A file of this name in the folder, which is made if there is none."""
        self.folder.mkdir(parents=True, exist_ok=True)
        return inside(self.folder, name)

    def handout(self, sheet, name="handout", *, paper="A4") -> list[Path]:
        """A handout (`spinlab.show.pack.Sheet`) as PDF and as HTML."""
        return sheets.write_both(self.place(name), sheet, paper=paper, coach=self.coach, logo=self.logo, link=self.link)

    def of_demonstration(self, table=None, *, paper="A4") -> list[Path]:
        """The handout of a table of shots; of the first demonstration table if none is given."""
        return self._of(str(table or handouts.SHOTS), "handout-demonstration", paper)

    def of_lesson(self, lesson="02", *, paper="A4") -> list[Path]:
        """The handout of a lesson, or of a picture by its name."""
        made = handouts.handouts(lesson, units=self.units)
        return [path for name, sheet in made.items() for path in self.handout(sheet, f"handout-{name}", paper=paper)]

    def of_player(self, name="keen club player", *, paper="A4") -> list[Path]:
        """The handout of one of the invented players (`spinlab.physics.players`)."""
        if name not in PLAYERS:
            raise ValueError(f"there is no player {name!r}; there are {', '.join(PLAYERS)}")
        return self._of(name, "handout-player", paper)

    def _of(self, what, name, paper):
        sheet, = handouts.handouts(what, units=self.units).values()
        return self.handout(sheet, name, paper=paper)

    def pictures(self, *names, looks=("wide",), themes=None, **options) -> list[Path]:
        """Pictures with their captions (options: `gallery.write_pack`)."""
        return gallery.write_pack(self.place("pictures"), names or None, looks=looks, themes=themes or (self.theme,),
                                  units=self.units, **options)

    def clip(self, name="dry-and-wet", *, form="mp4", size="wide", **options) -> list[Path]:
        """A clip with its captions (options: `clip.make`)."""
        return clips.make(clip_named(name, self.units), self.place(f"{name}-{size}.{form}"), size=size, theme=self.theme,
                          units=self.units, **options)

    def check(self, claim: str) -> facts.Answer:
        """Check a claim."""
        return facts.check(claim, self.units)

    def words(self, *asked, table=None) -> list[Path]:
        """The claim sheet, as PDF, table and text, and the storyboard; what a `table` of shots shows comes first."""
        from ..evidence import report as reports
        from .pack import default_rule

        report = reports.make(table, rule=default_rule(), model_bands=False) if table else None
        found = words.claims(asked or words.DEFAULT_CLAIMS, report=report, units=self.units)
        written = [words.write(found, self.place(f"claims.{form}")) for form in ("pdf", "csv", "txt")]
        return [*written, words.write(words.storyboard(), self.place("storyboard.txt"))]

    def slides(self, lesson="02", **options) -> Path:
        """The pictures of a lesson as slides."""
        return deck.make(lesson, self.place(f"slides-{lesson}.pdf"), theme=self.theme, units=self.units, coach=self.coach,
                         **options)

    def _repr_mimebundle_(self, **options):
        if self._view is None:
            from .studio_page import Page

            self._view = Page(self)
        plain = f"Clips: {', '.join(CLIPS)}. Claims: {'; '.join(facts.EXAMPLES)}."
        return self._view.box._repr_mimebundle_(**options) | {"text/plain": plain}


class Job:
    """One piece of work at a time, in the background, that can be watched and stopped.

    ``watch(done, whole, words, made)`` hears how it goes; `words` is empty until the end, `made` are the files.
    """

    def __init__(self, watch):
        self.watch, self.thread, self._stop = watch, None, threading.Event()

    @property
    def busy(self) -> bool:
        """Is something being made?"""
        return self.thread is not None and self.thread.is_alive()

    def start(self, what):
        """``what(progress, stop)`` in the background."""
        if self.busy:
            raise ValueError("something is still being made; wait for it, or stop it")
        self._stop.clear()
        self.thread = threading.Thread(target=self._run, args=(what,), daemon=True)
        try:
            self.thread.start()
        except RuntimeError:  # a browser alone has no threads: it is done here and now
            self._run(what)

    def stop(self):
        """Ask it to stop; it does before the next frame or file."""
        self._stop.set()

    def _run(self, what):
        try:
            made = what(lambda done, whole, *rest: self.watch(done, whole, "", ()), self._stop.is_set)
        except gallery.Cancelled as stopped:
            self.watch(0, 1, str(stopped), ())
        except (ValueError, OSError) as trouble:
            self.watch(0, 1, str(trouble), ())
        except Exception as trouble:  # a thread that dies unheard would leave the page waiting
            self.watch(0, 1, f"{type(trouble).__name__}: {trouble}", ())
        else:
            made = tuple(made) if isinstance(made, list) else (made,)
            shown = ", ".join(map(str, made[:4])) + (f" and {len(made) - 4} more" if len(made) > 4 else "")
            self.watch(1, 1, f"Written: {shown}", made)
