"""How many plates any layout needs at least."""

from __future__ import annotations

import math
from collections.abc import Sequence

from mouldgen.packing.shapes import Bed, Disc, Footprint, RectBed

_SLACK = 1e-9  # a bound that lands on a whole number must not be pushed over it by rounding


def lower_bound(
    items: Sequence[Footprint], bed: Bed, *, margin_mm: float, spacing_mm: float
) -> int:
    """Plates that no layout can do without.  A bound, often weak, and not an estimate.

    The larger of two: the area of the pieces against that of the bed, both grown by half the
    spacing; and, where all pieces are discs, how many of the smallest one plate can hold.
    """
    if not items:
        return 0
    half = spacing_mm / 2
    pieces = sum(_grown(item, half) for item in items)
    plates = math.ceil(pieces / _usable(bed, margin_mm, half) - _SLACK)
    radii = [item.radius_mm for item in items if isinstance(item, Disc)]
    if len(radii) == len(items):
        held = _most_discs(min(radii), bed, margin_mm, spacing_mm)
        plates = max(plates, math.ceil(len(items) / held)) if held else plates
    return max(plates, 1)


def _grown(item: Footprint, by: float) -> float:
    """Area of a footprint with everything within `by` of it [mm2]."""
    if isinstance(item, Disc):
        return math.pi * (item.radius_mm + by) ** 2
    return _grown_rectangle(item.width_mm, item.depth_mm, by)


def _usable(bed: Bed, margin: float, by: float) -> float:
    """Area of a bed less its margin, with everything within `by` of that [mm2]."""
    if isinstance(bed, RectBed):
        width, depth = bed.width_mm - 2 * margin, bed.depth_mm - 2 * margin
        return _grown_rectangle(width, depth, by)
    return math.pi * (bed.diameter_mm / 2 - margin + by) ** 2


def _grown_rectangle(width: float, depth: float, by: float) -> float:
    return width * depth + 2 * (width + depth) * by + math.pi * by**2


def _most_discs(radius: float, bed: Bed, margin: float, spacing: float) -> int:
    """The most discs of one size that any layout puts on a plate.

    Points at least 1 apart in a convex region of area A and perimeter P number at most
    2/sqrt(3) A + P/2 + 1 (Oler 1961; quoted from memory).  The points are the centres.
    """
    apart = 2 * radius + spacing
    if isinstance(bed, RectBed):
        sides = [(side - 2 * (margin + radius)) / apart for side in (bed.width_mm, bed.depth_mm)]
        width, depth = (max(side, 0.0) for side in sides)
        area, perimeter = width * depth, 2 * (width + depth)
    else:
        reach = max(bed.diameter_mm / 2 - margin - radius, 0.0) / apart
        area, perimeter = math.pi * reach**2, 2 * math.pi * reach
    return math.floor(2 / math.sqrt(3) * area + perimeter / 2 + 1 + _SLACK)
