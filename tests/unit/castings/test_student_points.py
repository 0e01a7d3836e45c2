"""Evenly spread points of a multivariate t, against scipy's sequence and distributions."""

import numpy as np
import pytest
from scipy import stats
from scipy.stats import qmc

from mouldgen.castings.student_points import FREEDOM, sobol, student_points
from mouldgen.errors import InternalError


def test_the_sequence_is_that_of_another_library() -> None:
    theirs = qmc.Sobol(9, scramble=False, bits=30).random(2**12)

    assert np.array_equal(sobol(2**12, 9), (theirs * 2.0**30).astype(np.int64))


@pytest.mark.parametrize("columns", [1, 3, 8])
def test_each_column_is_a_t_variable(columns: int) -> None:
    found = student_points(4096, columns).points

    assert found.shape == (4096, columns)
    for column in found.T:
        # Random points, as many, stray by 0.0135 or so at the worst place.
        assert stats.kstest(column, stats.t(FREEDOM).cdf).statistic < 0.006


@pytest.mark.parametrize("columns", [1, 2, 5, 8])
def test_the_density_is_that_of_the_points(columns: int) -> None:
    found = student_points(4096, columns)
    theirs = stats.multivariate_t(np.zeros(columns), np.eye(columns), df=FREEDOM)
    gap = theirs.logpdf(found.points) - found.log_density

    assert np.ptp(gap) < 1e-11
    # A normal density weighed by it integrates to one, and so do its variances.
    normal = stats.multivariate_normal(np.zeros(columns), np.eye(columns))
    weight = np.exp(normal.logpdf(found.points) - theirs.logpdf(found.points))
    assert weight.mean() == pytest.approx(1.0, abs=0.005)
    spread = np.atleast_2d(np.cov(found.points.T, aweights=weight))
    assert spread == pytest.approx(np.eye(columns), abs=0.03)


def test_the_sum_of_squares_is_an_f_variable() -> None:
    square = (student_points(2**14, 5).points ** 2).sum(axis=1) / 5

    # Random points, as many, stray by 0.0068 or so.
    assert stats.kstest(square, stats.f(5, FREEDOM).cdf).statistic < 0.0045


def test_no_point_is_lost_at_the_corner_of_the_cube() -> None:
    found = student_points(2**16, 8)

    assert np.isfinite(found.points).all()
    assert np.isfinite(found.log_density).all()


def test_points_are_kept_and_cannot_be_written_to() -> None:
    found = student_points(256, 2)

    assert student_points(256, 2) is found
    with pytest.raises(ValueError, match="read-only"):
        found.points[0, 0] = 1.0


@pytest.mark.parametrize("count", [0, 255, 257, 3000, 2**21])
def test_numbers_of_points_that_are_not_even(count: int) -> None:
    with pytest.raises(InternalError, match="a power of two from 256 to 1048576"):
        student_points(count, 2)


@pytest.mark.parametrize("columns", [0, 9])
def test_dimensions_that_are_not_there(columns: int) -> None:
    with pytest.raises(InternalError, match="1 to 8"):
        student_points(256, columns)
