"""What is done to a blank at saw and lathe, in a few sentences."""

from __future__ import annotations

from typing import TYPE_CHECKING

from mouldgen.sheet.plain_words import length, percent

if TYPE_CHECKING:
    from mouldgen.mould_set import MouldSet
    from mouldgen.shop.cut_list import CutList
    from mouldgen.size.hole import Hole

_EXACT_MM = 0.005


def piece_line(found: MouldSet) -> str:
    """How much of the finished piece is resin, and how much resin is turned away; '' for none.

    found : the set.
    """
    measure, resin = found.piece, found.amounts
    if measure is None or resin is None:
        return ""
    piece, inches = found.answer.job.piece, found.answer.job.unit == "in"
    size = f"{length(piece.diameter, inches=inches)} x {length(piece.length, inches=inches)}"
    ribbons = measure.ribbons_ml(resin.per_mould_ml) / resin.per_mould_ml
    return (
        f"{size}, {percent(measure.resin_share)} of it resin; {percent(ribbons)} of the resin in a"
        " mould is turned to ribbons."
    )


def lathe_line(cuts: CutList, *, inches: bool, tenon_mm: float | None = None) -> str:
    """The cut list in short.

    cuts : of one blank.
    inches : whether the job is in inches.
    tenon_mm : diameter of a tenon at its bottom end, or None [mm].
    """
    stack = cuts.stack

    def told(mm: float) -> str:
        return length(mm, inches=inches)

    first, other = ("top", "bottom") if cuts.from_top else ("bottom", "top")
    face = f"the blank is {told(stack.blank_mm)} long; face {told(cuts.first_mm)} off the {first}"
    if stack.pieces > 1 and stack.grip_mm == 0.0:
        marks = ", ".join(told(mark) for mark in cuts.marks_mm)
        held = f" end, saw at {marks} from there, and face each to {told(stack.piece_mm)}."
    elif stack.grip_mm > 0.0:
        marks = " and ".join(told(mark) for mark in cuts.marks_mm)
        held = (
            f" end, part off at {marks} and face to {told(stack.piece_mm)}: the chuck holds"
            f" {told(stack.grip_mm)} of the {other} end."
        )
    elif tenon_mm is not None:
        bottom, top = (
            (cuts.other_mm, cuts.first_mm) if cuts.from_top else (cuts.first_mm, cuts.other_mm)
        )
        face = f"the blank is {told(stack.blank_mm)} long; face {told(top)} off the top"
        held = (
            f" end and part {told(bottom)} off the bottom, to {told(stack.piece_mm)}: the chuck"
            f" holds the tenon there, {told(tenon_mm)} across, which goes last."
        )
    else:
        held = (
            f" end and {told(cuts.other_mm)} off the {other}, to {told(stack.piece_mm)}, between"
            " centres or on a screw chuck."
        )
    if cuts.hole is None:
        return face + held
    return f"{face}{held} {_hole(cuts, cuts.hole, first=first, inches=inches)}"


def _hole(cuts: CutList, hole: Hole, *, first: str, inches: bool) -> str:
    drill = _drill(cuts, hole)
    deep = "right through" if hole.through else f"{length(hole.drilled_mm, inches=inches)} deep"
    text = f"Drill {drill} {deep} from the {first}"
    if not hole.through:
        text += f" (stop {length(hole.stop_mm, inches=inches)} after the point touches)"
    if hole.thread is None:
        return f"{text}."
    depth = "right through" if hole.through else f"{length(hole.depth_mm, inches=inches)} deep"
    taps = ", taper tap first, then a bottoming tap" if hole.bottoming else ""
    return f"{text}; tap {hole.thread.name} {depth}{taps}."


def _drill(cuts: CutList, hole: Hole) -> str:
    """The drill as people ask for it: by its name, in mm, and to the nearest 1/64 in."""
    mm = f"{round(hole.drill_mm, 2):g} mm"
    name = hole.thread.drill_name if hole.thread else mm
    told = [] if name == mm else [mm]
    if cuts.drill is not None and cuts.drill.text != name:
        told.append(f"{cuts.drill.text}{_residual(cuts.drill.residual_mm)}")
    return f"{name} ({', '.join(told)})" if told else name


def _residual(mm: float) -> str:
    if abs(mm) < _EXACT_MM:
        return ""
    return f" {'plus' if mm > 0.0 else 'less'} {abs(mm):.2f} mm"
