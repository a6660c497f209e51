"""Sessions on disk: nothing confirmed is lost, nothing half-written counts, nothing is ever erased."""

import os
import shutil
import threading
from zlib import crc32

import numpy as np
import pytest
import trial_entry
from hypothesis import given, settings
from hypothesis import strategies as st

from spinlab import Ball, Between, Delivery, Face, strike
from spinlab.evidence import lines
from spinlab.evidence.journal import Field, Journal, JournalError, NotSaved, new_path, sessions
from spinlab.evidence.protocol import Protocol
from spinlab.evidence.screen import Rule, written
from spinlab.evidence.trend import trend
from spinlab.units import deg, mph, rpm

PROTOCOL = Protocol(rule=written(dynamic_loft=(40 * deg, 48 * deg)), units="yards")
FIELDS = [Field.of(name) for name in ("condition", "spin_rate", "note")]


def begun(folder, **options):
    """A new session in a folder."""
    options = {"fields": FIELDS, "name": "evening", "conditions": ("dry", "wet")} | options
    return Journal.create(new_path(folder, options["name"]), **options)


def shot(journal, spin="6450", condition="dry", note=""):
    """Type one shot."""
    return journal.write("shot", cells={"condition": condition, "spin_rate": spin, "note": note})


@pytest.fixture
def journal(tmp_path):
    made = begun(tmp_path)
    shot(made)
    shot(made, "3400", "wet")
    return made


def same(one, other):
    """Do two read the same?"""
    return (one.lines, one.shots, one.fields, one.name) == (other.lines, other.shots, other.fields, other.name)


# -- the format -------------------------------------------------------------------------------------------------------


def test_the_file_is_the_table_its_documentation_says(tmp_path):
    made = begun(tmp_path, player="Robin", order=("dry", "wet"), protocol=PROTOCOL)
    made.write("shot", cells={"condition": "dry", "spin_rate": "6450"}, time="2026-05-04T10:31:07+02:00")
    rows = made.path.read_bytes().decode("utf-8").split("\n")
    assert rows.pop() == "", "the last line is ended"
    for row in rows:
        line, check = row.rsplit("\t", 1)
        assert check == f"{crc32(line.encode()):08x}"  # the library's CRC-32, as documented
    assert [row.rsplit("\t", 1)[0].split("\t") for row in rows] == [
        ["spinlab journal 2", "evening"], ["player", "Robin"], ["conditions", "dry", "wet"], ["order", "dry", "wet"],
        ["units", "yards"], ["rule", "keep", "dynamic_loft [°]", "40", "48"],
        ["line", "what", "time", "shot", "condition", "spin_rate [rpm]", "note"],
        ["1", "shot", "2026-05-04T10:31:07+02:00", "1", "dry", "6450", ""]]
    assert crc32(b"123456789") == 0xCBF43926, "the check value of CRC-32 (common practice, no source)"


def test_a_session_opens_again_where_it_was(journal):
    journal.write("correct", shot=1, cells={"condition": "dry", "spin_rate": "6540", "note": "was misread"})
    journal.write("delete", shot=2)
    again = Journal.open(journal.path)
    assert same(again, journal) and again.notes == []
    assert again.shots[1].cells["spin_rate"] == "6540" and again.shots[1].corrected == 1
    assert again.shots[2].deleted and again.shots[2].cells["spin_rate"] == "3400", "deleted, and still there to read"
    assert [line.cells[1] for line in again.trail(1)] == ["6450", "6540"], "what it was stays"


@pytest.mark.parametrize("rule", [Rule(), PROTOCOL.rule, written(missing="set aside", head_speed=(18.0, None),
                                                                 dynamic_loft=(None, 48 * deg))])
@pytest.mark.parametrize("units", ["metric", "yards"])
def test_rule_and_units_stand_in_the_head(tmp_path, rule, units):
    made = begun(tmp_path, protocol=Protocol(rule=rule, units=units))
    kept = Journal.open(made.path).protocol
    assert kept.units == units and kept.rule.missing == rule.missing
    assert [band[0] for band in kept.rule.bands] == [band[0] for band in rule.bands]
    for band, as_written in zip(kept.rule.bands, rule.bands):
        assert band[1:] == pytest.approx(as_written[1:], rel=1e-9)


