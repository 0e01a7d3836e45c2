"""What is believed after rows: against quadrature, a long random walk, and exact cases."""

import math
import time

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import given
from hypothesis import strategies as st

from mouldgen.castings.logistic import MOST_TERMS, Posterior, posterior
from mouldgen.castings.rows import chances, grouped, inverse, softplus
from mouldgen.errors import InternalError
from tests.logistic_data import (
    DISTRESS,
    FLIGHT_F,
    FLIGHTS,
    FLIGHTS_SCALED,
    GRADE,
    GRADES,
    TWO_SD_F,
)

Floats = npt.NDArray[np.float64]

ALL_GOOD = np.zeros(23)
PARTED = (FLIGHT_F < 65).astype(float)


def by_quadrature(
    x: Floats, y: Floats, sd: list[float], ends: tuple[Floats, Floats], steps: int
) -> tuple[Floats, Floats]:
    """Means and standard deviations of two coefficients by the trapezoidal rule.

    It errs by less than any power of the step where the integrand dies away at the ends.
    """
    first, second = (np.linspace(low, high, steps) for low, high in zip(*ends, strict=True))
    grid = np.stack(np.meshgrid(first, second, indexing="ij"), axis=-1).reshape(-1, 2)
    log_density = -0.5 * ((grid / sd) ** 2).sum(axis=1)
    for row, success in zip(x, y, strict=True):
        eta = grid @ row
        log_density += success * eta - np.logaddexp(0.0, eta)
    weight = np.exp(log_density - log_density.max())
    edge = weight.reshape(steps, steps)
    assert max(side.max() for side in (edge[0], edge[-1], edge[:, 0], edge[:, -1])) < 1e-11
    weight /= weight.sum()
    mean = weight @ grid
    return mean, np.sqrt(weight @ (grid - mean) ** 2)


@pytest.mark.parametrize(
    ("y", "sd", "ends"),
    [
        (DISTRESS, [10.0, 2.5], ((-8, -16), (6, 8))),
        (ALL_GOOD, [10.0, 2.5], ((-85, -22), (4, 22))),
        (PARTED, [10.0, 10.0], ((-40, -85), (12, 12))),
        (1.0 - ALL_GOOD, [2.0, 1.0], ((-6, -8), (16, 8))),
    ],
    ids=["mixed", "all-good", "parted", "all-voids"],
)
def test_two_columns_against_quadrature(
    y: Floats, sd: list[float], ends: tuple[Floats, Floats]
) -> None:
    mean, spread = by_quadrature(FLIGHTS_SCALED, y, sd, ends, 601)
    coarser = by_quadrature(FLIGHTS_SCALED, y, sd, ends, 401)
    assert np.concatenate(coarser) == pytest.approx(np.concatenate([mean, spread]), abs=1e-6)

    for draws, error in ((4096, 0.003), (2**16, 0.0005)):
        found = posterior(FLIGHTS_SCALED, y, prior_mean=[0, 0], prior_sd=sd, draws=draws)

        assert len(found.weights) == draws
        assert (np.abs(found.mean() - mean) < error * spread).all()
        assert found.sd() == pytest.approx(spread, rel=error)


