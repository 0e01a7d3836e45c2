"""How far the castings move the physics, and whether they speak against it.

The shift is the s at which a void is as likely as was believed at the air rule's own gap: the
castings behave as if the rule asked for ``exp(shift)`` times the gap.  It is told; the job's gap
does not move by it but to the gap of least cost (`Tuned.air_shift`).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from statistics import NormalDist

import numpy as np
import numpy.typing as npt

from mouldgen.castings.logistic import Posterior
from mouldgen.castings.prior import Prior
from mouldgen.physics.beta import beta_share

Floats = npt.NDArray[np.float64]

WRONG_SIGN = 0.9  # chance of a slope above 0 from which it is said
OUTSIDE = 0.95  # of the shifts believed beforehand
LEAST_SPREAD = 0.03  # of ln(open/air): castings that differ by less were cast at one gap
_SLOPES = 200  # quantiles of the belief of the slope
_MOST_SHIFT = 64.0


@dataclass(frozen=True, eq=False, kw_only=True)
class Shift:
    """A shift of ln(open/air).

    middle : as likely too low as too high; endless where no gap helps.
    low, high : eight times in ten it is between them.
    wrong_way : the chance that a wider gap has more voids.
    seen : whether castings were cast at gaps so unlike that they can tell.
    outside : ``above`` or ``below`` where the middle is not among the 95 % believed beforehand.
    """

    middle: float
    low: float
    high: float
    wrong_way: float
    seen: bool
    outside: str

    @property
    def contradicts(self) -> str:
        """What speaks against the physics: ``slope``, ``above``, ``below`` or nothing."""
        if self.doubted and (self.seen or not self.outside):
            return "slope"
        return self.outside

    @property
    def doubted(self) -> bool:
        """Whether a wider gap helps is so doubtful that none is to be widened or narrowed for it.

        Castings at one gap alone come to this too, where they have far more voids, or fewer, than
        the physics can be made to say.
        """
        return self.wrong_way > WRONG_SIGN


def shift_of(found: Posterior, prior: Prior, *, wide: Floats) -> Shift:
    """The shift after the rows.

    found : constant and slope first.
    wide : ln(open/air) of the rows (castings,).
    prior : what was believed beforehand.
    """
    shifts = _shifts(found.coefficients, prior.intercept)
    low, middle, high = (_between(found, shifts, share) for share in (0.1, 0.5, 0.9))
    most = _believed(prior)
    outside = "above" if middle > most else "below" if middle < -most else ""
    return Shift(
        middle=middle,
        low=low,
        high=high,
        wrong_way=wrong_way(found),
        seen=len(wide) > 0 and float(wide.std()) >= LEAST_SPREAD,
        outside=outside,
    )


def wrong_way(found: Posterior) -> float:
    """The chance that a wider gap has more voids.

    found : constant and slope first.
    """
    return float(found.weights @ (found.coefficients[:, 1] > 0.0))


def _shifts(coefficients: Floats, usual: float) -> Floats:
    """Of each draw; endless where a wider gap does not help (draws,)."""
    over, slope = coefficients[:, 0] - usual, coefficients[:, 1]
    with np.errstate(divide="ignore", invalid="ignore"):
        found = np.where(slope < 0.0, -over / slope, np.sign(over) * np.inf)
    return np.asarray(np.nan_to_num(found, nan=0.0, posinf=np.inf, neginf=-np.inf))


def _between(found: Posterior, values: Floats, share: float) -> float:
    """Quantile of values of which some are endless: no line is drawn between draws."""
    order = np.argsort(values, kind="stable")
    upto = np.cumsum(found.weights[order])
    return float(values[order][min(int(np.searchsorted(upto, share)), len(values) - 1)])


@lru_cache(maxsize=8)
def _believed(prior: Prior) -> float:
    """The shift that one in forty of what is believed beforehand is above; as many are below -it.

    By halving: the chance to be above falls with the shift, to that of a slope above 0 with more
    voids than usual.  Endless where that is one in forty by itself.
    """
    tail = 0.5 * (1.0 - OUTSIDE)
    low, high = 0.0, 1.0
    while _chance_above(prior, high) > tail:
        low, high = high, 2.0 * high
        if high > _MOST_SHIFT:
            return float("inf")
    while high - low > 1e-3:
        middle = 0.5 * (low + high)
        above = _chance_above(prior, middle) > tail
        low, high = (middle, high) if above else (low, middle)
    return high


def _chance_above(prior: Prior, shift: float) -> float:
    """That a shift of 0 or more is surpassed: the belief of the slope summed by its quantiles."""
    ranks = ((i + 0.5) / _SLOPES for i in range(_SLOPES))
    quantile = NormalDist(prior.slope, prior.slope_sd).inv_cdf
    times = (-min(quantile(rank), 0.0) / prior.intercept_scale for rank in ranks)
    return math.fsum(_t_above(shift * each, prior.intercept_freedom) for each in times) / _SLOPES


def _t_above(t: float, freedom: float) -> float:
    """That a t variable is above t, 0 or more (Abramowitz & Stegun 26.7.1)."""
    return 0.5 * beta_share(freedom / (freedom + t * t), a=0.5 * freedom, b=0.5)
