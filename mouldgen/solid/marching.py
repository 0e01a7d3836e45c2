"""A level surface of numbers on a grid, by marching tetrahedra.

Every cube of the grid is cut into the six tetrahedra round its long diagonal, all cubes alike,
so that neighbours agree on the diagonal of the face they share.  A tetrahedron has one way to
be cut for each pattern of corners inside, so the surface is closed and every edge of it has
two faces, whatever the numbers are; marching cubes have to resolve doubtful faces for that.

Source: Doi and Koide 1991, "An efficient method of triangulating equi-valued surfaces by
using tetrahedral cells" (from memory).
"""

from __future__ import annotations

from functools import lru_cache
from itertools import permutations
from typing import TYPE_CHECKING

import numpy as np

from mouldgen.errors import KernelError

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from mouldgen.solid.mesh import Floats, Integers

# How near to a grid point a corner may come, as a share of the edge: slivers would follow.
NEAREST = 0.02
_BITS = np.array([[c >> axis & 1 for axis in range(3)] for c in range(8)], float)

_Triangle = tuple[tuple[int, int], tuple[int, int], tuple[int, int]]


def level_surface(
    values: NDArray[np.float32], *, level: float, origin: Floats, cell_mm: float
) -> tuple[Floats, Integers]:
    """The surface where the values pass a level: corners (n, 3) [mm] and triangles (m, 3).

    values : (i, j, k), below the level inside.  Every value on the rim of the grid is above.
    level : of the surface, in the unit of the values.
    origin : place of the first grid point [mm].
    cell_mm : distance of two grid points [mm].

    The triangles are wound outward.  Raises KernelError where the surface would leave the grid.
    """
    inside = values < level
    rim = (inside[[0, -1]], inside[:, [0, -1]], inside[:, :, [0, -1]])
    if any(side.any() for side in rim):
        raise KernelError("a level surface leaves its grid")
    strides = np.array([inside.shape[1] * inside.shape[2], inside.shape[2], 1], np.int64)
    step = _BITS.astype(np.int64) @ strides  # from a cube's first corner to each of its eight
    cubes = _mixed(inside, strides)
    keys = _cut_edges(cubes, inside.ravel(), step)
    edges, triangles = np.unique(keys, return_inverse=True)
    base, way = np.divmod(edges, 8)
    flat = values.ravel()
    low, high = flat[base].astype(float), flat[base + step[way]].astype(float)
    share = np.clip((level - low) / (high - low), NEAREST, 1.0 - NEAREST)
    place = np.stack(np.unravel_index(base, inside.shape), axis=1).astype(float)
    corners = origin + cell_mm * (place + share[:, None] * _BITS[way])
    return corners, triangles.reshape(-1, 3)


def _mixed(inside: NDArray[np.bool_], strides: Integers) -> Integers:
    """Flat index of the first corner of each cube that is neither all inside nor all outside."""
    some = inside
    every = inside
    for axis in range(3):
        lower = tuple(slice(None, -1) if a == axis else slice(None) for a in range(3))
        upper = tuple(slice(1, None) if a == axis else slice(None) for a in range(3))
        some = some[lower] | some[upper]
        every = every[lower] & every[upper]
    return np.argwhere(some & ~every).astype(np.int64) @ strides


def _cut_edges(cubes: Integers, inside: NDArray[np.bool_], step: Integers) -> Integers:
    """The three cut edges of every triangle, in order (3 t,), as ``8 first corner + way``."""
    corner = np.stack([inside[cubes + step[c]] for c in range(8)])
    found = []
    for tetrahedron, cases in _table():
        code = sum(corner[c].astype(np.int8) << i for i, c in enumerate(tetrahedron))
        for pattern, triangles in cases:
            base = cubes[code == pattern]
            if len(base):
                cut = [
                    [8 * (base + step[low]) + way for low, way in triangle]
                    for triangle in triangles
                ]
                found.append(np.array(cut).transpose(2, 0, 1).ravel())
    return np.concatenate(found) if found else np.empty(0, np.int64)


@lru_cache(maxsize=1)
def _table() -> tuple[tuple[tuple[int, ...], tuple[tuple[int, tuple[_Triangle, ...]], ...]], ...]:
    """Of each tetrahedron its corners, and for each pattern inside the triangles that cut it."""
    made = []
    for order in permutations((1, 2, 4)):
        corners = (0, order[0], order[0] | order[1], 7)
        cases = tuple((pattern, _cut(corners, pattern)) for pattern in range(1, 15))
        made.append((corners, cases))
    return tuple(made)


def _cut(corners: tuple[int, ...], pattern: int) -> tuple[_Triangle, ...]:
    ins = [c for i, c in enumerate(corners) if pattern >> i & 1]
    outs = [c for i, c in enumerate(corners) if not pattern >> i & 1]
    if len(ins) == 2:
        ring = [(ins[0], outs[0]), (ins[0], outs[1]), (ins[1], outs[1]), (ins[1], outs[0])]
    else:
        ring = [(a, b) for a in ins for b in outs]
    middles = [(_BITS[a] + _BITS[b]) / 2.0 for a, b in ring]
    normal = np.cross(middles[1] - middles[0], middles[2] - middles[0])
    outward = _BITS[outs].mean(axis=0) - _BITS[ins].mean(axis=0)
    if normal @ outward < 0.0:
        ring.reverse()
    # Of two corners of a tetrahedron one holds the other's steps: the smaller number.
    keys = [(min(a, b), a ^ b) for a, b in ring]
    return tuple((keys[0], keys[i], keys[i + 1]) for i in range(1, len(keys) - 1))
