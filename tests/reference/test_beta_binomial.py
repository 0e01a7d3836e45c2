"""Uncertain yields and shares: worked values, published tables, and scipy."""

import math
from fractions import Fraction

import numpy as np
import pytest
from scipy import special, stats

from mouldgen.errors import JobError
from mouldgen.physics.beta import beta_quantile, beta_share
from mouldgen.shop.belief import Belief, believed, castings_to_start, share_counts
from mouldgen.shop.counts import MOST_MOULDS, moulds_to_start
from mouldgen.shop.share_interval import jeffreys, wilson


def test_ten_of_twelve_seen_asks_for_more_than_the_plug_in_mean() -> None:
    # Worked apart from this code with scipy's betabinom: 17 against 15.
    assert castings_to_start(10, Belief(10, 2), confidence=0.95) == 17
    assert moulds_to_start(10, yield_=10 / 12, confidence=0.95) == 15


def test_ten_good_at_a_known_yield() -> None:
    assert moulds_to_start(10, yield_=0.8, confidence=0.90) == 15


def test_the_next_ten_after_ten_of_twelve() -> None:
    chances = share_counts(10, 10 / 12, on=12)

    assert sum(chances[8:]) == pytest.approx(0.744361, abs=5e-7)
    assert sum(k * chance for k, chance in enumerate(chances)) == pytest.approx(8.3333, abs=5e-5)
    assert Belief(10, 2).mean == 10 / 12
    assert Belief(9, 1).seen(1, 1).all_good(1) == pytest.approx(10 / 12, rel=1e-15)


@pytest.mark.parametrize("pieces", [1, 2, 10, 57, 400])
@pytest.mark.parametrize("seen", [(2.5, 0.5), (1, 1), (10, 2), (10.8, 1.2), (300, 20)])
@pytest.mark.parametrize("confidence", [0.3, 0.9])
def test_counts_against_scipy(pieces: int, seen: tuple[float, float], confidence: float) -> None:
    found = castings_to_start(pieces, Belief(*seen), confidence=confidence)
    fewer, enough = (stats.betabinom.sf(pieces - 1, n, *seen) for n in (found - 1, found))

    # scipy's sums are good to about 1e-9; where they cannot tell, ours decides.
    assert enough >= confidence - 1e-8
    assert found == pieces or fewer < confidence + 1e-8


@pytest.mark.parametrize("castings", [0, 1, 7, 60, 1000])
@pytest.mark.parametrize("share", [0.03, 0.2, 0.5, 0.92])
def test_chances_against_scipy(castings: int, share: float) -> None:
    k = np.arange(castings + 1)
    known, believed_ = share_counts(castings, share), share_counts(castings, share, on=12)

    assert known == pytest.approx(stats.binom.pmf(k, castings, share), rel=1e-8, abs=1e-300)
    assert believed_ == pytest.approx(
        stats.betabinom.pmf(k, castings, 12 * share, 12 * (1 - share)), rel=1e-8
    )
    # Up to a thousand logarithms are added to 6000 or so, each sum rounded to 1e-12.
    assert math.fsum(believed_) == pytest.approx(1.0, rel=1e-10)


def test_much_seen_is_as_good_as_known() -> None:
    # Beta(q m, (1 - q) m) narrows to q as m grows: the two counts must meet.
    for pieces in (18, 200):
        known = moulds_to_start(pieces, yield_=0.92, confidence=0.95)
        counts = [
            castings_to_start(pieces, Belief(0.92 * m, 0.08 * m), confidence=0.95)
            for m in (6.0, 60.0, 600.0, 1e7)
        ]
        assert counts == sorted(counts, reverse=True)
        assert counts[-1] == known < counts[0]


@pytest.mark.parametrize("pieces", [1, 18, 400])
@pytest.mark.parametrize("seen", [(10.8, 1.2), (300, 0.5), (1e7, 1e5)])
@pytest.mark.parametrize("nines", [7, 9, 10])
def test_nearly_sure_is_told_by_what_is_left_to_chance(
    pieces: int, seen: tuple[float, float], nines: int
) -> None:
    confidence, spare = float(f"0.{'9' * nines}"), 10.0**-nines
    try:
        found = castings_to_start(pieces, Belief(*seen), confidence=confidence)
    except JobError:
        assert stats.betabinom.cdf(pieces - 1, MOST_MOULDS, *seen) > spare
        return
    left = [stats.betabinom.cdf(pieces - 1, n, *seen) for n in (found - 1, found)]

    # scipy's logarithms of the gamma function are good to 1e-7 at ten million.
    assert left[1] <= spare * (1 + 1e-6)
    assert found == pieces or spare < left[0] * (1 + 1e-6)


