"""Scans made solid: against shapes of known volume, and refused where it would be a guess."""

from __future__ import annotations

import math

import numpy as np
import pytest

from mouldgen.errors import ScanError
from mouldgen.solid.ailments import ailments_of, unit_doubt
from mouldgen.solid.kernel import Solid, box, cylinder, union
from mouldgen.solid.mending import mended
from mouldgen.solid.mesh import Mesh
from mouldgen.solid.shells import enclosed
from mouldgen.solid.topology import topology_of
from tests.random_scans import punched, sphere

# Corners move by up to half the mesh grid, 3e-5 mm, on a ball of 1250 mm2 and 4200 mm3.
SNAP = 1e-5


def made(corners: np.ndarray, faces: np.ndarray) -> Mesh:
    return Mesh(corners.astype(np.float32), np.ascontiguousarray(faces, np.int32))


def ball(steps: int = 24, radius: float = 10.0) -> tuple[np.ndarray, np.ndarray]:
    corners, faces = sphere(steps)
    return corners * radius, faces


def both(*meshes: tuple[np.ndarray, np.ndarray]) -> Mesh:
    starts = np.cumsum([0] + [len(corners) for corners, _ in meshes])
    faces = [f + start for (_, f), start in zip(meshes, starts, strict=False)]
    return made(np.concatenate([c for c, _ in meshes]), np.concatenate(faces))


def test_a_sound_mesh_comes_back_as_it_was() -> None:
    mesh = cylinder(7.0, bottom_mm=0.0, top_mm=30.0, chord_mm=0.02).any_mesh()
    result = mended(mesh)
    assert result.mesh.same_as(mesh)
    assert not result.changed
    assert result.deviation_mm == 0.0
    assert result.moved_mm == (0.0, 0.0, 0.0)


def test_a_cube_without_a_face_is_closed_exactly() -> None:
    mesh = box((0, 0, 0), (10, 10, 10)).any_mesh()
    top = (mesh.corners[:, :, 2] == 10.0).all(axis=1)
    result = mended(Mesh(mesh.vertices, mesh.triangles[~top]))
    assert result.volume_mm3 == pytest.approx(1000.0, rel=1e-12)
    assert (result.holes, result.patched_share) == (1, pytest.approx(1 / 6))
    assert result.largest_hole_mm == pytest.approx(10.0 * math.sqrt(2.0))
    assert result.bounds == mesh.bounds
    # The middle of the lid is 5 mm from the nearest wall.
    assert result.deviation_mm == pytest.approx(5.0, abs=0.1)


@pytest.mark.parametrize("seed", range(4))
def test_holes_flips_and_doubles_cost_next_to_nothing(seed: int) -> None:
    rng = np.random.default_rng(seed)
    corners, faces = ball()
    whole = made(corners, faces).volume_mm3
    hurt = punched(corners, faces, rng, holes=6)
    turned = rng.random(len(hurt)) < 0.2
    hurt = np.where(turned[:, None], hurt[:, ::-1], hurt)
    hurt = np.concatenate([hurt, hurt[:50], hurt[50:100, ::-1]])
    result = mended(made(corners, hurt))
    assert result.doubled == 100
    assert 1 <= result.holes <= 6
    assert result.volume_mm3 == pytest.approx(whole, rel=2e-3)
    assert result.volume_mm3 < whole  # a flat patch on a ball lies inside it
    found = topology_of(result.mesh)
    assert (found.closed, found.shells, found.genus) == (True, 1, 0)


def test_loose_triangles_are_welded() -> None:
    corners, faces = ball()
    rng = np.random.default_rng(1)
    loose = corners[faces].reshape(-1, 3) + rng.normal(0.0, 1e-5, (faces.size, 3))
    mesh = made(loose, np.arange(faces.size).reshape(-1, 3))
    assert ailments_of(mesh).hole_count == len(faces)
    result = mended(mesh)
    assert result.welded == faces.size - len(corners)
    assert result.holes == 0
    assert result.volume_mm3 == pytest.approx(made(corners, faces).volume_mm3, rel=SNAP)


def test_inside_out_is_turned_and_said() -> None:
    corners, faces = ball()
    result = mended(made(corners, faces[:, ::-1]))
    assert result.inside_out
    assert result.given_volume_mm3 == pytest.approx(-result.volume_mm3, rel=SNAP)


def test_what_lies_inside_goes_and_so_do_crumbs() -> None:
    corners, faces = ball()
    crumb = (corners * 0.01 + [20.0, 0.0, 0.0], faces)
    inner = (corners * 0.4, faces[:, ::-1])
    result = mended(both((corners, faces), inner, crumb))
    assert (result.dropped_inside, result.dropped_outside) == (1, 1)
    assert result.dropped_mm3 == pytest.approx(1e-6 * result.volume_mm3, rel=1e-3)
    assert result.volume_mm3 == pytest.approx(made(corners, faces).volume_mm3, rel=SNAP)


def test_two_large_pieces_are_a_question_for_the_maker() -> None:
    corners, faces = ball()
    second = corners * 0.9 + np.array([15.0, 0.0, 0.0])
    mesh = both((corners, faces), (second, faces))
    with pytest.raises(ScanError, match=r"holds 2 large pieces: 4\.1\d ml and 3\.0\d ml"):
        mended(mesh)
    joined = mended(mesh, keep="all")
    one, other = (Solid.of_mesh(made(c, faces)) for c in (corners, second))
    assert joined.volume_mm3 == pytest.approx(union([one, other]).volume_mm3(), rel=SNAP)


