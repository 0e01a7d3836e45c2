"""Chances of voids where castings of one load share luck.

A mix that was warm, or was stirred badly, moves all castings of its load alike.  Rows of one load
then tell less than as many rows of many loads, and a regression that takes them for independent
believes itself too much.  Here each load has a shift of its own, ``tau z`` with z standard
normal, which is integrated out; tau is estimated with the coefficients::

    P(rows of a load) = integral phi(z) prod_i P(y_i | x_i.b + tau z) dz

The integral is a sum over z in steps of a half, or of less where tau is large (`lucks`).  The
coefficients are b and, last, ln(tau); their draws are weighted as
`weighted_draws` says.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from mouldgen.castings.logistic import Posterior
from mouldgen.castings.lucks import LAST, lucks
from mouldgen.castings.rows import chances, softplus
from mouldgen.castings.student_points import LEAST_POINTS
from mouldgen.castings.weighted_draws import bell_draws, weighted_draws
from mouldgen.errors import InternalError

Floats = npt.NDArray[np.float64]

USUAL = 15  # lucks, in steps of a half; more where tau is large
COARSEST = 0.75  # of a logit, from one luck to the next at the summit
MOST_LUCKS = 113

MOST_TERMS = 2**25  # draws times rows times lucks, about half a second
BLOCK = 2**19  # of them in memory at a time
FAR = 300.0  # of a logit: its chance is 0 or 1, and its odds are still a number
MOST_STEPS = 200
LONGEST_STEP = 2.0  # in standard deviations of the belief; tau is the exponential of its column
CLOSE = 1e-9  # square of a Newton step in standard deviations


@dataclass(frozen=True, eq=False, kw_only=True)
class LoadRows:
    """Rows of castings, those of a load one after the other.

    x : columns, the constant among them (rows, columns).
    voids : castings of the row that had any (rows,).
    castings : of the row (rows,).
    starts : first row of each load, rising from 0 (loads,).
    """

    x: Floats
    voids: Floats
    castings: Floats
    starts: npt.NDArray[np.intp]


def luck_posterior(
    rows: LoadRows,
    *,
    prior_mean: Floats,
    prior_sd: Floats,
    freedom: Floats | None = None,
    draws: int = 2048,
) -> Posterior:
    """What is believed of the coefficients and of ln(tau), the last column, after the rows.

    With very many rows fewer draws are taken, and at last the bell at the summit.

    rows : may be none.
    prior_mean, prior_sd : of every column and of ln(tau) (columns + 1,).
    freedom : degrees of freedom of each belief, a t distribution with `prior_sd` for its scale;
        inf for a normal one; all normal where None (columns + 1,).
    draws : a power of two from 256 to 2^20.

    Raises InternalError where shapes do not fit or a number is not finite.
    """
    normal = np.full(prior_mean.shape, np.inf)
    target = _Target(rows, prior_mean, prior_sd, normal if freedom is None else freedom)
    mode = _mode(target)
    if (finer := _lucks_for(mode)) > USUAL:
        target.lucks = lucks(finer)
        mode = _mode(target)
    covariance = _spread(target, mode)
    terms, count = len(rows.x) * len(target.lucks.at), draws
    while count > LEAST_POINTS and count * terms > MOST_TERMS:
        count //= 2
    if count * terms > MOST_TERMS:
        found = bell_draws(mode, covariance, count=draws)
    else:
        found = weighted_draws(target.values, mode, covariance, count=count)
    return Posterior(
        coefficients=found.coefficients,
        weights=found.weights,
        mode=mode,
        covariance=covariance,
        effective=found.effective,
        refitted=found.refitted,
    )


def chance_in_new_load(coefficients: Floats, x: Floats) -> Floats:
    """Chance of a void in a load that is not poured yet, over all the luck it may have.

    coefficients : draws, ln(tau) last (draws, columns + 1).
    x : columns of each casting (castings, columns).
    """
    odds, shifts = _odds(coefficients, x, lucks(USUAL).at)
    found = np.zeros_like(odds)
    for share, shift in zip(lucks(USUAL).share, shifts.T, strict=True):
        shifted = odds * shift[:, np.newaxis]
        found += share * shifted / (1.0 + shifted)
    return found


def _odds(coefficients: Floats, x: Floats, at: Floats) -> tuple[Floats, Floats]:
    """Odds without luck (draws, rows), and what lucks multiply them by (draws, lucks)."""
    linear = np.clip(coefficients[:, :-1] @ x.T, -FAR, FAR)
    shift = np.clip(np.exp(np.minimum(coefficients[:, -1:], FAR)) * at, -FAR, FAR)
    return np.exp(linear), np.exp(shift)


def _lucks_for(mode: Floats) -> int:
    """How many lucks it takes for no step to be coarser than `COARSEST` at the summit."""
    steps = 2.0 * LAST * float(np.exp(mode[-1])) / COARSEST
    return min(max(USUAL, int(np.ceil(steps)) + 1), MOST_LUCKS)


class _Target:
    """The logarithm of what is believed afterwards, up to a constant, and its slopes."""

    def __init__(self, rows: LoadRows, mean: Floats, sd: Floats, freedom: Floats) -> None:
        if not mean.shape == sd.shape == freedom.shape == (rows.x.shape[1] + 1,):
            raise InternalError(
                f"beliefs of shapes {mean.shape} and {sd.shape} for {rows.x.shape[1]} columns",
                allowed="one for each column and one for the loads' luck",
            )
        if not np.isfinite(rows.x).all():
            raise InternalError("a row holds a number that is not finite")
        self.rows, self.mean, self.sd, self.lucks = rows, mean, sd, lucks(USUAL)
        self.inverse_freedom = 1.0 / freedom  # 0 of a normal belief

    def _belief(self, coefficients: Floats) -> Floats:
        """Of many coefficients (draws,)."""
        square = ((coefficients - self.mean) / self.sd) ** 2
        found = 0.5 * square
        heavy = self.inverse_freedom > 0.0
        part = self.inverse_freedom[heavy]
        found[:, heavy] = 0.5 * (1.0 / part + 1.0) * np.log1p(square[:, heavy] * part)
        return np.asarray(-found.sum(axis=1))

    def _pull(self, coefficients: Floats) -> tuple[Floats, Floats, Floats]:
        """Gradient and negative second derivatives of the belief, and what stands in for them.

        A t distribution is a normal one of unknown width; were the width known at what it is
        likely to be, the second derivatives would be what stands in (columns + 1,).
        """
        away, part = (coefficients - self.mean) / self.sd, self.inverse_freedom
        width = (1.0 + part) / (1.0 + part * away**2)
        bent = width * (1.0 - part * away**2) / (1.0 + part * away**2)
        return -width * away / self.sd, bent / self.sd**2, width / self.sd**2

    def values(self, coefficients: Floats) -> Floats:
        """At many coefficients at a time (draws, columns + 1)."""
        found = self._belief(coefficients)
        if not len(self.rows.x):
            return np.asarray(found)
        step = max(1, BLOCK // (len(self.rows.x) * len(self.lucks.at)))
        for first in range(0, len(coefficients), step):
            block = slice(first, first + step)
            found[block] += self._likelihood(coefficients[block])
        return np.asarray(found)

    def _likelihood(self, coefficients: Floats) -> Floats:
        """Of every draw; exponentials are of rows and of lucks, and multiplied, to be quick."""
        rows, at = self.rows, self.lucks.at
        without, shift = _odds(coefficients, rows.x, at)
        odds = shift[:, :, np.newaxis] * without[:, np.newaxis, :]
        by_row = np.log1p(odds, out=odds)
        by_row *= rows.castings
        by_load = -np.add.reduceat(by_row, rows.starts, axis=2)
        voids = np.add.reduceat(rows.voids, rows.starts)
        by_load += np.log(shift)[:, :, np.newaxis] * voids
        own = np.add.reduceat(rows.voids * np.log(without), rows.starts, axis=1)
        by_load += own[:, np.newaxis, :]
        top = by_load.max(axis=1, keepdims=True)
        inside = np.einsum("k,dkj->dj", self.lucks.share, np.exp(by_load - top))
        return np.asarray(np.sum(np.log(inside) + top[:, 0, :], axis=1))

    def value(self, coefficients: Floats) -> float:
        return float(self.values(coefficients[np.newaxis])[0])

    def slopes(self, coefficients: Floats) -> _Slopes:
        """Gradient and negative second derivatives, by Louis's identity over the lucks.

        T. A. Louis, J. R. Statist. Soc. B 44 (1982) 226.
        """
        pull, bent, steady = self._pull(coefficients)
        if not len(self.rows.x):
            return _Slopes(pull, np.diag(bent), np.diag(steady))
        rows, spread = self.rows, float(np.exp(coefficients[-1]))
        at = rows.x @ coefficients[:-1] + spread * self.lucks.at[:, np.newaxis]
        by_load = np.add.reduceat(rows.voids * at - rows.castings * softplus(at), rows.starts, 1)
        share = self.lucks.share[:, np.newaxis] * np.exp(by_load - by_load.max(axis=0))
        share /= share.sum(axis=0)
        found = chances(at)
        rest = rows.voids - rows.castings * found.chance
        sizes = np.diff(np.append(rows.starts, len(rows.x)))
        known = np.repeat(share, sizes, axis=1) * rows.castings * found.spread
        scores = self._scores(rest, spread * self.lucks.at)
        mean = np.einsum("kj,kjc->jc", share, scores)
        complete = self._complete(known, spread * self.lucks.at)
        missing = np.einsum("kj,kjc,kje->ce", share, scores, scores) - mean.T @ mean
        curvature = np.diag(bent) + complete - missing
        curvature[-1, -1] -= float(mean[:, -1].sum())  # ln(tau) moves tau by itself
        return _Slopes(pull + mean.sum(axis=0), curvature, np.diag(steady) + complete)

    def _scores(self, rest: Floats, luck: Floats) -> Floats:
        """Gradients of a load's rows at each luck (lucks, loads, columns + 1)."""
        rows = self.rows
        columns = rows.x.shape[1]
        scores = np.empty((len(luck), len(rows.starts), columns + 1))
        for k in range(columns):
            scores[:, :, k] = np.add.reduceat(rest * rows.x[:, k], rows.starts, axis=1)
        scores[:, :, -1] = luck[:, np.newaxis] * np.add.reduceat(rest, rows.starts, axis=1)
        return scores

    def _complete(self, known: Floats, luck: Floats) -> Floats:
        """What the rows would tell if the lucks were known (columns + 1, columns + 1)."""
        x = self.rows.x
        both = (x.T @ (luck @ known))[:, np.newaxis]
        return np.block(
            [
                [(x.T * known.sum(axis=0)) @ x, both],
                [both.T, np.array([[(luck**2) @ known.sum(axis=1)]])],
            ]
        )


