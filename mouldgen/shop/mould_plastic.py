"""About how much plastic a mould takes and how many beds, before any solid is made.

A mould is taken for walls round its cells, a floor and a lid of the wall's thickness.  What it has
besides, such as a lid's legs, collars, ribs, pips and feet, comes as a factor for each family that
was read off built jobs: thirteen shipped ones lie within a tenth or so.  A build tells it exactly.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from mouldgen.job.shop_tables import Printer
    from mouldgen.size.mould_size import MouldSize

# What is built over walls, floor and lid alone: read off the shipped jobs.
_FACTORS = {
    "cup": 1.3,
    "contour": 1.3,
    "shell": 1.3,
    "block": 1.6,
    "tray": 2.8,
    "split": 6.8,
    "master": 2.6,
}
_PARTS = 2  # of a mould on a bed: body and lid


def mould_plastic_ml(size: MouldSize, family: str) -> float:
    """Body and lid of one mould, printed solid [ml].

    size : of the mould.
    family : its name in the job file.
    """
    cell_mm2 = 1000.0 * size.cavity_ml / size.fill_mm
    around_mm = size.blanks * 2.0 * math.sqrt(math.pi * cell_mm2)
    walls_mm3 = around_mm * size.wall_mm * size.body_height_mm
    floors_mm3 = 2.0 * (size.blanks * cell_mm2 + around_mm * size.wall_mm) * size.wall_mm
    return _FACTORS[family] * (walls_mm3 + floors_mm3) / 1000.0


def beds_for(size: MouldSize, printer: Printer, *, moulds: int) -> int:
    """About how many print beds moulds take, the first one alone on its own.

    size : of one mould.
    printer : its bed.
    moulds : how many are printed.
    """
    wide, deep = size.sides_mm or (2.0 * size.across_mm, 2.0 * size.across_mm)
    if size.lies_mm is not None:
        wide, deep, _ = size.lies_mm
    each = (wide + printer.spacing) * (deep + printer.spacing)
    if printer.shape == "round":
        bed = 0.25 * math.pi * ((printer.diameter or 0.0) - 2.0 * printer.margin) ** 2
    else:
        sides = [(side or 0.0) - 2.0 * printer.margin for side in (printer.width, printer.depth)]
        bed = math.prod(sides)
    return 1 + math.ceil((moulds - 1) * _PARTS * each / bed)
