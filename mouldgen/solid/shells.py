"""The pieces of a surface: how large each is, and which lies inside which."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from mouldgen.solid.sides import Edges, together

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from mouldgen.solid.mesh import Floats, Integers

MOST_LOOKED_AT = 400  # pieces for which it is asked inside which other they lie
PLACES = 4  # of a piece that must all lie inside
PORTION = 50_000  # triangles looked at at once
# Rays along the axes, moved a little off so that none runs through an edge of a tidy mesh.
_OFF = np.array([1.234e-5, 2.718e-5, 0.577e-5])


@dataclass(frozen=True, eq=False)
class Shells:
    """The pieces of a surface, the largest by area first.

    of_face : the number of each face's piece (m,).
    faces : how many faces each has (s,).
    area_mm2 : of each (s,) [mm2].
    volume_mm3 : signed, of each (s,) [mm3]; of an open one a rough idea only.
    low, high : their bounds (s, 3) [mm].
    inside : whether each lies inside a larger one (s,); only the largest few hundred are
        looked at, the others count as outside.
    """

    of_face: Integers
    faces: Integers
    area_mm2: Floats
    volume_mm3: Floats
    low: Floats
    high: Floats
    inside: NDArray[np.bool_]

    @property
    def count(self) -> int:
        """How many pieces there are."""
        return len(self.faces)


def shells_of(corners: Floats, edges: Edges) -> Shells:
    """The pieces that hang together over edges.

    corners : of each triangle (m, 3, 3) [mm].
    edges : of the triangles.
    """
    count = len(corners)
    face = edges.sides // 3
    follows = np.ones(len(face), bool)
    follows[edges.first] = False
    later = np.flatnonzero(follows)
    piece = together(count, face[later - 1], face[later])
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    area = np.bincount(piece, np.linalg.norm(normal, axis=1)) / 2.0
    order = np.argsort(-area, kind="stable")
    rank = np.empty_like(order)
    rank[order] = np.arange(len(order))
    piece = rank[piece]
    pieces = len(order)
    low, high = np.full((pieces, 3), np.inf), np.full((pieces, 3), -np.inf)
    np.minimum.at(low, piece, corners.min(axis=1))
    np.maximum.at(high, piece, corners.max(axis=1))
    # From the middle of each piece, so that an open one far from the origin is not measured
    # from there.
    from_middle = corners[:, 0] - ((low + high) / 2.0)[piece]
    volume = np.bincount(piece, np.einsum("ij,ij->i", from_middle, normal), minlength=pieces) / 6.0
    return Shells(
        of_face=piece,
        faces=np.bincount(piece, minlength=pieces),
        area_mm2=area[order],
        volume_mm3=volume,
        low=low,
        high=high,
        inside=_inside(corners, piece, low, high),
    )


def _inside(corners: Floats, piece: Integers, low: Floats, high: Floats) -> NDArray[np.bool_]:
    found = np.zeros(len(low), bool)
    looked_at = min(len(low), MOST_LOOKED_AT)
    by_piece = np.argsort(piece, kind="stable")
    start = np.searchsorted(piece[by_piece], np.arange(len(low) + 1))
    for outer in range(looked_at - 1):
        within = (low[outer] < low[:looked_at]) & (high[:looked_at] < high[outer])
        later = np.flatnonzero(within.all(axis=1) & ~found[:looked_at])
        later = later[later > outer]
        if not len(later):
            continue
        points = []
        for number in later:
            own = by_piece[start[number] : start[number + 1]]
            spread = np.linspace(0, len(own) - 1, PLACES).astype(np.int64)
            points.append(corners[own[spread]].mean(axis=1))
        skin = corners[by_piece[start[outer] : start[outer + 1]]]
        found[later] = enclosed(skin, np.concatenate(points)).reshape(-1, PLACES).all(axis=1)
    return found


def enclosed(corners: Floats, points: Floats) -> NDArray[np.bool_]:
    """Whether a surface lies all round each point: four of six rays say so, as it may have holes.

    corners : of its triangles (m, 3, 3) [mm], wound either way.
    points : (n, 3) [mm].
    """
    points = points + float(np.abs(corners).max(initial=1.0)) * _OFF
    votes = np.zeros(len(points), np.int64)
    for axis in range(3):
        across = [a for a in range(3) if a != axis]
        order = np.argsort(points[:, across[0]], kind="stable")
        count = np.zeros((2, len(points)), np.int64)
        for part in np.array_split(corners, len(corners) // PORTION + 1):
            point, height = _hits(part[:, :, across], part[:, :, axis], points[order][:, across])
            point = order[point]
            up = (height > points[point, axis]).astype(np.int64)
            np.add.at(count, (up, point), 1)
        votes += (count % 2).sum(axis=0)  # a ray that starts inside leaves once more than it enters
    return votes > 3


def _hits(flat: Floats, heights: Floats, points: Floats) -> tuple[Integers, Floats]:
    """Where lines through some points, all along one axis, meet triangles.

    flat : the triangles seen along the axis (m, 3, 2).
    heights : of their corners along it (m, 3).
    points : seen along it (n, 2), sorted by the first number.

    Returns the point's number and the height of each meeting.
    """
    low, high = flat.min(axis=1), flat.max(axis=1)
    first = np.searchsorted(points[:, 0], low[:, 0])
    many = np.searchsorted(points[:, 0], high[:, 0]) - first
    face = np.repeat(np.arange(len(flat)), many)
    point = np.repeat(first - np.cumsum(many) + many, many) + np.arange(len(face))
    v = points[point, 1]
    near = (low[face, 1] < v) & (v < high[face, 1])
    face, point = face[near], point[near]
    u, v = np.moveaxis(flat[face] - points[point][:, None], 2, 0)
    # Shares of the triangle's corners in the place where the line meets its plane.
    ahead, after = [1, 2, 0], [2, 0, 1]
    share = u[:, ahead] * v[:, after] - u[:, after] * v[:, ahead]
    through = (share > 0).all(axis=1) | (share < 0).all(axis=1)
    share, face, point = share[through], face[through], point[through]
    return point, (share * heights[face]).sum(axis=1) / share.sum(axis=1)
