"""How many cells one mould may have so that it is filled in time, where it cannot be with its own.

One person fills the cells of a block one after another, and all of them have to be shut in
before the resin gels: the same pieces in more blocks, each with fewer cells, may go where one
block does not.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from mouldgen.mix.batches import in_time, one_mould
from mouldgen.mix.need import largest_remainder

if TYPE_CHECKING:
    from mouldgen.mix.batches import BatchQuestion
    from mouldgen.mix.need import Need


def most_cells(question: BatchQuestion) -> int | None:
    """The most cells with which each mould, alone, is in time and its mix within the batch.

    question : with moulds of several cells that are not; what each cell takes stays.

    None where not even moulds of one cell are, and for moulds that have one cell.
    """
    cells = range(question.need.cavities - 1, 0, -1)
    return next((number for number in cells if _goes(question, number)), None)


def _goes(question: BatchQuestion, cells: int) -> bool:
    asked = replace(question, need=with_cells(question.need, cells))
    return any(all(in_time(one, asked) for one in sessions) for sessions in one_mould(asked))


def with_cells(need: Need, cells: int) -> Need:
    """What as many blanks need where a mould has another number of cells.

    need : of moulds of several cells.
    cells : of one mould, at least 1; the last mould may cast more blanks than are wanted.
    """
    share = cells / need.cavities
    moulds = -(-need.moulds * need.cavities // cells)
    apart = need.way == "apart"
    return replace(
        need,
        pours=tuple(replace(pour, ml=pour.ml * share) for pour in need.pours),
        moulds=moulds,
        cavities=cells,
        cavities_of=largest_remainder(moulds * cells, need.shares) if apart else (),
    )
