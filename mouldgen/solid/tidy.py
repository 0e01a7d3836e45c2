"""A surface without what can only be a mistake: the first half of mending.

Corners that are one in all but their last digit become one; faces that lost a corner, that
are there twice, or that stick out from an edge which has its two faces already, go.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from mouldgen.solid.mesh import Floats, Integers, Mesh
from mouldgen.solid.sides import edges_of, there_before, together

if TYPE_CHECKING:
    from numpy.typing import NDArray

WELD = 1e-5  # how near two corners are to be one, as a share of the scan's diagonal
ROUNDS = 16  # of taking out faces that stick out: each may uncover another


@dataclass(frozen=True, eq=False)
class Tidied:
    """What is left of a surface, and how much went.

    vertices : (n, 3) [mm].
    triangles : (m, 3).
    welded : corners that became one with another.
    flat : faces that had lost a corner.
    doubled : faces that were there twice.
    crowded : faces taken out at edges that more than two faces shared.
    """

    vertices: Floats
    triangles: Integers
    welded: int
    flat: int
    doubled: int
    crowded: int


def tidied(vertices: Floats, triangles: Integers, *, weld_mm: float) -> Tidied:
    """Weld and drop.

    vertices : (n, 3) [mm].
    triangles : (m, 3).
    weld_mm : how near two corners may be to be one [mm].
    """
    name = _welded(vertices, weld_mm)
    faces = name[triangles]
    count = int(name.max()) + 1
    at = np.empty(count, np.int64)
    at[name[::-1]] = np.arange(len(name))[::-1]  # the first of those that became one
    a, b, c = faces.T
    whole = (a != b) & (b != c) & (c != a)
    lone = faces[whole]
    again = there_before(lone)
    lone = lone[~again]
    kept = uncrowded(lone)
    return Tidied(
        vertices=vertices[at],
        triangles=kept,
        welded=len(name) - count,
        flat=int((~whole).sum()),
        doubled=int(again.sum()),
        crowded=len(lone) - len(kept),
    )


def _welded(vertices: Floats, weld: float) -> Integers:
    """The number of the corner that each corner becomes (n,)."""
    from scipy.spatial import cKDTree

    order = np.lexsort(vertices.T)
    ordered = vertices[order]
    new = np.ones(len(order), bool)
    new[1:] = (ordered[1:] != ordered[:-1]).any(axis=1)
    name = np.empty(len(order), np.int64)
    name[order] = np.cumsum(new) - 1
    places = ordered[new]
    near = cKDTree(places, balanced_tree=False).query_pairs(weld, output_type="ndarray")
    if len(near):
        name = together(len(places), near[:, 0], near[:, 1])[name]
    return name


def rejoined(mesh: Mesh, *, weld_mm: float) -> tuple[Mesh, int]:
    """The mesh with corners made one that are nearly one, and how many were; no face is dropped.

    weld_mm : how near two corners are to be one [mm].
    """
    name = _welded(mesh.vertices.astype(np.float64), weld_mm)
    count = int(name.max()) + 1
    at = np.empty(count, np.int64)
    at[name[::-1]] = np.arange(len(name))[::-1]
    faces = np.ascontiguousarray(name[mesh.triangles], np.int32)
    return Mesh(mesh.vertices[at], faces), len(name) - count


def without_fins(faces: Integers) -> Integers:
    """Without faces that stick out from an edge which has its two faces already.

    faces : (m, 3), no corner twice in one of them.
    """
    for _ in range(ROUNDS):
        crowded, open_ = _at_edges(faces)
        out = crowded & open_
        if not out.any():
            break
        faces = faces[~out]
    return faces


def uncrowded(faces: Integers) -> Integers:
    """Without faces that stick out, and then without all at an edge that is still crowded.

    faces : (m, 3), no corner twice in one of them.
    """
    faces = without_fins(faces)
    for _ in range(ROUNDS):
        crowded, _ = _at_edges(faces)
        if not crowded.any():
            break
        faces = faces[~crowded]
    return faces


def _at_edges(faces: Integers) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
    """Which faces have a crowded edge, and which an open one (m,)."""
    if not len(faces):
        return np.zeros(0, bool), np.zeros(0, bool)
    of_face = edges_of(faces).uses_of_faces
    return np.any(of_face > 2, axis=1), np.any(of_face == 1, axis=1)