@dataclass(frozen=True, eq=False)
class _Slopes:
    """Of the target at a place.

    gradient : (columns + 1,).
    curvature : negative second derivatives (columns + 1, columns + 1).
    complete : what they would be if the lucks were known: always positive.
    """

    gradient: Floats
    curvature: Floats
    complete: Floats

    @property
    def steady(self) -> Floats:
        """The curvature, or what stands in for it where the target is not a hill."""
        least = float(np.linalg.eigvalsh(self.curvature)[0])
        usable = least > 1e-9 * float(np.abs(np.diag(self.curvature)).max())
        return self.curvature if usable else self.complete


def _mode(target: _Target) -> Floats:
    """A summit, by Newton's method from the belief beforehand."""
    place, value = target.mean, target.value(target.mean)
    for _ in range(MOST_STEPS):
        slopes = target.slopes(place)
        step = np.linalg.solve(slopes.steady, slopes.gradient)
        step *= LONGEST_STEP / max(LONGEST_STEP, float(np.abs(step / target.sd).max()))
        gain = float(slopes.gradient @ step)
        if gain <= CLOSE:
            return np.asarray(place + step)
        share = 1.0
        while (following := target.value(place + share * step)) < value + 1e-4 * share * gain:
            share *= 0.5
            if share < 1e-10:  # as far as sums of this many rows can tell
                return place
        place, value = place + share * step, following
    raise InternalError(f"a regression with loads has not found its summit in {MOST_STEPS} steps")


def _spread(target: _Target, mode: Floats) -> Floats:
    found = np.linalg.inv(target.slopes(mode).steady)
    return np.asarray(0.5 * (found + found.T))
