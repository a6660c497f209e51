"""Readers fed what nobody meant to write: a few of the fuzzer's inputs in every run, and Hypothesis on sessions and units.

Properties, not values: nothing but our own errors, nothing lost, what is read is read the same again (J).
"""

import random
import tempfile
from pathlib import Path

import fuzz
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from spinlab.evidence.journal import Field, Journal
from spinlab.evidence.lines import seal, unseal
from spinlab.units import UNITS, unit


@pytest.mark.parametrize("target, kinds", fuzz.seeds().items(), ids=lambda kind: getattr(kind, "__name__", ""))
def test_mutated_inputs(target, kinds, tmp_path):
    assert fuzz.tried(target, kinds, 40, 7, tmp_path)[:2] == (40, 0)


def test_the_fuzzer_finds_a_fault_and_names_its_seed(tmp_path, capsys):
    def brittle(data, _):
        assert b"\xff" not in data

    assert fuzz.tried(brittle, [b"\xff" * 9], 3, 1, tmp_path)[1] > 0
    assert "FAULT brittle, seed" in capsys.readouterr().out


@given(st.binary(max_size=300))
@settings(max_examples=60, deadline=None, derandomize=True)
def test_any_bytes_as_a_unit_a_cell_or_what_stands_beside_a_table(data):
    with tempfile.TemporaryDirectory() as folder:
        for target in (fuzz.unit, fuzz.cell, fuzz.beside, fuzz.session):
            target(data, Path(folder))


CELLS = st.lists(st.text(st.characters(codec="utf-8"), max_size=12), min_size=1, max_size=6)


@given(st.lists(CELLS, min_size=1, max_size=8),
       st.sampled_from([",", ";", "\t", "|"]), st.sampled_from(["\n", "\r\n", "\r"]),
       st.sampled_from(["utf-8", "utf-8-sig", "utf-16", "utf-32"]))
@settings(max_examples=40, deadline=None, derandomize=True)
def test_any_words_in_the_shape_of_a_table(rows, separator, end, coding):
    """Known headings above, anything below: read, set apart or refused, and every line is accounted for."""
    lines = ["condition,spin rate [rpm],carry [m]".replace(",", separator), *(separator.join(row) for row in rows)]
    fuzz.table(end.join(lines).encode(coding), None)


@given(st.sampled_from(sorted(UNITS)), st.sampled_from(["", " ", "  "]), st.booleans())
@settings(max_examples=60, deadline=None, derandomize=True)
def test_a_unit_is_known_with_blanks_around_it(name, blank, _):
    assert unit(f"{blank}{name}{blank}") is UNITS[name]


@given(st.lists(st.text(max_size=40), min_size=1, max_size=6))
@settings(max_examples=80, deadline=None, derandomize=True)
def test_a_sealed_line_is_one_line_and_opens_to_the_same(cells):
    line = seal(cells)
    opened = unseal(line)
    assert line.count(b"\n") == 1 and line.endswith(b"\n") and len(opened) == len(cells)
    assert seal(opened) == line


@given(st.lists(st.text(max_size=30), min_size=1, max_size=5), st.integers(0, 10_000), st.integers(1, 255))
@settings(max_examples=80, deadline=None, derandomize=True)
def test_a_line_with_any_byte_changed_does_not_open(cells, place, change):
    """CRC-32 finds every error within 32 bits (Koopman 2002, M)."""
    line = bytearray(seal(cells))
    place %= len(line) - 1  # its end may be turned into CR LF
    line[place] ^= change
    opened = unseal(bytes(line))
    assert opened is None or bytes(line[place:place + 1]) in (b"\r", b"\n") or seal(opened)[:-1] == bytes(line[:-1])


@pytest.mark.parametrize("seed", range(5))
def test_a_damaged_session_keeps_every_undamaged_shot(tmp_path, seed):
    """Some bytes of some lines are changed: the shots of all other lines stand."""
    chance, path = random.Random(seed), tmp_path / "a.journal"
    journal = Journal.create(path, fields=[Field.of("condition"), Field.of("spin_rate")])
    for k in range(30):
        journal.write("shot", cells={"condition": "dry", "spin_rate": str(3000 + k)})
    lines = path.read_bytes().split(b"\n")
    hit = chance.sample(range(30), 5)
    for k in hit:
        place = len(lines) - 31 + k
        damaged = bytearray(lines[place])
        damaged[chance.randrange(len(damaged))] ^= 0x15
        lines[place] = bytes(damaged).replace(b"\n", b"?")
    path.write_bytes(b"\n".join(lines))
    again = Journal.open(path)
    assert [int(shot.cells["spin_rate"]) - 3000 for shot in again.shots.values()] == [k for k in range(30) if k not in hit]
    assert len(again.notes) == 5
