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
from spinlab.physics.flight import fly
from spinlab.physics.green import land
from spinlab.records import Air, Ball, Between, Delivery, Face, Green, Grooves
from spinlab.units import GRAVITY, deg, um

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


def shots():
    """A few pitches, so that no tolerance is judged by the luck of one."""
    return [PITCH.but(dynamic_loft=loft * deg) for loft in (36, 40, 44, 48, 52)]


def contact_at_equal_accuracy():
    """The quickest way through `solve_ivp` whose spin is within 0.1 % on every shot: [s a shot], method and tolerance."""
    true, found = [integrate(shot, FACE, BALL, WET).spin_rate for shot in shots()], []
    for method in ("RK45", "DOP853", "LSODA", "Radau"):
        for rtol in (1e-2, 1e-3, 1e-4, 1e-5, 1e-6):
            way = {"rtol": rtol, "method": method}
            try:
                got = [integrate(shot, FACE, BALL, WET, **way).spin_rate for shot in shots()]
            except (AssertionError, ArithmeticError):
                continue
            if np.max(np.abs(np.divide(got, true) - 1)) < 1e-3:
                took = seconds(lambda: [integrate(shot, FACE, BALL, WET, **way) for shot in shots()], rounds=3)  # noqa: B023
                found.append((took / len(true), method, rtol))
                break
    return min(found)


def flight_in_plain_numbers(launch, *, rtol, method="RK45"):
    """One flight without wind through `solve_ivp`, Python's own numbers, landing by an event → carry [m]."""
    from math import cos, exp, hypot, pi, sin

    from scipy.integrate import solve_ivp

    from spinlab.physics import air, flight

    still = Air()
    density = float(air.air_density(temperature=still.temperature, pressure=still.pressure, humidity=still.humidity))
    pull, per_reynolds = density * pi * BALL.radius**2 / (2 * BALL.mass), 2 * BALL.radius * density / float(
        air.air_viscosity(still.temperature))

    def rate(t, y):
        _, _, u, w, spin = y.tolist()
        speed = hypot(u, w)
        s, reynolds = BALL.radius * spin / speed, per_reynolds * speed
        below = 1 / (1 + exp((reynolds * (1 + 0.5 * s) - 4.8e4) / 4e3))
        drag = 0.24 + 0.18 * s + 0.06 * sin(pi / 2e5 * (min(max(reynolds, 7e4), 2.1e5) - 9e4)) + 0.24 * below * max(1 - s, 0)
        lift = min(0.54 * s**0.4, 0.54 * 0.08**-0.6 * s)
        lift = lift / (1 + (lift / 0.355) ** 6) ** (1 / 6) * (1 - 0.35 * below)
        d, k = pull * drag * speed, pull * lift * speed
        return [u, w, -d * u - k * w, -d * w + k * u - GRAVITY, -flight.SPIN_DECAY / BALL.radius * speed * spin]

    def down(t, y):
        return y[1]

    down.terminal, down.direction = True, -1
    v, up = launch.ball_speed, launch.launch_angle
    start = [0.0, 1e-9, v * cos(up), v * sin(up), launch.spin_rate]
    return solve_ivp(rate, (0, 20), start, rtol=rtol, atol=rtol * 1e-2, method=method, events=down).y[0, -1]


def flight_at_equal_accuracy(launches):
    """The quickest way through `solve_ivp` whose carry is within 0.1 % on every shot: [s a shot], method and tolerance."""
    true, found = [flight_in_plain_numbers(one, rtol=1e-10, method="DOP853") for one in launches], []
    for method in ("RK45", "DOP853", "LSODA"):
        for rtol in (1e-1, 3e-2, 1e-2, 3e-3, 1e-3, 1e-4):
            way = {"rtol": rtol, "method": method}
            got = [flight_in_plain_numbers(one, **way) for one in launches]
            if np.max(np.abs(np.divide(got, true) - 1)) < 1e-3:
                took = seconds(lambda: [flight_in_plain_numbers(one, **way) for one in launches], rounds=3)  # noqa: B023
                found.append((took / len(true), method, rtol))
                break
    return min(found)


def physics():
    from spinlab.physics.shot import play

    def whole(arriving, between=WET):
        return play(arriving, FACE, BALL, between, Air(), Green())

    def lofts(count):
        return PITCH.but(dynamic_loft=np.linspace(35, 55, count) * deg)

    one_strike, one = seconds(lambda: strike(PITCH, FACE, BALL, WET), times=20), seconds(lambda: whole(PITCH), times=10)
    contact, method, rtol = contact_at_equal_accuracy()
    print(f"contact, wet: {one_strike * 1e3:.2f} ms; solve_ivp, spin within 0.1 % ({method}, rtol {rtol:g}): "
          f"{contact * 1e3:.1f} ms, ratio {contact / one_strike:.1f}")
    launches = [strike(shot, FACE, BALL, WET) for shot in shots()]
    path = fly(launches[2], ball=BALL)
    one_flight = seconds(lambda: fly(launches[2], ball=BALL), times=20)
    green = seconds(lambda: land(path, ball=BALL), times=20)
    air, method, rtol = flight_at_equal_accuracy(launches)
    print(f"flight: {one_flight * 1e3:.2f} ms; solve_ivp, carry within 0.1 % ({method}, rtol {rtol:g}): {air * 1e3:.1f} ms, "
          f"ratio {air / one_flight:.1f}")
    slow = contact + air + green
    print(f"one whole shot: {one * 1e3:.2f} ms; through solve_ivp {slow * 1e3:.1f} ms (the green's closed forms, "
          f"{green * 1e3:.2f} ms, on both sides), ratio {slow / one:.1f} (5 wanted)")
    sweep = seconds(lambda: whole(lofts(200)))
    few = seconds(lambda: whole(lofts(20)))
    print(f"200 lofts: {sweep * 1e3:.1f} ms, {sweep / one:.1f} × one shot (under 3 wanted), {sweep / few:.1f} × 20 lofts, "
          f"{sweep / slow:.1f} × one shot through solve_ivp")
    dry = seconds(lambda: whole(lofts(200), Between()))
    print(f"200 lofts, dry, where the ball also grips: {dry * 1e3:.1f} ms")
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
