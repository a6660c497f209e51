"""A user's own green from a table of shots whose run-outs were paced: what the shots tell of it, and what they do not."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np

from ..catalogue import GREENS
from ..physics.flight import fly
from ..physics.green import land
from ..physics.green_fit import FEWEST_SHOTS, FRICTION_RANGE, TILT_RANGE, GreenFit, fit_green, landing
from ..records import Green, Launch
from ..units import deg, ft, written
from . import screen as screening
from .journal import latest_told
from .table import Table
from .wording import check_units, few, listed, saying

MOST = 100
"""Shots that are fitted at most, taken evenly over the table: two numbers need no more."""
HOW = (f"Pace the way from pitch mark to rest for at least {few(FEWEST_SHOTS)} shots that differ in spin and in height, and "
       "write it under “Run-out [m]” or “Run-out [yd]”, beside ball speed, launch angle and spin rate")
"""How to come by such a table."""
SPIN_KEPT = 0.96
"""Share of its spin with which a pitch lands: 0.98 … 0.93 for carries of 20 … 65 m (computed with `fly`)."""
_CARRY_OFF = 0.05
_LAUNCH = ("ball_speed", "launch_angle", "spin_rate")
_LANDING = ("landing_speed", "descent_angle", "landing_spin")
_OPEN = {"tilt": TILT_RANGE, "friction": FRICTION_RANGE}


@dataclass(frozen=True, kw_only=True)
class OwnGreen:
    """What the shots say of a green.

    `fit` is the fit at the `level`; `shots` holds a row for each shot used, by its line: landing_speed, descent_angle,
    landing_spin, run_out, what the fit `predicted`, and whether anything of its landing was `flown`.  `left_out` are
    reasons with the lines they hold for, `given` what was known of the green.  `apart` is how far each ground of the
    lessons misses the run-outs [m, root mean square], `carry` flown carry over measured (None: nothing to compare).
    """

    fit: GreenFit
    shots: object = field(repr=False)
    left_out: tuple[tuple[str, tuple], ...]
    given: tuple[str, ...]
    apart: dict[str, float]
    carry: float | None
    level: float
    source: str = ""

    @property
    def green(self) -> Green:
        """The green with the best of both numbers."""
        return self.fit.green.but(name="your own")

    @property
    def nearest(self) -> str:
        """The ground of the lessons that misses the run-outs least."""
        return min(self.apart, key=self.apart.get)

    def say(self, units="metric") -> str:
        """What the shots tell of the green, and what not."""
        check_units(units)
        run, fit = saying("run_out"), self.fit
        told = [_told("digging in F", fit.tilt, fit.tilt_told, "tilt"),
                _told("friction of the turf", fit.friction, fit.friction_told, "friction")]
        words = [f"{self.source and f'From {self.source}: '}The green by {few(fit.shots)} run-outs, with {self._fixed}; "
                 f"{self.level:.0%} intervals: {'; '.join(told)}."]
        if not (fit.tilt_told and fit.friction_told):
            words.append("Shots that differ more in spin and in height would tell more.")
        words.append(f"The run-outs scatter {run.number(fit.scatter, units)} about it. Of the grounds of lesson 04, "
                     f"{self.nearest} comes nearest, {run.number(self.apart[self.nearest], units)} off.")
        return " ".join(words)

    @property
    def _fixed(self):
        """What was not fitted, and whether it was given."""
        speed, slope = (written(value, figures=3) for value in (self.fit.green.speed / ft, self.fit.green.slope / deg))
        how = ["given" if name in self.given else "assumed" for name in ("speed", "slope")]
        return f"green speed {speed} ft ({how[0]}) and slope {slope}° ({how[1]})"

    def limits(self) -> tuple[str, ...]:
        """What these numbers are worth, each a sentence."""
        flown = int(self.shots["flown"].sum())
        said = [f"Not fitted: {self._fixed}, and the bounce of the medium ground. Where yours differ, the two numbers have "
                "to make up for it. The intervals are those of scatter, not of what the model leaves out."]
        if flown:
            whose = "one landing" if flown == 1 else f"{few(flown)} landings"
            said.append(f"What was not measured of {whose} was worked out from the launch, in still air; a measured descent "
                        "angle or landing speed comes before that.")
        if self.carry and abs(self.carry - 1) > _CARRY_OFF:
            off = f"{abs(self.carry - 1):.0%} {'less' if self.carry < 1 else 'more'}"
            said.append(f"Worked out like this, the shots carry {off} than was measured. Wind, another ball or the "
                        "measurement may be the reason; the landings are no better.")
        return (*said, "Run-outs must be paced or taped. If a device worked them out, this is the device's green and not "
                       "yours.", "One green, one day. Rain, mowing and rolling make it another.")

    def table(self, units="metric") -> str:
        """A line for each shot used: how it landed, how far it ran, and how far it runs on the fitted green."""
        check_units(units)
        run, speed, angle, spin = (saying(name) for name in ("run_out", "ball_speed", "descent_angle", "spin_rate"))
        rows = [("line", "lands at", "falls at", "spin", "ran", "fitted", "apart")]
        for line, shot in zip(self.shots.index, self.shots.itertuples(index=False)):
            rows.append((str(line), speed.number(shot.landing_speed, units), angle.number(shot.descent_angle, units),
                         spin.number(shot.landing_spin, units), run.number(shot.run_out, units),
                         run.number(shot.predicted, units), run.number(shot.run_out - shot.predicted, units, signed=True)))
        wide = [max(map(len, column)) for column in zip(*rows)]
        return "\n".join("  ".join(cell.rjust(width) for cell, width in zip(row, wide)) for row in rows)

    def text(self, units="metric") -> str:
        """All of it in plain words: the sentence, every shot, which were left out and why, the limits."""
        out = [f"Left out, {reason}: {_lines(lines)}." for reason, lines in self.left_out]
        return "\n".join([self.say(units), "", self.table(units), "", *out, *([""] if out else []), *self.limits()])


def own_green(shots, *, rule=None, speed=None, slope=None, level=0.90) -> OwnGreen:
    """Fit a green to the shots of a table that have a run-out and a landing.

    A shot's landing is flown (`fly`, still air) from ball speed, launch angle and spin; what was measured of it (landing
    speed, descent angle, landing spin) comes before that.  Where only the landing was measured, its spin is 0.96 of the spin
    rate (`SPIN_KEPT`).  The condition of face and ball does not matter: it has done its work when the ball leaves.

    Parameters
    ----------
    shots : Table or DataFrame
        as read, in SI.
    rule : Rule, optional
        the rule for mis-hits; every shot counts if left out.
    speed, slope : float, optional
        what is known of the green: its ramp reading [m], its slope [rad], uphill positive along the shot.
    level
        coverage of the intervals; see `fit_green`.

    Raises
    ------
    ValueError
        there is no run-out, or fewer than four shots can be used; the message says how to measure.
    """
    frame = shots.frame if isinstance(shots, Table) else shots
    known = {name: value for name, value in (("speed", speed), ("slope", slope)) if value is not None}
    green = Green(**known)
    if not np.isfinite(_numbers(frame, "run_out")).any():
        raise ValueError(f"the table has no run-outs{_asked(shots)}. {HOW}")
    used, left_out = _usable(frame, rule)
    if len(used) < FEWEST_SHOTS:
        why = "; ".join(f"{len(lines)} {reason}" for reason, lines in left_out)
        raise ValueError(f"at least {few(FEWEST_SHOTS)} shots are needed for two numbers of a green, {few(len(used))} of "
                         f"{len(frame)} can be used{why and f' ({why})'}{_asked(shots)}. {HOW}")
    landed, shares = _landings(used)
    run = _numbers(used, "run_out")
    fit = _fitted(np.stack([run, *landed[list(_LANDING)].to_numpy().T]).tobytes(), green, level)
    path = landing(speed=landed["landing_speed"].to_numpy(), descent_angle=landed["descent_angle"].to_numpy(),
                   spin=landed["landing_spin"].to_numpy())
    apart = {name: float(np.sqrt(np.mean((land(path, ground.but(**known)).run_out - run) ** 2)))
             for name, ground in GREENS.items()}
    return OwnGreen(fit=fit, shots=landed.assign(run_out=run, predicted=land(path, fit.green).run_out), left_out=left_out,
                    given=tuple(known), apart=apart, carry=float(shares.mean()) if shares.size else None, level=level)


@lru_cache(maxsize=8)
def _fitted(numbers, green, level) -> GreenFit:
    """The fit; the same shots are asked for again whenever a page changes its units or its conditions."""
    run, speed, angle, spin = np.frombuffer(numbers).reshape(4, -1)
    return fit_green(landing(speed=speed, descent_angle=angle, spin=spin), run, green=green, level=level)


def latest(folder="sessions", **options) -> OwnGreen | None:
    """The green of the latest typed session of a folder that tells one; None where there is none.

    Sessions without enough run-outs are passed over; options go to `own_green`.
    """
    return latest_told(own_green, folder, **options)


# -- which shots, and how they landed ---------------------------------------------------------------------------------


def _numbers(frame, name):
    """A column [SI], or nothing but gaps where there is none."""
    if name not in frame.columns:
        return np.full(len(frame), np.nan)
    try:
        return frame[name].to_numpy(dtype=float, na_value=np.nan)
    except (TypeError, ValueError):
        raise ValueError(f"column {name!r} holds words where numbers are needed; mend its cells") from None


def _usable(frame, rule):
    """The shots to fit, and the reasons of the others with their lines."""
    left_out = []
    if rule is not None:
        screened = screening.screen(frame, rule=rule)
        frame, left_out = screened.kept, [("set aside by the rule", tuple(screened.set_aside.index))]
    launched, landed = _known(frame, _LAUNCH), _known(frame, _LANDING[:2]) & (_known(frame, _LANDING[2:])
                                                                              | _known(frame, _LAUNCH[2:]))
    up = _numbers(frame, "launch_angle") > 0
    reasons = {"without a run-out": ~_known(frame, ("run_out",)), "launched level or downward": launched & ~up & ~landed,
               "without a launch (ball speed, launch angle, spin rate) or a landing": ~(launched | landed)}
    here = np.ones(len(frame), dtype=bool)
    for reason, without in reasons.items():
        left_out.append((reason, tuple(frame.index[here & without])))
        here &= ~without
    places = np.flatnonzero(here)
    if places.size > MOST:
        kept = places[np.linspace(0, places.size - 1, MOST).round().astype(int)]
        left_out.append((f"because {MOST} shots, taken evenly, are enough", tuple(frame.index[np.setdiff1d(places, kept)])))
        places = kept
    return frame.iloc[places], tuple((reason, lines) for reason, lines in left_out if lines)


def _known(frame, names):
    """Which shots have all of these."""
    return np.all([np.isfinite(_numbers(frame, name)) for name in names], axis=0)


def _landings(frame):
    """Speed, descent angle and spin of each landing, measured before flown, and whether anything was flown; and flown carry
    over measured, of those shots whose speed was flown."""
    import pandas as pd

    found = {name: np.full(len(frame), np.nan) for name in _LANDING}
    found["landing_spin"] = SPIN_KEPT * _numbers(frame, "spin_rate")
    share, here = np.full(len(frame), np.nan), _known(frame, _LAUNCH) & (_numbers(frame, "launch_angle") > 0)
    if here.any():
        speed, angle, spin = (_numbers(frame, name)[here] for name in _LAUNCH)
        path = fly(Launch(ball_speed=speed, launch_angle=angle, spin_rate=spin,
                          spin_tilt=np.nan_to_num(_numbers(frame, "spin_tilt")[here])))
        for name, values in zip(_LANDING, (path.landing_speed, path.descent_angle, path.landing_backspin)):
            found[name][here] = values
        carry = _numbers(frame, "carry")[here]
        share[here] = path.carry / np.where(carry > 0, carry, np.nan)
    for name in _LANDING:
        measured = _numbers(frame, name)
        found[name] = np.where(np.isfinite(measured), measured, found[name])
    flown = here & ~_known(frame, _LANDING)
    share[_known(frame, _LANDING[:1])] = np.nan
    return pd.DataFrame({**found, "flown": flown}, index=frame.index), share[np.isfinite(share)]


# -- words ------------------------------------------------------------------------------------------------------------


def _told(name, ends, known, key):
    """One number with its interval, or what can be said where the shots leave it open."""
    low, best, high = ends
    medium = getattr(Green(), key)
    if known:
        return f"{name} {best:.2f} ({low:.2f} to {high:.2f}; medium {medium:.2f})"
    least, most = _OPEN[key]
    span = f"{low:.2f} to {high:.2f} would all do"
    if low > least * 1.001:
        span = f"{low:.2f} or more"
    elif high < most * 0.999:
        span = f"{high:.2f} or less"
    return f"{name} cannot be told ({span}; medium {medium:.2f})"


def _lines(lines):
    """Lines of a table, the first of them where there are many."""
    shown = [*map(str, lines[:12]), *([f"{len(lines) - 12} more"] if len(lines) > 12 else [])]
    return f"line{'s' if len(lines) > 1 else ''} {listed(shown)}"


def _asked(shots):
    """What the table's reader asks about columns that are needed here, such as a unit that is not written."""
    if not isinstance(shots, Table):
        return ""
    from .intake.columns import heading

    needed = ("run_out", *_LAUNCH, *_LANDING)
    asked = [row for row in shots.asked.itertuples(index=False) if heading(str(row.column)).name in needed]
    return "".join(f"; its column “{row.column}” is not understood: {row.question}" for row in asked)
