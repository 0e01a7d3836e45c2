"""The frame of run-down and feed: resin must run a way past the insert before the mould is closed.

Each of the two says how long its way is, reckoned in ``J K rho g/A``, and how to say it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

from mouldgen.finding import Bound
from mouldgen.gap.aging import ShopResin, at_shop
from mouldgen.gap.air import GEL_RELAX, gelled
from mouldgen.gap.passage import Passage, least_gap_mm
from mouldgen.gap.reach import LARGEST_GAP_MM
from mouldgen.gap.take_up import take_up, take_up_relax, taken_clause
from mouldgen.gap.words import gap_mm, minutes, mm
from mouldgen.physics.constants import STANDARD_GRAVITY

if TYPE_CHECKING:
    from mouldgen.gap.along import Along
    from mouldgen.gap.question import GapQuestion

_PUBLISHED = (
    "our own derivation from the flow in an annulus (Bird, Stewart & Lightfoot 2.4-17); belief: {}"
)


def runs_in_time(
    question: GapQuestion,
    *,
    rule: str,
    needs: Callable[[GapQuestion, ShopResin], float],
    does: str,
    fails: str,
    belief: str,
    relax: tuple[str, ...],
) -> Bound:
    """The least gap for the time from the end of mixing to closing, and the take-up.

    rule : its name.
    needs : the open gap [mm] in a resin that has not gelled, before the take-up; may be inf.
    does, fails : the clause where there is such a gap, and where there is none; ``{}`` stands
        for the way.
    belief : what of it is belief.
    relax : what would make it ask for less, besides less take-up.
    """
    resin, pour = at_shop(question.resin, question.pour), question.pour
    taken = take_up(question)

    def bound(value_mm: float | None, why: str) -> Bound:
        remedies = (*relax, *take_up_relax(question, taken))
        return Bound(rule, "at_least", value_mm, why, _PUBLISHED.format(belief), remedies)

    if resin.gelled:
        return replace(bound(None, gelled(resin)), relax=GEL_RELAX)
    time = f"in the {minutes(pour.close - pour.mix)} between mixing and closing"
    needed, way = needs(question, resin), mm(question.layer_mm)
    if needed > LARGEST_GAP_MM:
        return bound(None, f"{time} {fails.format(way)} in any gap up to {mm(LARGEST_GAP_MM)}")
    why = f"{does.format(way)} {time} needs {gap_mm(needed)}, {taken_clause(taken)}"
    return bound(max(0.0, needed + taken.total_mm), why)


def running_gap_mm(
    passage: Passage | Along, way: Callable[[float], float], resin: ShopResin
) -> float:
    """Open gap through which resin runs a way in time [mm]; may be inf.

    passage : past the insert.
    way : as a function of the gap [m]: how far it has to run, as a length [m].
    resin : not yet gelled.
    """

    def demand(gap: float) -> float:
        return way(gap) * passage.open_area(gap) / passage.conductance(gap)

    return least_gap_mm(demand, resin.density_kg_m3 * STANDARD_GRAVITY * resin.flow_per_pa)
