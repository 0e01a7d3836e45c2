"""What one casting more costs at a gap, and what a void in it costs.

Only what a casting takes by itself counts: its wood, resin, consumables and hands, and its mould
where that is turned away.  Set-ups, the order and the finishing of good pieces are the same at
every gap and are left out, as they are from the cost of a lost casting in a quote.

A full quote plans all mixes and loads, which takes a second or more at every gap.  Here they count
as one each; they only share out the common work on voids.
"""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import dataclass
from typing import TYPE_CHECKING

from mouldgen.errors import InternalError
from mouldgen.job.costs import costs as costs_of
from mouldgen.job.work import work_times
from mouldgen.shop.cost import FILL_ML, HOUR_S, OrderCost, Prices, order_cost
from mouldgen.shop.effort import seconds
from mouldgen.shop.needs import ClosedForms, Needs, needs_of
from mouldgen.shop.quote import beliefs_of, prices_of

if TYPE_CHECKING:
    from mouldgen.shop.material_price import MaterialPrice
    from mouldgen.size.mould_size import MouldSize

_BY_ITSELF = ("wood", "resin", "consumables", "casting work")
_PRINTED = ("plastic", "printer")


@dataclass(frozen=True, eq=False)
class CastingCost:
    """Of one casting, in the money that the prices are in.

    money : before any repair.
    resin_ml : poured and lost [ml].
    repair : money for a void that is filled.
    repair_s : of hands for that [s].
    """

    money: float
    resin_ml: float
    repair: float
    repair_s: float


@dataclass(frozen=True, eq=False)
class CastingCosts:
    """Costs of a job's castings at any gap.

    at : the cost at a printed gap [mm].
    resin, plastic : their prices, taken at the job's own gap and kept: of packs it is the price
        of a gram more that counts.
    set_up : money for the hands of one bed, one mix and one load more.
    """

    at: Callable[[float], CastingCost]
    resin: MaterialPrice
    plastic: MaterialPrice
    set_up: float


def casting_costs(
    answer: ClosedForms,
    *,
    size_at: Callable[[float], MouldSize],
    own_mm: float,
    given: Collection[str] = (),
) -> CastingCosts:
    """What castings of a job cost at any gap, from closed forms.

    answer : of the job.
    size_at : the mould's sizes at a printed gap [mm].
    own_mm : the gap that the job has today [mm].
    given : keys that job file, shop file and settings say.

    Raises PresetError where a file of presets cannot be read, JobError where a belief is held on
    nothing or the resin is not sold in such amounts.
    """
    job = answer.job
    costs, times = costs_of(job.cost, job.shop), work_times(job.work)
    beliefs = beliefs_of(job, costs)

    def needs_at(gap_mm: float) -> Needs:
        found = needs_of(answer, size=size_at(gap_mm))
        if found is None:
            raise InternalError("a mould with sizes takes nothing")
        return found

    resin, plastic = prices_of(job, needs_at(own_mm), costs=costs, given=given)
    prices = Prices(resin.gram, plastic.gram)
    known: dict[float, CastingCost] = {}

    def at(gap_mm: float) -> CastingCost:
        if gap_mm not in known:
            needs = needs_at(gap_mm)
            cost = order_cost(needs, costs=costs, times=times, prices=prices, beliefs=beliefs)
            known[gap_mm] = _of_one(cost)
        return known[gap_mm]

    loaded_s = 0.0 if job.pot is None else times.load + times.unload
    stirred_s = times.stir * len(job.colour)
    set_up_s = times.bed + times.weigh + stirred_s + loaded_s
    return CastingCosts(at=at, resin=resin, plastic=plastic, set_up=set_up_s * costs.wage / HOUR_S)


def _of_one(cost: OrderCost) -> CastingCost:
    needs, parts = cost.needs, cost.parts
    names = _BY_ITSELF + (_PRINTED if needs.turned_away else ())
    # All voids of an order are filled together, so each bears its part of that mix and load.
    filled = max(1.0, cost.beliefs.fills * needs.cast)
    repair_s = seconds(cost.steps, "fill") / needs.cast + seconds(cost.steps, "refill") / filled
    return CastingCost(
        money=sum(parts[name] for name in names) / needs.cast,
        resin_ml=needs.resin_ml * (1.0 + cost.beliefs.loss) / needs.cast,
        repair=repair_s * cost.costs.wage / HOUR_S
        + FILL_ML * needs.density_g_ml * cost.prices.resin_g,
        repair_s=repair_s,
    )
