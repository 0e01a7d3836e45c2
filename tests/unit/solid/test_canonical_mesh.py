"""Meshes on the grid: canonical, exact under the moves that beds make."""

from __future__ import annotations

import numpy as np
import pytest

from mouldgen.errors import KernelError
from mouldgen.solid.kernel import box, cylinder
from mouldgen.solid.mesh import GRID_MM, REACH_MM, Mesh, canonical
from mouldgen.solid.topology import topology_of


@pytest.fixture(scope="module")
def post() -> Mesh:
    solid = cylinder(7.3, bottom_mm=0.0, top_mm=31.7, chord_mm=0.01, centre=(0.123, -4.567))
    return solid.mesh(genus=0)


def test_corners_are_multiples_of_the_grid_and_read_only(post: Mesh) -> None:
    steps = post.vertices.astype(float) / GRID_MM
    assert (steps == np.round(steps)).all()
    assert post.vertices.dtype == np.float32
    with pytest.raises(ValueError, match="read-only"):
        post.vertices[0, 0] = 1.0


def test_order_does_not_depend_on_the_order_given(post: Mesh) -> None:
    random = np.random.default_rng(4)
    order = random.permutation(len(post.vertices))
    name = np.empty_like(order)
    name[order] = np.arange(len(order))
    faces = np.roll(name[post.triangles], 1, axis=1)[random.permutation(len(post.triangles))]
    assert canonical(post.vertices[order], faces).same_as(post)


def test_the_farthest_multiple_is_exact_in_float32() -> None:
    steps = np.array([1, int(REACH_MM / GRID_MM) - 1, -int(REACH_MM / GRID_MM) + 1])
    exact = steps * GRID_MM
    assert (exact.astype(np.float32).astype(np.float64) == exact).all()


@pytest.mark.parametrize("shift", [(1 / 16, 37.5), (220.0625, -199.9375), (500.0, 500.0)])
def test_a_move_on_the_grid_changes_no_bit_of_the_shape(
    post: Mesh, shift: tuple[float, float]
) -> None:
    moved = post.moved(*shift)
    back = moved.moved(-shift[0], -shift[1])
    assert back.same_as(post)
    assert topology_of(moved).closed


def test_a_move_off_the_grid_or_out_of_reach_is_refused(post: Mesh) -> None:
    with pytest.raises(KernelError, match="off the grid"):
        post.moved(0.1, 0.0)
    with pytest.raises(KernelError, match="1024 mm or more from the origin"):
        post.moved(1020.0, 0.0)


def test_four_quarter_turns_are_none_and_one_takes_x_to_y(post: Mesh) -> None:
    once = post.turned_quarter()
    assert (once.vertices[:, 1] == post.vertices[:, 0]).all()
    assert (once.vertices[:, 0] == -post.vertices[:, 1]).all()
    assert once.volume_mm3 == pytest.approx(post.volume_mm3, rel=1e-12)
    assert topology_of(once).closed
    assert once.turned_quarter().turned_quarter().turned_quarter().same_as(post)


def test_turning_over_is_exact_and_keeps_the_outside_out(post: Mesh) -> None:
    over = post.turned_over()
    assert over.volume_mm3 == pytest.approx(post.volume_mm3, rel=1e-12)
    assert over.bounds[0][2] == -post.bounds[1][2]
    assert over.turned_over().same_as(post)


def test_what_collapses_is_dropped_and_stays_closed() -> None:
    """A sliver thinner than the grid welds away without leaving a hole."""
    corners = box((0, 0, 0), (1, 1, 1)).any_mesh()
    doubled = np.concatenate([corners.vertices.astype(float), [[1.0, 1.0, 1.0 + 1e-6]]])
    last = len(doubled) - 1
    top = int(np.flatnonzero((corners.vertices == 1.0).all(axis=1))[0])
    faces = corners.triangles.copy()
    rows = np.flatnonzero((faces == top).any(axis=1))
    faces = np.where((np.arange(len(faces))[:, None] == rows[0]) & (faces == top), last, faces)
    mesh = canonical(doubled, faces)
    assert len(mesh.vertices) == 8
    assert topology_of(mesh).closed


def test_two_faces_that_fell_together_both_go() -> None:
    """A fin thinner than the grid, its two sides wound against each other, leaves nothing."""
    block = box((0, 0, 0), (1, 1, 1)).any_mesh()
    fin = np.array([[5, 0, 0], [6, 0, 0], [5, 1, 0], [5, 0, 1e-6], [6, 0, 1e-6], [5, 1, 1e-6]])
    corners = np.concatenate([block.vertices.astype(float), fin])
    sides = np.array([[3, 4, 5], [1, 0, 2]]) + len(block.vertices)
    assert canonical(corners, np.concatenate([block.triangles, sides])).same_as(block)


def test_volume_of_a_far_mesh_loses_no_digits(post: Mesh) -> None:
    assert post.moved(900.0, 900.0).volume_mm3 == pytest.approx(post.volume_mm3, rel=1e-12)


@pytest.mark.parametrize("numbers", [2**63, 2])
def test_triangles_are_in_the_order_of_their_corners_however_many_there_are(
    post: Mesh, numbers: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where three counts no longer make one number of 63 bits, another way sorts."""
    monkeypatch.setattr("mouldgen.solid.mesh._NUMBERS", numbers)
    random = np.random.default_rng(5)
    place = random.permutation(len(post.vertices))
    mixed = np.argsort(place)[post.triangles[random.permutation(len(post.triangles))]]

    found = canonical(post.vertices[place], mixed)

    rows = found.triangles.tolist()
    assert len(rows) == len(post.triangles)
    assert rows == sorted(rows)
    assert found.vertices.tolist() == sorted(found.vertices.tolist())
    assert found.same_as(post)
