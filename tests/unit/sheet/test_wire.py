from __future__ import annotations

import numpy as np
import pytest

from mouldgen.insert import twist
from mouldgen.sheet.wire import drawn_edges, sharp_edges
from tests.insert_shapes import insert


def _drum(sides: int) -> tuple[np.ndarray, np.ndarray]:
    """A closed prism about z with both ends fanned from a centre."""
    angle = 2 * np.pi * np.arange(sides) / sides
    ring = np.column_stack((np.cos(angle), np.sin(angle), np.zeros(sides)))
    points = np.vstack((ring, ring + np.array((0, 0, 1)), ((0, 0, 0), (0, 0, 1))))
    faces = []
    for i in range(sides):
        j = (i + 1) % sides
        faces += [(i, j, sides + j), (i, sides + j, sides + i)]
        faces += [(j, i, 2 * sides), (sides + i, sides + j, 2 * sides + 1)]
    return points, np.array(faces)


def _drawn(
    points: np.ndarray,
    faces: np.ndarray,
    towards: tuple[float, float, float],
    *,
    warped: bool = False,
) -> set:
    """The edges drawn; `warped` tells it the corners, so that it can leave out zigzags."""
    back = np.array(towards) / np.linalg.norm(towards)
    right = np.cross((0.3, 0.2, 1.0), back)
    right /= np.linalg.norm(right)
    seen = points @ np.array((right, np.cross(back, right), back)).T
    a, b, c = (seen[faces[:, i]] for i in range(3))
    normal = np.cross(b - a, c - a)
    normal /= np.linalg.norm(normal, axis=1, keepdims=True)
    drawn = drawn_edges(faces, normal, vertices=seen if warped else None)
    return {tuple(sorted(edge)) for edge in drawn.tolist()}


def test_a_box_seen_over_a_corner_shows_nine_of_its_twelve_edges() -> None:
    points, faces = _drum(4)
    edges = _drawn(points, faces, (0.4, 0.9, 0.8))
    assert len(edges) == 9
    assert all({8, 9}.isdisjoint(edge) for edge in edges)  # no diagonal, no spoke


@pytest.mark.parametrize(("sides", "edges"), [(4, 12), (14, 42), (15, 30)])
def test_from_anywhere_a_drum_has_its_rims_and_its_sharp_uprights(sides: int, edges: int) -> None:
    """Fourteen sides turn by 25.7 degrees, fifteen by 24."""
    points, faces = _drum(sides)
    a, b, c = (points[faces[:, i]] for i in range(3))
    normal = np.cross(b - a, c - a)
    normal /= np.linalg.norm(normal, axis=1, keepdims=True)

    assert len(sharp_edges(faces, normal, vertices=points)) == edges
    # Without one face its three sides are open, of which the rim's and the upright's were drawn.
    open_ = sharp_edges(faces[1:], normal[1:], vertices=points)
    upright = 1 if sides < 15 else 0
    assert len(open_) == edges - 1 - upright + 3


def test_a_round_drum_shows_its_rims_and_two_upright_lines() -> None:
    points, faces = _drum(64)
    edges = _drawn(points, faces, (0.41, 0.93, 0.8))
    top = {edge for edge in edges if min(edge) >= 64}
    bottom = {edge for edge in edges if max(edge) < 64}
    assert len(top) == 64
    assert 31 <= len(bottom) <= 33  # the half of the lower rim that is in front
    upright = edges - top - bottom
    assert len(upright) == 2
    assert all(b - a == 64 for a, b in upright)


@pytest.mark.parametrize(("sides", "upright"), [(12, True), (16, False)])
def test_edges_are_sharp_from_25_degrees(sides: int, upright: bool) -> None:
    """A prism of 12 sides turns by 30 degrees an edge, one of 16 by 22.5."""
    points, faces = _drum(sides)
    edges = _drawn(points, faces, (0.41, 0.93, 0.8))
    assert sum(b - a == sides and a < sides for a, b in edges) == (7 if upright else 2)


def test_an_open_edge_is_always_drawn() -> None:
    points = np.array([(0, 0, 0), (1, 0, 0), (0, 1, 0)], float)
    faces = np.array([(0, 1, 2)])
    for side in (1.0, -1.0):
        assert _drawn(points, faces, (0.1, 0.1, side)) == {(0, 1), (1, 2), (0, 2)}


