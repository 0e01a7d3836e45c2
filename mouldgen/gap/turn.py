"""turn: the blank must clean up to the finished piece."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from mouldgen.finding import Bound
from mouldgen.gap.slide import slide_mm
from mouldgen.gap.take_up import take_up
from mouldgen.gap.words import gap_mm, mm
from mouldgen.job.outline import outline_of

if TYPE_CHECKING:
    from mouldgen.gap.question import GapQuestion


def turn(question: GapQuestion) -> Bound:
    """``R_bore - undersize/2 >= R_piece + turning + play``, all along the piece's outline.

    The sockets that centre the insert admit the thickest one, so an insert may sit as far off
    centre as the slide rule's value.  Where a bore has a draft it opens upward; the gap is asked
    for at the insert's foot.
    """
    play = slide_mm(question, take_up(question))
    narrow = question.printer.undersize / 2.0
    if question.sizes.outline_mm:
        return _followed(question, play + narrow)
    widest, wider = _asks_most(question)
    radius = widest + question.turning_mm + play + narrow
    envelope = question.insert.envelope_mm + wider
    asks = (
        f"a piece of {mm(2.0 * widest)} with {mm(question.turning_mm)} a side to turn"
        f" off, {gap_mm(play)} that an insert may sit off centre and {gap_mm(narrow)} a side that"
        f" the bore prints narrow ask for a bore of {2.0 * radius:.2f} mm"
    )
    own = 2.0 * question.insert.envelope_mm
    spare = f", less than the insert's own {mm(own)}" if 2.0 * radius <= own else ""
    if wider:
        than = "wider" if wider > 0.0 else "narrower"
        spare += f", where the draft has it {gap_mm(2.0 * abs(wider))} {than} than at the foot"
    return Bound(
        rule="turn",
        kind="at_least",
        value_mm=max(0.0, radius - envelope),
        why=asks + spare,
        source="geometry; the turning allowance is the maker's, or common practice",
        relax=("turn less off", "centre the inserts better: measure them all"),
    )


def allowed_outline(question: GapQuestion) -> tuple[tuple[float, float], ...]:
    """Height over the insert's foot and least radius of a bore that follows the outline [mm].

    The outline with what is turned off, what an insert may sit off centre and what the bore
    prints narrow.
    """
    play = slide_mm(question, take_up(question))
    more = question.turning_mm + play + question.printer.undersize / 2.0
    foot = (question.insert.length_mm - question.piece.length) / 2.0
    return tuple((foot + along, radius + more) for along, radius in outline_of(question.piece))


def _followed(question: GapQuestion, off_mm: float) -> Bound:
    why = (
        f"does not bind: the bore follows the outline, with {mm(question.turning_mm)} a side to"
        f" turn off and {gap_mm(off_mm)} that an insert may sit off centre or the bore print narrow"
    )
    source = "geometry; the turning allowance is the maker's, or common practice"
    return Bound("turn", "at_least", 0.0, why, source, ("turn less off",))


def _asks_most(question: GapQuestion) -> tuple[float, float]:
    """Radius of the piece where it asks for most, and how much wider the bore is there [mm]."""
    slope = math.tan(math.radians(question.sizes.draft_deg))
    # The piece stands midway along the insert.
    foot = (question.insert.length_mm - question.piece.length) / 2.0
    return max(
        ((radius, slope * (foot + along)) for along, radius in outline_of(question.piece)),
        key=lambda place: place[0] - place[1],
    )
