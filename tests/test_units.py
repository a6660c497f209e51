"""Units: exact factors, and reading a unit's written name."""

import math
import re
from pathlib import Path

import pytest

from spinlab import units as u


@pytest.mark.parametrize("value, si, source", [
    (u.inch, 0.0254, "international inch, NIST SP 811 B.8, M"),
    (u.ft, 0.3048, "NIST SP 811 B.8, M"),
    (u.yd, 0.9144, "NIST SP 811 B.8, M"),
    (u.mph, 0.44704, "NIST SP 811 B.8, M: exact"),
    (u.knot, 0.514444444444, "1852 m an hour, NIST SP 811, M"),
    (u.psi, 6894.757293168, "NIST SP 811 B.8, M"),
    (u.lb, 0.45359237, "NIST SP 811 B.8, M: exact"),
    (u.oz, 0.028349523125, "a sixteenth of a pound, M: exact"),
    (u.rpm, 2 * math.pi / 60, "definition"),
    (u.deg, math.pi / 180, "definition"),
    (u.GRAVITY, 9.80665, "standard acceleration of free fall, SI brochure, M"),
])
def test_factors(value, si, source):
    assert value == pytest.approx(si, rel=1e-12), source


@pytest.mark.parametrize("written, name, value, si", [
    ("MPH", "mph", 45, 20.1168), ("°F", "°F", 59, 288.15), ("degF", "°F", 32, 273.15), ("°C", "°C", 15, 288.15),
    ("[rev/min]", "rpm", 60, 2 * math.pi), ("µm", "µm", 40, 40e-6), ("μm", "µm", 40, 40e-6), ("um", "µm", 40, 40e-6),
    ("yds.", "yd", 50, 45.72), ("deg", "°", 180, math.pi), ("º", "°", 180, math.pi), ("m per s", "m/s", 3, 3.0),
    ("km / h", "km/h", 36, 10.0), ("%", "%", 40, 0.4), ("MPa", "MPa", 190, 0.19e9), ("fps", "ft/s", 10, 3.048),
])
def test_written_names(written, name, value, si):
    got = u.unit(written)
    assert got.name == name
    assert got.to_si(value) == pytest.approx(si, rel=1e-12)
    assert got.from_si(got.to_si(value)) == pytest.approx(value, rel=1e-12, abs=1e-12)


def test_every_unit_there_and_back():
    for name, entry in u.UNITS.items():
        assert entry.from_si(entry.to_si(12.5)) == pytest.approx(12.5), name
        assert u.unit(name) == entry


@pytest.mark.parametrize("written", ["furlong", "mPa", "", "rpm/s"])
def test_unknown_names_are_refused_or_plain(written):
    if written == "":
        assert u.unit(written).quantity == "share"
        return
    with pytest.raises(ValueError, match="not known; use one of"):
        u.unit(written)


def test_same_quantity():
    assert u.same_quantity("mph", "m/s", "ft/s")
    assert not u.same_quantity("mph", "yd")


@pytest.mark.parametrize("value, options, told", [
    # digits in groups of three, parted by a thin space, neither dot nor comma: SI Brochure, 9th edition, 5.4.4 (M)
    (43279.168, {"digits": 3}, "43\u202f279.168"), (6300.4, {}, "6\u202f300"), (1_234_567, {}, "1\u202f234\u202f567"),
    (950, {}, "950"), (-1250.0, {}, "−1\u202f250"), (850, {"sign": True}, "+850"), (-0.04, {"digits": 1}, "0.0"),
    (0.0, {"sign": True}, "0"), (12345.6, {"figures": 4}, "12\u202f350"), (0.0400, {"figures": 4}, "0.04"),
])
def test_numbers_for_reading(value, options, told):
    assert u.written(value, **options) == told
    again = float(told.replace("\u202f", "").replace("−", "-"))
    assert again == pytest.approx(value, abs=5 if "figures" in options else 0.5)


def test_a_number_for_reading_is_understood_when_it_comes_back():
    from spinlab.evidence.intake.cells import number

    assert number(u.written(6450), None).value == 6450


def test_thousands_are_parted_in_one_place():
    """No comma between thousands in the formats of the package and of the lessons (common practice, no source)."""
    home = Path(u.__file__).parent
    files = [*home.rglob("*.py"), *(home.parent / "notebooks").glob("*.ipynb")]
    assert len(files) > 100
    found = [f"{path.name}: {line.strip()}" for path in files if path != Path(u.__file__)
             for line in path.read_text(encoding="utf-8").splitlines() if re.search(r":[+<>]?\d*,(\.\S+)?[fdg]?\}", line)]
    assert not found


def test_values_are_said_in_one_way():
    from spinlab.evidence.wording import saying
    from spinlab.show.style import METRIC

    # spin to tens, so that 6 288.6 and 6 289.4 are one number; angles and lengths as asked
    assert u.said(6288.6 * u.rpm, "rpm") == u.said(6289.4 * u.rpm, "rpm") == "6\u202f290 rpm"
    assert u.said(6284.9 * u.rpm, "rpm") == "6\u202f280 rpm"
    assert u.said(-850 * u.rpm, "rpm", sign=True) == "−850 rpm" and u.said(4 * u.rpm, "rpm", sign=True) == "0 rpm"
    assert u.said(7.14 * u.deg, "°", 1, sign=True) == "+7.1°" and u.said(0.52, "%") == "52%"
    for value in (6288.6, -12.0, 0.3):
        assert METRIC.say("spin", value * u.rpm) == saying("spin_rate").number(value * u.rpm) == u.said(value * u.rpm, "rpm")


def test_rules_of_numbers_are_data():
    import json

    rules = json.loads(json.dumps(u.number_rules()))
    assert rules["units"]["°C"] == {"scale": 1.0, "offset": 273.15} and rules["steps"] == {"rpm": 10}
    assert u.said(1234567 * u.rpm, "rpm").count(rules["thousands"]) == 2
