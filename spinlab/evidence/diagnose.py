"""From measured shots to how well the face gripped, and why it may not have: in sentences, with what could not be known.

Takes a tidy frame in SI with whatever was measured of head_speed, ball_speed, attack_angle, dynamic_loft, launch_angle and
spin_rate, and a column that names the condition.  Missing columns are carried on without, and said.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..catalogue import BALLS
from ..physics.central_strike import LOFT_OFFSET
from ..records import Ball, Face
from ..units import deg
from .causes import Fit, possible, weigh
from .grip import EXPECTED, Interval, friction_needed, grip, interval
from .wording import listed, saying

MEASURED = ("head_speed", "ball_speed", "attack_angle", "dynamic_loft", "launch_angle", "spin_rate")
_NONE_FITS = 9.0
"""A best cause with more misfit than this (three standard deviations) explains nothing."""


@dataclass(frozen=True, kw_only=True)
class Finding:
    """What one condition shows.  `used`, `friction`, `level`, `loft_offset` are (low, middle, high), see
    `spinlab.evidence.grip.Grip`."""

    name: str
    shots: int
    counted: int
    used: tuple[float, float, float]
    friction: tuple[float, float, float]
    level: tuple[float, float, float]
    loft_offset: tuple[float, float, float]
    fits: tuple[Fit, ...]
    missing: tuple[str, ...]
    expected: dict

    @property
    def held(self) -> str:
        """How the face held the ball: slid, gripped, either, or unknown."""
        low, mid, high = self.friction
        if not np.isfinite(low):
            return "unknown"
        if np.isfinite(high):
            return "slid"
        return "either" if np.isfinite(mid) else "gripped"

    @property
    def possible(self) -> tuple[str, ...]:
        """Causes the numbers do not rule out, most plausible first; empty where nothing can be said."""
        return tuple(fit.cause.name for fit in possible(self.fits)) if self.held != "unknown" else ()

    @property
    def settled(self) -> str | None:
        """The one cause that is left, or None: the numbers cannot tell."""
        return self.possible[0] if len(self.possible) == 1 else None

    def say(self) -> str:
        """Everything about this condition in plain sentences."""
        return " ".join(part for part in (self._gripped(), self._together(), self._why(), self._unknown()) if part)

    def _gripped(self):
        head = f"{self.name.capitalize()} ({self.counted} of {self.shots} shots):"
        if self.held == "unknown":
            return (f"{head} how well the face gripped cannot be told. It takes ball speed and spin, or dynamic loft and "
                    "launch angle, of the same shot.")
        (low, mid, high), level = self.used, self.level
        told = f"{head} the face pulled with a friction of about {mid:.2f}, likely between {low:.2f} and {high:.2f}"
        told += f", {level[1]:.0%} ({level[0]:.0%} to {level[2]:.0%}) of what a clean, dry face gives."
        least = self.friction[0]
        return told + {
            "slid": " The ball slid through the whole contact: more friction would have meant more spin.",
            "gripped": f" The ball gripped: friction was at least {least:.2f}, and more would have added next to nothing.",
            "either": f" Whether it slid or gripped cannot be told; friction was at least {least:.2f}.",
        }[self.held]

    def _together(self):
        low, mid, high = self.loft_offset
        if not np.isfinite(mid):
            return ""
        within = f"(likely {_signed(low)} to {_signed(high)})"
        if low <= 0.0 <= high:
            return ("Loft, launch, spin and ball speed agree: a strike through the middle asks for "
                    f"{_signed(mid)} of loft beside the measured one {within}.")
        told = (f"Launch, spin and ball speed ask for {_signed(mid)} of loft beside the measured one {within}, if the "
                "strike went through the middle.")
        if low > LOFT_OFFSET[1] or high < LOFT_OFFSET[0]:
            more = "more" if mid > 0 else "less"
            return (f"{told} So there is {more} spin than the launch explains: look for strikes off the middle, or check "
                    "how loft, launch and spin were measured.")
        return (f"{told} A face often has up to {LOFT_OFFSET[1] / deg:.0f}° more in contact than is quoted (a loft offset); "
                "it may also be a number read wrongly or a strike off the middle.")

    def _why(self):
        left = possible(self.fits)
        if self.held == "unknown":
            return ""
        if min(fit.misfit for fit in left) > _NONE_FITS:
            return ("These numbers do not belong to one strike of this kind: look for a mis-read number or a strike off the "
                    f"middle. {left[0].cause.name.capitalize()} comes nearest.")
        names = [fit.cause.name for fit in left]
        clean = next((fit.share for fit in left if fit.cause.name == "clean and dry"), 0.0)
        if clean > left[0].share / 4:
            return "A clean, dry strike explains these numbers; nothing needs to be blamed."
        if len(left) == 1:
            return f"Of the causes tried only one fits: {names[0]}. To make sure, {left[0].cause.look}."
        told = listed(f"{fit.cause.name} ({fit.share:.0%})" for fit in left)
        ways = "; ".join(f"{fit.cause.look} ({fit.cause.name})" for fit in left)
        return f"Likely causes: {told}. These numbers cannot tell them apart. What would: {ways}."

    def _unknown(self):
        if not self.missing:
            return ""
        nouns = listed(saying(name).noun for name in self.missing)
        told = f"Not measured: {nouns}."
        taken = [name for name in self.missing if name in self.expected and self.held != "unknown"]
        if taken:
            values = (f"{saying(n).noun} {' ± '.join(saying(n).number(v) for v in self.expected[n])}" for n in taken)
            told += f" Assumed instead: {listed(values)}."
        return told


@dataclass(frozen=True, kw_only=True, eq=False)
class Diagnosis:
    """Every shot in `shots` (a frame in the order of the table), every condition in `findings`, and `notes`."""

    shots: object
    findings: tuple[Finding, ...]
    notes: tuple[str, ...]

    def __getitem__(self, name) -> Finding:
        for finding in self.findings:
            if finding.name == name:
                return finding
        raise KeyError(f"condition {name!r} is not among {listed(f.name for f in self.findings)}")

    def say(self) -> str:
        """All conditions, one paragraph each, then the notes."""
        return "\n\n".join([*(finding.say() for finding in self.findings), *self.notes])

    def __str__(self):
        return self.say()


def diagnose(frame, *, by="condition", face: Face | None = None, ball: Ball | None = None, errors=None, expected=None,
             level=0.9, seed=1) -> Diagnosis:
    """How well the face gripped in every shot and every condition, with likely causes.

    Parameters
    ----------
    frame
        Tidy shots in SI; see `MEASURED`.  Without the column `by`, all shots are one condition.
    face, ball
        What was struck with, thought clean and dry; left out, a fresh wedge and a soft-covered ball.
    errors
        Standard deviation of one measured number where it is not `spinlab.evidence.grip.ERRORS`.
    expected
        Mean and standard deviation of what was not measured, where not `EXPECTED`.
    level
        Of the intervals.
    """
    import pandas as pd

    if len(frame) == 0:
        raise ValueError("the table has no shots to diagnose; read or type some first")
    face, ball = face or Face(), ball or BALLS["soft cover"]
    measured, notes = _columns(frame)
    labels = np.full(len(frame), "all shots", dtype=object)
    if by in frame.columns:
        labels = frame[by].fillna("not named").astype(str).str.strip().to_numpy(dtype=object)
    found = grip(measured, face=face, ball=ball, errors=errors, level=level, seed=seed)
    shots = pd.DataFrame({by: labels}, index=frame.index)
    for name in ("used", "friction", "level"):
        interval_ = getattr(found, name)
        shots[f"{name}_low"], shots[name], shots[f"{name}_high"] = interval_.low, interval_.mid, interval_.high
    kw = {"face": face, "ball": ball, "errors": errors, "expected": expected}
    findings = [_finding(name, labels == name, measured, found, level, seed, **kw) for name in dict.fromkeys(labels)]
    return Diagnosis(shots=shots, findings=tuple(findings), notes=tuple(notes))


def _columns(frame):
    """The measured columns as floats; impossible numbers are set aside and told."""
    from pandas import to_numeric

    measured, notes = {}, []
    for name in MEASURED:
        if name not in frame.columns:
            continue
        values = to_numeric(frame[name], errors="coerce").to_numpy(dtype=float)
        low, high = (-90 * deg, 90 * deg) if name in ("launch_angle", "dynamic_loft", "attack_angle") else (0.0, np.inf)
        bad = (values <= low) | (values >= high)
        if bad.any():
            notes.append(f"Set aside {int(bad.sum())} impossible value(s) of {saying(name).noun}.")
        measured[name] = np.where(bad, np.nan, values)
    return measured, notes


def _mean_of(each: Interval, draws, rows, level) -> Interval:
    """The interval of the mean over some shots, from the draws [n, shots] of each; all NaN where there are none."""
    if not rows.any():
        return Interval(low=np.array([np.nan]), mid=np.array([np.nan]), high=np.array([np.nan]))
    return interval(np.array([each.mid[rows].mean()]), draws[:, rows].mean(axis=1)[:, None], level)


def _signed(angle) -> str:
    """An angle [rad] with its sign: ``+2.7°``."""
    return saying("dynamic_loft").number(angle, signed=True)


def _finding(name, rows, measured, found, level, seed, *, face, ball, errors, expected) -> Finding:
    """What the shots of one condition show together."""
    mine = {n: v[rows] for n, v in measured.items() if np.isfinite(v[rows]).any()}
    means = {n: float(np.nanmean(v)) for n, v in mine.items()}
    counted = rows & found.used.known
    used = _mean_of(found.used, found.draws, counted, level)
    if counted.any():
        one = {n: np.array([means.get(n, np.nan)]) for n in MEASURED}
        friction, dry = friction_needed(used, one, face, ball)
        share = Interval(low=used.low / dry, mid=used.mid / dry, high=used.high / dry)
    else:
        friction = share = used
    offset = _mean_of(found.loft_offset, found.offset_draws, rows & found.loft_offset.known, level)
    fits = weigh(means, face=face, ball=ball, errors=errors, expected=expected, seed=seed)
    four = [(float(i.low[0]), float(i.mid[0]), float(i.high[0])) for i in (used, friction, share, offset)]
    return Finding(name=name, shots=int(rows.sum()), counted=int(counted.sum()), used=four[0], friction=four[1],
                   level=four[2], loft_offset=four[3], fits=fits,
                   missing=tuple(n for n in MEASURED if n not in mine), expected=EXPECTED | (expected or {}))
