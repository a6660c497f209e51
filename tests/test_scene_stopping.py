"""The flight-and-stop scene in Python: its numbers are the engine's, its words fit."""

import re

import numpy as np
import pytest
from test_scene import warm_water

from spinlab import Air, Green, Launch, fly, land
from spinlab.catalogue import GREENS
from spinlab.kernel.compiled import Array
from spinlab.panels import page, usual
from spinlab.panels.scene import Choice
from spinlab.panels.stopping import ALIKE, BLOWS, flight_and_stop
from spinlab.panels.usual import WATER, WATER_TEMPERATURE, Usual, begin, struck
from spinlab.panels.widget import Panel
from spinlab.panels.words import Speaker
from spinlab.physics.flight import BALL_RADIUS
from spinlab.physics.stopping import HIGH, LOW, ball_speed_for_carry, two_shots
from spinlab.physics.uncertain import PARAMETERS
from spinlab.records import Aerodynamics
from spinlab.units import deg, ft, rpm

NAMES = ("low", "high")


@pytest.fixture(scope="module")
def scene():
    return flight_and_stop()


def places(scene, count, seed):
    rng = np.random.default_rng(seed)
    for _ in range(count):
        yield {
            control.name: str(rng.choice(list(control.options)))
            if isinstance(control, Choice)
            else float(rng.uniform(control.low, control.high))
            for control in scene.controls
        }


def flown(values, name):
    """One of the two shots by calls of its own: the speed in still air, the flight, the ground."""
    angle, spin = values[f"{name}_launch"], values[f"{name}_spin"]
    speed = ball_speed_for_carry(values["carry"], launch_angle=angle, spin_rate=spin)
    launch = Launch(ball_speed=speed, launch_angle=angle, spin_rate=spin)
    turns = values["lift"] == "turns downward"
    return launch, fly(launch, Air(wind=values["wind"]), reverse_lift=turns)


# -- numbers ---------------------------------------------------------------------------------------


def test_both_shots_are_the_engines(scene):
    for values in places(scene, 30, 3):
        answer = scene.answer(values)
        for name in NAMES:
            launch, path = flown(values, name)
            about = {"speed": values["speed"], "slope": values["slope"]}
            rest = land(path, GREENS[values["green"]].but(**about))
            for of, value in (
                ("ball_speed", launch.ball_speed),
                ("carry", path.carry),
                ("descent_angle", path.descent_angle),
                ("landing_spin", path.landing_spin),
                ("run_out", rest.run_out),
                ("total", path.carry + rest.run_out),
                ("past", path.carry + rest.run_out - values["flag"]),
                ("blown", path.carry - flown(values | {"wind": 0.0}, name)[1].carry),
                ("stops", float(rest.stops)),
            ):
                assert answer[f"{name}_{of}"] == pytest.approx(value, abs=1e-9), (name, of, values)
            for k, green in enumerate(GREENS.values()):
                run = land(path, green.but(**about)).run_out
                assert answer[f"{name}_run_{k}"] == pytest.approx(run, abs=1e-9)


def test_in_still_air_both_carry_what_is_asked(scene):
    for values in places(scene, 20, 4):
        answer = scene.answer(values | {"wind": 0.0, "lift": "upward"})
        for name in NAMES:
            assert answer[f"{name}_carry"] == pytest.approx(values["carry"], abs=0.001)


def test_the_corners_are_within_reach(scene):
    """No carry, angle and spin that can be set asks for more than any ball speed gives."""
    for carry in (20.0, 60.0):
        for angle in (0, 1):
            for spin in (0, 1):
                values = dict(scene.start) | {"carry": carry}
                for name in NAMES:
                    launch, turn = scene.by_name[f"{name}_launch"], scene.by_name[f"{name}_spin"]
                    values[launch.name] = (launch.low, launch.high)[angle]
                    values[turn.name] = (turn.low, turn.high)[spin]
                answer = scene.answer(values)
                assert answer["low_ball_speed"] > 10 and answer["high_ball_speed"] > 10
                assert answer["low_carry"] == pytest.approx(carry, abs=0.001)


