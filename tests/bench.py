"""Every bench in turn: ``python3 -m spinlab bench``.  Figures of this machine, to be read beside each other, never asserted."""

import platform
import subprocess
import sys
from os import cpu_count
from pathlib import Path


def main():
    """Run each ``bench_*.py`` in a fresh Python; 1 if one of them failed."""
    print(f"Python {platform.python_version()}, {platform.system()} {platform.machine()}, {cpu_count()} processors", flush=True)
    failed = []
    for bench in sorted(Path(__file__).parent.glob("bench_*.py")):
        print(f"\n== {bench.stem.removeprefix('bench_')}", flush=True)
        if subprocess.call([sys.executable, str(bench)]):
            failed.append(bench.stem)
    if failed:
        print(f"\nfailed: {', '.join(failed)}")
    return bool(failed)


if __name__ == "__main__":
    sys.exit(main())
