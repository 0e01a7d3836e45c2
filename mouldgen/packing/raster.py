"""A plate filled one piece at a time on a lattice of positions about 1 mm apart.

For each shape a map gives every position its rank in the order of the fill.  Putting a piece down
strikes from every map the positions that would come too close to it, reckoned from the distance
itself; the next piece goes to the free position of the lowest rank.  What a piece strikes is the
same wherever it lies, so it is worked out once for each pair of shapes and kept.  Works for any
mix of footprints on any bed.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

import numpy as np
import numpy.typing as npt

from mouldgen.packing.area import TOLERANCE_MM, Area, Spot
from mouldgen.packing.outline import Floats, Shape, clear_at

Sweep = Literal["rows", "columns", "corner", "rim"]
SWEEPS: tuple[Sweep, ...] = ("rows", "columns", "corner", "rim")

_STEP_MM = 1.0  # half of it finds no more plates and takes four times as long
_LONGEST = 512  # positions along a side of the bed, beyond which the lattice grows coarser
_KEPT = 16_000_000  # cells of what pieces strike, 64 MB
_LOOK = 10_000  # positions that take as long as what a look costs beside them
_SLANTED = 3  # units for an edge and position where a distance is reckoned from slanted edges
_END = 10_000  # units for an edge where the positions at the far end are few
_STRUCK = 1 << 30  # more than any rank

_Ranks = npt.NDArray[np.int32]
_Key = tuple[int, int, float, float]


class Struck:
    """What pieces strike from maps, by the two shapes and the way from one to the other.

    Forgotten as a whole when it grows too large, as it does with many kinds or free positions.
    """

    def __init__(self) -> None:
        self._held: dict[_Key, _Ranks] = {}
        self._cells = 0

    def get(self, key: _Key) -> _Ranks | None:
        """What was put there; None where nothing is."""
        return self._held.get(key)

    def put(self, key: _Key, struck: _Ranks) -> None:
        """Keep it for this key."""
        if self._cells > _KEPT:
            self._held.clear()
            self._cells = 0
        self._held[key] = struck
        self._cells += struck.size


@dataclass(frozen=True, eq=False)
class _Axis:
    """Positions of one shape along one side of the bed: even steps, and perhaps the far end.

    low : the first [mm].
    even : how many lie a step apart.
    end : one more position that is less than a step on [mm]; None where there is none.
    """

    low: float
    step: float
    even: int
    end: float | None

    def __len__(self) -> int:
        return self.even + (self.end is not None)

    def __getitem__(self, index: int) -> float:
        if index == self.even and self.end is not None:
            return self.end
        return self.low + index * self.step

    @cached_property
    def all(self) -> Floats:
        """Every position [mm]; asked for with every piece that is put down, so never changed."""
        return np.array([self[i] for i in range(len(self))])

    def first_in(self, low: float) -> int:
        """Index of the first even position that is not below `low`; may lie off the lattice."""
        return math.ceil((low - self.low) / self.step - 1e-9)


@dataclass(frozen=True, eq=False)
class _Lattice:
    """Where the middle of one shape may be on an empty plate.

    ranks : shape (len(ys), len(xs)); `_STRUCK` where the shape is off the bed or over a keep-out.
    """

    shape: Shape
    xs: _Axis
    ys: _Axis
    ranks: _Ranks


class RasterFill:
    """Fills plates of one area with given shapes in one order of positions."""

    def __init__(
        self,
        shapes: Sequence[Sequence[Shape]],
        area: Area,
        *,
        sweep: Sweep,
        struck: Struck | None = None,
    ) -> None:
        """
        shapes : for each kind its ways up, all numbered differently.
        sweep : which free position comes first: the frontmost, the leftmost, the one nearest
            to the front left corner measured along the edges, or the one farthest from the
            middle of the bed.
        struck : what pieces strike, to be shared by the fills of the same shapes and area.
        """
        self._area = area
        self._sweep: Sweep = sweep
        self._struck = Struck() if struck is None else struck
        self._lattices = [[_lattice(shape, area, sweep) for shape in ways] for ways in shapes]
        self.work = 0  # positions looked at so far, and some more for each look

    def fits(self, kind: int) -> bool:
        """Whether a piece of this kind has a place on an empty plate."""
        return any(bool((lattice.ranks < _STRUCK).any()) for lattice in self._lattices[kind])

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
        if mixed:
            return self.by_turns(left, wanted, start=start)
        return self.by_quota(left, [(kind, left[kind]) for kind in wanted], start=start)

    def by_turns(
        self, left: Sequence[int], wanted: Sequence[int], *, start: Sequence[Spot]
    ) -> list[Spot]:
        """One plate on which the kinds take turns until none finds a place."""
        plate = self._plate(wanted, start)
        remaining, waiting = list(left), list(wanted)
        while waiting:
            for kind in tuple(waiting):
                placed = plate.fill(kind, 1)
                remaining[kind] -= placed
                if placed == 0 or remaining[kind] == 0:
                    waiting.remove(kind)
        return plate.spots

    def by_quota(
        self, left: Sequence[int], quotas: Sequence[tuple[int, int]], *, start: Sequence[Spot]
    ) -> list[Spot]:
        """One plate on which each entry puts down up to so many of its kind, one after the other.

        left : how many of each kind there are to place, without those of `start`.
        quotas : kind and how many; a kind may come more than once.
        """
        plate = self._plate([kind for kind, _ in quotas], start)
        remaining = list(left)
        for kind, most in quotas:
            remaining[kind] -= plate.fill(kind, min(most, remaining[kind]))
        return plate.spots

    def _plate(self, kinds: Sequence[int], start: Sequence[Spot]) -> _Plate:
        lattices = [lattice for kind in dict.fromkeys(kinds) for lattice in self._lattices[kind]]
        plate = _Plate(lattices, self)
        for spot in start:
            plate.put(spot)
        return plate

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

    def strikes(self, shape: Shape, spot: Spot, x: float, y: float) -> _Ranks:
        """What a piece takes away from a map of `shape`: `_STRUCK` or 0 a position.

        x, y : way from the piece to the first position looked at [mm].
        """
        key = (shape.number, spot.shape.number, round(x, 6), round(y, 6))
        found = self._struck.get(key)
        if found is None:
            spacing = self._area.spacing
            far_x, far_y = far_from(shape, spot, spacing)
            step = step_of(self._area)
            dx = np.arange(x, far_x + step, step)
            dy = np.arange(y, far_y + step, step)
            clear = clear_at(shape, spot.shape, dx, dy, spacing=spacing, tolerance=TOLERANCE_MM)
            found = np.where(clear, 0, _STRUCK).astype(np.int32)
            self._struck.put(key, found)
            self.work += 6 * _LOOK + found.size * max(8, _SLANTED * _edges(shape, spot.shape))
        return found

    @property
    def spacing(self) -> float:
        """Between two pieces [mm]."""
        return self._area.spacing


def far_from(shape: Shape, spot: Spot, spacing: float) -> tuple[float, float]:
    """How far off in x and in y a piece can no longer strike a position of a shape [mm]."""
    return (
        shape.half_x + spot.shape.half_x + spacing,
        shape.half_y + spot.shape.half_y + spacing,
    )


def _edges(shape: Shape, other: Shape) -> int:
    """Edges of all pairs of cores that are no boxes, which are what a distance costs."""
    return sum(
        len(one.corners) + len(two.corners)
        for one in shape.cores
        for two in other.cores
        if one.box is None or two.box is None
    )


class _Map:
    """What is still free for one shape on one plate."""

    def __init__(self, lattice: _Lattice, fill: RasterFill) -> None:
        self.lattice = lattice
        self._fill = fill
        self._ranks = lattice.ranks.copy()
        self._flat = self._ranks.reshape(-1)

    def first(self) -> Spot | None:
        """The free position of the lowest rank."""
        if self._flat.size == 0:
            return None
        self._fill.work += self._flat.size + _LOOK
        index = int(self._flat.argmin())
        if self._flat[index] >= _STRUCK:
            return None
        row, column = divmod(index, len(self.lattice.xs))
        return Spot(self.lattice.shape, self.lattice.xs[column], self.lattice.ys[row])

    def strike(self, spot: Spot) -> None:
        """Take away the positions that come too close to a piece."""
        shape, xs, ys = self.lattice.shape, self.lattice.xs, self.lattice.ys
        far_x, far_y = far_from(shape, spot, self._fill.spacing)
        i, j = xs.first_in(spot.x - far_x), ys.first_in(spot.y - far_y)
        struck = self._fill.strikes(
            shape, spot, xs.low + i * xs.step - spot.x, ys.low + j * ys.step - spot.y
        )
        self._fill.work += struck.size + _LOOK
        k, m = min(i + struck.shape[1], xs.even), min(j + struck.shape[0], ys.even)
        left, front = max(i, 0), max(j, 0)
        if k > left and m > front:
            self._ranks[front:m, left:k] |= struck[front - j : m - j, left - i : k - i]
        if xs.end is not None and abs(xs.end - spot.x) < far_x:
            self._strike_end(spot, np.array([xs.end]), ys.all, np.s_[:, -1:])
        if ys.end is not None and abs(ys.end - spot.y) < far_y:
            self._strike_end(spot, xs.all, np.array([ys.end]), np.s_[-1:, :])

    def _strike_end(self, spot: Spot, xs: Floats, ys: Floats, where: tuple[slice, slice]) -> None:
        self._fill.work += _END * _edges(self.lattice.shape, spot.shape)
        clear = clear_at(
            self.lattice.shape, spot.shape, xs - spot.x, ys - spot.y,
            spacing=self._fill.spacing, tolerance=TOLERANCE_MM,
        )  # fmt: skip
        self._ranks[where] |= np.where(clear, 0, _STRUCK).astype(np.int32)


class _Plate:
    """A plate while it is being filled."""

    def __init__(self, lattices: Sequence[_Lattice], fill: RasterFill) -> None:
        self.spots: list[Spot] = []
        self._fill = fill
        self._maps = [_Map(lattice, fill) for lattice in lattices]

    def put(self, spot: Spot) -> None:
        self.spots.append(spot)
        for free in self._maps:
            free.strike(spot)

    def fill(self, kind: int, count: int) -> int:
        """Place up to `count` pieces of a kind; how many found a place."""
        maps = [free for free in self._maps if free.lattice.shape.kind == kind]
        for placed in range(count):
            spots = [spot for free in maps if (spot := free.first()) is not None]
            if not spots:
                self._maps = [free for free in self._maps if free not in maps]
                return placed
            self.put(min(spots, key=self._fill.reach))
        return count


def step_of(area: Area) -> float:
    """From one position of a lattice to the next [mm]."""
    return area.up(max(_STEP_MM, max(area.width, area.depth) / _LONGEST))


def _lattice(shape: Shape, area: Area, sweep: Sweep) -> _Lattice:
    step = step_of(area)
    centre = None if area.radius is None else area.down(area.width / 2)
    xs = _axis(*area.span_x(shape), step, through=centre)
    ys = _axis(*area.span_y(shape), step, through=centre)
    x, y = xs.all[None, :], ys.all[:, None]
    free = np.ones((len(ys), len(xs)), dtype=np.bool_)
    if area.radius is not None:
        for core in shape.cores:
            for a, b in core.corners:
                far = np.hypot(x + (a - area.width / 2), y + (b - area.depth / 2))
                free &= far + shape.rim <= area.radius + TOLERANCE_MM
    for block, kept in area.blocks:
        free &= clear_at(shape, block, xs.all, ys.all, spacing=kept, tolerance=TOLERANCE_MM)
    ranks = _ranks(x, y, area, sweep)
    return _Lattice(shape, xs, ys, np.where(free, ranks, _STRUCK).astype(np.int32))


def _ranks(x: Floats, y: Floats, area: Area, sweep: Sweep) -> npt.NDArray[np.intp]:
    """The place of each position in the order of the fill."""
    size = x.size * y.size
    shape = (y.size, x.size)
    if sweep == "rows":
        return np.arange(size).reshape(shape)
    if sweep == "columns":
        return np.arange(size).reshape(shape[::-1]).T
    if sweep == "corner":
        order = np.argsort(np.round(x + y, 6).reshape(-1), kind="stable")
    else:
        away = np.round(np.hypot(x - area.width / 2, y - area.depth / 2), 6)  # ties stay ties
        order = np.argsort(-away.reshape(-1), kind="stable")
    ranks = np.empty(size, dtype=np.intp)
    ranks[order] = np.arange(size)
    return ranks.reshape(shape)


def _axis(low: float, high: float, step: float, *, through: float | None) -> _Axis:
    """Every step from the low end, and the high end itself; none where low is over high.

    through : a position to step from instead, so that what only fits in the middle of a round
        bed finds it.
    """
    if high < low - TOLERANCE_MM:
        return _Axis(low, step, 0, None)
    if through is not None:
        low = through - int((through - low) / step + TOLERANCE_MM) * step
    even = int((high - low) / step + TOLERANCE_MM) + 1
    last = low + (even - 1) * step
    return _Axis(low, step, even, high if high - last > TOLERANCE_MM else None)
