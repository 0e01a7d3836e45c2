"""What a mould has so that the blank comes out: a hole in the floor, or a score line."""

from __future__ import annotations

from typing import TYPE_CHECKING

from mouldgen.finding import Finding

if TYPE_CHECKING:
    from mouldgen.job.model import Mould
    from mouldgen.job.shop_tables import Printer
    from mouldgen.mould.feature import Feature
    from mouldgen.mould.plan import CupPlan


def released_by(
    plan: CupPlan, mould: Mould, printer: Printer
) -> tuple[tuple[Feature, ...], tuple[Finding, ...]]:
    """The features that the maker asks for, and how to use them.

    plan : with all that was placed before.
    mould, printer : the maker's tables.

    Raises JobError where there is no room for one.
    """
    if mould.knock_out:
        from mouldgen.mould.knock_out import place_knock_out

        hole, use = place_knock_out(
            plan.question,
            plan.size,
            pips=plan.pips,
            sockets=plan.sockets,
            layer_mm=printer.layer,
        )
        return (hole,), (use,)
    if mould.score:
        from mouldgen.mould.score import place_score

        line, use = place_score(
            plan.question,
            plan.size,
            sockets=plan.sockets,
            grooves=plan.groove_angles,
            label=plan.body_label,
            taken=() if plan.held_by is None else plan.held_by.on_wall,
        )
        return (line,), (use,)
    return (), ()
