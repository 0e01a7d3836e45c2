"""Triangles that snapping left without area, turned away one by one."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from mouldgen.solid.mesh import Floats, Integers, Mesh, in_order
from mouldgen.solid.topology import normals_of

MOST = 64  # beyond it the kernel is quicker


def turned_away(mesh: Mesh) -> Mesh:
    """The same surface without its flat triangles, where turning their edges gets rid of them.

    mesh : in canonical order, in which the result is too.

    A flat triangle lies along the long edge of a neighbour.  That edge is turned: the two become
    two that share the corner in the middle.  No corner moves, so that surface and volume stay
    what they are.  Whether the result is free of flats and closed is for the caller to see.
    """
    corners = mesh.vertices.astype(np.float64)
    faces = mesh.triangles.astype(np.int64)
    flat = _flat(corners, faces)
    if not 0 < flat.sum() <= MOST:
        return mesh
    for _ in range(MOST):
        at = np.flatnonzero(flat)
        if not len(at):
            break
        turned = _turn(corners, faces, int(at[0]))
        if not turned:
            break
        flat[turned] = _flat(corners, faces[turned])
    return in_order(mesh.vertices, faces)


def _flat(corners: Floats, faces: Integers) -> NDArray[np.bool_]:
    """Which triangles have no area (m,)."""
    x, y, z = normals_of(corners, faces)
    return np.asarray((x == 0.0) & (y == 0.0) & (z == 0.0))


def _turn(corners: Floats, faces: Integers, flat: int) -> list[int]:
    """Turn the long edge of a flat triangle, in place; the two that changed, none where it has no
    one neighbour."""
    around = faces[flat]
    sides = np.linalg.norm(corners[around] - corners[np.roll(around, -1)], axis=1)
    i, j, k = np.roll(around, -int(np.argmax(sides)))
    beyond, place = np.nonzero((faces == j) & (np.roll(faces, -1, axis=1) == i))
    if len(beyond) != 1:
        return []
    far = faces[beyond[0], (place[0] + 2) % 3]
    faces[flat], faces[beyond[0]] = (k, i, far), (far, j, k)
    return [flat, int(beyond[0])]
