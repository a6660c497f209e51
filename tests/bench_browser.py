"""A whole shot in Chromium beside the compiled one: ``python tests/bench.py browser``.

Both do the two thousand golden shots, of all regimes, with nothing drawn; the shortest of some
rounds counts.
"""

import time

import any_browser
import make_golden
import numpy as np

from spinlab.kernel import compiled, javascript
from spinlab.kernel.rows import situation_at
from spinlab.kernel.shot import play

ROUNDS = 7


@compiled.compiled
def play_rows(rows, history, drawing, trace, results):
    """Play every row; keep where the ball comes to rest."""
    for k in range(len(rows)):
        played = play(situation_at(rows[k]), history, drawing, trace, 0)
        results[k] = played.landing.carry + played.stop.run_out


def compiled_seconds(golden):
    """Seconds a whole shot, compiled, on one processor."""
    rows = np.array([make_golden.row(golden["kinds"], shot) for shot in golden["shots"]])
    _, history, drawing, trace, _ = golden["calls"][0][1]
    results = np.empty(len(rows))
    times = []
    for _ in range(ROUNDS + 1):
        begin = time.perf_counter()
        play_rows(rows, history, drawing, trace, results)
        times.append(time.perf_counter() - begin)
    return min(times) / len(rows)


def main():
    """Print a line for the compiled kernel, and one for each browser that is here."""
    golden = make_golden.load()
    golden["calls"] = make_golden.calls(golden)
    compiled = compiled_seconds(golden)
    print(f"a whole shot, compiled: {1e6 * compiled:.0f} µs")
    for name in any_browser.BROWSERS:
        if any_browser.present(name):
            text = javascript.kernel_module()
            _, whole = any_browser.in_browser(name, text, golden["calls"], rounds=ROUNDS)
            each = whole / len(golden["shots"])
            ratio = each / compiled
            print(f"a whole shot in {name}: {1e6 * each:.0f} µs, {ratio:.1f} × compiled")


if __name__ == "__main__":
    main()
