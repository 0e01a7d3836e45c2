"""Moulds to start: a published rule, sums worked apart from this code, and scipy."""

import pytest
from scipy import stats

from mouldgen.shop.counts import moulds_to_start


@pytest.mark.parametrize(
    ("pieces", "yield_", "confidence", "moulds"),
    [
        (10, 0.9, 0.95, 13),
        (10, 0.8, 0.90, 15),
        (4, 0.75, 0.90, 7),
        (1, 0.5, 0.95, 5),
        (20, 0.9, 0.99, 27),
        (100, 0.95, 0.95, 109),
        (18, 0.92, 0.95, 22),
    ],
)
def test_worked_counts(pieces: int, yield_: float, confidence: float, moulds: int) -> None:
    assert moulds_to_start(pieces, yield_=yield_, confidence=confidence) == moulds


def test_the_zero_failure_rule() -> None:
    # 59 parts without a failure show 95 % reliability at 95 % confidence: 1 - 0.95^59 = 0.95151.
    # One "good" part of yield 0.05 among n is the same sum.
    assert moulds_to_start(1, yield_=0.05, confidence=0.95) == 59


@pytest.mark.parametrize("pieces", [1, 2, 3, 17, 100, 999, 10_000])
@pytest.mark.parametrize("yield_", [0.15, 0.5, 0.83, 0.97, 0.9999])
@pytest.mark.parametrize("confidence", [0.05, 0.5, 0.9, 0.999])
def test_against_scipy(pieces: int, yield_: float, confidence: float) -> None:
    moulds = moulds_to_start(pieces, yield_=yield_, confidence=confidence)
    enough = stats.binom.sf(pieces - 1, [moulds - 1, moulds], yield_)

    # scipy's sums are good to about 1e-10; where they cannot tell, ours decides.
    assert enough[0] < confidence + 1e-9
    assert enough[1] >= confidence - 1e-9


@pytest.mark.parametrize("pieces", [1, 2, 17, 100, 999, 10_000])
def test_an_even_chance_of_an_even_yield(pieces: int) -> None:
    # P(Bin(2N - 1, 1/2) >= N) = 1/2 by symmetry; sums in floats miss the tie and give 2N.
    assert moulds_to_start(pieces, yield_=0.5, confidence=0.5) == 2 * pieces - 1


@pytest.mark.parametrize(
    ("pieces", "yield_"), [(1, 0.5), (18, 0.92), (1000, 0.05), (5000, 0.1234567890123), (3, 0.001)]
)
@pytest.mark.parametrize("nines", [9, 10, 12, 13])
def test_nearly_sure_is_told_by_what_is_left_to_chance(
    pieces: int, yield_: float, nines: int
) -> None:
    """A sum near 1 cannot tell; whole numbers, casting by casting, once took for ever."""
    confidence = float(f"0.{'9' * nines}")

    moulds = moulds_to_start(pieces, yield_=yield_, confidence=confidence)

    left = stats.binom.cdf(pieces - 1, [moulds - 1, moulds], yield_)
    spare = 10.0**-nines
    assert left[1] <= spare * (1 + 1e-8) < left[0] * (1 + 2e-8)
