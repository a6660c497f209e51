"""How near the engine is to the stated equations: ``python tests/accuracy.py`` prints the table.

Every number is what the public calls return against `reference`; nothing is asserted here.  The
suite asks the same functions for fewer shots (`test_engine.py`).  A few minutes.  With the word
`rounds` it looks for strikes that do not come to an end.
"""

from __future__ import annotations

import dataclasses
import math
import sys

import numpy as np
import reference
from cases import Case, flights, landings, level_flights, strikes

from spinlab.kernel import compiled, contact
from spinlab.kernel import rows as kernel_rows
from spinlab.physics.contact import strike
from spinlab.physics.flight import fly
from spinlab.physics.green import land
from spinlab.physics.green_fit import landing
from spinlab.physics.rows import table
from spinlab.physics.shot import play
from spinlab.records import Aerodynamics, Air, Assumptions, Ball, Between, Delivery, Face, Green, Grooves, Launch
from spinlab.units import deg, um

LEAST_SPIN = 0.05
"""An error of spin is a share of the spin, or of this share of V/R where hardly any is made."""


# -- random shots ---------------------------------------------------------------------------------


def strike_errors(count, seed=20):
    """Rows (regime, number, error of spin [1], of launch [rad], of speed, time and film left [1])."""
    for number, (regime, case) in enumerate(strikes(count, seed)):
        true = reference.struck(*case)
        found = strike(*case[:4], assume=case.assume)
        floor = LEAST_SPIN * case.arriving.head_speed / case.ball.radius
        spin = abs(found.spin_rate - true.spin_rate) / max(abs(true.spin_rate), floor)
        film = abs(found.contact.film_left - true.film_left) / max(true.film_left, 1e-12)
        yield (regime, number, spin, abs(found.launch_angle - true.launch_angle),
               abs(found.ball_speed / true.ball_speed - 1),
               abs(found.contact.time / true.time - 1), film)


def flight_errors(cases):
    """Rows (number, true carry, errors of carry and apex against 0.1 % or 5 mm)."""
    for number, (launch, air) in enumerate(cases):
        true, found = reference.flown(launch, air), fly(launch, air)
        way = math.hypot(true.carry, true.side)
        missed = math.hypot(found.carry - true.carry, found.side - true.side)
        yield (number, way, missed / max(1e-3 * way, 5e-3),
               abs(found.apex - true.apex) / max(1e-3 * true.apex, 5e-3))


def rising_spin(speed):
    """The spin [rad/s] whose lift at a level launch is the ball's weight, in standard air."""
    from scipy.optimize import brentq

    density, viscosity = reference.air(Air())
    radius, weight = 0.021335, 0.04593 * reference.GRAVITY

    def spare(spin):
        _, lift = reference.coefficients(radius * spin / speed, 2 * radius * speed * density / viscosity)
        return 0.5 * density * math.pi * radius**2 * speed**2 * lift - weight

    return brentq(spare, 1.0, 1500.0, xtol=1e-12, rtol=1e-15)


def border_errors(speeds=(45.0, 50.0, 60.0, 75.0)):
    """Rows (speed, share of the rising spin, true carry, found carry) on both sides of the border."""
    for speed in speeds:
        border = rising_spin(speed)
        for share in (0.9, 1 - 1e-3, 1 - 1e-6, 1 - 1e-9, 1 + 1e-9, 1 + 1e-6, 1 + 1e-4, 1 + 1e-3, 1.01):
            launch = Launch(ball_speed=speed, launch_angle=0.0, spin_rate=share * border)
            yield speed, share, reference.flown(launch).carry, fly(launch).carry


def landing_errors(count, seed=23):
    """Rows (number, errors of the first bounce [m] and its spin [rad/s], of run-out against what
    hangs on the last small bounces)."""
    for number, (speed, angle, spin, green) in enumerate(landings(count, seed)):
        true = reference.landed(speed, angle, spin, green)
        found = land(landing(speed=speed, descent_angle=angle, spin=spin), green)
        yield (number, abs(found.first_bounce - true.first_bounce),
               abs(found.spin_after_first - true.spin_after_first),
               abs(found.run_out - true.run_out) / (true.tail + 1e-6))


# -- scans ----------------------------------------------------------------------------------------

