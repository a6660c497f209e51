"""The whole chain: contact → flight → green, and the chain run backwards for the head speed."""

from __future__ import annotations

import numpy as np

from ..kernel.questions import FASTEST_HEAD, OUT_OF_REACH
from ..kernel.rows import AT_DELIVERY
from ..records import Aerodynamics, Air, Assumptions, Ball, Between, Delivery, Face, Green, Shot, check
from .contact import strike
from .flight import fly
from .green import land
from .rows import head_speed_rows, run, shape_of, table
from .setting import answered


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
        go to `fly`: ``points``, ``drag_scale``, ``lift_scale``, ``aerodynamics``, ``reverse_lift``.

    Returns
    -------
    Shot
        ``.launch``, ``.path``, ``.rest`` and the distances people talk about.
    """
    launch = strike(arriving, face, ball, between, assume=assume, history=history)
    launch = launch.but(direction=direction, spin_tilt=spin_tilt)
    path = fly(launch, air, ball=ball, **flight)
    return Shot(launch=launch, path=path, rest=land(path, green, ball=ball, trace=trace))


def finish(shot: Shot):
    """Where the ball rests: (along the target line, to its right), both from where it was hit [m]."""
    cos, sin = np.cos(shot.path.landing_direction), np.sin(shot.path.landing_direction)
    out, side = shot.rest.run_out, shot.rest.run_side
    return shot.path.carry + out * cos - side * sin, shot.path.side + out * sin + side * cos


def carry_to_speed(carry, arriving: Delivery, face: Face, ball: Ball, between: Between | None = None, air: Air | None = None,
                   *, assume: Assumptions | None = None, aerodynamics: Aerodynamics | None = None):
    """The head speed [m/s] that gives a carry [m], everything else of the delivery kept (its own head speed is ignored).

    Found to a tenth of a millimetre of carry, from 1 to 79 m/s.

    Raises
    ------
    ValueError
        no head speed up to 79 m/s carries the ball that far.
    """
    carry = check("carry", carry, what="wanted carry", unit="m", low=0.0, high=400.0)
    parts = (arriving, face, ball, between or Between(), assume or Assumptions(), air or Air(),
             aerodynamics or Aerodynamics(), Green())
    shape = shape_of(carry, *parts)
    rows = table(shape, *parts)
    wanted = np.broadcast_to(carry, shape).ravel().astype(float)
    found = np.empty(len(rows))
    run(head_speed_rows, len(rows), rows, wanted, found)
    short = np.flatnonzero(found == OUT_OF_REACH)
    if short.size:
        rows[short, AT_DELIVERY] = FASTEST_HEAD
        reached = answered(rows[short], ["carry"], (short.size,))["carry"]
        worst = int(np.argmax(wanted[short] - reached))
        raise ValueError(
            f"carry: {wanted[short][worst]:.1f} m is out of reach; this delivery carries {reached[worst]:.1f} m at a "
            f"head speed of {FASTEST_HEAD:.0f} m/s; ask for less, or lower the dynamic loft"
        )
    return found.reshape(shape) if shape else float(found[0])
