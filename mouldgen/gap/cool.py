"""Whether a gap stays cool enough, without reckoning how far heat would let it go."""

from __future__ import annotations

from typing import TYPE_CHECKING

from mouldgen.gap.heat import data_sheet, heat, likely_way, limits_of, section
from mouldgen.physics.constants import ZERO_CELSIUS

if TYPE_CHECKING:
    from mouldgen.gap.question import GapQuestion


def stays_cool(question: GapQuestion, gap_mm: float) -> bool:
    """Whether the heat rule allows a gap; the same answer as its bound's, mostly sooner.

    gap_mm : between the bore and the round that encloses the insert [mm].
    """
    from mouldgen.physics.overheat import overheats

    shop, limits = question.pour.shop + ZERO_CELSIUS, limits_of(question)
    if shop < min(limits.wall, limits.resin) and overheats(
        data_sheet(question.resin),
        section(question, gap_mm),
        belief=likely_way(question.resin),
        air=shop,
        limits=limits,
    ):
        return False
    widest = heat(question, at_mm=gap_mm).value_mm
    return widest is not None and widest >= gap_mm
