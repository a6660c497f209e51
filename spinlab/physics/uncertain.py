"""The uncertain numbers of the chain, each once, with its range, source and mark.

Marks: S seen in the source, Q quoted by a later text, M from memory, C computed, J our judgement.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..kernel import nouns, questions
from ..kernel import rows as kernel
from ..records import Aerodynamics, Assumptions, Ball, Between, Delivery, Face, Green
from ..units import deg
from .rows import elementwise, run, vary_rows
from .setting import STAGES, Setting, furthest_stage, situation_rows

_HOW = {"value": 0.0, "factor": questions.FACTOR, "shift": questions.SHIFT}
_PLACES = {
    "arriving": (Delivery, kernel.AT_DELIVERY),
    "face": (Face, kernel.AT_FACE), "ball": (Ball, kernel.AT_BALL), "between": (Between, kernel.AT_BETWEEN),
    "assume": (Assumptions, kernel.AT_ASSUMPTIONS), "flight": (Aerodynamics, kernel.AT_AERODYNAMICS),
    "green": (Green, kernel.AT_GREEN),
}  # fmt: skip
"""The record that a parameter belongs to, and where it begins in a row."""
_moved = elementwise(questions.moved_in_range)


@dataclass(frozen=True, kw_only=True)
class Parameter:
    """One uncertain number: the `record` and `fields` it belongs to, its even range, and where that comes from.

    `how` says what the range means: ``value`` (it replaces the record's own, if that lies within), ``factor`` or ``shift``
    (it multiplies, or is added to, the record's own).
    """

    name: str
    record: str  # arriving, assume, ball, face, between, flight or green
    fields: tuple[str, ...]
    low: float
    high: float
    how: str
    what: str
    source: str
    mark: str

    @property
    def stage(self) -> str:
        """The first part of the chain that it touches."""
        return self.record if self.record in STAGES else "contact"

    def drawn(self, own, share):
        """The record's own value moved to a share 0 … 1 of the range; a negative share leaves it as it is."""
        return _moved(own, self.low, self.high, _HOW[self.how], share)


def _row(record, fields, low, high, how, what, source, mark, name=None):
    fields = tuple(fields.split())
    return Parameter(name=name or f"{record}.{fields[0]}", record=record, fields=fields, low=low, high=high, how=how,
                     what=what, source=source, mark=mark)


_OURS = "our judgement"
_HAAKE = "after the spread of Haake's 18 courses (1987); size our judgement"
PARAMETERS = (
    _row("arriving", "dynamic_loft", 0.0, 4 * deg, "shift", "loft in contact against the loft quoted",
         "our judgement: usual figures of pitches ask for 2 – 5° more than is quoted", "J"),
    _row("ball", "friction friction_fast", 0.80, 1.20, "factor", "friction of cover and finish",
         "sources for like covers differ by 5 % (Gobush 1996; Proceedings 49(1):27, 2020); wider for finish, milling, wear "
         "and load, which nobody has measured", "J"),
    _row("ball", "modulus", 0.85, 1.20, "factor", "stiffness of the ball",
         "from the contact time of Arakawa et al. 2007 (0.19 GPa) to that of a full drive (0.14 GPa)", "C"),
    _row("ball", "inertia_factor", 0.36, 0.42, "value", "how the ball's mass is spread", "range of constructions", "M"),
    _row("ball", "restitution", -0.05, 0.05, "shift", "restitution",
         "sources differ by as much from Chou 1994, quoted in Penner 2003", "Q"),
    _row("face", "roughness", 0.5, 2.5, "factor", "roughness of face and ball against the film",
         "our judgement: 1 – 5 µm for a usual face; how soon a film lifts the ball off enters only as a ratio with it", "J"),
    _row("face", "head_mass", 0.295, 0.310, "value", "head mass", _OURS, "J"),
    _row("assume", "tangential_stiffness", 0.55, 0.80, "value", "stiffness along the face",
         "Mindlin 1949 gives 0.667 at Poisson's ratio 0.5, 0.75 at 0.4", "M"),
    _row("assume", "unloading", 1.6, 2.8, "value", "loss in the cover", _OURS, "J"),
    _row("assume", "reversal", 0.0, 0.4, "value", "grip after the force has turned", _OURS, "J"),
    _row("assume", "wet_factor", 0.70, 0.80, "value", "friction of wetted solids", "Persson et al. 2005", "S"),
    _row("assume", "film_friction", 0.02, 0.08, "value", "pull of the water film", _OURS, "J"),
    _row("assume", "solid_friction", 0.05, 0.15, "value", "friction over soil or grass", _OURS, "J"),
    _row("assume", "void", 0.5, 0.9, "value", "groove left open by the cover", _OURS, "J"),
    _row("between", "water", 0.5, 2.0, "factor", "amount of water", _OURS, "J"),
    _row("between", "soil_on_lands", 0.5, 1.5, "factor", "soil on the lands", _OURS, "J"),
    _row("between", "soil_in_grooves", 0.5, 1.5, "factor", "soil in the grooves", _OURS, "J"),
    _row("between", "grass", 0.8, 1.2, "factor", "grass in between", _OURS, "J"),
    _row("flight", "drag_scale", 0.83, 1.17, "factor", "drag",
         "below Re 1e5 balls differ by more than 0.1 in C_D (Lyu, Kensrud, Smith & Tosaya 2018, seen): about ±17 %", "C"),
    _row("flight", "lift_scale", 0.85, 1.15, "factor", "lift", _OURS, "J"),
    _row("green", "friction", 0.75, 1.25, "factor", "grip of the turf", _HAAKE, "J"),
    _row("green", "tilt", 0.84, 1.16, "factor", "how far the ball digs in", "±3° of tilt; " + _HAAKE, "J"),
    _row("green", "restitution", 0.90, 1.10, "factor", "bounce of the green", _HAAKE, "J"),
    _row("green", "grip_restitution", 0.0, 0.3, "value", "spring of the turf along the ground", _OURS, "J"),
)
"""Every uncertain number of the chain.  All are drawn evenly (uniform) and independently: nothing better is known."""

HEAD_TURNS = _row("face", "head_inertia", 6e-5, 12e-5, "value", "how hard the head is to turn", _OURS, "J")
"""Asked for beside `PARAMETERS` where the ball is met above or below the head's centre of mass; it moves no other strike."""


def parameters_for(of, parameters=PARAMETERS):
    """Those parameters that can reach the named quantities along the chain."""
    last = STAGES.index(furthest_stage(of))
    return tuple(p for p in parameters if STAGES.index(p.stage) <= last)


def varied_rows(setting: Setting, parameters, shares):
    """Rows of the kernel with the setting's uncertain numbers moved, and the shape of the shots.

    `shares` [number of parameters, *draws] of each range, negative where a number stays as it is; the draws broadcast
    against the setting's shots.
    """
    shares = np.asarray(shares, dtype=float)
    shape = np.broadcast_shapes(shares.shape[1:], setting.shape)
    rows = situation_rows(setting, shape)
    moved = np.full(rows.shape, -1.0)
    for parameter, share in zip(parameters, shares):
        for column in columns_of(parameter):
            moved[:, column] = np.broadcast_to(share, shape).ravel()
    varied = np.empty_like(rows)
    run(vary_rows, len(rows), rows, moved, *doubts_of(parameters), varied)
    return varied, shape


def columns_of(parameter) -> list[int]:
    """The columns of a row that a parameter moves."""
    kind, first = _PLACES[parameter.record]
    return [first + _names(kind).index(name) for name in parameter.fields]


def doubts_of(parameters) -> np.ndarray:
    """Of every column of a row: low and high end of its doubt, how it is meant, the least and the most a record allows."""
    doubts = np.zeros((5, kernel.ROW_LENGTH))
    for parameter in parameters:
        rules = _PLACES[parameter.record][0].__dataclass_fields__
        for name, column in zip(parameter.fields, columns_of(parameter)):
            allowed = rules[name].metadata
            doubts[:, column] = parameter.low, parameter.high, _HOW[parameter.how], allowed["low"], allowed["high"]
    return doubts


def _names(kind):
    """The numbers of a record in the order of a row."""
    names = list(getattr(nouns, kind.__name__)._fields)
    if "grooves" in names:
        at = names.index("grooves")
        names[at : at + 1] = nouns.Grooves._fields
    return names
