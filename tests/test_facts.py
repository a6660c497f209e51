"""Claims as people type them: each comes out as it must, or is not judged at all.

What is right stands beside each claim, from what the trade and the rule makers found.  Marks: S seen, Q quoted, M from
memory, C computed, J our judgement.  A false “shown” would be repeated aloud: what is not understood must not be judged.
"""

import pytest

from spinlab.show import claim_words, facts
from spinlab.show.claim_reading import read
from spinlab.show.claim_trials import setting
from spinlab.show.claim_words import Unclear
from spinlab.show.exhibits import exhibits
from spinlab.show.facts import DEPENDS, NOT_SO, SHOWN, UNKNOWN, check

TABLE = f"""
# water: spin × 0.40 to 0.65, launch 6° to 11° higher, run-out longer for the same carry (common practice, no source)
{SHOWN}      | a wet ball spins less
{SHOWN}      | Does a wet ball spin less?
{SHOWN}      | is it true that water costs spin?
{SHOWN}      | A WET BALL SPINS LESS THAN A DRY ONE!
{NOT_SO}     | a dry ball spins less than a wet one
{SHOWN}      | a dry ball spins more than a wet one
{SHOWN}      | compared with a dry ball, a wet ball does not spin more
{SHOWN}      | a wet ball never spins more
{NOT_SO}     | a wet ball doesn't spin less
{SHOWN}      | a wet ball doesn't spin as much as a dry one
{NOT_SO}     | a wet ball spins as much as a dry one
{NOT_SO}     | water makes no difference
{NOT_SO}     | water has no effect
{SHOWN}      | rain kills spin
{SHOWN}      | a damp ball spins less than a dry one
{SHOWN}      | less spin with water
{SHOWN}      | without water the ball spins more
{SHOWN}      | the ball spins less when wet
{DEPENDS}    | wet halves the spin
{DEPENDS}    | a wet ball spins half as much as a dry one
{DEPENDS}    | dew costs 50% of the spin
{NOT_SO}     | dew doubles the spin
{DEPENDS}    | a wet ball loses 3000 rpm
{SHOWN}      | water makes it fly higher
{SHOWN}      | a wet ball comes out higher
{NOT_SO}     | a wet ball comes out lower
{SHOWN}      | a wet ball doesn't launch lower
{DEPENDS}    | a wet ball launches 7° higher
{DEPENDS}    | a wet ball runs more
# loft: spin peaks, the earlier the less friction there is (J, after Cross 2002)
{DEPENDS}    | a 60 spins more than a 54
{DEPENDS}    | a 54 spins less than a 60
{DEPENDS}    | a 54° spins more than a 60°
{DEPENDS}    | a 60 degree wedge spins more than a 54 degree wedge
{DEPENDS}    | clean and dry, a 60 spins more than a 54
{DEPENDS}    | a clean and dry 60 spins more than a clean and dry 54
{SHOWN}      | when wet, a 60 spins less than a 54
{SHOWN}      | a wet 60 spins less than a wet 54
{DEPENDS}    | a 60 never spins more than a 54
{NOT_SO}     | more loft always means more spin
{SHOWN}      | more loft does not always mean more spin
{SHOWN}      | more loft can mean less spin
{DEPENDS}    | the more loft, the more spin
{SHOWN}      | more loft launches higher
{NOT_SO}     | less loft launches higher
# for the same carry more loft comes down more steeply (common practice, no source)
{SHOWN}      | more loft stops quicker
{SHOWN}      | a 60 stops shorter than a 54
{NOT_SO}     | a 60 runs further than a 54
{SHOWN}      | a 60 flies higher than a 54
# grooves: no significant difference on dry faces, 20° to 60° of loft (study of the governing bodies, 2006, Q)
{NOT_SO}     | grooves grip the ball
{NOT_SO}     | Grooves make the spin.
{SHOWN}      | grooves don't grip the ball
{NOT_SO}     | grooves don't not grip
{SHOWN}      | it is a myth that grooves grip the ball
{NOT_SO}     | it is not true that grooves don't grip the ball
{NOT_SO}     | groovs grip the ball
{SHOWN}      | dry, grooves make no difference
{SHOWN}      | a plain face spins the same as a grooved face when dry
{SHOWN}      | grooves let water out
{SHOWN}      | in the wet, grooves add spin
{SHOWN}      | grooves matter in the wet
{SHOWN}      | grooveless faces spin less when wet
{DEPENDS}    | grooves matter
# wear shows in the wet (J)
{DEPENDS}    | worn grooves cost spin
{SHOWN}      | a worn wedge spins less in the wet
{NOT_SO}     | fresh grooves spin more than worn ones when dry
# covers: a few per cent apart where both grip (common practice, no source), which is about what anybody notices
{DEPENDS}    | a soft ball spins more
{DEPENDS}    | range balls spin less than soft ones
{DEPENDS}    | a premium ball spins less
{DEPENDS}    | a hard ball spins as much as a soft one when dry
{SHOWN}      | when wet, a distance ball spins less than a premium ball
{DEPENDS}    | a sofft ball spins more
# cleaning: a tee clears the grooves, and the flats meet the ball (J)
{SHOWN}      | a towel is better than a tee
{NOT_SO}     | a towel is not better than a tee
{NOT_SO}     | a tee cleans better than a towel
{SHOWN}      | a clean face spins more
{SHOWN}      | dirty grooves cost spin
{SHOWN}      | spin is higher with a clean face
{SHOWN}      | a ball spins less from the rough
# where the ball grips, spin goes with speed (C: a rolling ball's spin is proportional to it)
{SHOWN}      | a faster swing spins more
{SHOWN}      | a swing of 54 mph spins more than one of 45 mph
{NOT_SO}     | a swing of 24 m/s spins less than a swing of 20 m/s
{SHOWN}      | hitting it harder makes it spin more
# attack: more spin loft, up to the peak (J)
{DEPENDS}    | hitting down more adds spin
{NOT_SO}     | when wet, 10° down spins more than 4° down
"""
ROWS = [tuple(part.strip() for part in line.split("|")) for line in TABLE.splitlines() if "|" in line]

