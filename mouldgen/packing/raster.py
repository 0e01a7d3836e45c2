"""A plate filled one piece at a time on a lattice of positions about 1 mm apart.

For each shape a map says which positions of its centre are still free.  Putting a piece down
strikes from every map the positions that would come too close to it, reckoned from the
distance itself; the next piece goes to the first free position in the order of the fill.
Works for any mix of footprints on any bed.
"""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
import numpy.typing as npt

from mouldgen.packing.area import TOLERANCE_MM, Area, Shape, Spot

Sweep = Literal["rows", "columns", "corner", "rim"]
SWEEPS: tuple[Sweep, ...] = ("rows", "columns", "corner", "rim")

_STEP_MM = 1.0  # half of it finds no more plates and takes four times as long
_LONGEST = 512  # positions along a side of the bed, beyond which the lattice grows coarser


@dataclass(frozen=True, eq=False)
class _Lattice:
    """Where the centre of one shape may be on an empty plate.

    xs, ys : the positions [mm], ascending.
    free : shape (len(ys), len(xs)), true where the shape is on the bed and off its margin.
    order : indices into the flattened `free` in the order of the fill; None for row by row.
    """

    shape: Shape
    xs: list[float]
    ys: list[float]
    free: npt.NDArray[np.bool_]
    order: npt.NDArray[np.intp] | None


class RasterFill:
    """Fills plates of one area with given shapes in one order of positions."""

    def __init__(self, shapes: Sequence[Sequence[Shape]], area: Area, *, sweep: Sweep) -> None:
        """
        shapes : for each kind its ways up.
        sweep : which free position comes first: the frontmost, the leftmost, the one nearest
            to the front left corner measured along the edges, or the one farthest from the
            middle of the bed.
        """
        self._area = area
        self._sweep: Sweep = sweep
        self._lattices = [[_lattice(shape, area, sweep) for shape in ways] for ways in shapes]

    def fits(self, kind: int) -> bool:
        """Whether a piece of this kind has a place on an empty plate."""
        return any(bool(lattice.free.any()) for lattice in self._lattices[kind])

    def plate(
        self, left: Sequence[int], order: Sequence[int], *, start: Sequence[Spot], mixed: bool
    ) -> list[Spot]:
        """One plate, with as many pieces as find a place.

        left : how many of each kind there are to place, without those of `start`.
        order : the kinds in the order in which they are placed.
        start : pieces that are already there.
        mixed : whether the kinds take turns, rather than one after the other.
        """
        wanted = [kind for kind in order if left[kind] > 0]
        plate = _Plate([lattice for kind in wanted for lattice in self._lattices[kind]], self)
        for spot in start:
            plate.put(spot)
        remaining = list(left)
        while wanted:
            for kind in tuple(wanted):
                placed = plate.fill(kind, 1 if mixed else remaining[kind])
                remaining[kind] -= placed
                if placed == 0 or remaining[kind] == 0:
                    wanted.remove(kind)
        return plate.spots

    def reach(self, spot: Spot) -> tuple[float, float]:
        """How far a piece reaches in the order of the fill: the smaller, the better packed."""
        back, right = spot.y + spot.shape.half_y, spot.x + spot.shape.half_x
        if self._sweep == "rows":
            return back, right
        if self._sweep == "columns":
            return right, back
        if self._sweep == "corner":
            return right + back, back
        off_x, off_y = spot.x - self._area.width / 2, spot.y - self._area.depth / 2
        return -math.hypot(off_x, off_y), back

    @property
    def spacing(self) -> float:
        """Between two pieces [mm]."""
        return self._area.spacing