def test_a_pinched_rim_is_cut_where_it_touches_itself() -> None:
    """Two holes that meet in a corner: no patch and no tent may lie over the pinch twice."""
    corners, faces = ball(8)
    at = 17
    own = np.flatnonzero((faces == at).any(axis=1))
    assert len(own) == 6
    # Every second face about one corner: three holes that share it.
    ring = [own[0]]
    while len(ring) < 6:
        last = set(faces[ring[-1]].tolist())
        ring.append(next(f for f in own if f not in ring and len(last & set(faces[f])) == 2))
    hurt = np.delete(faces, ring[::2], axis=0)
    result = mended(made(corners, hurt))
    assert topology_of(result.mesh).closed
    assert result.volume_mm3 == pytest.approx(made(corners, faces).volume_mm3, rel=SNAP)


def test_a_fin_and_a_wall_across_do_not_stay() -> None:
    corners, faces = ball(12)
    fin = np.array([[faces[5, 0], faces[5, 1], len(corners)]])
    result = mended(made(np.concatenate([corners, [[0.0, 0.0, 30.0]]]), np.r_[faces, fin]))
    assert result.crowded == 1
    assert result.bounds[1][2] == pytest.approx(10.0, abs=1e-3)


def test_a_far_scan_is_moved_by_whole_millimetres() -> None:
    corners, faces = ball()
    result = mended(made(corners + np.array([5000.0, 0.0, 0.0]), faces))
    assert result.moved_mm == (-5000.0, 0.0, 0.0)
    # float32 holds 5000 mm to 0.0005.
    assert result.volume_mm3 == pytest.approx(made(corners, faces).volume_mm3, rel=1e-4)
    with pytest.raises(ScanError, match=r"is 2\.0 m long: its unit is probably wrong"):
        mended(made(corners * 100.0, faces))


def test_what_would_be_a_guess_is_refused() -> None:
    corners, faces = ball()
    half = corners[faces].mean(axis=1)[:, 2] > 0.0
    with pytest.raises(ScanError, match=r"3\d% of the surface would be patches"):
        mended(made(corners, faces[half]))
    assert mended(made(corners, faces[half]), most_patched=0.4).volume_mm3 > 0.0
    with pytest.raises(ScanError, match="encloses nothing"):
        mended(made(np.array([[0.0, 0, 0], [9, 0, 0], [0, 9, 0]]), np.array([[0, 1, 2]])))
    with pytest.raises(ScanError, match="nothing is left"):
        mended(made(np.zeros((3, 3)), np.array([[0, 1, 2]])))


def test_a_strip_with_half_a_twist_is_refused() -> None:
    n, angle = 60, np.arange(60) * 2.0 * math.pi / 60
    points = []
    for side in (-1.0, 1.0):
        reach = 20.0 + 4.0 * side * np.cos(angle / 2.0)
        z = 4.0 * side * np.sin(angle / 2.0)
        points.append(np.column_stack([reach * np.cos(angle), reach * np.sin(angle), z]))
    here = np.arange(n)
    there = (here + 1) % n
    low, high = there.copy(), there + n
    low[-1], high[-1] = n, 0  # the ends change sides
    faces = np.concatenate(
        [np.column_stack([here, low, high]), np.column_stack([here, high, here + n])]
    )
    mesh = made(np.concatenate(points), faces)
    assert ailments_of(mesh).one_sided_faces == 2 * n
    with pytest.raises(ScanError, match="one side only"):
        mended(mesh)


def test_ailments_are_counted() -> None:
    corners, faces = ball(12)
    flipped = faces.copy()
    flipped[3] = flipped[3, ::-1]
    crumb = (corners * 0.05 + [30.0, 0.0, 0.0], faces)
    hurt = np.concatenate([np.delete(flipped, [100, 900], axis=0), faces[7:8], [[1, 1, 2]]])
    found = ailments_of(both((corners, hurt), crumb))
    assert (found.flat, found.doubled, found.turned_faces) == (1, 1, 1)
    assert (found.open_edges, found.hole_count) == (6, 2)
    assert [hole.edges for hole in found.holes] == [3, 3]
    assert found.shell_count == 2
    assert [shell.open for shell in found.shells] == [True, False]
    assert found.shells[1].volume_mm3 == pytest.approx(
        0.05**3 * made(corners, faces).volume_mm3, rel=1e-3
    )
    assert not found.sound
    assert ailments_of(made(corners, faces)).sound
    assert ailments_of(made(corners, faces[:, ::-1])).inside_out


@pytest.mark.parametrize(
    ("longest", "says"),
    [(0.07, "0.07 mm at its longest: perhaps it was saved in metres"),
     (2.8, "2.8 mm at its longest: perhaps it was saved in inches"),
     (70.0, ""),
     (2000.0, "2 m at its longest")],
)  # fmt: skip
def test_an_unlikely_size_is_said_and_never_mended(longest: float, says: str) -> None:
    assert unit_doubt(longest).partition("it is ")[2].startswith(says)
    assert bool(unit_doubt(longest)) == bool(says)


def test_a_point_inside_a_surface_with_holes() -> None:
    corners, faces = ball(12)
    skin = corners[np.delete(faces, slice(0, 1000, 40), axis=0)]
    points = np.random.default_rng(0).uniform(-12.0, 12.0, (500, 3))
    away = np.linalg.norm(points, axis=1)
    clear = np.abs(away - 9.9) > 0.2  # the facets lie up to 0.2 mm within the ball of 10 mm
    assert (enclosed(skin, points) == (away < 9.9))[clear].all()
