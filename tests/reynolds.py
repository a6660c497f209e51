"""Reynolds' equation solved on a round patch crossed by grooves: how long is the way out for the
water?

What is solved
    A thin film of one thickness h between smooth, rigid, parallel plates that approach each other
    (a squeeze film without inertia, cavitation or roughness): ``∇²p = 12 η ḣ / h³``.  The film
    lies on the lands; the pressure is zero in every groove and on the rim of the patch.

What the drainage length means
    ``-ḣ = p_mean h³ / (η L²)`` with `p_mean` the load divided by the WHOLE nominal patch area π
    a², grooves included, as the contact model takes it.  With u the solution of ``∇²u = -1`` on
    the lands and zero on their edges, ``p = -12 η ḣ u / h³``, so

        ``L² = 12 ∫u dA / (π a²)``

    A plain disc gives 1.5 a², a strip of width S gives S² over its own area, and endless lands S
    with grooves W between them S³/(S + W).

How
    Each land is a slice of the disc between two chords.  Straight lines across it and lines that
    follow the arcs make a mesh of triangles; linear finite elements (`scipy.sparse`) give u from
    below, and the error falls with the square of the mesh size.

Run it to see the grid convergence, the fit and its misfits: ``python tests/reynolds.py``.
"""

from __future__ import annotations

import numpy as np
from scipy.sparse import coo_matrix
from scipy.sparse.linalg import spsolve


def integral_over_mesh(x, y, boundary):
    """Integral of u, ``∇²u = -1`` and zero on `boundary`, over a mesh of lines `x`, `y` (two
    arrays of one shape) [m⁴].

    Linear triangles: for one triangle the stiffness is ``b bᵀ + c cᵀ`` over four times its area,
    the load a third of its area."""
    count = np.arange(x.size).reshape(x.shape)
    lower = np.stack([count[:-1, :-1], count[1:, :-1], count[1:, 1:]], axis=-1).reshape(-1, 3)
    upper = np.stack([count[:-1, :-1], count[1:, 1:], count[:-1, 1:]], axis=-1).reshape(-1, 3)
    corners = np.concatenate([lower, upper])
    px = x.ravel()[corners]
    py = y.ravel()[corners]
    b = np.stack([py[:, 1] - py[:, 2], py[:, 2] - py[:, 0], py[:, 0] - py[:, 1]], axis=1)
    c = np.stack([px[:, 2] - px[:, 1], px[:, 0] - px[:, 2], px[:, 1] - px[:, 0]], axis=1)
    area = 0.5 * np.abs(b[:, 0] * c[:, 1] - b[:, 1] * c[:, 0])
    real = area > 1e-12 * area.max()  # a mesh line that ends in a tip leaves triangles without area
    corners, b, c, area = corners[real], b[real], c[real], area[real]
    stiffness = (b[:, :, None] * b[:, None, :] + c[:, :, None] * c[:, None, :]) / (4 * area)[
        :, None, None
    ]
    row = np.repeat(corners, 3, axis=1).ravel()
    column = np.tile(corners, (1, 3)).ravel()
    matrix = coo_matrix((stiffness.ravel(), (row, column)), shape=(x.size, x.size)).tocsr()
    load = np.bincount(corners.ravel(), weights=np.repeat(area / 3, 3), minlength=x.size)
    used = np.bincount(corners.ravel(), minlength=x.size) > 0
    free = np.flatnonzero(used & ~boundary.ravel())
    u = spsolve(matrix[free][:, free].tocsc(), load[free])
    return float(load[free] @ u)


def integral_over_rectangle(width, length, cells):
    """Integral of u over a rectangle [m⁴]."""
    x, y = np.meshgrid(
        np.linspace(0, width, cells + 1), np.linspace(0, length, cells + 1), indexing="ij"
    )
    edge = np.ones(x.shape, dtype=bool)
    edge[1:-1, 1:-1] = False
    return integral_over_mesh(x, y, edge)


