from __future__ import annotations

import numpy as np
import pytest

from mouldgen.sheet.wire import drawn_edges


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


def _drawn(points: np.ndarray, faces: np.ndarray, towards: tuple[float, float, float]) -> set:
    back = np.array(towards) / np.linalg.norm(towards)
    right = np.cross((0.3, 0.2, 1.0), back)
    right /= np.linalg.norm(right)
    seen = points @ np.array((right, np.cross(back, right), back)).T
    a, b, c = (seen[faces[:, i]] for i in range(3))
    normal = np.cross(b - a, c - a)
    normal /= np.linalg.norm(normal, axis=1, keepdims=True)
    return {tuple(sorted(edge)) for edge in drawn_edges(faces, normal).tolist()}


def test_a_box_seen_over_a_corner_shows_nine_of_its_twelve_edges() -> None:
    points, faces = _drum(4)
    edges = _drawn(points, faces, (0.4, 0.9, 0.8))
    assert len(edges) == 9
    assert all({8, 9}.isdisjoint(edge) for edge in edges)  # no diagonal, no spoke


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
