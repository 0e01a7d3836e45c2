"""Which undersides of a part hang over nothing, and which roofs are bridges.

An underside that lies flatter than 45 degrees needs something to be printed on.  A narrow one
is a ledge, and one between two supports is a bridge; the rest would be drawn in the air.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from mouldgen.solid.mesh import Floats, Integers
from mouldgen.solid.surface import Surface
from mouldgen.solid.topology import components

if TYPE_CHECKING:
    from numpy.typing import NDArray

# Published: an overhang of up to 45 degrees from the vertical prints without support, each layer
# half on the one below; a ledge of 0.5 to 1.5 mm prints too, its middle here
# (Mazlan et al. 2020).  Facets of a ramp of 45 degrees miss it by less than a degree.
STEEPEST_DEG = 45.0
FACETS_DEG = 1.0
LEDGE_MM = 1.0
LEAST_AREA_MM2 = 0.01  # a patch below that is rounding
_WAYS = 8  # that a bridge may run in, besides straight off its nearest support
_SAMPLES = 200  # of one patch, about
_SAMPLE_MM2 = 0.25  # and no finer than that
_PAIRS = 500_000  # of sample and border looked at together
_GOLDEN = 0.5 * (math.sqrt(5.0) - 1.0)

Point = tuple[float, float, float]


@dataclass(frozen=True, eq=False)
class Overhang:
    """Undersides of one part.

    steep_mm2 : of all undersides flatter than 45 degrees, the one on the bed left out [mm2].
    hanging_mm2 : of those that are neither ledge nor bridge [mm2].
    hangs_at : in the largest of these, or None [mm].
    bridge_mm : the widest span between two supports, 0 with none [mm].
    bridge_at : in its middle, or None [mm].
    """

    steep_mm2: float
    hanging_mm2: float
    hangs_at: Point | None
    bridge_mm: float
    bridge_at: Point | None


NOTHING_HANGS = Overhang(0.0, 0.0, None, 0.0, None)


@dataclass(frozen=True, eq=False)
class _Samples:
    """Places on undersides, sorted by patch.

    at : each place (n, 3) [mm].
    patch : that it lies on (n,).
    share : of the underside that it stands for (n,) [mm2].
    """

    at: Floats
    patch: Integers
    share: Floats

    def only(self, kept: NDArray[np.bool_] | slice) -> _Samples:
        return _Samples(self.at[kept], self.patch[kept], self.share[kept])


@dataclass(frozen=True, eq=False)
class _Borders:
    """Borders of patches in plan, sorted by patch.

    start, end : of each border (k, 2) [mm].
    supports : whether material goes down from it (k,).
    first, count : of each patch, where its borders are (p,).
    """

    start: Floats
    end: Floats
    supports: NDArray[np.bool_]
    first: Integers
    count: Integers

    def parts(self, samples: _Samples) -> Iterator[slice]:
        """Ranges of samples, each with no more borders beside them than fit into memory."""
        pairs = np.cumsum(self.count[samples.patch])
        first = 0
        while first < len(pairs):
            before = int(pairs[first - 1]) if first else 0
            behind = max(first + 1, int(np.searchsorted(pairs, before + _PAIRS, side="right")))
            yield slice(first, behind)
            first = behind

    def beside(self, samples: _Samples) -> tuple[Integers, Integers, Integers]:
        """Each sample with each border of its patch: sample, border, first pair of a sample."""
        many = self.count[samples.patch]
        first = np.cumsum(many) - many
        sample = np.repeat(np.arange(len(many)), many)
        border = np.arange(len(sample)) + np.repeat(self.first[samples.patch] - first, many)
        return sample, border, first


def overhang(surface: Surface, *, layer_mm: float) -> Overhang:
    """Undersides that hang, and bridges.

    surface : faces and edges of a closed mesh in its printing pose.
    layer_mm : height of a layer; what lies no higher than half of it is on the bed [mm].
    """
    heights = surface.corners[:, 2]
    bed = float(heights.min()) + 0.5 * layer_mm
    down = surface.normals[:, 2] < -math.sin(math.radians(STEEPEST_DEG + FACETS_DEG))
    steep = down & (heights[surface.mesh.triangles].max(axis=1) > bed)
    if not steep.any():
        return NOTHING_HANGS
    patch_of = _patches(surface, steep)
    samples = _sampled(surface, np.flatnonzero(steep), patch_of)
    borders = _borders(surface, patch_of, bed)
    areas = np.bincount(samples.patch, samples.share)
    found = [_nearest(samples.only(part), borders) for part in borders.parts(samples)]
    off, way = (np.concatenate(values) for values in zip(*found, strict=True))
    wide = np.zeros(len(areas), bool)
    wide[samples.patch[off > LEDGE_MM]] = True
    kept = wide[samples.patch] & (areas[samples.patch] > LEAST_AREA_MM2)
    if not kept.any():
        return Overhang(float(areas.sum()), 0.0, None, 0.0, None)
    samples, way = samples.only(kept), way[kept]
    span = np.concatenate(
        [_spans(samples.only(part), borders, way[part]) for part in borders.parts(samples)]
    )
    hangs = np.isinf(span)
    hanging = np.where(hangs, samples.share, 0.0)
    most = int(np.argmax(np.bincount(samples.patch, hanging)))
    far = int(np.argmax(np.where(hangs & (samples.patch == most), off[kept], -1.0)))
    widest_mm = 0.0 if hangs.all() else float(span[~hangs].max())
    widest = int(
        np.argmax(np.where(span >= widest_mm - 0.01, np.where(hangs, 0.0, off[kept]), 0.0))
    )
    return Overhang(
        steep_mm2=float(areas.sum()),
        hanging_mm2=float(hanging.sum()),
        hangs_at=_point(samples.at[far]) if hangs.any() else None,
        bridge_mm=widest_mm,
        bridge_at=None if hangs.all() else _point(samples.at[widest]),
    )


def _patches(surface: Surface, steep: NDArray[np.bool_]) -> Integers:
    """The patch of connected undersides that each face belongs to, -1 for none (m,)."""
    inner = steep[surface.left] & steep[surface.right]
    name = components(len(steep), surface.left[inner], surface.right[inner])
    heads = steep & (name == np.arange(len(steep)))
    number = np.cumsum(heads) - 1
    return np.where(steep, number[name], -1)


def _sampled(surface: Surface, faces: Integers, patch_of: Integers) -> _Samples:
    """Places spread evenly over undersides, at least one a patch, each for the same area of it."""
    faces = faces[np.argsort(patch_of[faces], kind="stable")]
    patch, area = patch_of[faces], surface.areas[faces]
    whole = np.bincount(patch, area)
    many = np.ceil(np.minimum(whole / _SAMPLE_MM2, _SAMPLES)).astype(np.int64).clip(1)
    each = whole / many
    of_patch = np.repeat(np.arange(len(many)), many)
    index = np.arange(len(of_patch)) - np.repeat(np.cumsum(many) - many, many)
    # Faces stand in a row, each as long as its area, and places at even steps along it.
    behind = np.cumsum(area)
    along = np.repeat(np.cumsum(whole) - whole, many) + (index + 0.5) * each[of_patch]
    at = np.minimum(np.searchsorted(behind, along), len(faces) - 1)
    share = (along - behind[at] + area[at]) / np.where(area[at] > 0.0, area[at], 1.0)
    # An even step one way and the golden section the other fill a triangle evenly; small faces
    # that hold one place at most are taken in their middle.
    small = area[at] <= each[of_patch]
    root = np.where(small, 2.0 / 3.0, np.sqrt(share.clip(0.0, 1.0)))[:, None]
    turn = np.where(small, 0.5, (index + 0.5) * _GOLDEN % 1.0)[:, None]
    a, b, c = (surface.corners[corner][at] for corner in surface.mesh.triangles[faces].T)
    places = a + root * ((1.0 - turn) * (b - a) + turn * (c - a))
    return _Samples(places, of_patch, each[of_patch])


def _borders(surface: Surface, patch_of: Integers, bed: float) -> _Borders:
    """The edges round the patches, and which of them stand on something."""
    left, right = patch_of[surface.left], patch_of[surface.right]
    edge = np.flatnonzero((left < 0) != (right < 0))
    patch = np.maximum(left, right)[edge]
    order = np.argsort(patch, kind="stable")
    edge, patch = edge[order], patch[order]
    beyond = np.where(left[edge] < 0, surface.left[edge], surface.right[edge])
    a, b = surface.a[edge], surface.b[edge]
    start, end = surface.corners[a], surface.corners[b]
    third = surface.corners[surface.mesh.triangles[beyond].sum(axis=1) - a - b]
    # Whether the face beyond goes down, straight away from the edge.
    along, away = end - start, third - start
    share = np.einsum("ij,ij->i", away, along) / np.einsum("ij,ij->i", along, along)
    falls = away[:, 2] - share * along[:, 2] < 0.0
    count = np.bincount(patch, minlength=int(patch_of.max()) + 1)
    return _Borders(
        start=start[:, :2],
        end=end[:, :2],
        supports=falls | (np.maximum(start[:, 2], end[:, 2]) <= bed),
        first=np.cumsum(count) - count,
        count=count,
    )


def _nearest(samples: _Samples, borders: _Borders) -> tuple[Floats, Floats]:
    """How far each sample is from a support in plan [mm], and the way there (n, 2)."""
    sample, border, first = borders.beside(samples)
    start, end, at = borders.start[border], borders.end[border], samples.at[sample, :2]
    along = end - start
    length2 = np.maximum(np.einsum("ij,ij->i", along, along), 1e-18)
    share = np.einsum("ij,ij->i", at - start, along) / length2
    way = start + np.clip(share, 0.0, 1.0)[:, None] * along - at
    off = np.hypot(way[:, 0], way[:, 1])
    off[~borders.supports[border]] = np.inf
    nearest = np.minimum.reduceat(off, first)
    hit = np.flatnonzero(off == nearest[sample])
    ways = np.zeros((len(nearest), 2))
    ways[sample[hit]] = way[hit]
    return nearest, ways


def _spans(samples: _Samples, borders: _Borders, way: Floats) -> Floats:
    """The narrowest bridge through each sample, infinite where there is none [mm]."""
    sample, border, first = borders.beside(samples)
    start = borders.start[border] - samples.at[sample, :2]
    end = borders.end[border] - samples.at[sample, :2]
    supports = borders.supports[border]
    length = np.hypot(way[:, 0], way[:, 1])
    straight = np.where(length[:, None] > 1e-9, way / np.maximum(length, 1e-9)[:, None], [1.0, 0.0])
    turns = np.arange(_WAYS) * math.pi / _WAYS
    span = np.full(len(samples.patch), np.inf)
    for towards in (straight, *([(math.cos(turn), math.sin(turn))] for turn in turns)):
        u = np.asarray(towards)
        u = u[sample] if len(u) > 1 else u
        s0 = u[:, 0] * start[:, 1] - u[:, 1] * start[:, 0]
        s1 = u[:, 0] * end[:, 1] - u[:, 1] * end[:, 0]
        crossed = (s0 <= 0.0) != (s1 <= 0.0)
        t0, t1 = (u * start).sum(axis=1), (u * end).sum(axis=1)
        with np.errstate(divide="ignore", invalid="ignore"):
            t = t0 + (t1 - t0) * s0 / (s0 - s1)
        both = np.zeros(len(span))
        for ahead in (crossed & (t >= 0.0), crossed & (t < 0.0)):
            far = np.abs(t)
            held = np.minimum.reduceat(np.where(ahead & supports, far, np.inf), first)
            free = np.minimum.reduceat(np.where(ahead & ~supports, far, np.inf), first)
            both += np.where(held <= free + 1e-9, held, np.inf)
        span = np.minimum(span, both)
    return span


def _point(place: Floats) -> Point:
    x, y, z = map(float, place)
    return x, y, z