def test_a_session_of_format_1_is_read_without_a_rule(tmp_path):
    path = tmp_path / "old.journal"
    path.write_bytes(b"".join(lines.seal(row) for row in (
        ["spinlab journal 1", "old"], ["line", "what", "time", "shot", "condition", "carry [yd]"],
        ["1", "shot", "2026-05-04T10:31:07+02:00", "1", "dry", "40"])))
    old = Journal.open(path)
    assert old.protocol == Protocol(units="yards") and list(old.shots) == [1]
    assert old.title == "“old”, 4 May 2026"


@pytest.mark.parametrize("rows, says", [
    ([["units", "furlongs"]], "units must be"), ([["units", "metric"], ["rule", "keep", "dynamic_loft [°]", "forty", "48"]],
     "which is no number"), ([["units", "metric"], ["rule", "keep", "dynamic_loft [°]", "48", "40"]], "from low to high")])
def test_a_changed_rule_is_refused_in_our_words(tmp_path, rows, says):
    path = tmp_path / "x.journal"
    path.write_bytes(b"".join(lines.seal(row) for row in (["spinlab journal 2", "x"], *rows, [
        "line", "what", "time", "shot", "condition", "carry [m]"])))
    with pytest.raises(JournalError, match=says):
        Journal.open(path)


def test_undo_goes_back_one_by_one_and_erases_nothing(journal):
    journal.write("delete", shot=1)
    before = journal.path.read_bytes()
    journal.write("undo")
    assert not journal.shots[1].deleted
    journal.write("undo")
    assert list(journal.shots) == [1]
    journal.write("undo")
    assert journal.shots == {} and Journal.open(journal.path).shots == {}
    with pytest.raises(JournalError, match="nothing to undo"):
        journal.write("undo")
    assert journal.path.read_bytes().startswith(before)
    assert shot(journal).shot == 1, "numbers have no holes"


def test_correcting_a_deleted_shot_brings_it_back(journal):
    journal.write("delete", shot=2)
    journal.write("correct", shot=2, cells={"condition": "wet", "spin_rate": "3500"})
    assert not journal.shots[2].deleted and journal.shots[2].cells["spin_rate"] == "3500"


def test_the_frame_is_in_si_and_holds_what_stands(journal):
    journal.write("delete", shot=2)
    shot(journal, "", "wet", "no number")
    frame = journal.frame
    assert list(frame.index) == [1, 3]
    # 6450 rpm = 6450·2π/60 = 675.442 rad/s (by hand) [C]
    assert frame["spin_rate"].iloc[0] == pytest.approx(675.4424, abs=1e-3)
    assert np.isnan(frame["spin_rate"].iloc[1]) and frame["note"].tolist() == [None, "no number"]


def test_words_cannot_break_a_line_apart(tmp_path):
    nasty = "a\tb\nc\r\x00\u2028=1+1\ud800é"
    made = begun(tmp_path, name="x\ty\nz")
    shot(made, note=nasty)
    again = Journal.open(made.path)
    assert same(again, made) and again.shots[1].cells["note"] == "a b c =1+1 é" and again.name == "x y z"


# -- faults -----------------------------------------------------------------------------------------------------------


def test_a_file_cut_anywhere_keeps_every_whole_line(journal, tmp_path):
    content = journal.path.read_bytes()
    head = content.index(b"\n1\tshot") + 1
    for cut in range(head, len(content)):
        torn = tmp_path / "torn.journal"
        torn.write_bytes(content[:cut])
        again = Journal.open(torn)
        whole = content[head:cut].count(b"\n")
        assert len(again.lines) == whole
        assert bool(again.notes) == (content[cut - 1:cut] != b"\n")
        number = shot(again, "7000").shot
        assert number == whole + 1 and len(Journal.open(torn).shots) == whole + 1


