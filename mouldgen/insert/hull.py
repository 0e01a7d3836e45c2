"""The convex outline round a bundle, to the resin a section without hollows."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from mouldgen.insert.facts import Corners

Point = tuple[float, float]
_TOUCH_MM = 0.05  # so near the round a corner holds a rib off


def hull(points: Iterable[Point]) -> Corners:
    """Corners of the smallest convex outline round some points, counter-clockwise [mm].

    Andrew's monotone chain (1979, from memory).

    points : x and y, three or more that are not in one line [mm].
    """
    ordered = sorted(set(points))

    def chain(way: Iterable[Point]) -> list[Point]:
        found: list[Point] = []
        for point in way:
            while len(found) >= 2 and _turn(found[-2], found[-1], point) <= 1e-12:
                found.pop()
            found.append(point)
        return found[:-1]

    return tuple(chain(ordered) + chain(reversed(ordered)))


def area_mm2(corners: Corners) -> float:
    """Area of an outline, counter-clockwise [mm2]."""
    turned = zip(corners, (*corners[1:], corners[0]), strict=True)
    return 0.5 * math.fsum(ax * by - bx * ay for (ax, ay), (bx, by) in turned)


def inside_mm(corners: Corners) -> float:
    """Distance of the axis from the nearest side of a convex outline [mm]; below 0 outside."""
    least = math.inf
    for (ax, ay), (bx, by) in zip(corners, (*corners[1:], corners[0]), strict=True):
        length = math.hypot(bx - ax, by - ay)
        least = min(least, (ax * by - bx * ay) / length)
    return least


def opening_mm(corners: Sequence[Point], *, envelope_mm: float) -> float:
    """Widest chord of the enclosing round between two corners that touch it [mm].

    envelope_mm : radius of that round [mm].
    """
    touching = sorted(
        math.atan2(y, x) for x, y in corners if math.hypot(x, y) >= envelope_mm - _TOUCH_MM
    )
    after = [*touching[1:], touching[0] + 2.0 * math.pi]
    widest = max(later - one for one, later in zip(touching, after, strict=True))
    return 2.0 * envelope_mm * math.sin(min(widest, math.pi) / 2.0)


def _turn(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
