"""Penalised fits: exact cases, another optimiser, and intervals by their definition."""

import math

import numpy as np
import numpy.typing as npt
import pytest
from scipy import optimize, stats

from mouldgen.castings.firth import firth, firth_interval
from mouldgen.errors import InternalError
from tests.logistic_data import DISTRESS, FLIGHT_F, FLIGHTS, FLIGHTS_SCALED, GRADE, GRADES

Floats = npt.NDArray[np.float64]
PARTED = (FLIGHT_F < 65).astype(float)
ALL_GOOD = np.zeros(23)


def penalised(coefficients: Floats, x: Floats, y: Floats) -> float:
    """The definition, written down once more."""
    eta = x @ coefficients
    weight = 0.25 / np.cosh(0.5 * eta) ** 2
    information = np.linalg.slogdet((x.T * weight) @ x)[1]
    return float((y * eta - np.logaddexp(0.0, eta)).sum() + 0.5 * information)


@pytest.mark.parametrize(("bad", "of"), [(0, 1), (0, 30), (3, 7), (30, 30)])
def test_a_constant_alone_adds_half_a_casting_to_either_side(bad: int, of: int) -> None:
    found = firth([[1.0]], [bad], [of])

    # The information is n p (1 - p): half a void and half a good one more.
    assert found.coefficients == pytest.approx(
        [math.log((bad + 0.5) / (of - bad + 0.5))], abs=1e-12
    )


@pytest.mark.parametrize(
    ("first", "second"), [((0, 5), (4, 4)), ((1, 9), (2, 3)), ((0, 40), (0, 2)), ((7, 7), (7, 7))]
)
def test_a_saturated_table_adds_half_to_each_cell(
    first: tuple[int, int], second: tuple[int, int]
) -> None:
    # D. Firth, Biometrika 80 (1993) 27-38: exact.
    logits = [math.log((bad + 0.5) / (of - bad + 0.5)) for bad, of in (first, second)]
    found = firth([[1, 0], [1, 1]], [first[0], second[0]], [first[1], second[1]])

    assert found.coefficients == pytest.approx([logits[0], logits[1] - logits[0]], abs=1e-11)


@pytest.mark.parametrize(
    ("x", "y"),
    [
        (FLIGHTS_SCALED, DISTRESS),
        (FLIGHTS_SCALED, PARTED),
        (FLIGHTS_SCALED, ALL_GOOD),
        (GRADES / [1, 1, 20, 2], GRADE),
    ],
    ids=["mixed", "parted", "all-good", "quasi"],
)
def test_the_summit_and_the_profile_by_another_optimiser(x: Floats, y: Floats) -> None:
    columns = x.shape[1]
    start = np.zeros(columns)
    theirs = optimize.minimize(lambda b: -penalised(b, x, y), start, method="BFGS", tol=1e-9)
    ours = firth(x, y)

    assert ours.log_likelihood == pytest.approx(penalised(ours.coefficients, x, y), abs=1e-11)
    # scipy's differences cannot do better than about 1e-5 here.
    assert ours.coefficients == pytest.approx(theirs.x, abs=1e-4)
    assert ours.log_likelihood >= -theirs.fun - 1e-12

    for share in (0.8, 0.95):
        half = 0.5 * stats.chi2.ppf(share, 1)
        for end in firth_interval(x, y, columns - 1, share=share):
            others = optimize.minimize(
                lambda b, end=end: -penalised(np.append(b, end), x, y),
                ours.coefficients[:-1],
                method="BFGS",
                tol=1e-9,
            )
            assert ours.log_likelihood + others.fun == pytest.approx(half, abs=1e-8)


def test_the_slope_of_parted_flights_is_finite_and_its_interval_leaves_nought_out() -> None:
    found = firth(FLIGHTS, PARTED)
    low, high = firth_interval(FLIGHTS, PARTED, 1)

    assert low < found.coefficients[1] < high < 0.0
    assert math.isfinite(low)


