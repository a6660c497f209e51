"""Compile the kernel once, so that no first slider waits: ``python -m spinlab.physics.warm``."""

from __future__ import annotations

import time

from .. import catalogue
from ..kernel import compiled
from .bands import draws
from .lofts import peak
from .setting import Setting, results
from .shot import carry_to_speed, play
from .stopping import ball_speed_for_carry


def main() -> None:
    """Ask every loop over rows once, and say how long it took."""
    if compiled.PLAIN or compiled.CACHE is None:
        return
    print("Compiling the physics, once (about a minute) …", flush=True)
    start = time.monotonic()
    face, ball = catalogue.FACES["new"], catalogue.BALLS["soft cover"]
    setting = Setting(arriving=catalogue.PITCH, face=face, ball=ball)
    play(catalogue.PITCH, face, ball, history=True, points=3, trace=3)
    results(setting, ["total"])
    draws(setting, ["spin_rate"], n=20)
    carry_to_speed(40.0, catalogue.PITCH, face, ball)
    ball_speed_for_carry(40.0, launch_angle=0.5, spin_rate=600.0)
    peak(setting)
    print(f"Compiled in {time.monotonic() - start:.0f} s; kept for every later start.")


if __name__ == "__main__":
    main()
