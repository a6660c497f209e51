"""Tables of shots: what is read, set apart, refused and asked.

The hostile tables and what must come of each were written by hand (J); numbers in them are checked through
`spinlab.units` and, where a unit's definition matters, against it directly.
"""

import csv
import io
import json
import zipfile
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from spinlab.evidence import table
from spinlab.evidence.intake import cells as cells_module
from spinlab.evidence.intake import sheet as sheet_module
from spinlab.evidence.intake.columns import COLUMNS, heading
from spinlab.units import UNITS, unit

HOSTILE = Path(__file__).parent / "hostile"
DATA = Path(__file__).parent.parent / "data"
CASES = json.loads((HOSTILE / "index.json").read_text(encoding="utf-8"))


def shown(values):
    """A column as plain values, None where missing."""
    return [None if value is None or value != value else value for value in values]


def test_every_hostile_table_is_in_the_index():
    files = {path.name for path in HOSTILE.iterdir() if path.name != "index.json"}
    assert files == {case["file"] for case in CASES}
    assert len(files) >= 60


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["file"])
def test_hostile(case):
    """Each table comes out as its line in the index says."""
    path = HOSTILE / case["file"]
    options = case.get("read_with", {})
    if "error" in case:
        with pytest.raises(table.TableError) as caught:
            table.read(path, **options)
        assert case["error"] in str(caught.value)
        return
    got = table.read(path, **options)
    wanted = {"shots": case["shots"], "set apart": case["apart"], "refused": case["refused"]}
    assert got.counts == {"read": sum(wanted.values())} | wanted, got.report()
    check_values(got.frame, case)
    check_sayings(got, case)
    assert got.report().startswith(f"“{case['file']}”")


def check_values(frame, case):
    for label, values in case.get("values", {}).items():
        name, _, spelled = label.rpartition(" ")
        if name in COLUMNS and spelled in UNITS:
            assert unit(spelled).from_si(frame[name].to_numpy()) == pytest.approx(
                [np.nan if value is None else value for value in values], nan_ok=True), label
        else:
            assert shown(frame[label]) == values, label
    for label, value in case.get("first", {}).items():
        name, _, spelled = label.rpartition(" ")
        one = frame[name or label].iloc[0]
        assert (unit(spelled).from_si(one) if name else one) == (pytest.approx(value) if name else value)
    if "dates" in case:
        assert list(frame["date"]) == list(pd.to_datetime(case["dates"]))
    if "conditions" in case:
        assert frame["condition"].nunique() == case["conditions"]
    assert not set(case.get("absent", [])) & set(frame.columns)


def check_sayings(got, case):
    if "asked" in case:
        assert list(got.asked["column"]) == case["asked"], got.report()
    for key, column in (("refused_lines", "line"), ("refused_columns", "column"), ("refused_values", "value")):
        if key in case:
            assert list(got.refused[column]) == case[key]
    if "apart_lines" in case:
        assert list(got.set_apart["line"]) == case["apart_lines"]
    if "note" in case:
        assert any(case["note"] in note for note in got.notes)
    for told in (got.refused["reason"], got.refused["cure"], got.set_apart["reason"]):
        assert all(told), "a line is refused or set apart without a word"


@pytest.mark.parametrize("case", [case for case in CASES if "shots" in case and not case["file"].endswith(".xlsx")],
                         ids=lambda case: case["file"])
def test_no_line_is_lost(case):
    """read = shots + set apart + refused = the lines that hold anything, counted without our reader."""
    got = table.read(HOSTILE / case["file"], **case.get("read_with", {}))
    content = (HOSTILE / case["file"]).read_bytes()
    codings = {"utf16_mark.csv": "utf-16", "utf16_big_no_mark.csv": "utf-16-be", "utf32_mark.csv": "utf-32"}
    text = content.decode(codings.get(case["file"], "latin-1")).replace("\r\n", "\n").replace("\r", "\n")
    filled = sum(bool(line.strip(" ,;\t|")) for line in text.split("\n"))
    assert got.counts["read"] == filled - case.get("unread", 0)
    lines = [*got.frame.index, *got.set_apart["line"], *got.refused["line"]]
    assert len(lines) == len(set(lines)), "a line stands in two places"


def test_refused_lines_are_kept_whole():
    got = table.read("Condition,Spin rate [rpm],Note\ndry,64o0,first\nwet,3100,\n")
    assert got.refused.loc[0, "row"] == ("dry", "64o0", "first")
    assert got.refused.loc[0, "line"] == 2


