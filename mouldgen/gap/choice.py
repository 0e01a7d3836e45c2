"""The smallest gap that meets every bound, or why there is none."""

from __future__ import annotations

import math
from dataclasses import dataclass

from mouldgen.finding import Bound
from mouldgen.gap.words import gap_mm, most_mm

STEP_MM = 0.01  # gaps are given to a hundredth, rounded up


@dataclass(frozen=True, eq=False)
class Choice:
    """What follows from the bounds alone.

    gap_mm : the gap, or None in a conflict [mm].
    set_by : the rule that asks for the most.
    conflict : one sentence a contradiction, or None.
    contested : the bounds that the conflict is between.
    """

    gap_mm: float | None
    set_by: str
    conflict: str | None
    contested: tuple[Bound, ...] = ()


def choose(bounds: tuple[Bound, ...]) -> Choice:
    """The smallest gap that meets every at-least, where no at-most lies below it."""
    impossible = tuple(b for b in bounds if b.kind != "advice" and b.value_mm is None)
    if impossible:
        sentences = dict.fromkeys(sentence(bound.why) for bound in impossible)
        return Choice(None, impossible[0].rule, " ".join(sentences), impossible)
    least = max((b for b in bounds if b.kind == "at_least"), key=_value)
    gap = round_up(_value(least))
    over = tuple(b for b in bounds if b.kind == "at_most" and _value(b) < gap)
    if over:
        most = min(over, key=_value)
        told = (
            f"{least.rule} asks for at least {gap_mm(gap)} and {most.rule} allows at most"
            f" {most_mm(_value(most))}: {least.why}; {most.why}"
        )
        return Choice(None, least.rule, sentence(told), (least, most))
    return Choice(gap, least.rule, None)


def round_up(length_mm: float) -> float:
    """To the next hundredth, forgiving what rounding in floats adds [mm].

    length_mm : any length [mm].
    """
    return round(math.ceil(length_mm / STEP_MM - 1e-6) * STEP_MM, 2)


def sentence(clause: str) -> str:
    """A clause as a sentence: capital letter, full stop."""
    return f"{clause[:1].upper()}{clause[1:].rstrip('.')}."


def _value(bound: Bound) -> float:
    return math.inf if bound.value_mm is None else bound.value_mm
