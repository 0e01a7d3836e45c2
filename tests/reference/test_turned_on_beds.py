"""Parts that lie turned on a bed: both files hold the same triangles, as a foreign reader sees.

trimesh reads them, so that what a quarter turn means in a 3MF transform is not our word alone.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import trimesh

from mouldgen.files.solids import bed_files
from mouldgen.layout.beds import BedPlace, BedPlan
from mouldgen.mould.parts import square_footprint
from mouldgen.packing.shapes import RectBed
from mouldgen.solid.kernel import box
from mouldgen.solid.mesh import Mesh
from mouldgen.solid.stl import read_stl
from mouldgen.solid.threemf import read_3mf


@pytest.fixture(scope="module")
def angle_iron() -> Mesh:
    """A shape that looks different after every turn."""
    solid = box((-40.0, -10.0, 0.0), (40.0, 10.0, 5.0)) + box((20.0, 0.0, 0.0), (40.0, 10.0, 30.0))
    return solid.mesh(genus=0)


@pytest.fixture(scope="module")
def files(angle_iron: Mesh) -> dict[str, bytes]:
    shape = square_footprint(angle_iron)
    places = (
        (50.0625, 40.0, 0), (120.5, 100.25, 1), (60.0, 150.0, 1), (165.0, 50.0, 2),
        (180.0, 150.0, 3),
    )  # fmt: skip
    items = tuple(BedPlace("iron", x, y, turned, shape) for x, y, turned in places)
    bed = BedPlan(1, False, RectBed(220.0, 220.0), 5.0, items, 0.1)
    return bed_files(bed, {"iron": angle_iron}, title="bed", fingerprint="5f0c")


def meant(mesh: Mesh) -> list[Mesh]:
    turned = mesh.turned_quarter()
    half = turned.turned_quarter()
    return [
        mesh.moved(50.0625, 40.0), turned.moved(120.5, 100.25), turned.moved(60.0, 150.0),
        half.moved(165.0, 50.0), half.turned_quarter().moved(180.0, 150.0),
    ]  # fmt: skip


def test_a_rectangle_is_about_the_origin_however_the_part_lies(angle_iron: Mesh) -> None:
    shape = square_footprint(angle_iron.moved(2.0, -3.0))
    assert (shape.width_mm, shape.depth_mm) == (84.0, 26.0)


def test_stl_and_3mf_hold_the_very_triangles(files: dict[str, bytes], angle_iron: Mesh) -> None:
    expected = meant(angle_iron)
    corners = np.concatenate([mesh.corners for mesh in expected])
    assert np.array_equal(read_stl(files["stl"], name="bed.stl").corners, corners)
    for (name, back), mesh in zip(read_3mf(files["3mf"], name="bed.3mf"), expected, strict=True):
        assert name == "iron"
        assert np.array_equal(back.corners, mesh.corners)


@pytest.mark.parametrize("ending", ["stl", "3mf"])
def test_a_foreign_reader_finds_them_in_the_same_places(
    files: dict[str, bytes], angle_iron: Mesh, ending: str, tmp_path: Path
) -> None:
    path = tmp_path / f"bed.{ending}"
    path.write_bytes(files[ending])
    loaded = trimesh.load_scene(path).to_mesh()
    found = {tuple(part.bounds.ravel().round(4)) for part in loaded.split()}
    assert found == {tuple(np.ravel(mesh.bounds).round(4)) for mesh in meant(angle_iron)}
    assert {tuple(part.center_mass.round(3)) for part in loaded.split()} == {
        tuple(trimesh.Trimesh(mesh.vertices, mesh.triangles).center_mass.round(3))
        for mesh in meant(angle_iron)
    }