def test_the_panel_is_the_shots_of_the_next_cell(scene):
    panel = Panel(scene).set(
        green="firm", wind=-4.0, slope=1 * deg, speed=9 * ft, low_spin=4000 * rpm
    )
    now = panel.setting
    rest = land(fly(now["launch"], now["air"], reverse_lift=now["reverse_lift"]), now["green"])
    assert rest.run_out == pytest.approx([panel.answer[f"{name}_run_out"] for name in NAMES])
    assert not now["reverse_lift"] and panel.set(lift="turns downward").setting["reverse_lift"]


def test_two_shots_carry_alike():
    launch = two_shots(30.0, low=(20 * deg, 3000 * rpm))
    assert fly(launch).carry == pytest.approx([30.0, 30.0], abs=0.001)
    assert tuple(launch.spin_rate / rpm) == pytest.approx((3000, HIGH[1] / rpm))
    assert two_shots().launch_angle == pytest.approx([LOW[0], HIGH[0]])


def test_bands_are_the_stored_draws_of_flight_and_green(scene):
    """One number by hand: every stored draw flown and landed by the engine's own calls."""
    values = dict(scene.start) | {"green": "firm", "wind": 3.0}
    launch, _ = flown(values, "low")
    shares = dict(zip((parameter.name for parameter in PARAMETERS), usual.draws().T))
    moved = {
        parameter.name: parameter.drawn(
            getattr(
                GREENS["firm"] if parameter.record == "green" else Aerodynamics(),
                parameter.fields[0],
            ),
            shares[parameter.name],
        )
        for parameter in PARAMETERS
        if parameter.stage in ("flight", "green")
    }
    path = fly(
        launch,
        Air(wind=3.0),
        drag_scale=moved["flight.drag_scale"],
        lift_scale=moved["flight.lift_scale"],
    )
    fields = ("friction", "tilt", "restitution", "grip_restitution")
    green = Green(speed=values["speed"], **{name: moved[f"green.{name}"] for name in fields})
    wanted = np.quantile(land(path, green).run_out, [0.05, 0.95])
    bands = scene.bands(values)
    assert bands["low_run_out"] == pytest.approx(tuple(wanted), rel=1e-3)
    assert bands["low_run_2"] == pytest.approx(bands["low_run_out"])
    middle = scene.answer(values)
    for name, (low, high) in bands.items():
        assert low <= middle[name] <= high, name


# -- the way that is drawn -------------------------------------------------------------------------


def test_the_way_ends_where_the_ball_rests(scene):
    for values in [scene.start, *places(scene, 25, 6)]:
        answer = scene.answer(values)
        for name in NAMES:
            way = answer[f"{name}_way"]
            assert way.x[-1] == pytest.approx(answer[f"{name}_total"], abs=1e-6)
            assert way.z.min() > -1e-9 and np.all(np.diff(way.time) > -1e-9)
            assert np.isfinite(way.turned).all()


def test_the_ball_turns_as_it_spins_and_rolls(scene):
    """The mark turns with the spin in the air and after a bounce; it rolls without sliding."""
    answer = scene.answer(scene.start)
    launch, path = flown(scene.start, "low")
    way = answer["low_way"]
    rate = np.diff(way.turned) / np.maximum(np.diff(way.time), 1e-12)
    assert rate[0] == pytest.approx(launch.spin_rate, rel=0.01)
    down = np.argmax(way.x >= path.carry - 1e-6)
    assert rate[down - 1] == pytest.approx(path.landing_spin, rel=0.01)
    green = GREENS["medium"].but(speed=scene.start["speed"])
    spin = land(path, green).spin_after_first
    assert rate[down + 3] == pytest.approx(spin, rel=1e-6)
    moving = np.flatnonzero(np.diff(way.x) > 0.01)[-4:]
    rolled = np.diff(way.turned)[moving] / np.diff(way.x)[moving]
    assert rolled == pytest.approx(-1 / BALL_RADIUS, rel=1e-6)


