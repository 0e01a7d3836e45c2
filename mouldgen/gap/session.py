"""How many moulds one batch of resin can fill before they must be under pressure."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

from mouldgen.gap.aging import at_shop
from mouldgen.gap.air import air

if TYPE_CHECKING:
    from mouldgen.gap.question import GapQuestion

_SECOND = 1.0


def latest_close_s(question: GapQuestion, gap_mm: float) -> float:
    """Latest moment to close the moulds at which air still clears the gap, from mixing [s].

    0 where it does at no time after mixing.

    gap_mm : between the bore and the round that encloses the insert [mm].
    """

    def clears(close_s: float) -> bool:
        pour = question.pour.model_copy(update={"close": close_s})
        asks = air(replace(question, pour=pour)).value_mm
        return asks is not None and asks <= gap_mm

    low, high = question.pour.mix, at_shop(question.resin, question.pour).gel_s
    if low >= high or not clears(low):
        return 0.0
    while high - low > _SECOND:
        middle = 0.5 * (low + high)
        low, high = (middle, high) if clears(middle) else (low, middle)
    return low


def moulds_per_session(question: GapQuestion, gap_mm: float, *, each_s: float) -> int:
    """How many moulds are filled between the end of mixing and the latest close.

    gap_mm : of the moulds [mm].
    each_s : that filling one mould takes, its insert pushed home [s].
    """
    time = latest_close_s(question, gap_mm) - question.pour.mix
    return max(0, math.floor(time / each_s))
