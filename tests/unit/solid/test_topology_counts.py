"""Edges, shells, handles: known solids and known faults."""

from __future__ import annotations

import numpy as np
import pytest

from mouldgen.solid.kernel import Solid, box, cylinder, revolve, union
from mouldgen.solid.mesh import Mesh
from mouldgen.solid.surface import surface_of
from mouldgen.solid.topology import topology_of


def slab() -> Solid:
    return box((0, 0, 0), (40, 20, 4))


def holes(count: int) -> list[Solid]:
    return [
        cylinder(2, bottom_mm=-1, top_mm=5, chord_mm=0.05, centre=(5 + 8 * k, 10))
        for k in range(count)
    ]


@pytest.mark.parametrize("count", [1, 2, 4])
def test_genus_counts_through_holes(count: int) -> None:
    found = topology_of((slab() - union(holes(count))).any_mesh())
    assert (found.genus, found.shells, found.inward, found.closed) == (count, 1, 0, True)


def test_genus_adds_up_over_shells() -> None:
    ring = revolve([(3, 0), (5, 0), (5, 2), (3, 2)], sides=24)
    found = topology_of(union([ring, ring.moved(20.0), slab().moved(0, 50.0)]).any_mesh())
    assert (found.genus, found.shells) == (2, 3)


def test_a_hollow_is_a_shell_turned_inward() -> None:
    found = topology_of((slab() - box((10, 5, 1), (12, 7, 3))).any_mesh())
    assert (found.shells, found.inward, found.genus) == (2, 1, 0)


def test_a_missing_face_opens_three_edges_where_it_was() -> None:
    mesh = slab().any_mesh()
    found = topology_of(Mesh(mesh.vertices, mesh.triangles[:-1].copy()))
    assert (found.open_edges, found.crowded_edges, found.turned_edges) == (3, 0, 0)
    lost = mesh.vertices[mesh.triangles[-1]].astype(float)
    middles = (lost + np.roll(lost, -1, axis=0)) / 2
    assert min(np.abs(middles - found.first_open).sum(axis=1)) == 0.0
    assert not found.closed


def test_a_face_turned_round_turns_three_edges() -> None:
    mesh = slab().any_mesh()
    faces = mesh.triangles.copy()
    faces[0] = faces[0][::-1]
    found = topology_of(Mesh(mesh.vertices, faces))
    assert (found.open_edges, found.crowded_edges, found.turned_edges) == (0, 0, 3)


def test_two_boxes_that_share_an_edge_crowd_it() -> None:
    a, b = box((0, 0, 0), (1, 1, 1)).any_mesh(), box((1, 1, 0), (2, 2, 1)).any_mesh()
    corners = np.concatenate([a.vertices, b.vertices])
    faces = np.concatenate([a.triangles, b.triangles + len(a.vertices)])
    corners, name = np.unique(corners, axis=0, return_inverse=True)
    found = topology_of(Mesh(corners, name.ravel()[faces].astype(np.int32)))
    assert (found.open_edges, found.crowded_edges) == (0, 1)


def test_a_flat_triangle_is_counted() -> None:
    corners = np.array([[0, 0, 0], [1, 0, 0], [2, 0, 0]], np.float32)
    found = topology_of(Mesh(corners, np.array([[0, 1, 2]], np.int32)))
    assert (found.flat, found.open_edges) == (1, 3)


def test_a_triangle_that_lost_a_corner_is_flat_and_opens_nothing() -> None:
    mesh = slab().any_mesh()
    lost = mesh.triangles[:2].copy()
    lost[:, 2] = lost[:, 1]
    found = topology_of(Mesh(mesh.vertices, np.concatenate([mesh.triangles, lost])))
    assert (found.flat, found.closed, found.shells, found.genus) == (2, True, 1, 0)
    only = topology_of(Mesh(mesh.vertices, lost))
    assert (only.flat, only.open_edges, only.shells) == (2, 0, 0)


def test_the_surface_of_a_mesh_leaves_such_triangles_out() -> None:
    mesh = slab().any_mesh()
    lost = mesh.triangles[:2].copy()
    lost[:, 2] = lost[:, 1]
    found = surface_of(Mesh(mesh.vertices, np.concatenate([lost, mesh.triangles])))
    assert len(found.areas) == len(mesh.triangles)
    assert found.areas.sum() == 2 * (40 * 20 + 40 * 4 + 20 * 4)
