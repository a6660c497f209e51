"""Which pitch can be repeated: a player's scatter carried through the whole chain."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np

from ..kernel.compiled import kernel
from ..records import Air, Ball, Between, Delivery, Face, Green, Record, Shot, quantity
from ..units import deg
from .rows import elementwise
from .shot import finish, play

NAMES = ("head_speed", "dynamic_loft", "attack_angle", "normal_offset", "direction", "water", "grass")
"""What scatters from shot to shot, in the order of a correlation matrix."""
FARTHEST = 3.5
"""No draw lies further out, in standard deviations."""


@kernel
def never_below_zero(mean, spread, score):
    """A lognormal value: its mean stays, its standard deviation is about `spread` of it."""
    return mean * math.exp(spread * score - 0.5 * spread * spread)


_lognormal = elementwise(never_below_zero)


@dataclass(frozen=True, kw_only=True)
class Spread(Record):
    """Standard deviations of a player's shots.  `head_speed`, `water` and `grass` (the lie) are shares of the mean, the last
    two lognormal; `normal_offset` is the strike's height on the face, turned into the offset of the force.  `correlation`
    is a table of pairs: ``{("dynamic_loft", "attack_angle"): 0.5}``."""

    head_speed: float = quantity("scatter of head speed, share of the mean", "%", 0.0, 0.3, 0.02)
    dynamic_loft: float = quantity("scatter of dynamic loft", "°", 0.0, 10 * deg, 1.2 * deg)
    attack_angle: float = quantity("scatter of attack angle", "°", 0.0, 10 * deg, 1.0 * deg)
    normal_offset: float = quantity("scatter of the force's offset", "mm", 0.0, 1.5e-3, 0.2e-3)
    direction: float = quantity("scatter of direction", "°", 0.0, 10 * deg, 1.5 * deg)
    water: float = quantity("scatter of the water film, share", "%", 0.0, 1.5, 0.3)
    grass: float = quantity("scatter of the lie: share of the flats under grass", "%", 0.0, 1.5, 0.4)
    correlation: dict = field(default_factory=lambda: {("dynamic_loft", "attack_angle"): 0.5})
    name: str = "spread"

    def __post_init__(self):
        super().__post_init__()
        self.matrix  # noqa: B018 - a correlation that cannot be is refused here

    @classmethod
    def tuned_touring(cls, **changes):
        """A touring professional (our judgement)."""
        return cls(**{"head_speed": 0.012, "dynamic_loft": 0.8 * deg, "attack_angle": 0.6 * deg, "normal_offset": 0.1e-3,
                      "direction": 0.9 * deg, "name": "touring professional"} | changes)  # fmt: skip

    @classmethod
    def tuned_club(cls, **changes):
        """A steady club player (our judgement)."""
        return cls(**{"head_speed": 0.025, "dynamic_loft": 1.6 * deg, "attack_angle": 1.2 * deg, "normal_offset": 0.25e-3,
                      "direction": 1.9 * deg, "name": "club player"} | changes)  # fmt: skip

    @classmethod
    def tuned_beginner(cls, **changes):
        """A beginner (our judgement)."""
        return cls(**{"head_speed": 0.05, "dynamic_loft": 3.0 * deg, "attack_angle": 2.2 * deg, "normal_offset": 0.5e-3,
                      "direction": 3.5 * deg, "name": "beginner"} | changes)  # fmt: skip

    @classmethod
    def from_shots(cls, shots, **changes):
        """Scatter and correlations of measured shots: a mapping (or table) of columns in SI, named as in `NAMES`.

        Columns that are missing keep their default; at least five complete shots are needed.
        """
        names = [name for name in NAMES if name in shots]
        if not names:
            raise ValueError(f"shots: none of the columns {', '.join(NAMES)} was found; name at least one of them")
        table = np.array([np.asarray(shots[name], dtype=float) for name in names])
        table = table[:, np.isfinite(table).all(axis=0)]
        if table.shape[1] < 5:
            raise ValueError(f"shots: at least 5 complete shots are needed for a spread, got {table.shape[1]}")
        found = dict(zip(names, table.std(axis=1, ddof=1)))
        for name in {"head_speed", "water", "grass"} & set(names):
            middle = table[names.index(name)].mean()
            found[name] = found[name] / middle if middle > 0 else 0.0
        moving = [i for i, name in enumerate(names) if found[name] > 0]
        joined = np.atleast_2d(np.corrcoef(table[moving])) if len(moving) > 1 else np.eye(1)
        pairs = {
            (names[moving[i]], names[moving[j]]): float(joined[i, j]) for i in range(len(moving)) for j in range(i)
        }
        return cls(**{"correlation": pairs, "name": "own shots"} | {k: float(v) for k, v in found.items()} | changes)

    @property
    def matrix(self):
        """Correlation matrix in the order of `NAMES`."""
        table = np.eye(len(NAMES))
        for (a, b), value in self.correlation.items():
            unknown = {a, b} - set(NAMES)
            if unknown or a == b:
                raise ValueError(f"correlation of {a!r} with {b!r}: use two different names of {', '.join(NAMES)}")
            if not -1 <= value <= 1:
                raise ValueError(f"correlation of {a} with {b} must lie in −1 … 1, got {value}")
            i, j = NAMES.index(a), NAMES.index(b)
            table[i, j] = table[j, i] = value
        if np.linalg.eigvalsh(table)[0] < -1e-9:
            raise ValueError("correlation: these values cannot all hold together; weaken the strongest of them")
        return table

    def tied(self, loose):
        """Independent standard normal numbers [name, shots] → correlated ones by name, none further out than 3.5."""
        return dict(zip(NAMES, np.clip(self.tie @ loose, -FARTHEST, FARTHEST)))

    @property
    def tie(self):
        """The matrix that makes independent draws as correlated as this player's, in the order of `NAMES`."""
        values, vectors = np.linalg.eigh(self.matrix)
        return vectors * np.sqrt(np.maximum(values, 0.0))

    def draws(self, shots, seed):
        """Standard normal numbers by name [shots], correlated, none further out than 3.5."""
        return self.tied(np.random.default_rng(seed).standard_normal((len(NAMES), shots)))

    def scattered(self, arriving: Delivery, between: Between, z, *, direction=0.0):
        """The values of one meant shot with this scatter, by name: z standard normal numbers by name (left out: none)."""
        def moved(name, mean):
            return mean + getattr(self, name) * z.get(name, 0.0)

        def share(name):
            mean = getattr(between, name)
            return _lognormal(mean, getattr(self, name), z[name]) if name in z else mean

        loft = np.clip(moved("dynamic_loft", arriving.dynamic_loft), -10 * deg, 85 * deg)
        attack = np.clip(moved("attack_angle", arriving.attack_angle), -30 * deg, 20 * deg)
        return {
            "head_speed": np.clip(arriving.head_speed * moved("head_speed", 1.0), 0.5, 80.0),
            "dynamic_loft": loft,
            # the face may not look further down than the head travels
            "attack_angle": np.clip(attack, loft - 85 * deg, loft),
            "normal_offset": np.clip(moved("normal_offset", arriving.normal_offset), -3e-3, 3e-3),
            "direction": np.clip(moved("direction", direction), -89 * deg, 89 * deg),
            "water": np.clip(share("water"), 0.0, 1e-3),
            "grass": np.clip(share("grass"), 0.0, 1.0),
        }


