"""What is to be expected of castings: good, filled, lost.

Repair is not scrap.  A void that shows on the lathe is filled and turned again, which takes time
and leaves a good piece; the yield counts it as good.  So two shares are kept apart: how many
castings are filled, and how many are lost.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import accumulate
from typing import TYPE_CHECKING

from mouldgen.errors import JobError
from mouldgen.finding import NOTHING_LEARNED, Learned
from mouldgen.shop.belief import share_counts

if TYPE_CHECKING:
    from mouldgen.job.costs import Costs
    from mouldgen.job.shop_tables import Order

LOW, HIGH = 0.1, 0.9
_ROUNDING = 1e-12


@dataclass(frozen=True, eq=False)
class Expected:
    """How many castings come out one way.

    mean : expected.
    low, high : the 10th and the 90th percentile.
    """

    mean: float
    low: int
    high: int


@dataclass(frozen=True, eq=False)
class Outcome:
    """What is to be expected of some castings.

    castings : how many.
    good : good in the end, those that were filled counted.
    filled : with a void that is filled and turned again; most of them end among the good.
    lost : not good in the end.
    """

    castings: int
    good: Expected
    filled: Expected
    lost: Expected


def outcome(
    castings: int,
    *,
    yield_: float,
    fills: float,
    yield_seen: float | None = None,
    fills_seen: float | None = None,
) -> Outcome:
    """Good, filled and lost castings, each with its 10th and 90th percentile.

    castings : how many are started, 0 or more.
    yield_ : share that is good in the end, above 0 up to 1.
    fills : share with a void that is filled, from 0 to 1.
    yield_seen, fills_seen : castings that the two are believed on; None for certain ones.

    Raises JobError where a number is out of range.
    """
    if castings < 0:
        raise JobError(f"{castings} castings", where="[order] pieces", allowed="0 or more")
    for key, share in (("yield", yield_), ("fills", fills)):
        if not 0.0 <= share <= 1.0:
            raise JobError(f"a share of {share:g}", where=f"[order] {key}", allowed="0 to 1")
    good = share_counts(castings, yield_, on=yield_seen)
    return Outcome(
        castings,
        good=_expected(good),
        filled=_expected(share_counts(castings, fills, on=fills_seen)),
        lost=_expected(good[::-1]),
    )


def outcome_of(
    order: Order, *, castings: int, costs: Costs, learned: Learned = NOTHING_LEARNED
) -> Outcome:
    """What is to be expected of an order's castings, as the job and the presets believe.

    order : its yield and its share of fills.
    castings : how many are started.
    costs : how much the two shares are believed.
    learned : what castings have taught; with more of them the shares are surer.
    """
    return outcome(
        castings,
        yield_=order.yield_,
        fills=order.fills,
        yield_seen=learned.yield_seen or costs.yield_seen,
        fills_seen=learned.fills_seen or costs.fills_seen,
    )


def _expected(chances: tuple[float, ...]) -> Expected:
    sums = list(accumulate(chances))
    low, high = (
        next((k for k, total in enumerate(sums) if total >= share - _ROUNDING), len(sums) - 1)
        for share in (LOW, HIGH)
    )
    return Expected(sum(k * chance for k, chance in enumerate(chances)), low, high)
