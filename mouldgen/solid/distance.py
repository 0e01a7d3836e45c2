"""How far a point lies from a surface, whatever state the surface is in.

The distance has no sign, so that holes, turned faces and loose triangles do not matter.  The
surface is covered with samples at most `spacing` apart and their nearest is looked up; that
is never below the true distance d, and above it by no more than ``spacing^2 / (4 d)``.

scipy is loaded when a cloud is made: nothing on the road from a plain job to its files comes
here.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from mouldgen.errors import ScanError

if TYPE_CHECKING:
    from mouldgen.solid.mesh import Floats, Integers

MOST_SAMPLES = 8_000_000  # about 1 GB with the tree over them
_ODD = np.uint64(0x9E3779B97F4A7C15)  # 2^64 over the golden ratio: products of it spread well


class Cloud:
    """A surface as samples, each with the face it lies on."""

    __slots__ = ("_corners", "_face", "_samples", "_tree")

    def __init__(self, corners: Floats, *, spacing_mm: float) -> None:
        """
        corners : of each triangle (m, 3, 3) [mm].
        spacing_mm : how far apart samples may lie on a face [mm].

        Raises ScanError where the surface is too large for so close a spacing.
        """
        from scipy.spatial import cKDTree

        self._corners = corners
        self._samples, self._face = samples_of(corners, spacing_mm)
        self._tree: Any = cKDTree(
            self._samples, leafsize=64, balanced_tree=False, compact_nodes=False
        )

    def near(self, points: Floats, *, within_mm: float = np.inf) -> Floats:
        """Distance to the nearest sample (n,) [mm], infinite beyond `within_mm`."""
        return np.asarray(self._tree.query(points, distance_upper_bound=within_mm)[0], float)

    def exact(self, points: Floats, *, nearest: int = 8) -> Floats:
        """Distance to the faces of the nearest samples (n,) [mm].

        nearest : how many samples are looked at; with more than a few the answer is the true
            distance but for oddities.
        """
        count = min(nearest, len(self._samples))
        found = np.asarray(self._tree.query(points, k=count)[1]).reshape(len(points), count)
        best = np.full(len(points), np.inf)
        for column in found.T:
            np.minimum(best, to_triangles(points, self._corners[self._face[column]]), out=best)
        return best


def to_triangles(points: Floats, corners: Floats) -> Floats:
    """Distance of each point to its triangle (n,) [mm].

    points : (n, 3) [mm].
    corners : of the triangles (n, 3, 3) [mm].
    """
    a, b, c = corners[:, 0], corners[:, 1], corners[:, 2]
    normal = np.cross(b - a, c - a)
    square = np.einsum("ij,ij->i", normal, normal)
    above = np.ones(len(points), bool)
    best = np.full(len(points), np.inf)
    for start, end in ((a, b), (b, c), (c, a)):
        along, reach = end - start, points - start
        side = np.einsum("ij,ij->i", np.cross(along, reach), normal)
        above &= side >= 0.0
        length = np.einsum("ij,ij->i", along, along)
        share = np.einsum("ij,ij->i", along, reach) / np.where(length > 0.0, length, 1.0)
        rest = reach - np.clip(share, 0.0, 1.0)[:, None] * along
        np.minimum(best, np.einsum("ij,ij->i", rest, rest), out=best)
    best = np.sqrt(best)
    above &= square > 0.0
    height = np.abs(np.einsum("ij,ij->i", points - a, normal))
    return np.asarray(np.where(above, height / np.sqrt(np.where(above, square, 1.0)), best))


def samples_of(corners: Floats, spacing: float) -> tuple[Floats, Integers]:
    """Samples (n, 3) [mm] that cover some triangles, and the face of each (n,).

    corners : of each triangle (m, 3, 3) [mm].
    spacing : how far apart they may lie [mm].

    Raises ScanError where they would be too many.
    """
    edges = np.stack([corners[:, (k + 1) % 3] - corners[:, k] for k in range(3)], axis=1)
    lengths = np.linalg.norm(edges, axis=2)
    longest = lengths.argmax(axis=1)
    base = lengths[np.arange(len(corners)), longest]
    area = np.linalg.norm(np.cross(edges[:, 0], edges[:, 1]), axis=1)  # twice
    height = area / np.where(base > 0.0, base, 1.0)
    along = np.maximum(np.ceil(base / spacing), 1).astype(np.int64)
    across = np.maximum(np.ceil(height / spacing), 1).astype(np.int64)
    count = int(((along + 1) * (across + 1)).sum())
    if count > 3 * MOST_SAMPLES:
        raise ScanError(
            f"the surface would need {count / 1e6:.0f} million samples {spacing:.2g} mm apart",
            allowed=f"at most {MOST_SAMPLES // 10**6} million",
            try_="Ask for a wider gap, or check the unit of the scan.",
        )
    small = (along == 1) & (across == 1)
    at = np.flatnonzero(small)
    samples, faces = [corners[at].reshape(-1, 3)], [np.repeat(at, 3)]
    large = np.flatnonzero(~small)
    kinds, kind = np.unique(np.column_stack([along, across])[large], axis=0, return_inverse=True)
    turn = (longest[:, None] + np.arange(3)) % 3
    for number, (n, m) in enumerate(kinds):
        these = large[kind.ravel() == number]
        a, b, c = np.take_along_axis(corners[these], turn[these][:, :, None], axis=1).swapaxes(0, 1)
        v, u = np.meshgrid(np.arange(m + 1) / m, np.arange(n + 1) / n)
        v, u = v.ravel()[:, None, None], u.ravel()[:, None, None]
        samples.append((a + u * (1.0 - v) * (b - a) + v * (c - a)).reshape(-1, 3))
        faces.append(np.tile(these, v.size))
    return _thinned(np.concatenate(samples), np.concatenate(faces))


def _thinned(samples: Floats, faces: Integers) -> tuple[Floats, Integers]:
    """Each place once: neighbours share corners, six faces to one.

    Places are compared where a number made of their coordinates is the same: sorting that takes a
    third of the time of sorting the places.
    """
    number = np.zeros(len(samples), np.uint64)
    for bits in (samples + 0.0).view(np.uint64).T:  # no place has -0.0 for 0.0
        number = (number + bits) * _ODD
        number ^= number >> np.uint64(29)
    order = np.argsort(number, kind="stable")
    before, after = order[:-1], order[1:]
    alike = np.flatnonzero(number[before] == number[after])
    again = after[alike][(samples[before[alike]] == samples[after[alike]]).all(axis=1)]
    first = np.ones(len(samples), bool)
    first[again] = False
    return samples[first], faces[first]