SOFT = Ball.published_soft_cover()
FACE = Face(grooves=Grooves(width=0.8e-3, depth=0.45e-3, separation=2.667e-3))
PITCH = Delivery(head_speed=20.0, attack_angle=-6 * deg, dynamic_loft=44 * deg)
WATER = {"dry": 0.0, "wet": 40 * um, "flooded": 150 * um}
INPUTS = {
    "dynamic_loft": (Delivery, -6 * deg, 79 * deg), "head_speed": (Delivery, 0.5, 80.0),
    "normal_offset": (Delivery, -3e-3, 3e-3), "strike_height": (Delivery, -20e-3, 20e-3),
    "attack_angle": (Delivery, -30 * deg, 20 * deg),
    "roughness": (Face, 0.2e-6, 30e-6), "head_mass": (Face, 0.05, 5.0),
    "friction": (Ball, 0.0, 1.5), "friction_fast": (Ball, 0.0, 0.38),
    "modulus": (Ball, 0.02e9, 2e9), "restitution": (Ball, 0.76, 0.98),
    "inertia_factor": (Ball, 0.2, 0.66), "mass": (Ball, 0.03, 0.06), "radius": (Ball, 0.015, 0.03),
    "water": (Between, 0.0, 1e-3), "temperature": (Between, 273.15, 333.15),
    "soil_on_lands": (Between, 0.0, 1.0), "soil_in_grooves": (Between, 0.0, 1.0),
    "grass": (Between, 0.0, 1.0), "width": (Grooves, 0.0, 3e-3), "depth": (Grooves, 0.0, 2e-3),
    "separation": (Grooves, 0.2e-3, 50e-3), "draft_angle": (Grooves, 0.0, 80 * deg),
    "edge_radius": (Grooves, 0.0, 2e-3),
} | {f.name: (Assumptions, f.metadata["low"], f.metadata["high"])
     for f in dataclasses.fields(Assumptions)}
FLIGHT_INPUTS = {
    "ball_speed": (Launch, 5.0, 75.0), "launch_angle": (Launch, -2 * deg, 85 * deg),
    "spin_rate": (Launch, -200.0, 1200.0), "direction": (Launch, -60 * deg, 60 * deg),
    "spin_tilt": (Launch, -60 * deg, 60 * deg), "temperature": (Air, 253.15, 323.15),
    "pressure": (Air, 6e4, 1.1e5), "humidity": (Air, 0.0, 1.0), "wind": (Air, -15.0, 15.0),
    "crosswind": (Air, -15.0, 15.0),
}
GREEN_INPUTS = {
    "speed": (Green, 1.5, 5.0), "slope": (Green, -2 * deg, 2 * deg), "friction": (Green, 0.0, 1.0),
    "tilt": (Green, 0.0, 3.0), "restitution": (Green, 0.1, 1.6),
}


def changed(case, name, value):
    """A strike with one input changed, which may be an array."""
    kind = INPUTS[name][0]
    parts = case._asdict()
    if kind is Grooves:
        parts["face"] = case.face.but(grooves=case.face.grooves.but(**{name: value}))
    else:
        part = next(key for key, record in parts.items() if type(record) is kind)
        parts[part] = parts[part].but(**{name: value})
    return Case(**parts)


def standard(water):
    """A pitch of 20 m/s with so much water [m] on the face."""
    return Case(PITCH, FACE, SOFT, Between(water=water), Assumptions())


def own_range(values):
    """A result's own range; where nothing but rounding changes it, that counts as no change."""
    return max(np.ptp(values), 1e-9 * np.abs(values).max(), 1e-300)


def strike_scan(name, water, *, points=1001, allowed=2e-4, most=5):
    """Worst error of the second differences of spin and launch, found − true, against their range.

    The reference is asked only where the engine's own are beyond what is allowed, and there at most
    at the `most` largest: elsewhere both are below.
    """
    _, low, high = INPUTS[name]
    case, places = standard(water), np.linspace(low, high, points)
    many = changed(case, name, places)
    found = strike(*many[:4], assume=many.assume)
    worst = {}
    for result in ("spin_rate", "launch_angle"):
        values = getattr(found, result)
        bent = np.diff(values, 2) / own_range(values)
        suspects = np.argsort(-np.abs(bent))[:most]
        suspects = suspects[np.abs(bent[suspects]) > allowed]
        others = np.delete(bent, suspects)
        worst[result] = (min(float(np.abs(others).max()), allowed), math.nan)
        for i in suspects:
            true = [getattr(reference.struck(*changed(case, name, float(places[i + j]))), result)
                    for j in range(3)]
            error = abs(bent[i] - (true[0] - 2 * true[1] + true[2]) / own_range(values))
            if error > worst[result][0]:
                worst[result] = (float(error), float(places[i + 1]))
    return worst


