"""cover: resin that stays over the insert in the finished piece, where it must not show."""

from __future__ import annotations

from typing import TYPE_CHECKING

from mouldgen.finding import Bound
from mouldgen.gap.slide import slide_mm
from mouldgen.gap.take_up import take_up
from mouldgen.gap.words import gap_mm, mm
from mouldgen.job.outline import least_mm, outline_of

if TYPE_CHECKING:
    from mouldgen.gap.question import GapQuestion


def cover(question: GapQuestion) -> Bound | None:
    """``R_bore - undersize/2 - turning >= R_insert + reach + cover``; None where none is asked for.

    The sockets admit the thickest insert, so no surface of any insert lies farther off the bore's
    axis than the drawn one by more than the slide rule's value: its reach.  Whatever the gap, the
    finished piece itself must be as wide as that and the cover (`least_piece_mm`), also where its
    outline is narrowest round the insert (`narrowest_mm`).
    """
    asked = question.piece.cover
    if asked is None:
        return None
    reach, narrow = slide_mm(question, take_up(question)), question.printer.undersize / 2.0
    over = (
        f"{gap_mm(asked)} of resin over an insert that may lie {gap_mm(reach)} nearer to the wall"
    )
    narrowest = narrowest_mm(question)
    if narrowest < least_piece_mm(question) - 1e-9:
        why = (
            f"{over} than drawn ask for a piece of {least_piece_mm(question):.2f} mm, and it is"
            f" turned to {mm(narrowest)}"
        )
        return _bound(None, why)
    value = asked + reach + question.turning_mm + narrow
    why = (
        f"{over} than drawn, with {mm(question.turning_mm)} a side to turn off and"
        f" {gap_mm(narrow)} a side that the bore prints narrow, ask for {gap_mm(value)}"
    )
    return _bound(value, why)


def narrowest_mm(question: GapQuestion) -> float:
    """Least diameter of the finished piece round the insert [mm]."""
    piece = question.piece
    # The piece stands midway along the insert; an insert that is shorter ends inside of it.
    short = max(0.0, (piece.length - question.insert.length_mm) / 2.0)
    return 2.0 * least_mm(outline_of(piece), start_mm=short, end_mm=piece.length - short)


def least_piece_mm(question: GapQuestion) -> float:
    """Diameter of the thinnest piece that keeps its cover [mm]."""
    reach = slide_mm(question, take_up(question))
    return 2.0 * (question.insert.envelope_mm + reach + (question.piece.cover or 0.0))


def _bound(value_mm: float | None, why: str) -> Bound:
    return Bound(
        rule="cover",
        kind="at_least",
        value_mm=value_mm,
        why=why,
        source="geometry; the cover is the maker's",
        relax=("take a thinner insert or a thicker piece", "centre the inserts better"),
    )
