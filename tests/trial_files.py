"""Kill a process while it writes, give it folders of every kind: ``python tests/trial_files.py``.

* **Killed**: a process writes handouts, pictures, clips, claims and columns' files over and over and is killed (as by
  ``kill -9``, with what it started) at a seeded moment.  Every file under its final name must then be whole, and a later
  write must clear away old drafts.
* **Folders**: names with spaces, accents, two hundred characters and worse must work; a read-only one must be refused in
  words.
* **Two windows** on one session, and a **clock set back**: every shot once, in the order typed.

Needs a system that can fork (Linux, macOS).
"""

import argparse
import contextlib
import io
import json
import os
import random
import shutil
import signal
import sys
import tempfile
import time
import unicodedata
from functools import partial
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

LONG = "/".join(["a folder whose name goes on and on and on"] * 5)
FOLDERS = ("with spaces", "leçons à moi", unicodedata.normalize("NFD", "leçons à moi"), "日本語 🏌", "it's 100% & $HOME; #1",
           "-dash", "{braces} [and more]", LONG, "a" * 200)


def forked(work):
    """Do the work in a child of this very process; its number."""
    sys.stdout.flush()
    child = os.fork()
    if not child:
        code = 1
        try:
            os.dup2(os.open(os.devnull, os.O_WRONLY), 2)
            work()
            code = 0
        finally:
            os._exit(code)
    return child


def ended(child) -> bool:
    """Wait for a child; did it end well?"""
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 0


# -- killed -----------------------------------------------------------------------------------------------------------


def writer(folder):
    """What a person may be writing: returns a function that does it over and over, in an order drawn by lot."""
    from spinlab.evidence import table
    from spinlab.show import clip, gallery, moving, pack, sheets, words

    forms = ("gif", "mp4") if shutil.which("ffmpeg") else ("gif",)
    claims = words.claims(words.DEFAULT_CLAIMS[:1])
    short = pack.Sheet(title="A sheet", lead="words " * 200)
    pages = [pack.html(pack.Sheet(title=f"Sheet {k}", lead="words " * 20_000 * (k + 1))) for k in range(2)]
    one, moved = next(iter(gallery.pictures())), moving.dry_and_wet()

    steps = [*(partial(pack.write, page, folder / "handout.html") for page in pages),
             partial(gallery.write_pack, folder, [one.name], looks=("page",), themes=("light",)),
             *(partial(clip.make, moved, folder / f"clip.{form}", rate=1, scale=0.1) for form in forms),
             *(partial(words.write, claims, folder / f"claims.{form}") for form in ("csv", "txt", "html")),
             partial(sheets.write, folder / "sheet.pdf", short),
             partial(table.remember, folder / "shots.csv", units={"Tempo": "mph"})]

    def write(chance):
        os.setsid()  # what it starts is killed with it
        while True:
            chance.choice(steps)()

    return write


def whole(path) -> bool:
    """Is this file whole?"""
    from xml.etree import ElementTree

    from PIL import Image

    data = path.read_bytes()
    if path.suffix == ".html":
        return data.rstrip().endswith(b"</html>")
    if path.suffix == ".svg":
        return ElementTree.fromstring(data) is not None
    if path.suffix == ".pdf":
        return data.startswith(b"%PDF") and data.rstrip().endswith(b"%%EOF")
    if path.suffix == ".mp4":
        return boxes(data) >= {b"ftyp", b"moov", b"mdat"}
    if path.suffix == ".json":
        return json.loads(data)["units"] == {"Tempo": "mph"}
    if path.suffix in (".png", ".gif"):
        with Image.open(io.BytesIO(data)) as picture:
            for frame in range(getattr(picture, "n_frames", 1)):
                picture.seek(frame)
                picture.load()
        return True
    return bool(data)


def boxes(data) -> set[bytes]:
    """The parts of an MP4 file (ISO/IEC 14496-12: each begins with its length and its name, M); none if one is cut off."""
    found, place = set(), 0
    while place < len(data):
        length = int.from_bytes(data[place:place + 4], "big")
        found.add(data[place + 4:place + 8])
        if not 8 <= length <= len(data) - place:
            return set()
        place += length
    return found


def killed(trials, seed) -> dict[str, int]:
    """How many processes were killed, and how their files were found."""
    from spinlab.files import write_atomically

    sums = {"killed": 0, "files looked at": 0, "half files": 0, "drafts left aside": 0, "drafts that stayed": 0}
    with tempfile.TemporaryDirectory() as room:
        room = Path(room)
        write = writer(room)
        for k in range(trials):
            chance = random.Random(seed + k)
            child = forked(partial(write, chance))
            time.sleep(0.05 + chance.random() * 2.0)
            os.killpg(child, signal.SIGKILL)
            os.waitpid(child, 0)
            sums["killed"] += 1
            for path in sorted(room.iterdir()):
                if path.name.startswith("."):
                    sums["drafts left aside"] += 1
                    os.utime(path, (1e9, 1e9))  # as if it had been found on another day
                else:
                    sums["files looked at"] += 1
                    try:
                        sums["half files"] += not whole(path)
                    except (OSError, SyntaxError, EOFError):
                        sums["half files"] += 1
            write_atomically(room / "handout.html", b"<html></html>")
            sums["drafts that stayed"] += sum(path.name.startswith(".") for path in room.iterdir())
    return sums


# -- folders, windows, clocks -----------------------------------------------------------------------------------------


