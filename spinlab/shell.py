"""The commands: what each is asked with, and what it does.  Heavy imports wait until a command needs them."""

from __future__ import annotations

import argparse
import os
import sys
from pathlib import Path

from . import __version__, bootstrap, take_away

ROOT = Path(__file__).resolve().parent.parent
READY = "SPINLAB_SETUP_DONE"
START_PAGE = "00_start_here.ipynb"
LAB_SETTINGS = Path(__file__).resolve().parent / "show" / "stage" / "lab"


def run(arguments) -> int:
    """Do what was asked; the exit code.  Trouble is told in a line or two, never as a traceback."""
    asked = understood(arguments)
    try:
        if asked.needs:
            prepare(arguments, test="test" in asked.needs, here=asked.here)
        code = asked.do(asked) or 0
        sys.stdout.flush()
        return code
    except KeyboardInterrupt:
        print("\nStopped. Start again to go on.", file=sys.stderr)
        return 130
    except BrokenPipeError:  # whoever was reading has read enough
        _silence()
        return 0
    except (bootstrap.Trouble, ValueError, OSError, ImportError) as trouble:
        print(f"spinlab: {in_words(trouble)}", file=sys.stderr)
        return 2
    except Exception as error:
        from .doctor import note_problem

        print(f"spinlab: something went wrong that was not foreseen ({type(error).__name__}). {note_problem(error)}.",
              file=sys.stderr)
        return 3
    finally:
        try:
            sys.stdout.flush()
        except OSError:
            _silence()


