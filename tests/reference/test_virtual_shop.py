"""The virtual shop of the benchmarks, in few shops: what is learned costs less than what is not.

`docs/tuning.md` has the figures of 200 shops; these 24 are the first of them, seeds and all.
"""

from __future__ import annotations

import numpy as np
import pytest

from benchmarks.virtual_shop import WAYS, Shop, run, shop_of

SHOPS = 24


@pytest.fixture(scope="module")
def shops() -> list[Shop]:
    return [shop_of(i) for i in range(SHOPS)]


def over(shops: list[Shop], way: str) -> float:
    """Mean cost of a good piece over the best gap's, all batches."""
    return float(np.mean([run(shop, WAYS[way], i).over for i, shop in enumerate(shops)]))


@pytest.fixture(scope="module")
def learned(shops: list[Shop]) -> float:
    return over(shops, "learned")


def test_what_is_learned_costs_less_than_half_of_what_fixed_gaps_and_going_wider_do(
    shops: list[Shop], learned: float
) -> None:
    rivals = [
        "trade's gap, fixed",
        "rule's gap, fixed",
        "15 % wider, from the trade's",
        "15 % wider, from the rule's",
    ]
    assert 0.0 < learned < 0.03
    assert all(over(shops, rival) > 2.0 * learned for rival in rivals)


def test_castings_are_worth_more_than_belief_and_costs_alone(
    shops: list[Shop], learned: float
) -> None:
    assert learned < over(shops, "belief and costs, no castings")


def test_the_best_gap_is_the_best(shops: list[Shop]) -> None:
    for shop in shops:
        gaps = np.linspace(0.7, 6.0, 40)
        assert min(shop.true_cost(float(gap)) for gap in gaps) >= shop.best_cost * 0.9999
