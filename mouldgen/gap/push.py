"""push: the insert must go home through the resin that is already in the mould."""

from __future__ import annotations

from typing import TYPE_CHECKING

from mouldgen.finding import Bound
from mouldgen.gap.aging import ShopResin, at_shop
from mouldgen.gap.air import gelled
from mouldgen.gap.reach import LARGEST_GAP_MM
from mouldgen.gap.take_up import take_up, take_up_relax, taken_clause
from mouldgen.gap.words import gap_mm, mm
from mouldgen.physics.push import least_gap

if TYPE_CHECKING:
    from mouldgen.gap.question import GapQuestion


def push(question: GapQuestion) -> Bound:
    """The least gap for the maker's force and time, and the take-up.

    The insert counts as the circle that encloses it: flutes would let more resin past.  The
    viscosity is that at closing, the thickest it will be while someone pushes.
    """
    resin = at_shop(question.resin, question.pour)
    if resin.gelled:
        return _bound(question, None, gelled(resin))
    pour = question.pour
    effort = f"pushing the insert {mm(question.insert.length_mm)} home with {pour.push:g} N"
    effort += f" in {pour.push_time:g} s"
    needed = push_gap_mm(question, resin)
    if needed > LARGEST_GAP_MM:
        why = f"{effort} is not possible in any gap up to {mm(LARGEST_GAP_MM)}"
        return _bound(question, None, f"{why}: the resin has thickened to {_thickness(resin)}")
    taken = take_up(question)
    why = (
        f"{effort} needs {gap_mm(needed)} in resin that has thickened to {_thickness(resin)},"
        f" {taken_clause(taken)}"
    )
    return _bound(question, max(0.0, needed + taken.total_mm), why)


def push_gap_mm(question: GapQuestion, resin: ShopResin) -> float:
    """Open gap through which the insert goes home [mm]; may be inf.

    resin : not yet gelled.
    """
    return 1000.0 * least_gap(
        question.insert.envelope_mm / 1000.0,
        length=question.insert.length_mm / 1000.0,
        force=question.pour.push,
        time=question.pour.push_time,
        viscosity=resin.viscosity_pa_s,
    )


def _thickness(resin: ShopResin) -> str:
    return f"{resin.viscosity_pa_s:.3g} Pa s"


def _bound(question: GapQuestion, value_mm: float | None, why: str) -> Bound:
    return Bound(
        rule="push",
        kind="at_least",
        value_mm=value_mm,
        why=why,
        source="published: falling cylinder (Lohrenz, Swift & Kurata 1960; Bird, Stewart &"
        " Lightfoot 2C.4); belief: the curve of the cure",
        relax=(
            "push harder or for longer",
            "close the mould sooner",
            *take_up_relax(question, take_up(question)),
        ),
    )
