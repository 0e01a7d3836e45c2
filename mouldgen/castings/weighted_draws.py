"""Draws of coefficients, each with what it counts: importance sampling from a multivariate t.

J. Geweke, Econometrica 57 (1989) 1317-1339.  Where the weights are uneven the t is fitted once
more, to the weighted draws; where few draws have all the weight, a few times.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from mouldgen.castings.student_points import student_points

Floats = npt.NDArray[np.float64]

EVEN_ENOUGH = 0.5  # of the draws, were they of equal weight
MANY_ENOUGH, MOST_REFITS = 128.0, 5  # equally weighted draws: quantiles of fewer prove little


@dataclass(frozen=True, eq=False, kw_only=True)
class WeightedDraws:
    """Draws and weights.

    coefficients : (draws, columns).
    weights : adding up to 1 (draws,).
    effective : how many equally weighted draws tell as much.
    refitted : whether they are from a t that was fitted to first draws.
    """

    coefficients: Floats
    weights: Floats
    effective: float
    refitted: bool = False


def weighted_draws(
    log_density: Callable[[Floats], Floats], centre: Floats, covariance: Floats, *, count: int
) -> WeightedDraws:
    """Draws of a distribution that is known up to a factor.

    log_density : of draws (draws, columns), up to a constant (draws,).
    centre : where it is highest (columns,).
    covariance : of the bell that fits there (columns, columns).
    count : of draws, a power of two from 256 to 2^20.
    """
    found = _drawn(log_density, centre, covariance, count)
    if found.effective >= EVEN_ENOUGH * count:
        return found
    found = _refitted(log_density, found, covariance, count)
    for _ in range(MOST_REFITS - 1):
        if found.effective >= MANY_ENOUGH:
            break
        again = _refitted(log_density, found, covariance, count)
        found = max(found, again, key=lambda drawn: drawn.effective)
    return found


def bell_draws(centre: Floats, covariance: Floats, *, count: int) -> WeightedDraws:
    """Draws of a normal distribution, on the same points.

    centre : its mean (columns,).
    covariance : (columns, columns).
    count : of draws, a power of two from 256 to 2^20.
    """
    exact = np.linalg.inv(covariance)

    def bell(draws: Floats) -> Floats:
        away = draws - centre
        return np.asarray(-0.5 * np.einsum("di,ij,dj->d", away, exact, away))

    return _drawn(bell, centre, covariance, count)


def _drawn(
    log_density: Callable[[Floats], Floats], centre: Floats, covariance: Floats, count: int
) -> WeightedDraws:
    points = student_points(count, len(centre))
    coefficients = centre + points.points @ np.linalg.cholesky(covariance).T
    log_weights = log_density(coefficients) - points.log_density
    weights = np.exp(log_weights - log_weights.max())
    weights /= weights.sum()
    return WeightedDraws(
        coefficients=coefficients,
        weights=weights,
        effective=float(1.0 / np.sum(weights**2)),
    )


def _refitted(
    log_density: Callable[[Floats], Floats], drawn: WeightedDraws, covariance: Floats, count: int
) -> WeightedDraws:
    again = _drawn(log_density, *_fitted(drawn, covariance), count)
    return WeightedDraws(
        coefficients=again.coefficients,
        weights=again.weights,
        effective=again.effective,
        refitted=True,
    )


def _fitted(drawn: WeightedDraws, covariance: Floats) -> tuple[Floats, Floats]:
    """Mean and covariance of weighted draws, the bell at the summit counting for a few of them."""
    centre = drawn.weights @ drawn.coefficients
    away = drawn.coefficients - centre
    own = (away.T * drawn.weights) @ away
    more = len(centre) + 1.0
    return centre, (drawn.effective * own + more * covariance) / (drawn.effective + more)
