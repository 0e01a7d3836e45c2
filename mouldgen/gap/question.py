"""What the rules for the gap are asked: the facts of one job, and nothing else of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from mouldgen.finding import NOTHING_LEARNED, Learned

if TYPE_CHECKING:
    from mouldgen.insert.facts import InsertFacts
    from mouldgen.job.allowances import Allowances
    from mouldgen.job.model import Piece, Plastic, Pot, Pour, Printer, Resin
    from mouldgen.size.cup import Size


@dataclass(frozen=True, eq=False)
class GapQuestion:
    """The facts that decide how much wider than the insert the bore is.

    insert : the insert as drawn, with the readings of real ones.
    size : the mould's sizes as a function of the gap [mm].
    moulds : how many are started; the thickest of that many inserts must enter.
    piece : the finished piece.
    turning_mm : taken off the blank a side, the job's or the allowances' [mm].
    pour : shop, clock and push.
    resin : as its data sheet tells it.
    printer : bed, undersize of holes, sliding clearance.
    plastic : of the mould.
    pot : the pressure pot, or None where none is used.
    allowances : of the piece's size class.
    learned : what castings have taught.
    given_mm : the gap that the maker asked for, or None for the rules' own [mm].
    """

    insert: InsertFacts
    size: Callable[[float], Size]
    moulds: int
    piece: Piece
    turning_mm: float
    pour: Pour
    resin: Resin
    printer: Printer
    plastic: Plastic
    pot: Pot | None
    allowances: Allowances
    learned: Learned = NOTHING_LEARNED
    given_mm: float | None = None