class _Map:
    """What is still free for one shape on one plate."""

    def __init__(self, lattice: _Lattice) -> None:
        self.lattice = lattice
        self._free = lattice.free.copy()
        self._flat = self._free.reshape(-1)
        self._next = 0  # nothing before this is free; positions are never freed again

    def first(self) -> Spot | None:
        """The first free position in the order of the fill."""
        order = self.lattice.order
        rest = self._flat[self._next :] if order is None else self._flat[order[self._next :]]
        if rest.size == 0:
            return None
        found = int(rest.argmax())
        if not rest[found]:
            self._next = self._flat.size
            return None
        self._next += found
        index = self._next if order is None else int(order[self._next])
        row, column = divmod(index, len(self.lattice.xs))
        return Spot(self.lattice.shape, self.lattice.xs[column], self.lattice.ys[row])

    def strike(self, spot: Spot, spacing: float) -> None:
        """Take away the positions that come too close to a piece."""
        shape, xs, ys = self.lattice.shape, self.lattice.xs, self.lattice.ys
        core_x, core_y = shape.core_x + spot.shape.core_x, shape.core_y + spot.shape.core_y
        apart = shape.rim + spot.shape.rim + spacing - TOLERANCE_MM
        far_x, far_y = core_x + apart, core_y + apart
        i, k = bisect_left(xs, spot.x - far_x), bisect_right(xs, spot.x + far_x)
        j, m = bisect_left(ys, spot.y - far_y), bisect_right(ys, spot.y + far_y)
        beside = np.abs(np.array(xs[i:k]) - spot.x) - core_x
        behind = np.abs(np.array(ys[j:m]) - spot.y) - core_y
        if apart > 0:
            squares = np.maximum(behind, 0)[:, None] ** 2 + np.maximum(beside, 0)[None, :] ** 2
            self._free[j:m, i:k] &= squares >= apart**2
        else:  # two rectangles that may touch: only what overlaps is too close
            self._free[j:m, i:k] &= (behind >= apart)[:, None] | (beside >= apart)[None, :]


class _Plate:
    """A plate while it is being filled."""

    def __init__(self, lattices: Sequence[_Lattice], fill: RasterFill) -> None:
        self.spots: list[Spot] = []
        self._fill = fill
        self._maps = [_Map(lattice) for lattice in lattices]

    def put(self, spot: Spot) -> None:
        self.spots.append(spot)
        for free in self._maps:
            free.strike(spot, self._fill.spacing)

    def fill(self, kind: int, count: int) -> int:
        """Place up to `count` pieces of a kind; how many found a place."""
        maps = [free for free in self._maps if free.lattice.shape.kind == kind]
        for placed in range(count):
            spots = [spot for free in maps if (spot := free.first()) is not None]
            if not spots:
                return placed
            self.put(min(spots, key=self._fill.reach))
        return count


def _lattice(shape: Shape, area: Area, sweep: Sweep) -> _Lattice:
    step = area.up(max(_STEP_MM, max(area.width, area.depth) / _LONGEST))
    centre = None if area.radius is None else area.down(area.width / 2)
    xs = _positions(*area.span_x(shape), step, through=centre)
    ys = _positions(*area.span_y(shape), step, through=centre)
    x, y = np.array(xs)[None, :], np.array(ys)[:, None]
    free = np.ones((len(ys), len(xs)), dtype=np.bool_)
    if area.radius is not None:
        middle = area.width / 2
        far = np.hypot(np.abs(x - middle) + shape.core_x, np.abs(y - middle) + shape.core_y)
        free = far + shape.rim <= area.radius + TOLERANCE_MM
    order = None
    if sweep == "columns":
        order = np.arange(free.size).reshape(free.shape).T.reshape(-1)
    elif sweep == "corner":
        order = np.argsort((x + y).reshape(-1), kind="stable")
    elif sweep == "rim":
        away = np.round(np.hypot(x - area.width / 2, y - area.depth / 2), 6)  # ties stay ties
        order = np.argsort(-away.reshape(-1), kind="stable")
    return _Lattice(shape, xs, ys, free, order)


def _positions(low: float, high: float, step: float, *, through: float | None) -> list[float]:
    """Every step from the low end, and the high end itself; none where low is over high.

    through : a position to step from instead, so that what only fits in the middle of a round
        bed finds it.
    """
    if high < low - TOLERANCE_MM:
        return []
    if through is not None:
        low = through - int((through - low) / step + TOLERANCE_MM) * step
    positions = [low + i * step for i in range(int((high - low) / step + TOLERANCE_MM) + 1)]
    if high - positions[-1] > TOLERANCE_MM:
        positions.append(high)
    return positions
