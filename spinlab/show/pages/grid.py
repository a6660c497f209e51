"""Tables of the engine's answers, computed ahead on a grid that is made finer where the answers bend.

A page cannot run the engine; it looks answers up.  A `Table` holds them on a grid of knots, one axis for each knob, and is
read between the knots by a cubic along every axis (`weights`; the page's script does the same sums).  `refined` starts from
a coarse grid and halves those gaps whose middle is read wrong, until every middle is read right: so the knots gather at the
borders of the regimes – where the ball stops gripping, where friction begins to fall with speed – and stay few elsewhere.
"""

from __future__ import annotations

import base64
from dataclasses import dataclass, replace

import numpy as np

from ...units import um

WARPS = {"": (lambda x: x, lambda u: u),
         "film": (lambda x: np.log1p(np.asarray(x) / um), lambda u: np.expm1(u) * um)}
"""Along an axis the knots stand in the quantity itself, or, for a film of water, in ``log(1 + h/1 µm)``."""
_AT_ONCE = 4000  # shots in one call of the engine


@dataclass(frozen=True)
class Axis:
    """One axis of a table: a knob's `name` and its `knots` in SI, or the `options` of a choice."""

    name: str
    knots: tuple = ()
    warp: str = ""
    options: tuple = ()

    def __len__(self):
        return len(self.options or self.knots)

    @property
    def warped(self) -> np.ndarray:
        """The knots as they stand along the axis."""
        return np.asarray(WARPS[self.warp][0](np.array(self.knots, dtype=float)))

    def halved(self, gaps) -> Axis:
        """The axis with a knot more in the middle of some gaps."""
        u = self.warped
        more = 0.5 * (u[:-1] + u[1:])[gaps]
        back = WARPS[self.warp][1]
        return replace(self, knots=tuple(sorted((*self.knots, *(float(back(x)) for x in more)))))

    def middles(self) -> tuple:
        """The middle of every gap, in SI."""
        u = self.warped
        return tuple(float(WARPS[self.warp][1](x)) for x in 0.5 * (u[:-1] + u[1:]))


def weights(u, x):
    """First knot and four weights for a cubic through knots `u` at places `x`: ``y = Σ w_k y[first + k]``.

    Hermite's cubic whose slopes are those of the parabola through three knots (in the end gaps that parabola itself); with
    two or three knots what can be had of it.  It is linear in the values, so axes can be taken one after the other.

    A knot told twice is a border, where answers may have a corner: the cubics on its two sides know nothing of each other.
    """
    u, x = np.asarray(u, dtype=float), np.clip(np.asarray(x, dtype=float), u[0], u[-1])
    n = len(u)
    i = np.clip(np.searchsorted(u, x, side="right") - 1, 0, n - 2)
    h = u[i + 1] - u[i]
    t = (x - u[i]) / h
    w = np.zeros((4, *x.shape))  # of the values at i−1, i, i+1, i+2
    w[1], w[2] = 1 - t, t
    into, out = t * (1 - t) ** 2 * h, t * t * (t - 1) * h  # of the slopes at i and i+1, less the chord's
    first = (i == 0) | (u[i] == u[np.maximum(i - 1, 0)])
    last = (i == n - 2) | (u[i + 1] == u[np.minimum(i + 2, n - 1)])
    left = np.where(first, 1.0, u[i] - u[np.maximum(i - 1, 0)])
    right = np.where(last, 1.0, u[np.minimum(i + 2, n - 1)] - u[np.minimum(i + 1, n - 1)])
    # slope less chord: at i a share h/(left + h) of (slope before − chord), at i+1 the same from the other side
    before, after = h / (left + h), h / (right + h)
    into_left = np.where(first, 0.0, into * before)
    out_right = np.where(last, 0.0, out * after)
    into_right = np.where(first & ~last, -into * after, 0.0)  # in an end gap: the parabola of the three knots there
    out_left = np.where(last & ~first, -out * before, 0.0)
    lefts, rights = into_left + out_left, out_right + into_right
    w[0] -= lefts / left
    w[1] += lefts / left + lefts / h
    w[2] -= lefts / h
    w[1] += rights / h
    w[2] -= rights / h + rights / right
    w[3] += rights / right
    first_knot = np.clip(i - 1, 0, max(n - 4, 0))
    shift = i - 1 - first_knot
    out_w = np.zeros_like(w)
    for k in range(4):
        place = k + shift
        ok = (place >= 0) & (place < 4)
        np.add.at(out_w.reshape(4, -1), (np.clip(place, 0, 3).ravel(), np.arange(x.size)), np.where(ok, w[k], 0.0).ravel())
    return first_knot, out_w


