"""The whole chain: contact → flight → green, and the chain run backwards for the head speed."""

from __future__ import annotations

import numpy as np

from ..records import Air, Ball, Between, Delivery, Face, Green, Shot, check
from .contact import strike
from .flight import fly
from .green import land

SLOWEST, FASTEST = 1.0, 79.0
"""Head speeds [m/s] between which `carry_to_speed` looks."""


def play(arriving: Delivery, face: Face, ball: Ball, between: Between | None = None, air: Air | None = None,
         green: Green | None = None, *, direction=0.0, spin_tilt=0.0, assume=None, history=False, trace=0, **flight) -> Shot:
    """From how the club arrives to where the ball rests; one shot, or thousands in one call.

    Parameters
    ----------
    arriving, face, ball, between, air, green
        the records of the chain; arrays broadcast.  Left out: a clean, dry face, standard air, a medium green.
    direction, spin_tilt
        of the launch [rad], which the contact in the upright plane does not give.
    assume, history
        go to `strike`.
    trace
        points of the bounces and the roll to keep for drawing.
    **flight
        go to `fly`: ``points``, ``aerodynamics``, ``drag_scale``, ``lift_scale``, ``reverse_lift``.

    Returns
    -------
    Shot
        ``.launch``, ``.path``, ``.rest`` and the distances people talk about.
    """
    launch = strike(arriving, face, ball, between, assume=assume, history=history)
    if type(direction) is not float or type(spin_tilt) is not float or direction or spin_tilt:
        launch = launch.but(direction=direction, spin_tilt=spin_tilt)
    path = fly(launch, air, ball=ball, **flight)
    return Shot(launch=launch, path=path, rest=land(path, green, ball=ball, trace=trace))


def finish(shot: Shot):
    """Where the ball rests: (along the target line, to its right), both from where it was hit [m]."""
    cos, sin = np.cos(shot.path.landing_direction), np.sin(shot.path.landing_direction)
    out, side = shot.rest.run_out, shot.rest.run_side
    return shot.path.carry + out * cos - side * sin, shot.path.side + out * sin + side * cos


def _rising_root(miss, low, high, *, miss_low, miss_high, close, most=60):
    """Where a function that is below nothing at `low` and above it at `high` crosses, element by element.

    False position with the Illinois rule (Dowell & Jarratt, BIT 11:168, 1971, from memory), which keeps its bracket.
    """
    for _ in range(most):
        here = low + (high - low) * (-miss_low) / np.maximum(miss_high - miss_low, 1e-300)
        now = miss(here)
        if np.all(np.abs(now) < close):
            return here
        above = now > 0
        # an end that stays twice loses half its weight
        miss_low, miss_high = np.where(above, 0.5 * miss_low, now), np.where(above, now, 0.5 * miss_high)
        low, high = np.where(above, low, here), np.where(above, here, high)
    return 0.5 * (low + high)


def carry_to_speed(carry, arriving: Delivery, face: Face, ball: Ball, between: Between | None = None, air: Air | None = None,
                   *, assume=None, **flight):
    """The head speed [m/s] that gives a carry [m], everything else of the delivery kept (its own head speed is ignored).

    Found to a millimetre of carry, for all shots at once.

    Raises
    ------
    ValueError
        no head speed up to 79 m/s carries the ball that far.
    """
    carry = check("carry", carry, what="wanted carry", unit="m", low=0.0, high=400.0)

    def root_carry(speed):
        launch = strike(arriving.but(head_speed=speed), face, ball, between, assume=assume)
        return np.sqrt(np.maximum(fly(launch, air, ball=ball, **flight).carry, 0.0))

    # carry grows nearly with the square of speed, so its root is nearly straight
    wanted = np.sqrt(carry)
    most = root_carry(FASTEST)
    if np.any(most < wanted):
        shortfall = np.broadcast_to(most, np.broadcast_shapes(np.shape(most), np.shape(wanted)))
        worst = np.unravel_index(np.argmax(wanted - shortfall), shortfall.shape)
        asked = float(np.broadcast_to(wanted, shortfall.shape)[worst] ** 2)
        raise ValueError(
            f"carry: {asked:.1f} m is out of reach; this delivery carries {float(shortfall[worst]) ** 2:.1f} m at a "
            f"head speed of {FASTEST:.0f} m/s; ask for less, or lower the dynamic loft"
        )
    least = root_carry(SLOWEST)
    zero = 0.0 * (most + wanted)
    ends = {"miss_low": least - wanted + zero, "miss_high": most - wanted + zero}
    close = 0.5e-3 / (2 * np.maximum(wanted, 0.1))
    found = _rising_root(lambda v: root_carry(v) - wanted, SLOWEST + zero, FASTEST + zero, close=close, **ends)
    found = np.where(ends["miss_low"] > 0, SLOWEST, found)
    return float(found) if found.ndim == 0 else found