def test_units_by_their_definitions():
    """1 mile = 1609.344 m, 1 yd = 0.9144 m exactly (international yard and pound agreement of 1959; M)."""
    text = "Head speed [mph],Carry [yd],Apex [ft],Spin rate [rpm],Launch angle [°]\n45,50,20,6000,30\n"
    got = table.read(text).frame.iloc[0]
    assert got["head_speed"] == pytest.approx(45 * 1609.344 / 3600)
    assert got["carry"] == pytest.approx(45.72)
    assert got["apex"] == pytest.approx(6.096)
    assert got["spin_rate"] == pytest.approx(200 * np.pi)
    assert got["launch_angle"] == pytest.approx(np.pi / 6)


def test_plain_numbers_as_pandas_reads_them():
    """A clean table gives the numbers that `pandas.read_csv` gives (reference library)."""
    path = DATA / "pitch_states.csv"
    plain, got = pd.read_csv(path), table.read(path).frame
    for header in plain.columns:
        found = heading(header)
        if found.unit:
            ours = unit(found.unit).from_si(got[found.name].to_numpy())
            assert ours == pytest.approx(plain[header].to_numpy(), nan_ok=True)


def test_decimal_commas_as_pandas_reads_them():
    rng = np.random.default_rng(3)
    speed, spin = rng.normal(20, 1, 200).round(2), rng.normal(6000, 500, 200).round(1)
    frame = pd.DataFrame({"Head speed [m/s]": speed, "Spin rate [rpm]": spin})
    text = frame.to_csv(index=False, sep=";", decimal=",")
    plain, got = pd.read_csv(io.StringIO(text), sep=";", decimal=","), table.read(text).frame
    assert got["head_speed"].to_numpy() == pytest.approx(plain["Head speed [m/s]"].to_numpy())
    assert got["spin_rate"].to_numpy() * 60 / (2 * np.pi) == pytest.approx(plain["Spin rate [rpm]"].to_numpy())


@pytest.mark.parametrize("text, value", [
    ("1,234.5", 1234.5), ("1.234,5", 1234.5), ("1 234,5", 1234.5), ("1'234.5", 1234.5), ("1,234,567", 1234567.0),
    ("0,125", 0.125), (".5", 0.5), (",5", 0.5), ("12.", 12.0), ("−0,5", -0.5), ("007", 7.0), ("1234,567", 1234.567),
    ("12.3456", 12.3456)])
def test_numbers_that_can_be_read_in_one_way(text, value):
    for mark in (".", ",", None):
        assert cells_module.number(text, mark).value == value


@pytest.mark.parametrize("text", ["1,23,4", "1.2.3", "12,34.5", "1 23", "--5", "5-", "½", "0x10", "1_000", "a5", "5%%", "٣a",
                                  "1:30"])
def test_texts_that_are_no_number(text):
    """Neither by itself nor as a whole column."""
    got = table.read(f"Condition;Spin rate [rpm];Carry [m]\nwet;{text};42\ndry;6000;43\n")
    assert list(got.refused["line"]) == [2]


def test_doubtful_thousands_are_not_guessed():
    """“5,125” is five thousand or a little more than five; without a sign of which, neither is taken."""
    assert cells_module.number("5,125", None).unsure
    assert np.isnan(cells_module.number("5,125", None).value)


def test_told_units_come_before_everything(tmp_path):
    text = "Head speed [mph],Spin rate [rpm]\n20,6000\n20.5,6100\n"
    assert table.read(text, units={"Head speed [mph]": "m/s"}).frame["head_speed"].tolist() == [20, 20.5]
    assert table.read(text, units={"head_speed": "m/s"}).frame["head_speed"].tolist() == [20, 20.5]


def test_what_was_said_once_is_remembered(tmp_path):
    path = tmp_path / "mine, ö.csv"
    path.write_text("Tempo,Pace,Carry\n45,9,47\n46,9,48\n", encoding="utf-8")
    with pytest.raises(table.TableError):
        table.read("Tempo,Pace\n45,9\n")
    table.remember(path, columns={"Tempo": "head_speed"}, units={"Tempo": "mph"})
    table.remember(path, units={"Carry": "yd"})
    got = table.read(path)
    assert got.frame["head_speed"].tolist() == pytest.approx([45 * 0.44704, 46 * 0.44704])
    assert got.frame["carry"].tolist() == pytest.approx([47 * 0.9144, 48 * 0.9144])
    assert list(got.asked["column"]) == []
    assert list(table.read(path, sidecar=False).asked["column"]) == ["Carry"]
    assert {p.name for p in tmp_path.iterdir()} == {path.name, path.name + ".columns.json"}


@pytest.mark.parametrize("broken", ["", "{", "[]", "[" * 5000, '{"format": "other"}',
                                    '{"format": "spinlab columns", "version": 2}',
                                    '{"format": "spinlab columns", "version": 1, "columns": {"A": "no such"}}',
                                    '{"format": "spinlab columns", "version": 1, "units": {"A": 5}}',
                                    '{"format": "spinlab columns", "version": 1, "columns": 3}'])
