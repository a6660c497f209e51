"""The uncertain numbers of the chain, each once, with its range, source and mark.

Marks: S seen in the source, Q quoted by a later text, M from memory, C computed, J our judgement.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..records import Assumptions
from .setting import STAGES, Setting, furthest_stage


@dataclass(frozen=True, kw_only=True)
class Parameter:
    """One uncertain number: the `record` and `fields` it belongs to, its even range, and where that comes from.

    `how` says what the range means: ``value`` (it replaces the record's own, if that lies within), ``factor`` or ``shift``
    (it multiplies, or is added to, the record's own).
    """

    name: str
    record: str  # assume, ball, face, between, flight or green
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
        """The record's own value moved to a share 0 … 1 of the range; a share that is NaN leaves it as it is."""
        value = self.low + (self.high - self.low) * share
        if self.how == "factor":
            moved = own * value
        elif self.how == "shift":
            moved = own + value
        else:
            within = (np.asarray(own) >= self.low) & (np.asarray(own) <= self.high)
            moved = np.where(within, value, own)
        return np.where(np.isnan(share), own, moved)


def _row(record, fields, low, high, how, what, source, mark, name=None):
    fields = tuple(fields.split())
    return Parameter(name=name or f"{record}.{fields[0]}", record=record, fields=fields, low=low, high=high, how=how,
                     what=what, source=source, mark=mark)


_OURS = "our judgement"
_HAAKE = "after the spread of Haake's 18 courses (1987); size our judgement"
PARAMETERS = (
    _row("ball", "friction friction_fast", 0.90, 1.10, "factor", "friction of the cover",
         "sources for like covers differ by 5 % (Gobush 1996; Proceedings 49(1):27, 2020); doubled for wear and load", "J"),
    _row("ball", "modulus", 0.75, 1.25, "factor", "stiffness of the ball", "from the contact time of Arakawa et al. 2007",
         "C"),
    _row("ball", "inertia_factor", 0.36, 0.42, "value", "how the ball's mass is spread", "range of constructions", "M"),
    _row("ball", "restitution", -0.02, 0.02, "shift", "restitution", "tolerance on Chou 1994, quoted in Penner 2003", "Q"),
    _row("face", "roughness", 0.7, 1.4, "factor", "roughness of face and ball", _OURS, "J"),
    _row("face", "head_mass", 0.295, 0.310, "value", "head mass", _OURS, "J"),
    _row("assume", "tangential_stiffness", 0.55, 0.80, "value", "stiffness along the face",
         "Mindlin 1949 gives 0.667 at Poisson's ratio 0.5, 0.75 at 0.4", "M"),
    _row("assume", "unloading", 1.6, 2.8, "value", "loss in the cover", _OURS, "J"),
    _row("assume", "reversal", 0.0, 0.4, "value", "grip after the force has turned", _OURS, "J"),
    _row("assume", "wet_factor", 0.70, 0.80, "value", "friction of wetted solids", "Persson et al. 2005", "S"),
    _row("assume", "film_friction", 0.02, 0.08, "value", "pull of the water film", _OURS, "J"),
    _row("assume", "solid_friction", 0.05, 0.15, "value", "friction over soil or grass", _OURS, "J"),
    _row("assume", "load_decay", 1.2, 2.0, "value", "how soon a film lifts the ball off the face",
         "our judgement; the upper end comes near Greenwood & Tripp 1971", "J"),
    _row("assume", "void", 0.5, 0.9, "value", "groove left open by the cover", _OURS, "J"),
    _row("flight", "drag_scale", 0.88, 1.12, "factor", "drag", "Lyu, Kensrud, Smith & Tosaya 2018", "S"),
    _row("flight", "lift_scale", 0.85, 1.15, "factor", "lift", "Lyu, Kensrud, Smith & Tosaya 2018", "S"),
    _row("green", "friction", 0.75, 1.25, "factor", "grip of the turf", _HAAKE, "J"),
    _row("green", "tilt", 0.84, 1.16, "factor", "how far the ball digs in", "±3° of tilt; " + _HAAKE, "J"),
    _row("green", "restitution", 0.90, 1.10, "factor", "bounce of the green", _HAAKE, "J"),
)
"""Every uncertain number of the chain.  All are drawn evenly (uniform) and independently: nothing better is known."""


def parameters_for(of, parameters=PARAMETERS):
    """Those parameters that can reach the named quantities along the chain."""
    last = STAGES.index(furthest_stage(of))
    return tuple(p for p in parameters if STAGES.index(p.stage) <= last)


def vary(setting: Setting, parameters, shares):
    """The setting with its uncertain numbers moved: shares [number of parameters, *draws] of each range.

    Returns the setting, the assumptions and the two factors on drag and lift.
    """
    changes = {"assume": {}, "ball": {}, "face": {}, "between": {}, "flight": {}, "green": {}}
    owners = {"assume": Assumptions(), "ball": setting.ball, "face": setting.face, "between": setting.between,
              "green": setting.green}
    for parameter, share in zip(parameters, shares):
        for name in parameter.fields:
            own = 1.0 if parameter.record == "flight" else getattr(owners[parameter.record], name)
            changes[parameter.record][name] = parameter.drawn(own, share)
    moved = {record: owner.but(**_kept_inside(owner, changes[record])) for record, owner in owners.items()}
    assume = moved.pop("assume")
    # one field in the full shape, so that every array of the contact is at least as wide as a draw
    speed = setting.arriving.head_speed + np.zeros(np.broadcast_shapes(setting.shape, *(np.shape(s) for s in shares)))
    return setting.but(**moved, arriving=setting.arriving.but(head_speed=speed)), assume, changes["flight"]


def _kept_inside(record, changes):
    """A draw may not leave what a record allows (a film of −1 µm)."""
    rules = {f: type(record).__dataclass_fields__[f].metadata for f in changes}
    return {f: np.clip(value, rules[f]["low"], rules[f]["high"]) for f, value in changes.items()}
