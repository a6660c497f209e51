"""The nouns of the chain, frozen and in SI.

Every field may be a number or an array; arrays of one record broadcast against each other, so that a thousand shots are
one record.  A record checks itself when it is made: a value outside its range is a `ValueError` that names the quantity,
the value, the range and the cure.
"""

from __future__ import annotations

import reprlib
from dataclasses import dataclass

import numpy as np

from . import units as u
from .fields import Record, check, quantity, spoken
from .outcomes import Path, Rest, Shot

__all__ = ["Air", "Assumptions", "Ball", "Between", "Delivery", "Face", "Green", "Grooves", "Launch", "Path", "Record",
           "Rest", "Shot", "check", "quantity", "spoken"]


_MM = "mm"


@dataclass(frozen=True, kw_only=True)
class Ball(Record):
    """A golf ball.

    Friction is that of a clean, dry cover on a clean, dry face: `friction` at 12.8 m/s of sliding and below, `friction_fast`
    at 26.8 m/s and above, a straight line between (the two speeds of Gobush 1996, quoted).  `modulus` is the contact modulus
    E* [Pa] of ball on steel, a compromise (computed): 0.161 GPa gives 235 µs to the largest contact at 31.5 m/s, where
    Arakawa et al. 2007 (quoted) have 220 µs, and 0.41 ms for a full drive, where the governing bodies (2025, seen) have
    0.45 – 0.5 ms.  Normal restitution is ``restitution - restitution_slope*v`` kept within 0.75 … 0.88.
    """

    friction: float | np.ndarray = quantity("dry friction at 12.8 m/s of sliding", "", 0.0, 1.5)
    friction_fast: float | np.ndarray = quantity("dry friction at 26.8 m/s of sliding", "", 0.0, 1.5)
    mass: float | np.ndarray = quantity("ball mass", "g", 0.030, 0.060, 0.04593)
    radius: float | np.ndarray = quantity("ball radius", _MM, 0.015, 0.030, 0.021335)
    inertia_factor: float | np.ndarray = quantity("k in I = k m R²", "", 0.2, 0.66, 0.400)
    modulus: float | np.ndarray = quantity("contact modulus E*", "MPa", 0.02e9, 2e9, 0.161e9)
    restitution: float | np.ndarray = quantity("normal restitution at no speed", "", 0.1, 0.99, 0.906)
    restitution_slope: float | np.ndarray = quantity("loss of restitution per m/s", "", 0.0, 0.02, 0.0028)
    name: str = "ball"

    @classmethod
    def published_soft_cover(cls, **changes):
        """Soft cover on steel: 0.38 at 12.8 m/s to 0.29 at 26.8 m/s (Gobush 1996, quoted in Penner 2003, p. 149)."""
        return cls(**{"friction": 0.38, "friction_fast": 0.29, "name": "soft cover (Gobush 1996)"} | changes)

    @classmethod
    def published_hard_cover(cls, **changes):
        """Hard cover on steel: 0.16 to 0.075 (Gobush 1996, quoted in Penner 2003, p. 149).

        Another source has 0.35 for an ionomer cover (see `published_ionomer_cover`).  Load, speed and plate differ; the two
        are never merged, and only the other one agrees with what players see of clean, dry balls.
        """
        return cls(**{"friction": 0.16, "friction_fast": 0.075, "name": "hard cover (Gobush 1996)"} | changes)

    @classmethod
    def published_urethane_cover(cls, **changes):
        """Urethane on a grooved, blasted plate at low load: 0.40 (Proceedings 49(1):27, 2020, quoted); no speed dependence
        given."""
        return cls(**{"friction": 0.40, "friction_fast": 0.40, "name": "urethane (2020)"} | changes)

    @classmethod
    def published_ionomer_cover(cls, **changes):
        """Ionomer on a grooved, blasted plate at low load: 0.35 (Proceedings 49(1):27, 2020, quoted); no speed dependence
        given."""
        return cls(**{"friction": 0.35, "friction_fast": 0.35, "name": "ionomer (2020)"} | changes)

    @property
    def inertia(self):
        """Moment of inertia [kg m²]."""
        return self.inertia_factor * self.mass * self.radius**2


@dataclass(frozen=True, kw_only=True)
class Grooves(Record):
    """Straight, parallel grooves of one section, measured on the face.

    `width` is across the mouth, `separation` the flat land between two grooves, `draft_angle` the lean of the walls from
    square to the face (0 a rectangle; walls that meet before the depth is reached make a V), `edge_radius` the rounding
    of the two upper edges (it is already part of `width`).
    """

    width: float | np.ndarray = quantity("groove width", _MM, 0.0, 3e-3)
    depth: float | np.ndarray = quantity("groove depth", _MM, 0.0, 2e-3)
    separation: float | np.ndarray = quantity("land between grooves", _MM, 0.2e-3, 50e-3)
    draft_angle: float | np.ndarray = quantity("lean of the groove walls", "°", 0.0, 80 * u.deg, 15 * u.deg)
    edge_radius: float | np.ndarray = quantity("radius of the groove edges", _MM, 0.0, 2e-3, 0.30e-3)

    @property
    def pitch(self):
        """From one groove to the next [m]."""
        return self.width + self.separation


