"""A green from a table of paced run-outs: shots are invented on a known green, written as a table, and read back.

Marks: S seen, Q quoted, M from memory, C computed, J our judgement.
"""

import numpy as np
import pandas as pd
import pytest
from test_hostile import NAMES, STEERS, harmless
from test_report import DATA, RULE

from spinlab import Green, Launch, fly, land
from spinlab.evidence import owngreen, report, table
from spinlab.evidence.intake.columns import COLUMNS
from spinlab.panels.stopping import flight_and_stop
from spinlab.physics.green_fit import landing
from spinlab.physics.stopping import two_shots
from spinlab.show import desk
from spinlab.show.entry import Entry
from spinlab.units import deg, ft, mph, rpm, yd

METRIC = {"Run-out [m]": 1.0, "Ball speed [m/s]": 1.0, "Launch angle [°]": deg, "Spin rate [rpm]": rpm}
YARDS = {"Run-out [yd]": yd, "Ball speed [mph]": mph, "Launch angle [°]": deg, "Spin rate [rpm]": rpm}
TRUTH = Green(tilt=1.0, friction=0.30)


def launches(n=12):
    """Pitches from low with much spin to high with little: they differ in both."""
    return Launch(ball_speed=np.linspace(20, 26, n), launch_angle=np.resize([28.0, 40.0, 52.0], n) * deg,
                  spin_rate=np.linspace(3000, 9000, n) * rpm)


def written(columns, *numbers, more=("", "")):
    """A table as it is typed, rounded to a digit, with `more` behind: in the headings' line, and in each other."""
    rows = zip(*(np.round(np.asarray(values) / unit, 0 if "rpm" in head else 1)
                 for (head, unit), values in zip(columns.items(), numbers)))
    lines = [",".join(columns) + more[0], *(",".join(f"{value:.10g}" for value in row) + more[1] for row in rows)]
    return "\n".join(lines) + "\n"


def paced(launch, green=TRUTH, *, scatter=0.5, seed=1, columns=METRIC):
    """Shots played by the engine on a green, with scatter, as a table that was read."""
    run = land(fly(launch), green).run_out
    run = run + np.random.default_rng(seed).normal(0, scatter, run.shape)
    return table.read(written(columns, run, launch.ball_speed, launch.launch_angle, launch.spin_rate), sidecar=False)


def holds(own, truth=TRUTH):
    """Does each interval hold the true number?"""
    return [own.fit.tilt[0] <= truth.tilt <= own.fit.tilt[2], own.fit.friction[0] <= truth.friction <= own.fit.friction[2]]


# -- a known green is found again -------------------------------------------------------------------------------------


def test_the_intervals_hold_the_green_that_the_shots_were_played_on():
    """By repetition (C): 90 % intervals, 40 seeded tables; three standard errors of that are 14 %."""
    held = np.mean([holds(owngreen.own_green(paced(launches(), seed=seed))) for seed in range(40)], axis=0)
    assert (held >= 0.76).all()


def test_a_green_is_told_from_another():
    soft, firm = (owngreen.own_green(paced(launches(), green(speed=9 * ft), scatter=0.3), speed=9 * ft)
                  for green in (Green.tuned_soft, Green.tuned_firm))
    assert (soft.nearest, firm.nearest) == ("soft", "firm")
    assert soft.fit.tilt[0] > firm.fit.tilt[2]
    assert "soft comes nearest" in soft.say() and soft.apart["soft"] == pytest.approx(0.3, abs=0.15)


def test_no_other_green_explains_the_shots_better():
    """SciPy's differential evolution as the outside judge, over the same two numbers."""
    from scipy.optimize import differential_evolution

    own = owngreen.own_green(paced(launches(), seed=4))
    path = landing(speed=own.shots.landing_speed.to_numpy(), descent_angle=own.shots.descent_angle.to_numpy(),
                   spin=own.shots.landing_spin.to_numpy())

    def misfit(numbers):
        green = Green(tilt=numbers[0], friction=numbers[1])
        return float(np.sum((land(path, green).run_out - own.shots.run_out.to_numpy()) ** 2))

    best = differential_evolution(misfit, [(0.3, 2.5), (0.08, 0.6)], seed=2, tol=1e-6)
    ours = float(((own.shots.predicted - own.shots.run_out) ** 2).sum())
    assert ours <= best.fun * 1.02
    assert own.fit.scatter == pytest.approx(np.sqrt(ours / 10))


