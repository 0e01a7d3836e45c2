"""The cut list on the job sheet: what is done to a blank at saw and lathe."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from mouldgen.sheet.lathe_words import lathe_line, piece_line
from mouldgen.sheet.parts.shown import mm, share
from mouldgen.sheet.parts.work import SheetWork
from mouldgen.sheet.sheet_data import Facts, Item, Part, Pencil, Told, Value

if TYPE_CHECKING:
    from mouldgen.shop.cut_list import CutList


def cuts_part(work: SheetWork) -> Part | None:
    """Facing, marks, drill and tap; None in a conflict."""
    found, cuts = work.found, work.found.cuts
    if cuts is None:
        return None
    items: list[Item] = []
    if cuts.stack.spare_mm >= 0.0:
        line = lathe_line(cuts, inches=work.inches, tenon_mm=work.job.mould.tenon)
        items.append(Told(Value("cuts.line", line[0].upper() + line[1:]), loud=True))
    items.append(Facts("Cut list", tuple(_rows(work, cuts))))
    if found.piece is not None:
        items.append(Told(Value("cuts.piece", piece_line(found))))
    items.append(Pencil(("turned on", "by")))
    return Part("cuts", Value("cuts.title", "Cut list"), tuple(items))


def _rows(work: SheetWork, cuts: CutList) -> Iterator[tuple[str, tuple[Value, ...]]]:
    stack, inches = cuts.stack, work.inches
    first, other = ("top", "bottom") if cuts.from_top else ("bottom", "top")
    yield "blank", (mm("cuts.blank_mm", stack.blank_mm, inches=inches),)
    yield f"face off the {first}, as cast", (mm("cuts.first_mm", cuts.first_mm, inches=inches),)
    if cuts.marks_mm:
        yield (
            "saw marks from there",
            tuple(
                mm(f"cuts.mark.{at}", mark, inches=inches) for at, mark in enumerate(cuts.marks_mm)
            ),
        )
    yield f"waste at the {other}", (mm("cuts.other_mm", cuts.other_mm, inches=inches),)
    yield "finished length", (mm("cuts.piece_mm", stack.piece_mm, inches=inches),)
    yield "to spare", (mm("cuts.spare_mm", round(stack.spare_mm, 2), inches=inches),)
    hole = cuts.hole
    if hole is None:
        return
    yield "drill", (mm("cuts.drill_mm", hole.drill_mm, inches=inches),)
    if hole.through:
        yield "drilled", (Value("cuts.drilled_mm", "right through"),)
    else:
        yield "drilled deep", (mm("cuts.drilled_mm", hole.drilled_mm, inches=inches),)
        yield "stop after the point touches", (mm("cuts.stop_mm", hole.stop_mm, inches=inches),)
    if hole.thread is not None:
        yield "tap", (Value("cuts.thread", hole.thread.name, key="piece.thread"),)
    if cuts.percent is not None:
        yield "of a full thread", (share("cuts.percent", cuts.percent / 100.0),)
