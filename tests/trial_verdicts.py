"""Random small tables, each judged: ``python tests/trial_verdicts.py [HOW MANY]`` (5,000 if left out).

One to seventy shots a side, three measures, scatter from nothing to a beginner's, values rounded as they are typed, cells
left empty.  Every table gets a verdict, and over all tables

* where nothing differs, something counts as shown in at most 5 in 100 tables (the level, held over the three measures),
* the range at 95 % holds the true difference, and the true ratio, in at least 95 of 100 (but for three Monte Carlo errors),
* the sentence that comes first has at most 15 words, and no number of a library or word of a program.
"""

import collections
import re
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

import numpy as np  # noqa: E402
import pandas as pd  # noqa: E402

from spinlab.evidence.compare import headline  # noqa: E402
from spinlab.evidence.wording import MOST_WORDS  # noqa: E402
from spinlab.units import deg, rpm  # noqa: E402

MANY = 5000
NEVER = re.compile(r"\bnan\b|\binf\b|\bNone\b|Traceback|[A-Za-z]Error\b|solver|converge|dtype|object at|\bx=|\de[-+]\d")
"""What no person is ever told."""
_MEASURES = {"spin_rate": (6000 * rpm, rpm, 10), "launch_angle": (30 * deg, deg, 0.1), "carry": (38.0, 1.0, 0.1)}
"""Middle [SI], unit, and what is typed to, in that unit."""
_GAPS = {"spin_rate": 1500 * rpm, "launch_angle": 6 * deg, "carry": 3.0}
_SCATTER = {"spin_rate": 600 * rpm, "launch_angle": 1.8 * deg, "carry": 2.5}


def table(seed):
    """A random table of dry and wet shots, and the true difference of each measure [SI].

    Three kinds in turn: nothing differs and all is as it comes (0); as 0, but something differs (1); awkward (2): no or
    hardly any scatter, rounded values, empty cells.
    """
    rng, kind = np.random.default_rng(seed), seed % 3
    most = 70 if rng.random() < 0.5 else 9
    dry, wet = (int(n) for n in rng.integers(1, most + 1, 2))
    label = np.repeat(["dry", "wet"], [dry, wet])
    frame = pd.DataFrame({"shot": np.arange(1, dry + wet + 1), "condition": label})
    true = {}
    for name, (middle, unit, step) in _MEASURES.items():
        gap = _GAPS[name] * rng.uniform(-1, 1) if kind else 0.0
        wide = _SCATTER[name] * rng.uniform(0.3, 2.0)
        if kind == 2:
            wide *= rng.choice([0.0, 1e-12, 1e-3, 1.0])
        unlike = np.where(label == "wet", rng.uniform(0.7, 1.4), 1.0)
        values = middle + gap * (label == "wet") + wide * unlike * rng.normal(size=label.size)
        if kind == 2 and rng.random() < 0.5:
            values = np.round(values / unit / step) * step * unit
        if kind == 2:
            values[rng.random(label.size) < rng.choice([0.0, 0.1, 0.6])] = np.nan
        frame[name], true[name] = values, gap
    return frame.sample(frac=1, random_state=seed), true


def judged(seed) -> dict:
    """What came of one table: words that break a promise, false alarm or not, ranges that hold the truth."""
    frame, true = table(seed)
    if frame[list(_MEASURES)].isna().all().all():
        frame.loc[frame.index[0], "carry"] = 38.0
    head = headline(frame, baseline="dry") if frame["condition"].nunique() == 2 else None
    said = [words for units in ("metric", "yards")
            for words in (head.brief(units), head.ranges(units), head.sentence(units), *head.doubts(units))]
    first = [head.brief(units) for units in ("metric", "yards")]
    wrong = [words for words in said if NEVER.search(words)]
    wrong += [words for words in first if not 0 < len(words.split()) <= MOST_WORDS]
    compared = {v.of for v in head.verdicts}
    if compared | {name for name, _ in head.open} != set(_MEASURES):
        wrong.append(f"a measure is told of nowhere: {compared}")
    covered, ratios = [], []
    if seed % 3 != 2:
        for verdict in head.verdicts:
            test, (middle, _, _) = verdict.only.test, _MEASURES[verdict.of]
            covered.append(test.difference.holds(true[verdict.of]))
            if test.ratio is not None:
                ratios.append(test.ratio.holds(1 + true[verdict.of] / middle))
    shown = any(v.only.outcome == "shown" for v in head.verdicts)
    return {"wrong": wrong, "null": seed % 3 == 0 and bool(head.verdicts), "shown": shown, "covered": covered,
            "ratios": ratios, "smallest": int(frame["condition"].value_counts().min())}


def rates(seeds) -> dict:
    """The sums over many tables: how many, what was wrong, false alarms, ranges that hold."""
    total = collections.Counter()
    wrong = []
    for seed in seeds:
        one = judged(seed)
        wrong += [(seed, words) for words in one["wrong"]]
        total["tables"] += 1
        total["null"] += one["null"]
        total["alarms"] += one["null"] and one["shown"]
        for name in ("covered", "ratios"):
            total[f"{name} of"] += len(one[name])
            total[name] += sum(one[name])
    return {"wrong": wrong, **total}


def bounds(sums) -> dict[str, tuple[float, float]]:
    """Each rate and what it may be at the worst: the stated one and three Monte Carlo standard errors."""
    def error(many):
        return 3 * np.sqrt(0.05 * 0.95 / many)

    return {"false alarms": (sums["alarms"] / sums["null"], 0.05 + error(sums["null"])),
            "differences missed": (1 - sums["covered"] / sums["covered of"], 0.05 + error(sums["covered of"])),
            "ratios missed": (1 - sums["ratios"] / sums["ratios of"], 0.05 + error(sums["ratios of"]))}


def main(many=MANY) -> int:
    """Judge them and print; 1 where a promise is broken."""
    began = time.monotonic()
    sums = rates(range(many))
    print(f"{sums['tables']} tables, all judged, in {time.monotonic() - began:.0f} s; wrong words: {len(sums['wrong'])}")
    for seed, words in sums["wrong"][:10]:
        print(f"  seed {seed}: {words}")
    kept = not sums["wrong"]
    for name, (rate, most) in bounds(sums).items():
        print(f"{name}: {100 * rate:.2f} in 100 (at most {100 * most:.2f})")
        kept = kept and rate <= most
    return int(not kept)


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else MANY))
