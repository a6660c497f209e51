"""The contact of face and ball: `strike`, for one shot or ten thousand.

The physics stands in `spinlab.kernel.contact`; here records become rows and answers become records.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from ..kernel import contact as kernel
from ..kernel.nouns import Impact
from ..records import Assumptions, Ball, Between, Delivery, Face, Launch
from .rows import columns, elementwise, one, run, shape_of, strike_rows, table

HISTORY_POINTS = 121
"""Times of a history, even from touch to departure."""



def dry_friction(sliding_speed, ball: Ball):
    """Dry friction coefficient at sliding speeds [m/s], up or down the face: see `spinlab.kernel.contact.dry_friction`."""
    cover = one(ball)
    return elementwise(lambda speed: kernel.dry_friction(abs(speed), cover))(sliding_speed)


@dataclass(frozen=True)
class History:
    """The contact step by step, arrays [times, *shots]: `time` [s], `compression` [m], `normal_force` and `friction_force`
    [N] (positive down the face, on the ball), `slip` [m/s] (ball's surface up the face), `film` [m], `friction_limit` (the
    most that friction could be, as a coefficient), `solid_share` of the load, `spin_rate` [rad/s], `contact_radius` [m]."""

    time: np.ndarray
    compression: np.ndarray
    normal_force: np.ndarray
    friction_force: np.ndarray
    slip: np.ndarray
    film: np.ndarray
    friction_limit: np.ndarray
    solid_share: np.ndarray
    spin_rate: np.ndarray
    contact_radius: np.ndarray


@dataclass(frozen=True)
class Contact:
    """What a contact was like, per shot: `time` [s], `peak_force` [N], `compression` [m] and `contact_radius` [m] at their
    largest, `film_left` [m], `effective_friction` J_t/J_n, `grip_share` (share of the impulse given without sliding),
    `tangential_restitution` (−1 would be no friction at all, 0 rolling at the end), `head_speed_after` [m/s]."""

    time: float | np.ndarray
    peak_force: float | np.ndarray
    compression: float | np.ndarray
    contact_radius: float | np.ndarray
    film_left: float | np.ndarray
    effective_friction: float | np.ndarray
    grip_share: float | np.ndarray
    tangential_restitution: float | np.ndarray
    normal_restitution: float | np.ndarray
    head_speed_after: float | np.ndarray
    history: History | None = field(default=None, repr=False)


def strike(arriving: Delivery, face: Face, ball: Ball, between: Between | None = None, *,
           assume: Assumptions | None = None, history: bool = False) -> Launch:
    """The ball's launch from how the club arrives: contact of face and ball, dry or wet, resolved in time.

    Parameters
    ----------
    arriving, face, ball, between
        The records of the chain; fields may be arrays that broadcast, so that a thousand shots are one call.  `between`
        left out is a clean, dry face and ball.
    assume
        Numbers of the model that no golf measurement fixes (see `Assumptions`).
    history
        Keep the contact in ``launch.contact.history``, at even times from touch to departure.

    Returns
    -------
    Launch
        Ball speed [m/s], launch angle [rad], backspin [rad/s]; ``launch.contact`` says what the contact was like.

    Notes
    -----
    Validity: balls that meet a wedge's face near its middle at 1 – 50 m/s.  Sources and doubts stand with each equation of
    `spinlab.kernel.contact` and `spinlab.kernel.film`.  Where the ball grips, more friction adds nothing and costs up to
    7 % of the spin (computed), for the spring then keeps a little less; whether real covers do so was never measured.

    Examples
    --------
    >>> from spinlab import Ball, Delivery, Face
    >>> from spinlab.units import deg, rpm
    >>> arriving = Delivery(head_speed=20.0, dynamic_loft=44.5*deg, attack_angle=-6*deg)
    >>> launch = strike(arriving, Face(), Ball.published_soft_cover())
    >>> round(launch.spin_rate/rpm, -2)
    6300.0
    """
    parts = arriving, face, ball, between or Between(), assume or Assumptions()
    shape = shape_of(*parts)
    rows = table(shape, *parts)
    results = np.empty((len(rows), len(Impact._fields)))
    kept = np.zeros((len(rows), len(kernel.History._fields), HISTORY_POINTS if history else 0))
    run(strike_rows, len(rows), rows, results, kept)
    found = columns(results, Impact, shape)
    launch = {name: found.pop(name) for name in ("ball_speed", "launch_angle", "spin_rate")}
    return Launch(**launch, contact=Contact(**found, history=_history(kept, ball, shape) if history else None))


def _history(kept, ball, shape):
    """What the kernel kept [shots, fields, times], by name and with the times first."""
    arrays = {name: np.moveaxis(kept[:, i], -1, 0).reshape(HISTORY_POINTS, *shape)
              for i, name in enumerate(kernel.History._fields)}
    return History(**arrays, contact_radius=np.sqrt(ball.radius * arrays["compression"]))
