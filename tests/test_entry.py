"""Live entry without a browser: what can be typed, what stands, what is said, what the page is told."""

import pytest

from spinlab.evidence import table
from spinlab.evidence.journal import Journal, JournalError, sessions
from spinlab.evidence.plan import plan
from spinlab.evidence.screen import written
from spinlab.messages import UNFORESEEN
from spinlab.show.desk import Desk
from spinlab.show.entry import CellError, Entry
from spinlab.show.entry_page import Page, _averages
from spinlab.show.planner import Planner
from spinlab.units import deg, mph, rpm

COLUMNS = ("dynamic_loft", "launch_angle", "spin_rate", "note")


@pytest.fixture
def entry(tmp_path):
    return Entry(tmp_path / "evening.journal", columns=COLUMNS)


def filled(entry, dry=(6450, 6700, 6300, 6550, 6600), wet=(3300, 3500, 3150, 3400, 3600)):
    """Five dry and five wet shots, far apart and each with its scatter."""
    for k, (one, other) in enumerate(zip(dry, wet)):
        entry.add("dry", dynamic_loft=44 + 0.2 * k, launch_angle=30 + 0.4 * (k % 3), spin_rate=one)
        entry.add("wet", dynamic_loft=44 - 0.2 * k, launch_angle=38 + 0.3 * (k % 2), spin_rate=other)
    return entry


# -- typing -----------------------------------------------------------------------------------------------------------


def test_a_shot_is_on_the_disk_when_add_returns(entry):
    entry.add(spin_rate="6450")
    assert len(Journal.open(entry.session.path).shots) == 1
    entry.add(spin_rate="6,500", launch_angle="30,5")
    on_disk = Journal.open(entry.session.path)
    assert on_disk.shots[2].cells == {"condition": "dry", "dynamic_loft": "", "launch_angle": "30.5", "spin_rate": "6500",
                                      "note": ""}


def test_the_condition_stays_until_another_is_given(entry):
    assert entry.condition == "dry"
    entry.add("wet", spin_rate=3300)
    entry.add(spin_rate=3400)
    entry.add("damp", spin_rate=4400)
    assert [shot.cells["condition"] for shot in entry.shots] == ["wet", "wet", "damp"]
    assert entry.conditions == ("dry", "wet", "damp")
    assert Entry(entry.session.path).condition == "damp", "also after opening again"


def test_undo_correct_and_delete_leave_their_trace(entry):
    for spin in (6450, 6500, 6550):
        entry.add(spin_rate=spin)
    entry.correct(2, spin_rate=6600, note="misread")
    entry.delete(1)
    assert [shot.cells["spin_rate"] for shot in entry.shots] == ["6600", "6550"]
    entry.undo()
    entry.undo()
    assert [shot.cells["spin_rate"] for shot in entry.shots] == ["6450", "6500", "6550"]
    text = entry.session.path.read_text(encoding="utf-8")
    assert text.count("\tundo\t") == 2 and "misread" in text and text.count("\tdelete\t") == 1
    entry.delete(3)
    with pytest.raises(ValueError, match="deleted already; correct it"):
        entry.delete(3)
    with pytest.raises(ValueError, match="no shot 9; the session has 1, 2, 3"):
        entry.correct(9, spin_rate=1)


def test_what_cannot_be_taken_is_refused_whole(entry):
    before = entry.session.path.read_bytes()
    with pytest.raises(CellError, match="must lie in −10° … 85°, got 440°; correct it") as told:
        entry.add(spin_rate=6450, dynamic_loft="440")
    assert told.value.column == "dynamic_loft"
    with pytest.raises(ValueError, match="at least one value"):
        entry.add(note="only a word")
    with pytest.raises(ValueError, match="no column bounce"):
        entry.add(bounce=3)
    assert entry.session.path.read_bytes() == before


