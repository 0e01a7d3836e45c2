"""The ways of filling one plate, made as they are needed and kept.

A pattern is the plate of one kind alone that holds the most; a fill places whatever mix is left.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence

from mouldgen.packing.area import Area, Spot, most
from mouldgen.packing.circle_rows import circle_rows
from mouldgen.packing.five_block import five_blocks
from mouldgen.packing.hexagonal import hexagonal_rows
from mouldgen.packing.outline import Shape
from mouldgen.packing.raster import SWEEPS, RasterFill, Struck, Sweep
from mouldgen.packing.shelves import shelf_rows
from mouldgen.packing.square import square_grid

Fill = Callable[[Sequence[int]], list[Spot]]


class Portfolio:
    """The ways of filling plates of one area with given shapes."""

    def __init__(self, shapes: Sequence[Sequence[Shape]], area: Area) -> None:
        """
        shapes : for each kind its ways up, all numbered differently.
        area : the plate.
        """
        self.shapes = shapes
        self.area = area
        self._rasters: dict[Sweep, RasterFill] = {}
        self._patterns: dict[int, list[Spot]] = {}
        self._struck = Struck()

    def fits(self, kind: int) -> bool:
        """Whether a piece of this kind has a place on an empty plate."""
        return self.raster("rows").fits(kind)

    def quick(self) -> Iterator[Fill]:
        """The ways of which every layout tries all."""
        if not self.area.keep_outs:
            yield self._shelves(standing=False)
            if any(len(ways) > 1 for ways in self.shapes):
                yield self._shelves(standing=True)
        order = self.orders()[0]
        yield self._fill(order, "rows", seeded=True, mixed=False)
        yield self._fill(order, "rows", seeded=False, mixed=False)

    def more(self) -> Iterator[Fill]:
        """The ways that are tried while there may be fewer plates."""
        for sweep in SWEEPS:
            for order in self.orders():
                for seeded in (True, False):
                    for mixed in (False, True):
                        if len(order) > 1 or not (seeded or mixed):
                            yield self._fill(order, sweep, seeded=seeded, mixed=mixed)

    def orders(self) -> list[tuple[int, ...]]:
        """Orders of the kinds: largest, longest and smallest first."""
        kinds = range(len(self.shapes))
        size = [math.prod((2 * ways[0].half_x, 2 * ways[0].half_y)) for ways in self.shapes]
        reach = [max(ways[0].half_x, ways[0].half_y) for ways in self.shapes]
        orders = [
            tuple(sorted(kinds, key=lambda kind: (-size[kind], kind))),
            tuple(sorted(kinds, key=lambda kind: (-reach[kind], kind))),
            tuple(sorted(kinds, key=lambda kind: (size[kind], kind))),
        ]
        return list(dict.fromkeys(orders))

    def _shelves(self, *, standing: bool) -> Fill:
        return lambda left: shelf_rows(self.shapes, left, self.area, standing=standing)

    def _fill(self, order: tuple[int, ...], sweep: Sweep, *, seeded: bool, mixed: bool) -> Fill:
        """A raster fill, after the best pattern of the first kind that is left when `seeded`."""

        def fill(left: Sequence[int]) -> list[Spot]:
            start: list[Spot] = []
            remaining = list(left)
            if seeded:
                first = next(kind for kind in order if left[kind])
                start = self.pattern(first)[: left[first]]
                remaining[first] -= len(start)
            return self.raster(sweep).plate(remaining, order, start=start, mixed=mixed)

        return fill

    @property
    def work(self) -> int:
        """Units of work that all rasters have done; see `RasterFill`."""
        return sum(raster.work for raster in self._rasters.values())

    def raster(self, sweep: Sweep) -> RasterFill:
        """The raster that fills in this order of positions."""
        if sweep not in self._rasters:
            self._rasters[sweep] = RasterFill(
                self.shapes, self.area, sweep=sweep, struck=self._struck
            )
        return self._rasters[sweep]

    def pattern(self, kind: int) -> list[Spot]:
        """The plate of one kind alone that holds the most, from the front backward."""
        if kind not in self._patterns:
            ways = self.shapes[kind]
            patterns = [square_grid(ways[:2], self.area)]
            if ways[0].is_disc:
                patterns.append(hexagonal_rows(ways[0], self.area))
            else:
                patterns.append(five_blocks(ways, self.area, over=len(patterns[0])))
                patterns.append(circle_rows(ways[:2], self.area))
            clear = [[spot for spot in spots if self._takes(spot)] for spots in patterns]
            self._patterns[kind] = sorted(most(clear), key=lambda spot: (spot.y, spot.x))
        return self._patterns[kind]

    def improve(self, kind: int, spots: Sequence[Spot]) -> None:
        """A plate of one kind alone that holds more than its pattern did."""
        self._patterns[kind] = sorted(spots, key=lambda spot: (spot.y, spot.x))

    def _takes(self, spot: Spot) -> bool:
        return not self.area.keep_outs or self.area.holds(spot.shape, spot.x, spot.y)
