"""The model against what others see: loose rows held, misses said openly, bands scored beside the
first version's."""

import doctest

import numpy as np
import outside
import pytest
from outside import FIRST, PARTS, ROWS, interval_score, score


@pytest.fixture(scope="module")
def answers():
    """What the model says to every row, once."""
    return outside.answered()


def of_kind(kind):
    return [pytest.param(row, id=row.name) for row in ROWS if row.kind == kind]


def overlaps(row, answers):
    low, _, high = answers[row.name]
    return low <= row.high and high >= row.low


def test_every_row_has_a_mark_and_a_range():
    for row in ROWS:
        assert row.mark
        assert row.low <= row.seen <= row.high
    assert {row.kind for row in ROWS} == {"held", "calibration", "expected miss"}
    assert len({row.name for row in ROWS}) == len(ROWS)


@pytest.mark.parametrize("row", of_kind("held"))
def test_band_meets_what_is_seen_or_the_text_says_that_they_part(row, answers):
    assert overlaps(row, answers) == (row.name not in PARTS)


@pytest.mark.parametrize("row", of_kind("expected miss"))
def test_expected_misses_are_misses(row, answers):
    """Loss of spin, descent of full irons, wedge to wedge: common practice or memory, and the model does not reach it."""
    assert not overlaps(row, answers)


def test_what_was_calibrated_meets_its_rows(answers):
    # no check of the model: these rows set the share of grass and, together with Arakawa 2007, the ball's stiffness
    for name in ("light rough over tight", "5 cm rough over tight"):
        row = next(row for row in ROWS if row.name == name)
        assert answers[name][1] == pytest.approx(row.seen, rel=0.1)
    drive = next(row for row in ROWS if row.name == "contact of a drive")
    # a compromise between two contact times: stiffer than the drive asks for, by less than a fifth
    assert 0.8 < answers["contact of a drive"][1] / drive.seen < 1.0


@pytest.mark.parametrize("row", of_kind("held"))
def test_no_band_is_wider_without_a_physical_reason(row, answers):
    # wider bands cost interval score, which the table prints beside the first version's
    assert (outside.width_against_first(row.name, answers) > 1.11) == (row.name in outside.WIDER)
    if row.name in outside.WIDER:
        # the reason named is the whole reason: without that one doubt the band is the first version's or narrower
        held = {row.name: outside.without(row, outside.WIDER[row.name])}
        assert outside.width_against_first(row.name, held) < 1.11


def test_the_amount_of_water_is_not_why_wet_bands_are_wide(answers):
    # what the text says of the model: once wet, it hardly matters how wet
    for row in ROWS:
        if row.name.startswith("wet"):
            low, _, high = outside.without(row, "between.water")
            assert high - low > 0.9 * (answers[row.name][2] - answers[row.name][0])


def test_bands_hold_at_least_as_many_rows_as_the_first_version(answers):
    held = [row for row in ROWS if row.kind == "held"]
    assert score(held, answers)[0] >= score(held, FIRST)[0]


def test_interval_score_is_least_for_the_right_band():
    # Gneiting & Raftery 2007 (from memory): proper, so the 5 % and 95 % quantiles score best; here
    # of a uniform law
    outcomes = np.linspace(0, 1, 2001)

    def mean(low, high):
        return np.mean([interval_score(low, high, x) for x in outcomes])

    best = mean(0.05, 0.95)
    for low, high in ((0.0, 1.0), (0.1, 0.9), (0.05, 1.0), (0.2, 0.95)):
        assert mean(low, high) > best + 1e-3
    assert doctest.testmod(outside).failed == 0


def test_the_table_prints_everything(answers):
    told = outside.side_by_side(answers)
    assert all(row.name in told for row in ROWS)
    assert "coverage" in told and "first version" in told
    assert told.index("calibration:") > told.index("held:")
