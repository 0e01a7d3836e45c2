"""The edges of a mesh that a picture draws: sharp ones, open ones, and the outline."""

from __future__ import annotations

import math

import numpy as np

from mouldgen.sheet.raster import Floats, Ints

_SHARP = math.cos(math.radians(25.0))


def drawn_edges(triangles: Ints, normals: Floats) -> Ints:
    """The edges to draw of meshes whose triangles share their vertices, (k, 2) by index.

    triangles : (m, 3) by index.
    normals : (m, 3) unit vectors; the third component points to the viewer.

    An edge is drawn where its two faces turn by more than 25 degrees, where one is seen from
    in front and the other from behind, and where it has not exactly two; never where both are
    seen from behind.
    """
    pairs, faces, loose = _paired(triangles)
    one, other = normals[faces[:, 0]], normals[faces[:, 1]]
    turned = np.einsum("ij,ij->i", one, other) < _SHARP
    a, b = one[:, 2] > 0.0, other[:, 2] > 0.0
    return np.concatenate((pairs[(a & b & turned) | (a != b)], loose))


def _paired(triangles: Ints) -> tuple[Ints, Ints, Ints]:
    """Edges of two faces (k, 2), those faces (k, 2), and all other edges (r, 2)."""
    ends = np.sort(triangles[:, [0, 1, 1, 2, 2, 0]].reshape(-1, 2), axis=1)
    key = ends[:, 0] * (int(triangles.max()) + 1) + ends[:, 1]
    order = np.argsort(key, kind="stable")
    starts = np.flatnonzero(np.diff(key[order], prepend=-1))
    count = np.diff(starts, append=len(order))
    two = starts[count == 2]
    faces = np.column_stack((order[two], order[two + 1])) // 3
    return ends[order[two]], faces, ends[order[starts[count != 2]]]
