"""The desk of one's own shots: choices, errors that stay on the desk, the handout."""

import html
import re
from datetime import UTC, datetime

import pytest

from spinlab.evidence.journal import Field, Journal
from spinlab.evidence.protocol import Protocol
from spinlab.evidence.screen import written
from spinlab.evidence.table import TableError
from spinlab.evidence.wording import MOST_WORDS
from spinlab.messages import UNFORESEEN
from spinlab.show import pack
from spinlab.show.desk import Desk, demonstration_tables
from spinlab.units import deg


@pytest.fixture(scope="module")
def desk(tmp_path_factory):
    made = Desk(folder=tmp_path_factory.mktemp("handouts"))
    made._repr_mimebundle_()
    return made


def test_it_opens_with_a_demonstration_table(desk):
    assert "pitch_states.csv" in desk.report.table.name
    assert (desk.report.baseline, desk.report.other) == ("dry", "wet")
    assert desk.sentence.startswith("Shown: wet spun 0.5")
    assert desk.brief.startswith("Wet: about half the spin, 9° higher. Shown.") and len(desk.brief.split()) <= MOST_WORDS
    assert f"<p class='spin-brief'>{desk.brief}</p>" in desk._view.said.value


def test_turning_a_widget_reports_again(desk):
    view = desk._view
    view.other.value = "damp"
    assert desk.report.other == "damp" and "damp" in view.said.value
    view.ruled.value = False
    assert desk.dynamic_loft is None and desk.report.screened.counts["set aside"] == 0
    assert "Which shots count" not in view.more.value
    assert all(box.disabled for box in view.rule)
    view.ruled.value = True
    view.rule[0].value, view.rule[1].value = 41.0, 48.0
    assert desk.dynamic_loft == pytest.approx((41 * deg, 48 * deg))
    view.rule[0].value = 40.0
    assert desk.dynamic_loft == pytest.approx((40 * deg, 48 * deg))
    assert "Which shots count" in view.more.value and "lies outside 40° … 48°" in view.more.value
    view.units.value = "yards"
    assert " yd" in view.more.value
    view.units.value, view.other.value = "metric", "wet"
    before = view.picture.value
    view.measure.value = "launch_angle"
    assert view.picture.value != before and 'alt="' in view.picture.value
    view.measure.value = "spin_rate"


def test_an_error_stays_on_the_desk_and_so_does_the_last_report(desk):
    view = desk._view
    view.other.value = "dry"
    assert 'role="alert"' in view.wrong.value and "two different conditions" in view.wrong.value
    assert desk.report.other == "wet" and view.other.value == "wet"
    view.other.value = "damp"
    assert view.wrong.value == ""
    view.other.value = "wet"


def test_an_unreadable_file_is_told_on_the_desk(desk):
    view = desk._view
    view.upload.set_trait("value", ({"name": "x.csv", "content": memoryview(b"\x00\x01\x02" * 40), "type": "", "size": 120,
                                     "last_modified": datetime(2026, 5, 1, tzinfo=UTC)},))
    assert 'role="alert"' in view.wrong.value and "Traceback" not in view.wrong.value
    assert "No verdict on this table" in view.wrong.value
    assert view.said.value == view.picture.value == view.more.value == "", "nothing of the table before stays"
    assert view.write.disabled and view.measure.options == ()
    with pytest.raises(ValueError, match="there is no report.*readable text"):
        desk.handout()
    view.units.value = "yards"
    assert desk.units == "yards" and view.said.value == ""
    view.units.value = "metric"
    desk.bring(next(iter(demonstration_tables().values())))
    assert "about half the spin" in view.said.value and view.wrong.value == "" and not view.write.disabled


HEADINGS = "condition\tspin rate [rpm]\tcarry"
PASTED = "\n".join([HEADINGS, *(f"{name}\t{spin + 90 * k}\t{30 + k}" for k in range(5)
                               for name, spin in (("dry", 6000), ("towelled", 5800), ("wet", 3000)))])


