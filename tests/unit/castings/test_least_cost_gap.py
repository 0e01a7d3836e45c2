from __future__ import annotations

import math

import numpy as np
import pytest

from mouldgen.castings.least_cost import (
    GRID_MM,
    MOST_GAPS,
    Choices,
    GapCost,
    best_of,
    candidate_gaps,
    choices,
    costs_of_good,
)
from mouldgen.errors import InternalError


def alone(casting: float, repair: float) -> Choices:
    one = np.ones(1)
    return Choices(
        gap_mm=one, casting=casting * one, resin_ml=one, repair=repair * one, minutes=one
    )


def test_the_cost_of_a_good_piece_is_that_of_castings_and_repairs_over_good_ones() -> None:
    # 100 castings at 8: 20 with voids, 5 lost, 15 repaired at 2: (800 + 30)/95
    found = costs_of_good(alone(8.0, 2.0), chance=np.array([[0.2]]), scrap=np.array([0.25]))
    assert found[0, 0] == pytest.approx(830.0 / 95.0, rel=1e-12)


def test_without_voids_a_good_piece_costs_its_casting() -> None:
    found = costs_of_good(alone(8.0, 2.0), chance=np.zeros((1, 1)), scrap=np.array([0.9]))
    assert found[0, 0] == 8.0


def test_of_equal_gaps_the_narrowest_is_the_best() -> None:
    assert best_of(np.array([[2.0, 1.0, 1.0]]), np.ones(1)) == 1


@pytest.mark.parametrize(("least", "most"), [(0.45, 3.0), (0.7, 15.0), (1.0, 1.0), (0.5, 0.52)])
def test_gaps_to_compare_hold_both_ends_and_whole_steps_between(least: float, most: float) -> None:
    gaps = candidate_gaps(least, most)
    assert gaps[0] == least
    assert gaps[-1] == most
    assert (np.diff(gaps) > 0.0).all()
    assert len(gaps) <= MOST_GAPS + 2
    inside = gaps[1:-1] / GRID_MM
    assert inside == pytest.approx(np.round(inside))
    # no step is wider than a tenth of its gap and two steps of the grid
    assert (np.diff(gaps) <= 0.1 * gaps[1:] + 2.0 * GRID_MM).all()


@pytest.mark.parametrize(("least", "most"), [(2.0, 1.0), (0.0, 1.0), (1.0, math.inf)])
def test_no_gaps_to_compare_are_refused(least: float, most: float) -> None:
    with pytest.raises(InternalError, match="no gaps between"):
        candidate_gaps(least, most)


def test_repairs_are_as_dear_as_rows_and_job_have_it() -> None:
    def cost_at(gap: float) -> GapCost:
        return GapCost(
            per_casting=8.0 + gap, resin_ml=10.0 * gap, rework_per_void=2.0, minutes_per_void=5.0
        )

    found = choices(np.array([1.0, 2.0]), cost_at=cost_at, repair_factor=lambda _: 1.5)
    assert found.casting.tolist() == [9.0, 10.0]
    assert found.resin_ml.tolist() == [10.0, 20.0]
    assert found.repair.tolist() == [3.0, 3.0]
    assert found.minutes.tolist() == [7.5, 7.5]


@pytest.mark.parametrize("money", [-1.0, math.inf, math.nan])
def test_a_cost_that_is_none_is_refused(money: float) -> None:
    cost = GapCost(per_casting=money, resin_ml=1.0, rework_per_void=1.0, minutes_per_void=1.0)
    with pytest.raises(InternalError, match="not a number of 0 or more"):
        choices(np.array([1.0]), cost_at=lambda _: cost, repair_factor=lambda _: 1.0)
