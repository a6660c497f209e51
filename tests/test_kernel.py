"""The kernel as code: its examples, its rows, and plain Python beside compiled code."""

import dataclasses
import inspect
import json
import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from cases import REGIMES, strikes

from spinlab import records
from spinlab.kernel import nouns, rows
from spinlab.physics.rows import table
from spinlab.physics.shot import play
from spinlab.records import Air, Green
from spinlab.units import deg

ROOT = Path(__file__).resolve().parent.parent
PLAIN = os.environ | {"SPINLAB_PLAIN": "1"}
SHOTS = 44


# -- examples ----------------------------------------------------------------------------------------

DOCTESTS = """
import doctest, importlib, pkgutil, spinlab.kernel, json
names = ["spinlab.fields", "spinlab.records", "spinlab.physics.contact"]
names += ["spinlab.kernel." + module.name for module in pkgutil.iter_modules(spinlab.kernel.__path__)]
print(json.dumps({name: doctest.testmod(importlib.import_module(name)) for name in names}))
"""


def test_examples_in_the_docstrings():
    """Plain Python runs them: a compiled function hides its own from the finder of examples."""
    done = subprocess.run([sys.executable, "-c", DOCTESTS], cwd=ROOT, env=PLAIN, capture_output=True,
                          encoding="utf-8", check=True)
    answer = done.stdout.splitlines()[-1]
    counts = json.loads(answer)
    assert not {name: failed for name, (failed, _) in counts.items() if failed}, done.stdout
    asked = {name for name, (_, tried) in counts.items() if tried}
    assert {"spinlab.kernel." + name for name in ("water", "air", "film", "ground", "compiled")} <= asked
    assert {"spinlab.fields", "spinlab.physics.contact"} <= asked


# -- rows --------------------------------------------------------------------------------------------


def flat(record):
    """The numbers of a kernel record in the order of its fields, nested ones in their place."""
    for value in record:
        if isinstance(value, tuple):
            yield from flat(value)
        else:
            yield value


READERS = [(kind, getattr(rows, f"{kind.lower()}_at")) for kind in (
    "Delivery", "Grooves", "Face", "Ball", "Between", "Assumptions", "Launch", "Air", "Aerodynamics",
    "Arrival", "Green")]


def test_every_reader_of_rows_is_looked_at():
    readers = {name for name, _ in inspect.getmembers(rows) if name.endswith("_at")}
    assert readers == {f"{kind.lower()}_at" for kind, _ in READERS} | {"situation_at"}


@pytest.mark.parametrize("kind, reader", READERS, ids=[kind for kind, _ in READERS])
def test_a_row_comes_back_in_the_order_of_the_fields(kind, reader):
    """Identity: every number of the row is another, so a field that is swapped or left out is seen."""
    row = 100.0 + np.arange(40.0)
    found = reader(row, 3)
    assert type(found) is getattr(nouns, kind)
    numbers = list(flat(found))
    assert numbers == [103.0 + i for i in range(len(numbers))]


def test_the_row_of_a_shot_holds_its_records_one_after_the_other():
    """Identity: no number of the row is asked for twice and none is left out."""
    row = 100.0 + np.arange(float(rows.ROW_LENGTH))
    assert list(flat(rows.situation_at(row))) == row.tolist()


def within(kind, start):
    """A record with another value in each field, and the values by name."""
    checked = [field for field in dataclasses.fields(kind) if "low" in field.metadata]
    values = {}
    for number, field in enumerate(checked, start):
        low, high = field.metadata["low"], field.metadata["high"]
        values[field.name] = low + (high - low) * (0.30 + 0.003 * number)
    return values


TABLED = [records.Delivery, records.Ball, records.Between, records.Assumptions, records.Launch,
          records.Air, records.Aerodynamics, records.Green, records.Grooves]


@pytest.mark.parametrize("kind", TABLED, ids=lambda kind: kind.__name__)
def test_the_table_puts_each_field_where_the_kernel_reads_it(kind):
    """Identity: field by field, by name, through the row."""
    reader = dict(READERS)[kind.__name__]
    values = within(kind, 1)
    row = table((), kind(**values))[0]
    assert len(row) == len(values)
    assert reader(np.append(row, np.zeros(10)), 0)._asdict() == values


def test_a_face_in_the_table():
    """A face carries its grooves; where it has none, they hold nothing and lie as far apart as any."""
    grooves = within(records.Grooves, 1)
    values = within(records.Face, 10)
    row = table((), records.Face(grooves=records.Grooves(**grooves), **values))[0]
    face = rows.face_at(row, 0)._asdict()
    assert face.pop("grooves")._asdict() == grooves and face == values
    plain = rows.face_at(table((), records.Face(grooves=None))[0], 0).grooves
    assert (plain.width, plain.depth) == (0.0, 0.0)
    assert plain.separation >= records.Grooves.__dataclass_fields__["separation"].metadata["high"]


def test_many_shots_are_many_rows():
    """A number stands in every row, an array one by one."""
    loft = np.array([0.5, 0.6, 0.7])
    rows_of = table((3,), records.Delivery(head_speed=20.0, dynamic_loft=loft), 7.0)
    assert rows_of[:, 0].tolist() == [20.0] * 3 and rows_of[:, 1].tolist() == loft.tolist()
    assert rows_of[:, -1].tolist() == [7.0] * 3


# -- plain Python ------------------------------------------------------------------------------------


def shots():
    """Whole shots of every regime, four of each: their numbers by name, in nested lists."""
    rng = np.random.default_rng(31)
    told = []
    for regime, case in strikes(SHOTS, seed=30):
        air = Air(wind=rng.uniform(-8, 8), crosswind=rng.uniform(-8, 8), humidity=rng.uniform(0, 1))
        green = Green(speed=rng.uniform(2.0, 4.0), slope=rng.uniform(-3, 3) * deg,
                      friction=rng.uniform(0.1, 0.5), tilt=rng.uniform(0.5, 1.8))
        shot = play(case.arriving, case.face, case.ball, case.between, air, green, assume=case.assume,
                    direction=rng.uniform(-0.1, 0.1), spin_tilt=rng.uniform(-0.2, 0.2), history=True,
                    points=9, trace=5)
        numbers = {}
        for part in (shot.launch, shot.launch.contact, shot.launch.contact.history, shot.path, shot.rest):
            for name, value in vars(part).items():
                if isinstance(value, (bool, int, float, np.ndarray)):
                    numbers[f"{type(part).__name__}.{name}"] = np.asarray(value, float).tolist()
        told.append((regime, numbers))
    return told


def test_plain_python_gives_the_numbers_of_compiled_code():
    """Within 1e-12 of each number, or of the largest of its line where it passes through zero."""
    code = "import json, test_kernel; print(json.dumps(test_kernel.shots()))"
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT / "tests", capture_output=True, check=True,
                          encoding="utf-8", env=PLAIN | {"PYTHONPATH": str(ROOT)})
    plain = json.loads(done.stdout)
    compiled = shots()
    assert {regime for regime, _ in compiled} == set(REGIMES)
    assert len(plain) == len(compiled) == SHOTS
    worst = {}
    for (_, one), (_, other) in zip(plain, compiled):
        assert one.keys() == other.keys() and len(one) > 40
        for name, value in other.items():
            value = np.array(value)
            size = max(np.abs(value).max(), 1e-300)
            worst[name] = max(worst.get(name, 0.0), np.abs(value - np.array(one[name])).max() / size)
    assert not {name: miss for name, miss in worst.items() if not miss <= 1e-12}
