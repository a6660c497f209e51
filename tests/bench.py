"""How fast the physics is beside the same equations through SciPy's integrators.

``python tests/bench.py`` prints ratios of one run and asserts nothing; further benches of single
rooms run from here too: ``python tests/bench.py table panel``.  ``--against FOLDER`` runs the same
work with another checkout's package in turns, each in processes of its own, and prints new ÷ old.
"""

from __future__ import annotations

import argparse
import importlib
import json
import os
import pathlib
import subprocess
import sys
import time

import numpy as np
import reference
from scipy import integrate

from spinlab.physics.contact import strike
from spinlab.physics.flight import fly
from spinlab.physics.green import land
from spinlab.physics.shot import play
from spinlab.records import Air, Ball, Between, Delivery, Face, Green, Grooves
from spinlab.units import deg, um

WITHIN = 1e-3
"""Both sides of a ratio are within this of the truth: spin and carry, on every one of a few shots."""
TIGHT = 1e-12
ROUNDS = 3
MANY = 10_000


def records():
    """A wet pitch, made anew: making the records is part of the public call."""
    face = Face(grooves=Grooves(width=0.8e-3, depth=0.45e-3, separation=2.7e-3))
    return {
        "arriving": Delivery(head_speed=20.0, attack_angle=-6 * deg, dynamic_loft=44 * deg),
        "face": face, "ball": Ball.published_soft_cover(), "between": Between(water=40 * um),
        "air": Air(), "green": Green(),
    }


def whole(lofts=None, water=40 * um):
    """One whole shot, records and all, or one for each loft [rad]."""
    given = records()
    if lofts is not None:
        given["arriving"] = given["arriving"].but(dynamic_loft=lofts)
    given["between"] = given["between"].but(water=water)
    return play(**given)


def lofts(count):
    return np.linspace(35, 55, count) * deg


def seconds(work, *, rounds=5, times=1):
    """Least time of some rounds [s a call].

    By the clock, for work may be shared out between cores; the least, for other programs run too.
    """
    took = []
    for _ in range(rounds):
        start = time.perf_counter()
        for _ in range(times):
            work()
        took.append((time.perf_counter() - start) / times)
    return min(took)


def few_strikes():
    """A few pitches, so that no tolerance is judged by the luck of one."""
    given = records()
    return [(given["arriving"].but(dynamic_loft=loft * deg), given["face"], given["ball"], given["between"])
            for loft in (36, 40, 44, 48, 52)]


def quickest(work, true, ways):
    """(seconds a shot, method, tolerance) of the quickest way whose answers are near the truth."""
    found = []
    for method, tolerances in ways.items():
        for rtol in tolerances:
            try:
                got = work(method, rtol)
            except (AssertionError, ArithmeticError):
                continue
            if np.max(np.abs(np.divide(got, true) - 1)) < WITHIN:
                took = seconds(lambda: work(method, rtol), rounds=ROUNDS)  # noqa: B023
                found.append((took / len(true), method, rtol))
                break
    return min(found)


def through_scipy():
    """Seconds of a whole shot by SciPy's integrators, as loose as the truth allows, and how."""
    cases = few_strikes()

    def spins(method, rtol):
        return [reference.struck(*case, rtol=rtol, method=getattr(integrate, method)).spin_rate
                for case in cases]

    launches = [strike(*case) for case in cases]

    def carries(method, rtol):
        return [reference.flown(launch, rtol=rtol, method=method).carry for launch in launches]

    loose = (1e-1, 3e-2, 1e-2, 3e-3, 1e-3, 1e-4, 1e-5, 1e-6)
    contact = quickest(spins, spins("DOP853", TIGHT), dict.fromkeys(("RK45", "DOP853", "LSODA"), loose))
    flight = quickest(carries, carries("DOP853", TIGHT), dict.fromkeys(("RK45", "DOP853", "LSODA"), loose))
    path = fly(launches[2])
    ground = seconds(lambda: reference.landed(path.landing_speed, path.descent_angle,
                                              path.landing_backspin, Green()), times=20)
    return contact, flight, ground