def test_a_tie_counts_as_enough() -> None:
    # Beta(1, 1): the next is good with 1/2, at least one of two with 2/3, of three with 3/4.
    assert castings_to_start(1, Belief(1, 1), confidence=0.5) == 1
    assert castings_to_start(1, Belief(1, 1), confidence=0.75) == 3
    assert castings_to_start(1, Belief(1, 1), confidence=0.7500000001) == 4
    # n of n + 1: too many for whole numbers, and a tie all the same.
    assert castings_to_start(1, Belief(1, 1), confidence=0.99999) == 99_999


@pytest.mark.parametrize("n", [1, 5, 40])
def test_an_even_belief_makes_every_count_alike(n: int) -> None:
    # Beta(1, 1): Laplace's rule of succession, 1/(n + 1) each.
    assert share_counts(n, 0.5, on=2.0) == pytest.approx([float(Fraction(1, n + 1))] * (n + 1))


@pytest.mark.parametrize(("a", "b"), [(0.5, 0.5), (0.5, 20.5), (81.5, 182.5), (3, 1e4), (2e4, 7)])
def test_the_beta_distribution_against_scipy(a: float, b: float) -> None:
    for share in (1e-6, 0.025, 0.5, 0.9, 0.975):
        x = stats.beta.ppf(share, a, b)
        assert beta_quantile(share, a=a, b=b) == pytest.approx(x, rel=1e-8)
        assert beta_share(x, a=a, b=b) == pytest.approx(special.betainc(a, b, x), rel=1e-8)
    assert (beta_share(0.0, a=a, b=b), beta_share(1.0, a=a, b=b)) == (0.0, 1.0)
    assert (beta_quantile(0.0, a=a, b=b), beta_quantile(1.0, a=a, b=b)) == (0.0, 1.0)


@pytest.mark.parametrize(
    ("hits", "seen", "low", "high"),
    [  # Newcombe, Statistics in Medicine 17 (1998) 857, method 3
        (81, 263, 0.2553, 0.3662),
        (15, 148, 0.0624, 0.1605),
        (0, 20, 0.0, 0.1611),
        (1, 29, 0.0061, 0.1718),
    ],
)
def test_wilsons_interval_is_the_published_one(
    hits: int, seen: int, low: float, high: float
) -> None:
    assert wilson(hits, seen) == pytest.approx((low, high), abs=5e-5)
    assert wilson(seen - hits, seen) == pytest.approx((1 - high, 1 - low), abs=5e-5)


@pytest.mark.parametrize(
    ("hits", "seen", "low", "high", "places"),
    [  # Brown, Cai & DasGupta, Statistical Science 16 (2001) 101; computed apart from this code
        (0, 10, 0.0, 0.217, 5e-4),
        (1, 10, 0.011, 0.381, 5e-4),
        (0, 20, 0.0, 0.1166, 5e-5),
        (81, 263, 0.2545, 0.3656, 5e-5),
    ],
)
def test_jeffreys_interval_with_its_rule_for_the_ends(
    hits: int, seen: int, low: float, high: float, places: float
) -> None:
    assert jeffreys(hits, seen) == pytest.approx((low, high), abs=places)
    assert jeffreys(seen - hits, seen) == pytest.approx((1 - high, 1 - low), abs=places)


def test_ends_are_exact() -> None:
    for interval in (wilson, jeffreys):
        assert interval(0, 7)[0] == 0.0
        assert interval(7, 7)[1] == 1.0


def test_a_certain_share_is_no_belief() -> None:
    assert believed(1.0, on=12) is None
    assert share_counts(3, 1.0, on=12) == (0.0, 0.0, 0.0, 1.0)
    assert share_counts(3, 0.0) == (1.0, 0.0, 0.0, 0.0)