def test_any_changed_byte_of_a_line_is_noticed(journal, tmp_path):
    content = journal.path.read_bytes()
    start = content.index(b"\n1\tshot") + 1
    end = content.index(b"\n", start)
    for place in range(start, end):
        changed = bytearray(content)
        changed[place] ^= 0x01
        if changed[place] in b"\r\n":
            continue
        torn = tmp_path / "changed.journal"
        torn.write_bytes(bytes(changed))
        again = Journal.open(torn)
        assert list(again.shots) == [2] and "torn or was changed" in again.notes[0]


@pytest.mark.parametrize("content, says", [
    (b"", "no session"), (b"condition,spin\ndry,6450\n", "no session"),
    (lines.seal(["spinlab journal 3", "x"]), "newer version"),
    (lines.seal(["spinlab journal 1", "x"]), "head"),
    (lines.seal(["spinlab journal 1", "x"]) + b"line\twhat\ttime\tshot\tcondition\t00000000\n", "head")])
def test_what_is_no_session_is_refused_in_words(tmp_path, content, says):
    path = tmp_path / "x.journal"
    path.write_bytes(content)
    with pytest.raises(JournalError, match=says):
        Journal.open(path)
    assert path.read_bytes() == content, "and left as it was"


@settings(max_examples=60, deadline=None, derandomize=True)
@given(junk=st.binary(max_size=300), sealed=st.booleans())
def test_no_bytes_behind_the_head_do_harm(tmp_path_factory, junk, sealed):
    made = begun(tmp_path_factory.mktemp("junk"))
    shot(made)
    with open(made.path, "ab") as file:
        file.write(junk + (b"\t%08x\n" % crc32(junk) if sealed else b""))
    again = Journal.open(made.path)
    assert 1 in again.shots
    shot(again, "7000")
    assert any(one.cells["spin_rate"] == "7000" for one in Journal.open(made.path).shots.values())


