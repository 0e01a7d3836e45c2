"""What a cost rests on that the maker did not give: every default, by name, with its basis."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from mouldgen.finding import NOTHING_LEARNED, Learned
from mouldgen.gap.words import gap_mm
from mouldgen.job.presets import read_card, read_table
from mouldgen.shop.cost import FILL_ML

if TYPE_CHECKING:
    from mouldgen.job.model import Job
    from mouldgen.shop.cost import OrderCost
    from mouldgen.shop.material_price import MaterialPrice

_ORDER = {
    "yield": "belief: give the share of your castings that came out good",
    "fills": "belief: give the share of your castings that had a void to fill",
    "confidence": "our judgement: of having enough good pieces",
    "first_article": "common practice, no source: one piece is shown before the rest is cast",
}
_COSTS = ("wood", "consumables", "printing", "order", "profit")
_SPREADS = ("time", "loss", "fills", "yield")


@dataclass(frozen=True, eq=False)
class Taken:
    """One number that nobody gave.

    key : where the maker puts an own one, such as ``cost.wood``; a name of ``spread`` stands in
        a copy of ``cost.toml``.
    value : as it is written.
    basis : what it rests on, such as ``belief``.
    own : whether that is the shop's own castings.
    """

    key: str
    value: str
    basis: str
    own: bool = False


def taken(
    job: Job,
    given: Collection[str],
    *,
    cost: OrderCost,
    resin: MaterialPrice,
    plastic: MaterialPrice,
    learned: Learned = NOTHING_LEARNED,
) -> tuple[Taken, ...]:
    """Every default that the cost of an order depends on.

    job : with presets and shop file merged in.
    given : keys that job file, shop file and settings say, as `LoadedJob.given` holds them.
    cost : of the order.
    resin, plastic : their prices.
    learned : what castings have taught; the job has its yield, fills and loss already.

    Raises PresetError where a file of presets cannot be read.
    """
    every = [
        *_of_order(job, learned),
        *_of_costs(job, cost, resin=resin, plastic=plastic),
        *_of_work(cost),
        *_of_card(job, learned, packed=resin.packs is not None),
    ]
    return tuple(each for each in every if each.key not in given)


def _of_order(job: Job, learned: Learned) -> Iterator[Taken]:
    order = job.order
    own = {"yield": learned.yield_, "fills": learned.fills}
    values: dict[str, Any] = {
        "yield": f"{order.yield_:g}",
        "fills": f"{order.fills:g}",
        "confidence": f"{order.confidence:g}",
        "first_article": "yes" if order.first_article else "no",
    }
    for key, value in values.items():
        if own.get(key) is not None:
            yield Taken(f"order.{key}", value, own_castings(learned), own=True)
        elif not (order.customers_wood and key in ("confidence", "first_article")):
            yield Taken(f"order.{key}", value, _ORDER[key])


def _of_costs(
    job: Job, cost: OrderCost, *, resin: MaterialPrice, plastic: MaterialPrice
) -> Iterator[Taken]:
    data = read_table("cost")
    used = list(_COSTS) + (["hardware"] if cost.needs.tapped else [])
    for key in used:
        yield _row(data, "cost", key)
    yield _row(data, "cost", "wage", name="shop.wage")
    if not resin.given:
        yield _row(data, "cost", "resin_kg", name="resin.price", unit=" per kg")
    if not plastic.given:
        yield _row(data, "cost", "plastic_kg", name="plastic.price", unit=" per kg")
    for key in _SPREADS:
        if job.order.yield_ < 1.0 or key != "yield":
            yield _row(data, "spread", key)
    yield Taken("fill", f"{FILL_ML:g} ml", "belief: resin mixed for one void")


def _of_work(cost: OrderCost) -> Iterator[Taken]:
    data = read_table("work")
    for step in {step.key: step for step in cost.steps}.values():
        if step.key != "sand":
            yield _row(data, "work", step.key)
        else:
            share = _row(data, "work", "sand_over_turning")
            yield Taken("work.sand", f"{step.each_s / 60.0:g} min", share.basis)


def own_castings(learned: Learned) -> str:
    """What a yield rests on that a shop's own castings gave."""
    castings = learned.yield_castings
    own = f"from your own {castings} casting{'' if castings == 1 else 's'}"
    return f"{own}{seen_clause(learned)}, and belief"


def seen_clause(learned: Learned) -> str:
    """That the castings of a yield were cast at other gaps than the job's; empty where not."""
    at_mm = learned.seen_gap_mm
    return "" if at_mm is None else f", whose gaps count here as around {gap_mm(at_mm)}"


def _of_card(job: Job, learned: Learned, *, packed: bool) -> Iterator[Taken]:
    card = job.resin.card
    loss = f"{job.resin.loss:g}"
    if learned.loss is not None:
        loads = f"{learned.loss_loads} load{'' if learned.loss_loads == 1 else 's'}"
        yield Taken("resin.loss", loss, f"from your own {loads}, weighed, and belief", own=True)
    if card is None:
        return
    basis = read_card("resins", card).get("basis", {})
    if learned.loss is None:
        yield Taken("resin.loss", loss, str(basis.get("loss", "of the card")))
    if packed:
        packs = f"{len(job.resin.packs)} sizes"
        yield Taken("resin.packs", packs, str(basis.get("packs", "of the card")))


def _row(data: dict[str, Any], table: str, key: str, *, name: str = "", unit: str = "") -> Taken:
    basis = data.get("basis", {})
    value = data.get(table, {}).get(key, "")
    text = f"{value:g}" if isinstance(value, int | float) else str(value)
    return Taken(name or f"{table}.{key}", text + unit, str(basis.get(key, "belief")))
