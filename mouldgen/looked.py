"""Moulds that were made are looked at, with the piece in them and the pour: a step of the flow."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from mouldgen.answer import Answer
from mouldgen.check.clear import clear
from mouldgen.check.piece import PieceMeasure, ends_mm, measure_piece, piece_findings
from mouldgen.check.pot import headroom_findings, pressure_findings
from mouldgen.check.poured import poured
from mouldgen.check.print_parts import print_parts
from mouldgen.check.prints import PrintCheck
from mouldgen.check.sealed import hole_in_hollow, sealed_hollow
from mouldgen.check.sound import sound
from mouldgen.finding import Finding
from mouldgen.job.model import Piece
from mouldgen.made import Made
from mouldgen.memo import Memo
from mouldgen.mould.parts import MouldParts
from mouldgen.shop.cut_list import CutList, cut_list
from mouldgen.size.hole import Hole, hole_of
from mouldgen.size.stack_up import stack_up

if TYPE_CHECKING:
    from mouldgen.mould.any_plan import AnyPlan


@dataclass(frozen=True, eq=False)
class Looked:
    """What was seen of moulds that were made, and of the piece that stands in them.

    least_mm : the least gap measured on the solids [mm].
    piece : what was measured on the finished piece.
    hole : on its axis, or None.
    cuts : what is done to a blank at saw and lathe.
    prints : what each part is like to print.
    findings : what is to be said of all that.
    """

    least_mm: float
    piece: PieceMeasure
    hole: Hole | None
    cuts: CutList
    prints: tuple[PrintCheck, ...]
    findings: tuple[Finding, ...]


def look_at(answer: Answer, made: Made, *, memo: Memo) -> Looked:
    """Measure the parts, look at how they print, and at the piece in them.

    answer : the closed forms.
    made : the moulds.
    memo : the caller's store of steps.
    """
    plan, parts, job = made.plan, made.parts, answer.job
    hole = hole_of(job.piece, answer.lathe)
    least_mm, piece, wrong = memo.step(check_parts, parts, plan, piece=job.piece, hole=hole)
    printed = memo.step(
        print_parts, parts, plan, line_mm=job.printer.line, layer_mm=job.printer.layer
    )
    stack = stack_up(
        job.piece,
        blank_mm=plan.blank_mm,
        facing_mm=answer.facing_mm,
        lathe=answer.lathe,
        pieces=job.piece.per_blank or 1,
    )
    from_top = job.piece.hole_from == "top"
    ends = ends_mm(plan, job.piece, from_top=from_top)
    of_piece = piece_findings(
        piece,
        piece=job.piece,
        hole=hole,
        plan=plan,
        poured=made.tried.proposed,
        stack=stack,
        lathe=answer.lathe,
    )
    of_prints = (finding for check in printed for finding in check.findings)
    return Looked(
        least_mm=least_mm,
        piece=piece,
        hole=hole,
        cuts=cut_list(stack, ends_mm=ends, from_top=from_top, hole=hole),
        prints=printed,
        findings=(*plan.remarks, *wrong, *of_prints, *of_piece),
    )


def check_parts(
    parts: MouldParts, plan: AnyPlan, *, piece: Piece, hole: Hole | None
) -> tuple[float, PieceMeasure, tuple[Finding, ...]]:
    """The measured least gap [mm], the piece as measured, and what is wrong with the parts.

    parts, plan : of one set.
    piece : the finished piece.
    hole : on its axis, or None.
    """
    clearance = clear(parts, plan, piece=piece)
    surfaces = [
        finding
        for part in (*parts.parts, *parts.cast)
        for finding in sound(part.mesh, name=part.name, genus=part.genus, shells=part.shells)
    ]
    measure = measure_piece(parts, plan, piece=piece, hole=hole)
    return clearance.least_mm, measure, (*surfaces, *clearance.findings)


def of_the_pour(answer: Answer, made: Made, *, hole: Hole | None) -> tuple[Finding, ...]:
    """What is to be said of shut-in air, of the pot, of using a mould again, and of a hollow.

    answer : the closed forms.
    made : the moulds, poured into.
    hole : on the axis of the finished piece, or None.
    """
    job, pressure_kpa = answer.job, answer.job.pour.pressure or 0.0
    return (
        *poured(made.tried, made.riser, pressure_kpa=pressure_kpa, over=made.over),
        *pressure_findings(job.pour, job.pot),
        *headroom_findings(made.plan.size, job.pot),
        *_reuse(answer),
        *sealed_hollow(answer.insert, pressure_kpa=pressure_kpa),
        *hole_in_hollow(job.insert, hole),
    )


def _reuse(answer: Answer) -> tuple[Finding, ...]:
    """How long the castings of a mould that is used again take, where the data sheet says."""
    if not answer.reused:
        return ()
    from mouldgen.check.reuse import rounds  # late: most moulds are turned away

    return rounds(answer.moulds, moulds=answer.printed, resin=answer.job.resin)
