"""Rows of a logistic regression: columns, how many of how many, equal rows put together.

A row says that of `trials` castings with the columns x, `successes` were of the kind that is
counted.  Its chance is ``1/(1 + exp(-x.b))``.  A constant is a column of ones that the caller
gives; nothing here adds one.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from mouldgen.errors import InternalError

Floats = npt.NDArray[np.float64]
# Of a matrix scaled to ones on its diagonal: below this its inverse would be rounding.
LEAST_EIGENVALUE = 1e-13
LEAST_DIAGONAL = 1e-280  # so that the inverse does not overflow


@dataclass(frozen=True, eq=False, kw_only=True)
class Rows:
    """Rows that differ in their columns.

    x : the columns, one row each, the constant among them (rows, columns).
    successes : how many were of the counted kind (rows,).
    trials : of how many, above 0 (rows,).
    """

    x: Floats
    successes: Floats
    trials: Floats


@dataclass(frozen=True, eq=False, kw_only=True)
class Chances:
    """What coefficients say of rows, without overflow however far out they are.

    chance : of a success (rows,).
    spread : chance times its complement (rows,), with all its digits where it is small.
    """

    chance: Floats
    spread: Floats


def grouped(x: npt.ArrayLike, y: npt.ArrayLike, trials: npt.ArrayLike | None = None) -> Rows:
    """Rows whose columns are equal become one; the likelihood stays the same up to a factor.

    x : columns (rows, columns).
    y : successes (rows,); yes and no where there are no trials.
    trials : of how many (rows,); one each if None.

    Raises InternalError where shapes do not fit, a number is not finite, or successes are not
    between 0 and the trials.
    """
    columns = np.asarray(x, dtype=np.float64)
    successes = np.asarray(y, dtype=np.float64)
    of = np.ones_like(successes) if trials is None else np.asarray(trials, dtype=np.float64)
    if (
        columns.ndim != 2
        or columns.shape[1] < 1
        or not (successes.shape == of.shape == columns.shape[:1])
    ):
        raise InternalError(
            f"rows of shape {columns.shape} with {successes.shape} successes of {of.shape}",
            allowed="x (rows, columns) with at least one column, y and trials (rows,)",
        )
    if not all(np.isfinite(values).all() for values in (columns, successes, of)):
        raise InternalError("a row holds a number that is not finite")
    if not ((successes >= 0.0) & (successes <= of) & (of > 0.0)).all():
        raise InternalError("a row has successes that are not between 0 and its trials")
    if not len(columns):
        return Rows(x=columns, successes=successes, trials=of)
    distinct, home = np.unique(columns, axis=0, return_inverse=True)
    sums = [np.zeros(len(distinct)), np.zeros(len(distinct))]
    for total, values in zip(sums, (successes, of), strict=True):
        np.add.at(total, home.ravel(), values)
    return Rows(x=distinct, successes=sums[0], trials=sums[1])


def softplus(eta: Floats) -> Floats:
    """``ln(1 + exp(eta))``, of any shape, without overflow.

    eta : linear predictor.
    """
    return np.maximum(eta, 0.0) + np.log1p(np.exp(-np.abs(eta)))


def chances(eta: Floats) -> Chances:
    """Chance and spread at linear predictors.

    eta : linear predictor, any shape.
    """
    small = np.exp(-np.abs(eta))
    whole = 1.0 + small
    return Chances(chance=np.where(eta >= 0.0, 1.0, small) / whole, spread=small / (whole * whole))


def inverse(matrix: Floats) -> Floats:
    """Inverse of a symmetric positive definite matrix, scaled to ones on its diagonal first.

    matrix : (columns, columns).

    Raises InternalError where no more than rounding would be left of it: a column then depends
    on the others.
    """
    if (np.diag(matrix) > LEAST_DIAGONAL).all():
        scale = 1.0 / np.sqrt(np.diag(matrix))
        values, vectors = np.linalg.eigh(matrix * np.outer(scale, scale))
        if values[0] > LEAST_EIGENVALUE:
            return np.asarray((vectors / values) @ vectors.T * np.outer(scale, scale))
    raise InternalError(
        "the columns of a regression depend on one another, or one of them does not vary",
        try_="leave out columns that hardly vary or that another column repeats",
    )
