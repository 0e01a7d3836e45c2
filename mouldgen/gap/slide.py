"""slide: the thickest insert of the batch must enter the bore."""

from __future__ import annotations

from typing import TYPE_CHECKING

from mouldgen.finding import Bound
from mouldgen.gap.take_up import TakeUp, take_up, take_up_relax
from mouldgen.gap.words import NOTHING_MM, gap_mm, mm

if TYPE_CHECKING:
    from mouldgen.gap.question import GapQuestion


def slide(question: GapQuestion) -> Bound:
    """The take-up and a sliding clearance; the drawn insert has to slide in as well."""
    taken = take_up(question)
    return Bound(
        rule="slide",
        kind="at_least",
        value_mm=slide_mm(question, taken),
        why=_why(question, taken),
        source="published: prediction limit of a normal sample, over all moulds (Bonferroni);"
        " belief: a spread of 0.15 mm worth four readings",
        relax=(
            *take_up_relax(question, taken),
            "print a gauge and give the printer's real undersize and clearance",
        ),
    )


def slide_mm(question: GapQuestion, taken: TakeUp) -> float:
    """The rule's value, which is also how far off centre an insert may sit [mm]."""
    return max(0.0, taken.total_mm) + question.printer.clearance


def _why(question: GapQuestion, taken: TakeUp) -> str:
    drawn = 2.0 * question.insert.envelope_mm
    which = (
        f"the thickest insert measures {taken.thickest_mm:.2f} mm"
        if taken.all_measured
        else f"the thickest of {question.moulds} inserts is expected at {taken.thickest_mm:.2f} mm"
    )
    over, clearance = taken.thickness_mm, question.printer.clearance
    side = f"{gap_mm(abs(over))} a side {'under' if over < 0 else 'over'} the drawn {mm(drawn)}"
    parts = [
        f"{which}, {'as drawn' if abs(over) < NOTHING_MM else side}",
        f"the printer's bores come out {gap_mm(taken.undersize_mm)} a side narrow",
    ]
    if taken.bow_mm:
        parts.append(f"the insert bows {gap_mm(taken.bow_mm)}")
    slides = f"{gap_mm(clearance)} lets it slide" if clearance else "no clearance is asked for"
    return ", ".join(parts) + f", and {slides}"
