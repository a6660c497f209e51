"""A long evening in one kernel: ``python tests/trial_long.py``.

2,000 slider moves and 500 typed shots arrive as the page's messages do, in a real kernel.  Memory is taken after the first
fifth, when everything has been loaded and drawn once, and at the end; an answer's time of the processor, which what else the
machine does changes little, in the first and in the last fifth.
"""

import argparse
import json
import subprocess
import sys
import tempfile
from pathlib import Path

HERE = Path(__file__).resolve().parent
LEAST = 1e-3
"""Seconds of the processor by which an answer may become slower unnoticed."""
PREPARE = """
import sys
sys.path.insert(0, {root!r})
import gc, json, random, time
import psutil
from IPython.display import display
from spinlab.panels.impact import impact_scene
from spinlab.panels.scene import Number
from spinlab.panels.widget import Panel
from spinlab.show.entry import Entry

chance = random.Random({seed})
shown = Panel(impact_scene())
display(shown)
entry = Entry({folder!r} + "/long.journal", columns=("head_speed", "spin_rate", "carry", "note"))
display(entry)
entry._view.heard(None, {{"n": 0, "hello": True}})

def move(n):
    control = chance.choice([c for c in shown.scene.controls if isinstance(c, Number)])
    value = control.low + chance.random() * (control.high - control.low)
    shown._view.values = shown.values | {{control.name: value}}
    assert shown.answer[control.name] == value

def typed(n):
    cells = {{"head_speed": f"{{20 + chance.random():.1f}}", "spin_rate": str(chance.randrange(3000, 9000)), "note": ""}}
    entry._view.heard(None, {{"n": n, "do": "add", "token": str(n), "condition": ("dry", "wet")[n % 2], "cells": cells}})

for n in range(4):
    typed(-1 - n)
entry.verdict  # loads what the verdict needs

def through(work, first, last):
    took = []
    for n in range(first, last):
        began = time.process_time()
        work(n)
        took.append(time.process_time() - began)
    gc.collect()
    return sorted(took)[len(took) // 2], psutil.Process().memory_info().rss / 1e6
"""


class Kernel:
    """A kernel of its own; `ask` runs code there and returns what the last line printed."""

    def __init__(self):
        from jupyter_client.manager import start_new_kernel

        self.manager, self.client = start_new_kernel(kernel_name="python3", stderr=subprocess.DEVNULL)

    def ask(self, code):
        printed, failed = [], []

        def heard(message):
            content = message["content"]
            if message["msg_type"] == "stream" and content["name"] == "stdout":
                printed.append(content["text"])
            if message["msg_type"] == "error":
                failed.append("\n".join(content["traceback"]))

        self.client.execute_interactive(code, output_hook=heard, timeout=600, store_history=False)
        if failed:
            raise RuntimeError(failed[0])
        return "".join(printed).strip()

    def close(self):
        self.client.stop_channels()
        self.manager.shutdown_kernel(now=True)


def main(*, moves=2000, shots=500, seed=1) -> int:
    """Run it and print the figures; 1 if memory grew by more than 5 %, answers became slower, or the kernel died."""
    with tempfile.TemporaryDirectory() as folder:
        kernel, good = Kernel(), True
        try:
            kernel.ask(PREPARE.format(root=str(HERE.parent), seed=seed, folder=folder))
            for work, what, count in (("move", "slider moves", moves), ("typed", "typed shots", shots)):
                spans = ((0, count // 5), (count // 5, count - count // 5), (count - count // 5, count))
                parts = [json.loads(kernel.ask(f"print(json.dumps(through({work}, {a}, {b})))")) for a, b in spans]
                grown = parts[-1][1] / parts[0][1] - 1
                good &= grown <= 0.05 and parts[-1][0] <= 1.25 * parts[0][0] + LEAST
                print(f"{count} {what}: memory {parts[0][1]:.1f} MB after {count // 5}, {parts[-1][1]:.1f} MB at the end "
                      f"({100 * grown:+.1f} %); an answer took the processor {1e3 * parts[0][0]:.1f} ms in the first fifth, "
                      f"{1e3 * parts[-1][0]:.1f} ms in the last (median)", flush=True)
            kept = int(kernel.ask("print(len(Entry(entry.session.path).shots))"))
            good &= kept == shots + 4 and kernel.manager.is_alive()
            print(f"shots on the disk: {kept} of {shots + 4}; kernel {'alive' if kernel.manager.is_alive() else 'dead'}")
        finally:
            kernel.close()
    return int(not good)


def asked(words):
    """What a long evening takes from the command line."""
    parser = argparse.ArgumentParser(description=words.splitlines()[0])
    parser.add_argument("--moves", type=int, default=2000)
    parser.add_argument("--shots", type=int, default=500)
    parser.add_argument("--seed", type=int, default=1)
    return vars(parser.parse_args())


if __name__ == "__main__":
    sys.exit(main(**asked(__doc__)))
