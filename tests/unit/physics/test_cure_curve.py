"""The curve of the cure, checked by stepping through the equation with an outside solver."""

import math

import pytest
from scipy.integrate import solve_ivp

from mouldgen.errors import InternalError
from mouldgen.physics import cure
from mouldgen.physics.constants import ZERO_CELSIUS
from mouldgen.physics.quadrature import integrate


def kinetics(conversion: float) -> float:
    """Written out again: k1/k2 = 0.15, m = 0.9, n = 1.6."""
    a = max(conversion, 0.0)
    return (0.15 + a**0.9) * (1.0 - a) ** 1.6


def growth(conversion: float) -> float:
    return (0.577 / (0.577 - conversion)) ** (1.5 + conversion)


@pytest.fixture(scope="module")
def gel_duration() -> float:
    """Time to conversion 0.577 in units of 1/k2, by an event of the solver."""

    def at_gel(_t, y):
        return y[0] - 0.577

    at_gel.terminal = True
    solution = solve_ivp(
        lambda _t, y: [kinetics(y[0])],
        (0, 50),
        [0.0],
        events=at_gel,
        method="DOP853",
        rtol=1e-12,
        atol=1e-13,
    )
    return float(solution.t_events[0][0])


@pytest.mark.parametrize("share", [0.01, 0.1, 0.26923, 0.5, 0.714, 0.9, 0.99])
def test_conversion_agrees_with_a_stepped_solution(share: float, gel_duration: float) -> None:
    solution = solve_ivp(
        lambda _t, y: [kinetics(y[0])],
        (0, share * gel_duration),
        [0.0],
        method="DOP853",
        rtol=1e-12,
        atol=1e-13,
    )

    assert cure.conversion_at(share) == pytest.approx(float(solution.y[0, -1]), rel=1e-8)


@pytest.mark.parametrize("start_min", [0.0, 5.0, 14.0, 30.0, 39.0])
def test_fluidity_integral_agrees_with_a_stepped_solution(
    start_min: float, gel_duration: float
) -> None:
    gel_s, mu0 = 40 * 60.0, 0.5
    first = cure.conversion_at(start_min * 60.0 / gel_s)
    end = gel_duration * (1.0 - start_min * 60.0 / gel_s)
    solution = solve_ivp(
        lambda _t, y: [kinetics(y[0]), 1.0 / growth(y[0]) if y[0] < 0.577 else 0.0],
        (0, end),
        [first, 0.0],
        method="DOP853",
        rtol=1e-11,
        atol=1e-14,
    )
    stepped = float(solution.y[1, -1]) / gel_duration * gel_s / mu0

    ours = cure.fluidity_integral(start_min * 60.0, gel_time=gel_s, mixing_viscosity=mu0)

    assert ours == pytest.approx(stepped, rel=1e-6)


def test_ends_of_the_curve() -> None:
    assert cure.conversion_at(0.0) == 0.0
    assert cure.conversion_at(1.0) == 0.577
    assert cure.time_share_at(0.577) == 1.0
    assert cure.time_share_at(0.0) == 0.0


@pytest.mark.parametrize("conversion", [1e-6, 1e-3, 0.1, 0.3, 0.5, 0.5769])
def test_time_and_conversion_are_inverse(conversion: float) -> None:
    assert cure.conversion_at(cure.time_share_at(conversion)) == pytest.approx(
        conversion, rel=1e-12
    )


@pytest.mark.parametrize("share", [-0.01, 1.01, math.nan])
def test_outside_the_gel_there_is_no_conversion(share: float) -> None:
    with pytest.raises(InternalError, match="no conversion is known"):
        cure.conversion_at(share)


@pytest.mark.parametrize(
    ("conversion", "viscosity"), [(0.2, 1.03083), (0.4, 4.72123), (0.5, 28.0763), (0.55, 266.124)]
)
def test_growth_of_viscosity(conversion: float, viscosity: float) -> None:
    # eta0 0.5 Pa s, a_g 0.577, A 1.5, B 1.0: the formula of Castro & Macosko worked out
    # apart from this code, to six digits; the two exponents from memory.
    assert 0.5 * cure.viscosity_growth(conversion) == pytest.approx(viscosity, rel=5e-6)


def test_the_gel_is_solid() -> None:
    assert cure.viscosity_growth(0.577) == math.inf
    assert cure.viscosity_at(600.0, gel_time=600.0, mixing_viscosity=0.5) == math.inf
    assert cure.viscosity_at(0.0, gel_time=600.0, mixing_viscosity=0.5) == 0.5


@pytest.mark.parametrize("start", [600.0, 600.1, 1e9])
def test_no_fluidity_is_left_from_the_gel_on(start: float) -> None:
    assert cure.fluidity_integral(start, gel_time=600.0, mixing_viscosity=0.5) == 0.0


@pytest.mark.parametrize(
    ("celsius", "factor"), [(18, 1.6245), (28, 0.8123), (32, 0.6156), (25, 1.0), (15, 2.0)]
)
def test_gel_time_doubles_for_ten_degrees(celsius: float, factor: float) -> None:
    # Several makers' notes; the factors are 2^((25 - T)/10).
    gel = cure.gel_time_at(
        celsius + ZERO_CELSIUS, gel_time=2400.0, gel_temperature=25 + ZERO_CELSIUS
    )

    assert gel / 2400.0 == pytest.approx(factor, abs=5e-5)


def test_a_cooler_resin_is_thicker() -> None:
    # Belief: 0.50 Pa s at 25 degC is 0.65 Pa s at 21 degC.
    cooler = cure.mixing_viscosity_at(
        21 + ZERO_CELSIUS, viscosity=0.50, reference_temperature=25 + ZERO_CELSIUS
    )

    assert cooler == pytest.approx(0.65, abs=0.005)


@pytest.mark.parametrize("points", [1, 2, 5, 48])
def test_quadrature_is_exact_for_polynomials(points: int) -> None:
    degree = 2 * points - 1
    exact = (3.0 ** (degree + 1) - 1.0) / (degree + 1)

    assert integrate(lambda x: x**degree, 1.0, 3.0, points=points) == pytest.approx(
        exact, rel=1e-13
    )


def test_quadrature_is_not_exact_one_degree_higher() -> None:
    assert integrate(lambda x: x**4, -1.0, 1.0, points=2) == pytest.approx(2.0 / 9.0, rel=1e-13)
