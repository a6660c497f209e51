"""Words to take away: claims checked against what others found, sheets, storyboard, harmless tables.

Marks: S seen, Q quoted, M from memory, C computed, J our judgement.
"""

import csv
import io

import pytest

from spinlab.physics.bands import Band
from spinlab.show import facts, words
from spinlab.show.claim_words import Reading
from spinlab.show.exhibits import exhibits
from spinlab.show.facts import ALIKE, DEPENDS, NOT_SO, SHOWN, Trial, check


@pytest.fixture(scope="module")
def answers():
    return {claim: check(claim) for claim in ("grooves grip the ball", "a 60 spins more than a 54")}


def test_grooves_do_nothing_dry_and_much_wet(answers):
    """Dry within 3 % of none (the study of 2006, Q); wet well above one."""
    assert abs(answers["grooves grip the ball"].trials[0].band.mid - 1) < 0.03
    assert check("grooves let the water out").trials[0].band.low > 1.3


def test_the_number_in_the_words_is_the_number_computed(answers):
    trial = answers["a 60 spins more than a 54"].trials[0]
    assert f"{trial.band.mid:.2f} times" in trial.sentence and trial.when == "clean and dry"
    assert f"({trial.band.low:.2f} to {trial.band.high:.2f})" in trial.sentence


def test_what_cannot_be_compared_is_refused():
    with pytest.raises(ValueError, match="200 characters"):
        check("wet " * 100)


def trial(low, mid, high, kind="ratio", unit=""):
    band = Band(of="spin_rate", kind=kind, low=low, mid=mid, high=high, level=0.9, unit=unit, noun="spin", draws=None)
    return Trial(when="now", band=band, sentence="")


@pytest.mark.parametrize(("band", "side"), [((1.1, 1.2, 1.3), 1), ((0.7, 0.8, 0.9), -1), ((0.9, 1.1, 1.3), 0),
                                            ((1.01, 1 + 0.9 * ALIKE, 1.05), 0)])
def test_a_side_is_taken_by_the_whole_band(band, side):
    assert trial(*band).side() == side


def test_the_verdict_needs_every_trial():
    more, less, like = trial(1.1, 1.2, 1.3), trial(0.7, 0.8, 0.9), trial(1.0, 1.01, 1.02)
    wide = trial(0.8, 1.1, 1.3)

    def judge(found, sense, **changes):
        return facts.verdict(Reading(factor="water", this="wet", that="dry", of="spin_rate", sense=sense, **changes), found)

    assert judge([more, more], "more") == SHOWN and judge([more, more], "less") == NOT_SO
    assert judge([less, like], "more") == NOT_SO and judge([more, like], "more") == DEPENDS
    assert judge([more, less], "more") == DEPENDS and judge([wide], "more") == DEPENDS
    assert judge([more, less], "more", scope="always") == NOT_SO == judge([more, less], "more", scope="never")
    assert judge([more, wide], "more", scope="always") == DEPENDS == judge([wide, less], "more", scope="never")
    assert judge([more, less], "more", scope="always", denied=True) == SHOWN == judge([more, less], "more", scope="some")
    assert judge([like, like], "same") == SHOWN == judge([like], "effect", denied=True) == judge([like], "more", denied=True)
    assert judge([trial(0.8, 1.01, 1.3)], "same") == DEPENDS, "a wide band about none is no proof that there is none"
    assert judge([trial(0.8, 1.01, 1.3)], "more") == DEPENDS == judge([trial(0.8, 1.01, 1.3)], "more", denied=True)
    assert judge([trial(0.4, 0.5, 0.6)], "times", size=0.52) == SHOWN
    assert judge([trial(0.1, 0.8, 3.0)], "times", size=2.0) == DEPENDS, "a wide band does not show every number in it"
    assert judge([trial(0.4, 0.5, 0.6)], "times", size=0.9) == NOT_SO


# -- sheets and storyboard --------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def sheet():
    return words.claims(["wet halves the spin", "grooves grip the ball"])


def test_each_sentence_has_number_band_ground_and_mark(sheet):
    assert len(sheet) == 4
    for claim in sheet:
        assert claim.number.startswith("×") and " to " in claim.band and "model" in claim.rests_on and "[" in claim.source
        low, high = map(float, claim.band.split(" to "))
        assert low <= float(claim.number[2:]) <= high