# -- words -----------------------------------------------------------------------------------------


def test_sentences_fit_on_both_sides_of_their_limits(scene):
    firsts = {"height wins": ALIKE + 1e-6, "spin wins": -ALIKE - 1e-6}
    for words, gap in firsts.items():
        for value, there in ((gap, True), (np.sign(gap) * (ALIKE - 1e-6), False)):
            said = said_of(scene, {"gap": value})
            assert (words in said) is there and ("both stop alike" in said) is not there
    for wind, told in ((-BLOWS, True), (-BLOWS + 0.1, False), (BLOWS - 0.1, False), (BLOWS, True)):
        assert said_of(scene, {"wind": wind}).startswith("Wind moves") is told
    assert "neither ball stops" in said_of(scene, {"low_stops": 0.0, "high_stops": 0.0})
    assert said_of(scene, {"low_stops": 0.0}).startswith("The low ball does not stop")
    assert said_of(scene, {"high_stops": 0.0}).startswith("The high ball does not stop")


def said_of(scene, changes):
    named = scene.named(scene.start, scene.bands(scene.start)) | changes
    return Speaker(scene.by_name).choose(scene.sentences, named)


def test_sentences_are_short(scene):
    for rule in [*scene.sentences, *scene.first_sentences]:
        assert len(re.sub(r"\{[^}]*\}", "one rpm", rule.text).split()) <= 20, rule.text


def test_every_state_says_its_own(scene):
    said = {name: scene.sentence(scene.start | values) for name, values in scene.states.items()}
    assert len(set(said.values())) == len(said)
    assert said["both stop"].endswith("both stop alike.")
    assert said["low, no spin"].endswith("height wins.")


# -- what the lesson teaches -----------------------------------------------------------------------


def test_spin_or_height_stops_and_neither_does_not(scene):
    both = scene.answer(scene.start)
    assert (
        abs(both["gap"]) < ALIKE
        and both["high_descent_angle"] > both["low_descent_angle"] + 15 * deg
    )
    bare = scene.answer(scene.start | scene.states["low, no spin"])
    assert bare["low_run_out"] > 3 * both["low_run_out"]


def test_firm_runs_furthest_and_gripping_turns_the_order(scene):
    answer = scene.answer(scene.start)
    for name in NAMES:
        assert answer[f"{name}_run_0"] < answer[f"{name}_run_1"] < answer[f"{name}_run_2"]
    assert answer["low_run_1"] > answer["high_run_1"] and answer["low_run_3"] < answer["high_run_3"]


def test_wind_moves_the_high_ball_more(scene):
    still, against = (scene.answer(scene.start | {"wind": wind}) for wind in (0.0, -6.0))
    lost = [still[f"{name}_carry"] - against[f"{name}_carry"] for name in NAMES]
    assert lost[1] > 3 * lost[0]
    assert [-against[f"{name}_blown"] for name in NAMES] == pytest.approx(lost)


# -- its page, and arrays that are only read -------------------------------------------------------


def test_its_page_is_small_and_needs_no_kernel(scene):
    assert scene.code() and len(page.page(scene).encode()) <= 200_000


def test_an_array_may_be_given_by_its_numbers():
    made = warm_water(compute=spin_of_given, arrays={"films": [1e-6, 20e-6]})
    answer = made.answer(made.start)
    assert answer["spin_rate"] == pytest.approx(warm_water().answer(made.start)["spin_rate"])
    assert made.described(None)["room"]["films"] == {"data": [1e-6, 20e-6]}
    assert made.bands(made.start)["spin_rate"][0] > 0


def spin_of_given(temperature, film, films: Array, usual: Usual):
    begin(usual)
    usual.now[WATER] = films[1]
    usual.now[WATER_TEMPERATURE] = temperature
    return {"spin_rate": struck(usual).spin_rate}
