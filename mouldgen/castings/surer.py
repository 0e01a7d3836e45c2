"""How many more castings make the best gap twice as surely known, and at which gap.

Counted out, not guessed: castings are drawn from what is believed, in loads as large as those of
the file, until the mean range of the best gap is half of today's.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from mouldgen.castings.foreseen import EvenCases, load_likelihood

Floats = npt.NDArray[np.float64]

TRUTHS = 48
LOADS = (1, 2, 3, 4, 6, 8, 12, 16, 24, 32, 48, 64)
LEAST_EFFECTIVE = 40.0  # cases left with weight, below which their range proves nothing
SEED = 20


@dataclass(frozen=True, eq=False, kw_only=True)
class Surer:
    """What it takes to halve the range of the best gap.

    castings : more than today; None where it is more than `tried`.
    gap_mm : at which they are best cast [mm].
    width_mm : of today's range [mm].
    tried : the most castings that were looked at.
    """

    castings: int | None
    gap_mm: float
    width_mm: float
    tried: int


def surer(cases: EvenCases, *, best_mm: Floats, x: Floats, gap_mm: Floats, load_of: int) -> Surer:
    """What it takes to halve the range.

    cases : of equal weight.
    best_mm : the best gap of each case (cases,) [mm].
    x : columns of a casting at every gap that may be cast (gaps, columns).
    gap_mm : those gaps, printed (gaps,) [mm].
    load_of : castings in a load.
    """
    order = np.argsort(best_mm, kind="stable")
    cases = EvenCases(index=cases.index[order], coefficients=cases.coefficients[order])
    best_mm = best_mm[order]
    width = float(_widths(np.ones((1, len(best_mm))) / len(best_mm), best_mm)[0])
    found: list[tuple[int, float]] = []
    tried = 0
    for row, gap in zip(x, gap_mm, strict=True):
        needed, looked = _loads(cases, best_mm, row, 0.5 * width, load_of)
        tried = max(tried, looked * load_of)
        if needed is not None:
            found.append((needed * load_of, float(gap)))
    if not found:
        return Surer(
            castings=None, gap_mm=float(gap_mm[0]), width_mm=width, tried=max(tried, load_of)
        )
    castings, gap = min(found)
    return Surer(castings=castings, gap_mm=gap, width_mm=width, tried=tried)


def _loads(
    cases: EvenCases, best_mm: Floats, row: Floats, wanted_mm: float, load_of: int
) -> tuple[int | None, int]:
    """Loads after which the range is as narrow as wanted, if any; and loads looked at."""
    random = np.random.default_rng(SEED)
    linear, spread = cases.linear(row[np.newaxis]), cases.spread
    counts = np.arange(load_of + 1.0)[:, np.newaxis]
    table = load_likelihood(linear, spread, voids=counts, castings=np.array([float(load_of)]))
    truth = ((np.arange(TRUTHS) + 0.5) / TRUTHS * len(best_mm)).astype(np.intp)
    luck = random.standard_normal((TRUTHS, LOADS[-1]))
    at = linear[truth] + spread[truth, np.newaxis] * luck
    voids = random.binomial(load_of, 1.0 / (1.0 + np.exp(-at)))
    seen, done = np.zeros((TRUTHS, len(best_mm))), 0
    for loads in LOADS:
        seen += table[voids[:, done:loads]].sum(axis=1)
        weights = np.exp(seen - seen.max(axis=1, keepdims=True))
        weights /= weights.sum(axis=1, keepdims=True)
        if float(np.mean(1.0 / np.sum(weights**2, axis=1))) < LEAST_EFFECTIVE:
            return None, done
        done = loads
        if float(_widths(weights, best_mm).mean()) <= wanted_mm:
            return loads, done
    return None, done


def _widths(weights: Floats, best_mm: Floats) -> Floats:
    """Of the range that holds eight in ten (outcomes,); best_mm rises."""
    upto = np.cumsum(weights, axis=1)
    low = best_mm[np.minimum((upto < 0.1).sum(axis=1), len(best_mm) - 1)]
    high = best_mm[np.minimum((upto < 0.9).sum(axis=1), len(best_mm) - 1)]
    return np.asarray(high - low)
