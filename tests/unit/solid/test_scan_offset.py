"""A scan grown by a gap: distances against closed forms, and the gap that is never missed."""

from __future__ import annotations

import math
import time

import numpy as np
import pytest

from mouldgen.check.sound import sound
from mouldgen.errors import KernelError, ScanError
from mouldgen.solid.crossing import crossings_of
from mouldgen.solid.distance import Cloud, samples_of, to_triangles
from mouldgen.solid.kernel import Solid, box, cylinder
from mouldgen.solid.marching import level_surface
from mouldgen.solid.mesh import Mesh
from mouldgen.solid.offset import least_gap_mm, offset_of
from mouldgen.solid.topology import topology_of
from tests.random_scans import punched, shape, sphere


def made(corners: np.ndarray, faces: np.ndarray) -> Mesh:
    return Mesh(corners.astype(np.float32), np.ascontiguousarray(faces, np.int32))


def field(half: int, cell: float) -> tuple[np.ndarray, np.ndarray]:
    axis = np.arange(-half, half + 1) * cell
    return np.stack(np.meshgrid(axis, axis, axis, indexing="ij")), np.full(3, -half * cell)


def test_marching_converges_with_the_square_of_the_cell() -> None:
    errors = []
    for cell in (1.0, 0.5, 0.25):
        points, origin = field(int(12 / cell), cell)
        values = np.sqrt((points**2).sum(axis=0)).astype(np.float32)
        surface = made(*level_surface(values, level=10.0, origin=origin, cell_mm=cell))
        found = topology_of(surface)
        assert (found.closed, found.shells, found.genus) == (True, 1, 0)
        errors.append(1.0 - surface.volume_mm3 / (4.0 / 3.0 * math.pi * 1000.0))
    rates = np.log2(np.array(errors[:-1]) / errors[1:])
    assert rates == pytest.approx([2.0, 2.0], abs=0.1)


@pytest.mark.parametrize("seed", range(6))
def test_marching_is_closed_whatever_the_numbers_are(seed: int) -> None:
    values = np.random.default_rng(seed).random((9, 8, 7)).astype(np.float32)
    values[[0, -1]] = values[:, [0, -1]] = values[:, :, [0, -1]] = 2.0
    surface = made(*level_surface(values, level=0.5, origin=np.zeros(3), cell_mm=1.0))
    assert topology_of(surface).closed
    assert surface.volume_mm3 > 0.0


def test_marching_refuses_to_leave_its_grid() -> None:
    with pytest.raises(KernelError, match="leaves its grid"):
        level_surface(np.zeros((3, 3, 3), np.float32), level=1.0, origin=np.zeros(3), cell_mm=1.0)


@pytest.mark.parametrize(
    ("point", "distance"),
    # A right triangle with legs of 3 and 4 in the plane z = 0; distances worked by hand.
    [((1, 1, 2), 2.0), ((-3, -4, 0), 5.0), ((1, -2, 0), 2.0), ((3, 4, 0), 2.4), ((0, 5, 0), 1.0)],
)
def test_distance_to_a_triangle(point: tuple[float, ...], distance: float) -> None:
    triangle = np.array([[[0.0, 0, 0], [3, 0, 0], [0, 4, 0]]])
    for order in ([0, 1, 2], [2, 1, 0], [1, 2, 0]):
        found = to_triangles(np.array([point], float), triangle[:, order])
        assert found[0] == pytest.approx(distance, rel=1e-12)


def test_samples_overstate_a_distance_by_little_and_never_understate_it() -> None:
    mesh = cylinder(8.0, bottom_mm=0.0, top_mm=40.0, chord_mm=0.01).any_mesh()
    cloud = Cloud(mesh.corners.astype(float), spacing_mm=0.25)
    points = np.random.default_rng(0).uniform([-12, -12, 5], [12, 12, 35], (2000, 3))
    true = np.abs(np.hypot(points[:, 0], points[:, 1]) - 8.0)
    inner = np.hypot(points[:, 0], points[:, 1]) > 4.0  # where the side is nearest
    near = cloud.near(points)
    assert (near >= cloud.exact(points) - 1e-12).all()
    assert cloud.exact(points)[inner] == pytest.approx(true[inner], abs=0.011)
    far = inner & (true > 1.0)
    # spacing^2 / (4 d), and the chord of 0.01 mm.
    assert (near - true)[far].max() <= 0.25**2 / 4.0 + 0.011


def test_samples_cover_a_long_thin_triangle_without_crowding_it() -> None:
    sliver = np.array([[[0.0, 0, 0], [100.0, 0, 0], [50.0, 0.1, 0]]])
    samples, faces = samples_of(sliver, 0.5)
    assert len(samples) == 201 + 1  # a row along the base, and the far corner
    assert (faces == 0).all()


def test_a_ball_grows_into_a_ball() -> None:
    corners, faces = sphere(24)
    scan = made(corners * 10.0, faces)
    grown = offset_of(scan, gap_mm=2.0)
    assert 2.0 <= grown.least_mm <= 2.1
    assert sound(grown.mesh, name="cavity", genus=0, shells=1) == ()
    # Between the ball of 12 mm, less the facets of the scan, and one 5 % of the gap larger.
    assert 11.94 < (grown.mesh.volume_mm3 / (4.0 / 3.0 * math.pi)) ** (1 / 3) < 12.1


