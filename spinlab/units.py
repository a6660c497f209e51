"""The one table of units.

Everything inside spinlab is SI and radians.  Other units exist only at the edge: multiply by a constant on the way in
(``45*mph``), divide on the way out (``launch.spin_rate/rpm``).  `unit` reads a unit's written name, as it stands in a
table header or beside a knob.
"""

from __future__ import annotations

import math
import re
import unicodedata
from dataclasses import dataclass

# length [m]
m, cm, mm, um = 1.0, 1e-2, 1e-3, 1e-6
inch, ft, yd, mile = 0.0254, 0.3048, 0.9144, 1609.344
# time [s]
s, ms, us, minute, hour = 1.0, 1e-3, 1e-6, 60.0, 3600.0
# speed [m/s]
kmh, mph, fps, knot = 1 / 3.6, mile / 3600, ft, 1852 / 3600
# angle [rad] and angular speed [rad/s]
deg = math.pi / 180
rpm = 2 * math.pi / 60
# mass [kg], force [N], pressure [Pa], volume [m³]
g, oz, lb = 1e-3, 0.028349523125, 0.45359237
kN = 1e3
hPa, kPa, MPa, GPa, psi = 1e2, 1e3, 1e6, 1e9, 6894.757293168361
uL, mL = 1e-9, 1e-6

GRAVITY = 9.80665
"""Standard acceleration of free fall [m/s²] (BIPM)."""


@dataclass(frozen=True)
class Unit:
    """A unit of measure: ``si = scale*value + offset``."""

    name: str
    quantity: str
    scale: float
    offset: float = 0.0

    def to_si(self, value):
        """Value in this unit → value in SI."""
        return value * self.scale + self.offset

    def from_si(self, value):
        """Value in SI → value in this unit."""
        return (value - self.offset) / self.scale


_TABLE = [
    # name, quantity, scale, offset, further spellings
    ("m", "length", m, 0, "metre metres meter meters"),
    ("cm", "length", cm, 0, "centimetre centimetres centimeter centimeters"),
    ("mm", "length", mm, 0, "millimetre millimetres millimeter millimeters"),
    ("µm", "length", um, 0, "um micron microns micrometre micrometres micrometer"),
    ("in", "length", inch, 0, 'inch inches "'),
    ("ft", "length", ft, 0, "foot feet '"),
    ("yd", "length", yd, 0, "yds yard yards"),
    ("s", "time", s, 0, "sec secs second seconds"),
    ("ms", "time", ms, 0, "millisecond milliseconds"),
    ("µs", "time", us, 0, "us microsecond microseconds"),
    ("m/s", "speed", 1.0, 0, "mps m.s-1 ms-1 m·s-1 m/sec metres/second"),
    ("km/h", "speed", kmh, 0, "kmh kph kmph"),
    ("mph", "speed", mph, 0, "mi/h miles/hour"),
    ("ft/s", "speed", fps, 0, "fps ft/sec"),
    ("kn", "speed", knot, 0, "kt kts knot knots"),
    ("rad", "angle", 1.0, 0, "radian radians"),
    ("°", "angle", deg, 0, "deg degs degree degrees º"),
    ("rad/s", "angular speed", 1.0, 0, "rad/sec"),
    ("rpm", "angular speed", rpm, 0, "rev/min revs/min r/min 1/min min-1 u/min"),
    ("kg", "mass", 1.0, 0, "kilogram kilograms"),
    ("g", "mass", g, 0, "gram grams"),
    ("oz", "mass", oz, 0, "ounce ounces"),
    ("g cm²", "moment of inertia", 1e-7, 0, "gcm2"),
    ("K", "temperature", 1.0, 0, "kelvin"),
    ("°C", "temperature", 1.0, 273.15, "degc celsius c ºc"),
    ("°F", "temperature", 5 / 9, 459.67 * 5 / 9, "degf fahrenheit f ºf"),
    ("Pa", "pressure", 1.0, 0, "pascal"),
    ("hPa", "pressure", hPa, 0, "mbar"),
    ("kPa", "pressure", kPa, 0, ""),
    ("MPa", "pressure", MPa, 0, ""),
    ("%", "share", 0.01, 0, "percent pct"),
    ("", "share", 1.0, 0, "- 1"),
]

UNITS: dict[str, Unit] = {name: Unit(name, quantity, scale, offset) for name, quantity, scale, offset, _ in _TABLE}
"""Every unit by its name."""

_SPELLINGS = {word: UNITS[name] for name, _, _, _, words in _TABLE for word in (name.casefold(), *words.split())}


def unit(name: str) -> Unit:
    """Read a unit's written name: ``unit("MPH").to_si(45)``.

    Case, blanks, a trailing full stop and the look-alike characters of the micro, degree and minus signs do not matter.
    Units whose names differ only in case keep their case: ``mPa`` is not read as ``MPa``.

    Raises
    ------
    ValueError
        the name is not in the table; the message lists what is.
    """
    exact = UNITS.get(name.strip())
    if exact:
        return exact
    word = unicodedata.normalize("NFKC", name.replace("º", "°")).replace("−", "-").casefold()
    word = re.sub(r"\s+", "", word).replace("per", "/").strip("[]()").rstrip(".")
    found = _SPELLINGS.get(word)
    if found is None or (found.name in ("MPa", "hPa", "kPa") and name.strip()[:1] == "m" and found.name == "MPa"):
        known = ", ".join(sorted(n for n in UNITS if n))
        raise ValueError(f"unit {name!r} is not known; use one of: {known}")
    return found


def written(value, digits: int = 0, *, figures: int = 0, sign: bool = False) -> str:
    """A number as people read it: ``6 300``, ``−0.4``, with `sign` ``+850``; with `digits` after the point or as many as
    that number of `figures` needs (six at most).

    Thousands are parted by a narrow no-break space, never by a comma or a point, which half the world reads the other way
    round (BIPM, SI Brochure, 9th edition, 5.4.4); the minus is a true one, and nothing has no sign.  Files that another
    program reads get plain digits instead.
    """
    value = float(f"{value:.{figures}g}") if figures else float(value)
    text = f"{value:{'+' if sign else ''},{'.6g' if figures else f'.{digits}f'}}"
    if not any(digit in text for digit in "123456789"):
        text = text.lstrip("+-")
    return text.replace(",", "\u202f").replace("-", "−")


STEPS = {"rpm": 10}
"""What a number with this unit is rounded to before people read it."""
CLOSE = ("°", "%")
"""Units that stand close to their number; all others keep a space."""


def said(value, unit_name, digits: int = 0, *, sign: bool = False) -> str:
    """A value [SI] with its unit as people read it, the same at every place.

    >>> said(658.5, "rpm"), said(-0.1047, "°", 1), said(0.5251, "%")
    ('6\u202f290 rpm', '−6.0°', '53%')
    """
    shown = unit(unit_name).from_si(float(value))
    step = STEPS.get(unit_name)
    number = written(round(shown / step) * step if step else shown, 0 if step else digits, sign=sign)
    return number + (unit_name if unit_name in CLOSE else f" {unit_name}" if unit_name else "")


def number_rules() -> dict:
    """How `written` and `said` write numbers, as data for a page that writes them itself (goes into JSON as it is)."""
    units = {name: {"scale": one.scale, "offset": one.offset} for name, one in UNITS.items()}
    return {"thousands": "\u202f", "minus": "−", "steps": STEPS, "close": list(CLOSE), "units": units}


def same_quantity(*names: str) -> bool:
    """Do all these unit names measure the same kind of thing?"""
    return len({unit(name).quantity for name in names}) <= 1
