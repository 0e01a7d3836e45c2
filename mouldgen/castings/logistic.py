"""Logistic regression with a belief beforehand: what rows of yes and no leave to be believed.

``logit P(yes) = x.b``, each coefficient of b with a normal belief of its own.  The logarithm of
what is believed afterwards is concave, so Newton's method with step halving finds its only
summit.  `weighted_draws` draws about it, on evenly spread points and so the same every time.
Where the weights are uneven it draws again from what the first draws say: rows that are all good
leave a belief that is far from the bell about its summit.

Measured against quadrature and against far longer runs, 4096 draws: means and standard
deviations err by 0.003 of a standard deviation or less with two columns, by 0.01 with four and by
0.033 with eight.  The error falls nearly as 1/draws.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from mouldgen.castings.rows import Rows, chances, grouped, inverse, softplus
from mouldgen.castings.student_points import LEAST_POINTS
from mouldgen.castings.weighted_draws import weighted_draws
from mouldgen.errors import InternalError

Floats = npt.NDArray[np.float64]

# Rows times draws, about a second; a hundred thousand rows leave next to a bell, and 512 draws
# tell that one to a few hundredths of its standard deviation.
MOST_TERMS = 2**26
BLOCK = 2**15  # terms held at a time: they stay in the cache
MOST_STEPS = 200
CLOSE = 1e-10  # square of a Newton step in standard deviations: the next ones are exact


@dataclass(frozen=True, eq=False, kw_only=True)
class Posterior:
    """What is believed of the coefficients once the rows are seen.

    coefficients : draws of them (draws, columns).
    weights : how much each draw counts, adding up to 1 (draws,).
    mode : the most believable coefficients (columns,).
    covariance : of the bell that fits at the mode (columns, columns); not that of the draws.
    effective : how many equally weighted draws tell as much.
    refitted : whether the draws are from a t that was fitted to first draws.
    """

    coefficients: Floats
    weights: Floats
    mode: Floats
    covariance: Floats
    effective: float
    refitted: bool

    def mean(self) -> Floats:
        """Means of the coefficients (columns,)."""
        return np.asarray(self.weights @ self.coefficients)

    def sd(self) -> Floats:
        """Standard deviations of the coefficients (columns,)."""
        return np.sqrt(self.weights @ (self.coefficients - self.mean()) ** 2)

    def linear(self, x: npt.ArrayLike) -> Floats:
        """Linear predictor of each draw at rows of columns (draws, rows).

        x : columns (rows, columns).
        """
        return np.asarray(self.coefficients @ np.asarray(x, dtype=np.float64).T)

    def predict(self, x: npt.ArrayLike) -> Floats:
        """Chance of a success at rows of columns, averaged over the draws (rows,).

        x : columns (rows, columns).
        """
        return np.asarray(self.weights @ chances(self.linear(x)).chance)

    def quantile(self, values: npt.ArrayLike, share: float) -> Floats:
        """Value that a share of the weight stays below: one for every column of values.

        Half of a draw's own weight counts as below it, and between draws the line is straight:
        with equal weights Hazen's rule, ``(i - 1/2)/n``.

        values : one for each draw (draws,), or several (draws, columns).
        share : 0 to 1.

        Raises InternalError where values are not one row for each draw.
        """
        table = np.asarray(values, dtype=np.float64)
        if table.ndim not in {1, 2} or len(table) != len(self.weights):
            raise InternalError(
                f"values of shape {table.shape} for {len(self.weights)} draws",
                allowed="one value or one row for each draw",
            )
        counted = self.weights > 0.0
        table, weights = table[counted], self.weights[counted]
        columns = table.reshape(len(table), -1).T
        found = np.array([_quantile(column, weights, share) for column in columns])
        return found.reshape(table.shape[1:])

    def interval(self, values: npt.ArrayLike, share: float) -> tuple[Floats, Floats]:
        """The two values that hold a share of the weight between them, equal shares outside.

        values : one for each draw (draws,), or several (draws, columns).
        share : between 0 and 1.

        Raises InternalError where values are not one row for each draw.
        """
        outside = 0.5 * (1.0 - share)
        return self.quantile(values, outside), self.quantile(values, 1.0 - outside)


def posterior(
    x: npt.ArrayLike,
    y: npt.ArrayLike,
    *,
    prior_mean: Sequence[float] | Floats,
    prior_sd: Sequence[float] | Floats,
    trials: npt.ArrayLike | None = None,
    draws: int = 4096,
) -> Posterior:
    """Coefficients of a logistic regression after rows of yes and no; no rows is allowed.

    With very many rows fewer draws are taken; `len(found.weights)` says how many.

    x : columns, a constant among them if there is to be one (rows, columns), 8 columns at most.
    y : successes (rows,).
    prior_mean : mean of the belief beforehand for each coefficient (columns,).
    prior_sd : its standard deviation, above 0 (columns,).
    trials : of how many each row's successes are (rows,); one each if None.
    draws : a power of two from 256 to 2^20.

    Raises InternalError where shapes do not fit, numbers are not finite or out of range.
    """
    rows = grouped(x, y, trials)
    target = _Target(rows, np.asarray(prior_mean, float), np.asarray(prior_sd, float))
    count = draws
    while count > LEAST_POINTS and count * len(rows.x) > MOST_TERMS:
        count //= 2
    mode = _mode(target)
    covariance = inverse(target.curvature(mode))
    drawn = weighted_draws(target.values, mode, covariance, count=count)
    return Posterior(
        coefficients=drawn.coefficients,
        weights=drawn.weights,
        mode=mode,
        covariance=covariance,
        effective=drawn.effective,
        refitted=drawn.refitted,
    )


class _Target:
    """The logarithm of what is believed afterwards, up to a constant, and its slopes."""

    def __init__(self, rows: Rows, mean: Floats, sd: Floats) -> None:
        columns = rows.x.shape[1:]
        if not (mean.shape == sd.shape == columns):
            raise InternalError(
                f"beliefs of shapes {mean.shape} and {sd.shape} for {columns[0]} columns",
                allowed="one mean and one standard deviation for each column",
            )
        if not (np.isfinite(mean).all() and np.isfinite(sd).all() and (sd > 0.0).all()):
            raise InternalError(
                "a belief whose mean or standard deviation is not a number that can be used",
                allowed="finite means, finite standard deviations above 0",
            )
        self.rows, self.mean, self.sd = rows, mean, sd

    def values(self, coefficients: Floats) -> Floats:
        """At many coefficients at a time (draws, columns), a block of rows after the other."""
        found = -0.5 * np.sum(((coefficients - self.mean) / self.sd) ** 2, axis=1)
        # Successes count through one sum over the rows, whatever the coefficients.
        found += coefficients @ (self.rows.x.T @ self.rows.successes)
        step = max(1, BLOCK // len(coefficients))
        for first in range(0, len(self.rows.x), step):
            block = slice(first, first + step)
            found -= self.rows.trials[block] @ softplus(self.rows.x[block] @ coefficients.T)
        return np.asarray(found)

    def value(self, coefficients: Floats) -> float:
        return float(self.values(coefficients[np.newaxis])[0])

    def gradient(self, coefficients: Floats) -> Floats:
        expected = self.rows.trials * chances(self.rows.x @ coefficients).chance
        pull = (self.mean - coefficients) / self.sd**2
        return np.asarray(self.rows.x.T @ (self.rows.successes - expected) + pull)

    def curvature(self, coefficients: Floats) -> Floats:
        """Negative second derivatives (columns, columns)."""
        weight = self.rows.trials * chances(self.rows.x @ coefficients).spread
        return np.asarray((self.rows.x.T * weight) @ self.rows.x + np.diag(self.sd**-2.0))


def _mode(target: _Target) -> Floats:
    """The summit, by Newton's method from the belief beforehand."""
    place, value = target.mean, target.value(target.mean)
    for _ in range(MOST_STEPS):
        gradient = target.gradient(place)
        step = inverse(target.curvature(place)) @ gradient
        gain = float(gradient @ step)
        if gain <= CLOSE:
            # Values are too coarse to judge such steps by; the method doubles its digits.
            for _ in range(2):
                place = place + inverse(target.curvature(place)) @ target.gradient(place)
            return place
        share = 1.0
        while (following := target.value(place + share * step)) < value + 1e-4 * share * gain:
            share *= 0.5
            if share < 1e-12:
                raise InternalError("a logistic regression finds no way up to its summit")
        place, value = place + share * step, following
    raise InternalError(f"a logistic regression has not found its summit in {MOST_STEPS} steps")


def _quantile(values: Floats, weights: Floats, share: float) -> float:
    order = np.argsort(values, kind="stable")
    upto = np.cumsum(weights[order])
    return float(np.interp(share * upto[-1], upto - 0.5 * weights[order], values[order]))
