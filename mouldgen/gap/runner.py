"""runner: the bore of the runner that a bottom feed needs, and the mould drawn with it."""

from __future__ import annotations

import math
from dataclasses import fields, replace
from typing import TYPE_CHECKING

from mouldgen.gap.feed import least_runner_mm
from mouldgen.gap.rules import least_of
from mouldgen.gap.sequence import BOTTOM_FEED
from mouldgen.size import SizeQuestion
from mouldgen.size.runner import LEAST_RUNNER_MM, MOST_RUNNER_MM, STEP_MM, RunnerQuestion

if TYPE_CHECKING:
    from mouldgen.gap.question import GapQuestion

ROUND = ("cup", "contour")  # families that a runner can stand beside


def as_poured(question: GapQuestion) -> GapQuestion:
    """The same question with a runner where the mould is fed from the bottom, and else without.

    Raises JobError as the sizes do.
    """
    if question.pour.sequence == BOTTOM_FEED:
        return with_runner(question)
    sizes = question.sizes
    if not sizes.has_runner:
        return question
    if sizes.family in ROUND or not isinstance(sizes, RunnerQuestion):
        known = {field.name: getattr(sizes, field.name) for field in fields(SizeQuestion)}
        return replace(question, sizes=SizeQuestion(**known))
    return replace(question, sizes=replace(sizes, runner_mm=0.0))


def with_runner(question: GapQuestion) -> GapQuestion:
    """The same question about a mould with a runner, where its family has one.

    What asks for a gap does not depend on the runner's bore, but the bore on the gap: so the gap
    is found first.

    Raises JobError as the sizes do.
    """
    sizes = question.sizes
    if isinstance(sizes, RunnerQuestion):  # a split mould, which can have one
        sizes = replace(sizes, runner_mm=LEAST_RUNNER_MM)
    elif sizes.family in ROUND:
        known = {field.name: getattr(sizes, field.name) for field in fields(SizeQuestion)}
        sizes = RunnerQuestion(**known, runner_mm=LEAST_RUNNER_MM)
    else:
        return question
    fed = replace(question, sizes=sizes)
    gap = least_of(fed) if question.given_mm is None else question.given_mm
    if gap is None:
        return fed
    return replace(fed, sizes=replace(sizes, runner_mm=runner_bore_mm(fed, gap)))


def runner_bore_mm(question: GapQuestion, gap_mm: float) -> float:
    """Bore to draw: what half of the time takes, and never less than the trade's least [mm].

    gap_mm : between the bore and the round that encloses the insert [mm].
    """
    least = least_runner_mm(question, gap_mm)
    steps = math.ceil(min(least, MOST_RUNNER_MM) / STEP_MM - 1e-9)
    return max(LEAST_RUNNER_MM, steps * STEP_MM)
