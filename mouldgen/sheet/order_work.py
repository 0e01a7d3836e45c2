"""What of an order is reckoned for more than one face: mixing, plan, purchase."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from mouldgen.answer import Answer
    from mouldgen.finding import Finding
    from mouldgen.mix.amounts import Amounts
    from mouldgen.mix.mixing import Mixing
    from mouldgen.mould_set import MouldSet
    from mouldgen.shop.outcome import Outcome
    from mouldgen.shop.plan import Plan
    from mouldgen.shop.purchase import Purchase

_TOLD_OF_MIXING = ("mix.least", "mix.cells")  # with what is bought


@dataclass(frozen=True, eq=False)
class Worked:
    """What a purchase is reckoned from: with every solid, or in closed form.

    answer : the closed forms.
    amounts : the resin; None in a conflict.
    findings : of the set, or of the amounts alone.
    filament_g : for all moulds and extras; None in closed form [g].
    mould_g : of one mould that is turned away with its casting [g].
    rubber_g : that moulds are cast in; None where they are printed [g].
    """

    answer: Answer
    amounts: Amounts | None
    findings: tuple[Finding, ...]
    filament_g: float | None = None
    mould_g: float = 0.0
    rubber_g: float | None = None


def worked_out(found: MouldSet) -> Worked:
    """What the purchase of a finished set is reckoned from."""
    parts, again = found.parts, found.answer.printed < found.answer.fillings
    one_ml = (
        0.0
        if parts is None or again
        else sum(p.mesh.volume_mm3 for p in parts.parts if p.count is None) / 1000.0
    )
    return Worked(
        answer=found.answer,
        amounts=found.amounts,
        findings=found.findings,
        filament_g=found.filament_g,
        mould_g=0.0 if found.rubber else one_ml * found.answer.job.plastic.density,
        rubber_g=found.rubber.total_g if found.rubber else None,
    )


def mixed(found: MouldSet) -> Mixing | None:
    """How the resin is mixed; None where there is no gap."""
    if found.amounts is None:
        return None
    from mouldgen.mix.mixing import mixing
    from mouldgen.mix.remedies import with_remedies
    from mouldgen.sheet.pot_loads import most_per_load

    made = mixing(found.answer, found=found.amounts, most_per_load=most_per_load(found.answer))
    return with_remedies(made, found.answer)


def planned(found: MouldSet, today: dt.date) -> Plan:
    """The plan of a finished set.  Raises what `plan_of` raises.

    today : the first day, where the job has none.
    """
    from mouldgen.shop.plan import plan_of
    from mouldgen.shop.plan_beds import bed_facts

    parts = () if found.parts is None else found.parts.parts
    meshes = {part.name: part.mesh for part in found.printed}
    beds = bed_facts(found.beds, parts, meshes=meshes, printer=found.answer.job.printer)
    return plan_of(found.answer, today=today, beds=beds or None, amounts=found.amounts)


def purchase_of(
    made: Worked, amounts: Amounts, *, by_price: bool, poured: Mixing | None = None
) -> tuple[Purchase, Outcome]:
    """What to buy, and what is to be expected of the castings.

    made : what it is reckoned from.
    amounts : the resin.
    by_price : whether the maker's own price goes before the card's packs.
    poured : how the resin is mixed, where that is known already.
    """
    from mouldgen.job.cells import pieces_per_blank
    from mouldgen.job.costs import costs
    from mouldgen.mix.mixing import mixing
    from mouldgen.mix.remedies import with_remedies
    from mouldgen.sheet.pot_loads import most_per_load
    from mouldgen.shop.outcome import outcome_of
    from mouldgen.shop.purchase import purchase

    answer, job = made.answer, made.answer.job
    money = costs(job.cost, job.shop)
    if poured is None:
        poured = mixing(answer, found=amounts, most_per_load=most_per_load(answer))
        poured = with_remedies(poured, answer)
    kerf = answer.lathe.kerf_mm if job.piece.kerf is None else job.piece.kerf
    found = purchase(
        job,
        amounts,
        facts=answer.insert,
        castings=answer.moulds,
        wanted=-(-job.order.pieces // pieces_per_blank(job)),
        blanks=answer.sizes.blanks,
        costs=money,
        kerf_mm=kerf,
        filament_g=made.filament_g,
        mould_g=made.mould_g,
        rubber_g=made.rubber_g,
        made=poured,
        by_price=by_price,
    )
    # What is bought for catch moulds and for cells over is told; the rest is for `resin`.
    told = [f for f in poured.findings if f.severity == "stop" or f.id in _TOLD_OF_MIXING]
    found = replace(found, findings=(*found.findings, *told))
    return found, outcome_of(
        job.order, castings=answer.moulds, costs=money, learned=answer.question.learned
    )
