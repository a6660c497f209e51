"""Golden shots: ``python tests/make_golden.py`` writes `golden/shots.json`.

Two thousand random whole shots of every regime with the kernel's answers.  They hold the kernel's
three homes together: what a browser computes from the same numbers must be the same.
"""

import json
import math
import random
import sys
from dataclasses import fields
from pathlib import Path

import numpy as np

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE.parent))

from spinlab import records  # noqa: E402
from spinlab.kernel import contact, flight, ground, shot  # noqa: E402
from spinlab.kernel.rows import situation_at  # noqa: E402
from spinlab.physics import rows  # noqa: E402
from spinlab.units import deg, ft, um  # noqa: E402

FILE = HERE / "golden" / "shots.json"
SHOTS = 2000
KINDS = ("Delivery", "Face", "Ball", "Between", "Assumptions", "Air", "Aerodynamics", "Green")
ANSWERS = {"impact": ("ball_speed", "launch_angle", "spin_rate", "time", "film_left"),
           "landing": ("carry",), "stop": ("run_out",)}
NAMES = [name for names in ANSWERS.values() for name in names]

WATER = {"dry": (0.0, 0.0), "damp": (0.05 * um, 3 * um), "wet": (3 * um, 40 * um),
         "flooded": (40 * um, 1000 * um), "blocked": (1 * um, 100 * um), "soiled": (0.0, 20 * um),
         "grass": (0.0, 20 * um), "plain face": (0.0, 40 * um), "corners": (0.0, 1000 * um)}
"""The regimes, with the water between face and ball [m]."""


def drawn(draw, low, high):
    """A random number in a range, short enough to be read."""
    return float(f"{draw.uniform(low, high):.5g}")


def around(draw, kind, share, **values):
    """A record with every number up to a share away from its default, within its range."""
    for field in fields(kind):
        if "low" in field.metadata and field.name not in values and field.default:
            low = max(field.metadata["low"], field.default * (1.0 - share))
            high = min(field.metadata["high"], field.default * (1.0 + share))
            values[field.name] = drawn(draw, low, high)
    return kind(**values)


def corner(draw, kind, **values):
    """A record with every number at an end of its range."""
    for field in fields(kind):
        if "low" in field.metadata and field.name not in values:
            values[field.name] = draw.choice((field.metadata["low"], field.metadata["high"]))
    return kind(**values)


def corner_delivery(draw):
    """A delivery at the ends of its ranges, as far as a ball can be hit so."""
    attack = draw.choice((-30 * deg, 0.0, 20 * deg))
    loft = draw.choice((max(attack, -10 * deg), 45 * deg, min(attack + 85 * deg, 85 * deg)))
    return records.Delivery(head_speed=draw.choice((0.5, 80.0)), dynamic_loft=loft,
                            attack_angle=attack, normal_offset=draw.choice((-3e-3, 3e-3)))


def delivery(draw):
    """How a club arrives."""
    offset = draw.choice((0.0, drawn(draw, -3e-3, 3e-3)))
    height = draw.choice((0.0, drawn(draw, -15e-3, 15e-3)))
    return records.Delivery(head_speed=drawn(draw, 4.0, 45.0), normal_offset=offset,
                            strike_height=height,
                            dynamic_loft=drawn(draw, 15 * deg, 70 * deg),
                            attack_angle=drawn(draw, -12 * deg, 5 * deg))


def between(draw, regime):
    """What lies between face and ball in a regime."""
    values = {"water": drawn(draw, *WATER[regime]), "temperature": drawn(draw, 273.15, 333.15)}
    if regime == "blocked":
        values["soil_in_grooves"] = drawn(draw, 0.3, 1.0)
    if regime == "soiled":
        values |= {name: drawn(draw, 0.0, 1.0) for name in ("soil_on_lands", "soil_in_grooves")}
    if regime == "grass":
        values["grass"] = drawn(draw, 0.0, 1.0)
    if regime == "corners":
        return corner(draw, records.Between)
    return records.Between(**values)


def face(draw, regime):
    """A face for a regime."""
    if regime == "corners":
        return corner(draw, records.Face, grooves=corner(draw, records.Grooves))
    if regime == "plain face":
        return around(draw, records.Face, 0.8, grooves=None)
    grooves = records.Grooves(
        width=drawn(draw, 0.4e-3, 1.0e-3), depth=drawn(draw, 0.2e-3, 0.6e-3),
        separation=drawn(draw, 1.5e-3, 4e-3), draft_angle=drawn(draw, 0.0, 50 * deg),
        edge_radius=drawn(draw, 0.05e-3, 0.4e-3))
    return around(draw, records.Face, 0.8, grooves=grooves)


