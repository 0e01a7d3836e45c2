"""What extras are asked: the few facts of a job that their sizes depend on."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from mouldgen.job.shop_tables import Extras, Pot, Printer
    from mouldgen.size import Size, SizeQuestion


@dataclass(frozen=True, eq=False)
class ExtrasQuestion:
    """What the extras of a job depend on.

    extras : which are asked for.
    size, sizes : of the mould, in closed form.
    printer : its bed, lines and layers.
    pot : None where none is used.
    chord_mm : how far a facet may leave its circle [mm].
    lettered : whether letters stand out on the body.
    moulds : how many are printed in all.
    mould_ml : resin that one mould holds [ml].
    resin_g_ml : density of the mixed resin [g/ml].
    """

    extras: Extras
    size: Size
    sizes: SizeQuestion
    printer: Printer
    pot: Pot | None
    chord_mm: float
    lettered: bool
    moulds: int
    mould_ml: float
    resin_g_ml: float

    def layers(self, least_mm: float) -> float:
        """The least height in whole layers that is not below this [mm]."""
        return math.ceil(least_mm / self.printer.layer - 1e-9) * self.printer.layer
