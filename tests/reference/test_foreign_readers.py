"""What mouldgen writes, read by three readers that are not ours.

numpy-stl and trimesh read the STL files, trimesh and lib3mf (the 3MF Consortium's own reader,
in strict mode) the 3MF files.
"""

from __future__ import annotations

from pathlib import Path

import lib3mf
import numpy as np
import pytest
import stl
import trimesh

from mouldgen.files.write import write_set
from tests.demo_set import demo_set

# Literal numbers, not those that the code declares: a body is a cup without a hole, a lid has
# three vents and a port.
PARTS = {"body": (0, 1), "lid": (4, 1)}


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("out")
    found = demo_set()
    write_set(found, out=out, bed_pictures=["<svg/>"] * len(found.beds))
    return out / "boathouse-pegs"


def _closed(mesh: trimesh.Trimesh) -> bool:
    return bool(mesh.is_watertight and mesh.is_winding_consistent and mesh.volume > 0)


@pytest.mark.parametrize("ending", ["stl", "3mf"])
@pytest.mark.parametrize("name", sorted(PARTS))
def test_trimesh_finds_parts_closed_with_their_genus(folder: Path, name: str, ending: str) -> None:
    genus, shells = PARTS[name]
    mesh = trimesh.load_mesh(folder / "parts" / f"{name}.{ending}")
    mesh = mesh.to_mesh() if isinstance(mesh, trimesh.Scene) else mesh
    assert _closed(mesh)
    assert mesh.body_count == shells
    assert (2 * shells - mesh.euler_number) // 2 == genus
    assert mesh.volume == pytest.approx(demo_set().parts.part(name).mesh.volume_mm3, rel=1e-6)
    assert mesh.bounds[0][2] == 0.0


@pytest.mark.parametrize("name", sorted(PARTS))
def test_numpy_stl_reads_the_same_volume_and_normals(folder: Path, name: str) -> None:
    mesh = stl.mesh.Mesh.from_file(str(folder / "parts" / f"{name}.stl"), calculate_normals=False)
    ours = demo_set().parts.part(name).mesh
    assert len(mesh.vectors) == len(ours.triangles)
    stored = mesh.normals.astype(float)
    mesh.update_normals()
    reckoned = mesh.get_unit_normals()
    # It reckons in float32, which has no digits left for slivers.
    plump = mesh.areas.ravel() > 1e-3
    assert plump.sum() > 0.8 * len(plump)
    assert np.einsum("ij,ij->i", stored, reckoned)[plump].min() > 0.999
    assert mesh.is_closed(exact=True)
    volume, _, _ = mesh.get_mass_properties()
    assert float(volume) == pytest.approx(ours.volume_mm3, rel=1e-4)  # it sums in float32


def _strict(path: Path) -> lib3mf.Model:
    model = lib3mf.get_wrapper().CreateModel()
    reader = model.QueryReader("3mf")
    reader.SetStrictModeActive(True)
    reader.ReadFromFile(str(path))
    assert [reader.GetWarning(k) for k in range(reader.GetWarningCount())] == []
    return model


def _meshes(model: lib3mf.Model) -> dict[str, lib3mf.MeshObject]:
    found = {}
    objects = model.GetMeshObjects()
    while objects.MoveNext():
        mesh = objects.GetCurrentMeshObject()
        found[mesh.GetName()] = mesh
    return found


@pytest.mark.parametrize("name", sorted(PARTS))
def test_lib3mf_strict_reads_parts_without_a_warning(folder: Path, name: str) -> None:
    model = _strict(folder / "parts" / f"{name}.3mf")
    meshes = _meshes(model)
    assert list(meshes) == [name]
    assert meshes[name].IsManifoldAndOriented()
    assert model.GetUnit() == lib3mf.ModelUnit.MilliMeter
    title = model.GetMetaDataGroup().GetMetaDataByKey("", "Title")
    assert title.GetValue() == f"boathouse-pegs {name}"


def test_every_bed_is_read_by_all_three_and_holds_what_the_plan_says(folder: Path) -> None:
    for bed in demo_set().beds:
        model = _strict(folder / "beds" / f"bed-{bed.number}.3mf")
        names = sorted({item.part for item in bed.items})
        assert sorted(_meshes(model)) == names
        assert all(mesh.IsManifoldAndOriented() for mesh in _meshes(model).values())
        items = model.GetBuildItems()
        assert items.Count() == len(bed.items)
        mesh = trimesh.load_mesh(folder / "beds" / f"bed-{bed.number}.stl")
        assert _closed(mesh)
        assert mesh.body_count == len(bed.items)
        assert mesh.euler_number == sum(2 - 2 * PARTS[item.part][0] for item in bed.items)
        size = (220.0, 220.0)
        assert (mesh.bounds[0] >= [5.0, 5.0, 0.0]).all()
        assert (mesh.bounds[1][:2] <= np.array(size) - 5.0).all()
        bulk = stl.mesh.Mesh.from_file(str(folder / "beds" / f"bed-{bed.number}.stl"))
        assert bulk.is_closed(exact=True)


def test_bed_one_is_one_whole_mould() -> None:
    first, *rest = demo_set().beds
    assert sorted(item.part for item in first.items) == ["body", "lid"]
    together = [item.part for bed in rest for item in bed.items]
    assert (together.count("body"), together.count("lid")) == (21, 21)
