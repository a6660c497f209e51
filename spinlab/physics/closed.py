"""The border between grip and slide in closed form, for lessons and tests: rigid impulses, no time.

Symbols: θ spin loft, e normal and e_t tangential restitution, μ friction, k in I = k m R², r = m/M.
"""

from __future__ import annotations

import numpy as np


def critical_spin_loft(*, friction, restitution=0.8, mass_ratio=0.04593 / 0.300, inertia_factor=0.4,
                       tangential_restitution=0.0):
    """Border between grip and slide, and the peak of spin against spin loft [rad].

    ``tan θ_c = μ (1+e)(1+k+k r)/[(1+e_t) k (1+r)]``, computed from the two impulses; for a friction without speed.
    """
    k, r = inertia_factor, mass_ratio
    return np.arctan(friction * (1 + restitution) * (1 + k + k * r) / ((1 + tangential_restitution) * k * (1 + r)))
