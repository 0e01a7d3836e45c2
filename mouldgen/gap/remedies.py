"""What a maker can change where no gap meets every rule, each tried by asking the rules again."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from mouldgen.gap.choice import Choice, choose
from mouldgen.gap.rules import bounds_of
from mouldgen.gap.take_up import take_up
from mouldgen.gap.words import minutes, mm

if TYPE_CHECKING:
    from mouldgen.gap.question import GapQuestion

SOONER_STEP_S = 120.0
SOONER_STEPS = 60
COOLER_STEPS_K = (4.0, 8.0)
COOLEST_SHOP = 15.0  # degC; resins mix and cure badly below
_ENDLESS_MM = 1e4

Trial = tuple[str, "GapQuestion"]


@dataclass(frozen=True, eq=False)
class Remedy:
    """One change and what it would allow.

    text : what to do.
    gap_mm : the gap that this alone would allow; None where it was not reckoned [mm].
    """

    text: str
    gap_mm: float | None


def remedies_of(question: GapQuestion, choice: Choice) -> tuple[Remedy, ...]:
    """The changes that would each resolve the conflict; else what would relax the rules in it."""
    found = [remedy for trials in _TRIALS for remedy in _worth_trying(trials(question))]
    found += [remedy for larger in (_larger_pot, _larger_bed) for remedy in larger(question)]
    if found:
        return tuple(found)
    texts = dict.fromkeys(text for bound in choice.contested for text in bound.relax)
    return tuple(Remedy(text, None) for text in texts)


def _worth_trying(trials: Iterator[Trial]) -> Iterator[Remedy]:
    """The smallest change that works and, if its gap is wide, the smallest to a usual one."""
    found = False
    for text, changed in trials:
        bounds = bounds_of(changed)
        gap = choose(bounds).gap_mm
        if gap is None:
            continue
        usual = gap <= max((b.value_mm or 0.0 for b in bounds if b.kind == "advice"), default=gap)
        if usual or not found:
            yield Remedy(text, gap)
        if usual:
            return
        found = True


def _close_sooner(question: GapQuestion) -> Iterator[Trial]:
    pour = question.pour
    for step in range(1, SOONER_STEPS + 1):
        close = pour.close - step * SOONER_STEP_S
        if close <= pour.mix:
            return
        text = f"close the mould {minutes(pour.close - close)} sooner, {minutes(close)} after"
        text += " mixing starts"
        yield text, replace(question, pour=pour.model_copy(update={"close": close}))


def _cooler_shop(question: GapQuestion) -> Iterator[Trial]:
    pour = question.pour
    for step in COOLER_STEPS_K:
        shop = pour.shop - step
        if shop >= COOLEST_SHOP:
            changed = replace(question, pour=pour.model_copy(update={"shop": shop}))
            yield f"cool the shop and the resin to {shop:g} degC", changed


def _push_harder(question: GapQuestion) -> Iterator[Trial]:
    pour = question.pour
    changed = replace(question, pour=pour.model_copy(update={"push": 2.0 * pour.push}))
    yield f"push with {2.0 * pour.push:g} N", changed


def _push_longer(question: GapQuestion) -> Iterator[Trial]:
    pour = question.pour
    changed = replace(question, pour=pour.model_copy(update={"push_time": 2.0 * pour.push_time}))
    yield f"push for {2.0 * pour.push_time:g} s", changed


def _measure_all(question: GapQuestion) -> Iterator[Trial]:
    if take_up(question).all_measured:
        return
    insert = question.insert
    largest = max(insert.measured_mm, default=2.0 * insert.envelope_mm)
    measured = replace(insert, measured_mm=(largest,) * question.moulds)
    text = f"measure all {question.moulds} inserts: enough if none is over {mm(largest)}"
    yield text, replace(question, insert=measured)


_TRIALS: tuple[Callable[[GapQuestion], Iterator[Trial]], ...] = (
    _close_sooner,
    _cooler_shop,
    _measure_all,
    _push_longer,
    _push_harder,
)


def _larger_pot(question: GapQuestion) -> Iterator[Remedy]:
    if question.pot is None:
        return
    gap = choose(bounds_of(replace(question, pot=None))).gap_mm
    if gap is not None:
        size = question.size(gap)
        wide = 2.0 * (size.lid_reach_mm + question.pot.margin)
        high = size.stack_height_mm
        text = f"cast in a pot at least {math.ceil(wide)} mm wide and {math.ceil(high)} mm high,"
        text += " or without one"
        yield Remedy(text, gap)


def _larger_bed(question: GapQuestion) -> Iterator[Remedy]:
    endless = {"width": _ENDLESS_MM, "depth": _ENDLESS_MM, "diameter": _ENDLESS_MM}
    printer = question.printer.model_copy(update={**endless, "height": _ENDLESS_MM})
    gap = choose(bounds_of(replace(question, printer=printer))).gap_mm
    if gap is not None:
        size = question.size(gap)
        wide = 2.0 * (max(size.reach_mm, size.lid_reach_mm) + question.printer.margin)
        high = max(size.body_height_mm, size.lid_height_mm)
        text = (
            f"print on a bed at least {math.ceil(wide)} mm wide with {math.ceil(high)} mm of height"
        )
        yield Remedy(text, gap)