def test_units_are_chosen_once(tmp_path):
    yards = Entry(tmp_path / "a.journal", columns=("head_speed", "attack_angle"), units="yards")
    yards.add(head_speed=45, attack_angle=-4)
    assert yards.frame["head_speed"].iloc[0] == pytest.approx(45 * mph) and yards.talk == "yards"
    own = Entry(tmp_path / "b.journal", columns=("head_speed", "attack_angle"), units={"attack_angle": "° down"})
    own.add(head_speed=20, attack_angle=4)
    assert own.frame["attack_angle"].iloc[0] == pytest.approx(-4 * deg) and own.talk == "metric"
    again = Entry(tmp_path / "a.journal", units="metric")
    assert [field.unit for field in again.session.fields] == ["", "mph", "°"], "the session's own units hold"


# -- where it was -----------------------------------------------------------------------------------------------------


def test_the_latest_unfinished_session_opens_by_itself(tmp_path):
    assert Entry(folder=tmp_path / "sessions").journal is None
    assert not (tmp_path / "sessions").exists(), "nothing is written before a session begins"
    first = Entry(folder=tmp_path / "sessions").begin("evening", columns=COLUMNS)
    first.add("wet", spin_rate=3300)
    again = Entry(folder=tmp_path / "sessions")
    assert len(again.shots) == 1 and again.condition == "wet"
    again.finish()
    assert Entry(folder=tmp_path / "sessions").journal is None
    assert len(again.frame) == 1, "finished, and still to be read"
    again.open(again.session.path).add(spin_rate=3400)
    assert len(Entry(folder=tmp_path / "sessions").shots) == 2, "opened again and typed in: unfinished again"


def test_a_broken_latest_session_does_not_stop_the_day(tmp_path):
    (tmp_path / "9999 broken.journal").write_bytes(b"rubbish")
    assert Entry(folder=tmp_path).journal is None
    assert Entry(folder=tmp_path).begin("evening").add(spin_rate=6450).number == 1


def test_without_a_session_it_says_so(tmp_path):
    with pytest.raises(ValueError, match="no session is open; begin one"):
        Entry(folder=tmp_path).add(spin_rate=6450)


def test_a_plan_leads_through_its_order(tmp_path):
    laid = plan(2500 * rpm, 400 * rpm)
    entry = Entry(tmp_path / "planned.journal", columns=laid.columns, conditions=laid.conditions, order=laid.order)
    for _ in laid.order:
        entry.add(spin_rate=5000)
    assert tuple(shot.cells["condition"] for shot in entry.shots) == laid.order
    entry.undo()
    assert Entry(tmp_path / "planned.journal").condition == laid.order[-1], "the order goes on where it was"


# -- what is said -----------------------------------------------------------------------------------------------------


def test_the_verdict_runs_along(entry):
    assert entry.verdict.startswith("Shots so far: none.")
    entry.add(spin_rate=6450)
    entry.add("wet", spin_rate=3300)
    assert "1 dry, 1 wet" in entry.verdict
    for k in range(2):
        entry.add("dry", spin_rate=6500 + 90 * k)
        entry.add("wet", spin_rate=3350 + 70 * k)
    # three against three can never reach 5 %: 2 of 20 orders are as wide, 0.10 (Fisher; statistics of small samples) [C]
    assert "three shots each can never settle it" in entry.verdict
    for k in range(2):
        entry.add("dry", spin_rate=6420 + 30 * k)
        entry.add("wet", spin_rate=3290 + 20 * k)
    assert entry.verdict.startswith("Shown: wet spun 0.5")
    entry.delete(1)
    assert "4 dry" in entry.verdict, "a deleted shot does not count"


def test_its_table_is_read_by_the_reader_of_tables_and_the_desk(entry, tmp_path):
    filled(entry)
    entry.add(spin_rate=6000, note="=HYPERLINK(1)")
    read = table.read(entry.table)
    assert read.counts["shots"] == 11 and len(read.refused) == 0 and len(read.asked) == 0
    assert read.frame["spin_rate"].tolist() == pytest.approx(entry.frame["spin_rate"].tolist())
    assert read.frame["dynamic_loft"].tolist()[:10] == pytest.approx(entry.frame["dynamic_loft"].tolist()[:10])
    assert "'=HYPERLINK(1)" in entry.table, "no spreadsheet runs it"
    entry.desk = Desk()
    entry.to_desk()
    assert entry.desk.report.other == "wet" and "Shown" in entry.desk.sentence
    entry.desk = None
    with pytest.raises(ValueError, match="no desk"):
        entry.to_desk()