def test_measured_claims_come_first_with_their_shots():
    from spinlab.evidence import report
    from spinlab.show.desk import demonstration_tables
    from spinlab.show.pack import default_rule

    made = report.make(demonstration_tables()["pitch_states.csv"], rule=default_rule(), model_bands=False)
    first, *_ = words.claims([], report=made)
    ratio = made.headline["spin_rate"].only.test.ratio
    assert first.number == f"× {ratio.value:.2f}" and "9 dry and 9 wet shots" in first.rests_on
    assert first.sentence.startswith("Shown: wet spun")


def test_a_claim_of_no_known_kind_stops_the_sheet():
    with pytest.raises(ValueError, match="'cheese': “cheese” is not a word"):
        words.claims(["cheese"])


def test_the_storyboard_leaves_time_to_say_it():
    """145 words a minute (common practice, no source): 24 words take 9.9 s and a breath (computed)."""
    board = words.storyboard([("you", " ".join(["word"] * 24), ""), ("you", "Short.", "")])
    assert board[0].begin == 0 and board[0].end == pytest.approx(24 / 2.4 + 0.8)
    assert board[1].begin == board[0].end and board[1].end - board[1].begin == pytest.approx(4)


def test_the_offered_story_shows_what_there_is():
    from spinlab.show.moving import CLIPS

    for seen, said, claim in words.STORY:
        kind, _, name = seen.partition(" ")
        assert (said is None) == bool(claim)
        if kind in ("Clip", "Picture"):
            assert name in (CLIPS if kind == "Clip" else exhibits())


# -- tables -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("cell", ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", "\n=1", " =1", "＝1"])
def test_no_cell_begins_like_a_formula(cell):
    """The leading signs of OWASP's page on CSV injection (M), with blanks before them and their wide forms."""
    assert words.neutral(cell) == "'" + cell


@pytest.mark.parametrize("cell", ["spin", "a = b", "× 0.52", "−3.4 m", -6.5, 3, "1-2"])
def test_harmless_cells_stay_as_they_are(cell):
    assert words.neutral(cell) == cell


def test_a_number_in_a_cell_is_one_number():
    """A narrow blank between thousands is for readers; a program would see two numbers (common practice, no source)."""
    assert words.neutral("6\u202f300 rpm") == "6300 rpm"


def test_a_table_read_back_is_the_table_written(tmp_path):
    claim = words.Claim(about="=cmd|' /C calc'!A0", sentence='says "a, b"\nand c', number="−1", band="+1 to 2",
                        rests_on="@x", source="µ °")
    path = words.write([claim], tmp_path / "claims.csv")
    assert path.read_bytes().startswith(b"\xef\xbb\xbf"), "spreadsheets need the mark to read µ"
    head, row = csv.reader(io.StringIO(path.read_text(encoding="utf-8-sig"), newline=""))
    assert head == ["about", "sentence", "number", "band", "rests on", "source"]
    assert row == ["'=cmd|' /C calc'!A0", 'says "a, b"\nand c', "−1", "'+1 to 2", "'@x", "µ °"]


def test_a_spreadsheet_sees_text(tmp_path):
    """Read by pandas as a spreadsheet would be filled: no cell begins with a sign of a formula."""
    import pandas as pd

    shots = [words.Shot(begin=0.0, end=4.0, seen="=1+1", said="-2"),
             words.Shot(begin=4.0, end=8.0, seen="a", said="@b")]
    frame = pd.read_csv(words.write(shots, tmp_path / "board.csv"), encoding="utf-8-sig")
    assert frame["begin"].tolist() == [0.0, 4.0], "numbers stay numbers"
    assert not frame[["seen", "said"]].map(lambda cell: cell[0] in "=+-@").any().any()


def test_text_and_refusals(tmp_path, sheet):
    text = words.write(sheet, tmp_path / "claims.txt").read_text(encoding="utf-8")
    assert text.count("rests on: ") == 4
    board = words.storyboard([("you", "Short.", "")])
    assert "0:04.0" in words.plain_text(board)
    with pytest.raises(ValueError, match="as .csv or .txt"):
        words.write(board, tmp_path / "board.pdf")
    with pytest.raises(ValueError, match="nothing to write"):
        words.write([], tmp_path / "none.csv")
    assert words.write(sheet, tmp_path / "claims.pdf").read_bytes().startswith(b"%PDF")
