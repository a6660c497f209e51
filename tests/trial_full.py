"""Fill the disk while sessions and pages are written: ``python tests/trial_full.py``.

* **Told to be full**: writing ends after a seeded number of bytes (a limit of the process).
* **Really full**: a small disk in memory is filled to the brim; only root may make one, elsewhere this is left out.

The old file must be untouched, nothing of the new one left, and a session must hold all that was confirmed.  When room is
made again, typing must go on.  Needs a system that can fork (Linux, macOS).
"""

import argparse
import contextlib
import os
import random
import signal
import subprocess
import sys
import tempfile
from functools import partial
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from trial_files import ended, forked  # noqa: E402

NAMES = ("condition", "spin_rate")
OLD = b"old" * 2000
NEW = b"new" * 20_000


def limited(most, work):
    """Do the work while no file may grow beyond `most` bytes."""
    import resource

    signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (most, most))
    work()


def fill(journal, page, told):
    """Write until nothing more goes on the disk; ends well if all of it was told as it should be."""
    from spinlab.evidence.journal import NotSaved
    from spinlab.files import write_atomically

    with told.open("ab", buffering=0) as confirmed:
        for n in range(20_000):
            try:
                journal.write("shot", cells={"condition": "dry", "spin_rate": str(3000 + n)})
            except NotSaved as why:
                assert "confirm again" in str(why)
                break
            confirmed.write(b".")
        else:
            raise AssertionError("the disk was never full")
    try:
        write_atomically(page, NEW)
    except OSError:
        return
    raise AssertionError("the disk was not full")


def tried(room, told, wrap, more=lambda: None) -> dict[str, int]:
    """Fill a folder once; `wrap` does so, `more` makes room again."""
    from spinlab.evidence.journal import Field, Journal

    page = room / "page.html"
    page.write_bytes(OLD)
    journal = Journal.create(room / "a.journal", fields=[Field.of(name) for name in NAMES])
    told.write_bytes(b"")
    well = ended(forked(lambda: wrap(partial(fill, journal, page, told))))
    confirmed, again = len(told.read_bytes()), Journal.open(room / "a.journal")
    kept = [shot.cells["spin_rate"] for shot in again.shots.values()]
    half = page.read_bytes() != OLD or {path.name for path in room.iterdir()} - {"a.journal", "page.html", "filler"}
    more()
    again.write("shot", cells={"condition": "wet", "spin_rate": "9000"})
    return {"times full": 1, "told in words": int(well), "shots confirmed": confirmed,
            "lost": int(kept != [str(3000 + n) for n in range(confirmed)]), "half files": int(bool(half)),
            "typed on": int(len(Journal.open(room / "a.journal").shots) == confirmed + 1)}


def told_full(trials, seed):
    """By a limit of the process."""
    for k in range(trials):
        most = random.Random(seed + k).randrange(200, 3000)
        with tempfile.TemporaryDirectory() as room, tempfile.NamedTemporaryFile() as told:
            yield tried(Path(room), Path(told.name), partial(limited, most))


def really_full(trials, seed):
    """By a disk that has no more room."""
    for k in range(trials):
        size = random.Random(seed + k).randrange(32, 96)
        with small_disk(size) as room, tempfile.NamedTemporaryFile() as told:
            if room is None:
                return
            (room / "filler").write_bytes(b"x" * 8192)
            yield tried(room, Path(told.name), lambda work: work(), (room / "filler").unlink)


@contextlib.contextmanager
def small_disk(kilobytes):
    """A disk of so many kilobytes, in memory; None where none can be made."""
    with tempfile.TemporaryDirectory() as room:
        made = sys.platform == "linux" and os.geteuid() == 0 and not subprocess.call(
            ["mount", "-t", "tmpfs", "-o", f"size={kilobytes}k", "tmpfs", room], stderr=subprocess.DEVNULL)
        try:
            yield Path(room) if made else None
        finally:
            if made:
                subprocess.check_call(["umount", room])


def main(*, trials=200, seed=1) -> int:
    """Run both and print the sums; 1 if anything was lost."""
    if not hasattr(os, "fork"):
        print("skipped: this system cannot fork")
        return 0
    good = True
    for name, trial in (("told to be full", told_full(trials, seed)), ("really full", really_full(trials // 4, seed))):
        sums = {}
        for one in trial:
            sums = {what: sums.get(what, 0) + count for what, count in one.items()}
        told = ", ".join(f"{count} {what}" for what, count in sums.items()) or "left out, only root can make a disk"
        print(f"{name}: {told}", flush=True)
        if sums:
            good &= not sums["lost"] + sums["half files"] and sums["times full"] == sums["told in words"] == sums["typed on"]
    return int(not good)


if __name__ == "__main__":
    asked = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    asked.add_argument("--trials", type=int, default=200)
    asked.add_argument("--seed", type=int, default=1)
    sys.exit(main(**vars(asked.parse_args())))
