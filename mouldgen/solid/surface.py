"""Where two faces of a closed surface meet: at which angle, and what they form together."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from mouldgen.errors import KernelError
from mouldgen.solid.mesh import Floats, Integers, Mesh
from mouldgen.solid.topology import components

if TYPE_CHECKING:
    from numpy.typing import NDArray

SMOOTH = math.cos(math.radians(20.0))  # flatter than that, two facets belong to one surface


@dataclass(frozen=True, eq=False)
class Surface:
    """A closed mesh with its faces and edges worked out once.

    mesh : closed, wound outward.
    corners : of the mesh (v, 3) [mm].
    normals : outward, of length one; zero for a flat face (m, 3).
    areas : of the faces (m,) [mm2].
    a, b : the ends of each edge, in the way that its left face goes (e,).
    left, right : its two faces (e,).
    """

    mesh: Mesh
    corners: Floats
    normals: Floats
    areas: Floats
    a: Integers
    b: Integers
    left: Integers
    right: Integers

    @cached_property
    def lengths(self) -> Floats:
        """Of the edges (e,) [mm]."""
        span = self.corners[self.b] - self.corners[self.a]
        length: Floats = np.sqrt((span * span).sum(axis=1))
        return length

    @cached_property
    def cosines(self) -> Floats:
        """Of the angle between the two normals at each edge (e,)."""
        cosine: Floats = np.einsum("ij,ij->i", self.normals[self.left], self.normals[self.right])
        return cosine

    @cached_property
    def boxes(self) -> tuple[Floats, Floats]:
        """Lowest and highest x, y, z of each face (3, m) [mm]."""
        a, b, c = (self.corners.T.take(corner, axis=1) for corner in self.mesh.triangles.T)
        return np.minimum(np.minimum(a, b), c), np.maximum(np.maximum(a, b), c)

    def opposite(self, edges: Integers) -> Integers:
        """The corner of the right face that is not on the edge.

        edges : which edges (k,).
        """
        three = self.mesh.triangles[self.right[edges]].astype(np.int64)
        opposite: Integers = three.sum(axis=1) - self.a[edges] - self.b[edges]
        return opposite


def surface_of(mesh: Mesh) -> Surface:
    """Faces and edges of a mesh.

    mesh : closed, every edge between two faces that are wound alike; see `topology_of`.  Triangles
        that lost a corner are left out.

    Raises KernelError where an edge has not two faces.
    """
    a, b, c = mesh.triangles.T.astype(np.int64)
    whole = (a != b) & (b != c) & (c != a)
    if not whole.all():
        mesh = Mesh(mesh.vertices, np.ascontiguousarray(mesh.triangles[whole]))
        a, b, c = mesh.triangles.T.astype(np.int64)
    count, faces = len(mesh.vertices), len(mesh.triangles)
    corners = mesh.vertices.astype(np.float64)
    normals = np.cross(corners[b] - corners[a], corners[c] - corners[a])
    twice = np.sqrt((normals * normals).sum(axis=1))
    normals /= np.where(twice > 0.0, twice, 1.0)[:, None]
    start, end = np.concatenate([a, b, c]), np.concatenate([b, c, a])
    edge = np.minimum(start, end) * count + np.maximum(start, end)
    order = np.argsort(edge, kind="stable")
    edge = edge[order]
    if len(edge) % 2 or (edge[0::2] != edge[1::2]).any() or (edge[1:-1:2] == edge[2::2]).any():
        raise KernelError("a surface that is not closed has no inside to measure")
    one, other = order[0::2], order[1::2]
    return Surface(
        mesh=mesh,
        corners=corners,
        normals=normals,
        areas=0.5 * twice,
        a=start[one],
        b=end[one],
        left=one % faces,
        right=other % faces,
    )


def patch_widths(surface: Surface) -> Floats:
    """How wide the smooth surface is that each face belongs to (m,) [mm].

    surface : faces and edges.

    Twice the area over the length of its border: a strip's width less what its ends take, half
    the side of a square, infinite without a border.
    """
    smooth = surface.cosines > SMOOTH
    faces = len(surface.areas)
    patch = components(faces, surface.left[smooth], surface.right[smooth])
    area = np.bincount(patch, surface.areas, minlength=faces)
    border = surface.lengths * ~smooth
    around = np.bincount(patch[surface.left], border, minlength=faces)
    around += np.bincount(patch[surface.right], border, minlength=faces)
    with np.errstate(divide="ignore", invalid="ignore"):
        width = np.where(around > 0.0, 2.0 * area / around, np.inf)
    widths: Floats = width[patch]
    return widths


def chains(surface: Surface, edges: Integers) -> Integers:
    """Which chain each of some edges belongs to, named by its smallest corner (k,).

    surface : faces and edges.
    edges : which edges (k,).
    """
    a, b = surface.a[edges], surface.b[edges]
    name: Integers = components(len(surface.corners), a, b)[a]
    return name


def convex(surface: Surface, edges: Integers) -> NDArray[np.bool_]:
    """Whether the material fills less than half a turn round each of some edges (k,).

    surface : faces and edges.
    edges : which edges (k,).
    """
    away = surface.corners[surface.opposite(edges)] - surface.corners[surface.a[edges]]
    below: NDArray[np.bool_] = (
        np.einsum("ij,ij->i", away, surface.normals[surface.left[edges]]) < 0.0
    )
    return below
