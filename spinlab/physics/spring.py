"""The spring that holds ball and face together along the face: what it makes of force and slip, at every node."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np


@dataclass
class Spring:
    """The spring of a row of shots, or of one.

    What it makes of force and slip is smooth in the restitution like the motion across the face: where nothing else differs
    from shot to shot, it is told once for a few restitutions, and each shot has its `shares` of them.
    """

    push: np.ndarray  # spring force per slip, over each step
    pull: np.ndarray  # slip per spring force, over each step
    lean: np.ndarray  # Magnus's commutator of the two
    stiffness: dict  # against that at first touch, by the way to hold
    shares: np.ndarray | None = None
    _told: dict = field(default_factory=dict)

    def held(self, mode, which, since):
        """`held` from node `since` on, for some of the shots and a way to hold."""
        if self.shares is not None:
            return self._few(mode)[:, :, since:] @ some_of(self.shares, which, 0)
        stiff = some_of(self.stiffness[mode], which, 0)
        push, pull, lean = (some_of(columns, which, since) for columns in (self.push, self.pull, self.lean))
        return held(stiff * push, pull, stiff * lean)

    def _few(self, mode):
        if not self._told:
            few, modes = self.push.shape[-1], len(self.stiffness)
            stiff, push, pull, lean = np.repeat(list(self.stiffness.values()), few), *(
                np.tile(columns, modes) for columns in (self.push, self.pull, self.lean))
            self._told |= zip(self.stiffness, np.split(held(stiff * push, pull, stiff * lean), modes, axis=-1))
        return self._told[mode]


def some_of(value, which, since):
    """What belongs to some of the shots, from a node or step on: of a number, of one for each shot, or of columns."""
    if not isinstance(value, np.ndarray) or not value.ndim:
        return value
    if since and value.ndim > 1:
        value = value[since:]
    return value if which is ... or value.shape[-1] == 1 else value.take(which, axis=-1)


def held(push, pull, lean):
    """What the spring makes of force and slip from the first node to every other: matrices [2, 2, nodes, shots].

    ``dF = rate σ, dσ = −inertia F dt`` is linear, so a step is ``exp Ω = cos φ + (sin φ/φ) Ω`` with Magnus's Ω of the fourth
    order: the sums over the step (`push` of the rate, `pull` of inertia and time), and on the diagonal a twelfth of the
    commutator of its two ends (`lean`).  For one shot, arrays [steps]; for many, [steps, shots].
    """
    w = push * pull - lean * lean  # φ²
    cos, sin = 1 - w / 2 * (1 - w / 12 * (1 - w / 30 * (1 - w / 56))), 1 - w / 6 * (1 - w / 20 * (1 - w / 42))
    lean = sin * lean
    steps = cos - lean, sin * push, -sin * pull, cos + lean
    return _running_product(np.array(steps)) if np.ndim(push) > 1 else _running_product_of_one(*steps)


def _running_product_of_one(*steps):
    """Products of 2×2 matrices from the first on, in plain numbers."""
    a, b, c, d = 1.0, 0.0, 0.0, 1.0
    every = [(a, b, c, d)]
    for e, f, g, h in zip(*(part.tolist() for part in steps)):
        a, b, c, d = e * a + f * c, e * b + f * d, g * a + h * c, g * b + h * d
        every.append((a, b, c, d))
    return np.array(every).T.reshape(2, 2, -1)


def _running_product(steps, block=6):
    """The same for matrices [4, steps, shots]: within blocks, over blocks, and both together."""
    count, shots = steps.shape[1:]
    blocks = np.empty((2, 2, -(-count // block) * block, shots))
    blocks[:, :, :count] = steps.reshape(2, 2, count, shots)
    blocks[:, :, count:] = np.eye(2)[:, :, None, None]
    blocks = blocks.reshape(2, 2, -1, block, shots)
    every = np.empty((2, 2, count + 1, shots))
    within, before = np.empty_like(blocks), np.empty_like(blocks[:, :, :, 0])
    within[:, :, :, 0] = blocks[:, :, :, 0]
    for i in range(1, block):
        within[:, :, :, i] = _times(blocks[:, :, :, i], within[:, :, :, i - 1])
    every[:, :, 0] = before[:, :, 0] = np.eye(2)[:, :, None]
    for i in range(1, before.shape[2]):
        before[:, :, i] = _times(within[:, :, i - 1, -1], before[:, :, i - 1])
    every[:, :, 1:] = _times(within, before[:, :, :, None]).reshape(2, 2, -1, shots)[:, :, :count]
    return every


def _times(left, right):
    """Products of 2×2 matrices [2, 2, ...]."""
    return left[:, :1] * right[:1] + left[:, 1:] * right[1:]
