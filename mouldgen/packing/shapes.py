"""Footprints, beds, what keeps a part of a bed free, and where a footprint was put."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, fields
from itertools import pairwise

from mouldgen.errors import InputError


@dataclass(frozen=True, eq=False)
class Disc:
    """A round footprint.

    radius_mm : its radius [mm].
    """

    radius_mm: float

    def __post_init__(self) -> None:
        _require_size(self.radius_mm, "a disc's radius")

    @property
    def area_mm2(self) -> float:
        """Its area [mm2]."""
        return math.pi * self.radius_mm**2

    def __str__(self) -> str:
        return f"a disc of {2 * self.radius_mm:.6g} mm"


@dataclass(frozen=True, eq=False)
class Rectangle:
    """A rectangular footprint, which may be turned by 90 degrees.

    width_mm, depth_mm : its sides along x and y while it is not turned [mm].
    """

    width_mm: float
    depth_mm: float

    def __post_init__(self) -> None:
        _require_size(self.width_mm, "a rectangle's width")
        _require_size(self.depth_mm, "a rectangle's depth")

    @property
    def area_mm2(self) -> float:
        """Its area [mm2]."""
        return self.width_mm * self.depth_mm

    def __str__(self) -> str:
        return f"a rectangle of {self.width_mm:.6g} x {self.depth_mm:.6g} mm"


@dataclass(frozen=True, eq=False)
class RoundedRectangle:
    """A rectangular footprint with round corners, which may be turned by 90 degrees.

    width_mm, depth_mm : its sides along x and y while it is not turned [mm].
    corner_mm : radius of its corners, at most half the shorter side [mm].
    """

    width_mm: float
    depth_mm: float
    corner_mm: float

    def __post_init__(self) -> None:
        _require_size(self.width_mm, "a rectangle's width")
        _require_size(self.depth_mm, "a rectangle's depth")
        _require_size(self.corner_mm, "the radius of a rectangle's corners")
        if self.corner_mm > min(self.width_mm, self.depth_mm) / 2:
            raise InputError(
                f"{self} has no room for its corners", allowed="at most half the shorter side"
            )

    @property
    def area_mm2(self) -> float:
        """Its area [mm2]."""
        return self.width_mm * self.depth_mm - (4 - math.pi) * self.corner_mm**2

    def __str__(self) -> str:
        sides = f"{self.width_mm:.6g} x {self.depth_mm:.6g} mm"
        return f"a rectangle of {sides} with corners of {self.corner_mm:.6g} mm"


@dataclass(frozen=True, eq=False)
class Polygon:
    """A footprint with straight edges, hollows in its side allowed; turned by 90-degree steps.

    corners_mm : x and y of its corners in order, counter-clockwise, the first not repeated [mm].
        Where they lie does not matter: a polygon is placed by the middle of its bounding box.
    """

    corners_mm: tuple[tuple[float, float], ...]
    width_mm: float = field(init=False)
    depth_mm: float = field(init=False)
    area_mm2: float = field(init=False)

    def __post_init__(self) -> None:
        corners = tuple((float(x), float(y)) for x, y in self.corners_mm)
        _require_outline(corners, "a polygon")
        xs, ys = zip(*corners, strict=True)
        middle = (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2
        object.__setattr__(self, "corners_mm", tuple(_less(c, middle) for c in corners))
        object.__setattr__(self, "width_mm", max(xs) - min(xs))
        object.__setattr__(self, "depth_mm", max(ys) - min(ys))
        object.__setattr__(self, "area_mm2", _area(corners))

    def turned(self, quarters: int) -> Polygon:
        """The same, turned counter-clockwise by so many times 90 degrees."""
        corners = self.corners_mm
        for _ in range(quarters % 4):
            corners = tuple((-y, x) for x, y in corners)
        return Polygon(corners)

    def __str__(self) -> str:
        sides = f"{self.width_mm:.6g} x {self.depth_mm:.6g} mm"
        return f"a polygon of {len(self.corners_mm)} corners in {sides}"


Footprint = Disc | Rectangle | RoundedRectangle | Polygon


def kinds_of(items: Sequence[Footprint]) -> list[list[int]]:
    """The indices of the items of each distinct footprint, in the order of their first item."""
    kinds: dict[tuple[object, ...], list[int]] = {}
    for index, item in enumerate(items):
        key = (type(item), *(getattr(item, part.name) for part in fields(item)))
        kinds.setdefault(key, []).append(index)
    return list(kinds.values())


@dataclass(frozen=True, eq=False)
class RectBed:
    """A rectangular bed; its origin is the corner with the smallest x and y.

    width_mm, depth_mm : its sides along x and y [mm].
    """

    width_mm: float
    depth_mm: float

    def __post_init__(self) -> None:
        _require_size(self.width_mm, "a bed's width")
        _require_size(self.depth_mm, "a bed's depth")

    def __str__(self) -> str:
        return f"a bed of {self.width_mm:.6g} x {self.depth_mm:.6g} mm"


@dataclass(frozen=True, eq=False)
class RoundBed:
    """A round bed; its origin is the corner of its bounding square with the smallest x and y.

    diameter_mm : its diameter [mm]; the centre is at half of it in x and in y.
    """

    diameter_mm: float

    def __post_init__(self) -> None:
        _require_size(self.diameter_mm, "a bed's diameter")

    def __str__(self) -> str:
        return f"a round bed of {self.diameter_mm:.6g} mm"


Bed = RectBed | RoundBed


@dataclass(frozen=True, eq=False)
class KeepOut:
    """A part of a bed on which nothing may lie, such as one under a clip.

    corners_mm : x and y of its corners from the bed's origin, in order counter-clockwise [mm];
        it may reach over the edge.
    clearance_mm : kept free round it [mm].
    """

    corners_mm: tuple[tuple[float, float], ...]
    clearance_mm: float = 0.0

    def __post_init__(self) -> None:
        _require_outline(self.corners_mm, "a keep-out")
        if not (math.isfinite(self.clearance_mm) and self.clearance_mm >= 0):
            raise InputError(
                f"the clearance of a keep-out cannot be {self.clearance_mm!r} mm",
                allowed="0 mm or more",
            )

    @classmethod
    def rectangle(
        cls, x_mm: float, y_mm: float, width_mm: float, depth_mm: float, *, clearance_mm: float = 0
    ) -> KeepOut:
        """The rectangle with its lowest corner at x, y [mm]."""
        _require_size(width_mm, "a keep-out's width")
        _require_size(depth_mm, "a keep-out's depth")
        right, back = x_mm + width_mm, y_mm + depth_mm
        return cls(((x_mm, y_mm), (right, y_mm), (right, back), (x_mm, back)), clearance_mm)


@dataclass(frozen=True, eq=False)
class Placed:
    """One item on a plate.

    item : its index in the sequence that was packed.
    x_mm, y_mm : the middle of its footprint's bounding box, from the bed's origin [mm].
    turned : by how many times 90 degrees it was turned, counter-clockwise; 0 or 1 for what looks
        the same after two.
    """

    item: int
    x_mm: float
    y_mm: float
    turned: int = 0


def _require_size(value: float, what: str) -> None:
    if not (math.isfinite(value) and value > 0):
        raise InputError(f"{what} cannot be {value!r} mm", allowed="a length over 0 mm")


def _less(corner: tuple[float, float], other: tuple[float, float]) -> tuple[float, float]:
    return corner[0] - other[0], corner[1] - other[1]


def _cross(a: tuple[float, float], b: tuple[float, float]) -> float:
    return a[0] * b[1] - a[1] * b[0]


def _area(corners: tuple[tuple[float, float], ...]) -> float:
    """Positive where the corners run counter-clockwise [mm2]."""
    origin = corners[0]  # so that a polygon far off loses no digits
    moved = [_less(corner, origin) for corner in corners]
    return math.fsum(_cross(a, b) for a, b in pairwise(moved)) / 2


def _require_outline(corners: tuple[tuple[float, float], ...], what: str) -> None:
    """Corners of a simple polygon that run counter-clockwise."""
    if len(corners) < 3:
        raise InputError(f"{what} has {len(corners)} corners", allowed="3 or more")
    if not all(math.isfinite(x) and math.isfinite(y) for x, y in corners):
        raise InputError(f"a corner of {what} is not a finite number")
    edges = list(zip(corners, (*corners[1:], corners[0]), strict=True))
    for number, (start, end) in enumerate(edges, start=1):
        if start == end:
            raise InputError(f"{what} has its corner {number} twice", try_="Leave one of them out.")
    for i, one in enumerate(edges):
        for k in range(i + 1, len(edges)):
            beside = k == i + 1 or (i == 0 and k == len(edges) - 1)
            if _folded(one, edges[k]) if beside else _meet(one, edges[k]):
                raise InputError(
                    f"the edges {i + 1} and {k + 1} of {what} meet",
                    allowed="an outline that does not cross or touch itself",
                )
    if _area(corners) <= 0:
        raise InputError(
            f"the corners of {what} run clockwise",
            allowed="counter-clockwise, the inside at the left hand",
            try_="Give them in the opposite order.",
        )


_Edge = tuple[tuple[float, float], tuple[float, float]]


def _meet(one: _Edge, other: _Edge) -> bool:
    """Whether two edges have a point in common."""
    (a, b), (c, d) = one, other
    along, across = _less(b, a), _less(d, c)
    sides = [_cross(along, _less(c, a)), _cross(along, _less(d, a))]
    others = [_cross(across, _less(a, c)), _cross(across, _less(b, c))]
    if max(sides) < 0 or min(sides) > 0 or max(others) < 0 or min(others) > 0:
        return False
    return all(
        max(min(a[i], b[i]), min(c[i], d[i])) <= min(max(a[i], b[i]), max(c[i], d[i]))
        for i in (0, 1)
    )


def _folded(one: _Edge, other: _Edge) -> bool:
    """Whether two edges that share a corner lie on one another."""
    along, across = _less(one[1], one[0]), _less(other[1], other[0])
    dot = along[0] * across[0] + along[1] * across[1]
    return _cross(along, across) == 0 and dot < 0
