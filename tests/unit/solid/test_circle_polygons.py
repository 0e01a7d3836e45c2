"""Circles as polygons: the counts and factors that geometry texts and the design name."""

from __future__ import annotations

import math

import numpy as np
import pytest

from mouldgen.errors import KernelError
from mouldgen.solid.circle import around, excess, need_positive, polygon, segments


@pytest.mark.parametrize(
    ("radius", "chord", "sides"),
    # n = ceil(pi / acos(R / (R + t))), worked by hand for R 13 (t 0.2, 0.05, 0.01, 0.002).
    [(13.0, 0.2, 19), (13.0, 0.05, 36), (13.0, 0.01, 81), (13.0, 0.002, 180)],
)
def test_sides_keep_the_corner_within_the_chord(radius: float, chord: float, sides: int) -> None:
    assert segments(radius, chord_mm=chord) == sides
    assert around(radius, sides=sides) - radius <= chord
    assert around(radius, sides=sides - 1) - radius > chord


@pytest.mark.parametrize(
    ("sides", "factor"),
    # 1 / cos(pi / n), the circumscribed polygon's corner radius (exact, any geometry text).
    [(16, 1.0195912), (32, 1.0048386), (64, 1.0012060), (96, 1.0005357)],
)
def test_corner_factor(sides: int, factor: float) -> None:
    assert around(1.0, sides=sides) == pytest.approx(factor, abs=5e-8)


@pytest.mark.parametrize(("sides", "more"), [(24, 0.00575), (48, 0.00143), (96, 0.00036)])
def test_area_excess(sides: int, more: float) -> None:
    """n tan(pi/n)/pi - 1 is close to (pi/n)^2 / 3."""
    assert excess(sides) - 1.0 == pytest.approx(more, abs=1e-5)
    assert excess(sides) - 1.0 == pytest.approx((math.pi / sides) ** 2 / 3.0, rel=0.02)


def test_polygon_runs_counter_clockwise_from_the_x_axis() -> None:
    ring = polygon(2.0, sides=8, centre=(1.0, -1.0))
    assert ring[0] == pytest.approx([3.0, -1.0])
    x, y = ring.T
    area = 0.5 * float(x @ np.roll(y, -1) - y @ np.roll(x, -1))
    assert area == pytest.approx(0.5 * 8 * 4.0 * math.sin(2.0 * math.pi / 8))


@pytest.mark.parametrize("value", [0.0, -1.0, math.nan, math.inf])
def test_impossible_sizes_name_themselves(value: float) -> None:
    with pytest.raises(KernelError, match="width must be finite and above zero"):
        need_positive(width=value)
    with pytest.raises(KernelError, match="radius_mm must be finite and above zero"):
        segments(value, chord_mm=0.01)
