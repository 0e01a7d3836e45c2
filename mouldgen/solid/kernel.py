"""The geometry kernel behind one wall: the only file that imports manifold3d.

The kernel evaluates late and reports errors as a status on an *empty* solid.  Here every
primitive is checked before it is made, and `Solid.mesh` reads the status, the volume, the
shells and the genus once, so that an emptied or broken solid can never travel on.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

import manifold3d as m3
import numpy as np

from mouldgen.errors import KernelError
from mouldgen.solid.circle import around, need_positive, polygon, segments
from mouldgen.solid.flats import turned_away
from mouldgen.solid.mesh import GRID_MM, Floats, Integers, Mesh, canonical
from mouldgen.solid.topology import Topology, topology_of

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

SNAPS = 8  # rounds of snapping before a mesh counts as unsettled
OVERSHOOT = 0.5  # mm a cutter reaches past a face, so that no skin is left on it

STATUS_WORDS = {
    m3.Error.NoError: "",
    m3.Error.NonFiniteVertex: "a corner is not a finite number",
    m3.Error.NotManifold: "the surface is not closed, or edges meet more than two faces",
    m3.Error.VertexOutOfBounds: "a triangle names a corner that is not there",
    m3.Error.PropertiesWrongLength: "the corner data has the wrong length",
    m3.Error.MissingPositionProperties: "the corners have no positions",
    m3.Error.MergeVectorsDifferentLengths: "the lists of merged corners differ in length",
    m3.Error.MergeIndexOutOfBounds: "a merged corner is not there",
    m3.Error.TransformWrongLength: "a transform has the wrong length",
    m3.Error.RunIndexWrongLength: "the runs have the wrong length",
    m3.Error.FaceIDWrongLength: "the face ids have the wrong length",
    m3.Error.InvalidConstruction: "a primitive was made from impossible sizes",
    m3.Error.ResultTooLarge: "the result has too many triangles",
    m3.Error.InvalidTangents: "a smoothing tangent is impossible",
    m3.Error.Cancelled: "the work was cancelled",
}


class Solid:
    """An immutable solid; every operation returns a new one."""

    __slots__ = ("_kernel",)

    def __init__(self, kernel: m3.Manifold) -> None:
        self._kernel = kernel

    @classmethod
    def of_mesh(cls, mesh: Mesh) -> Solid:
        """A solid from a closed mesh; KernelError where the kernel refuses it."""
        return cls(_ingest(mesh.vertices, mesh.triangles))

    @classmethod
    def of_surface(cls, vertices: ArrayLike, triangles: ArrayLike) -> Solid:
        """A solid from corners (n, 3) [mm] and triangles (m, 3) wound outward.

        Raises KernelError where the surface is not closed or is inside out.
        """
        return cls(_ingest(np.asarray(vertices, float), np.asarray(triangles)))

    def __add__(self, other: Solid) -> Solid:
        return Solid(self._kernel + other._kernel)

    def __sub__(self, other: Solid) -> Solid:
        return Solid(self._kernel - other._kernel)

    def __xor__(self, other: Solid) -> Solid:
        """What both share."""
        return Solid(self._kernel ^ other._kernel)

    def moved(self, x: float = 0.0, y: float = 0.0, z: float = 0.0) -> Solid:
        """The solid moved [mm]."""
        return Solid(self._kernel.translate((x, y, z)))

    def turned(self, degrees: float) -> Solid:
        """The solid turned about the z axis [degrees]."""
        return Solid(self._kernel.rotate((0.0, 0.0, degrees)))

    def flipped(self) -> Solid:
        """The solid turned over, half a turn about the x axis."""
        return Solid(self._kernel.rotate((180.0, 0.0, 0.0)))

    def below(self, height_mm: float) -> Solid:
        """The part of the solid below a height [mm]."""
        return Solid(self._kernel.trim_by_plane((0.0, 0.0, -1.0), -height_mm))

    def section(self, height_mm: float) -> tuple[Floats, ...]:
        """Its outlines (n, 2) at a height [mm], outer ones counter-clockwise, holes clockwise."""
        _read_status(self._kernel)
        rings = self._kernel.slice(height_mm).to_polygons()
        return tuple(np.asarray(ring, float) for ring in rings)

    def placed(self, matrix: ArrayLike) -> Solid:
        """The solid under an affine map (3, 4), the last column being the move [mm]."""
        return Solid(self._kernel.transform(np.asarray(matrix, float)))

    def simplified(self, tolerance_mm: float) -> Solid:
        """The solid with fewer triangles, its surface moved by no more than this [mm]."""
        need_positive(tolerance_mm=tolerance_mm)
        return Solid(self._kernel.simplify(tolerance_mm))

    def pieces(self) -> tuple[Solid, ...]:
        """Its pieces of surface one by one; a closed hollow is a piece of negative volume."""
        _read_status(self._kernel)
        return tuple(map(Solid, self._kernel.decompose()))

    def volume_mm3(self) -> float:
        """Volume [mm3], 0 for an empty solid; KernelError where an operation failed."""
        _read_status(self._kernel)
        return float(self._kernel.volume())

    def mesh(self, *, genus: int, shells: int = 1) -> Mesh:
        """The canonical mesh, once status, volume, genus and shells are what is declared.

        Raises KernelError naming the first that is not.
        """
        _read_status(self._kernel)
        if self._kernel.volume() <= 0.0:
            raise KernelError("a solid came out empty")
        mesh, found = _settled(self._kernel)
        if (found.genus, found.shells) != (genus, shells):
            raise KernelError(
                f"a solid came out with genus {found.genus} and {found.shells} shells,"
                f" where its features declare {genus} and {shells}"
            )
        return mesh

    def any_mesh(self) -> Mesh:
        """The canonical mesh of a solid whose genus nobody declared.

        Raises KernelError where an operation failed or the solid is empty.
        """
        _read_status(self._kernel)
        if self._kernel.is_empty():
            raise KernelError("a solid came out empty")
        return _settled(self._kernel)[0]

    def bounds(self) -> tuple[tuple[float, ...], tuple[float, ...]]:
        """The lowest and the highest corner of the box round it [mm].

        Raises KernelError where an operation failed or the solid is empty.
        """
        _read_status(self._kernel)
        if self._kernel.is_empty():
            raise KernelError("the box round an empty solid was asked for")
        found = self._kernel.bounding_box()
        return tuple(found[:3]), tuple(found[3:])

    def least_gap_mm(
        self, other: Solid, *, within_mm: float = 4.0, limit_mm: float = 256.0
    ) -> float:
        """Least distance to another solid [mm], 0 where they touch or overlap.

        within_mm : first search length; doubled while the answer saturates, because the
            kernel's cost grows steeply with it.
        limit_mm : where the search stops; the answer is then at least this.
        """
        for solid in (self, other):
            _read_status(solid._kernel)
            if solid._kernel.is_empty():
                raise KernelError("the distance to an empty solid was asked for")
        while True:
            found = float(self._kernel.min_gap(other._kernel, within_mm))
            if found < within_mm or within_mm >= limit_mm:
                return found
            within_mm *= 2.0


def union(solids: Iterable[Solid]) -> Solid:
    """All of them in one; an empty list gives an empty solid."""
    return Solid(m3.Manifold.batch_boolean([s._kernel for s in solids], m3.OpType.Add))


def revolve(profile: ArrayLike, *, sides: int) -> Solid:
    """A profile turned about the z axis, drawn around the true surface.

    profile : (n, 2) radius and height of the corners, counter-clockwise [mm]; radii >= 0.
    sides : of every circle; all circles about one axis use the same.
    """
    corners = _polygon2d(profile)
    if corners[:, 0].min() < 0.0:
        raise KernelError("a profile reaches across its axis")
    corners[:, 0] = around(1.0, sides=sides) * corners[:, 0]
    # The kernel revolves about y and leaves the result standing along z.
    return Solid(m3.CrossSection([corners]).revolve(sides))


def cylinder(
    radius_mm: float,
    *,
    bottom_mm: float,
    top_mm: float,
    chord_mm: float,
    centre: tuple[float, float] = (0.0, 0.0),
) -> Solid:
    """An upright cylinder drawn around its circle.

    radius_mm, bottom_mm, top_mm : radius and heights of its ends [mm].
    chord_mm : tolerance [mm].
    centre : x and y of its axis [mm].
    """
    sides = segments(radius_mm, chord_mm=chord_mm)
    ring = polygon(around(radius_mm, sides=sides), sides=sides, centre=centre)
    return prism([ring], bottom_mm=bottom_mm, top_mm=top_mm)


def prism(rings: Sequence[ArrayLike], *, bottom_mm: float, top_mm: float) -> Solid:
    """Closed outlines pulled up along z.

    rings : outlines (n, 2) [mm], outer ones counter-clockwise, holes clockwise.
    bottom_mm, top_mm : heights of the two ends [mm].
    """
    need_positive(height_mm=top_mm - bottom_mm)
    outlines = [np.asarray(ring, float) for ring in rings]
    if not outlines:
        raise KernelError("a prism was asked for without an outline")
    section = m3.CrossSection(outlines, m3.FillRule.NonZero)
    return Solid(section.extrude(top_mm - bottom_mm).translate((0.0, 0.0, bottom_mm)))


def loft(levels: Sequence[tuple[ArrayLike, float]]) -> Solid:
    """A solid through outlines of equally many corners, one above the other.

    levels : pairs of an outline (n, 2), counter-clockwise [mm], and its height [mm], upward.
        Each side is split along the same diagonal; the two ends are triangulated.
    """
    rings = [_polygon2d(ring) for ring, _ in levels]
    heights = [float(z) for _, z in levels]
    count = len(rings[0])
    if len(rings) < 2 or any(len(ring) != count for ring in rings):
        raise KernelError("a loft needs two or more outlines of equally many corners")
    if any(upper <= lower for lower, upper in pairwise(heights)):
        raise KernelError("the outlines of a loft must stand one above the other")
    vertices = np.empty((len(rings), count, 3))
    vertices[:, :, :2] = rings
    vertices[:, :, 2] = np.array(heights)[:, np.newaxis]
    here = np.arange(count)
    there = np.append(here[1:], 0)
    side = np.array([[here, there, there + count], [here, there + count, here + count]])
    levels_up = count * np.arange(len(rings) - 1)
    sides = levels_up[:, np.newaxis, np.newaxis, np.newaxis] + side.swapaxes(1, 2)
    bottom = np.asarray(m3.triangulate([rings[0]]))[:, ::-1]
    top = np.asarray(m3.triangulate([rings[-1]])) + (len(rings) - 1) * count
    return Solid.of_surface(
        vertices.reshape(-1, 3), np.concatenate([sides.reshape(-1, 3), bottom, top])
    )


def box(low: Sequence[float], high: Sequence[float]) -> Solid:
    """A box between two opposite corners (x, y, z) [mm]."""
    size = [b - a for a, b in zip(low, high, strict=True)]
    need_positive(width=size[0], depth=size[1], height=size[2])
    return Solid(m3.Manifold.cube(size).translate(tuple(low)))


def triangulated(outline: ArrayLike) -> Integers:
    """Triangles (n - 2, 3) over the corners of one closed outline (n, 2), counter-clockwise.

    An outline that crosses itself is covered too, each of its edges once, though not flatly.
    """
    return np.asarray(m3.triangulate([np.asarray(outline, float)]), np.int64)


def _polygon2d(points: ArrayLike) -> Floats:
    corners = np.array(points, float)
    if corners.ndim != 2 or corners.shape[1] != 2 or len(corners) < 3:
        raise KernelError(f"an outline must be (n, 2) with n >= 3, not {corners.shape}")
    if not np.isfinite(corners).all():
        raise KernelError("an outline has a corner that is not a finite number")
    x, y = corners[:, 0], corners[:, 1]
    twice_area = x[:-1] @ y[1:] - y[:-1] @ x[1:] + x[-1] * y[0] - y[-1] * x[0]
    if float(twice_area) <= 0.0:
        raise KernelError("an outline runs clockwise or encloses nothing")
    return corners


def _ingest(vertices: ArrayLike, triangles: ArrayLike) -> m3.Manifold:
    kernel = m3.Manifold(
        m3.Mesh64(
            vert_properties=np.ascontiguousarray(vertices, np.float64),
            tri_verts=np.ascontiguousarray(triangles, np.uint64),
        )
    )
    _read_status(kernel)
    if not kernel.volume() > 0.0:
        raise KernelError("a surface is inside out or encloses nothing")
    return kernel


def _settled(kernel: m3.Manifold) -> tuple[Mesh, Topology]:
    """Snap and weld; what that flattened is turned away, what it opened the kernel mends."""
    for attempt in range(SNAPS):
        raw = kernel.to_mesh64()
        mesh = canonical(np.asarray(raw.vert_properties)[:, :3], np.asarray(raw.tri_verts))
        if not len(mesh.triangles):
            raise KernelError("a solid is thinner than the grid that files are written on")
        turned = turned_away(mesh)
        found = topology_of(turned)
        if found.closed and not found.flat:
            return turned, found
        try:
            kernel = _ingest(mesh.vertices, mesh.triangles).as_original().simplify(GRID_MM)
        except KernelError:  # corners that fell together tie the surface into a knot
            kernel = kernel.as_original().simplify(GRID_MM * 2.0 ** (attempt + 1))
    found = topology_of(mesh)
    if found.closed:
        return mesh, found
    raise KernelError("a mesh does not settle on the grid that files are written on")


def _read_status(kernel: m3.Manifold) -> None:
    status = kernel.status()
    if status != m3.Error.NoError:
        raise KernelError(f"the geometry kernel refused: {STATUS_WORDS[status]}")
