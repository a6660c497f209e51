"""The pages there are: knobs, prepared states, tables, and what is said around the picture."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from ...catalogue import GREENS, LIES, SOIL, WETNESS, films_in_words
from ...physics.players import REFERENCE
from ...physics.stopping import HIGH, LOW
from ...units import deg, rpm, um
from ..knobs import Choice, Knob
from ..panels.common import COVERS, GROOVES, loft_knob, speed_knob, water_knob
from ..panels.lofts import club_knob, lean_knob
from . import contacts, flights

CARE = (
    "Swing only where nobody stands within a full swing and follow-through or along the ball’s line, with one hitter at "
    "a time. The facility and licensed professionals come first; stop on pain, and outdoors for lightning. Water only "
    "from a small spray bottle, none on hard floors or near electrics; dry a wet grip."
)
PRACTICE = (
    "Wetting face or ball on purpose is for teaching on a practice ground only: in play it breaks Rules 4.1a and 4.2a. "
    "Drying and towelling are fine, and natural dew or rain is no breach."
)
_CLOSURE = (
    "The film law is a closure used outside its strict validity; no published golf test of it was found. Left out: "
    "edges of grooves that interlock, the cover bulging into grooves (only its room is counted), dewetting, cavitation, "
    "strikes off the middle."
)
_FRICTION = (
    "Friction of the soft cover after Gobush (1996), quoted in Penner, Rep. Prog. Phys. 66:131 (2003); of the hard one "
    "from Proceedings 49(1):27 (2020)."
)
_FLIGHT = "Flight after Smits and Smith, Science and Golf II (1994), drag in doubt by 12 %, lift by 15 %; 15 °C, sea level."


@dataclass(frozen=True, kw_only=True)
class Page:
    """One page: its file `name`, the `lesson` it belongs to and the panel there that it stands for, words around the
    picture (what it is about, what to `touch`, what to `look` for), knobs, states and tables."""

    name: str
    lesson: str
    instead_of: str
    title: str
    lead: str
    touch: str
    look: str
    knobs: tuple
    states: dict = field(default_factory=dict)
    view: str
    tables: Callable[[], dict]
    limits: str
    more: Callable[[], object] = dict


def _number(name, label, low, high, step, value, unit, scale=1.0, **more):
    return Knob(name, label, low=low * scale, high=high * scale, step=step * scale, value=value * scale, unit=unit, **more)


def _share(name, label, high=1.0, value=0.0, means="share of the flats"):
    return _number(name, label, 0.0, high, 0.01, value, "%", means=means)


DRY_AND_WET = Page(
    name="dry-and-wet", lesson="", title="The same swing, dry and wet", view="swing",
    instead_of="The same swing, dry and wet",
    lead="All spin is made in half a thousandth of a second. What does a film of water between face and ball change?",
    touch="Drag the water from nothing upward, or choose a state.",
    look="Nearly everybody expects the wet ball to come out lower: watch the launch, the spin and the carry. Then see how "
         "soon “a little” water is as bad as a lot.",
    knobs=(water_knob(), loft_knob(), speed_knob(), Choice("grooves", "Grooves", GROOVES, means="open ones let water out"),
           Choice("cover", "Ball", COVERS)),
    states={"clean and dry": {"water": 0.0}, "damp": {"water": WETNESS["damp"].water},
            "wet": {"water": WETNESS["poured"].water},
            "wet, grooves closed": {"water": WETNESS["poured"].water, "grooves": "closed by soil"}},
    tables=lambda: {"wet": contacts.wet(), "bands": contacts.wet_bands(), "air": flights.still_air()},
    limits=f"Attack angle −6°. {_CLOSURE} {_FRICTION} {_FLIGHT}",
)

GROOVES_AND_TOWEL = Page(
    name="grooves", lesson="01_grooves_as_channels", title="What grooves are for: towel against tee", view="grooves",
    instead_of="Ways of cleaning",
    lead="Grooves do not cut into the ball. They are drains, and drains can be blocked.",
    touch="Choose a way of cleaning. The bars say what the next pitch spins.",
    look="Look at what each way leaves in the grooves and on the flats between them, the lands. Then take the water away, "
         "and then the soil on the lands: which of the two needs the grooves?",
    knobs=(Choice("way", "Cleaned with", {way["name"]: way["name"] for way in contacts.ways()}),
           _share("soil_on_lands", "Soil on the lands", value=SOIL["caked"]["soil_on_lands"]),
           _share("soil_in_grooves", "Soil in the grooves", value=SOIL["caked"]["soil_in_grooves"],
                  means="share of the groove"),
           _number("water", "Water", 0, 200, 1, WETNESS["dew"].water / um, "µm", um,
                   means=films_in_words("dew", "poured", "flooded")),
           Choice("face", "Face", contacts.FACES)),
    states={"caked, dew": {}, "caked, dry day": {"water": 0.0},
            "grooves full, dew": SOIL["grooves full"], "only dew": {"soil_on_lands": 0.0, "soil_in_grooves": 0.0}},
    tables=lambda: {"dirty": contacts.dirty(), "bands": contacts.dirty_bands()},
    more=lambda: {"ways": contacts.ways(), "sections": contacts.sections()},
    limits="A pitch of 20 m/s, dynamic loft 44.5°, attack angle −6°, soft cover. What each way of cleaning leaves is "
           f"our judgement: no measurement was found. {_CLOSURE} Clean and dry, the type of groove made no significant "
           "difference to spin between 20° and 60° of loft (governing bodies’ study of 2006); a plain face was not tested.",
)

LOFT_AND_SPIN = Page(
    name="loft-and-spin", lesson="03_loft_against_spin", view="lofts", instead_of="Loft against spin",
    title="Loft against spin: where more loft stops helping",
    lead="More loft adds spin only as long as friction can hold the ball. From there on it slides, and more loft takes "
         "spin away.",
    touch="Drag the club’s loft, the soil or the water. Each line is one state of face and ball.",
    look="From 46° to 64° of the club’s loft with the same swing: find the peaks, and see which way they go when the face "
         "gets dirtier or wetter.",
    knobs=(club_knob(), lean_knob(), speed_knob(means=""), water_knob(),
           _share("soil", "Soil on the face", value=SOIL["caked"]["soil_on_lands"]), Choice("cover", "Ball", COVERS)),
    states={"a pitch": {}, "just damp": {"water": WETNESS["damp"].water},
            "hard cover": {"cover": "hard cover"}, "64°": {"loft": 64 * deg}},
    tables=lambda: {"wet": contacts.lofts("water"), "dirty": contacts.lofts("soil"), "air": flights.still_air(),
                    "wet_bands": contacts.lofts_bands("water"), "dirty_bands": contacts.lofts_bands("soil")},
    limits="Dynamic loft is the club’s loft less the forward lean of the shaft, the same with every wedge (our model). "
           f"Attack angle −6°. {_CLOSURE} {_FRICTION} {_FLIGHT}",
)

LOW_OR_HIGH = Page(
    name="flight-and-stopping", lesson="", title="Stopped by spin or stopped by height", view="flight",
    instead_of="Low or high",
    lead="Two balls carry equally far in still air. One comes in low with spin, one falls from high up. Which stops?",
    touch="Take the spin away from the low ball, then change the green.",
    look="Then add wind. The grey bars on the ground are the bands: orderings are robust, metres are not.",
    knobs=(_number("low_spin", "Low: spin", 0, 10000, 100, round(LOW[1] / rpm), "rpm", rpm),
           _number("low_launch", "Low: launch", 15, 45, 0.5, round(LOW[0] / deg), "°", deg),
           _number("high_spin", "High: spin", 0, 6000, 100, round(HIGH[1] / rpm), "rpm", rpm),
           _number("high_launch", "High: launch", 40, 60, 0.5, round(HIGH[0] / deg), "°", deg),
           _number("carry", "Carry in still air", 20, 60, 1, 45, "m"),
           _number("wind", "Wind from behind", -10, 10, 0.5, 0, "m/s", means="negative: against"),
           Choice("green", "Green", GREENS, value="medium")),
    states={"spin or height": {}, "low, no spin": {"low_spin": 1500 * rpm}, "firm green": {"green": "firm"},
            "into the wind": {"wind": -6.0}},
    tables=lambda: {"low": flights.needed("low"), "high": flights.needed("high"), "air": flights.in_wind(),
                    "run_outs": flights.run_outs(), "bounces": flights.bounces(),
                    "low_bands": flights.run_out_bands("low"), "high_bands": flights.run_out_bands("high")},
    more=lambda: {"far": flights.FAR},
    limits=f"{_FLIGHT} Green level, 10 ft on the ramp. Bounce after Penner (2002) and Haake (1987, 1989), from memory; "
           "soft, medium, firm and gripping are our judgement. No published table of stopping distances was found: run-out "
           "is within about half of itself, and landing angles of full shots come out about 5° shallow. Bands are those of "
           "still air.",
)

_GOOD = {"soil": 0.0, "water": 0.0, "grass": 0.0, "ball": "soft cover", "wear": "fresh",
         "dynamic_loft": REFERENCE.setting.arriving.dynamic_loft}
_CAKED, _DUSTY = (SOIL[name]["soil_on_lands"] for name in ("caked", "dusty"))

WHAT_FIRST = Page(
    name="what-to-fix-first", lesson="08_what_to_fix_first", title="What to fix first", view="fixes",
    instead_of="What to do first",
    lead="The same pitch by a player with some faults and by a reference with none: clean, dry, soft cover, fresh "
         "wedge, tight lie.",
    touch="Set what is true of your last pitch. Each bar is the spin with only that one thing put right.",
    look="A share says how much of the whole difference belongs to a fault when they are put right in every possible "
         "order. What to do first weighs the gain against the effort.",
    knobs=(_share("soil", "Soil on the face", 0.8, _CAKED, "lands and grooves"),
           _number("water", "Water", 0, 100, 0.5, WETNESS["damp"].water / um, "µm", um,
                   means=films_in_words("damp", "dew", "poured")),
           _share("grass", "Grass between", 1.0, 0.0), Choice("ball", "Ball", contacts.BALLS, value="hard cover"),
           Choice("wear", "Wedge", contacts.WEAR, value="worn"),
           _number("dynamic_loft", "Dynamic loft", 34, 54, 0.5, 48, "°", deg,
                   means=f"the reference delivers {REFERENCE.setting.arriving.dynamic_loft / deg:g}°")),
    states={"caked, worn, hard cover, dry": {"water": 0.0}, "the same, damp": {},
            "dusty, worn, dew": _GOOD | {"soil": _DUSTY, "water": WETNESS["dew"].water, "wear": "worn"},
            "first cut": _GOOD | {"grass": LIES["first cut"].grass},
            "spotless": _GOOD},
    tables=lambda: {"faults": contacts.faults(), "bands": contacts.faults_bands()},
    more=lambda: contacts.remedies(),
    limits="The swing, the fresh wedge and the soft cover of the suite’s invented touring professional. "
           "Shares are Shapley values: the average over every order of putting things right. Efforts "
           f"behind “first” are our judgement. {_CLOSURE}",
)

PAGES = {page.name: page for page in (DRY_AND_WET, GROOVES_AND_TOWEL, LOFT_AND_SPIN, LOW_OR_HIGH, WHAT_FIRST)}
"""Every page by its name."""
BAND = ("A band holds nine tenths of what the engine gives when all numbers that nobody has measured well enough are varied "
        "at once. Its ends are read to about a tenth of its width.")
"""What a band is."""
