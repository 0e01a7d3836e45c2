"""The gap budget: every rule asked, the answer, and which rule set it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from mouldgen.finding import Bound
from mouldgen.gap.choice import choose
from mouldgen.gap.remedies import Remedy, remedies_of
from mouldgen.gap.rules import bounds_of
from mouldgen.gap.take_up import take_up

if TYPE_CHECKING:
    from mouldgen.gap.question import GapQuestion

GIVEN = "you"  # sets a gap that the maker asked for


@dataclass(frozen=True, eq=False)
class Gap:
    """The answer of the budget.

    gap_mm : radial distance between insert and bare bore as drawn; None in a conflict [mm].
    set_by : the rule that asks for the most, or ``you`` where the maker gave the gap.
    bounds : what every rule asks for.
    conflict : why no gap meets every rule, or None.
    remedies : in a conflict, what would resolve it.
    take_up_mm : the part of the gap that inserts and printer take up [mm].
    """

    gap_mm: float | None
    set_by: str
    bounds: tuple[Bound, ...]
    conflict: str | None
    remedies: tuple[Remedy, ...]
    take_up_mm: float


def budget(question: GapQuestion) -> Gap:
    """The smallest gap that meets every rule, or the maker's own beside what the rules ask."""
    bounds = bounds_of(question)
    taken = take_up(question).total_mm
    if question.given_mm is not None:
        return Gap(question.given_mm, GIVEN, bounds, None, (), taken)
    choice = choose(bounds)
    remedies = remedies_of(question, choice) if choice.conflict else ()
    return Gap(choice.gap_mm, choice.set_by, bounds, choice.conflict, remedies, taken)
