"""Slides: the pictures of a lesson as a PDF, one a page, 16 : 9, with sentence, band and source.

Pictures stay drawings, so that they are sharp at every size; headings, sentences and what the picture shows are tagged
(`spinlab.show.slidefile`).
"""

from __future__ import annotations

import io
from pathlib import Path

from ..files import write_atomically
from .exhibits import of_lesson
from .frame import framed_picture
from .gallery import Cancelled
from .style import UNITS, look

_SHARE = 0.8


def make(lesson: str, path, *, theme="light", units="metric", coach="", progress=None, stop=None) -> Path:
    """Write the slides of a lesson; returns the file.  `coach`, 80 characters at most, stands below with the source."""
    from matplotlib.font_manager import findfont, get_font

    from .pack import signed
    from .slidefile import Slides
    from .tagged import check_letters

    signed(paper="A4", coach=coach, link="")
    check_letters([coach], get_font(findfont("DejaVu Sans")).get_charmap())
    if units not in UNITS:
        raise ValueError(f"units must be one of {', '.join(UNITS)}, got {units!r}")
    if Path(path).suffix.lower() != ".pdf":
        raise ValueError(f"slides are written as .pdf, got {Path(path).name!r}")
    slides, out = of_lesson(lesson), io.BytesIO()
    about = {"Title": slides[0].title.partition(":")[0], "Author": coach or None, "CreationDate": None}
    # fonts are written when the file is closed: until then the look's settings, which embed them as TrueType, must hold
    with look("talk", theme).applied(), Slides(out, metadata=about) as pages:
        for number, slide in enumerate(slides, 1):
            if stop and stop():
                raise Cancelled(f"stopped at slide {number}; nothing was written")
            _page(slide, pages, theme, units, f"{number}/{len(slides)}" + (f"  {coach}" if coach else ""))
            if progress:
                progress(number, len(slides))
    return write_atomically(path, out.getvalue())


def _page(slide, pages, theme, units, corner):
    """One state on one page: picture above, what it says and how sure that is below."""
    result = slide.make()
    below = slide.band

    def said(result, sentence):
        return f"{sentence}\n{below}" if below else sentence

    picture = framed_picture(slide.build, look("talk", theme), share=_SHARE, title=slide.title, lines=4, said=said,
                             foot=f"{corner}   {slide.source}")
    sentence = picture.show(result, UNITS[units])
    with picture.look.applied():
        pages.add(picture.figure, f"{slide.title}. {sentence}")