def integral_over_slice(radius, left, right, cells):
    """Integral of u over the part of a disc between two chords at `left` and `right` of its
    centre [m⁴]."""
    start = np.arcsin(left / radius)
    stop = np.arcsin(right / radius)
    around = np.linspace(
        start, stop, cells + 1
    )  # even steps of the angle: finer towards the tips of the disc
    across = np.linspace(-1.0, 1.0, cells + 1)
    x = radius * np.sin(around)[:, None] + 0.0 * across
    y = radius * np.cos(around)[:, None] * across
    edge = np.ones(x.shape, dtype=bool)
    edge[1:-1, 1:-1] = False
    return integral_over_mesh(x, y, edge)


def lands_under(radius, land, groove, position):
    """Left and right end of every piece of land under the patch [m]; `position` is the middle of
    one groove."""
    pitch = land + groove
    first = int(np.floor((-radius - position) / pitch)) - 1
    last = int(np.ceil((radius - position) / pitch)) + 1
    pieces = []
    for number in range(first, last + 1):
        left = max(position + number * pitch + groove / 2, -radius)
        right = min(position + number * pitch + groove / 2 + land, radius)
        if right - left > 1e-9 * radius:
            pieces.append((left, right))
    return pieces


def length_squared_at(radius, land, groove, position, cells=24):
    """Drainage length squared [m²] with the middle of one groove at `position` from the ball's
    middle [m]."""
    pieces = lands_under(radius, land, groove, position)
    total = sum(integral_over_slice(radius, left, right, cells) for left, right in pieces)
    return 12 * total / (np.pi * radius**2)


def length_squared(radius, land, groove, cells=24, positions=16):
    """Mean drainage length squared [m²] over all positions of the grooves under the ball."""
    pitch = land + groove
    # one half of the pitch is enough: the other half is its mirror image
    middles = (np.arange(positions) + 0.5) / positions * pitch / 2
    return float(
        np.mean([length_squared_at(radius, land, groove, middle, cells) for middle in middles])
    )


def extrapolated(radius, land, groove, cells=16, positions=12):
    """`length_squared` on two meshes, carried to no mesh size (the error falls with its square)
    [m²]."""
    coarse = length_squared(radius, land, groove, cells // 2, positions)
    fine = length_squared(radius, land, groove, cells, positions)
    return (4 * fine - coarse) / 3


def fit():
    """Print the two numbers of the formula's middle term that keep the largest misfit smallest,
    and that misfit."""
    from scipy.optimize import minimize

    sizes = [
        (radius * 1e-3, land * 1e-3, groove * 1e-3)
        for radius in (3, 4, 5, 6, 7, 8, 9)
        for land in (1.5, 1.9, 2.3, 2.7, 3.3, 4, 5, 6)
        for groove in (0.3, 0.5, 0.65, 0.8, 1.0)
    ]
    solved = np.array([extrapolated(*size) for size in sizes])
    radius, land, groove = np.array(sizes).T
    disc = 1.5 * radius**2
    lands = land**3 / (land + groove)

    def misfit(numbers):
        middle = (numbers[0] + numbers[1] * groove / land) / np.sqrt(disc * lands)
        return 1 / (1 / disc + 1 / lands + middle) / solved - 1

    best = minimize(
        lambda numbers: np.abs(misfit(numbers)).max(), [0.4, 0.8], method="Nelder-Mead"
    ).x
    print("best", best, "worst misfit", np.abs(misfit(best)).max())
    print("0.38, 0.86: misfit from", misfit((0.38, 0.86)).min(), "to", misfit((0.38, 0.86)).max())


if __name__ == "__main__":
    for cells in (12, 24, 48, 96):
        disc = 12 * integral_over_slice(1.0, -1.0, 1.0, cells) / np.pi
        square = 12 * integral_over_rectangle(1.0, 1.0, cells)
        usual = length_squared(6.5e-3, 2.7e-3, 0.8e-3, cells, 8) * 1e6
        print(f"{cells:3d} cells: disc {disc:.4f} (1.5), square {square:.4f} (0.4217)")
        print(f"           usual grooves {usual:.3f} mm²")
    fit()
