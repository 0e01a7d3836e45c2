"""The gap budget: every rule asked, the answer, and which rule set it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from mouldgen.finding import Bound
from mouldgen.gap.choice import choose
from mouldgen.gap.rules import bounds_of, sequence_of
from mouldgen.gap.take_up import take_up

if TYPE_CHECKING:
    from mouldgen.gap.choice import Choice
    from mouldgen.gap.question import GapQuestion
    from mouldgen.gap.remedies import Remedy

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
    sequence : what goes into the mould first: ``resin-first``, ``insert-first`` or
        ``bottom-feed``; the job's own, or with ``auto`` the rules'.
    """

    gap_mm: float | None
    set_by: str
    bounds: tuple[Bound, ...]
    conflict: str | None
    remedies: tuple[Remedy, ...]
    take_up_mm: float
    sequence: str


def budget(question: GapQuestion) -> Gap:
    """The smallest gap that meets every rule, or the maker's own beside what the rules ask."""
    bounds = bounds_of(question)
    taken = take_up(question).total_mm
    sequence = sequence_of(bounds)
    if question.given_mm is not None:
        return Gap(question.given_mm, GIVEN, bounds, None, (), taken, sequence)
    choice = choose(bounds)
    remedies = _remedies(question, choice) if choice.conflict else ()
    return Gap(choice.gap_mm, choice.set_by, bounds, choice.conflict, remedies, taken, sequence)


def _remedies(question: GapQuestion, choice: Choice) -> tuple[Remedy, ...]:
    from mouldgen.gap.remedies import remedies_of  # late: most jobs have an answer

    return remedies_of(question, choice)
