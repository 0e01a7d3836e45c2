"""Laplace's and Poisson's equations on triangles with curved sides: a reference, tests only.

Quadratic isoparametric elements (six nodes, six-point quadrature of degree 4; any textbook on
finite elements).  A section is meshed as a few grids of (2n + 1) x (2m + 1) nodes, whose
triangles are joined where nodes coincide.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from scipy.sparse import coo_matrix
from scipy.sparse.linalg import splu

ROUNDING = 1e-9
_A, _B = 0.445948490915965, 0.091576213509771
_QUADRATURE = [
    *(((x, y), 0.223381589678011) for x, y in ((_A, _A), (1 - 2 * _A, _A), (_A, 1 - 2 * _A))),
    *(((x, y), 0.109951743655322) for x, y in ((_B, _B), (1 - 2 * _B, _B), (_B, 1 - 2 * _B))),
]


@dataclass(frozen=True, eq=False)
class OpenSection:
    """The three numbers of an open section, and its area.

    passed : K, integral of w, laplacian w = -1, w = 0 on both walls.
    carried : M, integral of m, laplacian m = 0, m = 1 on the insert and 0 on the bore.
    shear : D, integral of |grad m|^2.
    """

    passed: float
    carried: float
    shear: float
    area: float

    def drag(self, insert_area: float) -> float:
        return (insert_area + self.carried) ** 2 / self.passed + self.shear


def graded(n: int, power: float) -> np.ndarray:
    """2n + 1 numbers from 0 to 1, crowded at 0; each odd one in the middle of its neighbours."""
    ends = np.linspace(0.0, 1.0, n + 1) ** power
    out = np.empty(2 * n + 1)
    out[::2] = ends
    out[1::2] = 0.5 * (ends[1:] + ends[:-1])
    return out


def crowded_at_one(n: int, power: float) -> np.ndarray:
    return 1.0 - graded(n, power)[::-1]


Grid = tuple[np.ndarray, np.ndarray]  # x and y of the nodes


def between(inner: np.ndarray, outer: np.ndarray, along: np.ndarray, across: np.ndarray) -> Grid:
    """Grid on the rays at the angles along, from radii inner to outer."""
    radii = inner[:, None] + (outer - inner)[:, None] * across
    return radii * np.cos(along)[:, None], radii * np.sin(along)[:, None]


def fan(radii: np.ndarray, turns: np.ndarray) -> Grid:
    """Grid of a sector round the origin; the sides that meet there are made to coincide."""
    x, y = radii[:, None] * np.cos(turns), radii[:, None] * np.sin(turns)
    x[1, 1::2], y[1, 1::2] = x[1, 2::2], y[1, 2::2]
    return x, y


def triangles(grids: list[Grid]) -> tuple[np.ndarray, np.ndarray]:
    """Points (p, 2) and triangles (t, 6) of some grids joined."""
    points, cells, start = [], [], 0
    for x, y in grids:
        i = start + np.arange(x.size).reshape(x.shape)
        a, b, c, d = i[:-2:2, :-2:2], i[2::2, :-2:2], i[2::2, 2::2], i[:-2:2, 2::2]
        ab, bc, cd, da = i[1::2, :-2:2], i[2::2, 1::2], i[1::2, 2::2], i[:-2:2, 1::2]
        ac = i[1::2, 1::2]
        cells += [
            np.stack([node.ravel() for node in nodes], axis=1)
            for nodes in ((a, b, c, ab, bc, ac), (a, c, d, ac, cd, da))
        ]
        points.append(np.stack([x.ravel(), y.ravel()], axis=1))
        start += x.size
    every = np.vstack(points)
    key = np.round(every / ROUNDING).astype(np.int64)
    _, first, inverse = np.unique(key, axis=0, return_index=True, return_inverse=True)
    joined = inverse.ravel()[np.vstack(cells)]
    corners = np.sort(joined[:, :3], axis=1)
    whole = (corners[:, 0] != corners[:, 1]) & (corners[:, 1] != corners[:, 2])
    return every[first], joined[whole]


def _assembled(points: np.ndarray, cells: np.ndarray) -> tuple:
    """Stiffness matrix, and the integral of each node's shape function."""
    stiffness = np.zeros((len(cells), 6, 6))
    weight = np.zeros((len(cells), 6))
    for (x, y), share in _QUADRATURE:
        l = 1.0 - x - y
        shape = np.array([l * (2 * l - 1), x * (2 * x - 1), y * (2 * y - 1)])
        shape = np.concatenate([shape, [4 * l * x, 4 * x * y, 4 * l * y]])
        slope = np.array(
            [
                [1 - 4 * l, 4 * x - 1, 0.0, 4 * (l - x), 4 * y, -4 * y],
                [1 - 4 * l, 0.0, 4 * y - 1, -4 * x, 4 * x, 4 * (l - y)],
            ]
        )
        jacobian = np.einsum("kn,enc->ekc", slope, points[cells])
        size = 0.5 * share * np.abs(np.linalg.det(jacobian))
        gradient = np.linalg.solve(jacobian, np.broadcast_to(slope, (len(cells), 2, 6)))
        stiffness += size[:, None, None] * np.einsum("ekn,ekm->enm", gradient, gradient)
        weight += size[:, None] * shape
    rows, columns = np.repeat(cells, 6, axis=1).ravel(), np.tile(cells, (1, 6)).ravel()
    n = len(points)
    matrix = coo_matrix((stiffness.ravel(), (rows, columns)), shape=(n, n)).tocsr()
    return matrix, np.bincount(cells.ravel(), weight.ravel(), n)