@dataclass(frozen=True, kw_only=True)
class Face(Record):
    """A club face: the club's own `loft`, its `grooves` (None for a plain face), rms `roughness` of face and ball together
    [m], the `head_mass` that the ball meets, and `head_inertia`, the head's moment of inertia about the line from heel to
    toe through its centre of mass [kg m²].

    900 g cm² is our judgement, that of a plate 60 mm high, ``M h²/12``; for its range see
    `spinlab.physics.uncertain.HEAD_TURNS`."""

    loft: float | np.ndarray = quantity("club's loft", "°", 0.0, 80 * u.deg, 56 * u.deg)
    grooves: Grooves | None = Grooves(width=0.8e-3, depth=0.45e-3, separation=2.7e-3)
    roughness: float | np.ndarray = quantity("rms roughness of face and ball", "µm", 0.2e-6, 30e-6, 2e-6)
    head_mass: float | np.ndarray = quantity("head mass", "g", 0.05, 5.0, 0.300)
    head_inertia: float | np.ndarray = quantity("head's moment of inertia", "g cm²", 3e-5, 1.0, 9e-5)
    name: str = "wedge"

    def __post_init__(self):
        if self.grooves is not None and type(self.grooves) is not Grooves:
            raise ValueError(f"Face.grooves (the face's grooves) must be a Grooves or None, got "
                             f"{reprlib.repr(self.grooves)}; None is a plain face")
        super().__post_init__()


@dataclass(frozen=True, kw_only=True)
class Between(Record):
    """What lies between face and ball.

    `water` is the film's thickness before contact [m], `temperature` the water's [K].  `soil_on_lands` and `grass` are
    shares of the flats under solids and under grass; `soil_in_grooves` is the share of the groove section that is closed.
    """

    water: float | np.ndarray = quantity("water film", "µm", 0.0, 1e-3, 0.0)
    temperature: float | np.ndarray = quantity("water temperature", "°C", 273.15, 333.15, 288.15)
    soil_on_lands: float | np.ndarray = quantity("share of the flats under soil", "", 0.0, 1.0, 0.0)
    soil_in_grooves: float | np.ndarray = quantity("share of the grooves closed by soil", "", 0.0, 1.0, 0.0)
    grass: float | np.ndarray = quantity("share of the flats under grass", "", 0.0, 1.0, 0.0)


@dataclass(frozen=True, kw_only=True)
class Assumptions(Record):
    """Numbers of the contact model that no golf measurement fixes.  Each has the value used and the range a band is drawn
    from (see `spinlab.physics.bands`); the source and its doubt stand beside it.

    tangential_stiffness
        Tangential against normal contact stiffness, 2(1−ν)/(2−ν): 0.667 for a rubbery sphere (Mindlin 1949, from memory).
    unloading
        How much stiffer the cover is on the way back (its loss); our judgement, 1 would be a lossless spring.
    reversal
        Stiffness once the friction force has turned round, against that at first touch; our judgement.  The patch is then
        shrinking and the cover keeps some of its shear, so little is built up the other way.  With 1 the model would give
        less spin than rolling at low lofts, against Cross (2002, seen), and more spin to a wet ball there than to a dry one.
    wet_factor
        Solid friction on wetted surfaces against dry: 0.70 – 0.80 for rubber at low speed (Persson et al. 2005, seen).
    film_friction
        The most a sheared film can pull, as a friction coefficient; our judgement.
    solid_friction
        Friction over soil or grass, 0.05 – 0.15; our judgement.
    load_decay
        How fast solid contact gives way to a film, c in ``exp(−c h/σ)``; our judgement, 1.2 – 2.0 (the upper end comes near
        Greenwood & Tripp 1971).
    void
        Share of the groove section left when the cover bulges into it, 0.5 – 0.9; our judgement.
    """

    tangential_stiffness: float | np.ndarray = quantity("tangential stiffness ratio", "", 0.3, 1.2, 0.667)
    unloading: float | np.ndarray = quantity("stiffness on the way back", "", 1.0, 4.0, 2.1)
    reversal: float | np.ndarray = quantity("stiffness once the force has turned", "", 0.0, 1.0, 0.2)
    wet_factor: float | np.ndarray = quantity("friction of wetted solids against dry", "", 0.3, 1.0, 0.775)
    film_friction: float | np.ndarray = quantity("largest friction of a sheared film", "", 0.0, 0.2, 0.05)
    solid_friction: float | np.ndarray = quantity("friction over soil or grass", "", 0.0, 0.5, 0.10)
    load_decay: float | np.ndarray = quantity("decay of solid contact with film over roughness", "", 0.5, 4.0, 1.5)
    void: float | np.ndarray = quantity("share of the groove left open by the cover", "", 0.1, 1.0, 0.7)