def test_a_full_disk_keeps_all_that_was_and_says_so(journal, monkeypatch):
    before = journal.path.read_bytes()

    def full(_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(NotSaved, match="No space left on device.*Free some room"):
        shot(journal, "7000")
    assert journal.path.read_bytes() == before and list(journal.shots) == [1, 2]
    monkeypatch.undo()
    assert shot(journal, "7000").shot == 3 and same(Journal.open(journal.path), journal)


def test_a_folder_that_cannot_be_written_to_is_told(tmp_path, journal, monkeypatch):
    def refused(*_, **__):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr("spinlab.files.os.open", refused)
    with pytest.raises(NotSaved, match="Permission denied.*Choose a folder"):
        begun(tmp_path)
    with pytest.raises(NotSaved, match="Permission denied"):
        shot(journal)
    in_the_way = tmp_path / "file"
    in_the_way.write_text("x")
    with pytest.raises(NotSaved):
        begun(in_the_way / "sessions")


@pytest.mark.parametrize("gone, says", [("file", "the file '.*evening.journal'"), ("folder", "the folder '.*here'")])
def test_what_is_gone_while_typing_is_named_and_what_was_typed_is_still_shown(tmp_path, gone, says):
    journal = begun(tmp_path / "here")
    shot(journal)
    kept = journal.path.read_bytes()
    journal.path.unlink() if gone == "file" else shutil.rmtree(tmp_path / "here")
    for act in (lambda: shot(journal), journal.refresh):
        with pytest.raises(NotSaved, match=f"not saved: {says} is not there any more.*still shown here") as told:
            act()
        assert "room" not in str(told.value) and "untouched" not in str(told.value)
    assert list(journal.shots) == [1]
    with pytest.raises(JournalError, match="cannot be opened"):
        Journal.open(journal.path)
    journal.path.parent.mkdir(exist_ok=True)
    journal.path.write_bytes(kept)  # put back: typing goes on
    assert shot(journal).shot == 2 and list(Journal.open(journal.path).shots) == [1, 2]


# -- what hides nothing -----------------------------------------------------------------------------------------------


def sealed(*cells):
    """A line with a check that holds, whoever wrote it."""
    return lines.seal(cells)


FORGED = {
    "a number that uses up all numbers": sealed("999999999", "shot", "t", "999999999", "dry", "1", ""),
    "a shot's number alone": sealed("3", "shot", "t", "999999999", "dry", "1", ""),
    "a number of more digits than are read": sealed("9" * 30, "shot", "t", "3", "dry", "1", ""),
    "zero": sealed("0", "shot", "t", "0", "dry", "1", ""),
    "no number": sealed("", "shot", "t", "", "dry", "1", ""),
    "an undo of a line to come": sealed("3", "undo", "t", "8"),
    "a deletion of a shot to come": sealed("3", "delete", "t", "4"),
    "an end": sealed("3", "finish", "t", ""),
    "a second head": sealed("line", "what", "time", "shot", "condition", "note", "spin_rate [rpm]"),
    "torn": b"3\tshot\t2026", "zeros": b"\0" * 4096, "nothing": b"\n\n\n",
    "huge": b"x" * 30_000_000 + b"\n", "huge and with a check": sealed("3", "shot", "t", "3", "dry", "6000", "n" * 200_000),
    "very many": b"x\n" * 100_000,
}


@pytest.mark.parametrize("bad", FORGED.values(), ids=FORGED)
def test_no_line_hides_those_behind_it(journal, bad):
    with open(journal.path, "ab") as file:
        file.write(bad)
    typing = Journal.open(journal.path)
    spins = [f"{7000 + k}" for k in range(4)]
    for spin in spins:
        shot(typing, spin)
    journal.refresh()
    for read in (Journal.open(journal.path), typing, journal):
        live = [one.cells["spin_rate"] for one in read.shots.values() if not one.deleted]
        assert live[:2] == ["6450", "3400"] and live[-4:] == spins
        assert len(read.notes) < 30


def test_of_very_many_spoilt_lines_the_first_are_named(journal):
    with open(journal.path, "ab") as file:
        file.write(b"x\n" * 20)
    assert len(Journal.open(journal.path).notes) == 20
    with open(journal.path, "ab") as file:
        file.write(b"x\n" * 2)
    notes = Journal.open(journal.path).notes
    assert len(notes) == 21 and notes[-1].endswith("and further lines, too")


@pytest.mark.parametrize("spoilt", [b"player\tRo\n", b"\0\0\0\n", b"x" * 100_000 + b"\n"])
def test_a_torn_line_of_the_head_hides_no_shot_while_the_columns_stand(tmp_path, spoilt):
    made = begun(tmp_path, player="Robin")
    shot(made)
    title, player, *others = made.path.read_bytes().splitlines(keepends=True)
    made.path.write_bytes(title + spoilt + b"".join(others))
    again = Journal.open(made.path)
    assert list(again.shots) == [1] and again.conditions == ("dry", "wet") and again.player == ""
    assert again.notes == ["line 2 of the file is torn or was changed; it is kept there and not counted"]


@pytest.mark.parametrize("columns", [
    ("spin_rate [rpm]", "note"), ("condition", "condition"), ("condition", "nonsense [kg]")])
def test_columns_that_cannot_be_used_are_told(tmp_path, columns):
    path = tmp_path / "x.journal"
    path.write_bytes(sealed("spinlab journal 1", "x") + sealed("line", "what", "time", "shot", *columns))
    with pytest.raises(JournalError, match=r"columns of 'x.journal' \(line 2\) cannot be used"):
        Journal.open(path)


def test_folders_with_blanks_accents_and_long_paths(tmp_path):
    deep = tmp_path / "Übung im Mai – été" / ("x" * 90) / ("y" * 90)
    made = begun(deep, name="a/b\\c: *wet?* " + "z" * 200)
    shot(made)
    assert len(str(made.path)) > 200 and made.path.parent == deep
    assert sessions(deep) == [made.path] and list(Journal.open(made.path).shots) == [1]
    assert not set('\\/:*?"<>|') & set(made.path.name)


def test_a_clock_set_back_changes_no_order(journal):
    journal.write("shot", cells={"condition": "dry", "spin_rate": "7000"}, time="1999-01-01T00:00:00+00:00")
    again = Journal.open(journal.path)
    assert list(again.shots) == [1, 2, 3] and list(again.frame["spin_rate"] / rpm) == pytest.approx([6450, 3400, 7000])


def test_two_windows_on_one_session_keep_both_and_notice(journal):
    other = Journal.open(journal.path)
    assert shot(other, "7000").shot == 3
    assert journal.refresh() == 1 and "another window" in journal.notes[-1]
    assert shot(journal, "7100").shot == 4
    with pytest.raises(JournalError, match="another window has written"):
        other.write("undo")
    assert list(other.shots) == [1, 2, 3, 4], "it was taken in; now undo is meant"
    other.write("undo")
    journal.refresh()
    assert list(journal.shots) == [1, 2, 3] and same(Journal.open(journal.path), journal)


def test_writers_at_the_same_time_lose_nothing(journal):
    def write():
        mine = Journal.open(journal.path)
        for _ in range(20):
            shot(mine, "5000")

    threads = [threading.Thread(target=write) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    again = Journal.open(journal.path)
    assert list(again.shots) == list(range(1, 83)) and again.notes == []
    assert [line.number for line in again.lines] == list(range(1, 83))


def test_killed_at_random_moments_every_confirmed_shot_is_there(tmp_path):
    """A few of the trials of `trial_entry`; run that for hundreds."""
    sums = [trial_entry.trial(seed, str(tmp_path / str(seed))) for seed in range(101, 109)]
    assert sum(one["confirmed"] for one in sums) > 20
    assert [one["lost"] for one in sums] == [0] * len(sums)
    assert [one["half files"] for one in sums] == [0] * len(sums)


# -- names ------------------------------------------------------------------------------------------------------------


def test_a_name_is_never_taken_twice(tmp_path):
    one, other = begun(tmp_path), begun(tmp_path)
    assert one.path != other.path and len(sessions(tmp_path)) == 2
    with pytest.raises(JournalError, match="already"):
        Journal.create(one.path, fields=FIELDS)
    assert sessions(tmp_path / "nowhere") == []


def test_a_session_needs_its_columns(tmp_path):
    for names in ((), ("spin_rate",), ("condition",), ("condition", "note", "note")):
        with pytest.raises(JournalError, match="needs the column condition"):
            begun(tmp_path, fields=[Field.of(name) for name in names])
    with pytest.raises(ValueError, match="no column 'bounce'"):
        Field.of("bounce")
    with pytest.raises(ValueError, match="cannot be typed in 'kg'"):
        Field("spin_rate", "kg")


# -- what is typed ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name, units, typed, cell, si", [
    ("head_speed", "yards", "45", "45", 45 * mph), ("head_speed", "metric", "20,1", "20.1", 20.1),
    ("head_speed", "metric", "45 mph", f"{45 * 0.44704:.10g}", 45 * 0.44704),
    ("spin_rate", "metric", "6,450", "6450", 6450 * rpm),
    ("spin_rate", "metric", " 6 450 ", "6450", 6450 * rpm), ("attack_angle", "metric", "−4,5°", "-4.5", -4.5 * deg),
    ("attack_angle", "metric", "4 down", "-4", -4 * deg), ("attack_angle", {"attack_angle": "° down"}, "4", "4", -4 * deg),
    ("attack_angle", {"attack_angle": "° down"}, "4 up", "-4", 4 * deg), ("side", "metric", "3 L", "-3", -3.0),
    ("carry", "yards", "40", "40", 40 * 0.9144), ("spin_rate", "metric", "–", "", float("nan"))])
