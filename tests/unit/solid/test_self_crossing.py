"""Where a mesh passes through itself: planted crossings are found, clean meshes have none."""

from __future__ import annotations

import time

import numpy as np
import pytest

from mouldgen.check.crosses import crosses
from mouldgen.solid import crossing
from mouldgen.solid.crossing import crossings_of
from mouldgen.solid.kernel import box, cylinder, prism, revolve
from mouldgen.solid.mesh import Mesh
from tests.random_scans import SHAPES, shape, sphere


def made(corners: np.ndarray, faces: np.ndarray) -> Mesh:
    return Mesh(corners.astype(np.float32), np.ascontiguousarray(faces, np.int32))


@pytest.mark.parametrize("name", SHAPES)
def test_clean_shapes_have_none(name: str) -> None:
    found = crossings_of(made(*shape(name, np.random.default_rng(1), 30)))
    assert (found.count, found.finished, found.share) == (0, True, 1.0)


def test_clean_solids_with_long_faces_have_none() -> None:
    """Slivers, fans and faces that touch along whole edges."""
    ring = [(np.cos(a) * 9, np.sin(a) * 9) for a in np.linspace(0, 2 * np.pi, 7)[:-1]]
    body = revolve([(0, 0), (12, 0), (14, 50), (11, 50), (10, 3), (0, 3)], sides=120)
    body = body - cylinder(2.0, bottom_mm=-1, top_mm=9, chord_mm=0.01, centre=(5, 2))
    body = body + prism([ring], bottom_mm=2.0, top_mm=20.0)
    assert crossings_of(body.any_mesh()).count == 0
    beside = box((0, 0, 0), (1, 1, 1)).any_mesh()
    touching = np.concatenate([beside.vertices, beside.vertices + np.float32([1, 0, 0])])
    faces = np.concatenate([beside.triangles, beside.triangles + 8])
    assert crossings_of(made(touching, faces)).count == 0


def test_a_spike_through_the_far_wall_is_found() -> None:
    corners, faces = sphere(20)
    corners = corners * 10.0
    corners[corners[:, 2].argmax()] = [0.3, 0.2, -12.0]
    found = crossings_of(made(corners, faces))
    assert found.count >= 1
    assert found.places[:, 2] == pytest.approx(-10.0, abs=0.2)
    assert np.abs(found.places[:, :2]).max() < 1.0


def test_two_balls_cross_in_their_common_circle() -> None:
    corners, faces = sphere(20)
    corners = corners * 10.0
    second = corners + np.array([12.0, 0.1, 0.2])
    mesh = made(np.concatenate([corners, second]), np.concatenate([faces, faces + len(corners)]))
    found = crossings_of(mesh)
    # Midway between the centres, on a circle of radius 8: balls of 10 mm 12 mm apart.
    assert found.places[:, 0] == pytest.approx(6.0, abs=0.3)
    assert np.hypot(found.places[:, 1], found.places[:, 2]) == pytest.approx(8.0, abs=0.3)
    turns = np.sort(np.arctan2(found.places[:, 2], found.places[:, 1]))
    assert np.diff(turns).max() < 0.2  # all the way round
    (finding,) = crosses(mesh, name="two balls")
    assert (finding.id, finding.severity) == ("crossing.itself", "warn")
    assert finding.measured == found.faces


def test_time_runs_out_and_that_is_said() -> None:
    corners, faces = sphere(20)
    mesh = made(corners, faces)
    found = crossings_of(mesh, until=time.monotonic() - 1.0)
    assert (found.count, found.finished, found.share) == (0, False, 0.0)
    (finding,) = crosses(mesh, name="ball", until=time.monotonic() - 1.0)
    assert finding.id == "crossing.unfinished"
    assert finding.message.endswith(" 0 % was looked at.")
    assert crosses(mesh, name="ball") == ()


def test_a_mesh_too_large_for_the_time_is_not_begun(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(crossing, "MOST_FACES", 100)
    mesh = made(*sphere(10))
    assert not crossings_of(mesh, until=time.monotonic() + 60.0).finished
    assert crossings_of(mesh).finished
