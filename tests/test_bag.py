"""A bag kept and opened again, and what it can do."""

import json
from dataclasses import replace

import numpy as np
import pytest

from spinlab.catalogue import GREENS, LEAN, LIES, WEAR
from spinlab.evidence.bag import EXAMPLE, Bag, Wedge, load, save
from spinlab.evidence.clubs import choose, reach, would_help
from spinlab.physics.shot import play
from spinlab.units import deg

FOUR = replace(EXAMPLE, wedges=(*EXAMPLE.wedges, Wedge(name="lob", loft=60 * deg)))


# -- the file ---------------------------------------------------------------------------------------------------------


def test_kept_and_opened_again(tmp_path):
    path = save(FOUR, tmp_path / "my bag.json")
    again = load(path)
    assert [(w.name, w.wear) for w in again.wedges] == [(w.name, w.wear) for w in FOUR.wedges]
    assert [w.loft for w in again.wedges] == pytest.approx([w.loft for w in FOUR.wedges])
    assert replace(again, wedges=FOUR.wedges, lean=FOUR.lean, attack_angle=FOUR.attack_angle) == FOUR
    assert (again.lean, again.attack_angle) == pytest.approx((FOUR.lean, FOUR.attack_angle))


def test_file_can_be_read_by_hand(tmp_path):
    told = json.loads(save(EXAMPLE, tmp_path / "bag.json").read_text(encoding="utf-8"))
    assert told["version"] == 1
    assert [w["loft [°]"] for w in told["wedges"]] == [46, 52, 56]
    assert told["lean [°]"] == pytest.approx(LEAN / deg)


def test_failed_save_leaves_the_old_file(tmp_path, monkeypatch):
    path = save(EXAMPLE, tmp_path / "bag.json")
    before = path.read_bytes()
    monkeypatch.setattr("os.replace", lambda *a: (_ for _ in ()).throw(OSError("disk full")))
    with pytest.raises(OSError, match="disk full"):
        save(FOUR, path)
    assert path.read_bytes() == before
    assert [p.name for p in tmp_path.iterdir()] == ["bag.json"]


@pytest.mark.parametrize(
    ("change", "message"),
    [
        (lambda told: told.pop("format"), "not a bag"),
        (lambda told: told.update(version=2), "version 2"),
        (lambda told: told.update(shoes="brown"), "shoes"),
        (lambda told: told["wedges"][0].pop("loft [°]"), "missing"),
        (lambda told: told["wedges"][0].update({"loft [°]": 20}), "40° … 70°"),
        (lambda told: told.update(wedges=[]), "one wedge"),
        (lambda told: told.update(ball="feather"), "feather.*soft cover"),
    ],
)
def test_what_does_not_belong_is_refused(tmp_path, change, message):
    path = save(EXAMPLE, tmp_path / "bag.json")
    told = json.loads(path.read_text(encoding="utf-8"))
    change(told)
    path.write_text(json.dumps(told), encoding="utf-8")
    with pytest.raises(ValueError, match=message):
        load(path)


def test_torn_file_is_refused(tmp_path):
    path = tmp_path / "bag.json"
    path.write_bytes(b'{"format": "spinlab bag", "wedg')
    with pytest.raises(ValueError, match="cannot|can be read"):
        load(path)


# -- what it can do ---------------------------------------------------------------------------------------------------


def test_more_loft_carries_less_and_stops_sooner():
    found = reach(FOUR)
    assert found.carry.shape == (4, 3)
    assert (np.diff(found.carry[:, -1]) < 0).all()
    assert (np.diff(found.carry, axis=1) > 0).all()
    assert (found.gaps > 0).all()
    assert "With a full pitch swing" in found.say()


def test_reach_is_what_play_gives():
    wedge = EXAMPLE.wedges[1]
    s = EXAMPLE.setting(wedge, 0.8 * EXAMPLE.head_speed)
    shot = play(s.arriving, s.face, s.ball, s.between, s.air, s.green)
    assert reach(EXAMPLE).carry[1, 1] == pytest.approx(shot.carry, rel=1e-6)
    assert reach(EXAMPLE).run_out[1, 1] == pytest.approx(shot.run_out, rel=1e-4)


def test_hole_in_the_bag_is_told():
    two = replace(EXAMPLE, wedges=(Wedge(name="pitching", loft=46 * deg), Wedge(name="lob", loft=60 * deg)))
    assert "A hole is left from pitching to lob" in reach(two).say()
    twins = replace(EXAMPLE, wedges=(Wedge(name="a", loft=56 * deg), Wedge(name="b", loft=56.5 * deg)))
    assert "Hardly any difference from a to b" in reach(twins).say()


