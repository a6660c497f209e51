"""The planning desk and its sheet: what is planned, what is printed, what is prepared."""

import html
import re
from html.parser import HTMLParser

import pytest

from spinlab.care import SAFETY, WATER
from spinlab.evidence.plan import plan
from spinlab.show import pack
from spinlab.show.entry import Entry
from spinlab.show.planner import MEASURES, ORDERS, Planner
from spinlab.units import deg, rpm

TABLE = "condition,spin [rpm]\n" + "".join(f"{name},{spin}\n" for name, spins in
                                          (("dry", (6000, 6200, 6400)), ("wet", (3000, 3200, 3400))) for spin in spins)


class Outline(HTMLParser):
    """Rows of the sheet's table, and every tag with its attributes."""

    def __init__(self, page):
        super().__init__()
        self.rows, self.tags, self._cell = [], [], None
        self.feed(page)

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))
        if tag == "tr":
            self.rows.append([])
        if tag in ("td", "th"):
            self.rows[-1].append("")
            self._cell = True

    def handle_endtag(self, tag):
        self._cell = None if tag in ("td", "th") else self._cell

    def handle_data(self, data):
        if self._cell:
            self.rows[-1][-1] += data


@pytest.fixture
def planner(tmp_path):
    return Planner(folder=tmp_path / "out", sessions=tmp_path / "sessions")


def test_it_plans_what_the_plan_plans(planner):
    told = plan(1500 * rpm, "club player", dynamic_loft=(40 * deg, 48 * deg))
    assert planner.plan.shots_each == told.shots_each == 8 and planner.plan.chance == told.chance
    assert planner.sentence == told.sentence("metric")
    planner.choose(units="yards", of="carry")
    assert "5.5 yd" in planner.sentence, "5 m = 5.468 yd (by hand) [C]"


@pytest.mark.parametrize("order", ORDERS)
@pytest.mark.parametrize("of", MEASURES)
def test_every_measure_and_order_can_be_planned(planner, of, order):
    planner.choose(of=of, order=order)
    assert planner.plan.of == of and planner.plan.chance >= 0.9
    assert sorted(planner.plan.order).count("dry") == planner.plan.shots_each == planner.plan.order.count("wet")
    if order == "last":
        assert planner.plan.order == tuple(sorted(planner.plan.order)) and "stops carry-over" in planner.plan.cautions[0]


def test_an_earlier_table_lends_its_scatter(planner):
    # within each condition 6000, 6200, 6400: s = 200 rpm, df = 4; careful: 200·√(4/χ²(0.2; 4)) with χ² = 1.648777 [C]
    planner.choose(scatter=TABLE)
    assert planner.plan.scatter / rpm == pytest.approx(200 * (4 / 1.648777) ** 0.5, rel=1e-5)


@pytest.mark.parametrize("changes, says", [
    ({"effect": 1 * rpm}, "more than 500 shots"), ({"conditions": ("dry", "dry")}, "two different conditions"),
    ({"of": "bounce"}, "one of spin_rate"), ({"units": "furlongs"}, "units must be"), ({"colour": "red"}, "no colour"),
    ({"scatter": "nobody", "order": "ABBA"}, "nobody")])
def test_what_cannot_be_planned_is_said_and_the_last_plan_stays(planner, changes, says):
    before = planner.plan, dict(planner.choices)
    with pytest.raises(ValueError, match=says):
        planner.choose(**changes)
    assert (planner.plan, planner.choices) == before


def test_the_sheet_has_a_blank_line_for_every_shot(planner):
    page = planner.write(coach="Ann <b>").read_text(encoding="utf-8")
    rows = Outline(page).rows
    laid = planner.plan
    assert rows[0] == ["shot", "block", "condition", "head speed [m/s]", "dynamic loft [°]", "launch angle [°]",
                       "spin rate [rpm]", "carry [m]", "counts?", "note"]
    body = rows[1:]
    assert [row[0] for row in body] == [str(k + 1) for k in range(len(body))]
    assert tuple(row[2] for row in body[:16]) == laid.order and len(body) == 16 + 2 * laid.spare
    assert all(cell == "" for row in body for cell in row[3:]) and {row[1] for row in body[16:]} == {"spare"}
    for words in (*laid.rules, *laid.kit, *SAFETY, *WATER):
        assert words in html.unescape(page)
    assert "Ann &lt;b&gt;" in page and planner.sentence in page


def test_the_sheet_stands_alone(planner):
    page = planner.write().read_text(encoding="utf-8")
    assert not re.search(r"(?:src|href)\s*=\s*[\"'](?!data:)", page)
    tags = [tag for tag, _ in Outline(page).tags]
    assert "script" not in tags and "link" not in tags and "iframe" not in tags
    planner.choose(conditions=("dry", "<script>alert(1)</script> wet"))
    assert "<script>" not in planner.write().read_text(encoding="utf-8")


def test_nothing_is_quite_certain():
    assert pack.odds(0.9999) == "over 99 %" and pack.odds(0.42) == "42 %"


def test_a_prepared_session_waits_for_live_entry_in_the_planned_order(planner):
    path = planner.prepare("clinic", player="Robin")
    entry = Entry(folder=planner.sessions)
    assert entry.session.path == path and entry.session.player == "Robin"
    assert entry.session.order == planner.plan.order
    assert [field.name for field in entry.session.fields] == ["condition", *planner.plan.columns, "note"]
    for _ in range(3):
        entry.add(spin_rate=6000)
    assert [shot.cells["condition"] for shot in entry.shots] == list(planner.plan.order[:3])


def test_the_widgets_turn_the_plan_and_say_what_is_wrong(planner):
    planner._repr_mimebundle_()
    view = planner._view
    view.effect.value = 800
    assert planner.plan.effect == pytest.approx(800 * rpm) and planner.plan.shots_each > 20
    view.second.value = "dry"
    assert "two different conditions" in view.wrong.value and planner.plan.conditions == ("dry", "wet")
    view.second.value = "damp"
    assert view.wrong.value == "" and planner.plan.conditions == ("dry", "damp") and "damp" in view.said.value
    view.of.value = "launch_angle"
    assert view.effect.description == "By at least [°]" and view.effect.value == 5.0
    view.units.value = "yards"
    view.of.value = "carry"
    assert view.effect.description == "By at least [yd]" and view.effect.value == pytest.approx(5.468, abs=1e-3)
    view.write.value = True
    assert planner.written.exists() and str(planner.written) in view.said.value and view.write.value is False
    view.prepare.value = True
    assert planner.prepared.exists()
    assert 'alt="' in view.picture.value


def test_an_uploaded_table_gets_a_place_among_the_choices(planner):
    planner._repr_mimebundle_()
    view = planner._view
    view._uploaded({"new": ({"content": memoryview(TABLE.encode())},)})
    assert view.scatter.label == "your own table" and planner.plan.scatter / rpm == pytest.approx(311.5, abs=0.1)
    view.wanted.value = 80
    assert planner.plan.scatter / rpm == pytest.approx(311.5, abs=0.1), "and stays when something else is turned"
    view.scatter.value = "steady hitter"
    assert planner.plan.scatter / rpm == pytest.approx(400) and "your own table" not in dict(view.scatter.options)
    view._uploaded({"new": ({"content": b"nothing of use"},)})
    assert view.wrong.value != "" and planner.plan.scatter / rpm == pytest.approx(400)
