"""The outline of the finished piece against sampling and closed forms."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given

from mouldgen.job.model import Piece
from mouldgen.job.outline import (
    Outline,
    free_ends_mm,
    least_mm,
    objections,
    outline_of,
    volume_mm3,
    widest_mm,
)
from tests.strategies import outlines

KNOB: Outline = ((0.0, 8.0), (10.0, 8.0), (10.0, 13.0), (20.0, 13.0), (30.0, 0.0))


def test_without_an_outline_a_piece_is_a_cylinder() -> None:
    piece = Piece.model_validate({"diameter": "26 mm", "length": "60 mm"})
    assert outline_of(piece) == ((0.0, 13.0), (60.0, 13.0))


@pytest.mark.parametrize(("start", "end", "least"), [
    (0, 5, 8), (0, 10, 8), (10, 12, 8), (10.01, 12, 13), (12, 25, 6.5), (20, 30, 0), (-5, 99, 0),
    (40, 50, 0), (-9, -3, 8),
])  # fmt: skip
def test_the_least_radius_by_hand(start: float, end: float, least: float) -> None:
    assert least_mm(KNOB, start_mm=start, end_mm=end) == pytest.approx(least)


@pytest.mark.parametrize(("radius", "free"), [
    (7.0, 0.0), (8.0, 6.154), (12.9, 9.923), (13.0, math.inf), (0.0, 0.0), (9.0, 6.923),
])  # fmt: skip
def test_how_far_from_its_end_it_stays_thin_by_hand(radius: float, free: float) -> None:
    # 13 mm at 20, nothing at 30: at r the cone is 10 r/13 from its point.
    assert free_ends_mm(KNOB, radius_mm=radius) == pytest.approx(free, abs=5e-4)


def test_volumes_of_cylinder_cone_and_knob() -> None:
    assert volume_mm3(((0.0, 3.0), (7.0, 3.0))) == pytest.approx(math.pi * 63.0)
    assert volume_mm3(((0.0, 3.0), (7.0, 0.0))) == pytest.approx(math.pi * 21.0)
    by_hand = math.pi * (640.0 + 1690.0 + 1690.0 / 3.0)
    assert volume_mm3(KNOB) == pytest.approx(by_hand)


def sampled(outline: Outline, along: np.ndarray) -> np.ndarray:
    """No steps in the drawn outlines, so that numpy's own interpolation says the same."""
    places, radii = np.array(outline).T
    return np.interp(along, places, radii)


@given(outlines())
def test_least_and_widest_against_sampling(outline: Outline) -> None:
    length = outline[-1][0]
    start, end = 0.2 * length, 0.7 * length
    along = np.union1d(np.linspace(start, end, 200), [a for a, _ in outline if start <= a <= end])
    assert least_mm(outline, start_mm=start, end_mm=end) == pytest.approx(
        sampled(outline, along).min(), rel=1e-9
    )
    assert widest_mm(outline) == max(radius for _, radius in outline)


@given(outlines())
def test_volume_against_the_midpoint_rule(outline: Outline) -> None:
    steps = 20_000
    along = (np.arange(steps) + 0.5) * outline[-1][0] / steps
    summed = math.pi * (sampled(outline, along) ** 2).sum() * outline[-1][0] / steps
    assert volume_mm3(outline) == pytest.approx(summed, rel=1e-4)


@given(outlines())
def test_the_free_ends_are_free_and_no_farther(outline: Outline) -> None:
    length, radius = outline[-1][0], 0.8 * widest_mm(outline)
    free = free_ends_mm(outline, radius_mm=radius)
    assert free <= length / 2.0
    inside = np.linspace(0.0, max(0.0, free - 1e-6), 50)
    if free > 1e-5:
        assert sampled(outline, inside).max() <= radius + 1e-9
        assert sampled(outline, length - inside).max() <= radius + 1e-9
    nearby = np.array([free + 1e-6, length - free - 1e-6])
    assert sampled(outline, nearby).max() >= radius - 1e-4 * radius


@pytest.mark.parametrize(("end", "radius", "says"), [
    (60.09, 13.0, None), (60.11, 13.0, "ends at 60.11 mm and the piece is 60 mm"),
    (59.91, 13.0, None), (59.89, 13.0, "ends at 59.89 mm"),
    (60.0, 13.049, None), (60.0, 13.051, "is 26.102 mm across at its widest"),
])  # fmt: skip
def test_a_tenth_of_a_millimetre_is_no_contradiction(
    end: float, radius: float, says: str | None
) -> None:
    """People write 13/16 in beside 20.6 mm."""
    piece = Piece.model_construct(
        diameter=26.0, length=60.0, outline=((0.0, 9.0), (30.0, radius), (end, 9.0))
    )
    found = [what for what, _ in objections(piece)]
    assert len(found) == (says is not None)
    if says:
        assert says in found[0]
