"""Where a surface passes through itself: what no count of edges can tell.

A grid finds the pairs of triangles whose boxes meet; in each pair every edge of one is tried
against the other, in double precision.  Triangles that share an edge are not tried, and of
two that share a corner only what lies away from it, so that a sound surface gives none.  Faces
that lie in one plane on top of each other are not found.

The work is bounded by a moment handed in; what was not reached by then is said.
"""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from mouldgen.solid.mesh import Floats, Integers, Mesh

ENTRIES = 8  # cells a triangle may lie in on average before the cells are made larger
MOST_CELLS = 2**20  # along one axis, so that a cell's number fits 63 bits
PORTION = 500_000  # pairs looked at between two looks at the clock
# How far an edge must reach through a triangle to count, as a share of its own length; the
# corners of a file, in float32, are coarser than that where they merely touch.
THROUGH = 1e-6
MOST_FACES = 3_000_000  # beyond that the grid alone takes longer, and more memory, than there is
TOLD = 1000  # places that are kept


@dataclass(frozen=True, eq=False)
class Crossings:
    """What was found.

    count : pairs of triangles that pass through each other.
    faces : triangles in such pairs.
    places : where, for the first thousand (k, 3) [mm].
    finished : whether everything was looked at.
    share : of the pairs of neighbours that was, 0 to 1.
    """

    count: int
    faces: int
    places: Floats
    finished: bool
    share: float


def crossings_of(mesh: Mesh, *, until: float | None = None) -> Crossings:
    """Pairs of triangles that pass through each other.

    mesh : any mesh in which corners in one place are one corner.
    until : the moment of `time.monotonic` at which to stop [s]; None to finish.  With one, a
        mesh of over three million triangles is not begun.
    """
    if until is not None and len(mesh.triangles) > MOST_FACES:
        return Crossings(0, 0, np.empty((0, 3)), finished=False, share=0.0)
    origin = mesh.vertices[0].astype(np.float64)
    corners = mesh.corners.astype(np.float64) - origin
    search = _Search(corners)
    firsts, seconds, places = [], [], []
    seen = 0
    for a, b, looked_at in search.pairs():
        if until is not None and time.monotonic() >= until:
            break
        through, at = _through(corners, mesh.triangles, a, b)
        firsts.append(a[through])
        seconds.append(b[through])
        places.append(at)
        seen += looked_at
    faces = np.unique(np.concatenate([*firsts, *seconds])) if firsts else np.empty(0)
    where = np.concatenate(places) if places else np.empty((0, 3))
    finished = seen == search.total
    return Crossings(
        count=sum(map(len, firsts)),
        faces=len(faces),
        places=where[:TOLD] + origin,
        finished=finished,
        share=1.0 if finished else seen / search.total,
    )


