from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import beta

from mouldgen.castings.shares import jeffreys, share_of
from mouldgen.errors import InternalError


@pytest.mark.parametrize(
    ("hits", "seen", "low", "high"),
    # physics.md 11: Jeffreys with the rule for the ends, 95 %
    [(0, 10, 0.0, 0.217), (1, 10, 0.011, 0.381), (81, 263, 0.2545, 0.3656)],
)
def test_jeffreys_is_the_published_interval(hits: int, seen: int, low: float, high: float) -> None:
    found = jeffreys(hits, seen, confidence=0.95)
    assert found.low == pytest.approx(low, abs=5e-4)
    assert found.high == pytest.approx(high, abs=5e-4)


def test_all_alike_reaches_its_end() -> None:
    assert jeffreys(0, 0).low == 0.0
    assert jeffreys(0, 0).high == 1.0
    assert jeffreys(7, 7).high == 1.0
    assert jeffreys(7, 7).low > 0.7


def test_a_belief_moves_by_what_is_seen() -> None:
    found = share_of(3, 10, yes=1.0, no=3.0)
    assert found.mean == pytest.approx(4.0 / 14.0)
    assert found.low == pytest.approx(beta.ppf(0.1, 4, 10))
    assert found.high == pytest.approx(beta.ppf(0.9, 4, 10))


@pytest.mark.parametrize(("yes", "no"), [(1.0, 3.0), (0.5, 0.5), (40.0, 3.0), (900.0, 2500.0)])
def test_points_are_quantiles(yes: float, no: float) -> None:
    # scipy's beta distribution; the trapezoidal table has 4000 steps
    found = share_of(0, 0, yes=yes, no=no).points(64)
    ranks = (np.arange(64) + 0.5) / 64
    assert found == pytest.approx(beta.ppf(ranks, yes, no), abs=2e-4)


@pytest.mark.parametrize(("hits", "seen"), [(-1, 3), (4, 3)])
def test_more_hits_than_were_seen_are_refused(hits: int, seen: int) -> None:
    with pytest.raises(InternalError, match=f"no share of {hits} in {seen}"):
        share_of(hits, seen, yes=1.0, no=1.0)
