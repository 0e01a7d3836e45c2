"""The mesh that travels: read-only arrays on a grid that float32 holds exactly.

Corners are rounded once to multiples of 2**-14 mm (0.06 micrometre).  Up to 1024 mm from the
origin float32 holds every such multiple exactly, so a mesh moved by multiples of the grid or
turned by quarter turns is the same mesh to the last bit, and what a bed file holds is as
closed as the part it repeats.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from mouldgen.errors import KernelError

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

Floats = NDArray[np.float64]
Integers = NDArray[np.int64]

GRID_MM = 2.0**-14
REACH_MM = 1024.0
_NUMBERS = 2**63  # that a signed number of 64 bits counts from zero


@dataclass(frozen=True, eq=False)
class Mesh:
    """A triangle mesh.

    vertices : (n, 3) float32, read-only [mm].
    triangles : (m, 3) int32, read-only, wound counter-clockwise seen from outside.
    """

    vertices: NDArray[np.float32]
    triangles: NDArray[np.int32]

    def __post_init__(self) -> None:
        self.vertices.setflags(write=False)
        self.triangles.setflags(write=False)

    def same_as(self, other: Mesh) -> bool:
        """Whether both hold the same numbers in the same order."""
        return np.array_equal(self.vertices, other.vertices) and np.array_equal(
            self.triangles, other.triangles
        )

    @property
    def corners(self) -> NDArray[np.float32]:
        """The corners of each triangle, (m, 3, 3) float32 [mm]."""
        # `take` is several times faster than an array as index.
        return self.vertices.take(self.triangles, axis=0)

    @cached_property
    def volume_mm3(self) -> float:
        """Signed volume by the divergence theorem [mm3]; meaningful for a closed mesh."""
        corners = self.vertices.astype(np.float64)
        # From a corner of its own box, so that a far-off mesh loses no digits.
        a, b, c = (corners[self.triangles[:, i]] - corners[0] for i in range(3))
        return float(np.einsum("ij,ij->i", a, np.cross(b, c)).sum() / 6.0)

    @cached_property
    def bounds(self) -> tuple[tuple[float, ...], tuple[float, ...]]:
        """Lowest and highest x, y, z [mm]."""
        low, high = self.vertices.min(axis=0), self.vertices.max(axis=0)
        return tuple(map(float, low)), tuple(map(float, high))

    def moved(self, x: float, y: float, z: float = 0.0) -> Mesh:
        """The mesh moved by multiples of the grid, exactly [mm].

        Raises KernelError where the move is off the grid or leaves the reach of float32.
        """
        shift = np.array([x, y, z])
        if (np.round(shift / GRID_MM) * GRID_MM != shift).any():
            raise KernelError(f"a move of {shift.tolist()} mm is off the grid of {GRID_MM} mm")
        moved = self.vertices.astype(np.float64) + shift
        _within_reach(moved)
        return Mesh(moved.astype(np.float32), self.triangles)

    def turned_over(self) -> Mesh:
        """The mesh after half a turn about the x axis, exactly."""
        flip = np.array([1.0, -1.0, -1.0], np.float32)
        # Adding zero turns -0.0 into 0.0, which a file would show.
        return Mesh(self.vertices * flip + np.float32(0.0), self.triangles)

    def tipped(self) -> Mesh:
        """The mesh after a quarter turn about the x axis that lays its +z along -y, exactly."""
        x, y, z = self.vertices.T
        tipped = np.stack([x, -z, y], axis=1) + np.float32(0.0)
        return Mesh(np.ascontiguousarray(tipped), self.triangles)

    def turned_quarter(self) -> Mesh:
        """The mesh after a quarter turn about the z axis, counter-clockwise from above, exactly."""
        x, y, z = self.vertices.T
        turned = np.stack([-y, x, z], axis=1) + np.float32(0.0)
        return Mesh(np.ascontiguousarray(turned), self.triangles)


def canonical(vertices: ArrayLike, triangles: ArrayLike) -> Mesh:
    """Snap to the grid, weld, drop what collapsed, and order corners and triangles.

    vertices : (n, 3) [mm].
    triangles : (m, 3) corner indices.

    Raises KernelError where a corner lies beyond the reach of the grid.
    """
    corners = np.asarray(vertices, np.float64)
    _within_reach(corners)
    steps = np.round(corners / GRID_MM).astype(np.int64)
    order = _corner_order(steps)
    ordered = steps[order]
    new = np.ones(len(ordered), bool)
    new[1:] = differ(ordered)
    name = np.empty(len(steps), np.int64)
    name[order] = np.cumsum(new) - 1
    places = (ordered[new] * GRID_MM).astype(np.float32)
    return in_order(places, name[np.asarray(triangles, np.int64)])


def in_order(vertices: NDArray[np.float32], triangles: Integers) -> Mesh:
    """Drop triangles that collapsed, order the others, and leave out corners that none uses.

    vertices : (n, 3) on the grid, in order, none twice [mm].
    triangles : (m, 3) corner indices.
    """
    faces = _lone(_smallest_first(triangles))
    # numpy's own unique would load its masked arrays, six milliseconds of every start.
    used = np.zeros(len(vertices), bool)
    used[faces] = True
    number = np.cumsum(used, dtype=np.int32) - np.int32(1)
    return Mesh(vertices[used], number.take(faces.take(_sorting(faces), axis=0)))


def differ(rows: NDArray[Any]) -> NDArray[np.bool_]:
    """Which rows of three differ from the one before them, from the second on (n - 1,)."""
    x, y, z = (column[1:] != column[:-1] for column in rows.T)  # quicker than any() along rows
    changed: NDArray[np.bool_] = x | y | z
    return changed


def _smallest_first(faces: Integers) -> Integers:
    """Turn each triangle so that its smallest corner leads; drop those that lost a corner."""
    a, b, c = faces[_three_corners(*faces.T)].T
    b_leads, c_leads = (b < a) & (b < c), (c < a) & (c < b)
    turned = (
        np.where(b_leads, b, np.where(c_leads, c, a)),
        np.where(b_leads, c, np.where(c_leads, a, b)),
        np.where(b_leads, a, np.where(c_leads, b, c)),
    )
    return np.stack(turned, axis=1)


def _three_corners(a: Integers, b: Integers, c: Integers) -> NDArray[np.bool_]:
    three: NDArray[np.bool_] = (a != b) & (b != c) & (c != a)
    return three


def _lone(faces: Integers) -> Integers:
    """Drop pairs of triangles that fell face to face; each starts at its smallest corner."""
    a, b, c = faces.T
    key = _one_number(a, np.minimum(b, c), np.maximum(b, c))
    # Sorting numbers is several times quicker than finding their order, which few solids need.
    if key is not None:
        ordered = np.sort(key)
        if not (ordered[1:] == ordered[:-1]).any():
            return faces
    corners = np.stack([a, np.minimum(b, c), np.maximum(b, c)], axis=1)
    order = _sorting(corners)
    twin = ~differ(corners[order])
    lone = np.ones(len(faces), bool)
    lone[order[1:][twin]] = False
    lone[order[:-1][twin]] = False
    return faces[lone]


def _sorting(faces: Integers) -> Integers:
    """The order that sorts triangles by their corners, the first one first."""
    a, b, c = faces.T
    key = _one_number(a, b, c)
    return np.argsort(key) if key is not None else np.lexsort((c, b, a))


def _corner_order(steps: Integers) -> Integers:
    """The order that sorts places by x, then y, then z."""
    x, y, z = steps.T if len(steps) else np.zeros((3, 0), np.int64)
    key = _one_number(*(column - column.min(initial=0) for column in (x, y, z)))
    return np.argsort(key) if key is not None else np.lexsort((z, y, x))


def _one_number(a: Integers, b: Integers, c: Integers) -> Integers | None:
    """Three counts from zero as one number that sorts alike, where 63 bits hold it."""
    most_b, most_c = int(b.max(initial=0)) + 1, int(c.max(initial=0)) + 1
    if (int(a.max(initial=0)) + 1) * most_b * most_c > _NUMBERS:
        return None
    key: Integers = (a * most_b + b) * most_c + c
    return key


def _within_reach(corners: Floats) -> None:
    if not np.isfinite(corners).all() or (np.abs(corners) >= REACH_MM).any():
        raise KernelError(f"a corner lies {REACH_MM:g} mm or more from the origin")
