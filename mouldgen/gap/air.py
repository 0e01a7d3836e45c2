"""air: a bubble freed at the bottom must climb past the insert before the gel."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

from mouldgen.finding import Bound
from mouldgen.gap.aging import ShopResin, at_shop
from mouldgen.gap.reach import LARGEST_GAP_MM
from mouldgen.gap.take_up import take_up, take_up_relax, taken_clause
from mouldgen.gap.words import gap_mm, minutes, mm
from mouldgen.physics.heleshaw import least_free_bubble, least_gap

if TYPE_CHECKING:
    from mouldgen.finding import Learned
    from mouldgen.gap.question import GapQuestion

SAFETY = 2.0  # multiplies the height; belief
_PUBLISHED = (
    "published: Taylor & Saffman 1959, flat bubble in a narrow gap;"
    " belief: the curve of the cure, twice the height"
)


def air(question: GapQuestion) -> Bound:
    """The flat bubble's least gap, moved by what castings have taught, and the take-up.

    The gas's own density, a thousandth of the resin's, is left out.
    """
    resin = at_shop(question.resin, question.pour)
    if resin.gelled:
        return replace(_bound(question, None, gelled(resin)), relax=GEL_RELAX)
    height, learned = question.layer_mm, question.learned
    needed = air_gap_mm(height, resin) * math.exp(learned.air_shift)
    if needed > LARGEST_GAP_MM:
        why = (
            f"{minutes(resin.gel_s - resin.close_s)} between closing and gel are too few for air"
            f" to clear {mm(height)} in any gap up to {mm(LARGEST_GAP_MM)}"
        )
        return _bound(question, None, why)
    taken = take_up(question)
    why = (
        f"air needs {gap_mm(air_gap_mm(height, resin))} to clear {mm(height)} before the gel at"
        f" {minutes(resin.gel_s)}{_lesson(learned, needed_mm=needed)}, {taken_clause(taken)}"
    )
    return _bound(question, max(0.0, needed + taken.total_mm), why)


def _lesson(learned: Learned, *, needed_mm: float) -> str:
    """What castings have made of the rule's own value, a clause; empty where nothing.

    Voids are not its reason but one half of the sum: castings without any widen a gap as well,
    where resin is cheap against a repair.
    """
    if not learned.air_shift:
        return ""
    own = f", and your own {_castings(learned)}, of which {learned.voids or 'none'} had voids,"
    if learned.of_the_way < 1.0:
        return (
            f"{own} move it to {gap_mm(needed_mm)}, {100.0 * learned.of_the_way:.0f} % of the way"
            " to the least cost of a good piece"
        )
    return f"{own} make it {gap_mm(needed_mm)} for the least cost of a good piece"


def _castings(learned: Learned) -> str:
    loads = f" in {learned.loads} load{'' if learned.loads == 1 else 's'}" if learned.loads else ""
    return f"{learned.castings} castings{loads}"


def air_gap_mm(height_mm: float, resin: ShopResin) -> float:
    """Open gap that a flat bubble needs to climb a height before the gel [mm].

    height_mm : vertical, of the insert [mm].
    resin : not yet gelled.
    """
    return 1000.0 * least_gap(
        height_mm / 1000.0,
        density_difference=resin.density_kg_m3,
        fluidity_integral=resin.fluidity_per_pa,
        safety=SAFETY,
    )


def smallest_free_bubble_mm(height_mm: float, resin: ShopResin) -> float:
    """Diameter below which a free bubble does not clear a height at any gap [mm].

    height_mm : vertical, of the insert [mm].
    resin : not yet gelled.
    """
    return 1000.0 * least_free_bubble(
        height_mm / 1000.0,
        density_difference=resin.density_kg_m3,
        fluidity_integral=resin.fluidity_per_pa,
        safety=SAFETY,
    )


# Where the resin has gelled, neither thinner inserts nor a harder push help.
GEL_RELAX = ("close the mould sooner", "cool the shop, or take a slower resin")


def gelled(resin: ShopResin) -> str:
    """The sentence for a resin that gels before the mould is closed."""
    return (
        f"at this temperature the resin gels {minutes(resin.gel_s)} after mixing starts, before"
        f" the mould is closed at {minutes(resin.close_s)}"
    )


def _bound(question: GapQuestion, value_mm: float | None, why: str) -> Bound:
    learned = question.learned
    return Bound(
        rule="air",
        kind="at_least",
        value_mm=value_mm,
        why=why,
        source=(
            f"your own {_castings(learned)}, on the published rule"
            if learned.air_shift
            else _PUBLISHED
        ),
        relax=(
            "close the mould sooner",
            "cool the shop, or take a slower resin",
            *take_up_relax(question, take_up(question)),
        ),
    )
