"""Where single rays first leave the material: exact, for a few rays at a time."""

from __future__ import annotations

import numpy as np

from mouldgen.solid.mesh import Floats, Integers
from mouldgen.solid.surface import Surface

_OFF_MM = 1e-5  # a ray starts that far inside, so that it does not meet its own face
_AT_ONCE = 2_000_000  # pairs of ray and triangle looked at together


def leaves_at(
    surface: Surface, start: Floats, way: Floats, *, reach_mm: float
) -> tuple[Floats, Integers]:
    """How far each ray runs before it meets a face from inside, and which face.

    surface : faces and edges of a closed mesh.
    start : inside the material or on its surface (k, 3) [mm].
    way : of length one, pointing into the material (k, 3).
    reach_mm : how far to look [mm].

    Returns the distance [mm], infinite beyond `reach_mm`, and the face, -1 for none.  A ray
    whose first face is met from outside did not start in material: its distance is 0.
    """
    low, high = surface.boxes
    distance, face = np.full(len(start), np.inf), np.full(len(start), -1)
    for first in range(0, len(start), max(1, _AT_ONCE // low.shape[1])):
        some = slice(first, first + max(1, _AT_ONCE // low.shape[1]))
        end = start[some] + reach_mm * way[some]
        below, above = np.minimum(start[some], end), np.maximum(start[some], end)
        near = np.ones((len(end), low.shape[1]), bool)
        for axis in range(3):
            near &= low[axis] <= above[:, axis, None] + _OFF_MM
            near &= high[axis] >= below[:, axis, None] - _OFF_MM
        ray, triangle = np.nonzero(near)
        far, leaving = _meet(surface, start[some][ray], way[some][ray], triangle)
        far[far > reach_mm] = np.inf
        order = np.lexsort((far, ray))
        nearest = order[np.flatnonzero(np.diff(ray[order], prepend=-1))]
        hit = nearest[np.isfinite(far[nearest])]
        distance[first + ray[hit]] = np.where(leaving[hit], far[hit], 0.0)
        face[first + ray[hit]] = triangle[hit]
    return distance, face


def _meet(
    surface: Surface, start: Floats, way: Floats, triangle: Integers
) -> tuple[Floats, Integers]:
    """Distance to each triangle, infinite for a miss, and whether the ray goes out through it.

    Moller and Trumbore, Journal of Graphics Tools 2(1), 1997.
    """
    a, b, c = (surface.corners[corner] for corner in surface.mesh.triangles[triangle].T)
    one, other = b - a, c - a
    across = np.cross(way, other)
    determinant = np.einsum("ij,ij->i", one, across)
    offset = start - a
    turned = np.cross(offset, one)
    with np.errstate(divide="ignore", invalid="ignore"):
        u = np.einsum("ij,ij->i", offset, across) / determinant
        v = np.einsum("ij,ij->i", way, turned) / determinant
        far = np.einsum("ij,ij->i", other, turned) / determinant
        slack = 1e-9
        inside = (u >= -slack) & (v >= -slack) & (u + v <= 1.0 + slack) & (far > _OFF_MM)
    return np.where(inside, far, np.inf), determinant < 0.0
