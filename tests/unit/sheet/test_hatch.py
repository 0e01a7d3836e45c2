from __future__ import annotations

import numpy as np
import pytest

from mouldgen.sheet.hatch import hatched


def lines(width: int, height: int, *, leans: int, apart: float) -> np.ndarray:
    count = width * height
    found = hatched(
        np.arange(count),
        width=width,
        height=height,
        leans=np.full(count, leans),
        apart=np.full(count, apart),
    )
    return found.reshape(height, width)


@pytest.mark.parametrize(
    ("size", "apart", "period", "thick"),
    [(300, 1.0, 10, 2), (600, 1.0, 10, 2), (1500, 1.0, 25, 3), (1500, 2.0, 50, 3)],
)
def test_lines_are_as_far_apart_as_the_picture_is_large(
    size: int, apart: float, period: int, thick: int
) -> None:
    found = lines(size, size, leans=1, apart=apart)
    starts = np.flatnonzero(np.diff(found[0].astype(int), prepend=0) == 1)
    assert set(np.diff(starts).tolist()) == {period}
    assert found[0, starts[1] : starts[1] + period].sum() == thick
    assert found.mean() == pytest.approx(thick / period, rel=0.02)


@pytest.mark.parametrize("leans", [1, -1])
def test_a_line_goes_on_one_pixel_aside_in_the_next_row(leans: int) -> None:
    """Downward a line that rises to the right goes to the left."""
    found = lines(120, 90, leans=leans, apart=1.0)
    for row in range(89):
        assert np.array_equal(found[row + 1, 1:-1], found[row, 1 + leans : 119 + leans])


def test_each_pixel_follows_its_own_part() -> None:
    pixels = np.array([0, 5, 10, 20, 120 + 1, 120 + 9])
    leans, apart = np.array([1, 1, 1, 1, -1, 1]), np.array([1.0, 1.0, 2.0, 2.0, 1.0, 1.0])
    found = hatched(pixels, width=120, height=90, leans=leans, apart=apart)
    assert found.tolist() == [True, False, False, True, True, True]
