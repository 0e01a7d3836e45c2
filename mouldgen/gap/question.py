"""What the rules for the gap are asked: the facts of one job, and nothing else of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from mouldgen.finding import NOTHING_LEARNED, Learned
from mouldgen.size import mould_size_of, size_of

if TYPE_CHECKING:
    from mouldgen.insert.facts import InsertFacts
    from mouldgen.job.allowances import Allowances
    from mouldgen.job.material_tables import Plastic, Resin, Rubber
    from mouldgen.job.model import Piece, Pour
    from mouldgen.job.shop_tables import Pot, Printer
    from mouldgen.size import Size, SizeQuestion
    from mouldgen.size.mould_size import MouldSize


@dataclass(frozen=True, eq=False)
class GapQuestion:
    """The facts that decide how much wider than the insert the bore is.

    insert : the insert as drawn, with the readings of real ones.
    sizes : what the mould's sizes depend on besides the gap.
    moulds : how many are started; the thickest of that many inserts must enter.
    piece : the finished piece.
    turning_mm : taken off the blank a side, the job's or the allowances' [mm].
    pour : shop, clock and push.
    resin : as its data sheet tells it.
    printer : bed, undersize of holes, sliding clearance.
    plastic : of the mould.
    pot : the pressure pot, or None where none is used.
    allowances : of the piece's size class.
    vent_grooves : how many the bore has.
    resin_budget : what the resin of all moulds may cost, or None.
    learned : what castings have taught.
    given_mm : the gap that the maker asked for, or None for the rules' own [mm].
    rubber : that stands round the resin in the plastic's place, or None where it is printed.
    """

    insert: InsertFacts
    sizes: SizeQuestion
    moulds: int
    piece: Piece
    turning_mm: float
    pour: Pour
    resin: Resin
    printer: Printer
    plastic: Plastic
    pot: Pot | None
    allowances: Allowances
    vent_grooves: int = 0
    resin_budget: float | None = None
    learned: Learned = NOTHING_LEARNED
    given_mm: float | None = None
    rubber: Rubber | None = None

    def size(self, gap_mm: float) -> Size:
        """The mould's sizes at a gap [mm]."""
        return size_of(self.sizes, gap_mm)

    def mould_size(self, gap_mm: float) -> MouldSize:
        """The mould's sizes at a gap, whatever its family [mm]."""
        return mould_size_of(self.sizes, gap_mm)

    @property
    def layer_mm(self) -> float:
        """Height of the insert that one pour covers [mm]."""
        return self.sizes.rise_mm / self.pour.layers
