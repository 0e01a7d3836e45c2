"""Footprints as the packers see them: convex cores with a round rim.

A disc is a point with a rim, a rectangle a core with none, a rounded rectangle a smaller core
with a rim; a polygon is cut along level lines into convex cores, and has no rim.  Two pieces are
far enough apart when their cores are apart by both rims and the spacing.  Everything is plain
arithmetic on the true outline, so that a disc is a disc and an L may lie in the arm of another.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from mouldgen.packing.shapes import Disc, Footprint, Polygon, Rectangle

Floats = npt.NDArray[np.float64]
_Point = tuple[float, float]


@dataclass(frozen=True, eq=False)
class Core:
    """A convex piece of a shape.

    corners : counter-clockwise, from the middle of the shape's bounding box [mm]; one for a
        point.
    box : middle and half the sides where it is a point or a rectangle along the axes [mm].
    """

    corners: tuple[_Point, ...]
    box: tuple[float, float, float, float] | None


@dataclass(frozen=True, eq=False)
class Shape:
    """One kind of footprint, one way up.

    kind : index of the kind among the distinct footprints; -1 for a keep-out.
    turned : by how many times 90 degrees, counter-clockwise.
    core_x, core_y : half the sides of the box round its cores [mm].
    rim : radius of the rim [mm].
    cores : what it consists of, the rim left off.
    number : its place among all the shapes of a layout.
    """

    kind: int
    turned: int
    core_x: float
    core_y: float
    rim: float
    cores: tuple[Core, ...]
    number: int = -1

    @property
    def half_x(self) -> float:
        """Half the width [mm]."""
        return self.core_x + self.rim

    @property
    def half_y(self) -> float:
        """Half the depth [mm]."""
        return self.core_y + self.rim

    @property
    def is_disc(self) -> bool:
        """Whether it is a point with a rim."""
        return self.core_x == 0 and self.core_y == 0


def ways_up(footprint: Footprint, kind: int, first: int = 0) -> tuple[Shape, ...]:
    """The shape of a footprint, and of its turned selves where those differ.

    kind : of the footprint.
    first : number of the first of them.
    """
    if isinstance(footprint, Polygon):
        return _polygons(footprint, kind, first)
    if isinstance(footprint, Disc):
        return (_boxed(kind, 0, (0.0, 0.0), footprint.radius_mm, first),)
    rim = 0.0 if isinstance(footprint, Rectangle) else footprint.corner_mm
    half_x, half_y = footprint.width_mm / 2 - rim, footprint.depth_mm / 2 - rim
    flat = _boxed(kind, 0, (half_x, half_y), rim, first)
    if half_x == half_y:
        return (flat,)
    return flat, _boxed(kind, 1, (half_y, half_x), rim, first + 1)


def all_ways_up(footprints: Sequence[Footprint]) -> list[tuple[Shape, ...]]:
    """The shapes of several kinds of footprint, all of them numbered differently."""
    shapes: list[tuple[Shape, ...]] = []
    for kind, footprint in enumerate(footprints):
        shapes.append(ways_up(footprint, kind, sum(map(len, shapes))))
    return shapes


def _boxed(kind: int, turned: int, half: _Point, rim: float, number: int) -> Shape:
    x, y = half
    corners = ((-x, -y), (x, -y), (x, y), (-x, y)) if x or y else ((0.0, 0.0),)
    return Shape(kind, turned, x, y, rim, (Core(corners, (0.0, 0.0, x, y)),), number)


def _polygons(polygon: Polygon, kind: int, first: int) -> tuple[Shape, ...]:
    shapes: list[Shape] = []
    seen: set[tuple[_Point, ...]] = set()
    for quarters in range(4):
        turned = polygon.turned(quarters)
        outline = _ring(turned.corners_mm)
        if outline not in seen:
            seen.add(outline)
            half = turned.width_mm / 2, turned.depth_mm / 2
            cores = convex_cores(turned.corners_mm)
            shapes.append(Shape(kind, quarters, *half, 0.0, cores, first + len(shapes)))
    return tuple(shapes)


def _ring(corners: tuple[_Point, ...]) -> tuple[_Point, ...]:
    """The corners in order from the lowest left, the same for outlines that look the same.

    In order, since an arrow has the corners of a square and one more in its middle.
    """
    rounded = [(round(x, 6) + 0.0, round(y, 6) + 0.0) for x, y in corners]
    start = rounded.index(min(rounded))
    return (*rounded[start:], *rounded[:start])


def convex_cores(corners: tuple[_Point, ...]) -> tuple[Core, ...]:
    """A simple polygon cut into convex pieces: whole where it is convex, else along level lines.

    corners : counter-clockwise [mm].
    """
    if _is_convex(corners):
        return (_core(corners),)
    levels = sorted({y for _, y in corners})
    pieces: list[tuple[list[_Point], list[_Point]]] = []  # left and right side of each, upward
    for low, high in pairwise(levels):
        for start, end in _slice(corners, low, high):
            for sides in pieces:
                if (sides[0][-1], sides[1][-1]) == start and _goes_on(sides, end):
                    _extend(sides, end)
                    break
            else:
                pieces.append(([start[0], end[0]], [start[1], end[1]]))
    return tuple(
        _core(tuple(dict.fromkeys([left[0], *right, *reversed(left)]))) for left, right in pieces
    )


_Level = tuple[_Point, _Point]  # left and right end of a cut along a level line


def _slice(corners: tuple[_Point, ...], low: float, high: float) -> list[tuple[_Level, _Level]]:
    """The trapezia of a polygon between two levels with no corner between: lower, upper ends."""
    crossing = []
    for a, b in zip(corners, (*corners[1:], corners[0]), strict=True):
        if min(a[1], b[1]) <= low and max(a[1], b[1]) >= high:
            crossing.append((_at_level(a, b, low), _at_level(a, b, high)))
    crossing.sort(key=sum)
    return [
        (((left[0], low), (right[0], low)), ((left[1], high), (right[1], high)))
        for left, right in zip(crossing[::2], crossing[1::2], strict=True)
    ]


def _at_level(a: _Point, b: _Point, y: float) -> float:
    """Where an edge crosses a level [mm]; at its ends to the last bit where they are."""
    return b[0] if y == b[1] else a[0] + (b[0] - a[0]) * (y - a[1]) / (b[1] - a[1])


def _bend(side: list[_Point], end: _Point) -> float:
    """Over 0 where a side that goes on to a point turns left there, 0 where it is straight."""
    (ax, ay), (bx, by) = side[-2:]
    return (bx - ax) * (end[1] - by) - (by - ay) * (end[0] - bx)


def _goes_on(sides: tuple[list[_Point], list[_Point]], end: _Level) -> bool:
    """Whether a convex piece stays convex when it goes on to a level."""
    return _bend(sides[0], end[0]) <= 0 <= _bend(sides[1], end[1])


def _extend(sides: tuple[list[_Point], list[_Point]], end: _Level) -> None:
    for side, point in zip(sides, end, strict=True):
        if _bend(side, point) == 0:
            side.pop()
        side.append(point)


def _is_convex(corners: tuple[_Point, ...]) -> bool:
    count = len(corners)
    for i, (x, y) in enumerate(corners):
        (ax, ay), (bx, by) = corners[i - 1], corners[(i + 1) % count]
        if (x - ax) * (by - y) - (y - ay) * (bx - x) < 0:
            return False
    return True


def _core(corners: tuple[_Point, ...]) -> Core:
    xs, ys = sorted({x for x, _ in corners}), sorted({y for _, y in corners})
    if len(corners) == 4 and len(xs) == 2 and len(ys) == 2:
        middle = (xs[0] + xs[1]) / 2, (ys[0] + ys[1]) / 2
        return Core(corners, (*middle, (xs[1] - xs[0]) / 2, (ys[1] - ys[0]) / 2))
    return Core(corners, None)


def clear_at(
    shape: Shape, other: Shape, dx: Floats, dy: Floats, *, spacing: float, tolerance: float
) -> npt.NDArray[np.bool_]:
    """Where a shape is far enough from another, by the way from the other's middle to its own.

    dx, dy : the ways in x and in y, each ascending, shapes (n,) and (m,) [mm].
    spacing : to be kept between the two, met to within the tolerance [mm].

    Gives an array of shape (m, n).
    """
    apart = shape.rim + other.rim + spacing - tolerance
    clear = np.ones((len(dy), len(dx)), dtype=np.bool_)
    for one in shape.cores:
        for two in other.cores:
            if one.box is not None and two.box is not None:
                clear &= _boxes_clear(one.box, two.box, dx, dy, apart)
            else:
                hull, (left, front, right, back) = _ways(one.corners, two.corners)
                columns = _within(dx, left, right, apart)
                rows = _within(dy, front, back, apart)
                near = clear[rows, columns]
                if near.size:
                    near &= _hulls_clear(hull, dx[columns], dy[rows], apart)
    return clear


def _boxes_clear(
    one: tuple[float, float, float, float],
    two: tuple[float, float, float, float],
    dx: Floats,
    dy: Floats,
    apart: float,
) -> npt.NDArray[np.bool_]:
    beside = np.abs(dx + (one[0] - two[0])) - (one[2] + two[2])
    behind = np.abs(dy + (one[1] - two[1])) - (one[3] + two[3])
    if apart > 0:
        squares = np.maximum(behind, 0)[:, None] ** 2 + np.maximum(beside, 0)[None, :] ** 2
        return np.asarray(squares >= apart**2)
    # Two rectangles that may touch: only what overlaps is too close.
    return np.asarray((behind >= apart)[:, None] | (beside >= apart)[None, :])


def _hulls_clear(hull: list[_Point], dx: Floats, dy: Floats, apart: float) -> npt.NDArray[np.bool_]:
    """Of two convex pieces, by the distance of the way from the hull of all ways that overlap."""
    edges = list(zip(hull, [*hull[1:], hull[0]], strict=True))
    # How far outside the line of an edge a way lies at most; its distance is that or more.
    out = np.full((len(dy), len(dx)), -np.inf)
    for (ax, ay), (bx, by) in edges:
        far = math.hypot(bx - ax, by - ay)
        ex, ey = (bx - ax) / far, (by - ay) / far
        np.maximum(out, ((dx - ax) * ey)[None, :] - ((dy - ay) * ex)[:, None], out=out)
    clear = out >= apart
    if apart <= 0:
        return np.asarray(clear)
    rows, columns = np.nonzero((out > 0) & ~clear)  # beside a corner: by the edges themselves
    x, y = dx[columns], dy[rows]
    nearest = np.full(len(x), np.inf)
    for (ax, ay), (bx, by) in edges:
        ex, ey = bx - ax, by - ay
        along = np.clip(((x - ax) * ex + (y - ay) * ey) / (ex * ex + ey * ey), 0, 1)
        np.minimum(nearest, (x - ax - along * ex) ** 2 + (y - ay - along * ey) ** 2, out=nearest)
    clear[rows, columns] = nearest >= apart**2
    return np.asarray(clear)


@lru_cache(maxsize=4096)
def _ways(
    one: tuple[_Point, ...], two: tuple[_Point, ...]
) -> tuple[list[_Point], tuple[float, float, float, float]]:
    """The hull of all ways at which two convex pieces overlap; its left, front, right and back."""
    hull = _hull([(bx - ax, by - ay) for ax, ay in one for bx, by in two])
    xs, ys = zip(*hull, strict=True)
    return hull, (min(xs), min(ys), max(xs), max(ys))


def _within(ways: Floats, low: float, high: float, apart: float) -> slice:
    """The ways, which ascend, that are not clear for their length alone."""
    reach = max(apart, 0.0)
    return slice(
        int(np.searchsorted(ways, low - reach)),
        int(np.searchsorted(ways, high + reach, side="right")),
    )


def _hull(points: list[_Point]) -> list[_Point]:
    """The corners of the convex hull, counter-clockwise."""
    ordered = sorted(set(points))
    halves: list[list[_Point]] = []
    for run in (ordered, ordered[::-1]):
        half: list[_Point] = []
        for x, y in run:
            while len(half) > 1:
                (ax, ay), (bx, by) = half[-2:]
                if (bx - ax) * (y - ay) - (by - ay) * (x - ax) > 0:
                    break
                half.pop()
            half.append((x, y))
        halves.append(half[:-1])
    return halves[0] + halves[1]
