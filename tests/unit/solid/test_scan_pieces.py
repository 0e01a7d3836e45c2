"""A second piece beside a scan: a stray bit is dropped, a rival is a question for the maker."""

from __future__ import annotations

import numpy as np
import pytest

from mouldgen.errors import ScanError
from mouldgen.solid.crossing import crossings_of
from mouldgen.solid.mending import mended
from mouldgen.solid.mesh import Mesh
from tests.random_scans import sphere


def two_balls(share: float) -> Mesh:
    """A ball of 20 mm and, well beside it, one of that share of its volume."""
    corners, faces = sphere(16)
    small = corners * 20.0 * share ** (1.0 / 3.0) + np.array([60.0, 0.0, 0.0])
    vertices = np.concatenate([corners * 20.0, small]).astype(np.float32)
    triangles = np.concatenate([faces, faces + len(corners)])
    return Mesh(vertices, np.ascontiguousarray(triangles, np.int32))


@pytest.mark.parametrize("share", [0.06, 0.15, 0.9])
def test_from_a_twentieth_of_the_volume_it_is_a_rival(share: float) -> None:
    with pytest.raises(ScanError, match="pieces"):
        mended(two_balls(share))


@pytest.mark.parametrize("share", [0.002, 0.04])
def test_below_that_it_is_dropped_and_counted(share: float) -> None:
    found = mended(two_balls(share))
    assert (found.dropped_outside, found.dropped_inside) == (1, 0)
    assert found.dropped_mm3 == pytest.approx(share * found.volume_mm3, rel=0.001)


def test_two_triangles_with_one_corner_in_common_may_still_cross() -> None:
    """A fold: the side across from the common corner goes through the other triangle."""
    corners = np.float32([[0, 0, 0], [4, 0, 0], [0, 4, 0], [1, 1, -1], [1.2, 1.2, 1]])
    mesh = Mesh(corners, np.int32([[0, 1, 2], [0, 3, 4]]))
    found = crossings_of(mesh)
    assert (found.count, found.faces) == (1, 2)
    # From z = -1 to 1 it is half way at z = 0.
    assert found.places == pytest.approx(np.array([[1.1, 1.1, 0.0]]), abs=1e-6)


def test_two_that_only_meet_in_it_do_not() -> None:
    corners = np.float32([[0, 0, 0], [4, 0, 0], [0, 4, 0], [-1, -1, -1], [-1.2, -1.2, 1]])
    assert crossings_of(Mesh(corners, np.int32([[0, 1, 2], [0, 3, 4]]))).count == 0


def test_a_pair_that_shares_many_cells_is_counted_once() -> None:
    """Two large triangles like a cross among hundreds of small ones, which make the cells small."""
    cross = np.float32([[0, 0, 0], [20, 0, 0], [0, 20, 0], [9, 1, -9], [9, 1, 9], [1, 9, 0]])
    grid = np.stack(np.meshgrid(*[np.arange(20.0)] * 2), axis=-1).reshape(-1, 2)
    small = np.array([[0.0, 0.0, 40.0], [0.5, 0.0, 40.0], [0.0, 0.5, 40.0]])
    many = (np.column_stack([grid, np.zeros(len(grid))])[:, None] + small).reshape(-1, 3)
    faces = np.arange(6 + len(many)).reshape(-1, 3)
    found = crossings_of(Mesh(np.concatenate([cross, many]).astype(np.float32), np.int32(faces)))
    assert (found.count, found.faces) == (1, 2)