class _Search:
    """Triangles in the cells of a grid.

    total : pairs of triangles that share a cell, one that shares several counted in each.
    """

    def __init__(self, corners: Floats) -> None:
        self.low, self.high = corners.min(axis=1), corners.max(axis=1)
        self.origin = self.low.min(axis=0)
        span = self.high - self.low
        extent = float((self.high.max(axis=0) - self.origin).max())
        self.size = max(float(span.max(axis=1).mean()), extent / MOST_CELLS, 1e-9)
        while True:
            first, last = self._cell(self.low), self._cell(self.high)
            many = (last - first + 1).prod(axis=1)
            if many.sum() <= ENTRIES * len(corners):
                break
            self.size *= 1.3
        # Every cell of every triangle, then those of one cell together.
        face = np.repeat(np.arange(len(corners)), many)
        number = np.arange(len(face)) - np.repeat(np.cumsum(many) - many, many)
        wide = (last - first + 1)[face]
        z, rest = number % wide[:, 2], number // wide[:, 2]
        step = np.column_stack([rest // wide[:, 1], rest % wide[:, 1], z])
        key = self._key(first[face] + step)
        order = np.argsort(key, kind="stable")
        self.face, self.key = face[order], key[order]
        starts = np.flatnonzero(np.diff(self.key, prepend=-1))
        counts = np.diff(starts, append=len(self.key))
        # How many entries of the same cell follow each entry.
        self.later = np.repeat(starts + counts, counts) - np.arange(len(self.key)) - 1
        self.total = int(self.later.sum())

    def _cell(self, points: Floats) -> Integers:
        return np.asarray(np.floor((points - self.origin) / self.size), np.int64)

    def _key(self, cells: Integers) -> Integers:
        key: Integers = (cells[:, 0] * MOST_CELLS + cells[:, 1]) * MOST_CELLS + cells[:, 2]
        return key

    def pairs(self) -> Iterator[tuple[Integers, Integers, int]]:
        """Pairs whose boxes meet, in portions, each with how many were looked at for it."""
        ends = np.cumsum(self.later)
        at = 0
        while at < len(self.later):
            done = int(ends[at - 1]) if at else 0
            to = max(at + 1, int(np.searchsorted(ends, done + PORTION, side="right")))
            later = self.later[at:to]
            one = np.repeat(np.arange(at, to), later)
            ahead = np.arange(len(one)) - np.repeat(np.cumsum(later) - later, later) + 1
            a, b = self.face[one], self.face[one + ahead]
            shared = np.maximum(self.low[a], self.low[b])
            meet = (shared <= np.minimum(self.high[a], self.high[b])).all(axis=1)
            a, b, shared, one = a[meet], b[meet], shared[meet], one[meet]
            # In several cells, a pair counts in the one that holds its boxes' first corner.
            own = self._key(self._cell(shared)) == self.key[one]
            yield a[own], b[own], len(ahead)
            at = to


def _through(
    corners: Floats, triangles: NDArray[np.int32], a: Integers, b: Integers
) -> tuple[NDArray[np.bool_], Floats]:
    """Which pairs pass through each other (n,), and where they do (k, 3)."""
    common = triangles[a][:, :, None] == triangles[b][:, None, :]
    few = common.any(axis=2).sum(axis=1) < 2
    # A plane with all of the other triangle on one side of it parts them.
    for one, other in ((a, b), (b, a)):
        few[few] = ~_one_side(corners[one[few]], corners[other[few]])
    at = np.flatnonzero(few)
    hit = np.zeros(len(a), bool)
    places = np.zeros((len(a), 3))
    for one, other in ((a[at], b[at]), (b[at], a[at])):
        same = triangles[one][:, :, None] == triangles[other][:, None, :]
        mine = same.any(axis=2)  # corners of `one` that `other` has too
        for k in range(3):
            start, end = corners[one, k], corners[one, (k + 1) % 3]
            pierced, where = _pierced(corners[other], start, end)
            # An edge from a shared corner starts in the other's plane and cannot pierce it.
            pierced &= ~(mine[:, k] | mine[:, (k + 1) % 3])
            hit[at[pierced]] = True
            places[at[pierced]] = where[pierced]
    return hit, places[hit]


def _one_side(plane: Floats, points: Floats) -> NDArray[np.bool_]:
    normal = np.cross(plane[:, 1] - plane[:, 0], plane[:, 2] - plane[:, 0])
    side = np.einsum("nij,nj->ni", points - plane[:, :1], normal)
    one_side: NDArray[np.bool_] = (side > 0).all(axis=1) | (side < 0).all(axis=1)
    return one_side


def _pierced(triangle: Floats, start: Floats, end: Floats) -> tuple[NDArray[np.bool_], Floats]:
    """Whether each segment passes through the inside of its triangle, and where."""
    a, b, c = triangle[:, 0], triangle[:, 1], triangle[:, 2]
    normal = np.cross(b - a, c - a)
    along = end - start
    from_start = np.einsum("ij,ij->i", start - a, normal)
    from_end = np.einsum("ij,ij->i", end - a, normal)
    slope = from_end - from_start
    share = -from_start / np.where(slope == 0.0, 1.0, slope)
    # Both ends clear of the plane, or they only touch it.
    clear = THROUGH * np.linalg.norm(along, axis=1) * np.linalg.norm(normal, axis=1)
    crosses = (from_start * from_end < 0) & (
        np.minimum(np.abs(from_start), np.abs(from_end)) > clear
    )
    where = start + share[:, None] * along
    square = np.einsum("ij,ij->i", normal, normal)
    for one, other in ((a, b), (b, c), (c, a)):
        inner = np.einsum("ij,ij->i", np.cross(other - one, where - one), normal)
        crosses &= inner > THROUGH * square
    return crosses, where