def test_a_pasted_table_asks_for_its_unit_and_takes_the_answer():
    desk = Desk()
    desk._repr_mimebundle_()
    view = desk._view
    view.intake.paste.value = PASTED
    assert view.wrong.value == "" and view.table.value == "(a table of your own)" and len(desk.report.table.frame) == 15
    told, choice = view.intake.open_points.children
    assert "<b>carry</b>: no unit is given" in told.value
    assert [label for label, _ in choice.options] == ["not said yet", "m", "yd", "ft"]
    assert "carry" not in desk.report.table.frame
    choice.value = "yd"
    assert view.intake.open_points.children == () and view.wrong.value == ""
    assert desk.report.table.frame["carry"].iloc[0] == pytest.approx(30 * 0.9144)  # the yard of 1959 (S)


def test_a_table_that_cannot_be_compared_tells_how_it_was_read_and_nothing_of_the_one_before(tmp_path):
    desk = Desk(folder=tmp_path)
    desk._repr_mimebundle_()
    view = desk._view
    view.intake.paste.value = "condition,spin rate [rpm]\nwet,3000\ndry,about six thousand"
    assert "two conditions are needed" in view.wrong.value and "about six thousand" in view.more.value
    assert "spin" not in view.said.value and view.picture.value == "" and not desk.has_report
    view.intake.paste.value = "condition,spin rate [rpm]\nwet,3000\ndry,6000\ndry,6100"
    assert view.wrong.value == "" and "Wet against dry: too few different shots to compare yet." in view.said.value
    assert "2 dry and 1 wet shot." in view.said.value and view.picture.value == ""
    handout = html.unescape(desk.handout(name="few.html", date="2026-05-04").read_text(encoding="utf-8"))
    assert "too few different shots" in handout and "Shots: a pasted table." in handout and "2026-05-04" in handout


def test_what_follows_the_desk_speaks_of_the_table_that_is_on_it():
    desk = Desk()
    live = desk.follow(lambda report: f"**{report.brief()}** {report.table.name}")
    live._repr_mimebundle_()
    assert "about half the spin" in live._view.value and "pitch_states.csv" in live._view.value
    desk._repr_mimebundle_()
    desk._view.intake.paste.value = PASTED.replace("wet", "w <b>e</b> t")
    assert "pitch_states" not in live._view.value and "a pasted table" in live._view.value and "<b>" not in live._view.value
    desk._view.intake.paste.value = "nothing of use\nat all"
    assert "No verdict on this table" in live._view.value and "pasted" not in live._view.value
    broken = desk.follow(lambda report: report.nothing)
    desk.bring(next(iter(demonstration_tables().values())))
    assert broken.markdown == f"Nothing can be said of this table here: {UNFORESEEN}."


def test_a_failure_of_the_program_is_told_in_our_words(monkeypatch):
    desk = Desk()
    desk._repr_mimebundle_()
    monkeypatch.setattr("spinlab.evidence.report.make", lambda *_, **__: float("about six"))
    desk._view.intake.paste.value = PASTED
    assert UNFORESEEN in html.unescape(desk._view.wrong.value) and "about six" not in desk._view.wrong.value


def test_a_session_brings_its_rule_its_units_and_its_name(tmp_path):
    protocol = Protocol(rule=written(dynamic_loft=(42 * deg, 47 * deg)), units="yards")
    fields = [Field.of(name, "yards") for name in ("condition", "dynamic_loft", "spin_rate", "carry")]
    session = Journal.create(tmp_path / "x.journal", fields=fields, name="evening", protocol=protocol)
    for k in range(5):
        for name, spin in (("dry", 6400), ("wet", 3200)):
            cells = {"condition": name, "dynamic_loft": "44", "spin_rate": str(spin + 40 * k), "carry": str(40 + k % 3)}
            session.write("shot", cells=cells, time="2026-05-04T19:31:07+02:00")
    session.write("shot", cells={"condition": "dry", "dynamic_loft": "36", "spin_rate": "2100", "carry": "30"})
    desk = Desk(folder=tmp_path)
    desk._repr_mimebundle_()
    desk.bring(session.path)
    assert (desk.units, desk.dynamic_loft) == ("yards", pytest.approx((42 * deg, 47 * deg)))
    assert desk._view.units.value == "yards" and desk._view.rule[0].value == 42
    said = html.unescape(desk._view.said.value)
    assert "Wet: about half the spin. Shown." in said and "One shot was set aside by the rule." in said
    assert " yd" in said + desk._view.more.value and not re.search(r"\d m[ ,.;)]", said)
    page = html.unescape(desk.handout(name="x.html", date="2026-05-05").read_text(encoding="utf-8"))
    assert "Shots: “evening”, 4 May 2026." in page and "2026-05-05" in page
    assert "rule was changed" not in page
    desk.choose(dynamic_loft=None)
    assert any("the rule was changed after the shots were typed; fixed beforehand was: a shot counts if its dynamic loft is "
               "42° … 47°" in note for note in desk.report.notes)
    desk.choose(units="metric")


