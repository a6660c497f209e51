"""Every trial of hard wearing, and its figures: ``python -m spinlab trials``.

Kills, full disks and awkward folders; bytes that nobody meant to write; tables of all sizes; a long evening, in the kernel
and in the page; the oldest and the newest packages.  Each trial runs in a fresh Python, prints what it did (load, faults,
inputs tried, lost) and says by its end whether it held.
"""

import subprocess
import sys
import time
from pathlib import Path

HERE = Path(__file__).resolve().parent
TRIALS = {
    "trial_entry.py": "live entry, killed while typing",
    "trial_files.py": "files: killed while writing, folders, two windows, clock set back",
    "trial_full.py": "a full disk",
    "fuzz.py": "readers: mutated inputs",
    "trial_verdicts.py": "random small tables: verdicts and their error rates",
    "trial_sizes.py": "tables of all sizes",
    "trial_long.py": "a long evening in one kernel",
    "trial_page.py": "a long evening in JupyterLab, in a browser",
    "trial_kernels.py": "fifty loads of a presented page",
    "trial_versions.py": "oldest and newest allowed packages",
}


def main() -> int:
    """Run them all; 1 if any did not hold."""
    failed = []
    for name, what in TRIALS.items():
        print(f"== {what}", flush=True)
        began = time.monotonic()
        if subprocess.call([sys.executable, str(HERE / name)], cwd=HERE.parent):
            failed.append(name)
        print(f"({time.monotonic() - began:.0f} s)", flush=True)
    print(f"did not hold: {', '.join(failed)}" if failed else "all trials held: nothing lost, no fault")
    return int(bool(failed))


if __name__ == "__main__":
    sys.exit(main())
