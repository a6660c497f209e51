"""Feed the readers bytes that nobody meant to write: ``python tests/fuzz.py``.

Tables, units, what is kept beside a table, sessions and typed cells are given seeded mutations of good and of hostile ones.
They may refuse with their own error and words; anything else is a fault, printed with the seed that makes it again.  What
they take must hold together: no line of a table is lost, no shot of an undamaged line of a session.

``--guided SECONDS`` lets atheris look for new paths instead, where it is installed (``pip install atheris``).
"""

import argparse
import random
import resource
import sys
import tempfile
import time
from pathlib import Path

HERE = Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parent))
WORDS = [b",", b";", b"\t", b"\n", b"\r\n", b'"', b"'", b"[mph]", b"[\xc2\xb0]", b"rpm", b"Spin rate", b"dry", b"1e309",
         b"-0", b"NaN", b"\x00", b"\xff\xfe", b"\xef\xbb\xbf", b"\xe2\x88\x92", b"1,234.5", b"1.234,5", b"=1+1",
         b"PK\x03\x04", b"{", b"}", b"[" * 40, b"9" * 400, b"sep=;\n", b"\xf0\x9f\x8f\x8c", b"0x1F", b"\\u0000", b"null",
         b"true", b"average", b"12/11/10"]


def mutated(seeds, chance) -> bytes:
    """One of the seeds, changed in a few places."""
    data = bytearray(chance.choice(seeds))
    for _ in range(chance.choice((1, 1, 2, 4, 16))):
        place, length = chance.randrange(len(data) + 1), chance.choice((1, 2, 8, 64))
        kind = chance.randrange(6)
        if kind == 0:
            data[place:place + length] = chance.randbytes(length)
        elif kind == 1:
            data[place:place] = chance.choice(WORDS)
        elif kind == 2:
            del data[place:place + length]
        elif kind == 3:
            data[place:place] = data[place:place + length] * chance.choice((1, 3, 50))
        elif kind == 4:
            other = chance.choice(seeds)
            data[place:] = other[chance.randrange(len(other) + 1):]
        elif data:
            data[place % len(data)] ^= 1 << chance.randrange(8)
    return bytes(data[:200_000])


# -- what is tried ----------------------------------------------------------------------------------------------------


def table(data, _):
    """A table from bytes."""
    from spinlab.evidence.table import TableError, read

    try:
        read_table = read(data)
    except TableError as why:
        assert str(why)
        return
    counts = read_table.counts
    assert counts["read"] == counts["shots"] + counts["set apart"] + counts["refused"]
    assert read_table.report() and read_table.frame.index.is_unique


def unit(data, _):
    """A unit's name."""
    from spinlab.units import unit as read_unit

    try:
        read = read_unit(data.decode("utf-8", "surrogateescape"))
    except ValueError as why:
        assert "is not known" in str(why)
        return
    assert abs(read.from_si(read.to_si(2.5)) - 2.5) < 1e-6


def beside(data, folder):
    """What is kept beside a table."""
    from spinlab.evidence.intake.sidecar import recall, sidecar_path

    sidecar_path(folder / "t.csv").write_bytes(data)
    (columns, units), note = recall(folder / "t.csv")
    assert not note or not columns and not units


def session(data, folder):
    """A session."""
    from spinlab.evidence.journal import Journal, JournalError
    from spinlab.evidence.lines import unseal

    path = folder / "s.journal"
    path.write_bytes(data)
    try:
        journal = Journal.open(path)
    except JournalError as why:
        assert str(why)
        return
    assert len(journal.frame) == sum(not shot.deleted for shot in journal.shots.values())
    rows = [row for row in map(unseal, data.split(b"\n")) if row and len(row) == 4 + len(journal.fields)]
    good = sum(row[1] == "shot" for row in rows)
    assert sum(line.what == "shot" for line in journal.lines) <= good
    journal.write("shot", cells={"condition": "dry"})
    assert Journal.open(path).lines[-1].what == "shot"


def cell(data, _):
    """A cell as it is typed."""
    from spinlab.evidence.journal import Field

    typed = data.decode("utf-8", "replace")[:300]
    for name in ("spin_rate", "attack_angle", "carry", "condition", "note"):
        field = Field.of(name)
        try:
            read = field.read(typed)
        except ValueError as why:
            assert str(why)
            continue
        assert field.read(read) == read, (name, typed, read)