def test_units_of_a_column_only_change_the_units_of_its_coefficient() -> None:
    celsius = FLIGHTS @ [[1.0, -32.0 / 1.8], [0.0, 1.0 / 1.8]]
    thousandths = FLIGHTS * [1.0, 1e-3]

    plain = firth(FLIGHTS, DISTRESS)
    other = firth(celsius, DISTRESS)
    fine = firth(thousandths, DISTRESS)

    assert other.coefficients[1] == pytest.approx(1.8 * plain.coefficients[1], rel=1e-10)
    assert fine.coefficients == pytest.approx(plain.coefficients * [1, 1e3], rel=1e-10)
    # The penalty is a determinant: it takes on the factor alone.
    assert fine.log_likelihood == pytest.approx(plain.log_likelihood + math.log(1e-3), abs=1e-10)
    ends = np.array(firth_interval(FLIGHTS, DISTRESS, 1))
    assert firth_interval(celsius, DISTRESS, 1) == pytest.approx(1.8 * ends, rel=1e-8)


def test_columns_may_come_in_any_order() -> None:
    plain = firth_interval(GRADES, GRADE, 1)

    assert firth_interval(GRADES[:, [1, 3, 0, 2]], GRADE, 0) == pytest.approx(plain, rel=1e-8)
    assert firth_interval(GRADES[:, [3, 0, 2, 1]], GRADE, -1) == pytest.approx(plain, rel=1e-8)


def test_grouped_rows_are_the_rows_one_by_one() -> None:
    x = np.repeat([[1.0, -0.4], [1.0, 0.1], [1.0, 0.9]], [4, 3, 5], axis=0)
    y = np.array([1, 1, 1, 0, 1, 0, 0, 0, 0, 0, 0, 0])

    single = firth(x, y)
    table = firth([[1, -0.4], [1, 0.1], [1, 0.9]], [3, 1, 0], [4, 3, 5])

    assert table.coefficients == pytest.approx(single.coefficients, rel=1e-12)
    assert firth_interval(x, y, 1) == pytest.approx(
        firth_interval([[1, -0.4], [1, 0.1], [1, 0.9]], [3, 1, 0], 1, trials=[4, 3, 5]), rel=1e-9
    )


@pytest.mark.parametrize("seed", range(24))
def test_an_interval_of_any_few_rows_is_found(seed: int) -> None:
    """Few rows, far from their origin, all of one kind or parted: where fits get lost."""
    rng = np.random.default_rng(seed)
    columns = 2 + seed % 3
    count = int(rng.integers(columns + 2, 30))
    x = np.column_stack([np.ones(count), rng.normal(size=(count, columns - 1))])
    y = (np.zeros(count), (x[:, 1] > 0.0) * 1.0, (rng.random(count) < 0.3) * 1.0)[seed % 3]
    if seed % 4 == 0:
        x[:, 1:] = 50.0 + 10.0 ** (seed % 5 - 3) * x[:, 1:]
    found = firth(x, y)

    for column in range(columns):
        wide = firth_interval(x, y, column, share=0.999)
        narrow = firth_interval(x, y, column, share=0.5)
        assert wide[0] < narrow[0] < found.coefficients[column] < narrow[1] < wide[1]


def test_a_summit_that_is_not_found_is_not_kept_quiet(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("mouldgen.castings.firth.MOST_STEPS", 1)

    with pytest.raises(InternalError, match="has not found its summit in 1 steps"):
        firth(FLIGHTS, DISTRESS)


def test_more_columns_than_rows() -> None:
    with pytest.raises(InternalError, match="depend on one another"):
        firth(GRADES[:3], GRADE[:3])


@pytest.mark.parametrize("share", [0.0, 1.0])
def test_shares_that_are_none(share: float) -> None:
    with pytest.raises(InternalError, match="between 0 and 1"):
        firth_interval(FLIGHTS, DISTRESS, 1, share=share)


@pytest.mark.parametrize(
    "x",
    [
        np.column_stack([FLIGHTS, 2.0 * FLIGHT_F - 3.0]),
        np.column_stack([FLIGHTS, np.zeros(23)]),
        np.column_stack([np.ones(23), np.full(23, 5.0)]),
    ],
    ids=["repeated", "zeros", "constant"],
)
def test_columns_that_depend_on_one_another(x: Floats) -> None:
    with pytest.raises(InternalError, match="depend on one another"):
        firth(x, DISTRESS)