UNJUDGED = """
# words that are not known
a red ball spins more | 7 iron spins more | a bunker shot spins less | a wet ball spins a lot less | the moon is cheese
a wet ball spins more because grooves are closed | a shower costs spin | grooves only matter in the wet
which spins more, a 60 or a 54 | unless wet, a 60 spins more than a 54 | a sand wedge spins less than a lob wedge
more side spin when wet | a wet driver spins less | wet halves the ball speed | topspin is less when wet
# known words of something else
old balls spin less | a new ball spins more | a soft wedge spins more | a rough face spins more | a soft swing spins less
the cover adds spin when wet | the cover makes no difference when dry | a fast ball spins more
# more than one thing at once, or too little
water costs spin and raises launch | a wet 60 spins less than a dry 54 | without grooves a wet ball spins less
a 60 spins more | wet | spin | more | ?! | grooves | a wet ball spins | loft is spin | wet is dry | more is less
a wet ball spins less than a wet ball | it spins more than a wet ball | a 60 spins more than less loft
# denials that can be taken two ways
doesn't a wet ball spin less? | a ball that is not wet spins less | a wet ball never doesn't spin less
wet grooves spin less
# numbers that belong to something else
from 40 yards a 60 stops quicker than a 54 | a 40 yard pitch runs more when wet | a wet ball spins 3000 rpm
water costs up to half the spin | water costs more than half the spin | water halves the launch | 2 balls spin less
a swing of 300 mph spins more than one of 45 mph | a wet ball launches 3 yards higher
a wet ball stops 5 rpm shorter | <script>alert(1)</script> | =1+1 | a 60 spins 10 times more than a 54
"""
UNJUDGED = ["", *(claim for line in UNJUDGED.splitlines() if line[:1] not in ("#", "") for claim in line.split(" | "))]


def judged(claim):
    """The verdict, or that it cannot be said; a loft that no wedge has is refused in words as well."""
    try:
        return check(claim).verdict
    except ValueError:
        return UNKNOWN


def test_the_table_is_long_and_of_every_verdict():
    assert len({claim for _, claim in ROWS}) == len(ROWS) >= 75
    assert {verdict for verdict, _ in ROWS} == {SHOWN, DEPENDS, NOT_SO}


@pytest.mark.parametrize(("verdict", "claim"), ROWS)
def test_a_claim_comes_out_as_it_must(verdict, claim):
    answer = check(claim)
    assert answer.verdict == verdict, str(answer)
    assert answer.trials and all(trial.sentence in answer.reason for trial in answer.trials)
    assert answer.picture in exhibits() and "[" in answer.source and answer.understood
    for trial in answer.trials:
        assert trial.band.low <= trial.band.mid <= trial.band.high
        assert any(letter.isdigit() for letter in trial.sentence) or trial.alike


@pytest.mark.parametrize("claim", UNJUDGED)
def test_what_is_not_understood_is_not_judged(claim):
    assert judged(claim) == UNKNOWN


def test_it_says_what_is_in_the_way_and_what_can_be_asked():
    answer = check("a red ball spins more")
    assert "“red” is not a word that is understood here" in answer.reason and not answer.trials and not answer.picture
    assert all(example in answer.reason for example in facts.EXAMPLES)
    assert "change one thing at a time" in check("a wet 60 spins less than a dry 54").reason
    with pytest.raises(ValueError, match="lofts from 40° to 68°.*10°"):
        check("a 60 spins more than a 10")