@pytest.mark.parametrize(
    ("x", "y", "sd"),
    [
        (GRADES, GRADE, [10.0, 2.5, 0.1, 2.5]),
        (FLIGHTS_SCALED, PARTED, [10.0, 2.5]),
        (FLIGHTS_SCALED, ALL_GOOD, [5.0, 2.5]),
    ],
    ids=["quasi", "parted", "all-good"],
)
def test_against_a_long_random_walk(x: Floats, y: Floats, sd: list[float]) -> None:
    """A Metropolis walk that shares no line with the library, 512 walkers and 204800 steps."""
    found = posterior(x, y, prior_mean=np.zeros(len(sd)), prior_sd=sd)
    rng = np.random.default_rng(7)
    columns, walkers = len(sd), 512
    root = np.linalg.cholesky(np.cov(found.coefficients.T, aweights=found.weights))
    stride = 2.4 / math.sqrt(columns)

    def log_density(places: Floats) -> Floats:
        eta = places @ x.T
        return (y * eta - np.logaddexp(0.0, eta)).sum(axis=1) - ((places / sd) ** 2).sum(axis=1) / 2

    places = found.mean() + rng.normal(size=(walkers, columns)) @ root.T
    here, sums, squares, kept = log_density(places), 0.0, 0.0, 0
    for turn in range(550):
        tried = places + stride * rng.normal(size=(walkers, columns)) @ root.T
        there = log_density(tried)
        taken = np.log(rng.random(walkers)) < there - here
        places, here = np.where(taken[:, None], tried, places), np.where(taken, there, here)
        if turn >= 150:
            sums, squares, kept = sums + places, squares + places**2, kept + 1
    means = sums / kept
    second = squares / kept
    mean, mean_error = means.mean(axis=0), means.std(axis=0, ddof=1) / math.sqrt(walkers)
    spread = np.sqrt(second.mean(axis=0) - mean**2)
    # Walkers are independent, so what they differ by tells the error of their average.
    own = second - 2.0 * mean * means
    spread_error = own.std(axis=0, ddof=1) / math.sqrt(walkers) / (2.0 * spread)

    assert kept * walkers >= 200_000
    assert (mean_error < 0.02 * spread).all()
    assert (np.abs(found.mean() - mean) < 4.0 * mean_error + 0.01 * spread).all()
    assert (np.abs(found.sd() - spread) < 4.0 * spread_error + 0.01 * spread).all()


def test_eight_columns_err_by_a_thirtieth_of_a_standard_deviation() -> None:
    rng = np.random.default_rng(5)
    x = np.column_stack([np.ones(60), 0.5 * rng.normal(size=(60, 7))])
    mixed = (rng.random(60) < 1.0 / (1.0 + np.exp(1.5 + 2.0 * x[:, 1]))).astype(float)
    for y in (mixed, np.zeros(60)):
        usual, long = (
            posterior(x, y, prior_mean=[0] * 8, prior_sd=[10] + [2.5] * 7, draws=draws)
            for draws in (4096, 2**15)
        )

        assert (np.abs(usual.mean() - long.mean()) < long.sd() / 30.0).all()
        assert usual.sd() == pytest.approx(long.sd(), rel=1.0 / 30.0)


def test_no_rows_leave_the_belief_as_it_was() -> None:
    found = posterior(np.empty((0, 2)), [], prior_mean=[-1.0, 3.0], prior_sd=[0.5, 2.0])

    assert found.mode == pytest.approx([-1.0, 3.0], abs=1e-15)
    assert found.covariance == pytest.approx(np.diag([0.25, 4.0]), abs=1e-14)
    assert (np.abs(found.mean() - [-1.0, 3.0]) < [0.005 * 0.5, 0.005 * 2.0]).all()
    assert found.sd() == pytest.approx([0.5, 2.0], rel=0.005)
    assert not found.refitted


def test_rows_that_are_all_good_are_wide_to_one_side_and_fitted_again() -> None:
    found = posterior(FLIGHTS_SCALED, ALL_GOOD, prior_mean=[0, 0], prior_sd=[10, 2.5])

    assert found.refitted
    assert found.effective > 0.7 * 4096
    assert np.isfinite(found.coefficients).all()
    # Wider than the bell at its summit, 1.43 times, and a new casting there is most likely good.
    assert found.sd()[0] > 1.4 * math.sqrt(found.covariance[0, 0])
    assert 0.0 < found.predict([[1.0, 0.0]])[0] < 1.0 / 23.0


