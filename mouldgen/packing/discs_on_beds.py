"""One more disc on a plate of equal discs than rows hold, by spreading them out.

The positions come to lie on the bed's steps: the discs are spread with as much more room as
moving each to its nearest step can cost.
"""

from __future__ import annotations

import math

from mouldgen.packing.area import Area, Spot
from mouldgen.packing.bound import most_discs
from mouldgen.packing.outline import Shape
from mouldgen.packing.overlap import spread
from mouldgen.packing.shapes import RectBed, RoundBed

_MOST = 80  # discs to a plate; with more of them rows are as good and a search takes minutes


def spread_discs(
    shape: Shape, area: Area, *, over: int, wanted: int, seed: int, tries: int
) -> list[Spot]:
    """More discs of one size on an empty plate than `over`; nothing where none were found.

    shape : the disc.
    over : how many are placed already.
    wanted : how many are asked for in all.
    seed, tries : of `spread`, for each number of discs.
    """
    bed = area.bed
    most = min(wanted, most_discs(shape.rim, bed, area.margin, area.spacing), _MOST)
    off = area.margin + area.snap / 2 * (1 if area.radius is None else math.sqrt(2))
    sides = area.width - 2 * off, area.depth - 2 * off
    if min(sides) <= 2 * shape.rim or area.keep_outs:
        return []
    container = RectBed(*sides) if isinstance(bed, RectBed) else RoundBed(sides[0])
    spacing = area.spacing + math.sqrt(2) * area.snap
    best: list[Spot] = []
    for count in range(over + 1, most + 1):
        places = spread([shape.rim] * count, container, spacing_mm=spacing, seed=seed, tries=tries)
        if places is None:
            break
        spots = [Spot(shape, _step(x + off, area), _step(y + off, area)) for x, y in places]
        if not all(area.holds(shape, spot.x, spot.y) for spot in spots):
            break
        best = spots
    return best


def _step(value: float, area: Area) -> float:
    return value if area.snap == 0 else round(value / area.snap) * area.snap