# -- the rule ---------------------------------------------------------------------------------------------------------

RULE = written(dynamic_loft=(40 * deg, 48 * deg))


def ruled(folder, **options):
    """A session with the rule written down, in yards."""
    columns = ("head_speed", "dynamic_loft", "spin_rate", "carry", "note")
    return Entry(folder / "ruled.journal", columns=columns, units="yards", rule=RULE, **options)


@pytest.mark.parametrize("loft, aside", [(39.99, True), (40, False), (48, False), (48.01, True), ("", False)])
def test_a_shot_outside_the_rule_is_marked_at_once_on_both_sides_of_its_ends(tmp_path, loft, aside):
    entry = ruled(tmp_path)
    shot = entry.add(dynamic_loft=loft, spin_rate=6000)
    assert bool(entry.why_aside(shot)) == aside and len(entry.kept) == 1 - aside
    again = Entry(entry.session.path)
    assert bool(again.why_aside(again.shots[0])) == aside, "also when it is opened again"


def test_averages_and_verdict_leave_out_what_the_rule_sets_aside_and_tell_all_beside_it(tmp_path):
    entry = ruled(tmp_path)
    for k in range(5):
        entry.add("dry", head_speed=45, dynamic_loft=44 + k / 5, spin_rate=6400 + 40 * k, carry=40 + k % 2)
        entry.add("wet", head_speed=45, dynamic_loft=44 - k / 5, spin_rate=3200 + 40 * k, carry=38 + k % 3)
    before = entry.said
    assert before.brief == "Wet: about half the spin, 1.6 yd shorter. Shown." and before.every == ""
    entry.add("dry", head_speed=45, dynamic_loft=36, spin_rate=2100, carry=30)
    after = entry.said
    assert after.brief == before.brief and "5 dry and 5 wet shots" in after.ranges
    assert after.every.startswith("1 shot is set aside by the rule. With every shot kept: Wet:")
    assert after.every != before.brief and " yd" in after.ranges and " m " not in after.ranges
    # by hand: 6400 … 6560 average 6480; with 2100 as well (5·6480 + 2100)/6 = 5750 [C]
    rows = {row[0]: row[1:] for row in _averages(entry)}
    assert rows["shots"] == ["5", "5"] and rows["set aside"] == ["1", "0"]
    assert rows["spin rate [rpm]"] == ["6480 (5750)", "3280"]
    entry.correct(11, dynamic_loft=46)
    assert entry.said.every == "" and "set aside" not in {row[0] for row in _averages(entry)}


def test_rule_and_units_travel_from_the_plan_to_the_desk(tmp_path):
    planner = Planner(units="yards", dynamic_loft=(41 * deg, 47 * deg), sessions=tmp_path, folder=tmp_path)
    assert planner.plan.rule == written(dynamic_loft=(41 * deg, 47 * deg))
    planner.prepare("clinic")
    desk = Desk()
    entry = Entry(folder=tmp_path, desk=desk)
    assert entry.talk == "yards" and entry.protocol.rule.words() == planner.plan.rule.words()
    assert entry.protocol.rule.words() in " ".join(planner.plan.rules).casefold()
    for k in range(8):
        entry.add(head_speed=45, dynamic_loft=44, spin_rate=6000 + 30 * k, carry=40 + k % 3)
    entry.add("dry", head_speed=45, dynamic_loft=48, spin_rate=6000, carry=40)
    entry.to_desk()
    assert desk.units == "yards" and desk.dynamic_loft == pytest.approx((41 * deg, 47 * deg))
    assert desk.report.screened.set_aside["shot"].tolist() == [9]
    assert " mph" in desk.report.sentences()["modelled"] and " m/s" not in desk.report.text()
    desk.choose(units="metric")


def test_numbers_have_no_holes_after_undo(tmp_path):
    entry = ruled(tmp_path)
    for spin in (6000, 6100, 6200):
        entry.add(spin_rate=spin)
    entry.undo()
    entry.undo()
    assert entry.add(spin_rate=6300).number == 2 and entry.add(spin_rate=6400).number == 3
    again = Entry(entry.session.path)
    assert [(shot.number, shot.cells["spin_rate"]) for shot in again.shots] == [(1, "6000"), (2, "6300"), (3, "6400")]
    again.undo()
    assert [shot.number for shot in again.shots] == [1, 2]