def _silence():
    """Let what is printed go nowhere: where it went takes no more, and Python would say so once again at its end."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def understood(arguments) -> argparse.Namespace:
    """What was asked; what follows ``test`` is for pytest."""
    whole = parser()
    asked, further = whole.parse_known_args(arguments)
    if further and asked.do is not test:
        whole.error(f"not understood: {' '.join(further)}")
    asked.options = further
    return asked


def in_words(trouble) -> str:
    """A trouble in a line or two."""
    if isinstance(trouble, OSError) and trouble.strerror:
        return f"{trouble.strerror}: {trouble.filename}" if trouble.filename else trouble.strerror
    if isinstance(trouble, ImportError):
        return f"{trouble}. 'python3 -m spinlab doctor' says what is missing."
    return str(trouble).strip() or type(trouble).__name__


def parser() -> argparse.ArgumentParser:
    """What may be asked."""
    whole = argparse.ArgumentParser(prog="python3 -m spinlab", description="Why pitch shots spin: lessons, measured shots, "
                                    "handouts. Without a command the lessons are opened in JupyterLab.")
    whole.add_argument("--version", action="version", version=f"spinlab {__version__}")
    whole.add_argument("--here", action="store_true", help="use the Python this is started with, set up nothing")
    whole.set_defaults(do=start, needs="run", browser=True, port=None)
    commands = whole.add_subparsers(title="commands", metavar="")

    def command(name, do, words, needs="run"):
        new = commands.add_parser(name, help=words, description=words[0].upper() + words[1:] + ".")
        new.set_defaults(do=do, needs=needs)
        return new

    new = command("start", start, "open the lessons in JupyterLab")
    new.add_argument("--no-browser", dest="browser", action="store_false", help="only print the address")
    new.add_argument("--port", type=int, help="the port to listen on (a free one if left out)")

    new = command("present", present, "show a lesson as a clean page for the projector")
    new.add_argument("lesson", help="its number, name or file, such as 02")
    new.add_argument("--theme", choices=["light", "dark"], default="light")
    new.add_argument("--no-browser", dest="browser", action="store_false", help="only print the address")
    new.add_argument("--port", type=int, default=0)

    _report_options(command("report", report, "read, screen and compare a table of shots; write a one-page handout"))
    _green_options(command("green", green, "say what paced run-outs tell of your own green, and what they do not"))
    _plan_options(command("plan", plan, "lay down a demonstration: how many shots, in which order, with what care"))
    take_away.options(command)
    new = command("doctor", doctor, "check what the lessons need on this machine, say how to cure what is missing", needs="")
    new.add_argument("--log", metavar="FILE", help="write it to a file, too, to be sent along; it names no person")
    command("test", test, "set up everything and run the whole test suite; options go to pytest", needs="test")
    command("bench", bench, "print how long the usual work takes on this machine", needs="test")
    command("trials", trials, "kill it, fill its disk, feed it nonsense, use it for long; print what was lost", needs="test")
    return whole


def _report_options(new):
    new.add_argument("table", help="the file of shots (.csv, .txt, .xlsx)")
    new.add_argument("--by", default="condition", help="the column to compare by (condition)")
    new.add_argument("--baseline", help="what the other is set against, such as dry")
    new.add_argument("--other", help="what is set against it, such as wet")
    _rule_option(new)
    new.add_argument("--units", choices=["metric", "yards"],
                     help="what is spoken (metric, or what a session was typed in)")
    new.add_argument("--out", help="the handout to write, .html or .pdf (TABLE-handout.html)")
    new.add_argument("--paper", choices=["A4", "Letter"], default="A4")
    new.add_argument("--coach", default="", help="a name to print on the handout")
    new.add_argument("--logo", help="a PNG or JPEG file to print on the handout")
    new.add_argument("--link", default="", help="an address to print on the handout, with its QR code")


def _green_options(new):
    new.add_argument("table", help="the file of shots (.csv, .txt, .xlsx), with run-outs from pitch mark to rest")
    new.add_argument("--green-speed", type=float, metavar="FEET", help="its ramp reading, if you know it (10)")
    new.add_argument("--slope", type=float, metavar="DEGREES", help="its slope along the shots, uphill positive (0)")
    _rule_option(new)
    new.add_argument("--units", choices=["metric", "yards"],
                     help="what is spoken (metric, or what a session was typed in)")


def _rule_option(new):
    new.add_argument("--dynamic-loft", nargs=2, type=float, metavar=("LOW", "HIGH"),
                     help="the rule for mis-hits, fixed before the first ball: keep dynamic lofts from LOW to HIGH degrees")


def _plan_options(new):
    new.add_argument("--effect", type=float, required=True, metavar="RPM", help="the difference in spin to be shown")
    new.add_argument("--scatter", default="club player", help="one standard deviation of a shot in rpm, or 'club player' or "
                     "'steady hitter'")
    new.add_argument("--conditions", nargs="+", default=["dry", "wet"], help="what is compared, the baseline first")
    new.add_argument("--order", choices=["ABBA", "ABBABAAB", "blocks", "last"], default="ABBA")
    new.add_argument("--chance", type=float, default=0.9, help="the wanted chance of a convincing result (0.9)")
    new.add_argument("--units", choices=["metric", "yards"], default="metric")


def prepare(arguments, *, test, here):
    """Go on in an environment that has everything: the one in the project's folder, unless this one was asked for."""
    if os.environ.get(READY):
        return
    project = (ROOT / "pyproject.toml").is_file()
    if here or not project:
        from .installed import lacking

        absent = lacking(bootstrap.requirements(ROOT, test) if project else _own_requirements(test))
        if absent:
            raise bootstrap.Trouble(f"this Python lacks {', '.join(absent)}. Leave out --here to have it set up, or "
                                    "install these.")
        return
    python = bootstrap.ensure(ROOT, test=test, say=lambda words: print(words, flush=True))
    bootstrap.become([python, "-m", "spinlab", *arguments], more={READY: "1"})


def _own_requirements(test):
    """What an installed copy is asked to hold."""
    return ["wedge-spinlab[test]" if test else "wedge-spinlab"]


# -- the commands -----------------------------------------------------------------------------------------------------


def lessons() -> Path:
    """The folder of lessons as they are shipped."""
    folder = ROOT / "notebooks"
    if not folder.is_dir():
        raise bootstrap.Trouble("the lessons are not part of this installation; start from the project's folder")
    return folder


def own_lessons() -> Path:
    """The folder of one's own copies of them, brought up to date."""
    from .lessons import own_copies

    folder, late = own_copies(lessons())
    for name in late:
        print(f"{name}: your changed copy stays, though there is a newer lesson. To have that, delete yours in "
              f"{folder.name}, then start again.", flush=True)
    return folder


