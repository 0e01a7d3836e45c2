"""Logistic regressions with published coefficients, and the same ones by other libraries."""

import numpy as np
import numpy.typing as npt
import pytest

from mouldgen.castings.firth import firth, firth_interval
from mouldgen.castings.logistic import posterior
from mouldgen.castings.separation import separation
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
FLAT = 1e6  # so wide a belief moves no digit that is looked at here


def log_likelihood(x: Floats, y: Floats, coefficients: Floats) -> float:
    chance = 1.0 / (1.0 + np.exp(-x @ coefficients))
    return float(np.log(np.where(y > 0, chance, 1.0 - chance)).sum())


def spector() -> tuple[Floats, Floats]:
    """Spector and Mazzeo (1980), as Greene prints them: constant, GPA, TUCE, PSI; grade."""
    from statsmodels.datasets import spector as data

    table = data.load_pandas().data
    x = np.column_stack([np.ones(32), table[["GPA", "TUCE", "PSI"]].to_numpy(float)])
    return x, table["GRADE"].to_numpy(float)


def test_a_belief_that_is_next_to_flat_gives_the_likeliest_fit_of_the_flights() -> None:
    # 23 flights; published and found again: 15.04290 (7.37864), -0.232163 (0.108237).
    found = posterior(FLIGHTS, DISTRESS, prior_mean=[0, 0], prior_sd=[FLAT, FLAT])

    assert FLIGHTS.shape == (23, 2)
    assert found.mode[0] == pytest.approx(15.0429, abs=5e-5)
    assert found.mode[1] == pytest.approx(-0.232163, abs=5e-7)
    errors = np.sqrt(np.diag(found.covariance))
    assert errors == pytest.approx([7.37864, 0.108237], rel=5e-6)
    assert log_likelihood(FLIGHTS, DISTRESS, found.mode) == pytest.approx(-10.15760, abs=5e-6)
    assert -found.mode[0] / found.mode[1] == pytest.approx(64.795, abs=5e-4)


def test_weakly_informative_beliefs_on_the_flights() -> None:
    # Grid quadrature, apart from this code: means -1.1031 and -2.8444, the slope's standard
    # deviation 1.1961, chance at 31 F .9727.  2^17 draws err by less than half a unit of these.
    found = posterior(FLIGHTS_SCALED, DISTRESS, prior_mean=[0, 0], prior_sd=[10, 2.5], draws=2**17)
    cold = np.array([[1.0, (31.0 - FLIGHT_F.mean()) / TWO_SD_F]])

    assert found.mean() == pytest.approx([-1.1031, -2.8444], abs=5e-5)
    assert found.sd()[1] == pytest.approx(1.1961, abs=5e-5)
    assert found.predict(cold) == pytest.approx([0.9727], abs=5e-5)


def test_the_usual_draws_err_by_three_thousandths_of_a_standard_deviation() -> None:
    found = posterior(FLIGHTS_SCALED, DISTRESS, prior_mean=[0, 0], prior_sd=[10, 2.5])

    assert len(found.weights) == 4096
    assert (np.abs(found.mean() - [-1.1031, -2.8444]) < 0.003 * found.sd()).all()
    assert found.sd()[1] == pytest.approx(1.1961, rel=0.003)


def test_firth_on_the_flights() -> None:
    # Coefficients, value and intervals by the package firthmodels 0.8.2.
    found = firth(FLIGHTS, DISTRESS)

    assert found.coefficients[0] == pytest.approx(11.949515, abs=5e-7)
    assert found.coefficients[1] == pytest.approx(-0.186042, abs=5e-7)
    assert found.log_likelihood == pytest.approx(-7.22218816, abs=5e-9)
    assert firth_interval(FLIGHTS, DISTRESS, 0) == pytest.approx((2.00112, 27.89547), abs=5e-6)
    assert firth_interval(FLIGHTS, DISTRESS, 1) == pytest.approx((-0.4195328, -0.0405285), abs=5e-8)
    # 6.255 and 0.0916 from the plain information.
    assert np.sqrt(np.diag(found.covariance)) == pytest.approx([6.255, 0.0916], rel=5e-4)


