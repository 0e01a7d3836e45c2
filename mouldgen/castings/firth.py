"""Logistic regression by Firth's penalised likelihood: what the rows say with no belief beforehand.

The likelihood is multiplied by the root of the determinant of the information (Jeffreys' prior),
which takes away the first-order bias and stays finite where a plane parts the successes from the
failures: D. Firth, Biometrika 80 (1993) 27-38; G. Heinze and M. Schemper, Statistics in Medicine
21 (2002) 2409-2419.  Its slope is

    U_j = sum_i (y_i - n_i p_i + h_i (1/2 - p_i)) x_ij

with h_i the leverage of row i.  Standard errors differ between programs and are a poor guide
beside a separating plane, so an interval comes from the profile: the values of one coefficient
at which the summit over the others lies less than half a chi-square below the summit of all.
"""

from __future__ import annotations

from dataclasses import dataclass
from statistics import NormalDist

import numpy as np
import numpy.typing as npt

from mouldgen.castings.rows import Rows, chances, grouped, inverse, softplus
from mouldgen.errors import InternalError

Floats = npt.NDArray[np.float64]

DEPENDENT = 1e-10  # share of a column's length that the columns before it leave
FADED = 1e-12  # the same of columns weighted by the information, far out
MOST_STEPS = 200
CLOSE = 1e-10  # square of a Newton step in standard deviations: the next ones are exact


@dataclass(frozen=True, eq=False, kw_only=True)
class Firth:
    """The summit of the penalised likelihood.

    coefficients : at the summit (columns,).
    log_likelihood : penalised, of single trials: no binomial coefficients.
    covariance : inverse of the information, without the penalty (columns, columns).
    """

    coefficients: Floats
    log_likelihood: float
    covariance: Floats


def firth(x: npt.ArrayLike, y: npt.ArrayLike, trials: npt.ArrayLike | None = None) -> Firth:
    """Fit of a logistic regression by penalised likelihood.

    x : columns, a constant among them if there is to be one (rows, columns).
    y : successes (rows,).
    trials : of how many (rows,); one each if None.

    Raises InternalError where shapes do not fit, numbers are out of range, or columns depend on
    one another.
    """
    turned = _turned(grouped(x, y, trials), -1)
    columns = len(turned.back)
    place = _summit(turned.rows, np.zeros(columns), np.ones(columns, dtype=bool))
    return Firth(
        coefficients=turned.back @ place.coefficients,
        log_likelihood=place.value - turned.log_scale,
        covariance=turned.back @ place.covariance @ turned.back.T,
    )


def firth_interval(
    x: npt.ArrayLike,
    y: npt.ArrayLike,
    coefficient: int,
    *,
    trials: npt.ArrayLike | None = None,
    share: float = 0.95,
) -> tuple[float, float]:
    """Interval of one coefficient from the profile of the penalised likelihood.

    x : columns (rows, columns).
    y : successes (rows,).
    coefficient : which column's, from 0.
    trials : of how many (rows,); one each if None.
    share : of confidence, between 0 and 1.

    Raises InternalError as `firth` does, and where the share is not between 0 and 1.
    """
    if not 0.0 < share < 1.0:
        raise InternalError(f"an interval of share {share:g}", allowed="between 0 and 1")
    turned = _turned(grouped(x, y, trials), coefficient)
    columns = len(turned.back)
    best = _summit(turned.rows, np.zeros(columns), np.ones(columns, dtype=bool))
    fall = 0.5 * NormalDist().inv_cdf(0.5 + 0.5 * share) ** 2
    ends = [_crossing(_Profile(turned.rows, best, fall), side) for side in (-1.0, 1.0)]
    low, high = sorted(float(turned.back[coefficient, -1]) * end for end in ends)
    return low, high


@dataclass(frozen=True, eq=False)
class _Turned:
    """Rows in orthonormal columns, whose last coordinate is one coefficient but for a factor.

    back : from coordinates to coefficients (columns, columns).
    log_scale : what the turn adds to the logarithm of the penalised likelihood, turned back.
    """

    rows: Rows
    back: Floats
    log_scale: float


def _turned(rows: Rows, last: int) -> _Turned:
    columns = rows.x.shape[1]
    order = np.roll(np.arange(columns), -1 - last % columns)
    lengths = np.linalg.norm(rows.x, axis=0)
    if len(rows.x) >= columns and (lengths > 0.0).all():
        basis, upper = np.linalg.qr(rows.x[:, order])
        kept = np.abs(np.diag(upper))
        if (kept > DEPENDENT * lengths[order]).all():
            back = np.empty_like(upper)
            back[order] = np.linalg.inv(upper)
            turned = Rows(x=basis, successes=rows.successes, trials=rows.trials)
            return _Turned(turned, back, -float(np.log(kept).sum()))
    raise InternalError(
        "the columns of a regression depend on one another",
        try_="leave out columns that hardly vary or that another column repeats",
    )


