"""turn: the blank must clean up to the finished piece."""

from __future__ import annotations

from typing import TYPE_CHECKING

from mouldgen.finding import Bound
from mouldgen.gap.slide import slide_mm
from mouldgen.gap.take_up import take_up
from mouldgen.gap.words import gap_mm, mm

if TYPE_CHECKING:
    from mouldgen.gap.question import GapQuestion


def turn(question: GapQuestion) -> Bound:
    """``R_bore - undersize/2 >= R_piece + turning + play``.

    The sockets that centre the insert admit the thickest one, so an insert may sit as far off
    centre as the slide rule's value.
    """
    play = slide_mm(question, take_up(question))
    narrow = question.printer.undersize / 2.0
    radius = question.piece.diameter / 2.0 + question.turning_mm + play + narrow
    envelope = question.insert.envelope_mm
    asks = (
        f"a piece of {mm(question.piece.diameter)} with {mm(question.turning_mm)} a side to turn"
        f" off, {gap_mm(play)} that an insert may sit off centre and {gap_mm(narrow)} a side that"
        f" the bore prints narrow ask for a bore of {2.0 * radius:.2f} mm"
    )
    spare = f", less than the insert's own {mm(2.0 * envelope)}" if radius <= envelope else ""
    return Bound(
        rule="turn",
        kind="at_least",
        value_mm=max(0.0, radius - envelope),
        why=asks + spare,
        source="geometry; the turning allowance is the maker's, or common practice",
        relax=("turn less off", "centre the inserts better: measure them all"),
    )
