"""Square grids: rows and columns of one footprint, in one block or in two blocks of turned ones."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from mouldgen.packing.area import Area, Spot, how_many, most
from mouldgen.packing.outline import Shape


@dataclass(frozen=True, eq=False)
class _Block:
    """Columns and lines of one shape, from its lowest centre on."""

    shape: Shape
    x: float
    y: float
    columns: int
    lines: int

    def __len__(self) -> int:
        return self.columns * self.lines

    def spots(self, area: Area) -> list[Spot]:
        pitch_x, pitch_y = _pitches(self.shape, area)
        return [
            Spot(self.shape, self.x + i * pitch_x, self.y + j * pitch_y)
            for j in range(self.lines)
            for i in range(self.columns)
        ]


def square_grid(shapes: Sequence[Shape], area: Area) -> list[Spot]:
    """The most of one footprint that straight rows hold on an empty plate.

    A rectangle may fill the plate in two blocks, of which the second is turned.

    shapes : the ways up of the one footprint.
    """
    if area.radius is not None:
        return most([_rows_in_circle(shape, area) for shape in shapes])
    blocks = [(_block(shape, area),) for shape in shapes]
    patterns: list[tuple[_Block, ...]] = [*blocks]
    for first in shapes:
        for second in shapes:
            if first is not second:
                patterns += _stacked(first, second, area)
                patterns += _side_by_side(first, second, area)
    best = max(patterns, key=lambda pattern: sum(map(len, pattern)), default=())
    return [spot for block in best for spot in block.spots(area)]


def _rows_in_circle(shape: Shape, area: Area) -> list[Spot]:
    """Rows one above the other about the centre, each as long as its chord allows.

    With a row on the centre line or with the centre line between two rows: any other number of
    rows is a part of one of these.
    """
    pitch_x, pitch_y = _pitches(shape, area)
    rows = how_many(*area.span_y(shape), pitch_y)
    stacks = []
    for count in (rows, rows - 1):
        first = area.up(area.depth / 2 - (count - 1) * pitch_y / 2)
        stack: list[Spot] = []
        for row in range(count):
            y = first + row * pitch_y
            left, right = area.chord(shape, y)
            columns = how_many(left, right, pitch_x)
            left += area.down((right - left - (columns - 1) * pitch_x) / 2)
            stack += [Spot(shape, left + i * pitch_x, y) for i in range(columns)]
        stacks.append(stack)
    return most(stacks)


def _stacked(lower: Shape, upper: Shape, area: Area) -> Iterator[tuple[_Block, ...]]:
    """Every number of whole lines of one shape with the other above them."""
    for lines in range(1, _block(lower, area).lines):
        block = _block(lower, area, lines=lines)
        top = block.y + (lines - 1) * _pitches(lower, area)[1] + lower.half_y
        yield block, _block(upper, area, y=area.up(top + area.spacing + upper.half_y))


def _side_by_side(left: Shape, right: Shape, area: Area) -> Iterator[tuple[_Block, ...]]:
    """Every number of whole columns of one shape with the other at their right."""
    for columns in range(1, _block(left, area).columns):
        block = _block(left, area, columns=columns)
        edge = block.x + (columns - 1) * _pitches(left, area)[0] + left.half_x
        yield block, _block(right, area, x=area.up(edge + area.spacing + right.half_x))


def _block(
    shape: Shape,
    area: Area,
    *,
    x: float | None = None,
    y: float | None = None,
    columns: int | None = None,
    lines: int | None = None,
) -> _Block:
    """The block from x, y on, or from the margin; as many as there is room for, or as asked."""
    (left, right), (low, high) = area.span_x(shape), area.span_y(shape)
    left = left if x is None else x
    low = low if y is None else y
    pitch_x, pitch_y = _pitches(shape, area)
    columns = how_many(left, right, pitch_x) if columns is None else columns
    lines = how_many(low, high, pitch_y) if lines is None else lines
    return _Block(shape, left, low, columns, lines)


def _pitches(shape: Shape, area: Area) -> tuple[float, float]:
    return area.up(2 * shape.half_x + area.spacing), area.up(2 * shape.half_y + area.spacing)
