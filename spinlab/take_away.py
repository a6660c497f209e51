"""Things to take away, from a shell: handouts, pictures, clips, words, slides, pages, a site."""

from __future__ import annotations

from contextlib import contextmanager
from pathlib import Path


def options(command):
    """Add the commands; `command` makes one from its name, what it does and a few words."""
    _handout_options(command("handout", handout, "write the one-page handout of a lesson, a player or a table of shots"))
    new = command("pictures", pictures, "write pictures as SVG, PDF and PNG, each with its caption")
    new.add_argument("names", nargs="*", help="names of pictures; without any, their names are listed")
    new.add_argument("--all", action="store_true", help="every picture")
    new.add_argument("--out", default="out/pictures", help="the folder to write to (out/pictures)")
    new.add_argument("--looks", nargs="+", default=["talk", "page", "wide", "tall"], help="of talk, page, wide, tall")
    new.add_argument("--themes", nargs="+", default=["light", "dark"], help="of light, dark")
    new.add_argument("--forms", nargs="+", default=["svg", "pdf", "png"], help="of svg, pdf, png")
    new.add_argument("--transparent", action="store_true", help="no paper behind")
    _units(new)

    new = command("clip", clip, "make a clip: dry-and-wet, grooves-draining, loft-sweep, one-hole")
    new.add_argument("name", help="the clip")
    new.add_argument("--out", help="the file, .mp4, .gif or .webp (out/NAME-SIZE.mp4)")
    new.add_argument("--size", choices=["wide", "tall"], default="wide")
    new.add_argument("--captions", choices=["beside", "burnt", "none"], default="beside",
                     help="beside it as a .vtt file (usual), or in the picture")
    _units(new)

    new = command("words", words, "check a claim, or write the claim sheet or the storyboard")
    new.add_argument("what", help="a claim in quotes, or: claims, storyboard")
    new.add_argument("--out", help="the file: .txt or .csv, for claims also .pdf or .html")
    new.add_argument("--table", help="for claims: a table of measured shots that comes first")
    new.add_argument("--units", choices=["metric", "yards"], default="metric")

    new = command("slides", slides, "write the pictures of a lesson as slides (PDF)")
    new.add_argument("lesson", help="its number, such as 02")
    new.add_argument("--out", help="the file (out/slides-LESSON.pdf)")
    new.add_argument("--coach", default="", help="a name to print on every slide")
    _units(new)

    new = command("page", page, "write scenes as single files that need nothing installed and no network")
    new.add_argument("names", nargs="*", help="names of pages; without any, their names are listed")
    new.add_argument("--all", action="store_true", help="every page")
    new.add_argument("--out", default="out/pages", help="the folder to write to (out/pages)")

    new = command("site", site, "write a folder of lessons to read with live scenes, for any host or to open from disk")
    new.add_argument("--out", default="out/site", help="the folder to write to (out/site)")


def _handout_options(new):
    new.add_argument("what", nargs="?", help="a lesson such as 02, a picture such as every-green, a player such as "
                     "beginner, or a file of shots; without it, all are listed")
    new.add_argument("--state", default="", help="which of the players it begins as, such as beginner")
    new.add_argument("--turn", nargs="+", default=[], metavar="NAME=VALUE", help="what is true of the player, in the "
                     "units shown, such as dynamic_loft=50")
    new.add_argument("--for", dest="whom", default="", help="the player's name on a player's sheet")
    new.add_argument("--name", default="", help="your name, printed on it")
    new.add_argument("--logo", help="your logo, a PNG or JPEG file")
    new.add_argument("--link", default="", help="an address to print, with its QR code")
    new.add_argument("--paper", choices=["A4", "Letter"], default="A4")
    new.add_argument("--units", choices=["metric", "yards"], default="metric")
    new.add_argument("--out", default="out", help="one file, .pdf or .html, or a folder for both (out)")


def _units(new):
    new.add_argument("--theme", choices=["light", "dark"], default="light")
    new.add_argument("--units", choices=["metric", "yards"], default="metric")


