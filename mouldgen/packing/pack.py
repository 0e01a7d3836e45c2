"""The fewest plates for a list of footprints, by trying several ways of filling them.

A way of filling builds one plate from what is left to place.  The quick ways always run.  The
others, which take the kinds and the positions in other orders, run only while the lower bound
leaves room for fewer plates.  Every way is deterministic, and so is the choice among them.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from mouldgen.errors import NoAnswerError
from mouldgen.packing.area import Area, Shape, Spot, most, ways_up
from mouldgen.packing.bound import lower_bound
from mouldgen.packing.hexagonal import hexagonal_rows
from mouldgen.packing.raster import SWEEPS, RasterFill, Sweep
from mouldgen.packing.shapes import Bed, Disc, Footprint, Placed
from mouldgen.packing.shelves import shelf_rows
from mouldgen.packing.square import square_grid

_Fill = Callable[[Sequence[int]], list[Spot]]
_Plates = tuple[tuple[Spot, ...], ...]


def pack(
    items: Sequence[Footprint],
    bed: Bed,
    *,
    margin_mm: float,
    spacing_mm: float,
    snap_mm: float = 0.0,
) -> tuple[tuple[Placed, ...], ...]:
    """Every item on one of the fewest plates found, the emptiest plate last.

    items : the footprints, in any order.
    margin_mm : kept free along the edge of the bed [mm].
    spacing_mm : between any two footprints [mm]; not between a footprint and the edge.
    snap_mm : positions are multiples of this [mm]; 0 leaves them free.

    Coordinates are from the bed's origin (see `RectBed` and `RoundBed`).  Each plate is centred
    on the bed where the bed allows it.

    Raises NoAnswerError for an item that does not fit on the empty bed, InputError for a
    negative or non-finite length.
    """
    area = Area(bed, margin_mm, spacing_mm, snap_mm)
    kinds = _kinds(items)
    shapes = [ways_up(items[members[0]], kind) for kind, members in enumerate(kinds)]
    portfolio = _Portfolio(shapes, area)
    for kind, members in enumerate(kinds):
        if not portfolio.fits(kind):
            raise _too_large(items[members[0]], members[0], bed, margin_mm)
    bound = lower_bound(items, bed, margin_mm=margin_mm, spacing_mm=spacing_mm)
    plates = portfolio.best([len(members) for members in kinds], bound)
    return _name_items([_centred(plate, area) for plate in plates], kinds)


def _kinds(items: Sequence[Footprint]) -> list[list[int]]:
    """The items of each distinct footprint, the kinds in the order of their first item."""
    kinds: dict[tuple[float, ...], list[int]] = {}
    for index, item in enumerate(items):
        if isinstance(item, Disc):
            key: tuple[float, ...] = (item.radius_mm,)
        else:
            key = (item.width_mm, item.depth_mm)
        kinds.setdefault(key, []).append(index)
    return list(kinds.values())


def _too_large(item: Footprint, index: int, bed: Bed, margin: float) -> NoAnswerError:
    kept = f" with {margin:.6g} mm kept free along its edge" if margin else ""
    return NoAnswerError(
        f"item {index + 1} ({item}) does not fit on {bed}{kept}",
        try_="Use a larger bed, a smaller margin or a smaller part.",
    )


class _Portfolio:
    """The ways of filling plates, made as they are needed."""

    def __init__(self, shapes: Sequence[Sequence[Shape]], area: Area) -> None:
        self._shapes = shapes
        self._area = area
        self._rasters: dict[Sweep, RasterFill] = {}
        self._patterns: dict[int, list[Spot]] = {}

    def fits(self, kind: int) -> bool:
        """Whether a piece of this kind has a place on an empty plate."""
        return self._raster("rows").fits(kind)

    def best(self, counts: Sequence[int], bound: int) -> _Plates:
        """The best plates that any way finds; stops early once the bound is met."""
        if not counts:
            return ()
        best: tuple[_Score, _Plates] | None = None
        for quick, fill in self._fills():
            if best is not None and not quick and best[0].plates <= bound:
                break
            plates = _fill_all(fill, counts)
            if plates is None:
                continue
            score = _score(plates)
            if best is None or score.key < best[0].key:
                best = (score, plates)
        return best[1] if best is not None else ()

    def _fills(self) -> Iterator[tuple[bool, _Fill]]:
        """Every way of filling a plate, the quick ones first."""
        yield True, self._shelves(standing=False)
        if any(len(ways) > 1 for ways in self._shapes):
            yield True, self._shelves(standing=True)
        orders = self._orders()
        yield True, self._fill(orders[0], "rows", seeded=True, mixed=False)
        yield True, self._fill(orders[0], "rows", seeded=False, mixed=False)
        for sweep in SWEEPS:
            for order in orders:
                for seeded in (True, False):
                    for mixed in (False, True):
                        if len(order) > 1 or not (seeded or mixed):
                            yield False, self._fill(order, sweep, seeded=seeded, mixed=mixed)

    def _orders(self) -> list[tuple[int, ...]]:
        """Orders of the kinds: largest, longest and smallest first."""
        kinds = range(len(self._shapes))
        size = [math.prod((2 * ways[0].half_x, 2 * ways[0].half_y)) for ways in self._shapes]
        reach = [max(ways[0].half_x, ways[0].half_y) for ways in self._shapes]
        orders = [
            tuple(sorted(kinds, key=lambda kind: (-size[kind], kind))),
            tuple(sorted(kinds, key=lambda kind: (-reach[kind], kind))),
            tuple(sorted(kinds, key=lambda kind: (size[kind], kind))),
        ]
        return list(dict.fromkeys(orders))

    def _shelves(self, *, standing: bool) -> _Fill:
        return lambda left: shelf_rows(self._shapes, left, self._area, standing=standing)

    def _fill(self, order: tuple[int, ...], sweep: Sweep, *, seeded: bool, mixed: bool) -> _Fill:
        """A raster fill, after the best pattern of the first kind that is left when `seeded`."""

        def fill(left: Sequence[int]) -> list[Spot]:
            start: list[Spot] = []
            remaining = list(left)
            if seeded:
                first = next(kind for kind in order if left[kind])
                start = self._pattern(first)[: left[first]]
                remaining[first] -= len(start)
            return self._raster(sweep).plate(remaining, order, start=start, mixed=mixed)

        return fill

    def _raster(self, sweep: Sweep) -> RasterFill:
        if sweep not in self._rasters:
            self._rasters[sweep] = RasterFill(self._shapes, self._area, sweep=sweep)
        return self._rasters[sweep]

    def _pattern(self, kind: int) -> list[Spot]:
        """The plate of one kind alone that holds the most, from the front backward."""
        if kind not in self._patterns:
            ways = self._shapes[kind]
            patterns = [square_grid(ways, self._area)]
            if ways[0].rim:
                patterns.append(hexagonal_rows(ways[0], self._area))
            self._patterns[kind] = sorted(most(patterns), key=lambda spot: (spot.y, spot.x))
        return self._patterns[kind]


def _fill_all(fill: _Fill, counts: Sequence[int]) -> _Plates | None:
    """Plates until nothing is left; None when a way finds no place for what is left.

    A plate on which no kind ran out would come out the same again while the same kinds are
    left, so it is repeated rather than filled anew.
    """
    left = list(counts)
    plates: list[tuple[Spot, ...]] = []
    while any(left):
        plate = tuple(fill(left))
        if not plate:
            return None
        used = [0] * len(left)
        for spot in plate:
            used[spot.shape.kind] += 1
        ran_out = any(have and have == take for have, take in zip(left, used, strict=True))
        times = 1 if ran_out else min(h // t for h, t in zip(left, used, strict=True) if t)
        plates += [plate] * times
        left = [have - times * take for have, take in zip(left, used, strict=True)]
    return tuple(sorted(plates, key=_covered, reverse=True))


@dataclass(frozen=True, eq=False)
class _Score:
    """How good a set of plates is: few plates, little on the last one, little spread."""

    plates: int
    last: float
    spread: float

    @property
    def key(self) -> tuple[float, ...]:
        """Smaller is better; rounded, so that noise in the last digits decides nothing."""
        return self.plates, round(self.last, 3), round(self.spread, 3)


def _score(plates: _Plates) -> _Score:
    spread = 0.0
    for plate in plates:
        left, right, front, back = _extent(plate)
        spread += (right - left) * (back - front)
    return _Score(len(plates), _covered(plates[-1]), spread)


def _covered(plate: Sequence[Spot]) -> float:
    """Sum of the boxes around the pieces of a plate [mm2]."""
    return sum(4 * spot.shape.half_x * spot.shape.half_y for spot in plate)


def _extent(plate: Sequence[Spot]) -> tuple[float, float, float, float]:
    """Left, right, front and back end of the pieces of a plate [mm]."""
    return (
        min(spot.x - spot.shape.half_x for spot in plate),
        max(spot.x + spot.shape.half_x for spot in plate),
        min(spot.y - spot.shape.half_y for spot in plate),
        max(spot.y + spot.shape.half_y for spot in plate),
    )


def _centred(plate: Sequence[Spot], area: Area) -> list[Spot]:
    """The plate moved to the middle of the bed, or as it was where something would hang over."""
    left, right, front, back = _extent(plate)
    by_x = area.down((area.width - left - right) / 2)
    by_y = area.down((area.depth - front - back) / 2)
    moved = [Spot(spot.shape, spot.x + by_x, spot.y + by_y) for spot in plate]
    return moved if all(area.holds(s.shape, s.x, s.y) for s in moved) else list(plate)


def _name_items(
    plates: Sequence[Sequence[Spot]], kinds: Sequence[Sequence[int]]
) -> tuple[tuple[Placed, ...], ...]:
    """The plates with an item for each spot, row by row from the front, lowest index first."""
    waiting = [iter(members) for members in kinds]
    named = []
    for plate in plates:
        spots = sorted(plate, key=lambda spot: (spot.y, spot.x))
        named.append(
            tuple(
                Placed(next(waiting[spot.shape.kind]), spot.x, spot.y, spot.shape.turned)
                for spot in spots
            )
        )
    return tuple(named)
