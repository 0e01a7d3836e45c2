"""Scans so odd that they once ended in a bug or did not end."""

from __future__ import annotations

import time

import numpy as np
import pytest

from mouldgen.errors import KernelError, MeshFileError, ScanError
from mouldgen.job.scan import scan_of
from mouldgen.solid.ailments import ailments_of
from mouldgen.solid.kernel import Solid, box
from mouldgen.solid.loops import LONGEST_FLAT, closed, rims
from mouldgen.solid.mending import mended
from mouldgen.solid.mesh import Mesh
from mouldgen.solid.sides import edges_of
from mouldgen.solid.stl import MOST_SOLIDS, read_stl, weld
from mouldgen.solid.threemf import read_3mf
from tests.faults.broken_meshes import TETRA, TEXT, glb, model
from tests.random_scans import sphere


def mesh_of(corners: object, faces: object) -> Mesh:
    return weld(np.asarray(corners), np.asarray(faces), name="scan")


def test_a_solid_thinner_than_the_grid_is_refused() -> None:
    """Its corners all fall on one plane of the grid, and nothing is left of it."""
    block = box((0, 0, 0), (10, 10, 10)).any_mesh()
    flat = mesh_of(block.vertices * [1.0, 1.0, 1e-6], block.triangles)

    with pytest.raises(KernelError, match="thinner than the grid"):
        Solid.of_surface(flat.vertices, flat.triangles).any_mesh()
    with pytest.raises(ScanError, match=r"no solid that can be worked with|flat"):
        scan_of(flat, sure=True)


def test_a_scan_that_is_nothing_once_it_stands_on_its_axis_is_refused() -> None:
    corners = np.array([(x, y, z) for x in (0, 12) for y in (0, 1e-5) for z in (0, 12)], float)
    faces = [(0, 1, 3), (0, 3, 2), (4, 6, 7), (4, 7, 5), (0, 4, 5), (0, 5, 1), (2, 3, 7), (2, 7, 6),
             (0, 2, 6), (0, 6, 4), (1, 5, 7), (1, 7, 3)]  # fmt: skip
    sheet = weld(corners.astype(np.float32), np.array(faces), name="sheet.stl")
    if sheet.volume_mm3 < 0.0:
        sheet = Mesh(sheet.vertices, sheet.triangles[:, ::-1])
    assert sheet.volume_mm3 == pytest.approx(12 * 12 * 1e-5, rel=1e-6)
    assert ailments_of(sheet).sound

    with pytest.raises(ScanError, match=r"thinner than the grid that files are written on"):
        scan_of(sheet, name="sheet.stl")


def test_loose_triangles_are_refused_at_once() -> None:
    """Thirty thousand small triangles: closing each of them for itself took seconds."""
    corners, faces = sphere(61)
    soup = corners[faces]
    middle = soup.mean(axis=1, keepdims=True)
    shrunk = 20.0 * (middle + 0.9 * (soup - middle)).reshape(-1, 3)
    loose = mesh_of(shrunk, np.arange(len(shrunk)).reshape(-1, 3))

    with pytest.raises(ScanError, match=f"{len(shrunk)} of the {len(shrunk)} sides") as refused:
        mended(loose)
    assert "Join its corners" in refused.value.try_


def test_half_of_all_faces_missing_is_still_a_surface() -> None:
    """It is refused for what it is: too much of it would be patches, or in pieces."""
    corners, faces = sphere(20)
    kept = faces[np.random.default_rng(3).random(len(faces)) < 0.5]

    with pytest.raises(ScanError, match=r"patches|large pieces"):
        mended(mesh_of(20.0 * corners, kept))


def test_a_rim_of_very_many_edges_is_closed_by_a_tent() -> None:
    """A cone without its floor: the tent over the rim's middle makes it whole."""
    count = LONGEST_FLAT + 3
    angle = np.linspace(0.0, 2.0 * np.pi, count, endpoint=False)
    rim = np.column_stack([10.0 * np.cos(angle), 10.0 * np.sin(angle), 0.0 * angle])
    corners = np.vstack([rim, [[0.0, 0.0, 30.0]]])
    here = np.arange(count)
    cone = np.column_stack([here, (here + 1) % count, np.full(count, count)])

    began = time.process_time()
    points, faces = closed(corners, cone, rims(cone, edges_of(cone)), places=np.arange(count + 1))

    assert time.process_time() - began < 5.0
    assert len(points) == count + 2
    whole = Solid.of_surface(points, faces).any_mesh()
    assert whole.volume_mm3 == pytest.approx(np.pi * 10.0**2 * 30.0 / 3.0, rel=1e-4)


def test_holes_beside_an_edge_that_was_crowded() -> None:
    """What is left at it is wound against itself, and its rim is walked round all the same."""
    faces = [
        [0, 7, 5], [6, 1, 5], [0, 2, 7], [5, 1, 0], [5, 7, 8], [0, 1, 3], [7, 0, 1], [7, 4, 1],
        [9, 4, 7],
    ]  # fmt: skip
    corners = np.column_stack([np.arange(10.0), np.arange(10.0) ** 2 % 7, np.arange(10.0) ** 3 % 5])

    found = ailments_of(mesh_of(corners, faces))

    assert found.crowded_edges >= 1
    assert found.hole_count >= 1


def test_text_in_capitals_is_text() -> None:
    assert read_stl(TEXT.upper(), name="a.stl").same_as(read_stl(TEXT, name="a.stl"))


def test_text_that_ends_within_a_corner_is_cut_short() -> None:
    whole = b"solid a\nfacet\nouter loop\n" + b"vertex 1 2 3\n" * 3

    assert len(read_stl(whole, name="a.stl").triangles) == 1
    with pytest.raises(MeshFileError, match=r"2 whole corners.*cut short"):
        read_stl(whole.rstrip()[:-1], name="a.stl")


def test_a_number_that_signals_that_it_is_none_is_refused() -> None:
    """Adding to it warns of itself, which is nothing for a person to read."""
    numbers = np.array([0x7F800001] + [0] * 8, np.uint32).view(np.float32)

    with pytest.raises(MeshFileError, match="not a finite number"):
        weld(numbers.reshape(-1, 3), np.array([[0, 1, 2]]), name="a.stl")


def test_very_many_solids_are_refused() -> None:
    """A small file can place one object times without end, each looked at for itself."""
    some = f'<object id="1">{TETRA}</object>'
    most = model(some, build='<item objectid="1"/>' * MOST_SOLIDS)
    more = model(some, build='<item objectid="1"/>' * (MOST_SOLIDS + 1))

    assert len(read_3mf(most, name="a.3mf")) == MOST_SOLIDS
    with pytest.raises(MeshFileError, match=f"places {MOST_SOLIDS + 1} solids"):
        read_3mf(more, name="a.3mf")


def test_very_many_nodes_of_a_glb_are_refused() -> None:
    from mouldgen.solid.scan_file import read_any

    count = MOST_SOLIDS + 1
    many = glb(nodes=[{"mesh": 0}] * count, scenes=[{"nodes": list(range(count))}])

    with pytest.raises(MeshFileError, match=f"places {count} solids"):
        read_any(many, name="a.glb")
