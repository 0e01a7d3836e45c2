"""Rows of one rectangle across a round bed, each row lying or standing as serves best.

The row that starts at a height holds what the shorter of its two chords allows; which rows to
stack, and at what heights, is a dynamic programme over heights a step apart.
"""

from __future__ import annotations

from collections.abc import Sequence

from mouldgen.packing.area import Area, Spot, how_many
from mouldgen.packing.outline import Shape
from mouldgen.packing.raster import step_of

_Row = tuple[int, Shape, float]  # what it holds, how it lies, its middle


def circle_rows(shapes: Sequence[Shape], area: Area) -> list[Spot]:
    """The most of one footprint that rows of either way up hold on an empty round plate.

    On a rectangular bed it finds no place.

    shapes : the ways up of the one footprint.
    """
    if area.radius is None:
        return []
    step = step_of(area)
    low = area.up(area.margin)
    levels = how_many(low, area.depth - area.margin, step)
    # What the plate holds above each level, and the row that starts there.
    above: list[int] = [0] * (levels + 1)
    chosen: list[_Row | None] = [None] * (levels + 1)
    for level in range(levels - 1, -1, -1):
        above[level] = above[level + 1]
        for shape in shapes:
            middle = area.up(low + level * step + shape.half_y)
            held = _held(shape, area, middle)
            after = _after(middle + shape.half_y + area.spacing - low, step)
            total = held + (above[after] if after <= levels else 0)
            if held and total > above[level]:
                above[level], chosen[level] = total, (held, shape, middle)
    return _spots(chosen, area, low=low, step=step)


def _held(shape: Shape, area: Area, middle: float) -> int:
    left, right = area.chord(shape, middle)
    return how_many(left, right, area.up(2 * shape.half_x + area.spacing))


def _after(height: float, step: float) -> int:
    """The first level at or over a height above the lowest."""
    return -int(-(height - 1e-6) // step)


def _spots(chosen: Sequence[_Row | None], area: Area, *, low: float, step: float) -> list[Spot]:
    spots: list[Spot] = []
    level = 0
    while level < len(chosen):
        row = chosen[level]
        if row is None:
            level += 1
            continue
        held, shape, middle = row
        left, right = area.chord(shape, middle)
        pitch = area.up(2 * shape.half_x + area.spacing)
        left += area.down((right - left - (held - 1) * pitch) / 2)
        spots += [Spot(shape, left + i * pitch, middle) for i in range(held)]
        level = _after(middle + shape.half_y + area.spacing - low, step)
    return spots
