"""The finished piece in ``report.json``: what it is made of, its length, its hole, its cut list."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from mouldgen.job.outline import outline_of
from mouldgen.shop.cut_list import CutList
from mouldgen.size.hole import Hole

if TYPE_CHECKING:
    from mouldgen.check.piece import PieceMeasure
    from mouldgen.mould_set import MouldSet


def piece_data(found: MouldSet) -> dict[str, Any] | None:
    """The finished piece as JSON-ready data; None in a conflict.

    found : the set.
    """
    measure, cuts, resin = found.piece, found.cuts, found.amounts
    if measure is None or cuts is None or resin is None:
        return None
    ribbons = measure.ribbons_ml(resin.per_mould_ml)
    piece = found.answer.job.piece
    return {
        "diameter_mm": piece.diameter,
        "length_mm": piece.length,
        "outline_mm": [list(pair) for pair in outline_of(piece)],
        "volume_ml": round(measure.volume_ml, 3),
        "wood_ml": round(measure.wood_ml, 3) + 0.0,  # no -0.0 where all is resin
        "resin_ml": round(measure.resin_ml, 3),
        "resin_share": round(measure.resin_share, 4),
        "ribbons_ml": round(ribbons, 3),
        "ribbons_share": round(ribbons / resin.per_mould_ml, 4),
        **_several(found, measure),
        "blank": _blank(cuts),
        "hole": None if cuts.hole is None else _hole(cuts, cuts.hole, measure.thread_wood),
    }


def _several(found: MouldSet, measure: PieceMeasure) -> dict[str, Any]:
    """Pieces out of one mould, and how a block is sawn; no key where there is one piece."""
    saw = found.answer.job.piece.saw
    return {
        **({} if measure.count == 1 else {"per_mould": measure.count}),
        **({} if saw is None else {"saw": list(saw)}),
    }


def _blank(cuts: CutList) -> dict[str, Any]:
    stack = cuts.stack
    return {
        "length_mm": round(stack.blank_mm, 2),
        "needed_mm": round(stack.needed_mm, 2),
        "spare_mm": round(stack.spare_mm, 2),
        "shares": [
            {"what": what, "count": count, "each_mm": round(each, 2)}
            for what, count, each in stack.shares
        ],
        "grip_mm": round(stack.grip_mm, 2),
        "first_end": "top" if cuts.from_top else "bottom",
        "face_first_mm": round(cuts.first_mm, 2),
        "other_end_mm": round(cuts.other_mm, 2),
        "face_to_mm": round(stack.piece_mm, 2),
        "saw_marks_mm": [round(mark, 2) for mark in cuts.marks_mm],
    }


def _hole(cuts: CutList, hole: Hole, in_wood: float | None) -> dict[str, Any]:
    thread, drill = hole.thread, cuts.drill
    return {
        "thread": thread.name if thread else None,
        "diameter_mm": round(hole.largest_mm, 4),
        "depth_mm": round(hole.depth_mm, 2),
        "from_end": "top" if hole.from_top else "bottom",
        "through": hole.through,
        "drill_mm": round(hole.drill_mm, 4),
        "drill_name": thread.drill_name if thread else None,
        "drill_inch": drill.text if drill else None,
        "drill_inch_residual_mm": round(drill.residual_mm, 4) if drill else None,
        "drilled_mm": round(hole.drilled_mm, 2),
        "stop_mm": None if hole.through else round(hole.stop_mm, 2),
        "percent_thread": None if cuts.percent is None else round(cuts.percent, 1),
        "bottoming_tap": hole.bottoming,
        "wall_in_wood_share": None if in_wood is None else round(in_wood, 4),
    }
