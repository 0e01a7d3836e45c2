"""Quantiles of Student's t distribution in plain Python.

scipy has them, but importing scipy.special takes twice as long as importing numpy, and one
quantile is all that the gap needs; the tests hold this against scipy.

The tail is half the regularised incomplete beta function, ``P(T > t) = I_x(nu/2, 1/2)/2`` with
``x = nu/(nu + t^2)`` (Abramowitz & Stegun 26.7.1 and 26.5.8, whose continued fraction is
evaluated by Lentz's method, DLMF 3.10).  Its inverse is found by Newton's method on logarithms:
there the tail is nearly straight for large t and the centre for small t.
"""

from __future__ import annotations

import math

from mouldgen.errors import InternalError
from mouldgen.physics.beta import beta_fraction


def t_quantile(probability: float, freedom: float) -> float:
    """Value that a t variable stays below with a probability; good to 1e-9, relative.

    probability : strictly between 0 and 1.
    freedom : degrees of freedom, real, at least 1.

    Raises InternalError outside these ranges.
    """
    if not (0.0 < probability < 1.0 and 1.0 <= freedom < math.inf):
        raise InternalError(
            f"no t quantile at probability {probability:g} and {freedom:g} degrees of freedom",
            allowed="a probability between 0 and 1, at least 1 degree of freedom",
        )
    if probability < 0.5:
        return -_upper_half(1.0 - probability, probability, freedom)
    return _upper_half(probability, 1.0 - probability, freedom)


def _upper_half(probability: float, tail: float, freedom: float) -> float:
    """The quantile above the median, from whichever of the two areas is the smaller."""
    centre = probability - 0.5 if probability < 0.75 else 0.5 - tail
    if centre <= 0.0:
        return 0.0
    wanted = math.log(min(centre, tail))
    y, low, high = 0.0, -800.0, 400.0  # y = ln t
    for _ in range(200):
        t = math.exp(y)
        area = _centre(t, freedom) if centre < tail else _tail(t, freedom)
        sign = 1.0 if centre < tail else -1.0
        error = sign * ((math.log(area) if area > 0.0 else -math.inf) - wanted)
        low, high = (low, y) if error > 0.0 else (y, high)
        slope = math.exp(_log_density(t, freedom) + y) / area if area > 0.0 else 0.0
        following = y - error / slope if slope > 0.0 else 0.5 * (low + high)
        if not low <= following <= high:
            following = 0.5 * (low + high)
        if abs(following - y) <= 1e-14:
            return math.exp(following)
        y = following
    return math.exp(y)


def _tail(t: float, freedom: float) -> float:
    """P(T > t)."""
    return 0.5 * _beta(t, freedom, central=False)


def _centre(t: float, freedom: float) -> float:
    """P(0 < T < t)."""
    return 0.5 * _beta(t, freedom, central=True)


def _log_density(t: float, freedom: float) -> float:
    """Logarithm of the density at t."""
    constant = _log_gamma_step(0.5 * freedom) - 0.5 * math.log(freedom * math.pi)
    return constant - 0.5 * (freedom + 1.0) * math.log1p(t * t / freedom)


def _log_gamma_step(z: float) -> float:
    """``ln(Gamma(z + 1/2)/Gamma(z))``, by its asymptotic series where the difference cancels.

    DLMF 5.11.13 for a = 1/2, b = 0, as a logarithm.
    """
    if z < 50.0:
        return math.lgamma(z + 0.5) - math.lgamma(z)
    return 0.5 * math.log(z) - 1.0 / (8.0 * z) + 1.0 / (192.0 * z**3) - 1.0 / (640.0 * z**5)


def _beta(t: float, freedom: float, *, central: bool) -> float:
    """``I_x(1/2, nu/2)`` at ``x = t^2/(nu + t^2)`` if central, else ``I_x(nu/2, 1/2)`` at 1 - x.

    Logarithms come from ``log1p``: the power nu/2 would blow up what rounding leaves in x.
    """
    square = t * t
    if square == 0.0:
        return 0.0 if central else 1.0
    spread = math.log1p(square / freedom)
    log_front = _log_gamma_step(0.5 * freedom) - 0.5 * math.log(math.pi)
    log_front += 0.5 * (math.log(square) - math.log(freedom) - spread) - 0.5 * freedom * spread
    front = math.exp(log_front)
    a, x = 0.5, square / (freedom + square)
    b, rest = 0.5 * freedom, freedom / (freedom + square)
    if not central:
        a, x, b, rest = b, rest, a, x
    if x < (a + 1.0) / (a + b + 2.0):
        return front / (a * beta_fraction(a, b, x))
    return 1.0 - front / (b * beta_fraction(b, a, rest))