def test_cells_are_read_as_people_type_them(name, units, typed, cell, si):
    field = Field.of(name, units)
    assert field.read(typed) == cell
    assert field.si(cell) == pytest.approx(si, nan_ok=True)
    assert Field.written(field.heading) == field, "its heading in a file means the same"


@pytest.mark.parametrize("name, typed, says", [
    ("spin_rate", "64500", r"spin rate must lie in −3\u202f000 rpm … 20\u202f000 rpm, got 64\u202f500 rpm; correct it"),
    ("spin_rate", "abc", "spin rate “abc” is not a number; type a number"), ("spin_rate", "45 mph", "typed in rpm, got mph"),
    ("head_speed", "1.234", "can be read as 1.234 or 1234"), ("spin_rate", "5 R", "has no “r”"),
    ("note", "x" * 201, "shorten it")])
def test_cells_that_cannot_be_taken_say_why_and_what_to_do(name, typed, says):
    with pytest.raises(ValueError, match=says):
        Field.of(name).read(typed)


def test_an_unusual_value_is_remarked_on():
    spin = Field.of("spin_rate")
    assert "645 rpm is unusual" in spin.odd("645") and spin.odd("6450") == "" and spin.odd("") == ""


# -- weeks ------------------------------------------------------------------------------------------------------------