def test_a_handful_of_draws_with_all_the_weight_still_spans_the_columns() -> None:
    rng = np.random.default_rng(5)
    x = np.column_stack([np.ones(40), rng.normal(size=(40, 7))])
    found = posterior(x, np.zeros(40), prior_mean=[0] * 8, prior_sd=[1e3] * 8, draws=256)

    assert found.refitted
    assert np.isfinite(found.coefficients).all()
    assert found.weights.sum() == pytest.approx(1.0, rel=1e-12)
    assert 1.0 <= found.effective < 64.0  # and says so


def test_equal_rows_count_as_trials_and_their_order_does_not_matter() -> None:
    belief = {"prior_mean": [-1.0, -1.0], "prior_sd": [3.0, 1.0]}
    x = np.array([[1.0, -0.5]] * 4 + [[1.0, 0.0]] * 3 + [[1.0, 0.7]] * 2)
    y = np.array([True, False, True, True, False, False, True, False, False])
    order = np.random.default_rng(3).permutation(9)

    one = posterior(x, y, **belief)
    other = posterior(x[order], y[order], **belief)
    table = posterior([[1, 0], [1, -0.5], [1, 0.7]], [1, 3, 0], trials=[3, 4, 2], **belief)

    for found in (other, table):
        assert np.array_equal(found.coefficients, one.coefficients)
        assert np.array_equal(found.weights, one.weights)


def test_the_same_rows_give_the_same_draws() -> None:
    one, other = (
        posterior(FLIGHTS_SCALED, DISTRESS, prior_mean=[0, 0], prior_sd=[10, 2.5]) for _ in range(2)
    )

    assert one.coefficients.tobytes() == other.coefficients.tobytes()
    assert one.weights.tobytes() == other.weights.tobytes()


def test_the_gradient_is_nothing_at_the_mode_and_the_curvature_is_its_slope() -> None:
    belief = np.array([5.0, 0.1])
    found = posterior(FLIGHTS, DISTRESS, prior_mean=[1, 0], prior_sd=belief)

    def gradient(place: Floats) -> Floats:
        return FLIGHTS.T @ (DISTRESS - chances(FLIGHTS @ place).chance) + ([1, 0] - place) / (
            belief**2
        )

    assert gradient(found.mode) == pytest.approx([0, 0], abs=1e-10)
    steps = 1e-5 * np.diag([1.0, 0.01])
    slopes = [
        (gradient(found.mode + s) - gradient(found.mode - s)) / (2.0 * np.abs(s).sum())
        for s in steps
    ]
    assert np.linalg.inv(-np.array(slopes)) == pytest.approx(found.covariance, rel=1e-5)


def test_the_summit_is_found_from_a_belief_that_is_far_off() -> None:
    """From 60, where every chance is 1, whole steps of Newton's method would leap to and fro."""
    found = posterior(FLIGHTS_SCALED, DISTRESS, prior_mean=[60, -60], prior_sd=[100, 100])
    pull = (np.array([60, -60]) - found.mode) / 1e4
    chance = chances(FLIGHTS_SCALED @ found.mode).chance

    assert FLIGHTS_SCALED.T @ (DISTRESS - chance) + pull == pytest.approx([0, 0], abs=1e-10)
    # Close to the likeliest fit: 15.0429 - 0.232163 F, in these columns.
    slope = -0.232163 * TWO_SD_F
    assert found.mode == pytest.approx([15.0429 - 0.232163 * FLIGHT_F.mean(), slope], abs=0.06)


