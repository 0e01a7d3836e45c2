"""fits: the mould must go into the pot and each part onto the bed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from mouldgen.errors import InternalError
from mouldgen.finding import Bound
from mouldgen.gap.slide import slide_mm
from mouldgen.gap.take_up import take_up
from mouldgen.gap.words import mm

if TYPE_CHECKING:
    from mouldgen.gap.question import GapQuestion
    from mouldgen.job.model import Pot, Printer
    from mouldgen.size.cup import Size

_TOLERANCE_MM = 1e-6
_POT = "cast in a larger pot, or without one"
_BED = "print on a larger bed"
_PRINTER = "print on a taller printer"
_FILL = "make the fill height smaller"


@dataclass(frozen=True, eq=False)
class Obstacle:
    """What the mould is too large for.

    clause : the sentence's end.
    relax : what would make room.
    """

    clause: str
    relax: tuple[str, ...]


def fits(question: GapQuestion) -> Bound:
    """The widest gap at which the mould still goes into the pot and onto the bed."""
    narrow = slide_mm(question, take_up(question))
    obstacle = _obstacle(question, narrow)
    if obstacle is not None:
        why = f"even at a gap of {narrow:.2f} mm, which the insert needs to enter, "
        return _bound(None, why + obstacle.clause, obstacle)
    widest, obstacle = _widest(question, narrow)
    return _bound(widest, f"above {widest:.2f} mm {obstacle.clause}", obstacle)


def _widest(question: GapQuestion, narrow: float) -> tuple[float, Obstacle]:
    """The largest gap without an obstacle, by bisection, and the obstacle just above it."""
    low, high = narrow, narrow + _bed_width(question.printer)
    obstacle = _obstacle(question, high)
    if obstacle is None:
        raise InternalError("a mould with a gap as wide as the bed fits on the bed")
    while high - low > _TOLERANCE_MM:
        middle = 0.5 * (low + high)
        found = _obstacle(question, middle)
        if found is None:
            low = middle
        else:
            high, obstacle = middle, found
    return low, obstacle


def _obstacle(question: GapQuestion, gap: float) -> Obstacle | None:
    """What the mould is too large for at a gap [mm]; None where it fits."""
    size = question.size(gap)
    in_pot = _obstacle_in_pot(question.pot, size) if question.pot is not None else None
    return in_pot or _obstacle_on_bed(question.printer, size)


def _obstacle_in_pot(pot: Pot, size: Size) -> Obstacle | None:
    wide, high = 2.0 * size.lid_reach_mm, size.stack_height_mm
    if high > pot.height:
        clause = f"the closed mould is {mm(high)} high and the pot takes {mm(pot.height)}"
        return Obstacle(clause, (_POT, _FILL))
    free = pot.diameter - 2.0 * pot.margin
    if wide > free:
        return Obstacle(f"the lid is wider than the {mm(free)} that the pot leaves", (_POT,))
    return None


def _obstacle_on_bed(printer: Printer, size: Size) -> Obstacle | None:
    wide = 2.0 * max(size.reach_mm, size.lid_reach_mm)
    high = max(size.body_height_mm, size.lid_height_mm)
    if high > printer.height:
        clause = f"the cup is {mm(high)} high and the printer takes {mm(printer.height)}"
        return Obstacle(clause, (_PRINTER, _FILL))
    free = _bed_width(printer) - 2.0 * printer.margin
    if wide > free:
        return Obstacle(f"the lid is wider than the {mm(free)} that the bed leaves", (_BED,))
    return None


def _bed_width(printer: Printer) -> float:
    """Diameter of the largest round part's bed, edge included [mm]."""
    sides = (printer.diameter,) if printer.shape == "round" else (printer.width, printer.depth)
    return min(side for side in sides if side is not None)


def _bound(value_mm: float | None, why: str, obstacle: Obstacle) -> Bound:
    return Bound(
        rule="fits",
        kind="at_most",
        value_mm=value_mm,
        why=why,
        source="geometry of the pot and the printer",
        relax=obstacle.relax,
    )
