"""fits: the mould must go into the pot and each part onto the bed."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from mouldgen.errors import InternalError
from mouldgen.finding import Bound
from mouldgen.gap.slide import slide_mm
from mouldgen.gap.take_up import take_up
from mouldgen.gap.words import mm, most_mm

if TYPE_CHECKING:
    from mouldgen.gap.question import GapQuestion
    from mouldgen.job.shop_tables import Pot, Printer
    from mouldgen.size import Size
    from mouldgen.size.mould_size import MouldSize

_TOLERANCE_MM = 1e-6
_POT = "cast in a larger pot, or without one"
_BED = "print on a larger bed"
_PRINTER = "print on a taller printer"
_FILL = "make the fill height smaller"
_CELLS = "take fewer cells: [mould] cells"


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
    return _bound(widest, f"above {most_mm(widest)} {obstacle.clause}", obstacle)


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
    if question.sizes.lies:
        return obstacle_of_sides(question.mould_size(gap), question)
    size = question.size(gap)
    if size.sides_mm is not None:
        return obstacle_of_sides(size, question)
    in_pot = _obstacle_in_pot(question.pot, size) if question.pot is not None else None
    return in_pot or _obstacle_on_bed(question.printer, size)


def _obstacle_in_pot(pot: Pot, size: Size) -> Obstacle | None:
    wide, high = 2.0 * size.across_mm, size.stack_height_mm
    if high > pot.usable_mm:
        funnel = " with its funnel" if size.runner else ""
        clause = (
            f"the closed mould{funnel} is {mm(high)} high and the pot takes {mm(pot.usable_mm)}"
        )
        return Obstacle(clause, (_POT, _FILL))
    free = pot.diameter - 2.0 * pot.margin
    if wide > free:
        clause = f"the {_widest_part(size)} is wider than {_left(free, 'pot')}"
        return Obstacle(clause, (_POT,))
    return None


def _obstacle_on_bed(printer: Printer, size: Size) -> Obstacle | None:
    if size.lies_mm is not None:
        width, length, high = size.lies_mm
        if size.lid_height_mm > max(high, printer.height):
            clause = f"the lid is {mm(size.lid_height_mm)} high"
            return Obstacle(f"{clause} and the printer takes {mm(printer.height)}", (_PRINTER,))
        return _obstacle_lying(printer, (width, length, high), _lying(size))
    wide = 2.0 * size.across_mm
    high = max(size.body_height_mm, size.lid_height_mm)
    if high > printer.height:
        clause = f"the cup is {mm(high)} high and the printer takes {mm(printer.height)}"
        return Obstacle(clause, (_PRINTER, _FILL))
    free = _bed_width(printer) - 2.0 * printer.margin
    if wide > free:
        clause = f"the {_widest_part(size)} is wider than {_left(free, 'bed')}"
        return Obstacle(clause, (_BED,))
    return None


def _left(free: float, of: str) -> str:
    """What pot or bed leaves within its margins [mm], which may be nothing."""
    return f"the {mm(free)} that the {of} leaves" if free > 0.0 else f"the {of} within its margins"


def obstacle_of_sides(size: MouldSize, question: GapQuestion) -> Obstacle | None:
    """What a mould that covers a rectangle is too large for; None where it fits.

    A pot takes it by its diagonal, and so does a round bed; a rectangular one by its sides.

    size : with its sides.
    question : with pot and printer.
    """
    pot, printer, family = question.pot, question.printer, question.sizes.family
    wide, sides = 2.0 * size.across_mm, sorted(size.sides_mm or (0.0, 0.0))
    name = f"{family} of {mm(sides[0])} x {mm(sides[1])}"
    if pot is not None and size.stack_height_mm > pot.usable_mm:
        clause = f"the closed mould is {mm(size.stack_height_mm)} high and the pot takes"
        return Obstacle(f"{clause} {mm(pot.usable_mm)}", (_POT, _FILL))
    if pot is not None and wide > (free := pot.diameter - 2.0 * pot.margin):
        clause = f"the {name} is {mm(wide)} from corner to corner and the pot leaves"
        return Obstacle(f"{clause} {mm(max(0.0, free))}", (_POT, _CELLS))
    high = max(size.body_height_mm, size.lid_height_mm)
    if high > printer.height:
        clause = f"the {family} is {mm(high)} high and the printer takes {mm(printer.height)}"
        return Obstacle(clause, (_PRINTER, _FILL))
    if printer.shape == "round":
        fits_on = wide <= _bed_width(printer) - 2.0 * printer.margin
    else:
        bed = sorted((printer.width or 0.0, printer.depth or 0.0))
        fits_on = all(
            side <= room - 2.0 * printer.margin for side, room in zip(sides, bed, strict=True)
        )
    if not fits_on:
        return Obstacle(f"the {name} does not lie on the bed", (_BED, _CELLS))
    return None


def _widest_part(size: Size) -> str:
    return "lid" if size.lid_reach_mm >= size.across_mm else "mould"


def _lying(size: Size) -> tuple[str, str]:
    """What takes more of the bed than a round would, and a word on how it lies."""
    return ("a half", ", lying") if size.halves else ("the box for the rubber", "")


def _obstacle_lying(
    printer: Printer, lies: tuple[float, float, float], words: tuple[str, str]
) -> Obstacle | None:
    """What a part that is no round is too large for; it may be turned by a quarter."""
    width, length, high = lies
    what, how = words
    if high > printer.height:
        clause = f"{what} is {mm(high)} high{how}, and the printer takes {mm(printer.height)}"
        return Obstacle(clause, (_PRINTER,))
    free = 2.0 * printer.margin
    if printer.diameter is not None and printer.shape == "round":
        room = math.hypot(width, length) <= printer.diameter - free
    else:
        sides = sorted(side - free for side in (printer.width, printer.depth) if side is not None)
        room = all(a <= b for a, b in zip(sorted((width, length)), sides, strict=True))
    if room:
        return None
    size = f"{mm(width)} x {mm(length)}"
    return Obstacle(f"{what} is {size}{how}, and the bed has no room for that", (_BED, _FILL))


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
