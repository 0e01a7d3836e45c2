"""feed: resin that enters at the floor must rise past the insert before the mould is closed.

Its head is a funnel that is kept full, ``H`` over the floor.  Rising to ``z`` it flows at
``K rho g (H - z)/(mu z)``, so that with ``J = integral dt/mu`` over the time there is::

    J K rho g/A >= 2 [H ln(H/(H - L)) - L]

The 2: the runner may take half of the time, and `least_runner_mm` says how wide it must be to.
Derived here.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from mouldgen.finding import Bound
from mouldgen.gap.aging import ShopResin, at_shop
from mouldgen.gap.air import gelled
from mouldgen.gap.passage import least_gap_mm, passage_of
from mouldgen.gap.reach import LARGEST_GAP_MM
from mouldgen.gap.take_up import take_up, take_up_relax, taken_clause
from mouldgen.gap.words import gap_mm, minutes, mm
from mouldgen.physics.constants import STANDARD_GRAVITY

if TYPE_CHECKING:
    from mouldgen.gap.question import GapQuestion

FUNNEL_MM = 30.0  # brim of the funnel over the resin's level in the mould; our own choice


def feed(question: GapQuestion) -> Bound:
    """The least gap for the time from the end of mixing to closing, and the take-up."""
    resin, pour = at_shop(question.resin, question.pour), question.pour
    if resin.gelled:
        return _bound(question, None, gelled(resin))
    time = minutes(pour.close - pour.mix)
    needed = feed_gap_mm(question, resin)
    if needed > LARGEST_GAP_MM:
        why = f"in the {time} between mixing and closing resin fed from the bottom does not rise"
        why += f" {mm(question.layer_mm)} past the insert in any gap up to {mm(LARGEST_GAP_MM)}"
        return _bound(question, None, why)
    taken = take_up(question)
    why = (
        f"resin that rises {mm(question.layer_mm)} past the insert from the bottom, under a funnel"
        f" {mm(FUNNEL_MM)} over its level, in the {time} between mixing and closing needs"
        f" {gap_mm(needed)}, {taken_clause(taken)}"
    )
    return _bound(question, max(0.0, needed + taken.total_mm), why)


def feed_gap_mm(question: GapQuestion, resin: ShopResin) -> float:
    """Open gap through which the resin rises in time [mm]; may be inf.

    resin : not yet gelled.
    """
    passage = passage_of(question)
    head, height = _head(question), question.layer_mm / 1000.0
    way = 2.0 * (head * math.log(head / (head - height)) - height)

    def demand(gap: float) -> float:
        return way * passage.open_area(gap) / passage.conductance(gap)

    return least_gap_mm(demand, resin.density_kg_m3 * STANDARD_GRAVITY * resin.flow_per_pa)


def least_runner_mm(question: GapQuestion, gap_mm: float) -> float:
    """Bore of a round runner that takes no more than half of the time [mm]; inf once gelled.

    From ``A l/(K_r rho g) ln(H/(H - L)) = J/2`` with ``K_r = pi r^4/8``, for a runner as long as
    its funnel is high.

    gap_mm : between the bore and the round that encloses the insert [mm].
    """
    resin = at_shop(question.resin, question.pour)
    if not resin.flow_per_pa > 0.0:
        return math.inf
    head, height = _head(question), question.layer_mm / 1000.0
    volume = passage_of(question).open_area(gap_mm / 1000.0) * head
    drive = resin.density_kg_m3 * STANDARD_GRAVITY * resin.flow_per_pa / 2.0
    conductance = volume * math.log(head / (head - height)) / drive
    return 2000.0 * math.sqrt(math.sqrt(8.0 * conductance / math.pi))


def _head(question: GapQuestion) -> float:
    """Height of the funnel's brim over the floor [m]."""
    over = question.allowances.head_mm if question.pour.layers == 1 else 0.0
    return (question.layer_mm + over + FUNNEL_MM) / 1000.0


def _bound(question: GapQuestion, value_mm: float | None, why: str) -> Bound:
    return Bound(
        rule="feed",
        kind="at_least",
        value_mm=value_mm,
        why=why,
        source="our own derivation from the flow in an annulus (Bird, Stewart & Lightfoot 2.4-17);"
        " belief: the curve of the cure",
        relax=(
            "warm the resin a little, or take a thinner one",
            "set the funnel higher",
            *take_up_relax(question, take_up(question)),
        ),
    )
