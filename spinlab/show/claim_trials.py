"""The pitches that a claim is tried on: the same pitch twice, this against that, in every state that it leaves open."""

from __future__ import annotations

from dataclasses import dataclass

from ..catalogue import BALLS, FACES, LIES, PITCH, SOIL, WETNESS
from ..physics.bands import Band, contrast
from ..physics.cleaning import clean
from ..physics.lofts import Habit
from ..physics.setting import Setting, in_words, round_step, with_unit
from ..physics.shot import carry_to_speed
from ..records import Between, Face
from ..units import deg, mph, um
from .claim_words import Reading, Unclear

ALIKE, ALIKE_ANGLE, ALIKE_LENGTH = 0.03, 1 * deg, 0.3
"""Differences that nobody would notice: 3 % of spin, 1°, 0.3 m (our judgement)."""
NO_RATIO = ("launch_angle", "run_out")
_WATER = {"dry": WETNESS["dry"], "damp": WETNESS["damp"], "dew": WETNESS["dew"], "wet": WETNESS["poured"]}
SAME_CARRY = ("run_out", "apex")
"""What is compared at the same carry: a swing that goes further also flies higher and runs out longer."""
_CARRY = 40.0
_STATES = {"clean and dry": {}, "just damp": {"water": "damp"}, "wet": {"water": "wet"}}
_DRY_AND_WET = ("clean and dry", "wet")
_SWING, _STEEP = {"fast": 24.0, "slow": 20.0}, {"steep": 10 * deg, "shallow": 4 * deg}
_LEVELS = {
    ("water", "wet", "dry"): {f"{label} ({_WATER[kind].water / um:.0f} µm)": (kind, "dry")
                              for label, kind in (("just damp", "damp"), ("dew", "dew"), ("poured", "wet"))},
    ("water", "more", "less"): {"from dry": ("damp", "dry"), "from damp": ("dew", "damp"), "from dew": ("wet", "dew")},
    ("soil", "dirty", "clean"): {"dusty": ("dusty", "clean"), "caked": ("caked", "clean")},
    ("soil", "more", "less"): {"from clean": ("dusty", "clean"), "from dusty": ("caked", "dusty")},
    ("loft", "more", "less"): {"from 50°": (56.0, 50.0), "from 56°": (64.0, 56.0)},
}
"""The pairs that a general word stands for, by what they are called."""
_NAMES = {("water", "wet"): "a wet ball", ("water", "damp"): "a damp ball", ("water", "dew"): "a ball in dew",
          ("water", "dry"): "a dry ball", ("soil", "caked"): "a caked face", ("soil", "dusty"): "a dusty face",
          ("soil", "clean"): "a clean face", ("grass", "grass"): "grass between", ("grass", "none"): "no grass",
          ("grooves", "grooved"): "a grooved face", ("grooves", "plain"): "a plain face", ("wear", "worn"): "a worn face",
          ("wear", "fresh"): "a fresh face", ("cover", "soft"): "a soft cover", ("cover", "hard"): "a hard cover",
          ("tool", "towel"): "a towel", ("tool", "tee"): "a tee"}


@dataclass(frozen=True, kw_only=True)
class Trial:
    """One comparison: under which condition (`when`), what was set against what, and its band."""

    when: str
    band: Band
    sentence: str

    def side(self) -> int:
        """+1 if it is more for sure, and by so much that somebody would notice, −1 if less, 0 if neither is sure."""
        none = 1.0 if self.band.kind == "ratio" else 0.0
        if abs(self.band.mid - none) <= self._noticed:
            return 0
        return 1 if self.band.low > none else -1 if self.band.high < none else 0

    @property
    def alike(self) -> bool:
        """Is the difference too small to notice, whole band and all?"""
        none = 1.0 if self.band.kind == "ratio" else 0.0
        return max(abs(self.band.low - none), abs(self.band.high - none)) <= self._noticed + 1e-9

    @property
    def _noticed(self):
        if self.band.kind == "ratio":
            return ALIKE
        return ALIKE_ANGLE if self.band.unit == "°" else ALIKE_LENGTH


def trials(claim: Reading, units="metric") -> tuple[Trial, ...]:
    """Every comparison that a claim rests on, worked out by the engine."""
    if claim.sense == "times" and claim.of in NO_RATIO:
        raise Unclear("a share of an angle or of a run-out says nothing; ask for more or less")
    kind = "difference" if claim.of in NO_RATIO or claim.sense == "by" else "ratio"
    made = []
    for when, state in _states(claim).items():
        for level, this, that in _pairs(claim):
            two = [setting(state | {claim.factor: value}, claim.of) for value in (this, that)]
            names = tuple(name_of(claim.factor, value, units) for value in (this, that))
            found = contrast(*two, of=claim.of, kind=kind, names=names)
            label = ", ".join(filter(None, (when, level)))
            said = _said(found, units)
            made.append(Trial(when=label, band=found, sentence=f"{_upper(label)}: {said}." if label else f"{_upper(said)}."))
    return tuple(made)


