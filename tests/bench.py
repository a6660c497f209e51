"""How fast the physics is beside the same equations through `scipy.integrate.solve_ivp`: ``python tests/bench.py``.

Prints ratios and asserts nothing.  Further benches of single rooms run from here too: ``python tests/bench.py table panel``.
"""

from __future__ import annotations

import importlib
import sys
import time
import tracemalloc

import numpy as np
from reference import integrate

from spinlab.physics.contact import strike
from spinlab.records import Air, Ball, Between, Delivery, Face, Green, Grooves
from spinlab.units import deg, um

FACE = Face(grooves=Grooves(width=0.8e-3, depth=0.45e-3, separation=2.7e-3))
BALL, WET = Ball.published_soft_cover(), Between(water=40 * um)
PITCH = Delivery(head_speed=20.0, attack_angle=-6 * deg, dynamic_loft=44 * deg)


def seconds(work, *, rounds=5, times=1):
    """Least processor time of some rounds [s a call]; other programs on the machine do not count."""
    took = []
    for _ in range(rounds):
        start = time.process_time()
        for _ in range(times):
            work()
        took.append((time.process_time() - start) / times)
    return min(took)


def contact_at_equal_accuracy():
    """The quickest way through `solve_ivp` whose spin is within 0.1 %: [s], method and tolerance."""
    true, found = integrate(PITCH, FACE, BALL, WET).spin_rate, []
    for method in ("RK45", "DOP853", "LSODA", "Radau"):
        for rtol in (1e-3, 1e-4, 1e-5, 1e-6):
            try:
                got = integrate(PITCH, FACE, BALL, WET, rtol=rtol, method=method)
            except (AssertionError, ArithmeticError):
                continue
            if abs(got.spin_rate / true - 1) < 1e-3:
                way = {"rtol": rtol, "method": method}
                found.append((seconds(lambda: integrate(PITCH, FACE, BALL, WET, **way), rounds=3), method, rtol))  # noqa: B023
                break
    return min(found)


def flight_by_integrator(launch, *, rtol=1e-4):
    """The flight's own right-hand side through `solve_ivp`, landing by an event → seconds in the air.

    At 1e-4 the carry is well within 0.1 %.
    """
    from scipy.integrate import solve_ivp

    from spinlab.physics import flight
    from spinlab.physics.coefficients import pitch_coefficients

    one = np.ones(1)
    axis = flight.spin_axis(launch_angle=launch.launch_angle * one, direction=0 * one, spin_tilt=0 * one)
    air = Air()
    given = {"drag_scale": one, "lift_scale": one, "mass": BALL.mass, "radius": BALL.radius}
    given |= {name: getattr(air, name) for name in ("temperature", "pressure", "humidity", "wind", "crosswind")}
    equation = flight._Equation(axis, given, pitch_coefficients)
    v, up = launch.ball_speed, launch.launch_angle

    def down(t, y):
        return y[2]

    down.terminal, down.direction = True, -1
    start = [0, 0, 1e-9, v * np.cos(up), 0, v * np.sin(up), launch.spin_rate]
    got = solve_ivp(lambda t, y: equation(y[:, None])[:, 0], (0, 20), start, rtol=rtol, atol=1e-6, events=down)
    return got.t[-1]


def physics():
    from spinlab.physics.shot import play

    def whole(arriving, between=WET):
        return play(arriving, FACE, BALL, between, Air(), Green())

    def lofts(count):
        return PITCH.but(dynamic_loft=np.linspace(35, 55, count) * deg)

    one_strike, one = seconds(lambda: strike(PITCH, FACE, BALL, WET), times=20), seconds(lambda: whole(PITCH), times=10)
    slow, method, rtol = contact_at_equal_accuracy()
    print(f"contact, wet: {one_strike * 1e3:.2f} ms; solve_ivp at 0.1 % ({method}, {rtol:g}) {slow * 1e3:.1f} ms, "
          f"ratio {slow / one_strike:.1f}")
    launch = strike(PITCH, FACE, BALL, WET)
    try:
        air = seconds(lambda: flight_by_integrator(launch), rounds=3)
        print(f"flight through solve_ivp: {air * 1e3:.1f} ms")
    except (AttributeError, KeyError, TypeError) as err:
        air = 0.0
        print(f"flight through solve_ivp left out ({err}); the ratios below count the contact alone")
    slow += air
    print(f"one whole shot: {one * 1e3:.2f} ms; contact and flight through solve_ivp {slow * 1e3:.1f} ms, "
          f"ratio {slow / one:.1f} (5 wanted; the green's bounces are not counted against solve_ivp)")
    sweep = seconds(lambda: whole(lofts(200)))
    print(f"200 lofts: {sweep * 1e3:.1f} ms, {sweep / one:.1f} × one shot (under 3 wanted)")
    before = None
    for count in (100, 1_000, 10_000):
        took = seconds(lambda: whole(lofts(count)), rounds=3)  # noqa: B023
        growth = "" if before is None else f", {took / before:.1f} × for ten times as many"
        print(f"{count} shots: {took * 1e3:.0f} ms, {took / count * 1e6:.0f} µs each, "
              f"solve_ivp × {slow / (took / count):.0f}{growth}")
        before = took
    tracemalloc.start()
    whole(lofts(10_000))
    print(f"memory at the peak of 10,000 shots: {tracemalloc.get_traced_memory()[1] / 1e6:.0f} MB (under 500 wanted)")
    tracemalloc.stop()


def main(names):
    """Run the named benches; ``physics`` alone when none is named."""
    for name in names or ["physics"]:
        print(f"-- {name}")
        physics() if name == "physics" else importlib.import_module(f"bench_{name}").main()


if __name__ == "__main__":
    main(sys.argv[1:])