def seeds():
    """Good and hostile ones of every kind, by what they are tried on."""
    from spinlab.evidence.intake.columns import COLUMNS
    from spinlab.evidence.journal import Field, Journal
    from spinlab.units import UNITS

    tables = [path.read_bytes() for path in sorted((HERE / "hostile").iterdir()) if path.suffix != ".json"]
    tables = [data for data in tables if len(data) < 60_000]
    asides = ['{"format": "spinlab columns", "version": 1, "columns": {"Tempo": "head_speed"}, "units": {"Tempo": "mph"}}',
              '{"format": "spinlab columns", "version": 1, "columns": {"a": null}, "units": {"b": "° down"}}', "[]", "{}"]
    with tempfile.TemporaryDirectory() as folder:
        fields = [Field.of(name) for name in ("condition", "spin_rate", "note")]
        journal = Journal.create(Path(folder) / "a.journal", name="evening", player="Robin", conditions=("dry", "wet"),
                                 fields=fields, order=("dry", "wet"))
        then = "2026-05-04T10:31:07"
        for k in range(6):
            journal.write("shot", cells={"condition": "dry", "spin_rate": str(6000 + k), "note": "ß"}, time=then)
        journal.write("correct", shot=2, cells={"condition": "wet", "spin_rate": "1"}, time=then)
        for what, shot in (("delete", 3), ("undo", None), ("finish", None)):
            journal.write(what, shot=shot, time=then)
        whole = journal.path.read_bytes()
    cells = ["6450", "−6,5", "1.234", "45 mph", "", "dry", "  x ", "1e3", "½", *list(COLUMNS)[:4]]
    return {table: tables, unit: [name.encode() for name in [*UNITS, "(MPH)", "deg.", "metres per second"]],
            beside: [text.encode() for text in asides], session: [whole, whole[:-9], whole.replace(b"\n", b"\r\n")],
            cell: [text.encode() for text in cells]}


# -- going through them -----------------------------------------------------------------------------------------------


def tried(target, kinds, count, seed, folder):
    """Inputs tried, faults, and the slowest [s]."""
    faults, slowest = 0, 0.0
    for k in range(count):
        data = mutated(kinds, random.Random(f"{target.__name__} {seed + k}"))
        began = time.process_time()
        try:
            target(data, folder)
        except Exception as fault:  # every kind of fault is what is looked for
            faults += 1
            print(f"FAULT {target.__name__}, seed {seed + k}: {type(fault).__name__}: {fault!s:.200}", flush=True)
        slowest = max(slowest, time.process_time() - began)
    return count, faults, slowest


def guided(seconds, seed):
    """Let atheris search; it ends the process by itself, with a fault's input kept in a file."""
    import atheris

    with atheris.instrument_imports(include=["spinlab"]):
        kinds = seeds()
        for target, known in kinds.items():  # load everything
            tried(target, known, 1, seed, Path(tempfile.gettempdir()))
    targets, folder = list(kinds), Path(tempfile.mkdtemp())

    def one(data):
        if data:
            targets[data[0] % len(targets)](data[1:], folder)

    corpus = folder / "corpus"
    corpus.mkdir()
    for place, target in enumerate(targets):
        for k, data in enumerate(kinds[target]):
            (corpus / f"{target.__name__}-{k}").write_bytes(bytes([place]) + data[:8000])
    atheris.Setup([sys.argv[0], str(corpus), f"-max_total_time={seconds}", f"-seed={seed}", "-max_len=8000", "-timeout=60",
                   "-print_final_stats=1", f"-artifact_prefix={folder}/"], one)
    atheris.Fuzz()


def main(*, inputs=2000, seed=1) -> int:
    """Try all and print the sums; 1 if there was a fault."""
    import warnings

    warnings.simplefilter("error")
    total = 0
    with tempfile.TemporaryDirectory() as folder:
        for target, kinds in seeds().items():
            count, faults, slowest = tried(target, kinds, inputs, seed, Path(folder))
            total += faults
            what = target.__doc__.rstrip(".").lower()
            print(f"{what}: {count} inputs tried, {faults} faults, slowest {slowest:.2f} s", flush=True)
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / (1e6 if sys.platform == "darwin" else 1e3)
    print(f"memory at the peak: {peak:.0f} MB")
    return int(total > 0)


if __name__ == "__main__":
    asked = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    asked.add_argument("--inputs", type=int, default=2000, help="inputs for each reader")
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--guided", type=int, metavar="SECONDS", help="let atheris search for so long")
    chosen = asked.parse_args()
    if chosen.guided:
        guided(chosen.guided, chosen.seed)
    else:
        sys.exit(main(inputs=chosen.inputs, seed=chosen.seed))