def test_yards_and_miles_are_the_same_shots():
    metric, yards = (owngreen.own_green(paced(launches(), scatter=0.0, columns=columns)) for columns in (METRIC, YARDS))
    assert yards.fit.tilt[1] == pytest.approx(metric.fit.tilt[1], abs=0.06)
    assert yards.shots.run_out.to_numpy() == pytest.approx(metric.shots.run_out.to_numpy(), abs=0.1)
    first = metric.shots.iloc[0]
    told = metric.table("yards").splitlines()[1]
    assert f"{first.run_out / yd:.1f} yd" in told and f"{first.landing_speed / mph:.1f} mph" in told
    assert " yd" in metric.say("yards") and " yd" not in metric.say() and " m " in metric.say()
    with pytest.raises(ValueError, match="metric"):
        metric.say("furlongs")


def test_what_was_measured_at_landing_comes_before_the_flight():
    launch = launches()
    path = fly(launch)
    run = land(path, TRUTH).run_out + np.random.default_rng(2).normal(0, 0.3, 12)
    landed = {"Run-out [m]": 1.0, "Landing speed [m/s]": 1.0, "Landing angle [°]": deg, "Spin at landing [rpm]": rpm}
    numbers = run, path.landing_speed, path.descent_angle, path.landing_backspin
    alone = owngreen.own_green(table.read(written(landed, *numbers), sidecar=False))
    assert all(holds(alone)) and not alone.shots.flown.any() and "worked out from the launch" not in " ".join(alone.limits())
    # a launch of quite another shot beside it changes nothing
    both = {**landed, **dict(list(METRIC.items())[1:])}
    wrong = launch.ball_speed + 20, launch.launch_angle, launch.spin_rate
    beside = owngreen.own_green(table.read(written(both, *numbers, *wrong), sidecar=False))
    assert beside.fit == alone.fit
    # without its own spin a landing takes most of that of the launch
    del landed["Spin at landing [rpm]"]
    landed["Spin [rpm]"] = rpm
    spun = owngreen.own_green(table.read(written(landed, *numbers[:3], launch.spin_rate), sidecar=False))
    assert spun.shots.landing_spin.to_numpy() == pytest.approx(path.landing_backspin, rel=0.025)
    assert spun.fit.tilt[1] == pytest.approx(1.0, rel=0.05) and spun.fit.friction[1] == pytest.approx(0.30, rel=0.1)


def test_a_ball_that_came_back_counts():
    green = Green(tilt=1.2, friction=0.15, slope=4 * deg)
    launch = Launch(ball_speed=np.linspace(18, 30, 12), launch_angle=np.resize([30.0, 45.0, 58.0], 12) * deg,
                    spin_rate=np.linspace(5000, 11000, 12) * rpm)
    own = owngreen.own_green(paced(launch, green, scatter=0.2), slope=4 * deg)
    back = own.shots.run_out < 0
    assert back.sum() >= 3 and (own.shots.predicted[back] < 0.5).all()
    assert all(holds(own, green)) and f"−{-own.shots.run_out.min():.1f} m" in own.table()
    assert "with green speed 10 ft (assumed) and slope 4° (given);" in own.say() and "slope 4° (given)" in own.limits()[0]


# -- what the shots cannot tell ---------------------------------------------------------------------------------------


def test_what_cannot_be_told_is_said():
    """Steep balls without spin grip on any turf: they say nothing about friction."""
    steep = Launch(ball_speed=np.linspace(18, 22, 8), launch_angle=np.full(8, 64 * deg), spin_rate=np.full(8, 200 * rpm))
    own = owngreen.own_green(paced(steep, Green(tilt=1.2, friction=0.4), scatter=0.3))
    assert not own.fit.friction_told
    assert "friction of the turf cannot be told (0.08 to 0.60 would all do; medium 0.22)" in own.say()
    assert "differ more in spin and in height" in own.say()