class _Profile:
    """The summit over the other coordinates as the last one leaves the middle, step by step."""

    def __init__(self, rows: Rows, best: _Place, fall: float) -> None:
        self.rows, self.best = rows, best
        self.limit = best.value - fall
        self.free = np.arange(len(best.coefficients)) < len(best.coefficients) - 1
        self.here = best

    def at(self, value: float) -> tuple[float, float]:
        """How far above the limit the summit of the others lies, and its slope.

        The way there begins at the last summit found.
        """
        self.here = _summit(self.rows, self._start(value), self.free)
        return self.here.value - self.limit, float(self.here.slopes[-1])

    def _start(self, value: float) -> Floats:
        """Where a straight ridge would have the others."""
        ridge = self.here.covariance[:, -1] / self.here.covariance[-1, -1]
        start = self.here.coefficients + (value - self.here.coefficients[-1]) * ridge
        start[-1] = value
        return np.asarray(start)


def _crossing(profile: _Profile, side: float) -> float:
    """Where the profile falls to its limit on one side, by guarded Newton steps."""
    width = float(np.sqrt(profile.best.covariance[-1, -1]))
    inside = float(profile.best.coefficients[-1])
    for _ in range(1000):
        outside = inside + side * width
        if profile.at(outside)[0] < 0.0:
            break
        inside = outside
    else:
        raise InternalError("the profile of a coefficient does not fall")
    value = 0.5 * (inside + outside)
    for _ in range(100):
        above, slope = profile.at(value)
        inside, outside = (value, outside) if above >= 0.0 else (inside, value)
        following = value - above / slope if slope else inside
        if abs(following - value) <= 1e-10 * width:
            break
        between = min(inside, outside) < following < max(inside, outside)
        value = following if between else 0.5 * (inside + outside)
    return value


def _summit(rows: Rows, start: Floats, free: npt.NDArray[np.bool_]) -> _Place:
    """The summit over the free coordinates, the others as at the start."""
    here = _Place(rows, start)
    for _ in range(MOST_STEPS):
        step = here.step(free)
        gain = float(step @ here.slopes)
        if gain <= CLOSE:
            # Values are too coarse to judge such steps by; the method doubles its digits.
            here = _Place(rows, here.coefficients + step)
            return _Place(rows, here.coefficients + here.step(free))
        here = _uphill(here, step, gain)
    raise InternalError(f"a penalised fit has not found its summit in {MOST_STEPS} steps")


def _uphill(here: _Place, step: Floats, gain: float) -> _Place:
    """The first of ever shorter steps that gains a little of what its length promises."""
    share = 1.0
    while share > 1e-12:
        try:
            there = _Place(here.rows, here.coefficients + share * step)
        except InternalError:  # so far out that the information has faded
            there = None
        if there is not None and there.value >= here.value + 1e-4 * share * gain:
            return there
        share *= 0.5
    raise InternalError("a penalised fit finds no way up to its summit")


class _Place:
    """The penalised likelihood, its slopes and the information at some coordinates."""

    def __init__(self, rows: Rows, coefficients: Floats) -> None:
        eta = rows.x @ coefficients
        self.rows, self.coefficients, self.at = rows, coefficients, chances(eta)
        self.weight = rows.trials * self.at.spread
        # Not from the information itself, in which half of the digits would be lost.
        basis, upper = np.linalg.qr(np.sqrt(self.weight)[:, np.newaxis] * rows.x)
        kept = np.abs(np.diag(upper))
        if kept.min() <= FADED * kept.max():
            raise InternalError("the information of a regression has faded")
        turn = np.linalg.inv(upper)
        self.covariance = turn @ turn.T
        self.leverage = np.einsum("ij,ij->i", basis, basis)
        log_likelihood = rows.successes @ eta - rows.trials @ softplus(eta)
        self.value = float(log_likelihood + np.log(kept).sum())
        off = rows.successes - rows.trials * self.at.chance
        self.slopes = rows.x.T @ (off + self.leverage * (0.5 - self.at.chance))

    def step(self, free: npt.NDArray[np.bool_]) -> Floats:
        """Newton's step of the free coordinates, with the curvature of the penalty in it.

        Far from the summit the penalised likelihood may curve the wrong way.  There the
        leverages are held as they are, which makes it the likelihood of half a success and
        half a failure more for each unit of leverage, and that one is concave.
        """
        found = np.zeros_like(self.coefficients)
        if not free.any():
            return found
        some = np.ix_(free, free)
        try:
            bend = inverse(self._curvature()[some])
        except InternalError:
            held = (self.rows.trials + self.leverage) * self.at.spread
            bend = inverse(((self.rows.x.T * held) @ self.rows.x)[some])
        found[free] = bend @ self.slopes[free]
        return found

    def _curvature(self) -> Floats:
        """Negative second derivatives of the penalised likelihood.

        Those of ``ln det I/2`` with respect to b_k and b_l are, with V the inverse of I and T_k
        its derivative,  ``sum_i h_i ((1 - 2 p_i)^2 - 2 p_i (1 - p_i)) x_ik x_il/2`` less
        ``tr(V T_k V T_l)/2``.
        """
        x, tilt = self.rows.x, 1.0 - 2.0 * self.at.chance
        own = self.weight - 0.5 * self.leverage * (tilt * tilt - 2.0 * self.at.spread)
        turned = np.stack(
            [self.covariance @ ((x.T * (self.weight * tilt * column)) @ x) for column in x.T]
        )
        return np.asarray((x.T * own) @ x + 0.5 * np.einsum("kab,lba->kl", turned, turned))
