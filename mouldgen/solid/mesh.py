"""The mesh that travels: read-only arrays on a grid that float32 holds exactly.

Corners are rounded once to multiples of 2**-14 mm (0.06 micrometre).  Up to 1024 mm from the
origin float32 holds every such multiple exactly, so a mesh moved by multiples of the grid or
turned by quarter turns is the same mesh to the last bit, and what a bed file holds is as
closed as the part it repeats.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from mouldgen.errors import KernelError

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

Floats = NDArray[np.float64]
Integers = NDArray[np.int64]

GRID_MM = 2.0**-14
REACH_MM = 1024.0


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


def canonical(vertices: ArrayLike, triangles: ArrayLike) -> Mesh:
    """Snap to the grid, weld, drop what collapsed, and order corners and triangles.

    vertices : (n, 3) [mm].
    triangles : (m, 3) corner indices.

    Raises KernelError where a corner lies beyond the reach of the grid.
    """
    corners = np.asarray(vertices, np.float64)
    _within_reach(corners)
    steps = np.round(corners / GRID_MM).astype(np.int64)
    order = np.lexsort((steps[:, 2], steps[:, 1], steps[:, 0]))
    ordered = steps[order]
    new = np.ones(len(ordered), bool)
    new[1:] = (ordered[1:] != ordered[:-1]).any(axis=1)
    name = np.empty(len(steps), np.int64)
    name[order] = np.cumsum(new) - 1
    faces = name[np.asarray(triangles, np.int64)]
    faces = _without_collapsed(faces)
    # numpy's own unique would load its masked arrays, six milliseconds of every start.
    used = np.zeros(int(new.sum()), bool)
    used[faces] = True
    corners_kept = (ordered[new][used] * GRID_MM).astype(np.float32)
    faces = (np.cumsum(used) - 1)[faces]
    faces = _smallest_first(faces)
    faces = faces[np.lexsort((faces[:, 2], faces[:, 1], faces[:, 0]))]
    return Mesh(np.ascontiguousarray(corners_kept), np.ascontiguousarray(faces, np.int32))


def _without_collapsed(faces: Integers) -> Integers:
    """Drop triangles that lost a corner, and pairs that fell face to face."""
    a, b, c = faces.T
    faces = faces[(a != b) & (b != c) & (c != a)]
    key = np.sort(faces, axis=1)
    order = np.lexsort((key[:, 2], key[:, 1], key[:, 0]))
    twin = (key[order][1:] == key[order][:-1]).all(axis=1)
    if not twin.any():
        return faces
    lone = np.ones(len(faces), bool)
    lone[order[1:][twin]] = False
    lone[order[:-1][twin]] = False
    return faces[lone]


def _smallest_first(faces: Integers) -> Integers:
    start = faces.argmin(axis=1)
    return np.take_along_axis(faces, (start[:, None] + np.arange(3)) % 3, axis=1)


def _within_reach(corners: Floats) -> None:
    if not np.isfinite(corners).all() or (np.abs(corners) >= REACH_MM).any():
        raise KernelError(f"a corner lies {REACH_MM:g} mm or more from the origin")