# -- it cannot be fooled ----------------------------------------------------------------------------------------------

CONTRARY = {SHOWN: NOT_SO, NOT_SO: SHOWN, DEPENDS: DEPENDS}
PLAIN = [("a wet ball", "a dry ball", "spins"), ("a 60", "a 54", "spins"), ("a soft ball", "a hard ball", "spins"),
         ("a dirty face", "a clean face", "spins"), ("a worn face", "a fresh face", "spins"), ("a towel", "a tee", "spins"),
         ("a wet ball", "a dry ball", "launches"), ("a 60", "a 54", "stops"), ("a steep swing", "a shallow swing", "spins"),
         ("a grooved face", "a plain face", "spins")]


@pytest.mark.parametrize(("this", "that", "does"), PLAIN)
def test_turned_round_it_comes_out_turned_round(this, that, does):
    """Logic alone: a > b is b < a; a denial turns the answer round; not both of more and less are so."""
    more, less = {"stops": ("quicker", "slower"), "launches": ("higher", "lower")}.get(does, ("more", "less"))
    plain, swapped = check(f"{this} {does} {more} than {that}"), check(f"{that} {does} {less} than {this}")
    assert plain.verdict == swapped.verdict
    assert check(f"{this} {does} not {more} than {that}").verdict == CONTRARY[plain.verdict]
    assert check(f"is it true that {this} {does} {more} than {that}?").verdict == plain.verdict
    assert {plain.verdict, check(f"{this} {does} {less} than {that}").verdict} != {SHOWN}
    for one, other in zip(plain.trials, swapped.trials):
        if one.band.kind == "ratio":
            assert one.band.mid * other.band.mid == pytest.approx(1)
        else:
            assert one.band.mid == pytest.approx(-other.band.mid)


def test_another_word_in_any_place_is_never_passed_over():
    """Whatever is put in, the answer stays or there is none: no word is read as if it were not there."""
    for claim in ("a wet ball spins less", "grooves let water out", "a 60 spins more than a 54 when dry"):
        words = claim.split()
        for place in range(len(words) + 1):
            for strange in ("purple", "hardly", "unless", "putter", "zwölf", "17"):
                assert judged(" ".join([*words[:place], strange, *words[place:]])) == UNKNOWN


def test_a_slip_of_the_pen_is_named_and_never_guessed_between_two():
    assert "groovs → grooves" in check("groovs let water out").understood
    for word in ("groovs", "spinns", "cleann", "softt", "lanuch", "towwel", "wett"):
        assert claim_words._near(word).kind
    for word in ("red", "shower", "tower", "clear", "rail", "driver", "master", "bolder", "putter", "iron", "wed", "softie"):
        assert claim_words._near(word) is None


def test_what_is_understood_is_said_in_other_words():
    assert check("a wet ball does not always spin less").understood == (
        "a wet ball against a dry ball, with the same swing: not always less spin")
    assert "for the same carry" in check("a 60 stops quicker than a 54").understood
    asked = read("when wet, a 60 never spins 20% less than a 54")
    assert (asked.factor, asked.this, asked.that, asked.given) == ("loft", 60, 54, {"water": "wet"})
    assert (asked.sense, asked.scope) == ("times", "never") and asked.size == pytest.approx(0.8)


def test_units_are_read_and_spoken():
    from spinlab.units import mph, yd

    asked = read("a swing of 54 mph spins more than one of 24,0 m/s")
    assert asked.this == pytest.approx(54 * mph) and asked.that == pytest.approx(24)
    assert read("a 60 stops 3 yards shorter than a 54").size == pytest.approx(-3 * yd)
    metric, yards = check("a wet ball runs more"), check("a wet ball runs more", units="yards")
    assert " m (" in metric.reason and " yd (" in yards.reason and metric.verdict == yards.verdict


def test_a_setting_is_what_was_named():
    """Hand count: a caked, wet, worn face with a hard cover changes just these."""
    plain, other = setting({}), setting({"soil": "caked", "water": "wet", "wear": "worn", "cover": "hard", "loft": 60.0})
    assert (plain.between.water, plain.between.soil_on_lands, other.between.soil_on_lands) == (0, 0, 0.6)
    assert other.between.water == pytest.approx(30e-6) and other.face.name == "worn wedge"
    assert other.ball != plain.ball and other.arriving.dynamic_loft > plain.arriving.dynamic_loft
    with pytest.raises(Unclear, match="8 to 45 m/s"):
        setting({"speed": 100.0})


def test_the_examples_are_of_different_kinds():
    seen = {(asked.factor, asked.of, asked.sense, tuple(asked.given)) for asked in map(read, facts.EXAMPLES)}
    assert len(seen) >= len(facts.EXAMPLES) - 1
