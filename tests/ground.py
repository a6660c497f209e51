"""A ball that slides and rolls on the kernel's ground, told in the records of the package."""

from __future__ import annotations

import numpy as np

from spinlab.kernel import ground
from spinlab.physics.flight import BALL_RADIUS
from spinlab.physics.rows import one
from spinlab.records import Green


def turf(green: Green, resting_tilt=0.0):
    """The ground under a ball, for the kernel."""
    return ground.turf_of(one(green), BALL_RADIUS, resting_tilt)


def slid(along, across, spin, side_spin, green: Green):
    """Slide until it rolls: time, place along and across, and speeds then."""
    along, across, spin, side_spin = map(float, (along, across, spin, side_spin))
    under = turf(green)
    run = ground.slide(ground.Moving(along, across, 0.0, spin, side_spin), under)
    rolling_along = ground.rolling_speed(along, spin, BALL_RADIUS, under.pull * run.time)
    rolling_across = ground.rolling_speed(across, side_spin, BALL_RADIUS, 0.0)
    return run.time, run.x, run.y, rolling_along, rolling_across


def rolled(along, across, green: Green):
    """Roll to rest: time, and place along and across."""
    run = ground.roll(float(along), float(across), turf(green))
    return run.time, run.x, run.y


def stays(along, green: Green):
    """Does a rolling ball come to rest?"""
    return bool(ground.roll_stops(float(along), 0.0, turf(green)))


def lean(along, down, green: Green, resting_tilt=None):
    """The angle by which the ball's own crater leans the ground [rad]."""
    if resting_tilt is None:
        resting_tilt = ground.resting_tilt_of(green.speed)
    along, down = np.broadcast_arrays(np.asarray(along, float), np.asarray(down, float))
    tilts = [ground.ground_tilt(x, z, green.tilt, resting_tilt)
             for x, z in zip(along.ravel().tolist(), down.ravel().tolist())]
    return np.reshape(tilts, along.shape)[()]
