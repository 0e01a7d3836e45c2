"""The cheapest packs against every combination there is."""

from __future__ import annotations

import itertools
import math
import random

import pytest

from mouldgen.errors import JobError
from mouldgen.mix.buy import cheapest_packs

HOLDS = (100.0, 250.0, 453.59237, 500.0, 900.0, 1000.0, 1500.0, 4500.0)
G_ML = 1.07


def cheapest_of_all(need_g: float, sizes: list[tuple[float, float]]) -> float:
    counts = [range(math.ceil(need_g / holds) + 1) for holds, _ in sizes]
    return min(
        math.fsum(count * price for count, (_, price) in zip(tried, sizes, strict=True))
        for tried in itertools.product(*counts)
        if math.fsum(count * holds for count, (holds, _) in zip(tried, sizes, strict=True))
        >= need_g
    )


@pytest.mark.parametrize("seed", range(200))
def test_no_combination_of_packs_is_cheaper(seed):
    draw = random.Random(seed)
    packs = [
        (draw.choice(HOLDS), draw.choice(("g", "ml")), float(draw.randint(5, 200)))
        for _ in range(draw.randint(1, 3))
    ]
    need_g = draw.uniform(0.0, 4000.0)
    sizes = [(holds if unit == "g" else holds * G_ML, price) for holds, unit, price in packs]
    found = cheapest_packs(need_g, packs, density_g_ml=G_ML)
    assert found.bought_g >= need_g
    assert all((pack.holds_g, pack.price) in sizes and pack.count >= 1 for pack in found.packs)
    assert found.cost == pytest.approx(cheapest_of_all(need_g, sizes), rel=1e-12)


def test_of_two_choices_at_one_price_the_one_with_more_resin_is_taken():
    found = cheapest_packs(1000.0, [(1000.0, "g", 40.0), (1500.0, "g", 40.0)], density_g_ml=1.0)
    assert [(pack.holds_g, pack.count) for pack in found.packs] == [(1500.0, 1)]
    assert found.left_g == 500.0


def test_a_need_that_floats_put_over_a_pack_takes_no_second_one():
    found = cheapest_packs(1500.0 + 1e-10, [(1500.0, "g", 42.0)], density_g_ml=1.0)
    assert [pack.count for pack in found.packs] == [1]


def test_nothing_needed_is_nothing_bought():
    found = cheapest_packs(0.0, [(1500.0, "g", 42.0)], density_g_ml=1.0)
    assert (found.packs, found.cost) == ((), 0.0)


def test_a_large_need_is_found_at_once():
    packs = [(907.18, "g", 45.0), (3628.0, "g", 140.0), (1000.0, "ml", 44.0), (1500.0, "g", 60.0)]
    found = cheapest_packs(45_000.0, packs, density_g_ml=1.05)
    rate = min(price / (h if u == "g" else 1.05 * h) for h, u, price in packs)
    assert rate * 45_000.0 <= found.cost <= 13 * 140.0  # no price is below the best rate's


@pytest.mark.parametrize(
    ("need_g", "packs", "match"),
    [
        (10.0, [], r"\[resin\] packs: the card does not say"),
        (2e6, [(1500.0, "g", 42.0)], "2000 kg of resin are more than 1000 of the largest packs"),
    ],
)
def test_what_cannot_be_bought_is_said(need_g, packs, match):
    with pytest.raises(JobError, match=match):
        cheapest_packs(need_g, packs, density_g_ml=1.0)
