"""The contact as rigid impulses: what every engine must give where it slides all through, or grips with no compliance.

They are limits to test against, not a second engine.  Symbols: V head speed, θ spin loft, e normal and e_t tangential
restitution, μ friction, k in I = k m R², r = m/M.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np


def normal_impulse(*, speed, spin_loft, ball_mass, mass_ratio, restitution):
    """Impulse across the face [N s]: ``J_n = m (1+e) V cos θ/(1+r)`` (mechanics); speed [m/s], loft [rad], mass [kg]."""
    return ball_mass * (1 + restitution) * speed * np.cos(spin_loft) / (1 + mass_ratio)


def grip_impulse(*, speed, spin_loft, ball_mass, mass_ratio, inertia_factor=0.4, tangential_restitution=0.0):
    """Impulse along the face that stops (or, with e_t, reverses) the sliding [N s]: ``(1+e_t) m k V sin θ/(1+k+k r)``.

    k = 0.4, e_t = 0 is Penner, Am. J. Phys. 69:563 (2001), doi 10.1119/1.1344164 (quoted, the DOI seen).
    """
    k = inertia_factor
    return (1 + tangential_restitution) * ball_mass * k * speed * np.sin(spin_loft) / (1 + k + k * mass_ratio)


@dataclass(frozen=True)
class Bounce:
    """Ball speed [m/s], angle below the face's normal [rad], spin [rad/s], and whether it slid throughout."""

    ball_speed: float | np.ndarray
    below_normal: float | np.ndarray
    spin_rate: float | np.ndarray
    slides: bool | np.ndarray


def closed_strike(*, speed, spin_loft, friction, restitution, ball_mass=0.04593, ball_radius=0.021335, mass_ratio=0.0,
                  inertia_factor=0.4, tangential_restitution=0.0, normal_offset=0.0) -> Bounce:
    """Impulses instead of time: ``J_t = min(μ J_n, J_grip)``.  `mass_ratio` 0 is a fixed barrier.

    Speed [m/s], spin loft [rad], mass [kg], radius and offset [m].  An offset D of the normal force adds the spin
    ``J_n D/I``.  Rigid-body mechanics, exact for a ball and a head that do not turn; held against a general engine in the
    tests.  Doubt: e_t of a golf ball was never found measured; 0 … 0.35 is our judgement.
    """
    jn = normal_impulse(speed=speed, spin_loft=spin_loft, ball_mass=ball_mass, mass_ratio=mass_ratio,
                        restitution=restitution)
    grip = grip_impulse(speed=speed, spin_loft=spin_loft, ball_mass=ball_mass, mass_ratio=mass_ratio,
                        inertia_factor=inertia_factor, tangential_restitution=tangential_restitution)
    jt = np.minimum(friction * jn, grip)
    inertia = inertia_factor * ball_mass * ball_radius**2
    return Bounce(np.hypot(jn, jt) / ball_mass, np.arctan2(jt, jn), (jt * ball_radius + jn * normal_offset) / inertia,
                  friction * jn < grip)


def slides_throughout(*, friction, tangential_speed, normal_speed, poisson=0.5, inertia_factor=0.4):
    """Maw, Barber & Fawcett's border for elastic spheres (Wear 38:101, 1976, from memory): does it slide all through?

    ``ψ₁ = 2(1−ν) V_t/[μ(2−ν) V_n] > 4χ − 1``, ``χ = (1−ν)(1+1/k)/(2−ν)``.
    """
    chi = (1 - poisson) * (1 + 1 / inertia_factor) / (2 - poisson)
    psi = 2 * (1 - poisson) * tangential_speed / (friction * (2 - poisson) * normal_speed)
    return psi > 4 * chi - 1


def face_direction_share(*, loft, attack_angle=0.0, restitution=0.8, mass_ratio=0.04593 / 0.300, inertia_factor=0.4,
                         tangential_restitution=0.0, friction=0.4, turn=0.01):
    """How far the ball starts toward where the face points when the face is turned a little from the path (1: all the way).

    The ball leaves in the plane of path and normal, ``J_n n − J_t t``; measured 0.61–0.83 by club (Wood et al., Proceedings
    2(6):249, 2018, seen).
    """
    normal = np.array([np.cos(loft) * np.cos(turn), np.cos(loft) * np.sin(turn), np.sin(loft) + 0 * turn])
    path = np.array([np.cos(attack_angle), 0.0 * attack_angle, np.sin(attack_angle)])
    cosine = (normal * path).sum(0)
    along = path - cosine * normal  # the head's motion in the face's plane: friction drags the ball this way
    sine = np.sqrt((along**2).sum(0))
    spin_loft = np.arctan2(sine, cosine)
    jn = (1 + restitution) * cosine / (1 + mass_ratio)
    grip = grip_impulse(speed=1.0, spin_loft=spin_loft, ball_mass=1.0, mass_ratio=mass_ratio, inertia_factor=inertia_factor,
                        tangential_restitution=tangential_restitution)
    jt = np.minimum(friction * jn, grip)
    leaves = jn * normal + jt * along / np.maximum(sine, 1e-12)
    return np.arctan2(leaves[1], leaves[0]) / turn