def test_half_an_answer_is_given():
    """Low balls that grip: friction must lie above what would have let them slip, and how far above makes no difference."""
    launch = Launch(ball_speed=np.linspace(20, 26, 10), launch_angle=np.full(10, 35 * deg),
                    spin_rate=np.full(10, 4000 * rpm))
    own = owngreen.own_green(paced(launch, Green(tilt=1.2, friction=0.5), scatter=0.1))
    low, _, high = own.fit.friction
    assert not own.fit.friction_told and 0.15 < low < 0.5 < high
    assert f"({low:.2f} or more; medium 0.22)" in own.say()


def test_distances_beyond_the_model_are_told_by_the_scatter():
    own = owngreen.own_green(paced(launches(24), scatter=4.0))
    assert 2.5 < own.fit.scatter < 5.5 and f"run-outs scatter {own.fit.scatter:.1f} m" in own.say()


def test_a_carry_that_does_not_agree_is_said():
    carry = fly(launches()).carry
    right = table.read(written({**METRIC, "Carry [m]": 1.0}, land(fly(launches()), TRUTH).run_out, launches().ball_speed,
                               launches().launch_angle, launches().spin_rate, carry), sidecar=False)
    assert owngreen.own_green(right).carry == pytest.approx(1.0, abs=0.005)
    assert "carry" not in " ".join(owngreen.own_green(right).limits())
    wrong = right.frame.assign(carry=carry * 1.25)
    assert "the shots carry 20% less than was measured" in " ".join(owngreen.own_green(wrong).limits())


# -- which shots ------------------------------------------------------------------------------------------------------


def test_every_shot_is_used_or_left_out_with_its_reason():
    read = table.read(DATA / "pitch_states.csv")
    own = owngreen.own_green(read, rule=RULE)
    lines = [*own.shots.index, *(line for _, lines in own.left_out for line in lines)]
    assert sorted(lines) == list(read.frame.index)
    # two mis-hits and two shots whose spin is missing (data/README.md)
    assert {reason.split(" (")[0]: len(lines) for reason, lines in own.left_out} == {
        "set aside by the rule": 2, "without a launch": 2}
    assert all(word in own.text() for word in ("set aside by the rule: lines 14 and 39", "lines 22 and 45"))
    assert set(read.frame.loc[own.shots.index, "condition"]) >= {"dry", "damp", "wet", "soiled"}


def test_gaps_and_balls_that_never_flew_are_left_out():
    frame = paced(launches(9)).frame
    frame.iloc[0, frame.columns.get_loc("run_out")] = np.nan
    frame.iloc[1, frame.columns.get_loc("launch_angle")] = -2 * deg
    frame.iloc[2, frame.columns.get_loc("ball_speed")] = np.nan
    own = owngreen.own_green(frame)
    assert len(own.shots) == own.fit.shots == 6
    assert [(reason.split(" (")[0], lines) for reason, lines in own.left_out] == [
        ("without a run-out", (2,)), ("launched level or downward", (3,)), ("without a launch", (4,))]


def test_many_shots_are_thinned_evenly():
    own = owngreen.own_green(paced(launches(150)))
    assert len(own.shots) == owngreen.MOST and own.shots.index[0] == 2 and own.shots.index[-1] == 151
    (reason, lines), = own.left_out
    assert "are enough" in reason and len(lines) == 50 and np.diff(own.shots.index).max() == 2


@pytest.mark.parametrize(("shots", "told"), [
    (table.read(DATA / "wet_and_dry_metric.csv"), "no run-outs"),
    (paced(launches(3)), "at least four shots are needed for two numbers of a green, three of 3 can be used"),
    (paced(launches(6)).frame.drop(columns="spin_rate"), "no of 6 can be used .6 without a launch"),
    (paced(launches(6)).frame.assign(run_out=np.nan), "no run-outs"),
])
def test_too_little_is_told_with_its_cure(shots, told):
    with pytest.raises(ValueError, match=told + r".*\. Pace the way from pitch mark to rest for at least four shots"):
        owngreen.own_green(shots)


def test_a_run_out_without_its_unit_is_asked_about():
    read = table.read(written(METRIC, *np.ones((4, 5))).replace(" [m]", ""), sidecar=False)
    with pytest.raises(ValueError, match="its column “Run-out” is not understood: no unit is given"):
        owngreen.own_green(read)


# -- where it is told -------------------------------------------------------------------------------------------------


