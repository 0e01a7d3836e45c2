"""What a maker should look at, or must fix, about the gap."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from mouldgen.finding import Bound, Finding
from mouldgen.gap.aging import at_shop
from mouldgen.gap.air import smallest_free_bubble_mm
from mouldgen.gap.budget import GIVEN, Gap
from mouldgen.gap.choice import sentence
from mouldgen.gap.words import gap_mm, mm

if TYPE_CHECKING:
    from mouldgen.gap.question import GapQuestion

_SLACK_MM = 1e-6


def findings_of(gap: Gap, question: GapQuestion) -> tuple[Finding, ...]:
    """Every finding about a gap, the worst first; lengths in mm."""
    found: list[Finding] = []
    if gap.conflict is not None:
        found.append(Finding("gap.conflict", "gap", "stop", gap.conflict, place="gap"))
    elif gap.set_by == GIVEN:
        found += _of_given(gap)
    else:
        found += _of_habit(gap, question)
    found += _of_small_bubbles(question)
    order = {"stop": 0, "warn": 1, "note": 2}
    return tuple(sorted(found, key=lambda finding: order[finding.severity]))


def _of_given(gap: Gap) -> Iterator[Finding]:
    """The maker's own gap against every rule."""
    asked = gap.gap_mm
    if asked is None:
        return
    if asked < gap.take_up_mm - _SLACK_MM:
        message = (
            f"A gap of {gap_mm(asked)} is less than the {gap_mm(gap.take_up_mm)} that the thickest"
            " insert and the printer take up: that insert will not enter the mould."
        )
        yield Finding("gap.take-up", "slide", "stop", message, asked, gap.take_up_mm, "[mould] gap")
    for bound in gap.bounds:
        finding = _of_given_bound(asked, bound)
        if finding is not None:
            yield finding


def _of_given_bound(asked: float, bound: Bound) -> Finding | None:
    if bound.kind == "advice":
        return None
    name, limit = f"gap.{bound.rule}", bound.value_mm
    if limit is None:
        return Finding(name, bound.rule, "stop", sentence(bound.why), asked, None, "[mould] gap")
    if bound.kind == "at_least" and asked < limit - _SLACK_MM:
        message = (
            f"Your gap of {gap_mm(asked)} is under the {gap_mm(limit)} of the {bound.rule} rule:"
            f" {bound.why}."
        )
        return Finding(name, bound.rule, "warn", message, asked, limit, "[mould] gap")
    if bound.kind == "at_most" and asked > limit + _SLACK_MM:
        message = f"Your gap of {gap_mm(asked)} is too wide: {bound.why}."
        return Finding(name, bound.rule, "stop", message, asked, limit, "[mould] gap")
    return None


def _of_habit(gap: Gap, question: GapQuestion) -> Iterator[Finding]:
    """A reckoned gap that is narrower than the trade's, with no castings to back it."""
    if gap.gap_mm is None or question.learned.castings:
        return
    for bound in gap.bounds:
        if bound.kind == "advice" and bound.value_mm is not None and gap.gap_mm < bound.value_mm:
            message = (
                f"The reckoned gap of {gap_mm(gap.gap_mm)} is narrower than usual:"
                f" {bound.why}. No casting backs it yet; cast one mould first and log it."
            )
            yield Finding(
                f"gap.{bound.rule}", bound.rule, "warn", message, gap.gap_mm, bound.value_mm, "gap"
            )


def _of_small_bubbles(question: GapQuestion) -> Iterator[Finding]:
    """The free bubbles that stay in at any gap, for the pot to shrink."""
    resin = at_shop(question.resin, question.pour)
    if resin.gelled:
        return
    height = question.insert.length_mm
    smallest = smallest_free_bubble_mm(height, resin)
    message = (
        f"Loose bubbles under {gap_mm(smallest)} do not climb {mm(height)} before the gel, whatever"
        " the gap; only pressure makes them small."
    )
    yield Finding("gap.bubbles", "air", "note", message, limit=smallest, place="resin")
