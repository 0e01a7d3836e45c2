"""Every file of every shipped job, read by three readers that are not ours.

numpy-stl and trimesh read the STL files, trimesh and lib3mf (the 3MF Consortium's own reader,
in strict mode) the 3MF files.  What the demo's files hold beside their surfaces is asked in
`test_foreign_readers.py`.
"""

from __future__ import annotations

from pathlib import Path

import lib3mf
import numpy as np
import pytest
import stl
import trimesh
from numpy.typing import NDArray

from docs.make_gallery import JOBS
from mouldgen.build import build_moulds
from mouldgen.files.write import write_set
from mouldgen.job.load import load_job
from mouldgen.job.presets import shipped_folder
from mouldgen.mould.parts import Part
from mouldgen.mould_set import MouldSet

SAME = 1e-9  # of a volume: all of these are summed in float64, from the same float32 corners


def held(found: MouldSet, path: Path) -> list[Part]:
    """The parts that a file must hold, each as often as it lies there."""
    parts = {part.name: part for part in found.printed}
    if path.parent.name == "parts":
        return [parts[path.stem]]
    (bed,) = (bed for bed in found.beds if path.stem == f"bed-{bed.number}")
    return [parts[item.part] for item in bed.items]


def volume(parts: list[Part]) -> float:
    return sum(part.mesh.volume_mm3 for part in parts)


def test_no_shipped_job_is_left_out() -> None:
    assert sorted(JOBS) == sorted(path.stem for path in (shipped_folder() / "jobs").glob("*.toml"))


@pytest.mark.parametrize("job", JOBS)
def test_all_readers_find_every_file_closed_wound_alike_and_as_large(
    job: str, tmp_path: Path
) -> None:
    """One test a job, so that each is built once however tests are shared out."""
    loaded = load_job(job)
    found = build_moulds(loaded.job, given=loaded.given)
    paths = write_set(found, out=tmp_path, bed_pictures=["<svg/>"] * len(found.beds))
    stems = [part.name for part in found.printed] + [f"bed-{bed.number}" for bed in found.beds]
    solids = {path.name: path for path in paths if path.suffix in (".stl", ".3mf")}
    assert sorted(solids) == sorted(f"{s}.{ending}" for s in stems for ending in ("stl", "3mf"))
    for path in solids.values():
        parts = held(found, path)
        read_by_trimesh(path, parts)
        if path.suffix == ".stl":
            read_by_numpy_stl(path, parts)
        else:
            read_by_lib3mf(path, parts)


def read_by_trimesh(path: Path, parts: list[Part]) -> None:
    mesh = trimesh.load_mesh(path)
    mesh = mesh.to_mesh() if isinstance(mesh, trimesh.Scene) else mesh
    assert mesh.is_watertight, path.name
    assert mesh.is_winding_consistent, path.name
    assert mesh.volume == pytest.approx(volume(parts), rel=SAME), path.name
    assert mesh.body_count == sum(part.shells for part in parts), path.name
    euler = sum(2 * part.shells - 2 * part.genus for part in parts)
    assert mesh.euler_number == euler, path.name
    assert mesh.bounds[0][2] == 0.0, path.name


def read_by_numpy_stl(path: Path, parts: list[Part]) -> None:
    mesh = stl.mesh.Mesh.from_file(str(path), calculate_normals=False)
    assert len(mesh.vectors) == sum(len(part.mesh.triangles) for part in parts), path.name
    assert _paired(mesh.vectors), path.name
    if path.parent.name == "parts":  # its own check takes seconds for a bed
        assert mesh.is_closed(exact=True), path.name
    # Its own sum is in float32, and a bed's parts lie far from the origin.
    assert _volume(mesh.vectors) == pytest.approx(volume(parts), rel=SAME), path.name


def read_by_lib3mf(path: Path, parts: list[Part]) -> None:
    model = lib3mf.get_wrapper().CreateModel()
    reader = model.QueryReader("3mf")
    reader.SetStrictModeActive(True)
    reader.ReadFromFile(str(path))
    assert [reader.GetWarning(k) for k in range(reader.GetWarningCount())] == [], path.name
    assert model.GetUnit() == lib3mf.ModelUnit.MilliMeter, path.name
    lying = []
    items = model.GetBuildItems()
    while items.MoveNext():
        lying.append(items.GetCurrent().GetObjectResource().GetName())
    assert sorted(lying) == sorted(part.name for part in parts), path.name
    volumes = {name: _volume_of(model, name) for name in set(lying)}
    total = sum(volumes[name] for name in lying)
    assert total == pytest.approx(volume(parts), rel=SAME), path.name
    # Where parts lie: the same box as that of the STL beside it.
    assert _box(model) == pytest.approx(_stl_box(path.with_suffix(".stl")), abs=1e-4), path.name


def _volume_of(model: lib3mf.Model, name: str) -> float:
    """Volume of the object of that name, once it is found closed and wound alike [mm3]."""
    objects = model.GetMeshObjects()
    while objects.MoveNext():
        mesh = objects.GetCurrentMeshObject()
        if mesh.GetName() == name:
            assert mesh.IsManifoldAndOriented(), name
            corners = np.array([list(v.Coordinates) for v in mesh.GetVertices()], np.float64)
            triangles = np.array([list(t.Indices) for t in mesh.GetTriangleIndices()])
            return _volume(corners[triangles])
    raise AssertionError(f"no object is named {name}")


def _paired(corners: NDArray[np.float32]) -> bool:
    """Whether every edge is there once, and once the other way round, to the bit."""
    at = np.zeros(corners.size // 3, np.int64)
    for column in corners.reshape(-1, 3).T:
        values, place = np.unique(column, return_inverse=True)
        at = np.unique(at * len(values) + place, return_inverse=True)[1]
    here = at.reshape(-1, 3)
    there = np.roll(here, -1, axis=1)
    forth = np.sort(here * len(at) + there, axis=None)
    back = np.sort(there * len(at) + here, axis=None)
    return bool((np.diff(forth) > 0).all() and np.array_equal(forth, back))


def _volume(corners: NDArray[np.floating]) -> float:
    a, b, c = (corners[:, i].astype(np.float64) - corners[0, 0] for i in range(3))
    return float(np.einsum("ij,ij->i", a, np.cross(b, c)).sum() / 6.0)


def _box(model: lib3mf.Model) -> list[float]:
    box = model.GetOutbox()
    return [*box.MinCoordinate, *box.MaxCoordinate]


def _stl_box(path: Path) -> list[float]:
    bounds = stl.mesh.Mesh.from_file(str(path), calculate_normals=False).vectors.reshape(-1, 3)
    return [*bounds.min(axis=0).tolist(), *bounds.max(axis=0).tolist()]
