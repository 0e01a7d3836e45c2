"""budget: what the resin of all moulds may cost."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from mouldgen.finding import Bound
from mouldgen.gap.reach import LARGEST_GAP_MM
from mouldgen.gap.slide import slide_mm
from mouldgen.gap.take_up import take_up
from mouldgen.gap.words import gap_mm, most_mm
from mouldgen.job.mixed import mixed_g_ml

if TYPE_CHECKING:
    from mouldgen.gap.question import GapQuestion

_TOLERANCE_MM = 1e-6


def resin_cost(question: GapQuestion, gap_mm: float) -> float | None:
    """What the resin of all moulds costs with its loss, at a gap [mm]; None without a price.

    Bore less insert, riser and vent grooves up to the level.  Pips, legs and ribs, which take a
    few percent away, are left out, and so is the rounding to the scale.
    """
    price = question.resin.price
    if price is None:
        return None
    size, resin = question.mould_size(gap_mm), question.resin
    groove = question.sizes.groove_mm
    grooves = question.vent_grooves * 0.5 * math.pi * groove**2 * size.level_mm / 1000.0
    poured = size.net_ml + size.riser_ml + grooves
    blanks = -(-question.moulds // size.blanks) * size.blanks  # whole moulds are filled
    mixed = blanks * poured * (1.0 + resin.loss)
    amount, per = price
    if per == "ml":
        return amount * mixed
    return amount * mixed * mixed_g_ml(resin)


def cost(question: GapQuestion) -> Bound | None:
    """The widest gap whose resin is within the budget; None where there is none."""
    most = question.resin_budget
    narrow = max(slide_mm(question, take_up(question)), _TOLERANCE_MM)
    least = resin_cost(question, narrow)
    if most is None or least is None:
        return None
    for_all = f"resin for {question.moulds} moulds"
    if least > most:
        why = f"even at {gap_mm(narrow)}, which the insert needs to enter, {for_all} costs"
        return _bound(None, f"{why} {least:.2f} and the budget is {most:.2f}")
    low, high = narrow, LARGEST_GAP_MM
    if (resin_cost(question, high) or 0.0) <= most:
        return _bound(math.inf, f"{for_all} stays within {most:.2f} at any gap")
    while high - low > _TOLERANCE_MM:
        middle = 0.5 * (low + high)
        affordable = (resin_cost(question, middle) or 0.0) <= most
        low, high = (middle, high) if affordable else (low, middle)
    return _bound(low, f"above {most_mm(low)} {for_all} costs more than {most:.2f}")


def _bound(value_mm: float | None, why: str) -> Bound:
    return Bound(
        rule="budget",
        kind="at_most",
        value_mm=value_mm,
        why=why,
        source="the maker's budget and price; closed form of the volumes",
        relax=("give more for the resin, or find it cheaper", "start fewer moulds"),
    )