def used(folder) -> bool:
    """Type a shot, write a page, read a table and remember its columns there."""
    from spinlab.evidence import table
    from spinlab.evidence.journal import new_path
    from spinlab.files import write_atomically
    from spinlab.show.entry import Entry

    entry = Entry(new_path(folder, "a session"), columns=("spin_rate",))
    entry.add(spin_rate="6450")
    source = write_atomically(folder / "my shots é.csv", b"condition,spin\ndry,6000\nwet,4000\n")
    table.remember(source, columns={"spin": "spin_rate"}, units={"spin": "rpm"})
    read = table.read(source)
    again = Entry(entry.session.path)
    return len(read.frame) == 2 and "spin_rate" in read.frame and len(again.shots) == 1


def folders() -> dict[str, int]:
    """Every kind of folder."""
    sums = {"kinds of folder": len(FOLDERS), "that work": 0, "read-only, refused in words": 0}
    with tempfile.TemporaryDirectory() as room:
        os.chmod(room, 0o755)
        for name in FOLDERS:
            folder = Path(room) / name
            folder.mkdir(parents=True)
            sums["that work"] += used(folder)
        locked = Path(room) / "locked"
        locked.mkdir(mode=0o555)
        sums["read-only, refused in words"] += ended(forked(lambda: refused(locked)))
    return sums


def refused(folder):
    """Try to write where one may not."""
    from spinlab.evidence import table
    from spinlab.evidence.journal import NotSaved
    from spinlab.files import write_atomically
    from spinlab.show.entry import Entry

    if os.geteuid() == 0:
        os.setuid(65534)  # root may write anywhere
    for try_it, kind in ((lambda: Entry(folder / "a.journal"), NotSaved),
                         (lambda: write_atomically(folder / "x", b""), OSError),
                         (lambda: table.remember(folder / "x.csv", units={"a": "mph"}), table.TableError)):
        try:
            try_it()
        except kind:
            continue
        raise AssertionError(f"{kind} was expected")
    assert not list(folder.iterdir())


def windows(seed, shots=60) -> dict[str, int]:
    """Two windows type into one session at once."""
    from spinlab.evidence.journal import Field, Journal

    with tempfile.TemporaryDirectory() as room:
        path = Path(room) / "a.journal"
        Journal.create(path, fields=[Field.of(name) for name in ("condition", "spin_rate")])

        def type_in(first):
            journal, chance = Journal.open(path), random.Random(seed + first)
            for n in range(shots):
                journal.write("shot", cells={"condition": "dry", "spin_rate": str(first + n)})
                time.sleep(chance.random() * 0.003)

        children = [forked(lambda first=first: type_in(first)) for first in (3000, 6000)]
        good = sum(map(ended, children))
        found = [shot.cells["spin_rate"] for shot in Journal.open(path).shots.values()]
        wanted = [str(first + n) for first in (3000, 6000) for n in range(shots)]
        apart = [[spin for spin in found if spin[0] == first] for first in "36"]
        return {"windows": good, "shots typed": 2 * shots, "lost": len(set(wanted) - set(found)),
                "twice": len(found) - len(set(found)), "out of order": sum(part != sorted(part) for part in apart)}


def clocks() -> dict[str, int]:
    """The clock is set back between shots and between sessions."""
    from datetime import datetime

    from spinlab.evidence.journal import Field, Journal, new_path

    with tempfile.TemporaryDirectory() as room:
        now, names = datetime(2026, 5, 4, 10, 31), []
        for _ in range(3):
            path = new_path(room, "pitches", now=now)
            journal = Journal.create(path, fields=[Field.of(name) for name in ("condition", "spin_rate")])
            names.append(path.name)
            for n, time_of_day in enumerate(("2026-05-04T10:31:07", "2026-05-04T09:31:07", "1970-01-01T00:00:00")):
                journal.write("shot", cells={"condition": "dry", "spin_rate": str(3000 + n)}, time=time_of_day)
        kept = [[shot.cells["spin_rate"] for shot in Journal.open(Path(room) / name).shots.values()] for name in names]
        return {"sessions begun in one minute": len(set(names)), "shots with the clock set back": 9,
                "lost or out of order": sum(spins != ["3000", "3001", "3002"] for spins in kept)}


def main(*, trials=200, seed=1) -> int:
    """Run all and print the sums; 1 if anything was lost."""
    if not hasattr(os, "fork"):
        print("skipped: this system cannot fork")
        return 0
    parts = {"killed while writing": killed(trials, seed), "folders": folders(), "two windows": windows(seed),
             "clock set back": clocks()}
    for name, sums in parts.items():
        print(f"{name}: " + ", ".join(f"{count} {what}" for what, count in sums.items()), flush=True)
    places, seen = parts["folders"], parts["two windows"]
    bad = [*(parts["killed while writing"][what] for what in ("half files", "drafts that stayed")),
           places["kinds of folder"] - places["that work"],
           not places["read-only, refused in words"], 2 - seen["windows"], seen["lost"], seen["twice"], seen["out of order"],
           parts["clock set back"]["lost or out of order"]]
    return int(any(bad))


if __name__ == "__main__":
    asked = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    asked.add_argument("--trials", type=int, default=200)
    asked.add_argument("--seed", type=int, default=1)
    with contextlib.suppress(BrokenPipeError):
        sys.exit(main(**vars(asked.parse_args())))
