"""Identical rectangles in blocks: cuts from edge to edge, and five blocks about a middle one.

Rows of rectangles that all lie one way leave a strip that no further row fits in.  Cutting the
bed into blocks, some of which hold the rectangles turned, uses it; and where no cut from edge to
edge serves, four blocks round a fifth, like the sails of a mill, often do.  Within the five every
block is cut from edge to edge.  The five-block heuristic of the literature on loading pallets.

Only sums of the two sides matter as places to cut (normal patterns), so there are few.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from mouldgen.packing.area import TOLERANCE_MM, Area, Spot
from mouldgen.packing.outline import Floats, Shape

_MOST_CUTS = 40  # along a side; with more of them the pieces are so small that rows serve as well

_Counts = npt.NDArray[np.int64]
_Laid = tuple[float, float, int]  # lowest corner of a piece in its block, and which shape it is


def five_blocks(shapes: Sequence[Shape], area: Area, *, over: int = 0) -> list[Spot]:
    """The most of one rectangle that blocks hold on an empty plate, as far as tried.

    Only for rectangular beds and rectangles that differ once turned; else it finds no place.

    shapes : the two ways up of the one footprint.
    over : how many are wanted at least; nothing is tried where the area holds no more than that.
    """
    if area.radius is not None or len(shapes) != 2:
        return []
    sides = _pitches(shapes, area)
    room = [side - 2 * area.margin + area.spacing for side in (area.width, area.depth)]
    if min(room) < min(sides) or int(room[0] * room[1] / (sides[0] * sides[1])) <= over:
        return []
    cuts = _cuts(sides, max(room))
    if len(cuts) > _MOST_CUTS:
        return []
    table = _Table(sides, cuts)
    return [spot for laid in table.best(*room) if (spot := _spot(laid, shapes, area)) is not None]


def _pitches(shapes: Sequence[Shape], area: Area) -> tuple[float, float]:
    """Width and depth of the flat piece with the spacing, as far as the step of positions asks.

    Middles go up to the next step, flat and turned ones by different amounts; the difference is
    kept free as well.
    """
    ups = [area.up(area.margin + half) - area.margin - half for half in _halves(shapes[0])]
    spare = area.up(abs(ups[0] - ups[1]))
    width, depth = (area.up(2 * half + area.spacing) + spare for half in _halves(shapes[0]))
    return width, depth


def _halves(shape: Shape) -> tuple[float, float]:
    return shape.half_x, shape.half_y


def _cuts(sides: tuple[float, float], longest: float) -> Floats:
    """All sums of the sides up to the longest, from 0 on."""
    most = [int(longest / side + TOLERANCE_MM) for side in sides]
    sums = {
        round(i * sides[0] + j * sides[1], 6)
        for i in range(most[0] + 1)
        for j in range(most[1] + 1)
        if i * sides[0] + j * sides[1] <= longest + TOLERANCE_MM
    }
    return np.array(sorted(sums))


def _spot(laid: _Laid, shapes: Sequence[Shape], area: Area) -> Spot | None:
    x, y, which = laid
    shape = shapes[which]
    spot = Spot(
        shape,
        area.up(area.margin + shape.half_x) + x,
        area.up(area.margin + shape.half_y) + y,
    )
    return spot if area.holds(shape, spot.x, spot.y) else None


@dataclass(frozen=True, eq=False)
class _Five:
    """The four cuts round the middle block, as indices, and what the five hold."""

    held: int
    cuts: tuple[int, int, int, int]


class _Table:
    """How many pieces a block of any size holds when it is cut from edge to edge."""

    def __init__(self, sides: tuple[float, float], cuts: Floats) -> None:
        """
        sides : width and depth of the flat piece, the spacing added [mm].
        cuts : sizes that blocks have, ascending from 0 [mm].
        """
        self._sides = sides
        self._cuts = cuts
        self._held = self._filled()

    def best(self, width: float, depth: float) -> list[_Laid]:
        """Lowest corners of the pieces in the best of five blocks or fewer [mm]."""
        whole = self._held[self._index(width), self._index(depth)]
        five = self._best_five(width, depth)
        if five is None or five.held <= whole:
            return list(self._laid(width, depth, 0.0, 0.0))
        x1, x2, y1, y2 = (float(self._cuts[i]) for i in five.cuts)
        return [
            *self._laid(x1, y2, 0.0, 0.0),
            *self._laid(width - x1, y1, x1, 0.0),
            *self._laid(width - x2, depth - y1, x2, y1),
            *self._laid(x2, depth - y2, 0.0, y2),
            *self._laid(x2 - x1, y2 - y1, x1, y1),
        ]

    def _index(self, size: float) -> int:
        """The largest size of a block that is not over `size`."""
        return int(np.searchsorted(self._cuts, size + TOLERANCE_MM, side="right")) - 1

    def _indices(self, sizes: Floats) -> npt.NDArray[np.intp]:
        found = np.searchsorted(self._cuts, sizes + TOLERANCE_MM, side="right") - 1
        return np.maximum(found, 0)

    def _grids(self, x: float, y: float) -> list[int]:
        """What a block holds in straight rows, flat and turned."""
        a, b = self._sides
        return [
            int((x + TOLERANCE_MM) / a) * int((y + TOLERANCE_MM) / b),
            int((x + TOLERANCE_MM) / b) * int((y + TOLERANCE_MM) / a),
        ]

    def _filled(self) -> _Counts:
        count = len(self._cuts)
        held = np.zeros((count, count), dtype=np.int64)
        for i in range(count):
            for k in range(count):
                x, y = float(self._cuts[i]), float(self._cuts[k])
                best = max(self._grids(x, y))
                for cut in range(1, self._index(x / 2) + 1):
                    rest = self._index(x - float(self._cuts[cut]))
                    best = max(best, int(held[cut, k] + held[rest, k]))
                for cut in range(1, self._index(y / 2) + 1):
                    rest = self._index(y - float(self._cuts[cut]))
                    best = max(best, int(held[i, cut] + held[i, rest]))
                held[i, k] = best
        return held

    def _best_five(self, width: float, depth: float) -> _Five | None:
        along, across = self._index(width), self._index(depth)
        ys = self._cuts[: across + 1]
        rest_y = self._indices(depth - ys)
        between = self._indices(ys[None, :] - ys[:, None])
        valid = ys[None, :] >= ys[:, None]
        low, high = np.arange(across + 1)[:, None], np.arange(across + 1)[None, :]
        best: _Five | None = None
        for i in range(1, along + 1):
            for k in range(i, along + 1):
                right = self._index(width - float(self._cuts[i]))
                far = self._index(width - float(self._cuts[k]))
                middle = self._index(float(self._cuts[k] - self._cuts[i]))
                held = (
                    self._held[i, high] + self._held[right, low]
                    + self._held[far, rest_y[low]] + self._held[k, rest_y[high]]
                    + self._held[middle, between]
                )  # fmt: skip
                held = np.where(valid, held, -1)
                found = int(held.argmax())
                if best is None or held.flat[found] > best.held:
                    y1, y2 = divmod(found, across + 1)
                    best = _Five(int(held.flat[found]), (i, k, y1, y2))
        return best

    def _laid(self, width: float, depth: float, x: float, y: float) -> Iterator[_Laid]:
        """The pieces of a block with its lowest corner at x, y."""
        i, k = self._index(width), self._index(depth)
        wanted = int(self._held[i, k])
        if wanted == 0:
            return
        width, depth = float(self._cuts[i]), float(self._cuts[k])
        for which, grid in enumerate(self._grids(width, depth)):
            if grid == wanted:
                yield from self._rows(width, depth, x, y, which)
                return
        for cut in range(1, self._index(width / 2) + 1):
            size = float(self._cuts[cut])
            if self._held[cut, k] + self._held[self._index(width - size), k] == wanted:
                yield from self._laid(size, depth, x, y)
                yield from self._laid(width - size, depth, x + size, y)
                return
        for cut in range(1, self._index(depth / 2) + 1):
            size = float(self._cuts[cut])
            if self._held[i, cut] + self._held[i, self._index(depth - size)] == wanted:
                yield from self._laid(width, size, x, y)
                yield from self._laid(width, depth - size, x, y + size)
                return

    def _rows(self, width: float, depth: float, x: float, y: float, which: int) -> Iterator[_Laid]:
        a, b = self._sides if which == 0 else self._sides[::-1]
        for row in range(int((depth + TOLERANCE_MM) / b)):
            for column in range(int((width + TOLERANCE_MM) / a)):
                yield x + column * a, y + row * b, which