def test_a_broken_sidecar_is_told_and_not_used(tmp_path, broken):
    path = tmp_path / "mine.csv"
    path.write_text("Spin rate [rpm],Carry [yd]\n6000,47\n", encoding="utf-8")
    (tmp_path / "mine.csv.columns.json").write_text(broken, encoding="utf-8")
    got = table.read(path)
    assert len(got.frame) == 1
    assert any("mine.csv.columns.json" in note and "not used" in note for note in got.notes)


@pytest.mark.parametrize("options, said", [
    ({"units": {"Spin": "furlongs"}}, "furlongs"), ({"columns": {"Spin": "spinn"}}, "spinn"),
    ({"units": ["mph"]}, "units must map"), ({"columns": {"Spin": 5}}, "no column here")])
def test_wrong_answers_are_refused(options, said):
    with pytest.raises(table.TableError, match=said):
        table.read("Spin,Carry [yd]\n6000,47\n", **options)


@pytest.mark.parametrize("source, said", [("no such file.csv", "no file"), (5, "path, bytes or pasted text"),
                                          (Path("."), "not a file"), ("x" * 5000, "cannot be opened|no file"),
                                          ("a\0b", "cannot be opened|no file")])
def test_sources_that_are_none(source, said):
    with pytest.raises(table.TableError, match=said):
        table.read(source)


def test_all_sources_give_the_same():
    path = DATA / "pitch_states.csv"
    wanted = table.read(path).frame
    with path.open("rb") as opened:
        for source in (str(path), path.read_bytes(), path.read_text(encoding="utf-8"), opened):
            pd.testing.assert_frame_equal(table.read(source).frame, wanted)


def test_packed_bomb(tmp_path):
    """A small workbook that unpacks to 300 MB is refused before it is unpacked."""
    packed = io.BytesIO()
    archive = zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED)
    with archive, archive.open("xl/worksheets/sheet1.xml", "w") as part:
        for _ in range(300):
            part.write(b"0" * 1_000_000)
    assert len(packed.getvalue()) < 1_000_000
    with pytest.raises(table.TableError, match="unpacks to more than"):
        table.read(packed.getvalue())


def test_growing_document_type():
    """A workbook part that declares entities (they can grow without end) is refused."""
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as archive:
        archive.writestr("xl/workbook.xml", '<?xml version="1.0"?><!DOCTYPE a [<!ENTITY b "c">]><a>&b;</a>')
    with pytest.raises(table.TableError, match="not a plain workbook"):
        table.read(packed.getvalue())


@pytest.mark.parametrize("content", [b"," * 1_000_000, b"Spin rate [rpm]" + b"\n" * 600_000, b'"' * 300_000,
                                     b'"\n' * 600_000, b"Spin rate [rpm],Note\n1," + b"x" * 190_000, b"a " * 150_000,
                                     b"(" * 150_000 + b"\n"],
                         ids=["a million columns", "many lines", "quotation marks", "quotation marks in lines",
                              "one giant cell", "blanks", "brackets"])
def test_pathological_sizes(content):
    with pytest.raises(table.TableError):
        table.read(content)


def test_larger_than_allowed(monkeypatch):
    monkeypatch.setattr(sheet_module, "MAX_BYTES", 1000)
    with pytest.raises(table.TableError, match="larger than"):
        table.read(b"Spin rate [rpm]\n" + b"6000\n" * 500)


def test_demonstration_tables_are_as_their_readme_says():
    main = table.read(DATA / "pitch_states.csv")
    assert main.counts == {"read": 50, "shots": 49, "set apart": 1, "refused": 0}
    assert main.frame.groupby(["condition", "ball"]).size().between(6, 10).all()
    assert int(main.frame[["dynamic_loft", "spin_rate"]].isna().sum().sum()) == 3
    metric = table.read(DATA / "wet_and_dry_metric.csv")
    assert metric.counts == {"read": 14, "shots": 12, "set apart": 2, "refused": 0}
    assert metric.frame["side"].min() < 0 < metric.frame["side"].max()
    book = table.read(DATA / "towel_and_tee.xlsx")
    assert book.counts == {"read": 9, "shots": 6, "set apart": 3, "refused": 0}
    assert all(one.asked.empty for one in (main, metric, book))


