"""The picture pack: pictures as files, in every look, each with its caption and its words for those who do not see it."""

from __future__ import annotations

import io
from pathlib import Path

from .. import __version__
from ..files import write_atomically
from .exhibits import Exhibit, exhibit, exhibits
from .frame import framed_picture
from .style import UNITS, look

FORMS = ("svg", "pdf", "png")
PACK_LOOKS = ("talk", "page", "wide", "tall")
THEMES = ("light", "dark")
_FONT_LIKE_OURS = "'DejaVu Sans', Verdana, sans-serif"
"""Verdana runs as wide as DejaVu Sans: where ours is not installed, text keeps its place."""
WIDTHS = {"talk": 1600, "page": 2100, "wide": 1920, "tall": 1080}
"""Pixels across of a PNG; a page's is 300 dots an inch on 18 cm."""


class Cancelled(Exception):
    """The person asked to stop; nothing half done is left."""


def pictures(names=None) -> tuple[Exhibit, ...]:
    """The pictures of these names, or all."""
    return tuple(exhibits().values()) if names is None else tuple(exhibit(name) for name in names)


def write_pack(folder, names=None, *, looks=PACK_LOOKS, themes=THEMES, forms=FORMS, units="metric", transparent=False,
               progress=None, stop=None) -> list[Path]:
    """Write pictures into a folder; returns the files.

    Parameters
    ----------
    folder : path
        made if it is not there
    names : sequence of str, optional
        names out of `spinlab.show.exhibits.exhibits`; all if left out
    looks, themes, forms : sequences of str
        out of `PACK_LOOKS`, `THEMES`, `FORMS`
    units : {"metric", "yards"}
    transparent : bool
        no paper behind the picture
    progress : callable, optional
        ``progress(done, whole, name)`` after each picture
    stop : callable, optional
        asked before each file; when it says True, `Cancelled` is raised and files already whole stay
    """
    for what, asked, known in (("looks", looks, PACK_LOOKS), ("themes", themes, THEMES), ("forms", forms, FORMS),
                               ("units", [units], UNITS)):
        if not asked or set(asked) - set(known):
            raise ValueError(f"{what} must be some of {', '.join(known)}, got {', '.join(map(str, asked)) or 'none'}")
    chosen, folder, written = pictures(names), Path(folder), []
    folder.mkdir(parents=True, exist_ok=True)
    for done, one in enumerate(chosen, 1):
        result, sentence = one.make(), ""
        name = one.name if units == "metric" else f"{one.name}-{units}"
        for theme in themes:
            for size in looks:
                picture = framed_picture(one.build, look(size, theme))
                sentence = picture.show(result, UNITS[units])
                for form in forms:
                    if stop and stop():
                        raise Cancelled(f"stopped after {len(written)} files")
                    clear = "-clear" if transparent else ""
                    data = saved(picture, form, transparent=transparent, width=WIDTHS[size])
                    written.append(write_atomically(folder / f"{name}-{size}-{theme}{clear}.{form}", data))
        written.append(write_atomically(folder / f"{name}.txt", words_of(one, sentence).encode("utf-8")))
        if progress:
            progress(done, len(chosen), one.name)
    return written


def saved(picture, form: str, *, transparent=False, width=None) -> bytes:
    """A shown picture as the bytes of a file."""
    out = io.BytesIO()
    picture.save(out, form=form, width=width if form == "png" else None, transparent=transparent)
    data = out.getvalue()
    if form == "svg":
        data = data.replace(b"'DejaVu Sans'", _FONT_LIKE_OURS.encode()).replace(b'"DejaVu Sans"', _FONT_LIKE_OURS.encode())
    return data


def words_of(one: Exhibit, sentence: str) -> str:
    """Caption and alternative text of a picture, as they stand in the file beside it."""
    caption = " ".join(filter(None, (f"{one.title}.", one.band, one.source)))
    return (f"Caption\n{caption}\n\nAlternative text\n{sentence}\n\n"
            f"Made with wedge-spinlab {__version__}. Bands are those of the model's uncertain numbers, nine draws of ten.\n")


