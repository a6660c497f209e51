"""From launch to landing: `fly`, for one shot or ten thousand; the physics stands in `spinlab.kernel.flight`.

Show bands, not single lines: below Re 1e5 balls differ by more than 0.1 in C_D (Lyu, Kensrud, Smith & Tosaya, Proceedings
2(6):238 (2018), seen), and that is where pitches fly.
"""

from __future__ import annotations

import numpy as np

from ..kernel import flight as kernel
from ..kernel.flight import LONGEST_FLIGHT, SPIN_DECAY
from ..kernel.nouns import Landing
from ..records import Aerodynamics, Air, Ball, Launch, Path
from .rows import columns, fly_rows, one, run, shape_of, table

__all__ = ["BALL", "BALL_MASS", "BALL_RADIUS", "SPIN_DECAY", "drag_and_lift", "fly"]

BALL = Ball(friction=0.0, friction_fast=0.0)
BALL_MASS, BALL_RADIUS = BALL.mass, BALL.radius


def drag_and_lift(spin, reynolds, aerodynamics: Aerodynamics | None = None):
    """C_D and C_L at spin parameters ``S = R ω/U`` (not negative) and Reynolds numbers ``U D/ν``; arrays broadcast.

    See `spinlab.kernel.flight` for the equations, their sources and their ranges.
    """
    law = one(aerodynamics or Aerodynamics())
    both = np.vectorize(lambda s, re: kernel.coefficients(float(s), float(re), law), otypes=[float, float])
    return tuple(part[()] for part in both(spin, reynolds))


def fly(launch: Launch, air: Air | None = None, *, ball: Ball | None = None, aerodynamics: Aerodynamics | None = None,
        drag_scale=None, lift_scale=None, reverse_lift=False, points=0) -> Path:
    """Fly one shot, or thousands in one call, from level ground to level ground.

    ``dv/dt = −k C_D U u + k C_L U (n × u) − g`` with u the velocity through the air, k = ρ A/(2 m), n the spin axis, fixed
    in space; spin fades as ``dω/dt = −2.0e-5 U ω/R``.

    Parameters
    ----------
    launch, air
        records; arrays broadcast against each other.  The wind follows `spinlab.kernel.air.wind_profile`.
    ball
        a `Ball` for its mass and radius; without one, 45.93 g and 42.67 mm.
    aerodynamics
        an `Aerodynamics` record; left out, the one tuned for pitches.
    drag_scale, lift_scale
        factors on C_D and C_L, arrays allowed, in place of the record's: draw them for a band.
    reverse_lift
        lift turns negative at low spin, as some balls do near Re 6e4.
    points
        how many points of the path to keep for drawing, at even times; 0 keeps none.

    Returns
    -------
    Path
        A launch that points down, or level without the lift to rise, is on the ground at once: carry and time are 0.

    Raises
    ------
    ValueError
        a shot is still in the air after 200 s.

    Notes
    -----
    Coefficients below 24 m/s are our judgement.  Landing angles of full shots come out about 5° shallow.
    """
    law = aerodynamics or Aerodynamics()
    changes = {"drag_scale": drag_scale, "lift_scale": lift_scale, "reverse_lift": 1.0 if reverse_lift else None}
    law = law.but(**{name: value for name, value in changes.items() if value is not None})
    parts = launch, air or Air(), ball or BALL, law
    shape = shape_of(*parts)
    rows = table(shape, *parts)
    results = np.empty((len(rows), len(Landing._fields)))
    kept = np.zeros((len(rows), 4, points))
    run(fly_rows, len(rows), rows, results, kept)
    found = columns(results, Landing, shape)
    aloft = np.count_nonzero(results[:, Landing._fields.index("flight_time")] >= LONGEST_FLIGHT)
    if aloft:
        raise ValueError(f"{aloft} shots were still in the air after {LONGEST_FLIGHT:.0f} s; "
                         "lower lift_scale, the wind or the spin")
    if points:
        for i, name in enumerate(("time", "x", "y", "z")):
            found[name] = np.moveaxis(kept[:, i], -1, 0).reshape(points, *shape)
    return Path(**found)
