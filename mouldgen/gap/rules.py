"""The rules of the gap, in the order in which they are shown.  A new rule is one line here."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from mouldgen.finding import Bound
from mouldgen.gap.air import air
from mouldgen.gap.choice import choose
from mouldgen.gap.cool import stays_cool
from mouldgen.gap.cost import cost
from mouldgen.gap.cover import cover
from mouldgen.gap.depth import depth
from mouldgen.gap.fits import fits
from mouldgen.gap.habit import habit
from mouldgen.gap.heat import heat
from mouldgen.gap.sequence import flow
from mouldgen.gap.slide import slide
from mouldgen.gap.turn import turn

if TYPE_CHECKING:
    from mouldgen.gap.question import GapQuestion

Rule = Callable[["GapQuestion"], Bound | None]

# A rule that the job does not ask for answers None.
BEFORE_FLOW: tuple[Rule, ...] = (slide, air)
AFTER_FLOW: tuple[Rule, ...] = (turn, cover)
AT_MOST: tuple[Rule, ...] = (depth, cost, fits)


def bounds_of(question: GapQuestion) -> tuple[Bound, ...]:
    """What every rule asks for."""
    least, light, advice = _light(question)
    gap = question.given_mm
    if gap is None:
        gap = choose((*least, *light)).gap_mm
    return (*least, heat(question, at_mm=gap), *light, *advice)


def gap_of(question: GapQuestion) -> float | None:
    """The gap that the bounds lead to, without reckoning how far heat would let it go [mm]."""
    least, light, _ = _light(question)
    gap = choose((*least, *light)).gap_mm
    return gap if gap is not None and stays_cool(question, gap) else None


def light_bounds(question: GapQuestion) -> tuple[Bound, ...]:
    """What every rule asks for but heat, which takes longer than all others, without advice."""
    least, light, _ = _light(question)
    return (*least, *light)


def least_of(question: GapQuestion) -> float | None:
    """The gap that all "at least" lead to, or None where one of them is never met [mm]."""
    least, _, _ = _light(question)
    return choose(least).gap_mm


def sequence_of(bounds: tuple[Bound, ...]) -> str:
    """The sequence of pouring that the bounds were reckoned for."""
    names = {"push": "resin-first", "feed": "bottom-feed"}
    return next((names[b.rule] for b in bounds if b.rule in names), "insert-first")


def _light(
    question: GapQuestion,
) -> tuple[tuple[Bound, ...], tuple[Bound, ...], tuple[Bound, ...]]:
    """At least, at most and advice, all but heat, which costs more than the others together."""
    if question.sizes.lies:
        return _light_lying(question)
    before = _told(BEFORE_FLOW, question)
    after = _told(AFTER_FLOW, question)
    found = flow(question, (*before, *after))
    advice = (habit(question), found.advice)
    return (*before, *found.bounds, *after), _told(AT_MOST, question), advice


def _light_lying(
    question: GapQuestion,
) -> tuple[tuple[Bound, ...], tuple[Bound, ...], tuple[Bound, ...]]:
    """The same for an insert that lies."""
    from mouldgen.gap.lying import lying_cover, lying_depth, lying_flow, lying_turn  # late: trays

    found = lying_flow(question)
    least = _told((*BEFORE_FLOW, lying_turn, lying_cover), question)
    most = _told((lying_depth, cost, fits), question)
    split = len(BEFORE_FLOW)
    return (
        (*least[:split], *found.bounds, *least[split:]),
        most,
        (habit(question), found.advice),
    )


def _told(rules: tuple[Rule, ...], question: GapQuestion) -> tuple[Bound, ...]:
    return tuple(bound for rule in rules if (bound := rule(question)) is not None)
