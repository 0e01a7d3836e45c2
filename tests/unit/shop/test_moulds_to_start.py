import math

import pytest

from mouldgen.errors import JobError
from mouldgen.shop.counts import moulds_to_start


@pytest.mark.parametrize("pieces", [1, 18, 10_000])
def test_a_sure_process_needs_no_spares(pieces: int) -> None:
    assert moulds_to_start(pieces, yield_=1.0, confidence=0.999999) == pieces


def test_the_customers_wood_allows_no_spares() -> None:
    assert moulds_to_start(11, yield_=0.5, confidence=0.99, customers_wood=True) == 11


@pytest.mark.parametrize(
    ("yield_", "confidence", "moulds"),
    [
        (0.9, 0.99, 2),  # 1 - 0.1^2
        (0.9, 0.999, 3),
        (0.7, 0.973, 3),  # 1 - 0.3^3
        (0.5, 0.75, 2),
        (0.2, 0.5904, 4),  # 1 - 0.8^4
        (0.9, 0.9900000001, 3),
        (0.9, 0.9899999999, 2),
    ],
)
def test_a_tie_counts_as_enough(yield_: float, confidence: float, moulds: int) -> None:
    # The decimals of the job file are meant as they stand: 0.9 is nine tenths.
    assert moulds_to_start(1, yield_=yield_, confidence=confidence) == moulds


def test_a_tie_of_several_pieces() -> None:
    # P(Bin(3, 1/2) >= 2) = 1/2
    assert moulds_to_start(2, yield_=0.5, confidence=0.5) == 3


def test_a_hopeless_yield_is_refused() -> None:
    with pytest.raises(JobError, match="more than 100000 moulds") as caught:
        moulds_to_start(10_000, yield_=0.05, confidence=0.95)

    assert caught.value.where == "[order] yield"


def test_the_largest_order_is_still_exact() -> None:
    # The normal approximation with its skewness correction, by hand, lies within one of it.
    q, n, z = 0.9, 10_000, 1.6448536269514722
    mean, spread = n * 0.1 / q, math.sqrt(n * 0.1) / q
    skew = (2 - q) / math.sqrt(n * (1 - q))
    estimate = n + mean + spread * (z + skew * (z * z - 1) / 6)

    assert moulds_to_start(n, yield_=q, confidence=0.95) == pytest.approx(estimate, abs=1.0)


@pytest.mark.parametrize(
    ("changes", "where"),
    [
        ({"pieces": 0}, "pieces"),
        ({"yield_": 0.0}, "yield"),
        ({"yield_": 1.01}, "yield"),
        ({"yield_": math.nan}, "yield"),
        ({"confidence": 0.0}, "confidence"),
        ({"confidence": 1.0}, "confidence"),
    ],
)
def test_out_of_range(changes: dict[str, float], where: str) -> None:
    values = {"pieces": 10, "yield_": 0.9, "confidence": 0.95, **changes}

    with pytest.raises(JobError, match=rf"\[order\] {where}"):
        moulds_to_start(values.pop("pieces"), **values)
