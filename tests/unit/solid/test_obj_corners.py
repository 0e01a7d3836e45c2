"""OBJ whose faces count back from where they stand: each names the corners just before it."""

from __future__ import annotations

import numpy as np
import pytest

from mouldgen.errors import MeshFileError
from mouldgen.solid.obj_corners import counted_from_the_start
from mouldgen.solid.scan_file import read_any

# From the format's description of 1995 (from memory): -1 is the corner given last, and numbers
# count from one.
ABOVE = "".join(
    f"v 0 0 {z}\nv 1 0 {z}\nv 0 1 {z}\nf -3 -2 -1\n" for z in (0.0, 5.0)
).encode()  # fmt: skip


def test_faces_between_corners_name_those_before_them() -> None:
    """Two triangles one above the other, each written after its own three corners."""
    ((_, mesh),) = read_any(ABOVE, name="a.obj")

    assert len(mesh.vertices) == 6
    assert sorted(np.unique(triangle[:, 2]).tolist() for triangle in mesh.corners) == [[0.0], [5.0]]


def test_with_textures_normals_comments_and_lines_that_go_on() -> None:
    data = ABOVE.replace(b"f -3 -2 -1", b"  f -3/1/-1 -2//1 \\\n -1/1 # a face")

    assert counted_from_the_start(data, name="a.obj").count(b"f 1 2 3\n") == 1
    assert counted_from_the_start(data, name="a.obj").count(b"f 4 5 6\n") == 1


@pytest.mark.parametrize("face", [b"f 0 1 2", b"f 1 0/1 2", b"f -4 1 2", b"f 1 2 00", b"f -x 1 2"])
def test_a_corner_that_is_not_there_is_refused(face: bytes) -> None:
    """The number 0 names no corner, and was once taken for the first."""
    with pytest.raises(MeshFileError, match="names a corner that is not there"):
        read_any(b"v 0 0 0\nv 1 0 0\nv 0 1 0\n" + face + b"\n", name="a.obj")


def test_what_counts_from_the_start_is_left_as_it_is() -> None:
    data = b"v 0 0 -1\nv 1 0 0\nv 0 1 0\nvn 0 0 -1\nf 1//1 2//1 3//1\nf 10 20 30\n"

    assert counted_from_the_start(data, name="a.obj") is data