def engine():
    """Seconds of the engine's usual work, by name."""
    given = records()
    parts = {name: given[name] for name in ("arriving", "face", "ball", "between")}
    launch = strike(**parts)
    path = fly(launch, given["air"], ball=given["ball"])
    whole(), whole(lofts(10))  # whatever is compiled is compiled now
    return {
        "one strike": seconds(lambda: strike(**parts), times=50),
        "one flight": seconds(lambda: fly(launch, given["air"], ball=given["ball"]), times=50),
        "one landing": seconds(lambda: land(path, given["green"], ball=given["ball"]), times=50),
        "one whole shot, records and all": seconds(whole, times=30),
        "200 lofts, wet": seconds(lambda: whole(lofts(200)), times=3),
        "200 lofts, dry": seconds(lambda: whole(lofts(200), 0.0), times=3),
        f"{MANY} whole shots": seconds(lambda: whole(lofts(MANY)), rounds=ROUNDS),
    }


def memory():
    """What so many whole shots add to the most that this process has ever held [MB].

    Only the first call says anything.  By the system's count, which no allocator escapes.
    """
    import resource

    whole(lofts(10))
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    whole(lofts(MANY))
    return (resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before) * 1024 / 1e6


def physics():
    """Print the ratios."""
    added = memory()
    took = engine()
    contact, flight, ground = through_scipy()
    slow, one = contact[0] + flight[0] + ground, took["one whole shot, records and all"]
    for name, value in took.items():
        print(f"{name}: {value * 1e3:.3f} ms, {value / one:.2f} × one whole shot")
    print(f"SciPy, spin and carry within {WITHIN * 100:g} %: contact {contact[0] * 1e3:.2f} ms "
          f"({contact[1]}, rtol {contact[2]:g}), flight {flight[0] * 1e3:.2f} ms ({flight[1]}, rtol "
          f"{flight[2]:g}), ground {ground * 1e3:.3f} ms")
    print(f"one whole shot through SciPy ÷ through the public call: {slow / one:.1f} (40 wanted)")
    for name in (f"{MANY} whole shots", "200 lofts, wet"):
        count = MANY if name.startswith(str(MANY)) else 200
        print(f"{name}: SciPy × {slow * count / took[name]:.0f}")
    print(f"memory added by {MANY} shots, at their peak: {added:.0f} MB (under 100 wanted)")


def against(folder):
    """The same work here and with the package of another checkout, in turns: new ÷ old."""
    here = pathlib.Path(__file__).resolve()
    took = {"new": [], "old": []}
    for _ in range(ROUNDS):
        for which, package in (("new", here.parents[1]), ("old", pathlib.Path(folder).resolve())):
            path = os.pathsep.join((str(package), str(here.parent)))
            done = subprocess.run([sys.executable, str(here), "--times"], cwd=package, check=True,
                                  capture_output=True, text=True, env=os.environ | {"PYTHONPATH": path})
            took[which].append(json.loads(done.stdout))
    for name in took["new"][0]:
        new, old = (min(times[name] for times in took[which]) for which in ("new", "old"))
        print(f"{name}: {new * 1e3:.3f} ms, was {old * 1e3:.3f} ms, new ÷ old {new / old:.2f}")


def main(arguments):
    """Run the named benches; ``physics`` alone when none is named."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("names", nargs="*", metavar="bench")
    parser.add_argument("--against", metavar="FOLDER", help="another checkout to compare with")
    parser.add_argument("--times", action="store_true", help="print the engine's seconds as JSON")
    asked = parser.parse_args(arguments)
    if asked.times:
        print(json.dumps(engine()))
    elif asked.against:
        against(asked.against)
    else:
        for name in asked.names or ["physics"]:
            print(f"-- {name}")
            physics() if name == "physics" else importlib.import_module(f"bench_{name}").main()


if __name__ == "__main__":
    main(sys.argv[1:])