@dataclass(frozen=True)
class Table:
    """Answers by name, each an array over the axes, in SI."""

    axes: tuple[Axis, ...]
    answers: dict[str, np.ndarray]

    def read(self, **at) -> dict[str, np.ndarray]:
        """The answers at places [n] along every axis; choices by number."""
        at = {name: np.atleast_1d(value) for name, value in at.items()}
        size = max(value.size for value in at.values())
        found = {}
        for name, values in self.answers.items():
            found[name] = self._read(values, {k: np.broadcast_to(v, size) for k, v in at.items()}, size)
        return found

    def _read(self, values, at, size):
        rows = np.broadcast_to(values, (size, *values.shape))
        for axis in self.axes:
            x = at[axis.name]
            if axis.options:
                rows = rows[np.arange(size), x.astype(int)]
                continue
            first, w = weights(axis.warped, WARPS[axis.warp][0](x))
            rows = sum(w[k].reshape(-1, *(1,) * (rows.ndim - 2))
                       * rows[np.arange(size), np.minimum(first + k, len(axis) - 1)] for k in range(4))
        return rows

    def packed(self) -> dict:
        """What the page's script unpacks: 16-bit numbers in base64, each answer with its least value and step."""
        told = {"axes": [{"name": a.name, "knots": a.warped.tolist() if not a.options else [], "warp": a.warp,
                          "count": len(a)} for a in self.axes], "answers": {}}
        for name, values in self.answers.items():
            low, high = float(np.min(values)), float(np.max(values))
            step = (high - low) / 65535 or 1.0
            whole = np.round((values - low) / step).astype("<u2")
            told["answers"][name] = {"low": low, "step": step, "data": base64.b64encode(whole.tobytes()).decode(),
                                     "wide": int(np.prod(values.shape[len(self.axes):], dtype=int))}
        return told


def filled(engine, axes) -> Table:
    """Ask the engine at every knot.  ``engine(**places)`` gets arrays [n] and returns arrays [n, ...] by name."""
    places = np.meshgrid(*(np.arange(len(a)) if a.options else np.array(a.knots, dtype=float) for a in axes), indexing="ij")
    flat = [place.ravel() for place in places]
    pieces = []
    for start in range(0, flat[0].size, _AT_ONCE):
        pieces.append(engine(**{a.name: f[start:start + _AT_ONCE] for a, f in zip(axes, flat)}))
    shape = tuple(len(a) for a in axes)
    answers = {name: np.concatenate([np.asarray(piece[name]) for piece in pieces]) for name in pieces[0]}
    return Table(tuple(axes), {name: v.reshape(*shape, *v.shape[1:]) for name, v in answers.items()})


def refined(engine, axes, allowed, *, probes=120, rounds=5, seed=1) -> tuple[Axis, ...]:
    """The axes with knots close enough that the middle of every gap is read within what is allowed.

    Each axis is looked at by itself, along lines through `probes` random places of the others.

    Parameters
    ----------
    allowed
        by the name of an answer: ``("share", 0.003)`` of the true value or ``("by", 0.002)`` in its own unit.
    """
    rng, done = np.random.default_rng(seed), []
    for axis in axes:
        if axis.options:
            done.append(axis)
            continue
        elsewhere = {a.name: _anywhere(a, rng, probes) for a in axes if a is not axis}
        for _ in range(rounds):
            wide = _misread(engine, axis, elsewhere, allowed, probes)
            if not wide.any():
                break
            axis = axis.halved(wide)
        done.append(axis)
    return tuple(done)


def _anywhere(axis, rng, n):
    """Random places on an axis [n], every fourth at its beginning: dry, clean, where knobs often stand."""
    if axis.options:
        return rng.integers(len(axis), size=n)
    u = axis.warped
    places = rng.uniform(u[0], u[-1], n)
    places[::4] = u[0] if axis.knots[0] == 0 else places[::4]
    return WARPS[axis.warp][1](rng.permutation(places))


def _misread(engine, axis, elsewhere, allowed, probes):
    """Which gaps of an axis are read wrong in their middle, on any of the lines."""
    def along(places):
        whole = {name: np.repeat(x, len(places)) for name, x in elsewhere.items()}
        found = engine(**whole, **{axis.name: np.tile(places, probes)})
        return {name: np.asarray(found[name]).reshape(probes, len(places)) for name in allowed}

    middles = axis.middles()
    known, true = along(np.array(axis.knots)), along(np.array(middles))
    first, w = weights(axis.warped, WARPS[axis.warp][0](np.array(middles)))
    wide = np.zeros(len(middles), dtype=bool)
    for name, (how, much) in allowed.items():
        read = sum(w[k] * known[name][:, np.minimum(first + k, len(axis) - 1)] for k in range(4))
        miss = np.abs(read - true[name]) / (np.abs(true[name]) if how == "share" else 1.0)
        wide |= miss.max(axis=0) > much
    return wide