def shrinks(results, low, high, *, points=1001, finer=100):
    """How much of the largest change of a result between neighbours is left where the scan bends
    most and is `finer` times finer: 1 where it shrinks as much, `finer` where it jumps.

    `results` turns an array of places into an array of values.  Changes below 1e-6 of the range
    count as that.
    """
    places = np.linspace(low, high, points)
    values = results(places)
    floor = 1e-6 * own_range(values)
    worst = int(np.argmax(np.abs(np.diff(values, 2))))
    near = np.linspace(places[worst], places[worst + 2], 2 * finer + 1)
    coarse = np.abs(np.diff(values[worst:worst + 3])).max()
    fine = np.abs(np.diff(results(near))).max()
    return float(fine * finer / max(coarse, floor * finer)), float(places[worst + 1])


def spin_shrinks(name, water):
    """`shrinks` of the spin of a strike."""
    def results(places):
        many = changed(standard(water), name, places)
        return strike(*many[:4], assume=many.assume).spin_rate

    return shrinks(results, *INPUTS[name][1:])


def carry_shrinks(name):
    """`shrinks` of the carry of a pitch."""
    kind, low, high = FLIGHT_INPUTS[name]
    launch, air = Launch(ball_speed=24.0, launch_angle=0.5, spin_rate=600.0), Air(wind=-4.0)

    def results(places):
        if kind is Air:
            return fly(launch, air.but(**{name: places})).carry
        return fly(launch.but(**{name: places}), air).carry

    return shrinks(results, low, high)


def run_out_shrinks(name, *, speed=24.0, angle=25 * deg, spin=300.0):
    """`shrinks` of the run-out of a low, long shot, over an input of landing or green."""
    at = {"landing_speed": (3.0, 30.0), "descent_angle": (10 * deg, 80 * deg), "spin": (-200.0, 1200.0)}

    def results(places):
        given = {"speed": speed, "descent_angle": angle, "spin": spin}
        if name in at:
            given["speed" if name == "landing_speed" else name] = places
            return land(landing(**given), Green()).run_out
        return land(landing(**given), Green(**{name: places})).run_out

    low, high = at[name] if name in at else GREEN_INPUTS[name][1:]
    return shrinks(results, low, high)


def total_shrinks(name, water):
    """`shrinks` of the whole shot's run-out, over an input of the strike."""
    def results(places):
        many = changed(standard(water), name, places)
        return play(*many[:4], assume=many.assume).run_out

    return shrinks(results, *INPUTS[name][1:])


# -- corners --------------------------------------------------------------------------------------


def many_records(count, seed=25):
    """Records of `count` whole shots as one of each kind: any value, the ends of ranges included."""
    rng = np.random.default_rng(seed)

    def drawn(kind, **fixed):
        values = {}
        for f in dataclasses.fields(kind):
            if "low" in f.metadata and f.name not in fixed:
                low, high = f.metadata["low"], f.metadata["high"]
                share = rng.random(count)
                share[rng.random(count) < 0.1] = 0.0
                share[rng.random(count) < 0.1] = 1.0
                values[f.name] = np.clip(low + (high - low) * share, low, high)
        return kind(**values | fixed)

    spin_loft = np.where(rng.random(count) < 0.1, rng.choice([0.0, 85.0], count),
                         rng.uniform(0, 85, count)) * deg
    attack = np.clip(rng.uniform(-30, 20, count) * deg, -10 * deg - spin_loft, 85 * deg - spin_loft)
    loft = np.clip(spin_loft + attack, np.maximum(-10 * deg, attack), 85 * deg)
    attack = np.maximum(attack, loft - 85 * deg)
    water = np.where(rng.random(count) < 0.3, rng.choice([0.0, 1e-3], count),
                     10.0 ** rng.uniform(-9, -3, count))
    central = rng.random(count) < 0.5
    offset = np.where(central, 0.0, rng.uniform(-3e-3, 3e-3, count))
    # steep faces that turn on would launch beyond the upright, which no record holds
    height = np.where(loft < 60 * deg, rng.uniform(-20e-3, 20e-3, count), 0.0)
    return {
        "arriving": drawn(Delivery, attack_angle=attack, dynamic_loft=loft, normal_offset=offset,
                          strike_height=height),
        "face": drawn(Face, grooves=drawn(Grooves)), "ball": drawn(Ball),
        "between": drawn(Between, water=water), "air": drawn(Air), "green": drawn(Green),
        "assume": drawn(Assumptions),
    }


