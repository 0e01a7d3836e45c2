from __future__ import annotations

import numpy as np
import pytest

from mouldgen.sheet import raster
from mouldgen.sheet.raster import ZBuffer, line_pixels


def _cross(a: np.ndarray, b: np.ndarray) -> float:
    return float(a[0] * b[1] - a[1] * b[0])


def _by_brute_force(
    corners: np.ndarray, *, width: int, height: int
) -> tuple[np.ndarray, np.ndarray]:
    """Nearest triangle and depth at each pixel centre, by signed areas, one pixel at a time."""
    names = np.full(width * height, -1)
    depths = np.full(width * height, -np.inf)
    for pixel in range(width * height):
        p = np.array((pixel % width + 0.5, pixel // width + 0.5))
        for name, triangle in enumerate(corners):
            a, b, c = triangle[:, :2]
            area = _cross(b - a, c - a)
            share = np.array((_cross(b - p, c - p), _cross(c - p, a - p), 0.0)) / area
            share[2] = 1.0 - share[0] - share[1]
            if (share > 0).all() and share @ triangle[:, 2] > depths[pixel]:
                names[pixel], depths[pixel] = name, share @ triangle[:, 2]
    return names, depths


@pytest.mark.parametrize("chunk", [7, 1 << 19])
def test_random_triangles_come_out_as_by_brute_force(
    chunk: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(raster, "_CHUNK", chunk)
    rng = np.random.default_rng(20)
    corners = rng.uniform((-8, -8, 20), (40, 32, 90), (25, 3, 3))  # some reach beyond the picture
    buffer = ZBuffer(32, 24)
    buffer.draw(corners, np.arange(25))
    names, depths = _by_brute_force(corners, width=32, height=24)
    assert np.array_equal(buffer.names(), names)
    seen = names >= 0
    assert seen.sum() > 600
    assert buffer.depths()[seen] == pytest.approx(depths[seen], abs=2e-3)
    assert (buffer.depths()[~seen] < 0).all()


def test_a_fan_leaves_no_pixel_out_and_takes_none_beyond() -> None:
    """Shared edges through many pixel centres: every pixel of the square, and no other."""
    rim = [(4, 4), (20, 4), (20, 20), (4, 20)]
    fan = [[(*rim[i], 9), (*rim[(i + 1) % 4], 9), (12.0, 12.0, 9)] for i in range(4)]
    buffer = ZBuffer(24, 24)
    buffer.draw(np.array(fan, float), np.arange(4))
    covered = buffer.names().reshape(24, 24) >= 0
    expected = np.zeros((24, 24), bool)
    expected[4:20, 4:20] = True
    assert np.array_equal(covered, expected)


def test_of_equals_the_highest_name_is_seen_in_any_order() -> None:
    triangle = np.array([[(1, 1, 5), (9, 1, 5), (1, 9, 5)]], float)
    for order in ([3, 8], [8, 3]):
        buffer = ZBuffer(10, 10)
        for name in order:
            buffer.draw(triangle, np.array([name]))
        assert set(buffer.names()) == {-1, 8}


def test_nothing_drawn_is_nothing_seen() -> None:
    buffer = ZBuffer(3, 2)
    buffer.draw(np.array([[(9, 9, 1), (12, 9, 1), (9, 12, 1)]], float), np.array([0]))
    assert buffer.names().tolist() == [-1] * 6


def test_a_line_takes_each_pixel_on_its_way_and_its_depth() -> None:
    ends = np.array([[(0.0, 2.5, 10.0), (8.0, 2.5, 18.0)]])
    line, pixel, depth = line_pixels(ends, width=6, height=4)
    assert set(pixel) == {2 * 6 + column for column in range(6)}  # two columns are outside
    assert set(line) == {0}
    column = pixel - 12
    assert np.abs(depth - 10.0 - (column + 0.5)).max() <= 0.5 + 1e-9