@pytest.mark.parametrize("distance", [20.0, 45.0, 70.0])
def test_chosen_wedges_come_to_rest_at_the_distance(distance):
    for choice in choose(FOUR, distance=distance):
        if choice.reaches:
            s = FOUR.setting(choice.wedge, choice.swing * FOUR.head_speed)
            shot = play(s.arriving, s.face, s.ball, s.between, s.air, s.green)
            assert shot.total == pytest.approx(distance, abs=0.7)
            assert "runs out about" in choice.say()


def test_choice_stops_soonest_first_and_says_what_does_not_reach():
    near = choose(FOUR, distance=30.0)
    assert [c.run_out for c in near] == sorted(c.run_out for c in near)
    assert near[0].wedge.name == "lob"
    far = choose(FOUR, distance=88.0)
    assert far[0].reaches
    assert [c.reaches for c in far] == sorted((c.reaches for c in far), reverse=True)
    assert "The lob does not reach." in [c.say() for c in far]


def test_carry_over_a_bunker_puts_the_others_behind():
    plain = choose(FOUR, distance=40.0, carry_over=0.0)
    over = choose(FOUR, distance=40.0, carry_over=plain[0].carry - 0.5)
    assert over[0].wedge == plain[0].wedge
    assert over[-1].carry < plain[0].carry


def test_lie_and_green_matter():
    fair, rough = (reach(EXAMPLE, lie=lie).spin_rate for lie in ("tight fairway", "rough"))
    assert (rough < fair).all()
    firm, soft = (reach(EXAMPLE, green=green).run_out[:, 1] for green in ("firm", "soft"))
    assert (firm > soft).all()
    assert set(GREENS) == {"firm", "medium", "soft", "gripping"}
    assert min(lie.grass for lie in LIES.values()) == 0.0


# -- a 64° ------------------------------------------------------------------------------------------------------------


def test_sixty_four_stops_by_height_where_the_face_is_damp():
    # common practice, no source: more loft adds no spin on a damp or dirty face
    damp = would_help(EXAMPLE)
    clean = would_help(replace(EXAMPLE, soil="clean", water="dry"))
    assert damp.spin.mid < clean.spin.mid
    assert "stop by height, not by spin" in damp.say()
    assert damp.most_spin_at < 56 * deg < clean.most_spin_at
    assert damp.run_out.mid < 0


def test_sixty_four_that_is_out_of_reach_does_not_help():
    slow = replace(EXAMPLE, head_speed=18.0)
    advice = would_help(slow, carry=28.0)
    assert advice.swing > 1.0
    assert not advice.helps
    assert "more swing than you have" in advice.say()
    assert "hardly help" in advice.say()


def test_little_more_loft_helps_less_than_cleaning():
    caked = replace(EXAMPLE, soil="caked", wedges=(Wedge(name="lob", loft=62 * deg),))
    advice = would_help(caked, loft=63 * deg)
    assert not advice.helps
    assert advice.cleaning.mid < advice.run_out.mid < 0
    assert "Cleaning and drying the face would gain you more with the lob you have" in advice.say()


@pytest.mark.parametrize(
    ("ask", "message"),
    [
        (lambda: would_help(replace(EXAMPLE, wedges=(Wedge(name="x", loft=66 * deg),))), "66° already"),
        (lambda: choose(EXAMPLE, distance=500.0), "distance"),
        (lambda: reach(EXAMPLE, lie="moon"), "moon.*rough"),
        (lambda: Wedge(name="x", loft=56 * deg, wear="rusty"), "rusty.*fresh"),
        (lambda: Bag(player="p", wedges=(Wedge(name="x", loft=1.0), Wedge(name="x", loft=0.9))), "different names"),
    ],
)
def test_refusals(ask, message):
    with pytest.raises(ValueError, match=message):
        ask()


def test_wear_goes_one_way():
    depth = [face.grooves.depth for face in (WEAR["fresh"], WEAR["two seasons"], WEAR["worn"])]
    assert depth == sorted(depth, reverse=True)
    rough = [WEAR[name].roughness for name in ("fresh", "two seasons", "worn")]
    assert rough == sorted(rough, reverse=True)


def test_files_of_earlier_versions_keep_their_water(tmp_path):
    for old, new in (("wiped", "damp"), ("just poured", "poured"), ("rain", "flooded"), ("dew", "dew")):
        path = save(EXAMPLE, tmp_path / "bag.json")
        told = json.loads(path.read_text(encoding="utf-8"))
        path.write_text(json.dumps(told | {"water": old}), encoding="utf-8")
        assert load(path).water == new