def test_a_report_on_a_session_file_counts_what_stands(tmp_path):
    """Undone, deleted and corrected: a table of the lines of the file would have eight shots and the misread spin."""
    entry = ruled(tmp_path)
    for condition, spin in (("dry", 6000), ("dry", 61000 / 10), ("wet", 3000), ("wet", 3100), ("wet", 9999)):
        entry.add(condition, dynamic_loft=44, spin_rate=spin)
    entry.undo()
    entry.correct(2, spin_rate=6200)
    entry.delete(4)
    read = table.read(entry.session.path)
    assert (read.frame["spin_rate"] / rpm).tolist() == pytest.approx([6000, 6200, 3000])
    assert read.protocol == entry.protocol and read.protocol.units == "yards"
    assert read.name.startswith("“ruled”, ") and "1 shot deleted" in read.notes
    assert table.read(entry.session).frame.equals(read.frame)


# -- the page ---------------------------------------------------------------------------------------------------------


@pytest.fixture
def talk(tmp_path):
    """Say something as the page does; returns what it is told at once."""
    entry = Entry(folder=tmp_path / "sessions", columns=COLUMNS)
    page, told = Page(entry), []
    page.widget.send = told.append

    def say(**message):
        told.clear()
        page.heard(None, {"n": 1, **message})
        say.verdict = [one for one in told if "verdict" in one]
        return told[0]

    say.entry, say.folder, say.told = entry, tmp_path, told
    return say


def add(talk, token, **cells):
    """Type a shot on the page."""
    return talk(do="add", token=token, condition="dry", cells=cells)


def begin(talk, **changes):
    """Begin a session on the page."""
    columns = [{"name": "spin_rate", "unit": "rpm"}, {"name": "note", "unit": ""}]
    return talk(**{"do": "begin", "name": "evening", "player": "", "conditions": "dry, wet", "columns": columns} | changes)


def test_the_page_begins_types_and_finishes(talk):
    assert talk(hello=True)["session"] is None
    begun = begin(talk)
    assert begun["session"]["next"] == 1 and begun["conditions"] == ["dry", "wet"]
    answer = add(talk, "a", spin_rate="6450", note="")
    assert answer["said"].startswith("Saved: shot 1") and [row["n"] for row in answer["rows"]] == [1]
    answer = add(talk, "b", spin_rate="645", note="")
    assert "unusual" in answer["said"] and [row["n"] for row in answer["rows"]] == [2], "only what is new is sent"
    assert talk.verdict[0]["averages"][1] == ["shots", "2"]
    assert talk.verdict[0]["verdict"]["brief"] == "Not enough yet: two shots of each condition are needed."
    assert talk(do="undo")["gone"] == [2]
    assert talk(do="delete", shot=1)["rows"][0]["deleted"]
    done = talk(do="finish")
    assert done["session"] is None and done["earlier"][0]["shots"] == 0
    opened = talk(do="open", file=done["earlier"][0]["file"])
    assert opened["whole"] and len(opened["rows"]) == 1


def test_the_page_writes_the_rule_down_and_marks_what_it_sets_aside(talk):
    columns = [{"name": name, "unit": unit} for name, unit in (("dynamic_loft", "°"), ("carry", "yd"))]
    assert "switch the rule off" in begin(talk, columns=columns, rule=["40", ""], system="yards")["error"]
    assert "from low to high" in begin(talk, columns=columns, rule=["48", "40"], system="yards")["error"]
    begun = begin(talk, columns=columns, rule=["40", "48,5"], system="yards")
    assert begun["error"] == "" and begun["rule"].startswith("A shot counts if its dynamic loft is 40° … 48.5°.")
    assert talk.entry.talk == "yards"
    answer = add(talk, "a", dynamic_loft="36", carry="20")
    assert answer["rows"][0]["aside"] == "dynamic loft 36° lies outside 40° … 48.5°"
    assert "Saved: shot 1, dry. Set aside by the rule: dynamic loft 36° lies outside" in answer["said"]
    assert talk.verdict[0]["averages"][1:3] == [["shots", "0"], ["set aside", "1"]]
    assert add(talk, "b", dynamic_loft="44", carry="20")["rows"][0]["aside"] == ""
    assert begin(talk, columns=columns, rule=[], system="metric")["rule"] == ""


