"""Fifty loads of a presented lesson: ``python tests/trial_kernels.py``.

A browser loads the page again and again: half of the loads are left before they are there, every tenth ends without a
good-bye, as a browser that is killed does.  Counted are the kernels alive and the memory they hold, most and last, and what
is left a minute after the last page was closed.
"""

import argparse
import contextlib
import shutil
import sys
import tempfile
import time
from pathlib import Path

import browser as b
import psutil

from spinlab.show.kernels import MOST

LESSONS = Path(__file__).resolve().parent.parent / "notebooks"


def alive():
    """How many kernels there are below this process, and their memory in MB."""
    found = []
    for process in psutil.Process().children(recursive=True):
        try:
            if "ipykernel_launcher" in " ".join(process.cmdline()) and process.status() != psutil.STATUS_ZOMBIE:
                found.append(process.memory_info().rss / 1e6)
        except psutil.NoSuchProcess:
            continue
    return len(found), sum(found)


def load(browser, address, k):
    """One load, whole or left early, with or without a good-bye."""
    seen = b.Watched(browser)
    seen.page.goto(address, wait_until="load" if k % 2 else "commit", timeout=120_000)  # a load may wait for room
    if k % 10 == 9:
        seen.page.evaluate("window.stop(); addEventListener('beforeunload', e => e.stopImmediatePropagation(), true)")
    seen.page.close(run_before_unload=k % 10 != 9)
    seen.close()


def main() -> int:
    """Load, count, wait, count; 1 if there ever were too many or one stayed."""
    asked = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    asked.add_argument("--loads", type=int, default=50)
    asked.add_argument("--lesson", default="02_dry_and_wet.ipynb")
    asked = asked.parse_args()
    counts = []
    with tempfile.TemporaryDirectory() as room, contextlib.ExitStack() as opened:
        shutil.copy(LESSONS / asked.lesson, room)
        address, browser = opened.enter_context(b.presenting(room, asked.lesson)), opened.enter_context(b.browser())
        for k in range(asked.loads):
            load(browser, address, k)
            counts.append(alive())
        end = time.monotonic() + 60
        while time.monotonic() < end and alive()[0]:
            time.sleep(1)
        waited, (left, _) = 60 - (end - time.monotonic()), alive()
    most = max(count for count, _ in counts)
    print(f"{asked.loads} loads: at most {most} kernels and {max(memory for _, memory in counts):.0f} MB at a time, "
          f"{counts[-1][0]} and {counts[-1][1]:.0f} MB after the last; {left} left {waited:.0f} s later")
    return int(most > MOST or left > 0)


if __name__ == "__main__":
    sys.exit(main())
