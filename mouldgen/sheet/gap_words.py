"""The gap in words: what set it, what each rule asks for, and its picture."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

from mouldgen.finding import NOTHING_LEARNED
from mouldgen.sheet.plain_words import either, strict_gap
from mouldgen.sheet.plain_words import gap as gap_words
from mouldgen.units.beside import in_both

if TYPE_CHECKING:
    from mouldgen.answer import Answer
    from mouldgen.finding import Bound, Learned
    from mouldgen.gap.budget import Gap
    from mouldgen.job.model import Job

KINDS = {"at_least": "at least", "at_most": "at most", "advice": "advice"}


def answered(job: Job, *, learned: Learned = NOTHING_LEARNED) -> Answer:
    """The answer of the rules, with how far heat would really let the gap go.

    A build asks heat only whether it binds at the gap; a table, and a plot of what is too wide,
    need the true limit.

    learned : what castings have taught.
    """
    from mouldgen.answer import answer_job
    from mouldgen.gap.heat import heat

    answer = answer_job(job, learned=learned)
    gap = answer.gap
    if gap.gap_mm is None:  # heat was asked in full
        return answer
    bounds = tuple(heat(answer.question) if b.rule == "heat" else b for b in gap.bounds)
    return replace(answer, gap=replace(gap, bounds=bounds))


def first_sentence(gap: Gap, *, inches: bool) -> str:
    """The gap, what set it and what would narrow it; or why there is none."""
    return in_both(_first_sentence(gap, inches=inches), inches=inches)


def _first_sentence(gap: Gap, *, inches: bool) -> str:
    if gap.gap_mm is None:
        return f"No gap meets every rule. {gap.conflict}"
    asking = setting_bound(gap)
    size = gap_words(gap.gap_mm, inches=inches)
    if gap.set_by != asking.rule:
        return f"The gap is {size} all round, set by you; {_asked_for(asking, inches=inches)}."
    narrower = f" To narrow it: {either(asking.relax)}." if asking.relax else ""
    return f"The gap is {size} all round, set by {gap.set_by}: {asking.why}.{narrower}"


def _asked_for(bound: Bound, *, inches: bool) -> str:
    """What the rule that asks for the most would have had instead of the maker's own gap."""
    if bound.value_mm is None:
        return f"no gap meets {bound.rule}: {bound.why}"
    if bound.value_mm == 0.0:
        return "no rule asks for one"
    return f"{bound.rule} asks for {strict_gap(bound, inches=inches)}"


def setting_bound(gap: Gap) -> Bound:
    """The bound that asks for the most, also where the maker gave the gap."""
    least = [bound for bound in gap.bounds if bound.kind == "at_least"]
    named = [bound for bound in least if bound.rule == gap.set_by]
    return named[0] if named else max(least, key=_asks)


def bounds_drawing(gap: Gap, *, name: str) -> bytes:
    """The bounds of a gap as a picture.

    name : of the job.
    """
    from mouldgen.sheet.bounds_picture import bounds_svg

    asks = "why there is no gap" if gap.gap_mm is None else f"the gap is set by {gap.set_by}"
    title = f"{name}: {asks}"
    svg = bounds_svg(gap.bounds, gap_mm=gap.gap_mm, set_by=gap.set_by, title=title)
    return svg.encode()


def size_words(bound: Bound, *, inches: bool = False) -> str:
    """What a rule asks for as the table of all rules shows it [mm], or in inches.

    bound : any.
    inches : tell it in inches.
    """
    from mouldgen.sheet.bounds_picture import any_gap, shown

    if bound.value_mm is None:
        return "none"  # no gap satisfies the rule
    if any_gap(bound):
        return "" if bound.kind == "advice" else "any"
    size = shown(bound)
    # From the hundredth that is shown, as the gap's inches are: the two are read side by side.
    return f"{float(size) / 25.4:.3f}" if inches else size


def _asks(bound: Bound) -> float:
    return math.inf if bound.value_mm is None else bound.value_mm