def test_firth_on_the_grades_that_no_finite_fit_suits() -> None:
    # Heinze and Schemper (2002) print (from memory) 2.93 (0.61, 7.85), -0.03 (-0.12, 0.04) and
    # -2.60 (-4.37, -1.23); the digits here are those of the package firthmodels 0.8.2.
    found = firth(GRADES, GRADE)

    assert found.coefficients == pytest.approx([3.774560, 2.929273, -0.034752, -2.604164], abs=5e-7)
    ends = [firth_interval(GRADES, GRADE, column) for column in range(4)]
    assert ends[0] == pytest.approx((1.0825371, 7.2092805), abs=5e-7)
    assert ends[1] == pytest.approx((0.6097244, 7.8546317), abs=5e-7)
    assert ends[2] == pytest.approx((-0.1244587, 0.0404555), abs=5e-7)
    assert ends[3] == pytest.approx((-4.3651833, -1.2327211), abs=5e-7)


def test_the_grades_are_parted_along_neovasculisation_alone() -> None:
    found = separation(GRADES, GRADE)

    assert found.kind == "quasi"
    assert found.direction == pytest.approx([0, 1, 0, 0], abs=1e-9)
    assert separation(GRADES[:, [0, 2, 3]], GRADE).kind == "none"


def test_firth_adds_half_a_casting_to_each_cell_of_a_saturated_table() -> None:
    # D. Firth (1993): 0 of 5 against 4 of 4.
    found = firth([[1, 0], [1, 1]], [0, 4], [5, 4])

    assert found.coefficients == pytest.approx([-2.397895, 4.595120], abs=5e-7)
    assert found.coefficients == pytest.approx([np.log(0.5 / 5.5), np.log(9 * 11)], rel=1e-12)


def test_the_grades_of_greene() -> None:
    x, y = spector()
    found = posterior(x, y, prior_mean=np.zeros(4), prior_sd=np.full(4, FLAT))

    assert found.mode == pytest.approx([-13.02135, 2.82611, 0.09516, 2.37869], abs=5e-6)
    assert log_likelihood(x, y, found.mode) == pytest.approx(-12.88963, abs=5e-6)
    fit = firth(x, y)
    assert fit.coefficients[[0, 1, 3]] == pytest.approx([-10.43327, 2.28446, 2.00668], abs=5e-6)
    assert fit.coefficients[2] == pytest.approx(0.070568, abs=5e-7)
    assert separation(x, y).kind == "none"


def test_the_likeliest_fit_of_another_library() -> None:
    from statsmodels.discrete.discrete_model import Logit

    for x, y in ((FLIGHTS, DISTRESS), spector()):
        theirs = Logit(y, x).fit(method="newton", tol=1e-13, disp=0)
        ours = posterior(x, y, prior_mean=[0] * x.shape[1], prior_sd=[FLAT] * x.shape[1])

        assert ours.mode == pytest.approx(theirs.params, rel=1e-8)
        assert np.sqrt(np.diag(ours.covariance)) == pytest.approx(theirs.bse, rel=1e-8)


@pytest.mark.parametrize("sd", [[10.0, 2.5, 2.5, 2.5], [1.0, 0.3, 0.1, 5.0]])
@pytest.mark.parametrize("every", [True, False])
def test_the_penalised_fit_of_another_library(sd: list[float], every: bool) -> None:
    """Its penalty b.b/2 is a belief of standard deviation 1 in columns times ours."""
    from sklearn.linear_model import LogisticRegression

    # With every row a plane parts the grades and only the belief holds the fit.
    rows = slice(None) if every else slice(0, 60)
    scaled = GRADES[rows] * sd
    theirs = LogisticRegression(
        C=1.0, fit_intercept=False, solver="newton-cholesky", tol=1e-12, max_iter=1000
    ).fit(scaled, GRADE[rows])
    ours = posterior(GRADES[rows], GRADE[rows], prior_mean=np.zeros(4), prior_sd=sd)

    assert ours.mode == pytest.approx(theirs.coef_[0] * sd, abs=1e-6)
    at_the_mode = 1.0 / (1.0 + np.exp(-GRADES @ ours.mode))
    assert at_the_mode == pytest.approx(theirs.predict_proba(GRADES * sd)[:, 1], abs=1e-6)