def handout(asked):
    """Write handouts, or list what they can be made of."""
    from .show import handouts, sheets

    if not asked.what:
        print("\n".join(handouts.WHAT))
        return
    made = handouts.handouts(asked.what, state=asked.state, turned=asked.turn, whom=asked.whom, units=asked.units)
    signed = {"paper": asked.paper, "coach": asked.name, "logo": asked.logo, "link": asked.link}
    out = Path(asked.out)
    if out.suffix and not out.is_dir():
        if len(made) > 1:
            raise ValueError(f"{asked.what} makes {len(made)} handouts ({', '.join(made)}); name one of them, or a folder")
        print(sheets.write(out, next(iter(made.values())), **signed))
        return
    for name, sheet in made.items():
        print("\n".join(map(str, sheets.write_both(out / f"handout-{name}", sheet, **signed))))


def pictures(asked):
    """Write pictures, or list their names."""
    from .show import gallery
    from .show.exhibits import exhibits

    if not asked.names and not asked.all:
        print("\n".join(f"{name:40} {one.title}" for name, one in exhibits().items()))
        return
    with _bar("pictures") as progress:
        written = gallery.write_pack(asked.out, asked.names or None, looks=asked.looks, themes=asked.themes,
                                     forms=asked.forms, units=asked.units, transparent=asked.transparent,
                                     progress=lambda done, whole, name: progress(done, whole))
    print(f"{len(written)} files in {asked.out}")


def clip(asked):
    """Make a clip."""
    from .show import clip as clips
    from .show.moving import clip_named

    moving = clip_named(asked.name, asked.units)
    with _bar("frames") as progress:
        written = clips.make(moving, _place(asked.out, f"{asked.name}-{asked.size}.mp4"), size=asked.size, theme=asked.theme,
                             units=asked.units, captions=asked.captions, progress=progress)
    print("\n".join(map(str, written)))


def words(asked):
    """Check a claim, or write sentences."""
    from .show import facts
    from .show import words as wording

    if asked.what not in ("claims", "storyboard"):
        answer = facts.check(asked.what, asked.units)
        print(answer)
        if answer.picture:
            print(f"\nPicture: {answer.picture}\n{answer.source}")
        return
    if asked.what == "storyboard":
        records = wording.storyboard()
    else:
        records = wording.claims(report=_report(asked.table) if asked.table else None, units=asked.units)
    print(f"{wording.plain_text(records)}\n{wording.write(records, _place(asked.out, f'{asked.what}.txt'))}")


def slides(asked):
    """Write slides."""
    from .show import deck

    with _bar("slides") as progress:
        written = deck.make(asked.lesson, _place(asked.out, f"slides-{asked.lesson}.pdf"), theme=asked.theme,
                            units=asked.units, coach=asked.coach, progress=progress)
    print(written)


def _report(table):
    """A table of shots, compared as it stands."""
    from .evidence import report as reports
    from .show.pack import default_rule

    return reports.make(table, rule=default_rule(), model_bands=False)


def _place(asked, otherwise) -> Path:
    """The file that was asked for, or one in ./out, whose folder is made."""
    if asked:
        return Path(asked)
    Path("out").mkdir(exist_ok=True)
    return Path("out") / otherwise


@contextmanager
def _bar(what):
    """A bar in a terminal, nothing in a file."""
    from tqdm import tqdm

    with tqdm(desc=what, delay=1, leave=False, disable=None) as bar:
        def progress(done, whole):
            bar.total, bar.n = whole, done
            bar.refresh()

        yield progress


def page(asked):
    """Write pages, or list their names."""
    from .panels.every import SCENES
    from .stage import site

    if not asked.names and not asked.all:
        print("\n".join(f"{name:20} {make().title}" for name, make in SCENES.items()))
        return
    print("\n".join(map(str, site.write_pages(SCENES if asked.all else asked.names, asked.out))))


def site(asked):
    """Write the site."""
    from .shell import lessons
    from .stage import site as sites

    print(f"Start page: {sites.write(lessons(), asked.out, say=lambda words: print(words, flush=True))}")
