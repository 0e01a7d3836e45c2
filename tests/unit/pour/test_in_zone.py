"""Pockets of air in a tube about the axis, against the volume that they share."""

from __future__ import annotations

import math

import pytest

from mouldgen.pour.attitudes import Tried, attitudes
from mouldgen.pour.in_zone import pockets_in
from mouldgen.pour.space import Space
from mouldgen.solid.kernel import cylinder, revolve


@pytest.fixture(scope="module")
def bell() -> Tried:
    """A cup upside down in a cup: 20 mm wide inside, a pocket from 5 to 15 mm."""
    hollow = cylinder(20.0, bottom_mm=0.0, top_mm=40.5, chord_mm=0.01).any_mesh()
    cup = revolve(
        [(10.0, 5.0), (12.0, 5.0), (12.0, 17.0), (0.0, 17.0), (0.0, 15.0), (10.0, 15.0)], sides=200
    ).any_mesh()
    space = Space(hollow, (cup,), 40.0)
    return attitudes(space, level_mm=30.0, layer_mm=0.25, row_mm=0.25)


@pytest.mark.parametrize(("between", "heights", "shared"), [
    ((2.5, 3.0), (7.0, 12.0), math.pi * 2.75 * 5.0),
    ((0.0, 4.0), (7.0, 12.0), math.pi * 16.0 * 5.0),
    ((2.5, 3.0), (12.0, 30.0), math.pi * 2.75 * 3.0),  # the pocket ends at 15
    ((8.0, 15.0), (6.0, 10.0), math.pi * 36.0 * 4.0),  # and at the bell's wall
])  # fmt: skip
def test_what_lies_in_the_tube_upright(
    bell: Tried, between: tuple[float, float], heights: tuple[float, float], shared: float
) -> None:
    ((pocket, found),) = pockets_in(bell.pours[0], between_mm=between, heights_mm=heights)
    assert pocket.number == 1
    # Rows and layers of 0.25 mm, runs in steps of 0.1 mm.
    assert 1000.0 * found == pytest.approx(shared, rel=0.03)


def test_leaning_is_reckoned_in_the_moulds_own_coordinates(bell: Tried) -> None:
    """Leaning, air leaves below the higher lip: what stays in the middle is the same."""
    upright, leaning = (
        pockets_in(poured, between_mm=(2.5, 3.0), heights_mm=(10.0, 14.0))
        for poured in bell.pours[:2]
    )
    assert bell.pours[1].air.attitude.tilt_deg == 15.0
    assert leaning[0][1] == pytest.approx(upright[0][1], rel=0.05)


@pytest.mark.parametrize(("between", "heights"), [
    ((2.5, 3.0), (15.5, 30.0)), ((2.5, 3.0), (0.0, 4.5)), ((10.5, 20.0), (0.0, 40.0)),
])  # fmt: skip
def test_beside_the_pocket_there_is_none(
    bell: Tried, between: tuple[float, float], heights: tuple[float, float]
) -> None:
    assert pockets_in(bell.pours[0], between_mm=between, heights_mm=heights) == []


def test_a_pocket_above_the_level_does_not_count(bell: Tried) -> None:
    low = bell.pours[0].stopped_at(4.0)
    assert pockets_in(low, between_mm=(0.0, 4.0), heights_mm=(0.0, 40.0)) == []
