"""A quote: what an order costs and what it asks of the customer, from what closed forms tell."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

from mouldgen.finding import NOTHING_LEARNED, Learned
from mouldgen.job.costs import costs as costs_of
from mouldgen.job.lathe import lathe_habits
from mouldgen.job.work import work_times
from mouldgen.shop.cost import FILL_ML, OrderCost, Prices, order_cost
from mouldgen.shop.material_price import MaterialPrice, plastic_price, resin_price
from mouldgen.shop.no_spares import NoSpares, no_spares
from mouldgen.shop.rough import rough_mm, sticks
from mouldgen.shop.spread import Beliefs
from mouldgen.shop.taken import Taken, taken

if TYPE_CHECKING:
    from mouldgen.insert.facts import InsertFacts
    from mouldgen.job.costs import Costs
    from mouldgen.job.model import Job
    from mouldgen.shop.needs import Needs

VALID_DAYS = 30  # that a quote stands; common practice, no source


class Planned(Protocol):
    """What a quote reads off the plan of the work."""

    @property
    def ready(self) -> dt.date:
        """The day that all is packed."""


@dataclass(frozen=True, eq=False)
class Bring:
    """The wood and the hardware that an order takes.

    inserts : to cut, spares among them.
    spares : of these.
    sticks : that each is made of.
    rough_mm : what one takes of a board, a kerf each way, or None for what is not sawn [mm].
    square_mm : to square each end of a board [mm].
    wood : its name, or empty.
    density_g_ml : of it, where it has no name [g/ml].
    most_moisture : share of the oven-dry mass that the resin bears, or None.
    thread : in every piece, or None.
    hole_mm : plain hole in every piece, or None [mm].
    no_spares : what goes before wood that cannot be had again, or None.
    """

    inserts: int
    spares: int
    sticks: int
    rough_mm: tuple[float, float, float] | None
    square_mm: float
    wood: str
    density_g_ml: float | None
    most_moisture: float | None
    thread: str | None
    hole_mm: float | None
    no_spares: NoSpares | None


@dataclass(frozen=True, eq=False)
class Quote:
    """What an order costs, when it can be ready, and what it rests on.

    cost : of the order.
    resin, plastic : their prices.
    bring : wood and hardware.
    leaves_out : what no sum holds, each a clause.
    taken : every number that nobody gave.
    made, valid_until : days.
    due : that the order asks for, or None.
    ready : the earliest day that the plan of the work gives, or None without a plan.
    """

    cost: OrderCost
    resin: MaterialPrice
    plastic: MaterialPrice
    bring: Bring
    leaves_out: tuple[str, ...]
    taken: tuple[Taken, ...]
    made: dt.date
    valid_until: dt.date
    due: dt.date | None
    ready: dt.date | None

    @property
    def late(self) -> bool:
        """Whether the day that the order asks for cannot be kept."""
        return self.due is not None and self.ready is not None and self.ready > self.due


def quote_of(
    job: Job,
    needs: Needs,
    *,
    insert: InsertFacts,
    facing_mm: float,
    given: Collection[str] = (),
    today: dt.date,
    plan: Planned | None = None,
    learned: Learned = NOTHING_LEARNED,
) -> Quote:
    """The quote of a job.

    job : with presets and shop file merged in.
    needs : what the order takes.
    insert : facts of it.
    facing_mm : taken off each end when something is squared [mm].
    given : keys that job file, shop file and settings say.
    today : the day that the quote is made.
    plan : of the work, or None.
    learned : what castings have taught; the job has its yield and its loss already.

    Raises PresetError where a file of presets cannot be read, JobError where a belief is held on
    nothing or the resin is not sold in such amounts.
    """
    costs = costs_of(job.cost, job.shop)
    resin, plastic = prices_of(job, needs, costs=costs, given=given)
    cost = order_cost(
        needs,
        costs=costs,
        times=work_times(job.work),
        prices=Prices(resin.gram, plastic.gram),
        beliefs=beliefs_of(job, costs, learned=learned),
    )
    return Quote(
        cost=cost,
        resin=resin,
        plastic=plastic,
        bring=_bring(job, needs, insert=insert, square_mm=facing_mm),
        leaves_out=tuple(_leaves_out(job, needs)),
        taken=taken(job, given, cost=cost, resin=resin, plastic=plastic, learned=learned),
        made=today,
        valid_until=today + dt.timedelta(days=VALID_DAYS),
        due=job.order.due,
        ready=None if plan is None else plan.ready,
    )


def prices_of(
    job: Job, needs: Needs, *, costs: Costs, given: Collection[str] = ()
) -> tuple[MaterialPrice, MaterialPrice]:
    """What a gram of resin and of plastic costs in an order.

    job : with presets and shop file merged in.
    needs : what the order takes.
    costs : with the usual prices.
    given : keys that job file, shop file and settings say.

    Raises JobError where the resin is not sold in such amounts.
    """
    filled_ml = job.order.fills * needs.cast * FILL_ML
    mixed_g = (needs.resin_ml * (1.0 + job.resin.loss) + filled_ml) * needs.density_g_ml
    by_price = "resin.price" in given and "resin.packs" not in given
    resin = resin_price(job.resin, costs, need_g=mixed_g, by_price=by_price)
    return resin, plastic_price(job.plastic, costs)


def beliefs_of(job: Job, costs: Costs, *, learned: Learned = NOTHING_LEARNED) -> Beliefs:
    """What an order's ranges come from.

    job : with presets and shop file merged in.
    costs : with what is believed how surely.
    learned : what castings have taught; with more of them the shares are surer.
    """
    return Beliefs(
        yield_=job.order.yield_,
        fills=job.order.fills,
        loss=job.resin.loss,
        yield_seen=learned.yield_seen or costs.yield_seen,
        fills_seen=learned.fills_seen or costs.fills_seen,
        loss_spread=costs.loss_spread,
        time_spread=costs.time_spread,
    )


def _bring(job: Job, needs: Needs, *, insert: InsertFacts, square_mm: float) -> Bring:
    wanted = -(-needs.pieces // needs.per_blank)
    kerf = lathe_habits().kerf_mm if job.piece.kerf is None else job.piece.kerf
    return Bring(
        inserts=needs.castings,
        spares=needs.castings - wanted,
        sticks=sticks(job.insert),
        rough_mm=rough_mm(job.insert, insert, kerf_mm=kerf),
        square_mm=square_mm,
        wood=job.insert.wood or "",
        density_g_ml=job.insert.density,
        most_moisture=job.resin.most_moisture,
        thread=job.piece.thread,
        hole_mm=job.piece.hole,
        no_spares=no_spares(job.order, castings=needs.castings),
    )


def _leaves_out(job: Job, needs: Needs) -> Iterator[str]:
    """What no part of the sum holds."""
    yield "taxes and duties"
    yield "carriage beyond the sum for the order"
    yield "drawing and talking about the piece"
    if needs.customers_wood:
        yield "the customer's wood, and any worth of it that is lost"
    if not needs.tapped:
        yield "hardware, as the piece has no thread"
    if job.mould.family == "master":
        yield "the rubber of the moulds and the work on it"
    if not job.insert.constant_weight and job.insert.wood:
        yield "power of the oven that dries the wood"
    if job.pot is not None:
        yield "wear of pot and compressor"
