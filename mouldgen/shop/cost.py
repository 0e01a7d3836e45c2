"""What a good piece costs, what an order costs, and how surely.

Repair and loss are two things.  A void that is filled costs its time and its resin and leaves a
good piece; a casting that is lost has cost everything up to the lathe and leaves nothing, so the
good ones have to carry it::

    a good piece  = (castings, set-ups, rework and order) / expected good pieces + its finishing
    an order      = castings, set-ups, rework and order + finishing of what is handed over

The order carries the spares that are started to be sure of enough, whether anybody wants the
surplus or not.  Its cost never rises with the yield; that of a good piece may, by a little, where
the count of castings steps down and the set-ups fall on fewer.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any, Literal

import numpy as np

from mouldgen.errors import InternalError
from mouldgen.shop.effort import Hands, effort, seconds
from mouldgen.shop.spread import Beliefs, Spread, percentiles, spread_of

if TYPE_CHECKING:
    from mouldgen.job.costs import Costs
    from mouldgen.job.work import WorkTimes
    from mouldgen.shop.needs import Needs

FILL_ML = 5.0  # mixed for one void; belief
HOUR_S = 3600.0

PARTS = (
    "wood", "resin", "plastic", "printer", "consumables", "hardware", "set-ups", "casting work",
    "finishing work", "rework", "order",
)  # fmt: skip
_OF_A_CASTING = ("wood", "resin", "consumables", "casting work", "rework")
_PRINTED = ("plastic", "printer")

Basis = Literal["good piece", "order"]


@dataclass(frozen=True, eq=False)
class Prices:
    """What is paid for what is bought by weight.

    resin_g : money for a gram of mixed resin.
    plastic_g : money for a gram of plastic.
    """

    resin_g: float
    plastic_g: float


@dataclass(frozen=True, eq=False)
class Range:
    """Money at what is expected, and how far off it may be.

    middle : at the expected yield, fills, loss and hours.
    low, high : the 10th and the 90th percentile over what is believed of them.
    """

    middle: float
    low: float
    high: float

    def times(self, factor: float) -> Range:
        """The same, multiplied."""
        return Range(self.middle * factor, self.low * factor, self.high * factor)


@dataclass(frozen=True, eq=False)
class OrderCost:
    """What an order costs.

    needs : its counts and amounts.
    costs : of everything.
    prices : of resin and plastic.
    steps : of the work.
    beliefs : that the ranges come from.
    """

    needs: Needs
    costs: Costs
    prices: Prices
    steps: tuple[Hands, ...]
    beliefs: Beliefs

    @property
    def expected_good(self) -> float:
        """Good pieces that are expected of all castings."""
        return self.needs.castings * self.needs.per_blank * self.beliefs.yield_

    @property
    def handed_over(self) -> float:
        """Pieces that are expected to be handed over: those ordered, or fewer without spares."""
        return min(float(self.needs.pieces), self.expected_good)

    @property
    def parts(self) -> Mapping[str, float]:
        """Money of the order by part, in the order of `PARTS`, at what is expected."""
        parts = self._parts(self._expected, self.handed_over)
        return {name: float(money) for name, money in parts.items()}

    @property
    def total(self) -> float:
        """Money of the order at what is expected: the sum of `parts`."""
        return math.fsum(self.parts.values())

    @property
    def hours(self) -> float:
        """Of hands for the order at what is expected [h]."""
        parts = (
            seconds(self.steps, "set-up"),
            seconds(self.steps, "casting"),
            seconds(self.steps, "refill"),
            seconds(self.steps, "fill") * self.beliefs.fills,
            seconds(self.steps, "piece") * self.handed_over,
        )
        return math.fsum(parts) / HOUR_S

    @property
    def lost(self) -> float:
        """What one lost casting has cost, set-ups left out: all up to the lathe."""
        parts = self.parts
        names = _OF_A_CASTING + (_PRINTED if self.needs.turned_away else ())
        once = seconds(self.steps, "refill") * self.costs.wage / HOUR_S
        return (math.fsum(parts[name] for name in names) - once) / self.needs.cast

    @cached_property
    def good_piece(self) -> Range:
        """Cost of one good piece: all castings over the expected good pieces."""
        return self._range("good piece")

    @cached_property
    def order(self) -> Range:
        """Cost of the order."""
        return self._range("order")

    @cached_property
    def piece(self) -> Range:
        """Cost of the order over the pieces that are handed over."""
        spread = self._spread
        handed = np.minimum(self.needs.pieces, self._good(spread))
        low, high = percentiles(self._sum(spread, handed) / handed)
        return Range(self.total / self.handed_over, low, high)

    @property
    def mean_good_piece(self) -> float:
        """Mean cost of a good piece over what is believed; more than the middle, or infinite.

        Yield, fills, loss and hours are independent, so the mean of the quotient is that of the
        castings times that of 1/yield.
        """
        before = float(self._sum(self._expected, 0.0))
        started = self.needs.castings * self.needs.per_blank
        finishing = float(self._finishing(1.0))
        return before * self.beliefs.mean_of_inverse_yield / started + finishing

    def price(self, cost: Range) -> Range:
        """A cost with the profit on top.

        cost : of the order or of a piece.
        """
        return cost.times(1.0 + self.costs.profit)

    def expected(self, basis: Basis) -> float:
        """Cost at what is expected, without its range.

        basis : whose cost.
        """
        return float(self.values(basis, self._expected))

    def values(self, basis: Basis, spread: Spread) -> Any:
        """Costs of every case, an array.

        basis : whose cost.
        spread : the cases.
        """
        good = self._good(spread)
        if basis == "order":
            return self._sum(spread, np.minimum(self.needs.pieces, good))
        return self._sum(spread, 0.0) / good + self._finishing(spread.time)

    @cached_property
    def _spread(self) -> Spread:
        return spread_of(self.beliefs)

    @property
    def _expected(self) -> Spread:
        beliefs = self.beliefs
        each = (beliefs.yield_, beliefs.fills, beliefs.loss, 1.0)
        return Spread(*(np.asarray(value) for value in each))

    def _range(self, basis: Basis) -> Range:
        low, high = percentiles(self.values(basis, self._spread))
        return Range(self.expected(basis), low, high)

    def _good(self, case: Spread) -> Any:
        return self.needs.castings * self.needs.per_blank * case.yield_

    def _sum(self, case: Spread, finished: Any) -> Any:
        return sum(self._parts(case, finished).values())

    def _finishing(self, time: Any) -> Any:
        """Money for one good piece once it is turned round."""
        hardware = self.costs.hardware if self.needs.tapped else 0.0
        return hardware + time * self.costs.wage * seconds(self.steps, "piece") / HOUR_S

    def _parts(self, case: Spread, finished: Any) -> dict[str, Any]:
        """Money by part in a case, or in many at once.

        finished : pieces that are finished.
        """
        needs, costs, prices = self.needs, self.costs, self.prices
        wage_s = case.time * costs.wage / HOUR_S
        mixed = (1.0 + case.loss) * needs.density_g_ml * prices.resin_g
        filled_s = seconds(self.steps, "fill")
        money = (
            (needs.trials if needs.customers_wood else needs.cast) * costs.wood,
            needs.resin_ml * mixed,
            needs.plastic_g * prices.plastic_g,
            needs.print_s / HOUR_S * costs.printing,
            needs.cast * costs.consumables,
            finished * (costs.hardware if needs.tapped else 0.0),
            seconds(self.steps, "set-up") * wage_s,
            seconds(self.steps, "casting") * wage_s,
            finished * seconds(self.steps, "piece") * wage_s,
            seconds(self.steps, "refill") * wage_s + case.fills * (
                filled_s * wage_s
                + needs.cast * FILL_ML * needs.density_g_ml * prices.resin_g
            ),
            costs.order,
        )  # fmt: skip
        return dict(zip(PARTS, money, strict=True))


def order_cost(
    needs: Needs, *, costs: Costs, times: WorkTimes, prices: Prices, beliefs: Beliefs
) -> OrderCost:
    """What an order costs.

    needs : its counts and amounts.
    costs : of everything, and how surely.
    times : of the work.
    prices : of resin and plastic.
    beliefs : of yield, fills, loss and hours.

    Raises InternalError for an order of nothing.
    """
    if needs.castings < 1 or needs.pieces < 1:
        raise InternalError(f"an order of {needs.pieces} pieces of {needs.castings} castings")
    return OrderCost(
        needs=needs, costs=costs, prices=prices, steps=effort(needs, times), beliefs=beliefs
    )
