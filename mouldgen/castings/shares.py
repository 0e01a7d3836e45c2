"""A share of castings that is only believed: a beta distribution, moved by what was seen.

Jeffreys' interval is that of a belief of half a casting of either kind (Brown, Cai & DasGupta,
Statistical Science 16 (2001) 101, with their rule for the ends).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from mouldgen.castings.rows import softplus
from mouldgen.errors import InternalError
from mouldgen.physics.beta import beta_quantile

Floats = npt.NDArray[np.float64]

HALF = 0.5  # Jeffreys' belief, of either kind
_STEPS = 2000  # of the table from a value to its share
_FALL = 40.0  # of the log density, from its peak to the ends of the table


@dataclass(frozen=True, eq=False, kw_only=True)
class Share:
    """What is believed of a share.

    mean : the chance of the next one.
    low, high : eight times in ten it is between them.
    yes, no : how many of either kind it counts for, the belief beforehand among them.
    """

    mean: float
    low: float
    high: float
    yes: float
    no: float

    def points(self, count: int) -> Floats:
        """So many equally likely values, in rising order (count,).

        count : how many.
        """
        ranks = (np.arange(count) + 0.5) / count
        return _quantiles(ranks, self.yes, self.no)


def share_of(hits: int, seen: int, *, yes: float, no: float, confidence: float = 0.8) -> Share:
    """A share after some castings were seen.

    hits : how many of them it was.
    seen : how many were looked at.
    yes, no : of either kind that are believed seen beforehand, above 0.
    confidence : of both sides together, above 0 and below 1.

    Raises InternalError where a number is out of range.
    """
    if not (0 <= hits <= seen and yes > 0.0 and no > 0.0 and 0.0 < confidence < 1.0):
        raise InternalError(f"no share of {hits} in {seen} on a belief of {yes:g} and {no:g}")
    a, b, tail = hits + yes, seen - hits + no, 0.5 - 0.5 * confidence
    return Share(
        mean=a / (a + b),
        low=beta_quantile(tail, a=a, b=b),
        high=beta_quantile(1.0 - tail, a=a, b=b),
        yes=a,
        no=b,
    )


def jeffreys(hits: int, seen: int, *, confidence: float = 0.8) -> Share:
    """A share of which nothing is believed beforehand; from 0 or up to 1 where all are alike.

    hits : how many of them it was.
    seen : how many were looked at.
    confidence : of both sides together, above 0 and below 1.

    Raises InternalError where a number is out of range.
    """
    found = share_of(hits, seen, yes=HALF, no=HALF, confidence=confidence)
    low = 0.0 if hits == 0 else found.low
    high = 1.0 if hits == seen else found.high
    return Share(mean=found.mean, low=low, high=high, yes=found.yes, no=found.no)


def _quantiles(ranks: Floats, yes: float, no: float) -> Floats:
    """Values that a beta variable stays below, by the trapezoidal rule in its logit.

    There the density, ``exp(a x)/(1 + exp(x))^(a + b)``, has one peak and no end.
    """
    peak = np.log(yes / no)

    def log_density(x: Floats) -> Floats:
        return np.asarray(yes * x - (yes + no) * softplus(x))

    top = float(log_density(np.array([peak]))[0])
    reach = [_FALL / part + 1.0 for part in (yes, no)]  # its tails fall as exp(yes x), exp(-no x)
    x = np.linspace(peak - reach[0] - 5.0, peak + reach[1] + 5.0, _STEPS + 1)
    wide = 1.0 / np.sqrt(yes * no / (yes + no))
    x = np.sort(np.concatenate((x, peak + wide * np.linspace(-8.0, 8.0, _STEPS + 1))))
    density = np.exp(log_density(x) - top)
    below = np.concatenate(([0.0], np.cumsum(0.5 * (density[1:] + density[:-1]) * np.diff(x))))
    found = np.interp(ranks, below / below[-1], x)
    return np.asarray(1.0 / (1.0 + np.exp(-found)))
