"""From a launch that is given – measured, or wished for – to where the ball stops, with its band.

The contact is left out here: launch angle and spin are taken as they are, so that only flight and green are in doubt.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..kernel.questions import FASTEST_BALL, OUT_OF_REACH
from ..records import Aerodynamics, Air, Ball, Green, Launch, check
from ..units import deg, rpm
from .bands import Band, band_of, latin_hypercube
from .flight import BALL, fly
from .green import land
from .rows import ball_speed_rows, run, shape_of, table
from .uncertain import PARAMETERS

LOW = 31 * deg, 6500 * rpm
HIGH = 55 * deg, 2500 * rpm
"""Launch angle [rad] and spin [rad/s] of the two pitches that lessons compare: stopped by spin, stopped by height."""


def ball_speed_for_carry(carry, *, launch_angle, spin_rate, air: Air | None = None, ball: Ball | None = None,
                         aerodynamics: Aerodynamics | None = None):
    """The ball speed [m/s] that carries a ball of this launch angle [rad] and spin [rad/s] so far [m], to a millimetre.

    Arrays give one for each shot.

    Raises
    ------
    ValueError
        no ball speed up to 90 m/s carries that far, as with a launch that points down.
    """
    carry = check("carry", carry, what="wanted carry", unit="m", low=0.5, high=400.0)
    angle = check("launch angle", launch_angle, what="", unit="°", low=1 * deg, high=89 * deg)
    launch = Launch(ball_speed=0.0, launch_angle=angle, spin_rate=spin_rate)
    parts = launch, air or Air(), ball or BALL, aerodynamics or Aerodynamics()
    shape = shape_of(carry, *parts)
    rows = table(shape, *parts)
    wanted = np.broadcast_to(carry, shape).ravel()
    found = np.empty(len(rows))
    run(ball_speed_rows, len(rows), rows, wanted, found)
    short = found == OUT_OF_REACH
    if short.any():
        speeds = np.linspace(0.0, FASTEST_BALL, 46).reshape(-1, *(1,) * len(shape))
        carried = fly(launch.but(ball_speed=speeds), air, ball=ball, aerodynamics=aerodynamics).carry.max(axis=0)
        reached = np.broadcast_to(carried, shape).ravel()
        worst = np.argmax(np.where(short, wanted - reached, -np.inf))
        raise ValueError(f"carry: {wanted[worst]:.0f} m is out of reach; this launch carries {reached[worst]:.0f} m with "
                         f"ball speeds up to {FASTEST_BALL:.0f} m/s; ask for less, or change the launch angle")
    return found.reshape(shape) if shape else float(found[0])


def two_shots(carry=45.0, low=LOW, high=HIGH) -> Launch:
    """The low and the high launch that carry so far [m] in still air; each is launch angle [rad] and spin [rad/s]."""
    angle, spin = np.array([low, high]).T
    return Launch(ball_speed=ball_speed_for_carry(carry, launch_angle=angle, spin_rate=spin), launch_angle=angle,
                  spin_rate=spin)


@dataclass(frozen=True, kw_only=True)
class Stops:
    """Where shots stop on several greens: the band of the run-out [m] and, for the values used, the end of the first bounce
    [m] and the backspin kept after it [rad/s]; arrays [greens, shots]."""

    greens: tuple[str, ...]
    run_out: Band
    first_bounce: np.ndarray
    spin_after_first: np.ndarray


def stops(launch: Launch, greens, *, air: Air | None = None, level=0.9, n=64, seed=1, parameters=PARAMETERS) -> Stops:
    """Where one or several launches [shots] stop on several greens, with the band from what flight and green leave in doubt.

    All uncertain numbers of flight and green are drawn at once, the same draws for every shot and green, so that what is
    compared here differs by the shot and the green alone.

    Parameters
    ----------
    launch
        one launch, or a row of them.
    greens
        `Green` records of one ground each.
    level, n, seed, parameters
        as in `spinlab.physics.bands.band`.
    """
    used = tuple(p for p in parameters if p.stage in ("flight", "green"))
    shares = np.vstack([np.full(len(used), -1.0), latin_hypercube(len(used), n, seed)])[:, :, None, None]
    scales, grounds = {}, {}
    for i, p in enumerate(used):
        for name in p.fields:
            if p.record == "flight":
                scales[name] = p.drawn(1.0, shares[:, i])
            else:
                grounds[name] = p.drawn(np.array([[getattr(green, name)] for green in greens]), shares[:, i])
    fixed = {name: np.array([[getattr(green, name)] for green in greens]) for name in ("speed", "slope")}
    path = fly(launch, air, **scales)  # [draws, 1, shots]
    rest = land(path, Green(**fixed, **grounds))
    return Stops(greens=tuple(green.name for green in greens), run_out=band_of(rest.run_out, of="run_out", level=level),
                 first_bounce=rest.first_bounce[0], spin_after_first=rest.spin_after_first[0])
