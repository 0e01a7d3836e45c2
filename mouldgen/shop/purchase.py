"""The purchase list of a whole job: what to have in the shop before the first pour."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from mouldgen.finding import Finding
from mouldgen.mix.buy import ResinPurchase, cheapest_packs
from mouldgen.shop.no_spares import no_spares
from mouldgen.shop.rough import rough_mm, sticks

if TYPE_CHECKING:
    from mouldgen.insert.facts import InsertFacts
    from mouldgen.job.costs import Costs
    from mouldgen.job.material_tables import Plastic, Resin
    from mouldgen.job.model import Job
    from mouldgen.mix.amounts import Amounts
    from mouldgen.mix.mixing import Mixing
    from mouldgen.mix.portion import Portion

Told = Literal["job", "presets"]  # who says what a thing costs


@dataclass(frozen=True, eq=False)
class ResinToBuy:
    """Mixed resin, the loss in cups and a test casting counted.

    need_g : as it is weighed [g].
    test_g : of these for a test casting [g].
    packs : the cheapest that hold it; None where the card has none.
    cost : of the packs, or by price; None where the card has neither.
    """

    need_g: float
    test_g: float
    packs: ResinPurchase | None
    cost: float | None


@dataclass(frozen=True, eq=False)
class TintToBuy:
    """One tint.

    name : in the job file.
    resin_g : mixed resin that it goes into [g].
    tint_g : of the tint; None where the job does not say its share [g].
    """

    name: str
    resin_g: float
    tint_g: float | None


@dataclass(frozen=True, eq=False)
class PlasticToBuy:
    """Filament, printed solid.

    grams : for all moulds and extras, and a test's mould [g].
    cost : of it.
    told : who says the price.
    """

    grams: float
    cost: float
    told: Told


@dataclass(frozen=True, eq=False)
class InsertsToBuy:
    """What is cast in.

    count : of all castings; spares counted.
    spares : of these, those beyond what is asked for.
    tests : besides them, of other wood, for a test casting.
    sticks : that each is made of.
    rough_mm : what one takes of a board, a kerf each way, or None [mm].
    each_g : weight of one [g].
    customers : the wood is the customer's and not bought.
    cost : of those that are bought.
    told : who says the price.
    """

    count: int
    spares: int
    tests: int
    sticks: int
    rough_mm: tuple[float, float, float] | None
    each_g: float
    customers: bool
    cost: float
    told: Told


@dataclass(frozen=True, eq=False)
class CountToBuy:
    """Something by the piece.

    count : how many.
    cost : of all of them.
    told : who says the price.
    """

    count: int
    cost: float
    told: Told


@dataclass(frozen=True, eq=False)
class Purchase:
    """The whole list.

    resin, tints, inserts : what is cast.
    plastic : None where no mould was made to weigh it.
    hardware : None for a piece without a thread.
    rubber_g : that moulds are cast in; None where they are printed [g].
    consumables : gloves, cups, sticks, abrasive, for every casting.
    findings : what is to be known of it.
    """

    resin: ResinToBuy
    tints: tuple[TintToBuy, ...]
    plastic: PlasticToBuy | None
    inserts: InsertsToBuy
    hardware: CountToBuy | None
    rubber_g: float | None
    consumables: CountToBuy
    findings: tuple[Finding, ...]

    @property
    def total(self) -> float:
        """Of all that has a price, in the currency of the prices."""
        parts: Sequence[PlasticToBuy | InsertsToBuy | CountToBuy | None] = (
            self.plastic, self.inserts, self.hardware, self.consumables,
        )  # fmt: skip
        return math.fsum((self.resin.cost or 0.0, *(part.cost for part in parts if part)))

    @property
    def without_price(self) -> tuple[str, ...]:
        """What is on the list and not in the total."""
        found = [] if self.resin.cost is not None else ["resin"]
        found += ["tints"] if self.tints else []
        found += ["rubber"] if self.rubber_g is not None else []
        return tuple(found)

    @property
    def believed(self) -> tuple[str, ...]:
        """What is reckoned at a price of the presets, which is belief."""
        parts = {
            "plastic": self.plastic, "inserts": self.inserts, "hardware": self.hardware,
            "consumables": self.consumables,
        }  # fmt: skip
        return tuple(
            name for name, part in parts.items() if part and part.cost and part.told == "presets"
        )


def purchase(
    job: Job,
    amounts: Amounts,
    *,
    facts: InsertFacts,
    castings: int,
    wanted: int,
    blanks: int,
    costs: Costs,
    kerf_mm: float,
    filament_g: float | None,
    mould_g: float,
    rubber_g: float | None,
    made: Mixing | None = None,
    by_price: bool = False,
) -> Purchase:
    """What to buy for a job.

    job : its resin, tints, wood, thread and prices.
    amounts : the resin.
    facts : of the insert.
    castings : that are started.
    wanted : castings that the order needs if none is lost.
    blanks : that one filling of a mould gives.
    costs : what the rest costs.
    kerf_mm : that one cut turns to dust [mm].
    filament_g : for all moulds; None where none was made [g].
    mould_g : for one mould more, as a test needs it; 0 where moulds are used again [g].
    rubber_g : that moulds are cast in; None where they are printed [g].
    made : how the resin is mixed, so that what small cups and least batches take is bought too;
        None for the amounts alone.
    by_price : reckon the resin at its price, though the card has packs.

    Raises JobError where more than a thousand packs were needed.
    """
    first = no_spares(job.order, castings=castings)
    tests = first.tests if first else 0
    mixed = made if made is not None and made.batches is not None else None
    resin = _resin(job.resin, amounts, mixed, tests=tests, by_price=by_price)
    return Purchase(
        resin=resin,
        tints=_tints(job, mixed, need_g=resin.need_g, tests=tests),
        plastic=None
        if filament_g is None
        else _plastic(job.plastic, filament_g + tests * mould_g, costs),
        inserts=_inserts(
            job, facts, castings=castings, wanted=wanted, tests=tests * blanks,
            costs=costs, kerf_mm=kerf_mm,
        ),
        hardware=_hardware(job, costs),
        rubber_g=rubber_g,
        consumables=_consumables(job, castings + tests * blanks, costs),
        findings=(*((first.finding,) if first else ()), *_over_budget(job, resin)),
    )  # fmt: skip


def _resin(
    resin: Resin, amounts: Amounts, mixed: Mixing | None, *, tests: int, by_price: bool
) -> ResinToBuy:
    if mixed is None:
        one_g, all_g = amounts.one.total_g, amounts.all.total_g
    else:
        one_g = math.fsum(mix.weighed.total_g for mix in _of_a_test(mixed))
        all_g = mixed.weighed_g
    test_g = tests * one_g
    need = all_g + test_g
    if resin.packs and not (by_price and resin.price):
        packs = cheapest_packs(need, resin.packs, density_g_ml=amounts.density_g_ml)
        return ResinToBuy(need, test_g, packs, packs.cost)
    if resin.price is None:
        return ResinToBuy(need, test_g, None, None)
    return ResinToBuy(need, test_g, None, _at(resin.price, need, amounts.density_g_ml))


def _at(price: tuple[float, Literal["g", "ml"]], grams: float, density_g_ml: float) -> float:
    amount, per = price
    return amount * (grams if per == "g" else grams / density_g_ml)


def _of_a_test(mixed: Mixing) -> list[Portion]:
    """The mixes of one mould by itself, each with a least batch of its own."""
    return [mix for session in mixed.one_alone() for mix in session.portions]


def _tints(job: Job, mixed: Mixing | None, *, need_g: float, tests: int) -> tuple[TintToBuy, ...]:
    """Each tint as it is weighed into the cups, for the thickness that is shown."""
    if mixed is None:
        shares = [(colour, colour.share * need_g) for colour in job.colour]
        return tuple(
            TintToBuy(colour.name, grams, None if colour.tint is None else colour.tint * grams)
            for colour, grams in shares
        )
    mixes = [mix for session in mixed.sessions for mix in session.portions]
    cups = [cup for mix in [*mixes, *tests * _of_a_test(mixed)] for cup in mix.cups]
    found = []
    for k, colour in enumerate(job.colour):
        if not mixed.question.tints[k].stirred:
            continue  # clear resin takes no tint
        own = [cup for cup in cups if cup.colour == k]
        tint_g = None if colour.tint is None else math.fsum(cup.tint_g or 0.0 for cup in own)
        found.append(TintToBuy(colour.name, math.fsum(cup.g for cup in own), tint_g))
    return tuple(found)


def _plastic(plastic: Plastic, grams: float, costs: Costs) -> PlasticToBuy:
    if plastic.price is None:
        return PlasticToBuy(grams, grams / 1000.0 * costs.plastic_kg, "presets")
    return PlasticToBuy(grams, _at(plastic.price, grams, plastic.density), "job")


def _inserts(
    job: Job,
    facts: InsertFacts,
    *,
    castings: int,
    wanted: int,
    tests: int,
    costs: Costs,
    kerf_mm: float,
) -> InsertsToBuy:
    customers = job.order.customers_wood
    return InsertsToBuy(
        count=castings,
        spares=castings - wanted,
        tests=tests,
        sticks=sticks(job.insert),
        rough_mm=rough_mm(job.insert, facts, kerf_mm=kerf_mm),
        each_g=facts.mass_g,
        customers=customers,
        cost=costs.wood * (tests if customers else castings),
        told="job" if job.cost is not None and job.cost.wood is not None else "presets",
    )


def _hardware(job: Job, costs: Costs) -> CountToBuy | None:
    if job.piece.thread is None:
        return None
    given = job.cost is not None and job.cost.hardware is not None
    return CountToBuy(
        job.order.pieces, job.order.pieces * costs.hardware, "job" if given else "presets"
    )


def _consumables(job: Job, castings: int, costs: Costs) -> CountToBuy:
    given = job.cost is not None and job.cost.consumables is not None
    return CountToBuy(castings, castings * costs.consumables, "job" if given else "presets")


def _over_budget(job: Job, resin: ResinToBuy) -> tuple[Finding, ...]:
    most = job.order.resin_budget
    if most is None or resin.cost is None or resin.cost <= most:
        return ()
    whole = "" if resin.packs is None else ", since packs are bought whole"
    return (
        Finding(
            id="buy.budget",
            rule="buy",
            severity="warn",
            message=(
                f"The resin costs {resin.cost:.2f} to buy and [order] resin_budget is {most:.2f}:"
                f" {resin.cost - most:.2f} too much{whole}."
            ),
            measured=resin.cost,
            limit=most,
            place="[order] resin_budget",
        ),
    )
