"""Student's t quantile against scipy, and against closed forms where scipy loses digits."""

import math

import pytest
from scipy import stats

from mouldgen.errors import InternalError
from mouldgen.physics.student import t_quantile

FREEDOMS = [1, 1.5, 2, 3, 4, 5, 6, 7.3, 21, 99.5, 100, 101, 1e3, 1e5, 1e7]
PROBABILITIES = [1e-5, 0.3, 0.51, 0.6, 0.749, 0.75, 0.751, 0.9, 0.95, 0.9975, 1 - 0.05 / 10_000]


@pytest.mark.parametrize("freedom", FREEDOMS)
@pytest.mark.parametrize("probability", PROBABILITIES)
def test_against_scipy(probability: float, freedom: float) -> None:
    assert t_quantile(probability, freedom) == pytest.approx(
        float(stats.t.ppf(probability, freedom)), rel=1e-9
    )


@pytest.mark.parametrize("probability", [0.500001, 0.6, 0.9, 1 - 1e-12])
def test_one_degree_is_a_tangent(probability: float) -> None:
    # The Cauchy distribution, whose quantile is a cotangent of the tail.
    exact = 1.0 / math.tan(math.pi * (1.0 - probability))

    assert t_quantile(probability, 1) == pytest.approx(exact, rel=1e-9)


@pytest.mark.parametrize("probability", [0.500001, 0.6, 0.9, 1 - 1e-12])
def test_two_degrees_are_a_root(probability: float) -> None:
    q = 1.0 - probability
    exact = (2.0 * probability - 1.0) / math.sqrt(2.0 * probability * q)

    assert t_quantile(probability, 2) == pytest.approx(exact, rel=1e-9)


@pytest.mark.parametrize(
    ("probability", "freedom", "printed"),
    [(0.95, 4, 2.132), (0.975, 10, 2.228), (0.99, 6, 3.143), (0.995, 30, 2.750)],
)
def test_against_printed_tables(probability: float, freedom: int, printed: float) -> None:
    # Any table of the t distribution; these four from memory.
    assert t_quantile(probability, freedom) == pytest.approx(printed, abs=5e-4)


def test_the_median_is_zero_and_the_sides_mirror() -> None:
    assert t_quantile(0.5, 4) == 0.0
    assert t_quantile(0.25, 4) == -t_quantile(0.75, 4)


@pytest.mark.parametrize(
    ("probability", "freedom"),
    [(0.0, 4), (1.0, 4), (-0.1, 4), (math.nan, 4), (0.9, 0.5), (0.9, math.inf), (0.9, math.nan)],
)
def test_out_of_range(probability: float, freedom: float) -> None:
    with pytest.raises(InternalError, match="no t quantile"):
        t_quantile(probability, freedom)
