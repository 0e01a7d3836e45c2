"""Flat triangles turn away without moving a corner."""

import numpy as np
import pytest

from mouldgen.solid.flats import turned_away
from mouldgen.solid.kernel import box
from mouldgen.solid.mesh import Mesh, canonical
from mouldgen.solid.topology import topology_of


def with_flat(mesh: Mesh, face: int, share: float) -> Mesh:
    """A corner on one side of a face; the face stays whole and a flat one closes the slit."""
    corners, faces = mesh.vertices.astype(float), mesh.triangles.astype(int)
    i, j, _ = faces[face]
    middle = corners[i] + share * (corners[j] - corners[i])
    k = len(corners)
    # The neighbour is split at the new corner; this face is not, so a flat one lies between.
    other = next(n for n, f in enumerate(faces) if {i, j} <= set(f) and n != face)
    far = next(c for c in faces[other] if c not in (i, j))
    rest = np.delete(faces, other, axis=0)
    return canonical(
        np.vstack([corners, middle]),
        np.vstack([rest, [[far, k, i], [far, j, k], [j, i, k]]]),
    )


@pytest.mark.parametrize("face", range(12))
@pytest.mark.parametrize("share", [0.25, 0.5, 0.75])
def test_a_flat_triangle_is_turned_away(face: int, share: float) -> None:
    # Sides that are powers of two: the new corner lies on its edge to the last bit.
    slit = with_flat(box((0, 0, 0), (8, 4, 16)).any_mesh(), face, share)
    before = topology_of(slit)
    assert before.closed
    assert before.flat == 1

    mended = turned_away(slit)
    after = topology_of(mended)

    assert (after.flat, after.closed, after.genus, after.shells) == (0, True, 0, 1)
    assert len(mended.triangles) == len(slit.triangles)
    assert np.array_equal(mended.vertices, slit.vertices)
    assert mended.volume_mm3 == 512.0


def test_a_mesh_without_flats_stays_as_it_is() -> None:
    cube = box((0, 0, 0), (3, 5, 7)).any_mesh()

    assert turned_away(cube).same_as(cube)