def test_a_word_that_could_mean_two_things_is_asked_for():
    desk = Desk()
    desk._repr_mimebundle_()
    desk._view.intake.paste.value = "condition,Speed [mph],spin rate [rpm]\n" + "\n".join(
        f"{name},45,{spin + 50 * k}" for k in range(4) for name, spin in (("dry", 6000), ("wet", 3000)))
    choice = desk._view.intake.open_points.children[1]
    assert [label for label, _ in choice.options][1:] == ["head speed", "ball speed"]
    choice.value = "head_speed"
    assert "head_speed" in desk.report.table.frame and desk._view.intake.open_points.children == ()


def test_every_demonstration_table_opens():
    for path in demonstration_tables().values():
        assert Desk(path).sentence.endswith("shots)")


def test_choices_are_checked(desk):
    with pytest.raises(ValueError, match="units"):
        desk.choose(units="furlongs")
    with pytest.raises(ValueError, match="there is no condition"):
        desk.choose(other="frozen")
    assert desk.report.other == "wet"
    with pytest.raises((TableError, ValueError)):
        Desk("no such table.csv")


def test_the_handout_is_one_file_that_asks_for_nothing(desk):
    page = desk.handout(coach="<b>A & B</b>").read_text(encoding="utf-8")
    assert not re.search(r'(?:src|href)="(?!data:)', page) and "http" not in page.replace("http-equiv", "")
    assert "&lt;b&gt;A &amp; B&lt;/b&gt;" in page and "<b>A" not in page
    told = html.unescape(re.sub("<[^>]+>", " ", page))
    assert "Practice only" in told and "licensed professionals" in told and "What these shots do not prove" in told
    assert re.search(r"× 0\.5\d \(0\.\d\d … 0\.\d\d\)", told), "ratio with its range"
    assert re.search(r"\+8\.\d° .* … \+\d+\.\d°", told), "launch rise with its range"
    assert all(re.search(r'alt="[^"]{40,}"', tag) for tag in re.findall(r"<figure>.*?</figure>", page, re.S))


def test_a_tables_words_cannot_become_markup(tmp_path):
    rows = "\n".join(f"{c},{s + 40 * i},{45 + i % 2},44" for i in range(5)
                     for c, s in (("dry <script>alert(1)</script>", 6400), ("wet", 3200)))
    table = tmp_path / "t.csv"
    table.write_text("condition,spin rate [rpm],head speed [mph],dynamic loft [°]\n" + rows)
    page = Desk(table, folder=tmp_path).handout().read_text()
    assert "<script" not in page


def test_names_and_logos_are_bounded(tmp_path, desk):
    sheet = pack.demonstration_sheet(desk.report)
    with pytest.raises(ValueError, match="at most 80"):
        pack.html(sheet, coach="x" * 81)
    with pytest.raises(ValueError, match="A4, Letter"):
        pack.html(sheet, paper="A3")
    logo = tmp_path / "logo.svg"
    logo.write_text("<svg onload='alert(1)'/>")
    with pytest.raises(ValueError, match="neither a PNG nor a JPEG"):
        pack.html(sheet, logo=logo)
    big = tmp_path / "big.png"
    big.write_bytes(b"\x89PNG\r\n\x1a\n" + b"0" * 400_000)
    with pytest.raises(ValueError, match="at most 300 kB"):
        pack.html(sheet, logo=big)


def test_a_rule_that_cannot_be_asked_and_a_strange_heading_are_told():
    desk = Desk()
    desk._repr_mimebundle_()
    desk._view.intake.paste.value = PASTED.replace("\tcarry", "\tgizmo")
    told = html.unescape(desk._view.more.value)
    assert "no column of this table was taken for it: every shot counts" in told
    assert "Not understood and left out: gizmo." in told
