"""The questions of moulds with several cells, from that of one round mould."""

from __future__ import annotations

from dataclasses import fields
from typing import TYPE_CHECKING

from mouldgen.size.block import BlockQuestion
from mouldgen.size.lying import facts_across, lying
from mouldgen.size.round import SizeQuestion
from mouldgen.size.tray import BORDER_MM, LAND_MM, PROUD_MM, TrayQuestion

if TYPE_CHECKING:
    from mouldgen.job.model import Insert, Mould, Piece
    from mouldgen.job.shop_tables import Printer


def in_cells(
    question: SizeQuestion,
    *,
    mould: Mould,
    insert: Insert,
    piece: Piece,
    printer: Printer,
    kerf_mm: float,
    pours: int,
) -> SizeQuestion:
    """The question of a block or a tray.

    question : as for a round mould.
    mould, insert, piece, printer : the maker's tables.
    kerf_mm : of a saw cut [mm].
    pours : that fill a cell.
    """
    own = {field.name: getattr(question, field.name) for field in fields(SizeQuestion)}
    rows, columns = mould.cells or (1, 1)
    if mould.family == "block":
        return BlockQuestion(**own, rows=rows, columns=columns)
    laid = lying(insert, question.insert)
    own["insert"] = facts_across(question.insert, laid)
    own["groove_mm"] = 0.0

    def lines(about_mm: float) -> float:
        """The nearest whole number of printed lines."""
        return round(about_mm / printer.line) * printer.line

    return TrayQuestion(
        **own,
        laid=laid,
        rows=rows,
        columns=columns,
        land_mm=lines(LAND_MM),
        border_mm=lines(BORDER_MM),
        layer_mm=printer.layer,
        saw=piece.saw,
        per_blank=piece.per_blank or 1,
        kerf_mm=kerf_mm,
        pours=pours,
        over_lid_mm=_over_lid_mm(question, mould, piece),
    )


def _over_lid_mm(question: SizeQuestion, mould: Mould, piece: Piece) -> float:
    """What the rim needs for dowels across a lid; a blank that is sawn has them in its cuts."""
    if mould.hold != "dowel" or piece.saw is not None:
        return 0.0
    from mouldgen.size.fastened import dowel_bore  # late: most jobs ask for none

    q = question
    bore = dowel_bore(mould.dowel, clearance_mm=q.clearance_mm, line_mm=q.line_mm)
    return PROUD_MM + bore.radius_mm + bore.tip_mm + bore.web_mm
