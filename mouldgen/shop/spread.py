"""What is only believed of an order's yield, fills, loss and hours, as many equally likely cases.

The cases are points of an additive recurrence in four dimensions, the plastic numbers of Roberts
(2018, from memory), each turned into its distribution by the inverse of its share below a value.
Nothing is drawn: the same beliefs give the same cases on any machine.  Percentiles of a cost
over `CASES` of them stand within 0.5 % of those over any number of draws; the tests hold them
against a million draws of another kind.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from mouldgen.errors import JobError

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Cases = NDArray[np.float64]

CASES = 65_536
_STEPS = 4000  # of a table from a value to its share
_FALL = 45.0  # of the log density, from its peak to the ends of a table
_SIGMAS = 8.0
_DIMENSIONS = 4


@dataclass(frozen=True, eq=False)
class Beliefs:
    """What an order's cost hangs on and nobody knows beforehand.

    yield_ : share of castings that is good in the end, above 0 up to 1.
    fills : share of castings with a void that is filled, 0 to 1.
    loss : resin that stays in cups and on sticks, as a share of what is poured.
    yield_seen, fills_seen : castings that the two shares are believed on, above 0.
    loss_spread, time_spread : standard deviations over the mean, of the loss and of all hours.
    """

    yield_: float
    fills: float
    loss: float
    yield_seen: float
    fills_seen: float
    loss_spread: float
    time_spread: float

    def __post_init__(self) -> None:
        for key, seen in (("yield", self.yield_seen), ("fills", self.fills_seen)):
            if not 0.0 < seen < math.inf:
                raise JobError(
                    f"a share is believed on {seen:g} castings",
                    where=f"cost.toml [spread] {key}",
                    allowed="above 0",
                )
        if not (0.0 < self.yield_ <= 1.0 and 0.0 <= self.fills <= 1.0):
            raise JobError(
                f"a yield of {self.yield_:g} and fills of {self.fills:g}",
                where="[order] yield, fills",
                allowed="a yield above 0 up to 1, fills from 0 to 1",
            )

    @property
    def mean_of_inverse_yield(self) -> float:
        """``E[1/q] = (s - 1)/(q s - 1)`` of a beta variable believed on s castings.

        Infinite where the belief holds a yield of next to nothing to be possible.
        """
        if self.yield_ == 1.0:
            return 1.0
        good = self.yield_ * self.yield_seen
        return (self.yield_seen - 1.0) / (good - 1.0) if good > 1.0 else math.inf


@dataclass(frozen=True, eq=False)
class Spread:
    """Equally likely cases, one a row of each.

    yield_, fills : shares.
    loss : as a share of what is poured.
    time : hours over the expected ones.
    """

    yield_: Cases
    fills: Cases
    loss: Cases
    time: Cases


def spread_of(beliefs: Beliefs, *, cases: int = CASES) -> Spread:
    """Cases of independent yield, fills, loss and hours.

    Shares are beta variables, loss and hours lognormal ones of the mean and spread believed.

    beliefs : the means and how surely they are known.
    cases : how many.
    """
    ranks = _ranks(cases)
    return Spread(
        yield_=shares(ranks[0], beliefs.yield_, on=beliefs.yield_seen),
        fills=shares(ranks[1], beliefs.fills, on=beliefs.fills_seen),
        loss=beliefs.loss * _factors(ranks[2], beliefs.loss_spread),
        time=_factors(ranks[3], beliefs.time_spread),
    )


def shares(ranks: Cases, mean: float, *, on: float) -> Cases:
    """Values that a beta variable stays below with these chances.

    In ``x = ln(q/(1 - q))`` its density, ``exp(a x)/(1 + exp(x))^(a + b)``, has one peak and
    neither end nor pole, whatever a and b are; it is summed by the trapezoidal rule.

    ranks : chances, above 0 and below 1.
    mean : from 0 to 1.
    on : castings that it is believed on, a + b.
    """
    if mean in {0.0, 1.0}:
        return np.full(ranks.shape, mean)
    a, b = mean * on, (1.0 - mean) * on
    peak = math.log(a / b)

    def log_density(x: Cases | float) -> Cases:
        return np.asarray(a * np.asarray(x) - on * np.logaddexp(0.0, x))

    top = float(log_density(peak))

    def end(side: float) -> float:
        reach = 1.0 / math.sqrt(a * b / on)  # of the width of the peak
        while float(log_density(peak + side * reach)) > top - _FALL:
            reach *= 1.25
        return peak + side * reach

    # Steps grow away from the peak: a small a or b has a long tail beside it.
    way = np.linspace(-1.0, 1.0, _STEPS + 1)
    low, high = end(-1.0), end(1.0)
    x = peak + np.where(way < 0.0, peak - low, high - peak) * np.sign(way) * way**2
    density = np.exp(log_density(x) - top)
    below = np.concatenate(([0.0], np.cumsum(0.5 * (density[1:] + density[:-1]) * np.diff(x))))
    found = np.interp(ranks, below / below[-1], x)
    return np.asarray(1.0 / (1.0 + np.exp(-found)))


def percentiles(values: Cases) -> tuple[float, float]:
    """The 10th and the 90th percentile of equally likely values."""
    low, high = np.percentile(values, (10.0, 90.0))
    return float(low), float(high)


def _ranks(cases: int) -> Cases:
    """Points that fill the unit cube of four dimensions evenly, a row for each dimension."""
    plastic = 1.0
    for _ in range(64):  # the root of x^5 = x + 1, by repeating x = (1 + x)^(1/5)
        plastic = (1.0 + plastic) ** (1.0 / (_DIMENSIONS + 1))
    steps = np.array([plastic ** -(k + 1) for k in range(_DIMENSIONS)])
    return np.asarray((0.5 + np.outer(steps, np.arange(1, cases + 1))) % 1.0)


def _factors(ranks: Cases, spread: float) -> Cases:
    """Values of a lognormal variable of mean 1.

    spread : its standard deviation.
    """
    if spread == 0.0:
        return np.ones(ranks.shape)
    sigma = math.sqrt(math.log1p(spread**2))
    z = np.linspace(-_SIGMAS, _SIGMAS, _STEPS + 1)
    below = np.array([0.5 * math.erfc(-each / math.sqrt(2.0)) for each in z])
    return np.asarray(np.exp(sigma * np.interp(ranks, below, z) - 0.5 * sigma**2))
