"""How long a large table takes, beside plain pandas: ``python tests/bench_table.py``."""

from __future__ import annotations

import io
import time
import tracemalloc

import numpy as np
import pandas as pd

from spinlab.evidence import screen, table
from spinlab.units import deg


def made(shots=100_000, *, seed=1):
    """CSV bytes of many invented shots in three conditions."""
    rng = np.random.default_rng(seed)
    frame = pd.DataFrame({
        "Shot": np.arange(1, shots + 1), "Club": "56 blasted", "Ball": rng.choice(["soft cover A", "hard cover B"], shots),
        "Condition": rng.choice(["dry", "damp", "wet"], shots), "Head speed [mph]": rng.normal(45, 1, shots).round(1),
        "Attack angle [°]": rng.normal(-6, 0.7, shots).round(1), "Dynamic loft [°]": rng.normal(44.5, 1.2, shots).round(1),
        "Ball speed [mph]": rng.normal(48, 1, shots).round(1), "Launch angle [°]": rng.normal(33, 4, shots).round(2),
        "Spin rate [rpm]": rng.normal(5000, 900, shots).round(), "Carry [yd]": rng.normal(47, 1.5, shots).round(1),
        "Side [yd]": rng.normal(0, 1, shots).round(1)})
    return frame.to_csv(index=False).encode()


def main():
    """Print seconds, the ratio to `pandas.read_csv` and the memory at the peak."""
    content = made()
    variants = {"commas": content, "semicolons, decimal commas": content.replace(b",", b";").replace(b".", b",")}
    for name, text in variants.items():
        options = {} if name == "commas" else {"sep": ";", "decimal": ","}
        plain = _best(lambda: pd.read_csv(io.BytesIO(text), **options))  # noqa: B023 - called at once
        ours = _best(lambda: table.read(text))  # noqa: B023
        print(f"100,000 shots, {name}: {ours:.2f} s, pandas.read_csv {plain:.2f} s, ratio {ours / plain:.1f}")
    frame = table.read(content).frame
    print(f"100,000 shots screened: {_best(lambda: screen.screen(frame, dynamic_loft=(42 * deg, 47 * deg))):.2f} s")
    tracemalloc.start()
    table.read(content)
    print(f"memory at the peak: {tracemalloc.get_traced_memory()[1] / 1e6:.0f} MB for {len(content) / 1e6:.1f} MB of table")
    tracemalloc.stop()


def _best(work, times=3):
    took = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        took.append(time.perf_counter() - start)
    return min(took)


if __name__ == "__main__":
    main()
