"""The clips by name: contact in slow motion, water leaving under the ball, the loft sweep, two flights to one hole."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from ..catalogue import BALLS, PITCH, STATES
from ..physics.contact import strike
from ..physics.flight import fly
from ..physics.green import land
from ..physics.stopping import HIGH, LOW, ball_speed_for_carry
from ..records import Face, Launch, Shot
from ..units import deg, mph, rpm, said, um, written, yd
from .clip import Caption, Clip
from .draw_contact import SlowMotion, contact_pair
from .draw_flight import Flown
from .draw_lofts import Curve, Curves, spin_against_loft
from .draw_moving import Chase, Draining, draining, track, two_flights
from .draw_scene import film_strike
from .exhibits import SOURCES, WET, filmed

_LOFTS = np.linspace(20, 75, 111) * deg


def _captions(*words):
    """Words one after the other, each for the same share of the clip."""
    step = 1 / len(words)
    return tuple(Caption(begin=i * step, end=(i + 1) * step, words=text) for i, text in enumerate(words))


def dry_and_wet(units="metric") -> Clip:
    """Contact in slow motion, dry beside wet."""
    shots = filmed("dry"), filmed("wet")
    dry, wet = (shot.launch for shot in shots)
    return Clip(
        name="dry-and-wet", title="The same swing, dry and wet", build=contact_pair,
        at=lambda share: SlowMotion(shots=shots, moment=share), source=SOURCES["contact"],
        captions=_captions(
            f"Half a millisecond, {WET.water / um:.0f} micrometres of water on one side. Everything else is the same.",
            "Dry, friction takes hold and the ball begins to turn. Wet, it slides.",
            f"They part: {said(dry.spin_rate, 'rpm')} dry, {said(wet.spin_rate, 'rpm')} wet; the wet ball "
            f"leaves {(wet.launch_angle - dry.launch_angle) / deg:.0f}° higher."))


def grooves_draining(units="metric") -> Clip:
    """Water leaving under the ball, with open grooves and with closed ones."""
    ball = BALLS["soft cover"]
    shots = tuple(film_strike(PITCH, Face(), ball, WET.but(soil_in_grooves=closed), name=name, meaning=meaning)
                  for name, meaning, closed in (("open grooves", "wet", 0.0), ("closed grooves", "blocked", 1.0)))
    left = [shot.history.film[-1] / um for shot in shots]
    spin = [shot.launch.spin_rate / rpm for shot in shots]
    return Clip(
        name="grooves-draining", title="Where the water goes", build=draining,
        at=lambda share: Draining(shots=shots, moment=share), source=SOURCES["contact"],
        captions=_captions(
            f"Both faces are equally wet: {WET.water / um:.0f} micrometres. On the right, soil closes the grooves.",
            "Pressed between ball and face, water has half a millisecond to get away. Open grooves make its way short.",
            f"Left over: {left[0]:.1f} micrometres against {left[1]:.1f}. "
            f"Spin: {written(spin[0])} against {written(spin[1])} rpm."))


def loft_sweep(units="metric") -> Clip:
    """Loft swept from low to high: spin rises to its peak and falls."""
    face, ball = Face(), BALLS["soft cover"]
    arriving = PITCH.but(dynamic_loft=_LOFTS)
    states = (("dry", "dry", STATES["dry"]), ("damp", "water", STATES["damp"]), ("wet", "wet", WET))
    curves = tuple(Curve(name=name, meaning=meaning, spin=strike(arriving, face, ball, between).spin_rate)
                   for name, meaning, between in states)
    speed = f"{PITCH.head_speed / mph:.0f} mph" if units == "yards" else f"{PITCH.head_speed:.0f} m/s"
    peak = [_LOFTS[np.argmax(curve.spin)] / deg for curve in curves]
    return Clip(
        name="loft-sweep", title="More loft, more spin?", build=spin_against_loft, source=SOURCES["contact"],
        at=lambda share: Curves(loft=_LOFTS, curves=curves, what="Dynamic loft",
                                here=_LOFTS[0] + share * (_LOFTS[-1] - _LOFTS[0])),
        captions=_captions(
            f"The same swing at {speed}, with more and more dynamic loft.",
            f"Clean and dry, spin grows up to about {peak[0]:.0f}° and then falls: the ball slides all through.",
            f"Just damp the peak comes at {peak[1]:.0f}°, wet at {peak[2]:.0f}°."))


@lru_cache(maxsize=1)
def one_hole(hole=45.0):
    """A low shot stopped by spin and a high one stopped by height that both finish at the hole [m]."""
    made = []
    for name, meaning, angle, spin in (("low", "dry", *LOW), ("high", "wet", *HIGH)):
        carry = np.linspace(0.6, 1.0, 33) * hole
        launch = Launch(ball_speed=ball_speed_for_carry(carry, launch_angle=angle, spin_rate=spin), launch_angle=angle,
                        spin_rate=spin)
        total = carry + land(fly(launch)).run_out
        launch = launch.but(ball_speed=float(np.interp(hole, total, launch.ball_speed)))
        path = fly(launch, points=120)
        made.append(Flown(name=name, meaning=meaning, shot=Shot(launch=launch, path=path, rest=land(path, trace=160))))
    return tuple(made)


def two_to_one_hole(units="metric") -> Clip:
    """Two flights to the same hole: low with spin, high without."""
    low, high = one_hole()
    whole = max(track(f.shot)[0][-1] for f in (low, high))
    hole, scale, unit = float(low.shot.total), *((yd, "yd") if units == "yards" else (1.0, "m"))
    runs = [f"{float(f.shot.run_out) / scale:.1f} {unit}" for f in (low, high)]
    return Clip(
        name="one-hole", title="Two ways to the same hole", build=two_flights, seconds=float(np.clip(whole, 5, 9)),
        at=lambda share: Chase(flown=(low, high), hole=hole, whole=whole, moment=share),
        source=f"{SOURCES['flight']} {SOURCES['green']}",
        captions=_captions(
            f"One ball flies low with {said(low.shot.launch.spin_rate, 'rpm')}, one high with "
            f"{said(high.shot.launch.spin_rate, 'rpm')}.",
            f"The low one comes down at {low.shot.descent_angle / deg:.0f}°, the high one at "
            f"{high.shot.descent_angle / deg:.0f}°.",
            f"Spin stops one after {runs[0]}, height the other after {runs[1]}."))


CLIPS = {"dry-and-wet": dry_and_wet, "grooves-draining": grooves_draining, "loft-sweep": loft_sweep,
         "one-hole": two_to_one_hole}
"""What makes each clip, by its name."""


def clip_named(name: str, units="metric") -> Clip:
    """A clip by its name, its captions in ``"metric"`` or ``"yards"``, or a `ValueError` that lists what there is."""
    if name not in CLIPS:
        raise ValueError(f"there is no clip {name!r}; there are {', '.join(CLIPS)}")
    return CLIPS[name](units)
