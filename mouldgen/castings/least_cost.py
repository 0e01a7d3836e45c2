"""The gap at which a good piece costs least.

At a gap g, with a void's chance P, a share q of castings with a void that is lost, and a repair R
for every other one::

    cost of a good piece = (C(g) + P (1 - q) R) / (1 - P q)

P and q are only believed.  The gap of least cost is that of the least mean over what is believed;
its range holds, eight times in ten, the gap that were the best if P and q were known.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from mouldgen.errors import InternalError

Floats = npt.NDArray[np.float64]

GRID_MM = 0.05  # between two gaps that are compared; a printer tells no finer ones apart
MOST_GAPS = 61


@dataclass(frozen=True, eq=False, kw_only=True)
class GapCost:
    """What one casting costs at a gap.

    per_casting : money for all of it, before repair and loss.
    resin_ml : mixed for it [ml].
    rework_per_void : money to repair one casting with a void, as the job believes.
    minutes_per_void : of hands for that [min].
    """

    per_casting: float
    resin_ml: float
    rework_per_void: float
    minutes_per_void: float


@dataclass(frozen=True, eq=False, kw_only=True)
class Choices:
    """The gaps that are compared, and what a casting costs at each.

    gap_mm : printed, rising (gaps,) [mm].
    casting : money before repair and loss (gaps,).
    resin_ml : (gaps,) [ml].
    repair : money for one repair, as rows and job have it (gaps,).
    minutes : of hands for one (gaps,) [min].
    """

    gap_mm: Floats
    casting: Floats
    resin_ml: Floats
    repair: Floats
    minutes: Floats


@dataclass(frozen=True, eq=False, kw_only=True)
class LeastCost:
    """The gap at which a good piece costs least, and what it is against the gap of now.

    gap_mm : printed [mm].
    low_mm, high_mm : eight times in ten the best gap is between them [mm].
    cost_per_good : money for a good piece there.
    now_mm : the gap of now [mm].
    now_cost : money for a good piece there.
    resin_ml_more : of each casting; below 0 where it takes less [ml].
    minutes_less : of repair, of each casting; below 0 where it takes more [min].
    at_least, at_most : whether it lies at the end of what the other rules leave.
    """

    gap_mm: float
    low_mm: float
    high_mm: float
    cost_per_good: float
    now_mm: float
    now_cost: float
    resin_ml_more: float
    minutes_less: float
    at_least: bool
    at_most: bool


def candidate_gaps(least_mm: float, most_mm: float) -> Floats:
    """Gaps to compare: both ends, and whole steps between them (gaps,) [mm].

    Where those are too many, the wider gaps are further apart: by the same share of themselves.

    least_mm, most_mm : what the other rules leave [mm].

    Raises InternalError where that is nothing.
    """
    if not 0.0 < least_mm <= most_mm < np.inf:
        raise InternalError(f"no gaps between {least_mm:g} and {most_mm:g} mm")
    count = int(np.ceil((most_mm - least_mm) / GRID_MM)) + 1
    if count <= MOST_GAPS:
        spread = np.linspace(least_mm, most_mm, count)
    else:
        spread = np.geomspace(least_mm, most_mm, MOST_GAPS)
    inside = np.round(spread / GRID_MM) * GRID_MM
    inside = inside[(inside > least_mm + 0.1 * GRID_MM) & (inside < most_mm - 0.1 * GRID_MM)]
    return np.unique(np.concatenate(([least_mm], np.round(inside, 6), [most_mm])))


def choices(
    gap_mm: Floats, *, cost_at: Callable[[float], GapCost], repair_factor: Callable[[float], float]
) -> Choices:
    """What castings cost at gaps.

    gap_mm : printed, rising (gaps,) [mm].
    cost_at : of a printed gap.
    repair_factor : of the job's minutes for a void, by which the rows move them.

    Raises InternalError where a cost is not a number of 0 or more.
    """
    costs = [cost_at(float(gap)) for gap in gap_mm]
    casting = np.array([cost.per_casting for cost in costs], dtype=np.float64)
    minutes = np.array([cost.minutes_per_void for cost in costs], dtype=np.float64)
    repair = np.array([cost.rework_per_void for cost in costs], dtype=np.float64)
    resin = np.array([cost.resin_ml for cost in costs], dtype=np.float64)
    for values in (casting, minutes, repair, resin):
        if not (np.isfinite(values).all() and (values >= 0.0).all()):
            raise InternalError("a casting's cost is not a number of 0 or more")
    factors = np.array([repair_factor(each) for each in minutes])
    return Choices(
        gap_mm=gap_mm,
        casting=casting,
        resin_ml=resin,
        repair=repair * factors,
        minutes=minutes * factors,
    )


def costs_of_good(found: Choices, *, chance: Floats, scrap: Floats) -> Floats:
    """Money for a good piece in every case (draws, gaps).

    found : the gaps and their costs.
    chance : of a void (draws, gaps).
    scrap : share of castings with a void that is lost (draws,).
    """
    lost = chance * scrap[:, np.newaxis]
    return np.asarray((found.casting + (chance - lost) * found.repair) / (1.0 - lost))


def best_of(costs: Floats, weights: Floats) -> int:
    """Which gap costs least in the mean; the narrowest of equal ones.

    costs : (draws, gaps).
    weights : of the draws (draws,).
    """
    return int(np.argmin(weights @ costs))
