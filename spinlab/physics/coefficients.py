"""Drag and lift of a golf ball.

A pitch flies where coefficients are known worst: at the edge of the drag crisis and with more spin than most tunnels tried.
Every function takes the spin parameter ``S = R ω/U`` (not negative) and most the Reynolds number ``Re = U D/ν``.  A set of
coefficients is any function of the two that returns ``(C_D, C_L)``; `pitch_coefficients` is what `fly` uses.

Show bands, not single lines: drag ±12 %, lift ±15 % (`DRAG_BAND`, `LIFT_BAND`; Lyu, Kensrud, Smith & Tosaya, Proceedings
2(6):238 (2018), seen: below Re 1e5 balls differ by more than 0.1 in C_D).
"""

from __future__ import annotations

import numpy as np

from .onemany import tools_for

DRAG_BAND = (0.88, 1.12)
LIFT_BAND = (0.85, 1.15)

# the range of Smits & Smith's measurements
_RE_LOW, _RE_HIGH = 7e4, 2.1e5
_S_LOW = 0.08
_LIFT_CEILING = 0.355
_CRISIS_RE, _CRISIS_WIDTH = 4.8e4, 4e3


def drag_smits_smith_1994(spin, reynolds):
    """``C_D = 0.24 + 0.18 S + 0.06 sin[π (Re − 9e4)/2e5]``, Re kept within 7e4 … 2.1e5.

    Smits & Smith, Science and Golf II (1994) 340, from memory; measured for 7e4 < Re < 2.1e5 and 0.08 < S < 1.3.
    """
    t = tools_for(spin, reynolds)
    within = t.least(t.most(reynolds, _RE_LOW), _RE_HIGH)
    return 0.24 + 0.18 * spin + 0.06 * t.sin(np.pi / 2e5 * (within - 9e4))


def lift_smits_smith_1994(spin):
    """``C_L = 0.54 S^0.4``, a straight line to nothing below S = 0.08 (same source and range as the drag, from memory)."""
    return tools_for(spin, 0.0).least(0.54 * spin**0.4, (0.54 * _S_LOW**-0.6) * spin)


def saturate_lift(lift):
    """``C_L = c/[1 + (c/0.355)⁶]^(1/6)``: lift stops growing with spin.

    Our judgement, fitted: the plain power law carries high-spin shots too far.
    """
    square = (lift * (1 / _LIFT_CEILING)) ** 2
    return lift * (1 + square * square * square) ** (-1 / 6)


def drag_crisis_share(spin, reynolds):
    """How far the flow is below the drag crisis: 0 well above it, 1 well below.

    ``f = 1/(1 + exp((Re (1 + 0.5 S) − 4.8e4)/4e3))``.  Our judgement: the measured set stops at Re 7e4 (24 m/s), where many
    pitches begin.  It changes their carry by at most about 0.6 m.
    """
    return 1 / (1 + tools_for(spin, reynolds).exp((reynolds * (1 + 0.5 * spin) - _CRISIS_RE) * (1 / _CRISIS_WIDTH)))


def pitch_coefficients(spin, reynolds):
    """(C_D, C_L) for wedge shots: Smits & Smith with saturated lift, blended into the flow below the drag crisis.

    Below it drag rises by ``0.24 f max(1 − S, 0)`` and lift falls by 35 % of f (our judgement).
    """
    share = drag_crisis_share(spin, reynolds)
    drag = drag_smits_smith_1994(spin, reynolds) + 0.24 * share * tools_for(spin, 0.0).most(1 - spin, 0.0)
    return drag, saturate_lift(lift_smits_smith_1994(spin)) * (1 - 0.35 * share)


def davies_1949(spin, reynolds):
    """(C_D, C_L) of older balls dropped spinning through a wind tunnel at 32 m/s: ``0.302 + 0.36 S``,
    ``0.322 (1 − exp(−3.72 S))``.  Davies, J. Appl. Phys. 20:821 (1949), from memory; doi 10.1063/1.1698540."""
    return 0.302 + 0.36 * spin + 0.0 * reynolds, 0.322 * (1 - np.exp(-3.72 * spin))


def constant_coefficients(*, drag, lift):
    """Coefficients that do not change with speed or spin, two numbers, for checks and for lessons.

    For thousands of values use `fly`'s ``drag_scale`` and ``lift_scale``.
    """
    return lambda spin, reynolds: (drag + 0.0 * spin, lift + 0.0 * spin)


def _hump(value, rise, fall):
    """Smooth from 0 to 1 over the pair `rise` and back to 0 over the pair `fall`."""
    def ramp(low, high):
        t = np.minimum(np.maximum((value - low) / (high - low), 0.0), 1.0)
        return t * t * (3 - 2 * t)

    return ramp(*rise) * (1 - ramp(*fall))


def with_reverse_lift(coefficients=pitch_coefficients):
    """The same coefficients with lift that turns negative at low spin, C_L near −0.125.

    Lyu, Kensrud & Smith, Sports Eng. 23 (2020), doi 10.1007/s12283-020-0318-1, seen: −0.10 to −0.15 for 5e4 < Re < 7e4 and
    750 to 2,250 rpm; positive again at Re 6.5e4, S 0.24.  The soft edges of the window are our judgement.  Some balls do
    this and some do not, so it is a switch for a lesson, off by default.
    """
    def reversing(spin, reynolds):
        drag, lift = coefficients(spin, reynolds)
        share = _hump(spin, (0.02, 0.08), (0.17, 0.23)) * _hump(reynolds, (4.5e4, 5.2e4), (6.8e4, 7.5e4))
        return drag, lift * (1 - share) - 0.125 * share

    return reversing
