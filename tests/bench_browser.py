"""A whole shot in Chromium beside the compiled one: ``python tests/bench.py browser``.

Both do the two thousand golden shots, of all regimes, with nothing drawn; the shortest of some
rounds counts.  Compiled, the three parts run over rows, as `play` runs them for many shots.
"""

import time

import any_browser
import make_golden
import numpy as np

from spinlab.kernel import javascript, nouns, shot
from spinlab.physics import rows

ROUNDS = 7


def compiled_seconds(golden):
    """Seconds a whole shot, compiled, on one processor."""
    table, chosen, calls = golden["kinds"], golden["shots"], golden["calls"]
    played = [shot.play(*given) for _, given in calls]
    parts = [[table[kind][k] for kind, k in zip(make_golden.KINDS, indices)] for indices in chosen]
    strikes, flights, landings = [], [], []
    for (arriving, face, ball, between, assume, air, law, green), whole in zip(parts, played):
        radius = ball[nouns.Ball._fields.index("radius")]
        tilt = shot.resting_tilt_of(green[nouns.Green._fields.index("speed")])
        strikes.append([*arriving, *face, *ball, *between, *assume])
        flights.append([*shot.launch_of(whole.impact), *air, *ball, *law])
        landings.append([*shot.arrival_of(whole.landing), *green, radius, tilt, 0.0])
    count = len(chosen)
    loops = [(rows.strike_rows, strikes, nouns.Impact, np.empty((count, 9, 0)), ()),
             (rows.fly_rows, flights, nouns.Landing, np.empty((count, 4, 0)), ()),
             (rows.land_rows, landings, nouns.Stop, np.empty((count, 3, 0)), (0,))]
    total = 0.0
    for loop, given, kind, drawn, more in loops:
        given, results = np.array(given), np.empty((count, len(kind._fields)))
        loop(0, 1, given, results, drawn, *more)
        times = []
        for _ in range(ROUNDS):
            begin = time.perf_counter()
            loop(0, count, given, results, drawn, *more)
            times.append(time.perf_counter() - begin)
        total += min(times)
    return total / count


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