def test_demonstration_wet_against_dry():
    """Water poured on face and ball: spin ×0.40–0.65, launch +6…+11°, carry about the same (common practice, no source)."""
    for name in ("pitch_states.csv", "wet_and_dry_metric.csv"):
        frame = table.read(DATA / name).frame
        frame = frame[frame["ball"] == "soft cover A"]
        middle = frame.groupby("condition")[["spin_rate", "launch_angle", "carry"]].median()
        assert 0.40 < middle.loc["wet", "spin_rate"] / middle.loc["dry", "spin_rate"] < 0.65
        assert 6 < np.degrees(middle.loc["wet", "launch_angle"] - middle.loc["dry", "launch_angle"]) < 11
        assert abs(middle.loc["wet", "carry"] - middle.loc["dry", "carry"]) < 2


def test_the_maker_makes_these_tables(tmp_path):
    """`data/make_tables.py` gives the tables that stand beside it."""
    import runpy

    maker = runpy.run_path(str(DATA / "make_tables.py"))
    maker["main_table"].__globals__["HERE"] = tmp_path
    import random

    for seed, make in ((56, "main_table"), (57, "european_table"), (58, "small_workbook")):
        maker[make](random.Random(seed))
    for name in ("pitch_states.csv", "wet_and_dry_metric.csv"):
        assert (tmp_path / name).read_bytes() == (DATA / name).read_bytes()
    made, kept = (table.read(folder / "towel_and_tee.xlsx").frame for folder in (tmp_path, DATA))
    pd.testing.assert_frame_equal(made, kept)


# what anyone might type, and what anyone might hand over

WORDS = st.sampled_from([
    "Spin rate [rpm]", "Head speed", "Carry [yd]", "Condition", "Shot", "Average", "dry", "", "-", "6,450", "1.5°", "4 L",
    "mph", "45 mph", "#N/A", "Date", "2026-13-45", "31/02/2026", '"', "=", "−", "1e400", "nan", "σ"])
CELLS = st.one_of(WORDS, WORDS, st.text(max_size=12), st.floats(allow_nan=True).map(str), st.integers().map(str))
GRIDS = st.lists(st.lists(CELLS, min_size=1, max_size=6), min_size=1, max_size=8)


def adds_up(source):
    """Read anything: either `TableError`, or counts that add up and a report."""
    try:
        got = table.read(source)
    except table.TableError as error:
        assert len(str(error)) > 10
        return None
    lines = [*got.frame.index, *got.set_apart["line"], *got.refused["line"]]
    assert got.counts["read"] == len(lines) == len(set(lines))
    assert got.report()
    for name in set(got.frame.columns) & set(COLUMNS):
        if COLUMNS[name].measured:
            values = got.frame[name].to_numpy(dtype=float)
            assert not np.isinf(values).any()
    return got


@settings(max_examples=150, deadline=None, derandomize=True)
@given(GRIDS, st.sampled_from(",;\t|"))
def test_any_cells(grid, separator):
    """Every row with anything in it is found again."""
    text = io.StringIO()
    csv.writer(text, delimiter=separator, lineterminator="\n").writerows([["Spin rate [rpm]", "Condition", "Carry"], *grid])
    adds_up(text.getvalue().encode("utf-8", errors="replace"))


@settings(max_examples=150, deadline=None, derandomize=True)
@given(st.one_of(st.binary(max_size=300), st.binary(max_size=200).map(lambda tail: b"Spin rate [rpm],Condition\n" + tail),
                 st.binary(max_size=100).map(lambda tail: b"PK\x03\x04" + tail)))
def test_any_bytes(content):
    adds_up(content)


@settings(max_examples=100, deadline=None, derandomize=True)
@given(st.integers(0, 6000), st.integers(0, 255))
def test_a_workbook_with_one_byte_changed(place, value):
    content = bytearray((HOSTILE / "workbook_texts.xlsx").read_bytes())
    content[place % len(content)] = value
    adds_up(bytes(content))


@settings(max_examples=300, deadline=None, derandomize=True)
@given(st.text(alphabet="0123456789.,' -−+eELR°mphrd", max_size=14), st.sampled_from([".", ",", None]))
def test_any_number_text(text, mark):
    """A cell gives a finite number or says what is wrong, never both, never neither."""
    found = cells_module.number(text, mark)
    assert bool(found.problem) != bool(np.isfinite(found.value))


@settings(max_examples=200, deadline=None, derandomize=True)
@given(st.floats(-1e6, 1e6, allow_nan=False), st.integers(0, 6))
def test_numbers_come_back(value, digits):
    """What Python writes, with either mark and with thousands set apart, is read as the same number."""
    plain, grouped = f"{value:.{digits}f}", f"{value:,.{digits}f}"
    swap = str.maketrans(",.", ".,")
    assert cells_module.number(plain, ".").value == float(plain)
    assert cells_module.number(plain.translate(swap), ",").value == float(plain)
    assert cells_module.number(grouped, ".").value == float(plain)
    assert cells_module.number(grouped.translate(swap), ",").value == float(plain)
