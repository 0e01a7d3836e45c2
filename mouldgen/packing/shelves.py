"""Rows of mixed sizes: each row as high as its highest piece, filled from left to right."""

from __future__ import annotations

from collections.abc import Sequence

from mouldgen.packing.area import TOLERANCE_MM, Area, Spot
from mouldgen.packing.outline import Shape


def shelf_rows(
    shapes: Sequence[Sequence[Shape]], left: Sequence[int], area: Area, *, standing: bool
) -> list[Spot]:
    """One plate of rows from the front edge backward, the deepest pieces first.

    Only for rectangular beds; on a round bed it finds no place for anything.

    shapes : for each kind its ways up.
    left : how many of each kind there are to place.
    standing : whether rectangles stand across their row rather than lie along it.
    """
    if area.radius is not None:
        return []
    order = sorted((_way_up(ways, standing=standing) for ways in shapes), key=lambda s: -s.half_y)
    remaining = list(left)
    front = area.up(area.margin)
    spots: list[Spot] = []
    while True:
        row = _row(order, remaining, area, front)
        if not row:
            return spots
        spots += row
        front = max(spot.y + spot.shape.half_y for spot in row) + area.spacing


def _way_up(ways: Sequence[Shape], *, standing: bool) -> Shape:
    by_depth = sorted(ways, key=lambda shape: shape.half_y)
    return by_depth[-1] if standing else by_depth[0]


def _row(order: Sequence[Shape], remaining: list[int], area: Area, front: float) -> list[Spot]:
    """One row that starts at `front`; takes what it places off `remaining`."""
    spots: list[Spot] = []
    edge = area.margin
    for shape in order:
        y = area.up(front + shape.half_y)
        if y > area.span_y(shape)[1] + TOLERANCE_MM:
            continue
        right = area.span_x(shape)[1]
        while remaining[shape.kind]:
            x = area.up(edge + shape.half_x)
            if x > right + TOLERANCE_MM:
                break
            spots.append(Spot(shape, x, y))
            remaining[shape.kind] -= 1
            edge = x + shape.half_x + area.spacing
    return spots