@dataclass(frozen=True, kw_only=True)
class Delivery(Record):
    """How the club arrives.  `attack_angle` is negative when the head travels down; `normal_offset` is how far the normal
    force passes below the ball's centre [m] (positive adds backspin; the closed form gives the spin ``J_n D/I`` without
    taking it from the push, which makes energy beyond about 3 mm).  `strike_height` is how far above the head's centre of
    mass the face meets the ball [m]: away from zero the head turns and the push is softer.  The two are apart: one is a
    lever on the ball, the other on the head."""

    head_speed: float | np.ndarray = quantity("head speed", "m/s", 0.5, 80.0)
    dynamic_loft: float | np.ndarray = quantity("loft of the face as it meets the ball", "°", -10 * u.deg, 85 * u.deg)
    attack_angle: float | np.ndarray = quantity("attack angle", "°", -30 * u.deg, 20 * u.deg, 0.0, cure="down is negative")
    normal_offset: float | np.ndarray = quantity("offset of the normal force", _MM, -3e-3, 3e-3, 0.0)
    strike_height: float | np.ndarray = quantity("height of the strike on the face", _MM, -20e-3, 20e-3, 0.0,
                                                 cure="0 is level with the head's centre of mass")

    def __post_init__(self):
        super().__post_init__()
        check("spin loft", self.spin_loft, what="dynamic loft less attack angle", unit="°", low=0.0, high=85 * u.deg,
              cure="lower the dynamic loft or flatten the attack angle")

    @property
    def spin_loft(self):
        """Angle between the head's path and the face's normal, in the upright plane [rad]."""
        return self.dynamic_loft - self.attack_angle


@dataclass(frozen=True, kw_only=True)
class Launch(Record):
    """How the ball leaves: speed, angle above the ground, backspin.  `direction` [rad] is to the right of the target line;
    `spin_tilt` [rad] leans the spin axis (positive curves the ball to the right).  What the contact was like comes with it
    where `strike` made the launch."""

    ball_speed: float | np.ndarray = quantity("ball speed", "m/s", 0.0, 200.0)
    launch_angle: float | np.ndarray = quantity("launch angle", "°", -90 * u.deg, 90 * u.deg)
    spin_rate: float | np.ndarray = quantity("backspin", "rpm", -30e3, 30e3)
    direction: float | np.ndarray = quantity("direction", "°", -90 * u.deg, 90 * u.deg, 0.0)
    spin_tilt: float | np.ndarray = quantity("lean of the spin axis", "°", -90 * u.deg, 90 * u.deg, 0.0)
    contact: object | None = None


@dataclass(frozen=True, kw_only=True)
class Air(Record):
    """The air the ball flies through.  `wind` [m/s] is measured at 10 m, positive from behind; `crosswind` positive from the
    left (it pushes the ball to the right)."""

    temperature: float | np.ndarray = quantity("air temperature", "°C", 223.15, 333.15, 288.15)
    pressure: float | np.ndarray = quantity("air pressure", "hPa", 5e4, 1.1e5, 101325.0)
    humidity: float | np.ndarray = quantity("relative humidity", "%", 0.0, 1.0, 0.0)
    wind: float | np.ndarray = quantity("wind from behind at 10 m", "m/s", -30.0, 30.0, 0.0)
    crosswind: float | np.ndarray = quantity("wind from the left at 10 m", "m/s", -30.0, 30.0, 0.0)


