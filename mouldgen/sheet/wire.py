"""The edges of a mesh that a picture draws: sharp ones, open ones, and the outline."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from mouldgen.sheet.raster import Floats, Ints

_SHARP = math.cos(math.radians(25.0))
_STEEP = math.cos(math.radians(75.0))  # from here on an edge is one, whatever lies beside it
_BACK = 0.55  # a V-groove of equal sides has half of its turn at either rim


def drawn_edges(triangles: Ints, normals: Floats, *, vertices: Floats | None = None) -> Ints:
    """The edges to draw of meshes whose triangles share their vertices, (k, 2) by index.

    triangles : (m, 3) by index.
    normals : (m, 3) unit vectors; the third component points to the viewer.
    vertices : (n, 3) in the same directions, to tell warped faces by; without them their
        zigzag is drawn.  A face that twists, cut into strips, turns out and back from one
        triangle to the next by as much as an edge does, however many strips there are.

    An edge is drawn where its two faces turn by more than 25 degrees, where one is seen from
    in front and the other from behind, and where it has not exactly two; never where both are
    seen from behind.
    """
    ends, sides, loose = _paired(triangles)
    one, other = normals[sides[:, 0] // 3], normals[sides[:, 1] // 3]
    cosine = np.einsum("ij,ij->i", one, other)
    turned = cosine < _SHARP
    if vertices is not None:
        turned &= ~_zigzags(triangles, normals, vertices, sides=sides, cosine=cosine)
    a, b = one[:, 2] > 0.0, other[:, 2] > 0.0
    return np.concatenate((ends[(a & b & turned) | (a != b)], loose))


def sharp_edges(triangles: Ints, normals: Floats, *, vertices: Floats) -> Ints:
    """The edges of meshes that are seen from anywhere, (k, 2) by index.

    triangles : (m, 3) by index.
    normals : (m, 3) unit vectors.
    vertices : (n, 3), to tell warped faces by, as `drawn_edges` does.

    An edge is one where its two faces turn by more than 25 degrees, and where it has not exactly
    two faces.
    """
    ends, sides, loose = _paired(triangles)
    cosine = np.einsum("ij,ij->i", normals[sides[:, 0] // 3], normals[sides[:, 1] // 3])
    turned = np.flatnonzero(cosine < _SHARP)
    # Few edges turn; only they, and the other sides of their faces, are looked at further.
    near = np.zeros(len(triangles), bool)
    near[sides[turned] // 3] = True
    at = np.flatnonzero(near[sides[:, 0] // 3] | near[sides[:, 1] // 3])
    zigzag = np.zeros(len(sides), bool)
    zigzag[at] = _zigzags(triangles, normals, vertices, sides=sides[at], cosine=cosine[at])
    return np.concatenate((ends[turned[~zigzag[turned]]], loose))


def _zigzags(
    triangles: Ints, normals: Floats, vertices: Floats, *, sides: Ints, cosine: Floats
) -> NDArray[np.bool_]:
    """Which edges lie inside a warped face (k,).

    There both triangles turn back across another of their own sides.  Along an edge of the
    shape they do not: a step or a groove is two triangles wide at least, and each has one rim.
    """
    one, other = sides.T
    start = triangles[one // 3, one % 3]
    tip = triangles[other // 3, (other + 2) % 3]
    hollow = np.einsum("ij,ij->i", normals[one // 3], vertices[tip] - vertices[start]) > 0.0
    turn = np.arccos(np.clip(cosine, -1.0, 1.0)) * np.where(hollow, -1.0, 1.0)
    across = np.zeros(3 * len(triangles))
    across[one] = across[other] = np.where(cosine > _STEEP, turn, 0.0)
    back = np.full(len(turn), np.inf)
    for side in (one, other):
        first, second = (across[side // 3 * 3 + (side + step) % 3] for step in (1, 2))
        most = np.maximum(-np.sign(turn) * first, -np.sign(turn) * second)
        back = np.minimum(back, most)
    zigzag: NDArray[np.bool_] = (cosine > _STEEP) & (back > _BACK * np.abs(turn))
    return zigzag


def _paired(triangles: Ints) -> tuple[Ints, Ints, Ints]:
    """Edges of two faces (k, 2), their two sides (k, 2), and all other edges (r, 2).

    Side ``3 f + i`` of face f runs from its corner i to the next.
    """
    ends = np.sort(triangles[:, [0, 1, 1, 2, 2, 0]].reshape(-1, 2), axis=1)
    key = ends[:, 0] * (int(triangles.max()) + 1) + ends[:, 1]
    order = np.argsort(key, kind="stable")
    starts = np.flatnonzero(np.diff(key[order], prepend=-1))
    count = np.diff(starts, append=len(order))
    two = starts[count == 2]
    sides = np.column_stack((order[two], order[two + 1]))
    return ends[order[two]], sides, ends[order[starts[count != 2]]]