Wall = Callable[[np.ndarray, np.ndarray], np.ndarray]


def open_section(grids: list[Grid], *, insert: Wall, bore: Wall, copies: int = 1) -> OpenSection:
    """Solve on the grids; sides on neither wall are planes of symmetry, that many copies in all."""
    points, cells = triangles(grids)
    matrix, weight = _assembled(points, cells)
    on_insert, on_bore = insert(*points.T), bore(*points.T)
    free = np.flatnonzero(~(on_insert | on_bore))
    factor = splu(matrix[free][:, free].tocsc())
    w = np.zeros(len(points))
    w[free] = factor.solve(weight[free])
    m = np.where(on_insert, 1.0, 0.0)
    m[free] = factor.solve(-(matrix @ m)[free])
    return OpenSection(
        passed=copies * float(weight @ w),
        carried=copies * float(weight @ m),
        shear=copies * float(m @ (matrix @ m)),
        area=copies * float(weight.sum()),
    )


def refined(solve: Callable[[int], OpenSection], *, within: float = 2e-3) -> OpenSection:
    """Halve the elements until each of the three changes by less than a share of themselves."""
    n, coarse = 6, solve(6)
    while n < 100:
        n *= 2
        fine = solve(n)
        before, after = (np.array([s.passed, s.carried, s.shear]) for s in (coarse, fine))
        if np.all(np.abs(before / after - 1.0) < within):
            return fine
        coarse = fine
    raise AssertionError("the finite elements have not converged")


# ------------------------------------------------------------------- sections


def ring_sector(
    profile: Callable[[np.ndarray], np.ndarray],
    bore: Callable[[np.ndarray], np.ndarray],
    *,
    corners: tuple[float, ...],
    copies: int,
    crowded: bool = True,
) -> OpenSection:
    """Between an insert and a bore given in polar form, solved until converged.

    corners : two or three angles, increasing, between which the profile is smooth.
    crowded : whether elements crowd at the second of them.
    """

    def solve(n: int) -> OpenSection:
        grids = []
        for low, high in pairwise(corners):
            share = graded(n, 2.0)
            if low == corners[0]:
                share = crowded_at_one(n, 2.0) if crowded else graded(n, 1.0)
            theta = low + (high - low) * share
            # a corner belongs to both of its sides: take each profile from inside
            inner = profile(np.clip(theta, low + 1e-13, high - 1e-13))
            grids.append(between(inner, bore(theta), theta, graded(n, 1.5)))

        def on(curve: Callable[[np.ndarray], np.ndarray]) -> Wall:
            def wall(x: np.ndarray, y: np.ndarray) -> np.ndarray:
                return np.abs(np.hypot(x, y) - curve(np.arctan2(y, x))) < 1e-8

            return wall

        return open_section(grids, insert=on(profile), bore=on(bore), copies=copies)

    return refined(solve)


def grooved_slab(radius: float, gap: float, *, reach: float) -> OpenSection:
    """A slab of a thickness, with a half-round groove in one wall; `reach` to either side."""

    def solve(n: int) -> OpenSection:
        radii = radius * crowded_at_one(n, 3.0)
        turns = -0.5 * np.pi * graded(n, 3.0)[::-1]
        beyond = radius + (reach - radius) * graded(2 * n, 3.0)[1:]
        x, y = np.meshgrid(np.concatenate([radii, beyond]), gap * graded(n, 2.0), indexing="ij")

        def grooved(x: np.ndarray, y: np.ndarray) -> np.ndarray:
            rim = np.abs(np.hypot(x, y) - radius) < 1e-8
            return (np.abs(y) < 1e-8) & (x > radius - 1e-8) | (y < 1e-8) & rim

        return open_section(
            [fan(radii, turns), (x, y)],
            insert=lambda _, y: np.abs(y - gap) < 1e-8,
            bore=grooved,
            copies=2,
        )

    return refined(solve)


def fluted_ring(radius: float, flute: float, *, flutes: int, gap: float) -> OpenSection:
    """A round insert with half-round flutes centred on its rim, in a round bore."""
    lip = np.arccos(-flute / (2.0 * radius))
    half = 2.0 * np.arcsin(flute / (2.0 * radius))

    def solve(n: int) -> OpenSection:
        radii = flute * crowded_at_one(n, 3.0)
        x, y = fan(radii, lip + (np.pi - lip) * graded(n, 3.0))
        rim = half + (np.pi / flutes - half) * graded(2 * n, 3.0)[1:]
        floor_x = np.concatenate([radius + radii * np.cos(lip), radius * np.cos(rim)])
        floor_y = np.concatenate([radii * np.sin(lip), radius * np.sin(rim)])
        distance = np.hypot(floor_x, floor_y)
        bore = np.full_like(distance, radius + gap)
        land = between(distance, bore, np.arctan2(floor_y, floor_x), graded(n, 2.0))

        def insert(x: np.ndarray, y: np.ndarray) -> np.ndarray:
            r = np.hypot(x, y)
            hollow = (np.abs(np.hypot(x - radius, y) - flute) < 1e-8) & (r < radius + 1e-8)
            return hollow | (np.abs(r - radius) < 1e-8) & (np.arctan2(y, x) > half - 1e-9)

        return open_section(
            [(radius + x, y), land],
            insert=insert,
            bore=lambda x, y: np.abs(np.hypot(x, y) - radius - gap) < 1e-8,
            copies=2 * flutes,
        )

    return refined(solve)