def energy_made(arriving, face, ball, launch):
    """Kinetic energy of ball, spin and head after a strike against what was brought, less one."""
    down = ball.inertia * launch.spin_rate / ball.radius
    across = np.sqrt(np.maximum((ball.mass * launch.ball_speed) ** 2 - down**2, 0.0))
    head = ((arriving.head_speed * np.cos(arriving.spin_loft) - across / face.head_mass) ** 2
            + (arriving.head_speed * np.sin(arriving.spin_loft) - down / face.head_mass) ** 2)
    left = ball.mass * launch.ball_speed**2 + ball.inertia * launch.spin_rate**2
    left = left + (across * arriving.strike_height) ** 2 / face.head_inertia
    return (left + face.head_mass * head) / (face.head_mass * arriving.head_speed**2) - 1


def corner_faults(count, seed=25, alone=200):
    """What must be none, by name, over whole shots anywhere in the ranges of all records."""
    records = many_records(count, seed)
    shot = play(**records)
    path, rest, launch = shot.path, shot.rest, shot.launch
    faults = {"not finite": 0}
    for outcome in (launch, launch.contact, path, rest):
        for value in vars(outcome).values():
            if isinstance(value, np.ndarray):
                faults["not finite"] += int(np.count_nonzero(~np.isfinite(value)))
    central = records["arriving"].normal_offset == 0
    made = energy_made(records["arriving"], records["face"], records["ball"], launch)
    faults["energy made in a central strike"] = int(np.count_nonzero(made[central] > 1e-9))
    steep = (path.descent_angle < 0) | (path.descent_angle > np.pi / 2)
    # on the ground at once: the angle is that of the launch, which may point anywhere down
    faults["descent outside 0…90°"] = int(np.count_nonzero(steep))
    faults["spin gained in flight"] = int(np.count_nonzero(
        np.abs(path.landing_spin) > np.abs(launch.spin_rate) * (1 + 1e-12)))
    negative = (path.apex < 0) | (path.flight_time < 0) | (rest.time < 0) | (rest.bounces < 0)
    faults["negative height or time"] = int(np.count_nonzero(negative))
    # weight takes back what it gave, and the wind may push: without wind no ball lands faster
    still = play(**records | {"air": records["air"].but(wind=0.0, crosswind=0.0)})
    faults["energy made in flight"] = int(np.count_nonzero(
        still.path.landing_speed > launch.ball_speed * (1 + 1e-9)))
    faults["one against array"] = 0
    for i in range(0, count, max(count // alone, 1)):
        one = play(**{name: record[i] for name, record in records.items()})
        faults["one against array"] += sum(
            _differ(getattr(a, name), getattr(b, name)[i])
            for a, b in ((one.launch, launch), (one.launch.contact, launch.contact),
                         (one.path, path), (one.rest, rest))
            for name, value in vars(b).items() if isinstance(value, np.ndarray))
    return faults


def _differ(one, other):
    """Whether two numbers differ by more than 1e-12 of their size, or 1e-16 where they are small."""
    one, other = float(one), float(other)
    return not abs(one - other) <= max(1e-12 * abs(one), 1e-16)


# -- the table ------------------------------------------------------------------------------------


def _spread(name, values, unit="", scale=1.0):
    values = np.array(values) * scale
    return f"  {name:<22} worst {values.max():.3g}{unit}, median {np.median(values):.3g}{unit}"


def main(count=2000, flight_count=1000, corner_count=20_000):
    """Print the table."""
    rows = list(strike_errors(count))
    print(f"{count} random strikes (wanted: spin 0.1 %, launch 0.01° at most)")
    for regime in ("all", *sorted({row[0] for row in rows})):
        some = [row for row in rows if regime in ("all", row[0])]
        spin, launch = max(some, key=lambda row: row[2]), max(some, key=lambda row: row[3])
        print(f"  {regime:<8} {len(some):5d}  spin: worst {spin[2] * 100:.4f} % (number {spin[1]}), "
              f"median {np.median([row[2] for row in some]) * 100:.4f} %; launch: worst "
              f"{launch[3] / deg:.4f}° (number {launch[1]}), "
              f"median {np.median([row[3] for row in some]) / deg:.5f}°")
    for place, name in ((4, "ball speed"), (5, "contact time"), (6, "film left")):
        print(_spread(name, [row[place] for row in rows], " %", 100))
    usual = [row for row in flight_errors(flights(flight_count)) if row[1] >= 5]
    print(f"{len(usual)} flights, carry ≥ 5 m, in shares of 0.1 % or 5 mm (wanted: at most 1)")
    print(_spread("carry", [row[2] for row in usual]))
    print(_spread("apex", [row[3] for row in usual]))
    level = list(flight_errors(level_flights(flight_count // 5)))
    print(f"{len(level)} launches near level with lift near the weight, likewise")
    print(_spread("carry", [row[2] for row in level]))
    print(_spread("apex", [row[3] for row in level]))
    print(_spread("at the border [m]", [abs(row[3] - row[2]) for row in border_errors()]))
    ground = list(landing_errors(count))
    print(f"{count} landings")
    print(_spread("first bounce [m]", [row[1] for row in ground]))
    print(_spread("spin kept [rad/s]", [row[2] for row in ground]))
    print(_spread("run-out, in small hops", [row[3] for row in ground]))
    print("scans of 1,000 steps: error of second differences against the range (wanted 0.02 %); and "
          "what is left of the largest step where it is 100 × finer (1 is smooth, 100 a jump)")
    for state, water in WATER.items():
        for name in INPUTS:
            worst = strike_scan(name, water, most=40)
            left, place = spin_shrinks(name, water)
            run, _ = total_shrinks(name, water)
            told = ", ".join(f"{result} {error * 100:.4f} % near {place:.5g}"
                             for result, (error, place) in worst.items())
            print(f"  {state:<8}{name:<21}{told}; steps: spin {left:.2f}, run-out {run:.2f}")
    for name in FLIGHT_INPUTS:
        print("  carry over {:<14} steps {:.2f} near {:.5g}".format(name, *carry_shrinks(name)))
    for name in ("landing_speed", "descent_angle", "spin", *GREEN_INPUTS):
        print("  run-out over {:<14} steps {:.2f} near {:.5g}".format(name, *run_out_shrinks(name)))
    print(f"{corner_count} whole shots anywhere in the ranges (wanted: none)")
    for name, faults in corner_faults(corner_count).items():
        print(f"  {name:<32} {faults}")


@compiled.compiled
def _ends_of(rows, ends):
    """Events met, and the root of the compression at the end, of the contact in every row."""
    none = np.zeros(0)
    history = contact.History(none, none, none, none, none, none, none, none, none)
    for shot in range(len(rows)):
        situation = kernel_rows.situation_at(rows[shot])
        one = contact.contact_of(situation.arriving, situation.face, situation.ball,
                                 situation.between, situation.assume)
        left = contact.follow_contact(one, -1.0, history)
        ends[shot, 0] = left.events
        ends[shot, 1] = left.state.root / math.sqrt(one.deepest)


def rounds(count=1_000_000, at_once=20_000):
    """Print whether any of many strikes, anywhere in the records' ranges, runs out of rounds."""
    most, furthest = 0.0, 0.0
    for seed in range(count // at_once):
        records = many_records(at_once, seed=1000 + seed)
        shape = (at_once,)
        rows = table(shape, *(records.get(name, default) for name, default in (
            ("arriving", None), ("face", None), ("ball", None), ("between", Between()),
            ("assume", Assumptions()), ("air", Air()), ("law", Aerodynamics()), ("green", Green()))))
        ends = np.empty((at_once, 2))
        _ends_of(rows, ends)
        most, furthest = max(most, ends[:, 0].max()), max(furthest, ends[:, 1].max())
    print(f"{count} strikes anywhere in the ranges: {most:.0f} events at most, "
          f"{contact.MOST_EVENTS} allowed; compression at the end at most {furthest:.1e} of the depth")


if __name__ == "__main__":
    if sys.argv[1:2] == ["rounds"]:
        rounds(*map(int, sys.argv[2:]))
    else:
        main(*map(int, sys.argv[1:]))