def session(folder, day, water, seed, player="Robin"):
    """A made-up session of six shots of the model's own wedge, with the scatter of measuring."""
    fields = [Field.of(n) for n in ("condition", "head_speed", "dynamic_loft", "ball_speed", "launch_angle", "spin_rate")]
    made = Journal.create(folder / f"{day} practice.journal", fields=fields, name=day, player=player)
    swing = Delivery(head_speed=20.0, dynamic_loft=44 * deg, attack_angle=-5 * deg)
    launch = strike(swing, Face(), Ball.published_soft_cover(), Between(water=water))
    noise = np.random.default_rng(seed).standard_normal((6, 3))
    for a, b, c in noise:
        speed, angle = launch.ball_speed + 0.1 * a, launch.launch_angle / deg + 0.5 * b
        spin = launch.spin_rate / rpm + 150 * c
        made.write("shot", time=f"{day}T10:00:00+00:00", cells={
            "condition": "dry", "head_speed": "20", "dynamic_loft": "44", "ball_speed": f"{speed:.2f}",
            "launch_angle": f"{angle:.1f}", "spin_rate": f"{spin:.0f}"})
    return made


def test_grip_over_weeks_finds_the_change_that_was_put_in(tmp_path):
    """The same swing with 10 µm, 10 µm and no water: less grip, no change, full grip."""
    for day, water, seed in (("2026-03-01", 10e-6, 1), ("2026-03-08", 10e-6, 2), ("2026-03-15", 0.0, 3)):
        session(tmp_path, day, water, seed)
    told = trend(tmp_path)
    frame = told.frame
    assert frame["session"].tolist() == ["2026-03-01", "2026-03-08", "2026-03-15"] and frame["shots"].tolist() == [6, 6, 6]
    assert (frame["level_low"] < frame["level"]).all() and (frame["level"] < frame["level_high"]).all()
    assert frame["level"].iloc[2] == pytest.approx(1.0, abs=0.1), "a clean, dry face grips like a clean, dry face"
    assert told.change[0] > 0 and "a change is shown: more" in told.sentence()
    small = trend([tmp_path / "2026-03-01 practice.journal", tmp_path / "2026-03-08 practice.journal"])
    assert small.change[0] < 0 < small.change[2] and "not shown" in small.sentence()


def test_a_trend_says_what_it_could_not_use(tmp_path):
    session(tmp_path, "2026-03-08", 0.0, 1)
    session(tmp_path, "2026-03-09", 0.0, 1, player="Kim")
    (tmp_path / "2026-03-10 broken.journal").write_bytes(b"x")
    shot(Journal.create(tmp_path / "2026-03-11 spin only.journal", fields=FIELDS, name="spin"))
    told = trend(tmp_path, player="Robin")
    assert len(told.frame) == 1 and "One session so far" in told.sentence()
    assert any("no session" in note for note in told.notes)
    everyone = trend(tmp_path)
    assert len(everyone.frame) == 2 and any("grip takes ball speed and spin" in note for note in everyone.notes)
    assert any("no wet shots" in note for note in trend(tmp_path, condition="wet").notes)
    assert "No session with wet shots" in trend(tmp_path, condition="wet").sentence()


def test_a_trend_over_a_clock_set_back_says_so(tmp_path):
    one, other = session(tmp_path, "2026-03-15", 0.0, 1), session(tmp_path, "2026-03-08", 0.0, 2)
    assert any("clock was set back" in note for note in trend([one, other]).notes)
