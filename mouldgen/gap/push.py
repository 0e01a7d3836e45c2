"""push: the insert must go home through the resin that is already in the mould."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from mouldgen.finding import Bound
from mouldgen.gap.aging import ShopResin, at_shop
from mouldgen.gap.air import GEL_RELAX, gelled
from mouldgen.gap.along import passages
from mouldgen.gap.passage import least_gap_mm, passage_of
from mouldgen.gap.reach import LARGEST_GAP_MM
from mouldgen.gap.take_up import take_up, take_up_relax, taken_clause
from mouldgen.gap.words import NOTHING_MM, gap_mm, mm

if TYPE_CHECKING:
    from mouldgen.gap.question import GapQuestion


def push(question: GapQuestion) -> Bound:
    """The least gap for the maker's force and time, and the take-up.

    The displaced resin comes back up through gap, flutes and vent grooves.  The viscosity is that
    at closing, the thickest it will be while someone pushes.  Where the mould is filled in layers,
    only the first is in it when the insert goes home.
    """
    resin = at_shop(question.resin, question.pour)
    if resin.gelled:
        return replace(_bound(question, None, gelled(resin)), relax=GEL_RELAX)
    pour = question.pour
    effort = f"pushing the insert {mm(question.layer_mm)} home with {pour.push:g} N"
    effort += f" in {pour.push_time:g} s"
    needed = push_gap_mm(question, resin)
    if needed > LARGEST_GAP_MM:
        why = f"{effort} is not possible in any gap up to {mm(LARGEST_GAP_MM)}"
        return _bound(question, None, f"{why}: the resin has thickened to {_thickness(resin)}")
    taken = take_up(question)
    why = (
        f"{effort} needs {_asks(question, needed)} in resin that has thickened to"
        f" {_thickness(resin)}, {taken_clause(taken)}"
    )
    return _bound(question, max(0.0, needed + taken.total_mm), why)


def push_gap_mm(question: GapQuestion, resin: ShopResin) -> float:
    """Open gap through which the insert goes home [mm]; 0 where hollows alone do, may be inf.

    From ``t = C mu L^2/(2 F)``; only the lowest layer is in resin while it is pushed.

    resin : not yet gelled.
    """
    pour, length = question.pour, question.layer_mm / 1000.0
    drag = 2.0 * pour.push * pour.push_time / (resin.viscosity_pa_s * length**2)
    return least_gap_mm(passages(question)[0].drag, drag)


def _asks(question: GapQuestion, needed_mm: float) -> str:
    insert = question.insert
    hollow = insert.corners_mm or insert.holes or passage_of(question).grooves
    if needed_mm < NOTHING_MM and hollow:
        return "no more than flutes, flats and grooves"
    return gap_mm(needed_mm)


def _thickness(resin: ShopResin) -> str:
    return f"{resin.viscosity_pa_s:.3g} Pa s"


def _bound(question: GapQuestion, value_mm: float | None, why: str) -> Bound:
    return Bound(
        rule="push",
        kind="at_least",
        value_mm=value_mm,
        why=why,
        source="published: falling cylinder (Lohrenz, Swift & Kurata 1960; Bird, Stewart &"
        " Lightfoot 2C.4); our own: flutes, vent grooves and sections that are no round; belief:"
        " the curve of the cure",
        relax=(
            "push harder or for longer",
            "close the mould sooner",
            *take_up_relax(question, take_up(question)),
        ),
    )
