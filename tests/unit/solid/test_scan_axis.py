"""The pose of a scan: shapes whose thinnest cylinder is known, in any position."""

from __future__ import annotations

import math

import numpy as np
import pytest

from mouldgen.errors import ScanError
from mouldgen.solid.axis import least_circle, poses_of
from mouldgen.solid.kernel import Solid, box, cylinder, revolve
from mouldgen.solid.mesh import Mesh


def anyhow(solid: Solid, seed: int) -> Mesh:
    """The solid turned and moved at random."""
    rng = np.random.default_rng(seed)
    turn = np.linalg.qr(rng.normal(size=(3, 3)))[0]
    turn *= np.sign(np.linalg.det(turn))
    return solid.placed(np.column_stack([turn, rng.uniform(-50, 50, 3)])).any_mesh()


@pytest.mark.parametrize("seed", range(3))
def test_a_bar_stands_on_its_end(seed: int) -> None:
    mesh = anyhow(box((0, 0, 0), (20, 12, 50)), seed)
    pose, _ = poses_of(mesh)
    # The circle round 20 x 12 has the radius hypot(10, 6).
    assert pose.radius_mm == pytest.approx(math.hypot(10.0, 6.0), abs=2e-4)
    assert pose.length_mm == pytest.approx(50.0, abs=2e-4)
    placed = pose.placed(mesh)
    assert placed.volume_mm3 == pytest.approx(12000.0, rel=1e-5)
    assert placed.bounds[0] == pytest.approx((-10.0, -6.0, 0.0), abs=5e-4)
    assert placed.bounds[1] == pytest.approx((10.0, 6.0, 50.0), abs=5e-4)


def test_a_cone_stands_upright_either_way() -> None:
    """It could lean in its cylinder without widening it; it does not."""
    mesh = anyhow(revolve([(0, 0), (10, 0), (4, 50), (0, 50)], sides=90), 7)
    heavy, light = poses_of(mesh)
    assert (heavy.heavy_end_down, light.heavy_end_down) == (True, False)
    for pose, foot in ((heavy, 10.0), (light, 4.0)):
        assert pose.length_mm == pytest.approx(50.0, abs=1e-3)
        placed = pose.placed(mesh).vertices.astype(float)
        low = placed[placed[:, 2] < 1e-3]
        assert np.hypot(low[:, 0], low[:, 1]).max() == pytest.approx(foot, abs=0.01)


def test_the_cylinder_holds_the_scan_and_touches_it() -> None:
    mesh = anyhow(
        cylinder(7.0, bottom_mm=0, top_mm=60, chord_mm=0.01) - box((3, -9, 20), (9, 9, 40)), 1
    )
    for pose in poses_of(mesh):
        placed = pose.placed(mesh).vertices.astype(float)
        reach = np.hypot(placed[:, 0], placed[:, 1]).max()
        assert reach == pytest.approx(pose.radius_mm, abs=1e-4)
        assert placed[:, 2].min() == pytest.approx(0.0, abs=1e-4)
        assert placed[:, 2].max() == pytest.approx(pose.length_mm, abs=1e-4)


@pytest.mark.parametrize("seed", range(5))
def test_the_least_circle_holds_all_and_rests_on_two_or_three(seed: int) -> None:
    points = np.random.default_rng(seed).normal(size=(300, 2)) * [3.0, 1.0]
    radius, centre = least_circle(points)
    away = np.hypot(*(points - centre).T)
    assert away.max() == pytest.approx(radius, rel=1e-9)
    on = points[away > radius * (1 - 1e-6)] - centre
    assert len(on) >= 2
    # Least where the centre lies between those it rests on: no half circle is free of them.
    angles = np.sort(np.arctan2(on[:, 1], on[:, 0]))
    assert np.diff(np.append(angles, angles[0] + 2 * math.pi)).max() <= math.pi + 1e-4


def test_what_has_no_inside_has_no_axis() -> None:
    flat = np.array([[0, 0, 0], [9, 0, 0], [0, 9, 0], [9, 9, 0]], np.float32)
    with pytest.raises(ScanError, match="is flat"):
        poses_of(Mesh(flat, np.array([[0, 1, 2], [1, 3, 2]], np.int32)))
    mesh = box((0, 0, 0), (1, 1, 2)).any_mesh()
    with pytest.raises(ScanError, match="inside out"):
        poses_of(Mesh(mesh.vertices, np.ascontiguousarray(mesh.triangles[:, ::-1])))