@pytest.mark.parametrize("turn", ["30 mm", "60 mm", "100 mm"])
@pytest.mark.parametrize("chord", [0.05, 0.004])
def test_of_a_twisted_bar_its_four_edges_and_its_ends_are_drawn(turn: str, chord: float) -> None:
    """Its sides zigzag by 30 to 69 degrees from triangle to triangle, finer or coarser alike."""
    bar = insert(shape="twist", width="20 mm", thickness="20 mm", turn_length=turn)
    mesh = twist.solid(bar, chord_mm=chord).any_mesh()
    points, faces = mesh.vertices.astype(float), mesh.triangles.astype(np.int64)
    low, high = points[:, 2].min(), points[:, 2].max()
    corner = np.hypot(points[:, 0], points[:, 1]) > 0.999 * 10 * 2**0.5
    end = (points[:, 2] == low) | (points[:, 2] == high)

    towards = (0.3, -0.9, 0.35)
    told, plain = (_drawn(points, faces, towards, warped=warped) for warped in (True, False))
    normal = _normals(points, faces) @ (np.array(towards) / np.linalg.norm(towards))
    outline = _outline(faces, normal > 0)
    inner = {e for e in told - outline if not (corner[list(e)].all() or end[list(e)].all())}
    assert inner == set()
    assert len({e for e in plain - outline if not corner[list(e)].all()}) > 200
    along = {e for e in told if corner[list(e)].all() and not end[list(e)].all()}
    assert along == {e for e in plain if corner[list(e)].all() and not end[list(e)].all()}
    assert len(along) > 20


def _normals(points: np.ndarray, faces: np.ndarray) -> np.ndarray:
    a, b, c = (points[faces[:, i]] for i in range(3))
    normal = np.cross(b - a, c - a)
    return normal / np.linalg.norm(normal, axis=1, keepdims=True)


def _outline(faces: np.ndarray, front: np.ndarray) -> set:
    """Edges with one face in front and one behind."""
    seen: dict[tuple[int, int], list[bool]] = {}
    for face, ahead in zip(faces.tolist(), front.tolist(), strict=True):
        for i in range(3):
            seen.setdefault(tuple(sorted((face[i], face[i - 1]))), []).append(ahead)  # type: ignore[arg-type]
    return {edge for edge, sides in seen.items() if len(set(sides)) == 2}


def _extruded(profile: list[tuple[float, float]]) -> tuple[np.ndarray, np.ndarray]:
    """A strip over a profile (x, z), two triangles to each of its faces."""
    near = [(x, 0.0, z) for x, z in profile]
    far = [(x, 9.0, z) for x, z in profile]
    n = len(profile)
    faces = [f for i in range(n - 1) for f in ((i, i + 1, n + i + 1), (i, n + i + 1, n + i))]
    return np.array(near + far), np.array(faces)


@pytest.mark.parametrize(
    "profile",
    [
        [(0, 0), (5, 0), (8, 1.7), (11, 0), (16, 0)],  # a ridge with sides of 30 degrees
        [(0, 0), (5, 0), (8, -1.7), (11, 0), (16, 0)],  # a groove
        [(0, 0), (5, 0), (6, 0.6), (11, 0.6), (12, 0), (17, 0)],  # a raised strip
        [(0, 0), (2, 0.6), (4, 0), (6, 0.6), (8, 0), (10, 0.6)],  # corrugated
        [(0, 0), (2, 1), (4, 0), (6, 1), (8, 0), (10, 1)],  # the same, steeper
    ],
)
def test_edges_of_ridges_grooves_and_steps_are_no_zigzag(
    profile: list[tuple[float, float]],
) -> None:
    points, faces = _extruded(profile)
    n = len(profile)
    drawn = _drawn(points, faces, (0.02, -0.3, 1.0), warped=True)
    assert {(i, n + i) for i in range(n)} <= drawn


@pytest.mark.parametrize("sides", [5, 8, 12])
def test_a_prism_keeps_its_edges(sides: int) -> None:
    points, faces = _drum(sides)
    towards = (0.41, 0.93, 0.8)
    assert _drawn(points, faces, towards, warped=True) == _drawn(points, faces, towards)
