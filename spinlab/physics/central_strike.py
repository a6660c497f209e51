"""Loft, launch, spin and ball speed of one central strike check each other.

A ball that is struck through its middle gets its spin and its speed along the face from one impulse,
``J_t = m v_t = k m R ω``.  It leaves at ``asin(v_t / v)`` below the direction the face points, so

    ``sin(dynamic loft − launch) = k R ω / v``

whatever the friction, the water, the grooves or the head (mechanics; k in ``I = k m R²``).  Launch and
spin are two readings of one impulse.  Four measured numbers that break this by more than their errors
hold a mis-read number, a strike off the middle, or a loft that was not the loft in contact.
"""

from __future__ import annotations

import numpy as np

from ..units import deg
from .flight import BALL, BALL_RADIUS

LOFT_OFFSET = (0.0, 4 * deg)
"""How much more loft a face may have in contact than is quoted for it [rad] (our judgement, after what
is usually reported of clean, dry pitches; common practice, no source)."""


def below_the_face(ball_speed, spin_rate, inertia_factor=BALL.inertia_factor, radius=BALL_RADIUS):
    """Angle of the launch below the direction the face points [rad]: ``asin(k R ω / v)``.

    Parameters
    ----------
    ball_speed, spin_rate
        [m/s], [rad/s]; numbers or arrays.
    inertia_factor, radius
        k and R [m] of the ball.

    Returns
    -------
    NaN where ``k R ω / v`` is 0.99 or more, which no central strike comes near.

    >>> round(float(below_the_face(22.0, 1000 * np.pi / 30)) / deg, 2)  # a thousand rpm at 22 m/s
    2.33
    """
    share = inertia_factor * radius * np.asarray(spin_rate) / ball_speed
    possible = np.abs(share) < 0.99
    return np.where(possible, np.arcsin(np.where(possible, share, 0.0)), np.nan)


def loft_in_contact(launch_angle, ball_speed, spin_rate, inertia_factor=BALL.inertia_factor, radius=BALL_RADIUS):
    """The loft [rad] that the face of a central strike had, from launch [rad], ball speed [m/s] and
    spin [rad/s]: ``launch + asin(k R ω / v)``.

    >>> trade = loft_in_contact(31 * deg, 21.5, 6500 * np.pi / 30)  # usual figures for 44° of loft
    >>> round(float(trade) / deg, 1)
    46.7
    """
    return launch_angle + below_the_face(ball_speed, spin_rate, inertia_factor, radius)
