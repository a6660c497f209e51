"""What a shot leads to: its path, where it rests, and the whole."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from .fields import Record


@dataclass(frozen=True, kw_only=True)
class Path(Record):
    """A flight.  `carry`, `apex`, `flight_time`, `side`, `descent_angle`, `landing_speed`, `landing_spin` are per shot (side
    is to the right); `time`, `x`, `y`, `z` [points, *shots] draw it (x along the target line, y right, z up).
    `landing_side_spin` is the spin about the line of flight at landing [rad/s]; positive drags the ball to the left."""

    carry: float | np.ndarray
    side: float | np.ndarray
    apex: float | np.ndarray
    flight_time: float | np.ndarray
    descent_angle: float | np.ndarray
    landing_speed: float | np.ndarray
    landing_spin: float | np.ndarray
    landing_direction: float | np.ndarray = 0.0
    spin_tilt: float | np.ndarray = 0.0
    landing_side_spin: float | np.ndarray = 0.0
    time: np.ndarray | None = field(default=None, repr=False, metadata={"points": True})
    x: np.ndarray | None = field(default=None, repr=False, metadata={"points": True})
    y: np.ndarray | None = field(default=None, repr=False, metadata={"points": True})
    z: np.ndarray | None = field(default=None, repr=False, metadata={"points": True})

    @property
    def shape(self):
        return np.shape(self.carry)

    @property
    def landing_backspin(self):
        """The part of the spin that pulls the ball back along its line of flight [rad/s]."""
        level = np.sqrt(np.maximum(np.square(self.landing_spin) - np.square(self.landing_side_spin), 0.0))
        return np.sign(self.landing_spin) * np.cos(self.spin_tilt) * level


@dataclass(frozen=True, kw_only=True)
class Rest(Record):
    """Where the ball stops, measured from where it pitched.  `run_out` is along the line of flight (negative: it came back),
    `run_side` across it; `first_bounce` is where it comes down the second time, `spin_after_first` its backspin
    then; `bounces` how often it left the ground; `furthest` the point it reached before it came back.  `stops` is False
    where the slope is too steep for the ball to stop: its run-out is then cut off.  `trace_time`, `trace_x`, `trace_z`
    [points, *shots] draw it from the pitch mark on."""

    run_out: float | np.ndarray
    run_side: float | np.ndarray
    first_bounce: float | np.ndarray
    spin_after_first: float | np.ndarray
    bounces: int | np.ndarray
    time: float | np.ndarray
    furthest: float | np.ndarray
    stops: bool | np.ndarray = True
    trace_time: np.ndarray | None = field(default=None, repr=False, metadata={"points": True})
    trace_x: np.ndarray | None = field(default=None, repr=False, metadata={"points": True})
    trace_z: np.ndarray | None = field(default=None, repr=False, metadata={"points": True})

    @property
    def shape(self):
        return np.shape(self.run_out)


@dataclass(frozen=True, kw_only=True)
class Shot:
    """One shot, or many: `launch`, `path` and `rest` with the distances people talk about at hand."""

    launch: Record
    path: Path
    rest: Rest

    @property
    def carry(self):
        """From the ball to where it pitches [m]."""
        return self.path.carry

    @property
    def descent_angle(self):
        """Below the ground's plane at landing [rad]."""
        return self.path.descent_angle

    @property
    def run_out(self):
        """From where it pitches to where it rests [m]; negative when it comes back."""
        return self.rest.run_out

    @property
    def total(self):
        """From the ball to rest [m]."""
        return self.path.carry + self.rest.run_out