SPREADS = {
    "club player": Spread.tuned_club(),
    "touring professional": Spread.tuned_touring(),
    "beginner": Spread.tuned_beginner(),
}
"""Three standards of player by name, all our judgement (J)."""


@dataclass(frozen=True, kw_only=True)
class Scatter:
    """Where many shots of one player finish: `x` along the target line and `y` to its right [m] from where they were hit,
    `aim` where the shot without scatter finishes, `causes` the scattered values by name, `shot` the whole chain."""

    shot: Shot
    x: np.ndarray
    y: np.ndarray
    aim: tuple[float, float]
    causes: dict[str, np.ndarray]

    def ellipse(self, level=0.90):
        """Centre (x, y), half axes (long, short) [m] and the long axis's angle from the line [rad, to the right].

        Holds a share `level` of the shots if they were normal: half axes √(−2 ln(1 − level)) standard deviations.
        """
        if not 0 < level < 1:
            raise ValueError(f"level (share of the shots inside) must lie between 0 and 1, got {level}")
        values, vectors = np.linalg.eigh(np.cov(self.x, self.y))
        reach = np.sqrt(-2 * np.log(1 - level) * np.maximum(values[::-1], 0.0))
        along, right = vectors[:, 1] * (np.sign(vectors[0, 1]) or 1.0)
        centre = float(self.x.mean()), float(self.y.mean())
        return centre, (float(reach[0]), float(reach[1])), float(np.arctan2(right, along))

    def chance(self, within, *, hole=None):
        """Share of the shots that finish within a distance [m] of the hole (x, y); by default of the `aim`."""
        x, y = self.aim if hole is None else hole
        return np.mean(np.hypot(self.x - x, self.y - y) <= np.asarray(within)[..., None], axis=-1)

    def ranking(self, of=None):
        """Causes by the strength of their rank correlation (Spearman) with the finish along the line, strongest first.

        `of` may be any array of one value per shot.  Causes that move together share the credit.
        """
        result = _ranks(self.x if of is None else np.asarray(of))
        told = {
            name: float(np.corrcoef(_ranks(values), result)[0, 1])
            for name, values in self.causes.items()
            if np.ptp(values) > 0
        }
        return dict(sorted(told.items(), key=lambda item: -abs(item[1])))


def _ranks(values):
    return np.argsort(np.argsort(values)).astype(float)


def scatter(arriving: Delivery, face: Face, ball: Ball, between: Between | None = None, air: Air | None = None,
            green: Green | None = None, *, spread: Spread, shots=10_000, seed=1, **options) -> Scatter:
    """Many shots of one player with correlated scatter, through the whole chain.

    Parameters
    ----------
    arriving … green
        the one shot that is meant; the scatter is about it.
    spread
        the player's scatter; the presets are our judgement.
    shots, seed
        how many, and the seed that makes them the same every time.
    **options
        go to `play`.
    """
    if not 2 <= shots <= 1_000_000:
        raise ValueError(f"shots (how many to play) must lie in 2 … 1 000 000, got {shots}")
    parts = {"arriving": arriving, "face": face, "ball": ball, "between": between, "air": air, "green": green}
    for name, part in parts.items():
        if part is not None and part.shape:
            raise ValueError(f"{name} holds {part.shape} shots; the scatter is about one shot, so give one")
    between = Between() if between is None else between
    direction = options.pop("direction", 0.0)
    causes = spread.scattered(arriving, between, spread.draws(shots, seed), direction=direction)
    delivered = arriving.but(**{name: causes[name] for name in NAMES[:4]})
    # a film or a lie that does not scatter stays one number, and the engine stays quick
    wetted = between.but(**{name: causes[name] for name in ("water", "grass") if getattr(between, name) > 0})
    shot = play(delivered, face, ball, wetted, air, green, direction=causes["direction"], **options)
    meant = play(arriving, face, ball, between, air, green, direction=direction, **options)
    x, y = finish(shot)
    return Scatter(shot=shot, x=x, y=y, aim=tuple(float(v) for v in finish(meant)), causes=causes)