def _states(claim):
    """The states of face and ball to try, by their names: the one that is given, or those that matter."""
    if claim.given:
        values = {name: "caked" if value == "dirty" else value for name, value in claim.given.items()}
        return {" and ".join(str(value) for value in claim.given.values()): values}
    if claim.factor in ("water", "soil", "grass", "tool"):
        return {"": {}}
    if claim.grip:  # what makes spin must make it on a dry face, too
        return {"clean and dry": {}}
    names = _STATES if claim.factor == "loft" and claim.of == "spin_rate" else _DRY_AND_WET
    return {name: _STATES[name] for name in names}


def _pairs(claim):
    """What is set against what: (name of the pair, this, that)."""
    if claim.factor == "tool":
        for name, dirty in (("caked, dry day", "caked"), ("caked, dew", "caked in dew"), ("dusty", "dusty")):
            yield name, (claim.this, dirty), (claim.that, dirty)
        return
    for turned in (False, True):
        first, second = (claim.that, claim.this) if turned else (claim.this, claim.that)
        for name, pair in _LEVELS.get((claim.factor, first, second), {}).items():
            yield name, *(pair[::-1] if turned else pair)
    if not {(claim.factor, claim.this, claim.that), (claim.factor, claim.that, claim.this)} & set(_LEVELS):
        yield "", *("caked" if value == "dirty" else value for value in (claim.this, claim.that))


def setting(state: dict, of="spin_rate") -> Setting:
    """One pitch in a state: the same swing or, for what depends on the distance, a pitch of 40 m."""
    arriving = PITCH
    if "loft" in state:
        arriving = Habit().deliver(state["loft"] * deg, PITCH.head_speed)
    if "speed" in state:
        speed = _SWING.get(state["speed"], state["speed"])
        if not 8 <= speed <= 45:
            raise Unclear(f"a pitch is swung with 8 to 45 m/s (18 to 100 mph), not {speed:.0f} m/s")
        arriving = arriving.but(head_speed=speed)
    if "attack" in state:
        arriving = arriving.but(attack_angle=-_STEEP.get(state["attack"], state["attack"]))
    face = Face(grooves=None) if state.get("grooves") == "plain" else FACES[state.get("wear", "fresh")]
    ball, between = BALLS[f"{state.get('cover', 'soft')} cover"], _between(state)
    if of in SAME_CARRY and "speed" not in state:
        arriving = arriving.but(head_speed=carry_to_speed(_CARRY, arriving, face, ball, between))
    return Setting(arriving=arriving, face=face, ball=ball, between=between)


def _between(state) -> Between:
    """What lies between face and ball."""
    if "tool" in state:
        how, dirty = state["tool"]
        dew = dirty == "caked in dew"
        found = WETNESS["dew" if dew else "dry"].between(**SOIL["caked" if dew else dirty])
        return clean(found, "damp towel, then dry" if how == "towel" else "tee")
    grass = LIES["rough" if state.get("grass") == "grass" else "tight fairway"].grass
    return _WATER[state.get("water", "dry")].between(grass=grass, **SOIL[state.get("soil", "clean")])


def name_of(factor, value, units="metric") -> str:
    """What a value is called in a sentence."""
    if factor == "loft":
        return f"a {value:g}" if isinstance(value, float) else f"{value} loft"
    if factor == "speed":
        speed = _SWING.get(value, value)
        return f"a swing of {speed / mph:.0f} mph" if units == "yards" else f"a swing of {speed:.0f} m/s"
    if factor == "attack":
        return f"{_STEEP.get(value, value) / deg:.0f}° down"
    if factor == "tool" and isinstance(value, tuple):
        value = value[0]
    return _NAMES.get((factor, value), f"{value} {factor}" if value in ("more", "less") else f"a {value} face")


def _said(band: Band, units) -> str:
    """What a comparison found, with its band, in words."""
    (this, that), noun = band.names, band.noun
    if band.high - band.low < 1e-6 and band.mid == 1:
        return f"{this} and {that} give the same {noun}"
    if band.kind == "ratio":
        return f"{this} gives {band.mid:.2f} times the {noun} of {that} ({band.low:.2f} to {band.high:.2f})"
    unit = {"m": "yd", "m/s": "mph"}.get(band.unit, band.unit) if units == "yards" else band.unit
    step = round_step(band.high - band.low, unit)
    low, mid, high = (in_words(value, step, unit) for value in (band.low, band.mid, band.high))
    sign = "+" if band.mid > 0 else ""
    return f"{this} against {that}, {noun} {sign}{with_unit(mid, unit)} ({low} to {high})"


def _upper(words):
    return words[:1].upper() + words[1:]