def test_the_report_says_it_where_there_are_run_outs():
    states = report.make(DATA / "pitch_states.csv", rule=RULE, model_bands=False)
    said = states.sentences("yards")["green"]
    assert said in states.text("yards") and said.startswith("The green by 45 run-outs") and "yd" in said
    without = report.make(DATA / "wet_and_dry_metric.csv", model_bands=False)
    assert "green" not in without.sentences() and "The green by" not in without.text()


def test_the_desk_says_it():
    shown = desk.Desk(units="yards")
    shown._repr_mimebundle_()
    assert shown.report.green.say("yards") in harmless(shown._view.more.value)


def test_the_latest_typed_session_with_run_outs_is_taken(tmp_path):
    assert owngreen.latest(tmp_path) is None
    columns = {"columns": ("ball_speed", "launch_angle", "spin_rate", "run_out"), "conditions": ("dry",), "units": "metric"}
    full, short = Entry(tmp_path / "a.journal", name="evening", **columns), Entry(tmp_path / "b.journal", **columns)
    run, launch = land(fly(launches(6)), TRUTH).run_out, launches(6)
    for k in range(6):
        full.add("dry", ball_speed=f"{launch.ball_speed[k]:.1f}", launch_angle=f"{launch.launch_angle[k] / deg:.0f}",
                 spin_rate=f"{launch.spin_rate[k] / rpm:.0f}", run_out=f"{run[k]:.1f}")
    short.add("dry", ball_speed="22", launch_angle="30", spin_rate="6000", run_out="3")
    own = owngreen.latest(tmp_path)
    assert own.fit.shots == 6 and own.say().startswith("From the session “evening”: The green by six run-outs")


def test_the_own_green_stands_in_the_lesson():
    own = owngreen.own_green(paced(launches(), scatter=0.1))
    usual, mine = flight_and_stop(), flight_and_stop(own=own.green)
    assert list(usual.by_name["green"].options) == ["soft", "medium", "firm", "gripping"]
    assert list(mine.by_name["green"].options) == ["soft", "your own", "firm", "gripping"]
    values = mine.start | {"speed": 11 * ft}
    run_out = land(fly(two_shots()), own.green.but(speed=11 * ft)).run_out
    assert mine.answer(values)["low_run_out"] == pytest.approx(run_out[0])
    assert mine.answer(values | {"green": "firm"})["high_run_1"] == pytest.approx(run_out[1])


# -- hostile ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", NAMES.values(), ids=NAMES)
def test_hostile_words_in_a_table_stay_out(name):
    cell = '"' + name.replace('"', '""') + '"'
    text = written(METRIC, *np.array([[2.0, 3, 4, 5, 6], [20, 21, 22, 23, 24], np.array([30, 35, 40, 45, 50]) * deg,
                                      np.linspace(3000, 8000, 5) * rpm]), more=(f",Condition,{cell}", f",{cell},{cell}"))
    # so much is steered that it would be taken for no text at all: ordinary lines around it
    text += ",,,,ordinary words that are good to read,\n" * 450
    own = owngreen.own_green(table.read(text.encode(), sidecar=False))
    assert own.fit.shots == 5 and not STEERS.search(own.text()) and name[:8] not in own.text()


@pytest.mark.filterwarnings("error")
def test_whatever_a_column_may_hold_gives_numbers_or_a_refusal():
    names = ("run_out", "ball_speed", "launch_angle", "spin_rate", "spin_tilt", "carry", "landing_speed", "descent_angle",
             "landing_spin")
    rng, answers = np.random.default_rng(5), 0
    for _ in range(60):
        ends = np.array([[COLUMNS[name].low, COLUMNS[name].high] for name in names]).T
        values = np.where(rng.random((5, len(names))) < 0.5, ends[rng.integers(0, 2, (5, len(names))), range(len(names))],
                          rng.uniform(*ends, (5, len(names))))
        values[rng.random(values.shape) < 0.1] = np.nan
        try:
            own = owngreen.own_green(pd.DataFrame(values, columns=names))
        except ValueError as error:
            assert "Pace the way" in str(error)
            continue
        answers += 1
        assert np.isfinite(own.shots.drop(columns="flown").to_numpy()).all() and "nan" not in own.text("yards")
    assert answers > 20
