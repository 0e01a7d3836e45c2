"""Cases of what is believed: their distributions against other people's."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import stats

from mouldgen.physics.beta import beta_quantile
from mouldgen.shop.spread import CASES, Beliefs, shares, spread_of

BELIEFS = Beliefs(
    yield_=0.9, fills=0.2, loss=0.1, yield_seen=12.0, fills_seen=12.0, loss_spread=0.3,
    time_spread=0.15,
)  # fmt: skip
RANKS = np.linspace(1e-4, 1.0 - 1e-4, 501)


@pytest.mark.parametrize(
    ("mean", "on"),
    [(0.9, 12.0), (0.92, 12.0), (0.5, 2.0), (0.02, 12.0), (0.98, 3.0), (0.9, 1e6), (0.999, 1.0)],
)
def test_shares_are_quantiles_of_the_beta_distribution(mean: float, on: float) -> None:
    a, b = mean * on, (1.0 - mean) * on
    found = shares(RANKS, mean, on=on)
    assert found == pytest.approx(stats.beta.ppf(RANKS, a, b), abs=2e-5)  # scipy
    assert found[250] == pytest.approx(beta_quantile(0.5, a=a, b=b), abs=2e-5)


@pytest.mark.parametrize("mean", [0.0, 1.0])
def test_a_certain_share_is_the_same_in_every_case(mean: float) -> None:
    assert set(shares(RANKS, mean, on=12.0)) == {mean}


def test_cases_have_the_means_and_spreads_that_are_believed() -> None:
    cases = spread_of(BELIEFS)
    assert cases.yield_.shape == (CASES,)
    for values, mean, deviation in (
        (cases.yield_, 0.9, math.sqrt(0.9 * 0.1 / 13.0)),
        (cases.fills, 0.2, math.sqrt(0.2 * 0.8 / 13.0)),
        (cases.loss, 0.1, 0.03),
        (cases.time, 1.0, 0.15),
    ):
        assert float(np.mean(values)) == pytest.approx(mean, rel=2e-4)
        assert float(np.std(values)) == pytest.approx(deviation, rel=2e-3)


def test_cases_are_independent_and_lognormal() -> None:
    cases = spread_of(BELIEFS)
    rows = np.array([cases.yield_, cases.fills, cases.loss, cases.time])
    off = np.corrcoef(rows) - np.eye(4)
    assert float(np.abs(off).max()) < 5e-3
    sigma = math.sqrt(math.log1p(0.15**2))
    fitted = stats.lognorm(sigma, scale=math.exp(-(sigma**2) / 2.0))
    assert stats.kstest(cases.time, fitted.cdf).statistic < 1e-3


def test_the_mean_of_the_inverse_yield_is_the_closed_form() -> None:
    expected = stats.beta(10.8, 1.2).expect(lambda q: 1.0 / q)  # scipy, by quadrature
    assert BELIEFS.mean_of_inverse_yield == pytest.approx(expected, rel=1e-7)
    thin = Beliefs(0.05, 0.2, 0.1, 12.0, 12.0, 0.3, 0.15)
    assert math.isinf(thin.mean_of_inverse_yield)


def test_nothing_is_drawn() -> None:
    one, two = spread_of(BELIEFS, cases=64), spread_of(BELIEFS, cases=64)
    assert np.array_equal(one.yield_, two.yield_)
    assert np.array_equal(one.time, two.time)
