"""From a launch that is given – measured, or wished for – to where the ball stops, with its band.

The contact is left out here: launch angle and spin are taken as they are, so that only flight and green are in doubt.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..records import Air, Ball, Green, Launch, check
from ..units import GRAVITY, deg
from .bands import Band, _cube, band_of
from .flight import fly
from .green import land
from .shot import _rising_root
from .uncertain import PARAMETERS

FASTEST = 90.0
"""The most ball speed [m/s] that `ball_speed_for_carry` tries."""
_NEAR, _FAR = np.geomspace(0.8, 1.6, 15), np.array([0.4, 2.0, 2.8, 4.0, 6.0])
"""Ball speeds to look between, against the one that would carry as far without air; far ones only where they are needed."""


def ball_speed_for_carry(carry, *, launch_angle, spin_rate, air: Air | None = None, ball: Ball | None = None, **flight):
    """The ball speed [m/s] that carries a ball of this launch angle [rad] and spin [rad/s] so far [m], to a centimetre.

    Arrays give one for each shot; options go to `fly`.

    Raises
    ------
    ValueError
        no ball speed up to 90 m/s carries that far, as with a launch that points down.
    """
    carry = check("carry", carry, what="wanted carry", unit="m", low=0.5, high=400.0)
    angle = check("launch angle", launch_angle, what="", unit="°", low=1 * deg, high=89 * deg)
    wanted = np.sqrt(carry + 0.0 * (angle + np.asarray(spin_rate)))

    def root_carry(speed):
        launch = Launch(ball_speed=speed, launch_angle=angle, spin_rate=spin_rate)
        return np.sqrt(np.maximum(fly(launch, air, ball=ball, **flight).carry, 0.0))

    # carry grows nearly with the square of speed, so its root is nearly straight; without air it would be exactly
    without_air = wanted * np.sqrt(GRAVITY / np.sin(2 * angle))
    share = _NEAR
    grid = np.minimum(np.multiply.outer(share, without_air), FASTEST)
    miss = root_carry(grid) - wanted
    if np.any(np.max(miss, axis=0) < 0) or np.any(miss[0] > 0):
        share = np.sort(np.concatenate([_NEAR, _FAR]))
        grid = np.minimum(np.multiply.outer(share, without_air), FASTEST)
        miss = root_carry(grid) - wanted
    best = np.max(miss, axis=0)
    if np.any(best < 0):
        worst = np.argmin(best)
        asked, reached = (np.ravel(x)[worst] ** 2 for x in (wanted, best + wanted))
        raise ValueError(f"carry: {asked:.0f} m is out of reach; this launch carries {reached:.0f} m at ball speeds up to "
                         f"{FASTEST:.0f} m/s; ask for less, or change the launch angle")
    above = np.maximum(np.argmax(miss >= 0, axis=0), 1)[None]
    (low, high), (short, over) = ([np.take_along_axis(x, above + k, axis=0)[0] for k in (-1, 0)] for x in (grid, miss))
    found = _rising_root(lambda v: root_carry(v) - wanted, low, high, miss_low=short, miss_high=over,
                         close=5e-3 / (2 * wanted))
    return float(found) if np.ndim(found) == 0 else found


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
    shares = np.vstack([np.full(len(used), np.nan), _cube(len(used), n, seed)])[:, :, None, None]
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
