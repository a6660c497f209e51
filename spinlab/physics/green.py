"""From landing to rest: `land`, for one shot or ten thousand; the physics stands in `spinlab.kernel.ground`.

Orderings and signs are robust; metres are not (±50 %).  Show bands, and fit the green to your own pitch marks
(`spinlab.physics.green_fit`).
"""

from __future__ import annotations

import numpy as np

from ..kernel import ground as kernel
from ..kernel.ground import LONGEST_ROLL
from ..kernel.nouns import Stop
from ..records import Green, Path, Rest, check
from ..units import deg
from .flight import BALL_RADIUS
from .rows import columns, elementwise, land_rows, run, shape_of, table

__all__ = ["LONGEST_ROLL", "bounce", "ground_tilt", "land", "resting_tilt_of", "restitution_penner_2002",
           "rolling_resistance"]

STEEPEST_RESTING_TILT = 40 * deg

ground_tilt = elementwise(kernel.ground_tilt)
resting_tilt_of = elementwise(kernel.resting_tilt_of)
restitution_penner_2002 = elementwise(kernel.restitution_penner_2002)
rolling_resistance = elementwise(kernel.rolling_resistance)


def bounce(*, along, down, spin, green: Green, across=0.0, side_spin=0.0, resting_tilt=None,
           radius=BALL_RADIUS):
    """One bounce of one ball, or of many: speed along, across and down into the ground [m/s], backspin and side spin
    [rad/s] → those after it, as `spinlab.kernel.ground.Moving`.

    ``v_t − 0.4 R ω`` stays whatever the grip, and energy never grows.  `resting_tilt` is θ_r, by default
    ``atan(0.784/S_ft)``.
    """
    resting_tilt = resting_tilt_of(green.speed) if resting_tilt is None else resting_tilt
    values = along, down, spin, across, side_spin, resting_tilt, radius
    shape = shape_of(green, *values)
    after = []
    for row in table(shape, green, *values).tolist():
        ground, (along, down, spin, across, side_spin, tilt, size) = row[:-7], row[-7:]
        turf = kernel.turf_of(kernel.Green(*ground), size, tilt)
        after.append(kernel.bounce(kernel.Moving(along, across, -down, spin, side_spin), turf))
    if not shape:
        return after[0]
    return kernel.Moving(*(np.reshape(part, shape) for part in zip(*after)))


def land(path: Path, green: Green | None = None, *, ball=None, resting_tilt=None, trace=0) -> Rest:
    """Let the ball land and come to rest: one shot, or thousands in one call.

    Parameters
    ----------
    path
        where, how fast and with how much spin it lands (`fly`, or `green_fit.landing` from measured numbers).
    green
        a `Green`; its presets are our judgement.
    resting_tilt
        θ_r of the bounce [rad] (see `bounce`).
    trace
        how many points to keep of each hop, of the slide and of the roll, for drawing; 0 keeps none.

    Returns
    -------
    Rest
        Distances along the ground from the pitch mark.  `stops` is False where the ball ran away down a slope or rolled over
        50 m: its run-out is then cut off and says no more than "it does not stay on the green".

    Notes
    -----
    Hops are flown without air.  Rebounds slower than 0.25 m/s are followed but not counted.
    """
    green = green or Green()
    if resting_tilt is None:
        resting_tilt = np.arctan(rolling_resistance(green.speed))
    radius = BALL_RADIUS if ball is None else ball.radius
    resting_tilt = check("resting_tilt", resting_tilt, what="lean of the ground that a ball at rest just holds", unit="°",
                         low=0.0, high=STEEPEST_RESTING_TILT)
    values = (path.landing_speed, path.descent_angle, path.landing_backspin, path.landing_side_spin, green, radius,
              resting_tilt)
    shape = shape_of(*values)
    rows = table(shape, *values)
    results = np.empty((len(rows), len(Stop._fields)))
    run(land_rows, len(rows), rows, results, np.empty((len(rows), 3, 0)), 0)
    if trace:
        # a second time, now that the number of hops to draw is known; slide and roll follow them
        most = int(results[:, Stop._fields.index("bounces")].max(initial=0))
        kept = np.full((len(rows), 3, trace * (most + 2)), np.nan)
        run(land_rows, len(rows), rows, results, kept, trace)
    found = columns(results, Stop, shape)
    found["stops"] = np.asarray(found["stops"]) > 0 if shape else bool(found["stops"])
    found["bounces"] = found["bounces"].astype(int) if shape else int(found["bounces"])
    return Rest(**found, **_drawn(kept, np.broadcast_to(green.slope, shape or (1,)).ravel(), shape) if trace else {})


def _drawn(kept, slope, shape):
    """Time, level distance and height [points, *shots] from the pitch mark to rest; a ball at rest stays where it is."""
    longest = int(np.isfinite(kept[:, 0]).sum(axis=1).max(initial=0))
    kept = kept[:, :, :longest]
    for points in kept:
        last = int(np.isfinite(points[0]).sum())
        points[:, last:] = points[:, last - 1 : last]
    time, x, z = (np.moveaxis(kept[:, i], -1, 0) for i in range(3))
    cosine, sine = np.cos(slope), np.sin(slope)
    parts = {"trace_time": time, "trace_x": x * cosine - z * sine, "trace_z": z * cosine + x * sine}
    return {name: part.reshape(longest, *shape) for name, part in parts.items()}