def ball(draw, regime):
    """A ball for a regime."""
    friction = drawn(draw, 0.05, 0.7)
    values = {"friction": friction, "friction_fast": drawn(draw, 0.03, friction)}
    if regime == "corners":
        return corner(draw, records.Ball, **values)
    return around(draw, records.Ball, 0.2, **values)


def air(draw):
    """Air with wind from every side."""
    return around(draw, records.Air, 0.1, humidity=drawn(draw, 0.0, 1.0),
                  wind=drawn(draw, -15.0, 15.0), crosswind=drawn(draw, -15.0, 15.0))


def green(draw):
    """One of the greens, with a speed and a slope."""
    made = draw.choice((records.Green.tuned_firm, records.Green.tuned_medium,
                        records.Green.tuned_soft, records.Green.tuned_gripping,
                        records.Green.published_penner_2002))
    return made(speed=drawn(draw, 5 * ft, 15 * ft), slope=drawn(draw, -5 * deg, 5 * deg))


def law(draw):
    """One of the laws of drag and lift."""
    made = draw.choice((records.Aerodynamics.tuned_pitches,
                        records.Aerodynamics.published_davies_1949))
    return made(reverse_lift=draw.choice((0.0, 0.0, 1.0)))


def inputs(count=SHOTS, seed=1):
    """Regimes and records of random shots, shared records standing once: ``regimes, records,
    shots``, where a shot has an index into the records of each kind."""
    draw = random.Random(seed)
    regimes = [list(WATER)[k % len(WATER)] for k in range(count)]
    table = {kind: [] for kind in KINDS}
    shared = {"Assumptions": [around(draw, records.Assumptions, 0.2) for _ in range(20)],
              "Air": [air(draw) for _ in range(100)],
              "Aerodynamics": [law(draw) for _ in range(6)],
              "Green": [green(draw) for _ in range(50)]}
    equipment = {regime: ([face(draw, regime) for _ in range(20)],
                          [ball(draw, regime) for _ in range(20)]) for regime in WATER}
    chosen = []
    for regime in regimes:
        arriving = corner_delivery(draw) if regime == "corners" else delivery(draw)
        faces, balls = equipment[regime]
        parts = [arriving, draw.choice(faces), draw.choice(balls), between(draw, regime),
                 *(draw.choice(shared[kind]) for kind in KINDS[4:])]
        chosen.append([_place(table[kind], rows.numbers(part))
                       for kind, part in zip(KINDS, parts, strict=True)])
    return regimes, table, chosen


def _place(table, numbers):
    """Where the numbers of a record stand in a table; they are added if they are new."""
    if numbers not in table:
        table.append(numbers)
    return table.index(numbers)


def row(table, indices):
    """All numbers of a shot, in the order of the kernel's rows."""
    parts = [table[kind][index] for kind, index in zip(KINDS, indices, strict=True)]
    return np.concatenate(parts)


def arguments(table, indices):
    """What `play` is called with for a shot; nothing is drawn."""
    empty = np.empty(0)
    drawings = [kind(*[empty] * len(kind._fields))
                for kind in (contact.History, flight.Drawing, ground.Trace)]
    return (situation_at(row(table, indices)), *drawings, 0)


def calls(golden):
    """The calls of `play` that belong to what `load` gives."""
    return [("play", arguments(golden["kinds"], indices)) for indices in golden["shots"]]


def answers(played):
    """The answers that are kept, from a record or from an object of a browser."""
    if hasattr(played, "_asdict"):
        return [getattr(getattr(played, part), name) for part in ANSWERS for name in ANSWERS[part]]
    return [played[part][name] for part in ANSWERS for name in ANSWERS[part]]


def load():
    """What `golden/shots.json` holds."""
    return json.loads(FILE.read_text(encoding="utf-8"))


def main():
    """Write the file; every answer must be a number."""
    regimes, table, chosen = inputs()
    results = [answers(shot.play(*arguments(table, indices))) for indices in chosen]
    wrong = [k for k, row in enumerate(results) if not all(map(math.isfinite, row))]
    if wrong:
        raise SystemExit(f"no number in shots {wrong[:10]}")
    whole = {"kinds": {kind: table[kind] for kind in KINDS}, "regimes": regimes, "shots": chosen,
             "names": NAMES, "answers": results}
    text = json.dumps(whole, separators=(",", ":")).replace("],[", "],\n[")
    FILE.parent.mkdir(exist_ok=True)
    FILE.write_text(text + "\n", encoding="utf-8")
    print(f"{FILE.relative_to(HERE.parent)}: {len(results)} shots, {len(text) / 1e3:.0f} kB")


if __name__ == "__main__":
    main()
