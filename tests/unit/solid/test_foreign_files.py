"""OBJ, PLY, OFF and GLB: the same solid out of each, its unit, and every way to be cut short."""

from __future__ import annotations

import numpy as np
import pytest
import trimesh

from mouldgen.errors import MeshFileError
from mouldgen.solid.foreign import KINDS, read_foreign
from mouldgen.solid.kernel import box
from mouldgen.solid.mesh import Mesh
from mouldgen.solid.scan_file import joined, read_any
from mouldgen.solid.stl import stl_bytes
from mouldgen.solid.threemf import Item, threemf_bytes
from mouldgen.solid.topology import topology_of
from tests.faults.broken_meshes import GOOD_FOREIGN
from tests.random_scans import shape


@pytest.fixture(scope="module")
def pebble() -> trimesh.Trimesh:
    corners, faces = shape("pebble", np.random.default_rng(3), 12)
    return trimesh.Trimesh(corners, faces, process=False)


def written(mesh: trimesh.Trimesh | trimesh.Scene, kind: str, **how: str) -> bytes:
    data = mesh.export(file_type=kind, **how)
    return data if isinstance(data, bytes) else data.encode()


@pytest.mark.parametrize(
    ("kind", "how"),
    [("obj", {}), ("off", {}), ("glb", {}), ("ply", {}), ("ply", {"encoding": "ascii"})],
)
def test_every_format_gives_the_same_solid(
    pebble: trimesh.Trimesh, kind: str, how: dict[str, str]
) -> None:
    """Written by another library, which is also the one that reads: the numbers are our own."""
    ((_, mesh),) = read_foreign(written(pebble, kind, **how), kind=kind, name="a", unit_mm=1.0)
    assert len(mesh.triangles) == len(pebble.faces)
    assert topology_of(mesh).closed
    # OBJ and OFF are text of eight decimals or more; float32 holds seven digits.
    assert mesh.volume_mm3 == pytest.approx(pebble.volume, rel=1e-6)
    assert mesh.bounds[1] == pytest.approx(pebble.bounds[1], rel=1e-6)


def test_glb_is_in_metres_and_the_others_in_what_is_said(pebble: trimesh.Trimesh) -> None:
    """glTF 2.0, section 3.4: all linear distances are in metres."""
    longest = float(np.ptp(pebble.bounds, axis=0).max())
    for kind, unit, scale in (("glb", None, 1000.0), ("obj", None, 1.0), ("obj", 25.4, 25.4)):
        data = written(pebble, kind)
        ((_, mesh),) = read_foreign(data, kind=kind, name="a", unit_mm=unit)
        found = max(np.subtract(*reversed(mesh.bounds)))
        assert found == pytest.approx(scale * longest, rel=1e-6)


def test_a_stated_unit_goes_for_stl_and_never_for_3mf() -> None:
    mesh = box((0, 0, 0), (1, 2, 3)).any_mesh()
    ((_, inches),) = read_any(stl_bytes([mesh]), name="a.stl", unit_mm=25.4)
    assert inches.bounds[1] == pytest.approx((25.4, 50.8, 76.2), rel=1e-6)
    data = threemf_bytes([Item("a", mesh)], title="a", application="a")
    with pytest.raises(MeshFileError, match="which names its own unit"):
        read_any(data, name="a.3mf", unit_mm=25.4)
    with pytest.raises(MeshFileError, match="cannot be in a unit"):
        read_any(stl_bytes([mesh]), name="a.stl", unit_mm=0.0)


def test_a_scene_is_read_piece_by_piece_and_a_mirrored_one_stays_right_side_out() -> None:
    scene = trimesh.Scene()
    block = trimesh.creation.box((0.01, 0.02, 0.03))
    scene.add_geometry(block, node_name="a", geom_name="bar")
    mirror = np.diag([-1.0, 1.0, 1.0, 1.0])
    mirror[0, 3] = 0.1
    scene.add_geometry(block, node_name="b", geom_name="bar", transform=mirror)
    solids = read_foreign(written(scene, "glb"), kind="glb", name="a")
    assert [mesh.volume_mm3 for _, mesh in solids] == pytest.approx([6000.0, 6000.0], rel=1e-5)
    whole = joined(solids)
    assert whole.volume_mm3 == pytest.approx(12000.0, rel=1e-5)
    assert topology_of(whole).shells == 2


@pytest.mark.parametrize("kind", KINDS)
def test_no_cut_and_no_flipped_byte_ends_in_anything_but_a_mesh_or_a_sentence(kind: str) -> None:
    data = GOOD_FOREIGN[kind]
    rng = np.random.default_rng(5)
    cases = [data[:size] for size in range(1, len(data), 5)]
    for _ in range(150):
        hurt = bytearray(data)
        for at in rng.integers(len(data), size=3):
            hurt[at] = rng.integers(256)
        cases.append(bytes(hurt))
    refused = 0
    for case in cases:
        try:
            solids = read_foreign(case, kind=kind, name="a")
        except MeshFileError as problem:
            refused += 1
            text = str(problem)
            if not (text.startswith("a: ") and text.endswith(".")):
                pytest.fail(text)
        else:
            assert all(isinstance(mesh, Mesh) for _, mesh in solids)
    assert refused > 50  # and an OBJ, which counts nothing, may be cut between two lines


def test_a_cut_obj_is_told_by_its_last_line_or_by_its_holes(pebble: trimesh.Trimesh) -> None:
    data = written(pebble, "obj").rstrip()
    between = data[: data.rindex(b"\nf")]
    ((_, mesh),) = read_foreign(between, kind="obj", name="a")
    assert topology_of(mesh).open_edges == 3
    within = data[: data.rindex(b" ")]
    with pytest.raises(MeshFileError, match=r"cut short|that can be read"):
        read_foreign(within, kind="obj", name="a")


def test_quads_are_split() -> None:
    quads = b"OFF\n8 6 0\n" + b"".join(
        f"{x} {y} {z}\n".encode() for x in (0, 1) for y in (0, 1) for z in (0, 1)
    )
    quads += b"4 0 1 3 2\n4 4 6 7 5\n4 0 4 5 1\n4 2 3 7 6\n4 0 2 6 4\n4 1 5 7 3\n"
    ((_, mesh),) = read_foreign(quads, kind="off", name="a")
    assert len(mesh.triangles) == 12
    assert topology_of(mesh).closed
    assert mesh.volume_mm3 == pytest.approx(1.0)


def test_the_other_library_says_nothing_on_the_terminal(
    capfd: pytest.CaptureFixture[str],
) -> None:
    for kind in KINDS:
        with pytest.raises(MeshFileError):
            read_foreign(GOOD_FOREIGN[kind][:-30], kind=kind, name="a")
    assert capfd.readouterr() == ("", "")
