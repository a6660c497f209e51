"""Loft against spin: the same swing, or the same carry, with one loft after the other.

More loft adds sliding along the face, and with it spin, until friction can hold the ball no longer; beyond that peak the
normal force fades and the spin with it.  The less friction there is, the earlier the peak comes.

The player's part is one number, how far the shaft leans forward as the face meets the ball: ``dynamic loft = loft − lean``.
That the lean is the same with every wedge is our model (J); a player who opens the face or flips the hands has another
`Habit`.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from ..catalogue import LEAN, PITCH, STATES, WEDGE_LOFTS
from ..kernel.questions import OUT_OF_REACH
from ..records import Air, Ball, Between, Delivery, Face, Green, check
from ..units import deg
from .bands import Band, band_of, latin_hypercube
from .rows import peak_rows, run
from .setting import Setting, results, situation_rows
from .uncertain import PARAMETERS, parameters_for, varied_rows

ASKED = ("spin_rate", "launch_angle", "ball_speed", "effective_friction", "carry", "apex", "descent_angle", "run_out",
         "total")


@dataclass(frozen=True, kw_only=True)
class Habit:
    """How a player delivers any wedge: the shaft's forward `lean` [rad], `attack_angle` [rad].

    The default makes the pitch of all lessons out of a 56° wedge (`spinlab.catalogue.PITCH`).
    """

    lean: float = LEAN
    attack_angle: float = PITCH.attack_angle

    def __post_init__(self):
        check("lean", self.lean, what="forward lean of the shaft", unit="°", low=-20 * deg, high=30 * deg,
              cure="backward is negative")

    def deliver(self, loft, head_speed) -> Delivery:
        """How clubs of some lofts [rad] arrive at a head speed [m/s]."""
        return Delivery(head_speed=head_speed, attack_angle=self.attack_angle, dynamic_loft=np.asarray(loft) - self.lean)


@dataclass(frozen=True, kw_only=True)
class Lofts:
    """What every loft does in every state: arrays [states, lofts] in SI.  `held` says what was kept: swing or carry."""

    held: str
    states: tuple[str, ...]
    loft: np.ndarray
    dynamic_loft: np.ndarray
    head_speed: np.ndarray
    spin_rate: np.ndarray
    launch_angle: np.ndarray
    ball_speed: np.ndarray
    effective_friction: np.ndarray
    carry: np.ndarray
    apex: np.ndarray
    descent_angle: np.ndarray
    run_out: np.ndarray
    total: np.ndarray

    def state(self, name: str) -> dict:
        """All arrays [lofts] of one state."""
        if name not in self.states:
            raise ValueError(f"state {name!r} is not in this sweep; it has {', '.join(self.states)}")
        i = self.states.index(name)
        return {of: getattr(self, of)[i] for of in ("head_speed", *ASKED)}

    def best(self, name: str) -> float:
        """The loft with most spin among those asked for, in one state [rad]."""
        return float(self.loft[np.argmax(self.state(name)["spin_rate"])])

    def say(self) -> str:
        """One sentence for each state."""
        kept = "with the same swing" if self.held == "swing" else "for the same carry"
        lines = []
        for name in self.states:
            spin, best = self.state(name)["spin_rate"], self.best(name)
            where = f"most spin comes from {best / deg:.0f}°"
            if best == self.loft[-1]:
                where = f"spin still grows up to {best / deg:.0f}°"
            elif best == self.loft[0]:
                where = f"every degree beyond {best / deg:.0f}° costs spin"
            share = spin[-1] / spin.max()
            tail = "" if share > 0.995 else f", and {self.loft[-1] / deg:.0f}° keeps {share:.0%} of that"
            lines.append(f"{name.capitalize()}, {kept}, {where}{tail}.")
        return " ".join(lines)


def compare_lofts(face: Face, ball: Ball, *, lofts=WEDGE_LOFTS, states=None, habit: Habit | None = None, head_speed=None,
                  carry=None, air: Air | None = None, green: Green | None = None) -> Lofts:
    """Spin, launch, descent and stopping of a set of lofts, for several states of face and ball.

    Parameters
    ----------
    face, ball
        The face whose grooves, roughness and mass all lofts share; its own loft is not used.
    lofts
        Club's lofts [rad], rising.
    states
        Names and `Between` records; left out, dry, damp, wet and dirty (`STATES`).
    habit
        The player's lean and attack angle.
    head_speed, carry
        Give one of the two: the head speed kept [m/s], or the carry kept [m].
    """
    if (head_speed is None) == (carry is None):
        raise ValueError("give either head_speed (the same swing) or carry (the same carry), and not both")
    states = STATES if states is None else states
    habit = habit or Habit()
    lofts = np.atleast_1d(np.asarray(lofts, dtype=float))
    if lofts.ndim != 1 or (np.diff(lofts) <= 0).any():
        raise ValueError(f"lofts must be a rising row of angles [rad], got {lofts}; sort them and leave doubles out")
    setting = Setting(arriving=habit.deliver(lofts, 20.0), face=face, ball=ball, between=stacked(states.values()),
                      air=air or Air(), green=green or Green())
    setting = _at_speed(setting, head_speed, carry)
    found = results(setting, ASKED)
    shape = (len(states), lofts.size)
    arrays = {of: np.broadcast_to(value, shape) for of, value in found.items()}
    return Lofts(held="swing" if carry is None else "carry", states=tuple(states), loft=lofts,
                 dynamic_loft=lofts - habit.lean, head_speed=np.broadcast_to(setting.arriving.head_speed, shape), **arrays)


def stacked(states) -> Between:
    """Several states as one record whose arrays stand upright [states, 1]."""
    states = list(states)
    names = ("water", "temperature", "soil_on_lands", "soil_in_grooves", "grass")
    return Between(**{name: np.array([[getattr(state, name)] for state in states]) for name in names})


def _at_speed(setting, head_speed, carry):
    """The setting at the head speed kept, or at the one that gives the carry kept."""
    if carry is not None:
        from .shot import carry_to_speed

        s = setting
        head_speed = carry_to_speed(carry, s.arriving, s.face, s.ball, s.between, s.air)
    return setting.but(arriving=setting.arriving.but(head_speed=head_speed))


# -- where the peak sits ----------------------------------------------------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class Peak:
    """Where spin is largest against loft: `spin_loft`, `dynamic_loft`, club's `loft` at the player's lean [rad], the spin
    there (`value`, [rad/s]), and whether it lies `inside` the range searched (else it is the range's end)."""

    spin_loft: float | np.ndarray
    dynamic_loft: float | np.ndarray
    loft: float | np.ndarray
    value: float | np.ndarray
    inside: bool | np.ndarray
    band: Band | None = field(default=None, repr=False)

    def say(self) -> str:
        """One sentence, with the band of the club's loft if there is one."""
        if not self.inside:
            return "The spin has no peak in the range of lofts searched; it is largest at its end."
        told = f"Most spin comes at {self.dynamic_loft / deg:.0f}° of dynamic loft, a club of about {self.loft / deg:.0f}°"
        if self.band is not None:
            told += f" (likely between {self.band.low / deg:.0f}° and {self.band.high / deg:.0f}°)"
        return told + "."


def peak(setting: Setting, *, habit: Habit | None = None, carry=None, low=10 * deg, high=None, bands=False, n=256, seed=1,
         parameters=PARAMETERS) -> Peak:
    """The dynamic loft with most spin, to a thousandth of a degree.

    Parameters
    ----------
    setting
        The shot; its dynamic loft is what is searched, its attack angle is kept.  Arrays give a peak each.
    habit
        Its lean turns the dynamic loft into a club's loft.
    carry
        Keep this carry [m] instead of the swing; the head speed then follows the loft.
    low, high
        Range of dynamic loft searched [rad]; up to 78°, or 60° where a carry is kept.
    bands
        Also the band of the club's loft at the peak (one shot).
    """
    habit = habit or Habit()
    high = (60 * deg if carry is not None else 78 * deg) if high is None else high
    kept = -1.0 if carry is None else check("carry", carry, what="carry kept", unit="m", low=0.5, high=400.0)
    loft, spin, inside = _peaks(situation_rows(setting, setting.shape), low, high, kept, setting.shape)
    found = None
    if bands:
        if setting.shape:
            raise ValueError("the band of a peak is for one shot; pick one: setting[i]")
        used = parameters_for(["spin_rate" if carry is None else "carry"], parameters)
        cube = latin_hypercube(len(parameters), n, seed)[:, [parameters.index(p) for p in used]]
        shares = np.vstack([np.full(len(used), -1.0), cube]).T
        rows, shape = varied_rows(setting, used, shares)
        lofts = _peaks(rows, low, high, kept, shape)[0]
        found = band_of(lofts + habit.lean, of="spin_rate", noun="club's loft with most spin", unit="°")
    return Peak(spin_loft=loft - setting.arriving.attack_angle, dynamic_loft=loft, loft=loft + habit.lean, value=spin,
                inside=inside, band=found)


def _peaks(rows, low, high, carry, shape):
    """Dynamic loft with most spin, the spin there and whether it is inside the range, of every row."""
    found = np.empty((len(rows), 3))
    run(peak_rows, len(rows), rows, low, high, carry, found)
    if (found[:, 1] == OUT_OF_REACH).any():
        raise ValueError(f"carry: {carry:.0f} m is out of reach at every loft searched; ask for less")
    loft, spin, inside = (column.reshape(shape) if shape else column.item() for column in found.T)
    return loft, spin, np.asarray(inside) > 0 if shape else bool(inside)