def lab_command(folder, *, browser=True, port=None) -> list[str]:
    """The arguments JupyterLab is started with: this folder, this machine only, token on, no outside request."""
    from .show import kernels

    settings = [f"LabApp.default_url=/lab/tree/{START_PAGE}", f"ServerApp.root_dir={folder}",
                "ServerApp.ip=127.0.0.1", f"ServerApp.kernel_manager_class={kernels.CLASS}",
                *kernels.SETTINGS, "LabApp.news_url=None",
                "LabApp.check_for_updates_class=jupyterlab.NeverCheckForUpdate", "LabApp.extension_manager=readonly"]
    return [sys.executable, "-m", "jupyterlab", *(f"--{setting}" for setting in settings),
            *([f"--ServerApp.port={port}"] if port else []), *([] if browser else ["--no-browser"]),
            *(["--allow-root"] if hasattr(os, "geteuid") and os.geteuid() == 0 else [])]


def lab_surroundings() -> dict[str, str]:
    """Where JupyterLab finds our settings (no news prompt) without a file written outside the project."""
    return {"JUPYTER_CONFIG_PATH": os.pathsep.join(filter(None, [str(LAB_SETTINGS), os.environ.get("JUPYTER_CONFIG_PATH")]))}


def start(asked):
    """Open the lessons."""
    print("Opening the lessons. Ctrl-C here ends them.", flush=True)
    bootstrap.become(lab_command(own_lessons(), browser=asked.browser, port=asked.port), ROOT, lab_surroundings())


def present(asked):
    """Show one lesson large."""
    from .show.present import present as show

    show(find_lesson(asked.lesson, own_lessons()), port=asked.port, theme=asked.theme, browser=asked.browser)


def find_lesson(name, folder) -> Path:
    """A lesson by its file, or in a folder by its name or number."""
    if Path(name).suffix == ".ipynb" and Path(name).is_file():
        return Path(name)
    found = sorted(path for path in folder.glob("*.ipynb") if path.stem == name or path.stem.startswith(f"{name}_"))
    if len(found) != 1:
        have = ", ".join(path.stem for path in sorted(folder.glob("*.ipynb"))) or "none yet"
        raise ValueError(f"there is no lesson {name!r}; there are {have}")
    return found[0]


def report(asked):
    """Say what a table of shots shows, and write it on a page."""
    out = Path(asked.out or f"{Path(asked.table).stem}-handout.html")
    if out.exists() and Path(asked.table).exists() and out.samefile(asked.table):
        raise ValueError("the handout would overwrite the table; give another name with --out")
    if not out.parent.is_dir():
        raise ValueError(f"there is no folder {str(out.parent)!r} for the handout; make it, or give another with --out")
    from .table_report import make_and_write

    words, written = make_and_write(asked, out)
    print(f"{words}\n\nHandout: {written}")


def green(asked):
    """Say what a table of shots tells of the green."""
    from .table_report import green_in_words

    print(green_in_words(asked))


def plan(asked):
    """Print a demonstration laid down beforehand."""
    from .evidence import plan as planning
    from .units import rpm

    try:
        scatter = float(asked.scatter) * rpm
    except ValueError:
        scatter = asked.scatter
    laid = planning.plan(asked.effect * rpm, scatter, conditions=asked.conditions, order=asked.order, wanted=asked.chance)
    print(laid.sentence(asked.units))
    print("\nOrder: " + ", ".join(f"{k} {name}" for k, name in enumerate(laid.order, start=1)))
    for title, lines in (("Rules", laid.rules), ("Kit", laid.kit), ("Take care", laid.cautions)):
        print(f"\n{title}\n" + "\n".join(f"- {line}" for line in lines))


def doctor(asked):
    """Look at this machine."""
    from .doctor import main

    return main(ROOT, asked.log, asked.here)


def test(asked):
    """Run the suite; its options stand in the project file."""
    bootstrap.become([sys.executable, "-m", "pytest", *asked.options], ROOT)


def bench(asked):
    """Run the benches, each in a fresh Python."""
    import subprocess

    benches = sorted((ROOT / "tests").glob("bench*.py"))
    if not benches:
        raise bootstrap.Trouble("the benches are not part of this installation; start from the project's folder")
    failed = []
    for path in benches:
        print(f"== {path.stem}", flush=True)
        failed += [path.stem] * (subprocess.call([sys.executable, str(path)], cwd=ROOT) != 0)
    print(f"failed: {', '.join(failed)}" if failed else "all benches ran")
    return 2 if failed else 0


def trials(asked):
    """Run the trials of hard wearing."""
    if not (ROOT / "tests" / "trials.py").is_file():
        raise bootstrap.Trouble("the trials are not part of this installation; start from the project's folder")
    bootstrap.become([sys.executable, ROOT / "tests" / "trials.py"], ROOT)