def test_a_verdict_that_fails_is_told_in_our_words_and_the_former_one_goes(talk, monkeypatch):
    begin(talk)
    add(talk, "a", spin_rate="6450", note="")
    monkeypatch.setattr("spinlab.show.entry._said", lambda *_: float("about six"))
    add(talk, "b", spin_rate="6450", note="")
    assert talk.verdict[0]["verdict"]["brief"] == f"No verdict: {UNFORESEEN}."
    assert talk.verdict[0]["verdict"]["ranges"] == "" and talk.verdict[0]["averages"] == [["average"]]


@pytest.mark.parametrize("each", [29, 30, 31, 35])
def test_the_verdict_runs_on_beyond_sixty_shots_and_the_session_opens_again(entry, each):
    for k in range(each):
        for name, spin in (("dry", 6000), ("wet", 5900)):
            entry.session.write("shot", cells={"condition": name, "spin_rate": str(spin + 37 * (k * 7 % 11))})
    said = Entry(entry.session.path).said
    assert f"{each} dry and {each} wet shots" in said.ranges and "None" not in said.whole


def test_the_page_is_told_what_is_wrong_and_where(talk):
    begin(talk)
    answer = add(talk, "a", spin_rate="64500", note="")
    assert answer["column"] == "spin_rate" and "must lie in" in answer["error"] and answer["said"] == ""
    assert begin(talk, columns=[])["error"].startswith("a session needs the column condition and others")


def test_the_same_shot_asked_for_twice_is_kept_once(talk):
    begin(talk)
    for _ in range(2):
        assert "aved" in add(talk, "same", spin_rate="6450", note="")["said"]
    assert len(talk.entry.shots) == 1


def test_a_full_disk_is_told_on_the_page(talk, monkeypatch):
    begin(talk)

    def full(_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.fsync", full)
    assert "No space left on device" in add(talk, "a", spin_rate="6450", note="")["error"]
    monkeypatch.undo()
    assert add(talk, "a", spin_rate="6450", note="")["said"].startswith("Saved: shot 1")


def test_the_page_can_reach_no_file_but_those_of_the_folder(talk):
    outside = talk.folder / "outside.journal"
    Entry(outside, columns=COLUMNS)
    for name in ("../outside.journal", str(outside), "outside.journal"):
        assert "no session" in talk(do="open", file=name)["error"]
    begin(talk, name="../../up and away")
    assert talk.entry.session.path.parent == talk.folder / "sessions"
    with pytest.raises(KeyError):
        talk(do="heard")


def test_another_window_is_noticed_when_this_one_is_looked_at(talk):
    begin(talk)
    other = Entry(talk.entry.session.path)
    other.add(spin_rate=6450)
    answer = talk(look=True)
    assert [row["n"] for row in answer["rows"]] == [1] and "another window" in answer["notes"][0]


def test_what_python_does_shows_on_the_page(talk):
    begin(talk)
    talk.entry._view = talk.entry._view or Page(talk.entry)
    told = []
    talk.entry._view.widget.send = told.append
    talk.entry.add(spin_rate=6450)
    assert [row["n"] for row in told[0]["rows"]] == [1]


def test_five_hundred_shots_are_sent_a_shot_at_a_time(talk):
    begin(talk)
    for k in range(500):
        talk.entry.session.write("shot", cells={"condition": "dry", "spin_rate": str(6000 + k), "note": ""})
    talk(look=True)
    answer = add(talk, "one more", spin_rate="6450", note="")
    assert [row["n"] for row in answer["rows"]] == [501] and len(str(answer)) < 2000


def test_a_session_without_names_still_has_a_condition(tmp_path):
    entry = Entry(tmp_path / "x.journal", columns=("spin_rate",), conditions=())
    assert entry.add(spin_rate=6450).cells["condition"] == "all shots"
    with pytest.raises(JournalError):
        Entry(tmp_path / "y.journal", columns=())
    assert sessions(tmp_path) == [tmp_path / "x.journal"]
