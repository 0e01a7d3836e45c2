from __future__ import annotations

import numpy as np
import pytest

from mouldgen.castings.load_luck import LoadRows, _Target, chance_in_new_load, luck_posterior
from mouldgen.castings.lucks import lucks
from mouldgen.errors import InternalError

MEAN = np.array([-1.75, -4.0, np.log(0.4)])
SD = np.array([1.5, 2.0, 0.6])


def rows(loads: int = 5, seed: int = 1, luck: float = 0.8) -> LoadRows:
    random = np.random.default_rng(seed)
    wide = np.tile([-0.4, 0.0, 0.4], loads)
    shift = np.repeat(random.normal(size=loads), 3) * luck
    chance = 1.0 / (1.0 + np.exp(1.0 + 3.0 * wide - shift))
    return LoadRows(
        x=np.column_stack([np.ones(3 * loads), wide]),
        voids=random.binomial(4, chance).astype(float),
        castings=np.full(3 * loads, 4.0),
        starts=3 * np.arange(loads),
    )


def none() -> LoadRows:
    nothing = np.zeros(0)
    return LoadRows(
        x=np.zeros((0, 2)), voids=nothing, castings=nothing, starts=np.zeros(0, dtype=np.intp)
    )


@pytest.mark.parametrize("place", [MEAN, np.array([0.5, -1.0, 0.3]), np.array([-4.0, 2.0, -2.0])])
def test_slopes_are_those_of_differences(place: np.ndarray) -> None:
    target, step = _Target(rows(), MEAN, SD, np.array([4.0, np.inf, np.inf])), 1e-5
    slopes = target.slopes(place)
    around = [(place + step * unit, place - step * unit) for unit in np.eye(3)]
    gradient = [(target.value(up) - target.value(down)) / (2.0 * step) for up, down in around]
    assert slopes.gradient == pytest.approx(gradient, rel=1e-6, abs=1e-6)
    curvature = [
        -(target.slopes(up).gradient - target.slopes(down).gradient) / (2.0 * step)
        for up, down in around
    ]
    assert slopes.curvature == pytest.approx(np.array(curvature), rel=1e-6, abs=1e-6)


def test_without_rows_the_belief_comes_back() -> None:
    found = luck_posterior(none(), prior_mean=MEAN, prior_sd=SD)
    assert found.mode == pytest.approx(MEAN)
    assert found.mean() == pytest.approx(MEAN, abs=0.01)
    assert found.sd() == pytest.approx(SD, rel=0.01)


def test_a_belief_with_heavy_tails_is_a_t_distribution() -> None:
    heavy = np.array([4.0, np.inf, np.inf])
    found = luck_posterior(none(), prior_mean=MEAN, prior_sd=SD, freedom=heavy, draws=8192)
    low, high = found.interval(found.coefficients, 0.9)
    # 2.1318 is the t of 95 % at 4 degrees of freedom, 1.6449 that of the normal (any table)
    assert high - MEAN == pytest.approx(SD * [2.1318, 1.6449, 1.6449], rel=0.02)
    assert MEAN - low == pytest.approx(SD * [2.1318, 1.6449, 1.6449], rel=0.02)


def test_rows_far_from_it_pull_a_belief_with_heavy_tails_further() -> None:
    far = LoadRows(
        x=np.array([[1.0, 0.0]] * 4),
        voids=np.full(4, 9.0),
        castings=np.full(4, 9.0),
        starts=np.arange(4),
    )
    low = np.array([-9.0, -4.0, np.log(0.4)])
    heavy = np.array([4.0, np.inf, np.inf])
    normal = luck_posterior(far, prior_mean=low, prior_sd=SD)
    robust = luck_posterior(far, prior_mean=low, prior_sd=SD, freedom=heavy)
    assert robust.mean()[0] > normal.mean()[0] + 1.0


def test_many_unlike_loads_tell_their_luck() -> None:
    found = luck_posterior(rows(400, luck=0.8), prior_mean=MEAN, prior_sd=SD)
    low, high = found.interval(np.exp(found.coefficients[:, -1]), 0.98)
    assert low < 0.8 < high
    assert high - low < 0.4


def test_one_load_leaves_its_luck_a_belief() -> None:
    found = luck_posterior(rows(1), prior_mean=MEAN, prior_sd=SD)
    assert found.sd()[-1] == pytest.approx(SD[-1], rel=0.1)


def test_the_bell_of_many_rows_is_next_to_the_weighted_draws(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    many = rows(600)
    exact = luck_posterior(many, prior_mean=MEAN, prior_sd=SD, draws=2048)
    monkeypatch.setattr("mouldgen.castings.load_luck.MOST_TERMS", 1)
    bell = luck_posterior(many, prior_mean=MEAN, prior_sd=SD, draws=2048)
    assert np.abs(bell.mean() - exact.mean()).max() < 0.1 * exact.sd().min()
    assert bell.sd() == pytest.approx(exact.sd(), rel=0.05)


def test_a_summit_far_from_the_belief_is_found() -> None:
    # Newton's own first step would lead to a luck whose exponential overflows.
    far = LoadRows(
        x=np.column_stack([np.ones(6), np.linspace(-0.5, 0.8, 6)]),
        voids=np.array([9.0, 0.0, 9.0, 0.0, 9.0, 0.0]),
        castings=np.full(6, 9.0),
        starts=np.arange(6),
    )
    found = luck_posterior(far, prior_mean=np.array([-4.75, -4.0, -0.9]), prior_sd=SD)
    assert np.isfinite(found.coefficients).all()
    target = _Target(far, np.array([-4.75, -4.0, -0.9]), SD, np.full(3, np.inf))
    target.lucks = lucks(113)  # four times as fine as the sum that found it
    # Steps of a two-hundredth of a standard deviation are left.
    assert target.slopes(found.mode).gradient * SD == pytest.approx(np.zeros(3), abs=5e-3)


def test_the_chance_in_a_new_load_is_the_mean_over_its_luck() -> None:
    coefficients = np.array([[-1.0, -4.0, np.log(1.3)], [2.0, -1.0, np.log(0.2)]])
    x = np.array([[1.0, 0.0], [1.0, 0.5]])
    nodes, weights = np.polynomial.hermite_e.hermegauss(80)
    at = (coefficients[:, :2] @ x.T)[:, :, None] + np.array([1.3, 0.2])[:, None, None] * nodes
    exact = (1.0 / (1.0 + np.exp(-at))) @ (weights / weights.sum())
    assert chance_in_new_load(coefficients, x) == pytest.approx(exact, abs=2e-4)


def test_a_chance_far_out_is_a_number() -> None:
    far = np.array([[1e6, 0.0, 3.0], [-1e6, 0.0, 3.0]])
    assert chance_in_new_load(far, np.array([[1.0, 0.0]])).ravel() == pytest.approx([1.0, 0.0])


def test_beliefs_that_do_not_fit_are_refused() -> None:
    with pytest.raises(InternalError, match=r"beliefs of shapes \(2,\) and \(3,\) for 2 columns"):
        luck_posterior(rows(), prior_mean=MEAN[:2], prior_sd=SD)


def test_a_row_that_is_no_number_is_refused() -> None:
    broken = rows()
    broken.x[0, 1] = np.nan
    with pytest.raises(InternalError, match="not finite"):
        luck_posterior(broken, prior_mean=MEAN, prior_sd=SD)
