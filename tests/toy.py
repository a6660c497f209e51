"""A panel small enough to know every answer by hand: a ball thrown where there is no air.

carry = v² sin 2θ / g, height = v² sin²θ / 2g (any textbook of mechanics [M]).
"""

from dataclasses import dataclass

import numpy as np

from spinlab.units import GRAVITY, deg, mph


@dataclass(frozen=True, kw_only=True)
class Throw:
    """What the toy shows, in SI."""

    x: np.ndarray
    y: np.ndarray
    carry: float
    height: float
    speed: float
    surface: str


def throw(*, speed, angle, surface="short"):
    """A ball thrown at `speed` [m/s] and `angle` [rad] above the ground."""
    if angle > 80 * deg and surface == "long":
        raise ValueError(f"angle must lie in 0° … 80° in long grass, got {angle / deg:.4g}°; throw flatter")
    time = np.linspace(0, 2 * speed * np.sin(angle) / GRAVITY, 80)
    carry = speed**2 * np.sin(2 * angle) / GRAVITY
    return Throw(x=speed * np.cos(angle) * time, y=speed * np.sin(angle) * time - GRAVITY * time**2 / 2, carry=carry,
                 height=(speed * np.sin(angle)) ** 2 / (2 * GRAVITY), speed=speed, surface=surface)


def build(look):
    """Two axes: the path, and how carry answers the angle."""
    figure = look.figure()
    left = figure.add_axes((0.11, 0.58, 0.85, 0.36) if look.upright else (0.09, 0.16, 0.54, 0.74))
    right = figure.add_axes((0.17, 0.1, 0.79, 0.34) if look.upright else (0.74, 0.16, 0.23, 0.74))
    left.set_title("Path of the ball")
    right.set_title("Speed and carry")
    path, = left.plot([], [], animated=True, **look.line("dry"))
    ball, = left.plot([], [], animated=True, gid="no ghost", **look.dots("dry"))
    still = [left.plot([], [], **look.line(k, width=2)) for k in range(1, 3)]
    dot, = right.plot([], [], animated=True, **look.dots("wet"))
    said = left.text(0.02, 0.95, "", transform=left.transAxes, va="top", animated=True)
    shown = []

    def draw(result, units):
        if shown != [units]:
            shown[:] = [units]
            look.axes(left, x=(0, units.shown("distance", 60)), y=(0, units.shown("height", 30)),
                      x_label=f"Distance [{units.distance}]", y_label=f"Height [{units.height}]")
            look.axes(right, x=(0, units.shown("speed", 25)), y=(0, units.shown("distance", 65)),
                      x_label=f"Speed [{units.speed}]", y_label=f"Carry [{units.distance}]")
            for k, (line,) in enumerate(still):
                line.set_data([0, units.shown("distance", 60)], [0, units.shown("height", 5 * k + 5)])
        path.set_data(units.shown("distance", result.x), units.shown("height", result.y))
        top = np.argmax(result.y)
        ball.set_data(units.shown("distance", result.x[[top, -1]]), units.shown("height", result.y[[top, -1]]))
        dot.set_data([units.shown("speed", result.speed)], [units.shown("distance", result.carry)])
        carry, height = units.say("distance", result.carry, 1), units.say("height", result.height, 1)
        said.set_text(f"carry {carry}")
        return f"The ball carries {carry} and rises {height} from the {result.surface} grass."

    return figure, draw


def panel(**options):
    """The toy panel."""
    from spinlab.show.panel import Choice, Knob, Panel

    return Panel(
        title="A ball thrown without air",
        knobs=[
            Knob("speed", "Speed", unit="m/s", low=1 * mph, high=50 * mph, step=0.5, value=18.0,
                 means="as it leaves the hand"),
            Knob("angle", "Angle", unit="°", low=0.0, high=90 * deg, step=1 * deg, value=30 * deg,
                 means="above the ground", play=2.0),
            Choice("surface", "Surface", {"short grass": "short", "long grass": "long"}, means="what it leaves from"),
        ],
        compute=throw,
        build=build,
        states={"low": {"angle": 20 * deg}, "high": {"angle": 60 * deg},
                "fast and high": {"angle": 60 * deg, "speed": 22.0}},
        **options,
    )