@pytest.mark.parametrize("steps", [0, 1])
def test_a_summit_that_is_not_found_is_not_kept_quiet(
    steps: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("mouldgen.castings.logistic.MOST_STEPS", steps)

    with pytest.raises(InternalError, match=f"has not found its summit in {steps} steps"):
        posterior(FLIGHTS_SCALED, DISTRESS, prior_mean=[0, 0], prior_sd=[10, 2.5])


def simple(values: list[float], weights: list[float]) -> tuple[Posterior, Floats]:
    """A posterior with these weights, its one coefficient drawn as the values."""
    table = np.array(values)
    found = Posterior(
        coefficients=table[:, np.newaxis],
        weights=np.array(weights),
        mode=np.zeros(1),
        covariance=np.eye(1),
        effective=1.0,
        refitted=False,
    )
    return found, table


def test_quantiles_of_few_weighted_values_by_hand() -> None:
    found, values = simple([3.0, 1.0, 2.0], [0.25, 0.25, 0.5])

    # Half of its own weight lies below a value: 1 at .125, 2 at .5, 3 at .875.
    assert found.quantile(values, 0.5) == 2.0
    assert found.quantile(values, 0.125) == 1.0
    assert found.quantile(values, 0.3125) == 1.5
    assert found.quantile(values, 0.01) == 1.0
    assert found.quantile(values, 0.999) == 3.0
    low, high = found.interval(values, 0.375)
    assert (low, high) == (1.5, 2.5)
    assert found.mean() == pytest.approx([2.0], abs=1e-15)
    assert found.sd() == pytest.approx([math.sqrt(0.5)], rel=1e-15)


def test_a_value_without_weight_does_not_count() -> None:
    found, values = simple([5.0, 1.0, 9.0, 2.0], [0.0, 0.5, 0.0, 0.5])

    assert found.quantile(values, 0.75) == 2.0
    assert found.quantile(values, 1.0) == 2.0


@given(
    values=st.lists(st.floats(-1e3, 1e3), min_size=1, max_size=30),
    share=st.floats(0.0, 1.0),
)
def test_equal_weights_are_hazens_rule(values: list[float], share: float) -> None:
    found, table = simple(values, [1.0 / len(values)] * len(values))

    wanted = np.quantile(table, share, method="hazen")
    assert found.quantile(table, share) == pytest.approx(wanted, abs=1e-9)


def test_a_whole_weight_is_as_many_equal_values() -> None:
    # Between values the line may differ; at the middle of each it may not.
    found, values = simple([1.0, 4.0, 6.0], [0.2, 0.3, 0.5])
    many, each = simple([1.0] * 2 + [4.0] * 3 + [6.0] * 5, [0.1] * 10)

    for share in (0.1, 0.35, 0.75):
        assert found.quantile(values, share) == pytest.approx(many.quantile(each, share), rel=1e-12)


def test_several_columns_at_once() -> None:
    found = posterior(FLIGHTS_SCALED, DISTRESS, prior_mean=[0, 0], prior_sd=[10, 2.5])
    x = np.array([[1.0, -1.0], [1.0, 0.0], [1.0, 1.0]])
    eta = found.linear(x)

    assert eta.shape == (4096, 3)
    low, high = found.interval(chances(eta).chance, 0.8)
    assert low.shape == high.shape == (3,)
    assert (low < found.predict(x)).all()
    assert (found.predict(x) < high).all()
    # A rising curve carries quantiles along.
    assert low == pytest.approx(chances(found.interval(eta, 0.8)[0]).chance, rel=1e-2)
    assert found.quantile(eta, 0.5)[1] == found.quantile(eta[:, 1], 0.5)


def test_the_80_percent_interval_of_a_normal_belief() -> None:
    found = posterior(np.empty((0, 1)), [], prior_mean=[2.0], prior_sd=[3.0])
    low, high = found.interval(found.coefficients[:, 0], 0.8)

    # 1.2815516 standard deviations to either side.
    assert (low, high) == pytest.approx((2.0 - 3.844655, 2.0 + 3.844655), abs=0.01)


def test_nothing_overflows_far_out() -> None:
    eta = np.array([-1e4, -40.0, 0.0, 40.0, 1e4])

    assert softplus(eta) == pytest.approx([0.0, math.exp(-40), math.log(2), 40.0, 1e4], rel=1e-15)
    at = chances(eta)
    assert at.chance == pytest.approx([0.0, math.exp(-40), 0.5, 1.0, 1.0], rel=1e-15)
    assert at.spread == pytest.approx([0.0, math.exp(-40), 0.25, math.exp(-40), 0.0], rel=1e-15)


def test_very_many_rows_are_told_by_fewer_draws() -> None:
    count = 2**17
    x = np.column_stack([np.ones(count), np.linspace(-1.0, 1.0, count)])
    y = np.tile([0, 0, 0, 1], count // 4)

    found = posterior(x, y, prior_mean=[0, 0], prior_sd=[10, 2.5])

    assert len(found.weights) == 512 == MOST_TERMS // count
    # Next to a bell, which the mode and its covariance tell.
    bell = np.sqrt(np.diag(found.covariance))
    assert (np.abs(found.mean() - found.mode) < 0.03 * bell).all()
    assert found.sd() == pytest.approx(bell, rel=0.03)


@pytest.mark.bench
def test_a_hundred_thousand_rows_of_five_columns_in_four_seconds() -> None:
    rng = np.random.default_rng(1)
    x = np.column_stack([np.ones(100_000), 0.5 * rng.normal(size=(100_000, 4))])
    y = rng.random(100_000) < chances(x @ [-2.0, 1.0, -2.0, 0.5, 0.0]).chance
    started = time.process_time()

    found = posterior(x, y, prior_mean=[0] * 5, prior_sd=[10] + [2.5] * 4)

    assert time.process_time() - started < 4.0
    assert (np.abs(found.mean() - [-2.0, 1.0, -2.0, 0.5, 0.0]) < 4.0 * found.sd()).all()


@pytest.mark.parametrize(
    ("changed", "match"),
    [
        ({"y": [0, 1]}, "rows of shape"),
        ({"x": [1.0, 2.0, 3.0]}, "rows of shape"),
        ({"x": [[1.0], [math.nan], [2.0]]}, "not finite"),
        ({"y": [0, 2, 1]}, "between 0 and its trials"),
        ({"y": [0, -1, 1]}, "between 0 and its trials"),
        ({"trials": [0, 1, 1]}, "between 0 and its trials"),
        ({"trials": [1, 1]}, "rows of shape"),
        ({"prior_mean": [0.0, 0.0]}, "beliefs of shapes"),
        ({"prior_sd": [0.0]}, "cannot be used|can be used"),
        ({"prior_sd": [math.inf]}, "can be used"),
        ({"draws": 1000}, "power of two"),
        ({"draws": 128}, "power of two"),
        ({"x": np.ones((3, 9)), "prior_mean": [0] * 9, "prior_sd": [1] * 9}, "1 to 8"),
    ],
)
def test_what_cannot_be_asked(changed: dict[str, object], match: str) -> None:
    asked = {"x": [[1.0], [1.0], [2.0]], "y": [0, 1, 1], "prior_mean": [0.0], "prior_sd": [1.0]}

    with pytest.raises(InternalError, match=match):
        posterior(**(asked | changed))


def test_values_that_are_not_one_for_each_draw() -> None:
    found, _ = simple([1.0, 2.0], [0.5, 0.5])

    with pytest.raises(InternalError, match="one value or one row for each draw"):
        found.quantile([1.0, 2.0, 3.0], 0.5)


def test_rows_are_grouped() -> None:
    rows = grouped([[1, 2], [1, 1], [1, 2]], [1, 0, 2], [1, 5, 4])

    assert rows.x.tolist() == [[1, 1], [1, 2]]
    assert rows.successes.tolist() == [0, 3]
    assert rows.trials.tolist() == [5, 5]


def test_a_matrix_is_inverted_whatever_its_units() -> None:
    plain = np.array([[4.0, 1.0], [1.0, 3.0]])
    units = np.outer([1e-90, 1e60], [1e-90, 1e60])

    assert inverse(plain * units) * units == pytest.approx(
        np.array([[3.0, -1.0], [-1.0, 4.0]]) / 11.0, rel=1e-14
    )
    with pytest.raises(InternalError, match="depend on one another"):
        inverse(np.ones((2, 2)))
    with pytest.raises(InternalError, match="depend on one another"):
        inverse(np.diag([1.0, 0.0]))