@dataclass(frozen=True, kw_only=True)
class Aerodynamics(Record):
    """Drag and lift of a ball as numbers, so that every law is one formula.

    With the spin parameter S = R ω/U and the Reynolds number Re, f the share of the flow below the
    drag crisis::

        C_D = drag + drag_per_spin S + drag_wave sin[π (Re − 9e4)/2e5] + crisis_drag f max(1 − S, 0)
        C_L = [lift + saturated(lift_power S^0.4) + lift_growth (1 − exp(−lift_rate S))]
              × (1 − crisis_lift f)

    times `drag_scale` and `lift_scale`.  `reverse_lift` from 0 to 1 blends in the lift that turns
    negative at low spin.  Sources and doubts stand in `spinlab.kernel.flight`.
    """

    drag: float | np.ndarray = quantity("drag at no spin", "", 0.0, 2.0, 0.24)
    drag_per_spin: float | np.ndarray = quantity("drag per spin parameter", "", 0.0, 2.0, 0.18)
    drag_wave: float | np.ndarray = quantity("drag's change with Reynolds number", "", 0.0, 0.5, 0.06)
    lift: float | np.ndarray = quantity("lift at no spin", "", 0.0, 1.0, 0.0)
    lift_power: float | np.ndarray = quantity("lift by S^0.4", "", 0.0, 2.0, 0.54)
    lift_growth: float | np.ndarray = quantity("lift by 1 − exp(−rate S)", "", 0.0, 1.0, 0.0)
    lift_rate: float | np.ndarray = quantity("rate of that growth", "", 0.0, 20.0, 0.0)
    crisis_drag: float | np.ndarray = quantity("more drag below the crisis", "", 0.0, 1.0, 0.24)
    crisis_lift: float | np.ndarray = quantity("lift lost below the crisis", "", 0.0, 1.0, 0.35)
    reverse_lift: float | np.ndarray = quantity("share of reverse lift", "", 0.0, 1.0, 0.0)
    drag_scale: float | np.ndarray = quantity("factor on drag", "", 0.0, 3.0, 1.0,
                                              cure="1 is the model itself")
    lift_scale: float | np.ndarray = quantity("factor on lift", "", 0.0, 3.0, 1.0,
                                              cure="1 is the model itself")

    @classmethod
    def tuned_pitches(cls, **changes):
        """Smits & Smith (1994), with saturated lift and a drag crisis of our judgement."""
        return cls(**changes)

    @classmethod
    def published_davies_1949(cls, **changes):
        """Older balls in a wind tunnel at 32 m/s: ``0.302 + 0.36 S``, ``0.322 (1 − exp(−3.72 S))``.

        Davies, J. Appl. Phys. 20:821 (1949), from memory; doi 10.1063/1.1698540."""
        return cls.constant(**{"drag": 0.302, "drag_per_spin": 0.36, "lift_growth": 0.322,
                               "lift_rate": 3.72} | changes)

    @classmethod
    def constant(cls, *, drag, lift=0.0, **changes):
        """Coefficients that change with nothing, for checks and lessons."""
        none = {"drag_per_spin": 0.0, "drag_wave": 0.0, "lift_power": 0.0, "crisis_drag": 0.0,
                "crisis_lift": 0.0}
        return cls(**none | {"drag": drag, "lift": lift} | changes)


@dataclass(frozen=True, kw_only=True)
class Green(Record):
    """The ground the ball lands on.  `speed` is the ramp reading (`10*ft`); `slope` is uphill positive along the shot.
    `friction`, `tilt`, `restitution`, `grip_restitution` describe the bounce (see `spinlab.kernel.ground`)."""

    speed: float | np.ndarray = quantity("green speed", "ft", 3 * u.ft, 18 * u.ft, 10 * u.ft)
    slope: float | np.ndarray = quantity("slope, uphill positive", "°", -10 * u.deg, 10 * u.deg, 0.0)
    friction: float | np.ndarray = quantity("friction of ball on turf while bouncing", "", 0.0, 1.0, 0.22)
    tilt: float | np.ndarray = quantity("how far the ball digs in (F)", "", 0.0, 3.0, 1.25)
    restitution: float | np.ndarray = quantity("bounce against the reference green", "", 0.1, 1.6, 1.0)
    grip_restitution: float | np.ndarray = quantity("tangential restitution of the turf", "", 0.0, 1.0, 0.0)
    name: str = "medium"

    @classmethod
    def tuned_firm(cls, **changes):
        """Firm: friction 0.30, digs in 0.85, bounces 1.15 (our judgement, to be replaced by a fit to your own shots)."""
        return cls(**{"friction": 0.30, "tilt": 0.85, "restitution": 1.15, "name": "firm"} | changes)

    @classmethod
    def tuned_medium(cls, **changes):
        """Medium: friction 0.22, digs in 1.25 (our judgement)."""
        return cls(**{"friction": 0.22, "tilt": 1.25, "restitution": 1.0, "name": "medium"} | changes)

    @classmethod
    def tuned_soft(cls, **changes):
        """Soft: friction 0.22, digs in 1.5, bounces 0.85 (our judgement)."""
        return cls(**{"friction": 0.22, "tilt": 1.5, "restitution": 0.85, "name": "soft"} | changes)

    @classmethod
    def tuned_gripping(cls, **changes):
        """Gripping: friction 0.40, digs in 1.25; the ball always leaves its pitch mark rolling (our judgement, after the
        first of Haake's two kinds of green)."""
        return cls(**{"friction": 0.40, "tilt": 1.25, "restitution": 1.0, "name": "gripping"} | changes)

    @classmethod
    def published_penner_2002(cls, **changes):
        """The bounce of Penner, Can. J. Phys. 80:931 (2002), from memory: friction 0.40, F 1."""
        return cls(**{"friction": 0.40, "tilt": 1.0, "restitution": 1.0, "name": "Penner 2002"} | changes)