@pytest.mark.parametrize("name", ["bar", "torus"])
def test_the_least_gap_is_met_and_hardly_exceeded(name: str) -> None:
    corners, faces = shape(name, np.random.default_rng(8), 14)
    scan = made(corners, faces)
    grown = offset_of(scan, gap_mm=2.5)
    assert 2.5 <= grown.least_mm <= 2.5 * 1.05
    # The kernel's own figure, asked anew with nothing of `offset_of` between.
    low, high = np.array(grown.mesh.bounds[0]), np.array(grown.mesh.bounds[1])
    shell = box((low - 5).tolist(), (high + 5).tolist()) - Solid.of_mesh(grown.mesh)
    assert shell.least_gap_mm(Solid.of_mesh(scan)) == grown.least_mm
    # And nowhere is it much wider: each corner's distance, but in the torus's own hole.
    away = Cloud(scan.corners.astype(float), spacing_mm=0.2).exact(
        grown.mesh.vertices.astype(float)
    )
    assert np.quantile(away, 0.99) < 2.5 * 1.1
    assert crossings_of(grown.mesh).count == 0


def test_a_hollow_inside_leaves_nothing() -> None:
    hollow = box((0, 0, 0), (20, 20, 20)) - box((2, 2, 2), (18, 18, 18))
    grown = offset_of(hollow.any_mesh(), gap_mm=2.0)
    assert grown.pieces_filled == 1
    # A cube of 20 mm with rounded edges: 20^3 + 6 * 20^2 * 2 + 12 * 20 * pi + 4/3 pi 2^3.
    exact = 8000.0 + 4800.0 + 3.0 * math.pi * 4.0 * 20.0 + 4.0 / 3.0 * math.pi * 8.0
    assert exact <= grown.mesh.volume_mm3 <= 1.02 * exact


@pytest.mark.parametrize("open_upward", [False, True])
def test_a_pocket_behind_a_narrow_mouth_is_filled_and_measured(open_upward: bool) -> None:
    block = box((0, 0, 0), (20, 20, 20))
    chamber = box((2, 2, 2), (18, 18, 18))
    # A drill of 3 mm from the side: less than twice the gap.
    mouth = box((-1, 8.5, 8.5), (3, 11.5, 11.5))
    pocketed = offset_of(
        (block - chamber - mouth).any_mesh(), gap_mm=2.0, cell_mm=0.25, open_upward=open_upward
    )
    assert pocketed.pieces_filled == 1
    # Of the chamber what is 2 mm from its walls, 12^3 mm3: counted in cells, half a cell each side.
    assert pocketed.filled_mm3 == pytest.approx(12.0**3, rel=0.07)
    assert topology_of(pocketed.mesh).shells == 1
    # The middle of a thick insert lies beyond the gap too, and is no pocket.
    plain = offset_of(block.any_mesh(), gap_mm=2.0, open_upward=open_upward)
    assert (plain.pieces_filled, plain.filled_mm3) == (0, 0.0)
    # A wide mouth makes it part of the outside, where the mould's own wall may stand.
    wide = box((-1, 4, 4), (3, 16, 16))
    opened = offset_of((block - chamber - wide).any_mesh(), gap_mm=2.0, cell_mm=0.25)
    assert (opened.pieces_filled, opened.filled_mm3) == (0, 0.0)


def test_a_raw_scan_needs_no_mending_where_its_holes_are_small() -> None:
    rng = np.random.default_rng(2)
    corners, faces = sphere(18)
    whole = offset_of(made(corners * 10.0, faces), gap_mm=2.5)
    hurt = punched(corners, faces, rng, holes=8, share=0.002)
    turned = rng.random(len(hurt)) < 0.2
    hurt = np.where(turned[:, None], hurt[:, ::-1], hurt)
    raw = made(corners * 10.0, hurt)
    grown = offset_of(raw, gap_mm=2.5)
    assert 2.5 <= grown.least_mm <= 2.5 * 1.05
    assert grown.mesh.volume_mm3 == pytest.approx(whole.mesh.volume_mm3, rel=0.01)
    assert least_gap_mm(grown.mesh, raw, within_mm=4.0) == grown.least_mm


def test_the_same_scan_gives_the_same_bytes() -> None:
    corners, faces = shape("pebble", np.random.default_rng(4), 12)
    first, second = (offset_of(made(corners, faces), gap_mm=4.0) for _ in range(2))
    assert first.mesh.same_as(second.mesh)


def test_what_cannot_be_grown_is_said() -> None:
    corners, faces = sphere(10)
    apart = np.concatenate([corners * 5.0, corners * 5.0 + [40.0, 0, 0]])
    with pytest.raises(ScanError, match="still makes 2 solids"):
        offset_of(made(apart, np.concatenate([faces, faces + len(corners)])), gap_mm=2.0)
    with pytest.raises(ScanError, match=r"too small for a scan of this size|million samples"):
        offset_of(made(corners * 300.0, faces), gap_mm=0.5)
    with pytest.raises(KernelError, match="gap_mm must be finite and above zero"):
        offset_of(made(corners, faces), gap_mm=0.0)


@pytest.mark.heavy
def test_two_hundred_thousand_faces_with_forty_holes() -> None:
    """The whole of it in processor time: other programs on the machine do not count."""
    from mouldgen.solid.mending import mended

    rng = np.random.default_rng(3)
    corners, faces = shape("pebble", rng, 158)
    corners = corners + rng.normal(0.0, 0.01, corners.shape)
    hurt = corners[punched(corners, faces, rng, holes=40, share=0.0005)]
    scan = made(hurt.reshape(-1, 3), np.arange(3 * len(hurt)).reshape(-1, 3))
    start = time.process_time()
    solid = mended(scan)
    grown = offset_of(solid.mesh, gap_mm=2.0)
    assert sound(grown.mesh, name="cavity", genus=0, shells=1) == ()
    assert time.process_time() - start < 20.0
    assert 2.0 <= grown.least_mm <= 2.1
    assert solid.volume_mm3 == pytest.approx(made(corners, faces).volume_mm3, rel=1e-4)
    assert crossings_of(grown.mesh).count == 0
