"""How many plates any layout needs at least.

Bounds, often weak, and never estimates: each of them holds for every layout in which pieces are
turned by steps of 90 degrees.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from mouldgen.packing.area import TOLERANCE_MM
from mouldgen.packing.shapes import (
    Bed,
    Disc,
    Footprint,
    KeepOut,
    Polygon,
    Rectangle,
    RectBed,
    RoundedRectangle,
    kinds_of,
)

_SLACK = 1e-9  # a bound that lands on a whole number must not be pushed over it by rounding


def lower_bound(
    items: Sequence[Footprint],
    bed: Bed,
    *,
    margin_mm: float,
    spacing_mm: float,
    keep_outs: Sequence[KeepOut] = (),
) -> int:
    """Plates that no layout can do without.

    The largest of three: the area of the pieces against that of the bed, both grown by half the
    spacing; where all pieces are discs, how many of the smallest one plate can hold; and, for the
    rectangles among the pieces, their sides against those of the bed.

    items : the pieces.
    margin_mm, spacing_mm : kept free along the edge, and between pieces [mm].
    keep_outs : where nothing may lie.
    """
    if not items:
        return 0
    kinds = [(items[members[0]], len(members)) for members in kinds_of(items)]
    # What fits by the packers' tolerance alone fits: a bound that denied it would be none.
    half, margin = spacing_mm / 2 - TOLERANCE_MM, margin_mm - TOLERANCE_MM
    pieces = math.fsum(count * _grown(item, half) for item, count in kinds)
    usable = _usable(bed, margin, max(half, 0.0)) - _kept_out(bed, keep_outs, margin, half)
    plates = math.ceil(pieces / usable - _SLACK) if usable > 0 else 1
    radii = [item.radius_mm for item, _ in kinds if isinstance(item, Disc)]
    if len(radii) == len(kinds):
        held = most_discs(min(radii), bed, margin_mm, spacing_mm)
        plates = max(plates, math.ceil(len(items) / held)) if held else plates
    return max(plates, _by_sides(kinds, bed, margin, spacing_mm), 1)


def _grown(item: Footprint, by: float) -> float:
    """Area of a footprint with everything within `by` of it, or less than that [mm2].

    by : how far it is grown; less than 0 where it is shrunk [mm].
    """
    if isinstance(item, Disc):
        return math.pi * (item.radius_mm + by) ** 2
    if isinstance(item, Polygon):
        return _grown_polygon(item, by)
    corner = 0.0 if isinstance(item, Rectangle) else item.corner_mm
    width, depth = item.width_mm - 2 * corner, item.depth_mm - 2 * corner
    return _grown_rectangle(width, depth, by + corner)


def _grown_polygon(item: Polygon, by: float) -> float:
    """Of a polygon with hollows the growth is reckoned by shapely, whose arcs lie inside."""
    if by <= 0:
        corners = item.corners_mm
        around = math.fsum(math.dist(corners[i - 1], corners[i]) for i in range(len(corners)))
        return item.area_mm2 + around * by
    import shapely

    return float(shapely.Polygon(item.corners_mm).buffer(by, quad_segs=32).area)


def _kept_out(bed: Bed, keep_outs: Sequence[KeepOut], margin: float, by: float) -> float:
    """Area of a grown bed that no grown piece can reach for the keep-outs, or less [mm2]."""
    if not keep_outs:
        return 0.0
    import shapely

    kept = [
        shapely.Polygon(keep.corners_mm).buffer(keep.clearance_mm - TOLERANCE_MM - by, quad_segs=32)
        for keep in keep_outs
    ]
    if isinstance(bed, RectBed):
        whole = shapely.box(margin, margin, bed.width_mm - margin, bed.depth_mm - margin)
    else:
        middle = bed.diameter_mm / 2
        whole = shapely.Point(middle, middle).buffer(middle - margin, quad_segs=64)
    return float(shapely.union_all(kept).intersection(whole).area)


def _usable(bed: Bed, margin: float, by: float) -> float:
    """Area of a bed less its margin, with everything within `by` of that [mm2]."""
    if isinstance(bed, RectBed):
        width, depth = bed.width_mm - 2 * margin, bed.depth_mm - 2 * margin
        return _grown_rectangle(width, depth, by)
    return math.pi * (bed.diameter_mm / 2 - margin + by) ** 2


def _grown_rectangle(width: float, depth: float, by: float) -> float:
    return width * depth + 2 * (width + depth) * by + math.pi * by**2


def most_discs(radius: float, bed: Bed, margin: float, spacing: float) -> int:
    """The most discs of one size that any layout puts on a plate.

    Points at least 1 apart in a convex region of area A and perimeter P number at most
    2/sqrt(3) A + P/2 + 1 (Oler 1961; quoted from memory).  The points are the centres.
    """
    apart, margin = 2 * radius + spacing - TOLERANCE_MM, margin - TOLERANCE_MM
    if isinstance(bed, RectBed):
        sides = [(side - 2 * (margin + radius)) / apart for side in (bed.width_mm, bed.depth_mm)]
        width, depth = (max(side, 0.0) for side in sides)
        area, perimeter = width * depth, 2 * (width + depth)
    else:
        reach = max(bed.diameter_mm / 2 - margin - radius, 0.0) / apart
        area, perimeter = math.pi * reach**2, 2 * math.pi * reach
    return math.floor(2 / math.sqrt(3) * area + perimeter / 2 + 1 + _SLACK)


def _by_sides(
    kinds: Sequence[tuple[Footprint, int]], bed: Bed, margin: float, spacing: float
) -> int:
    """Plates by the sides of the rectangles, one kind at a time.

    Any two rectangles lie apart in x or in y by at least the spacing over the root of 2, so that
    grown by this much, and the bed likewise, they do not overlap; of round corners the same holds
    for the rectangles within them, with both radii added to the spacing.  Their sides may then be
    replaced by any others for which no row holds more than before (conservative scales; Fekete
    and Schepers 2004, quoted from memory): the area of the new ones bounds their number.
    """
    if not isinstance(bed, RectBed):
        return 0
    plates = 0
    for item, count in kinds:
        if isinstance(item, Rectangle | RoundedRectangle):
            corner = item.corner_mm if isinstance(item, RoundedRectangle) else 0.0
            grow = (2 * corner + spacing) / math.sqrt(2) - TOLERANCE_MM
            more = grow - 2 * corner
            room = [side - 2 * margin + more for side in (bed.width_mm, bed.depth_mm)]
            held = _most_rectangles(item.width_mm + more, item.depth_mm + more, room)
            plates = max(plates, math.ceil(count / held)) if held else plates
    return plates


def _most_rectangles(width: float, depth: float, room: Sequence[float]) -> int:
    """The most of one rectangle, either way up, whose grown sides are given [mm]."""
    along, across = (list(_scales(width, depth, side)) for side in room)
    least = max(min(a * d, b * c) for a, b in along for c, d in across)
    return math.floor(1 / least + _SLACK) if least > 0 else 0


def _scales(width: float, depth: float, room: float) -> Iterator[tuple[float, float]]:
    """Pairs of sides, as shares of the room, that fit in a row however the true ones do.

    A row holds i widths and j depths; every such i and j says i a + j b <= 1.  The corners of
    what that leaves, and the place of the largest product on each edge, are the candidates.
    """
    rows = [
        (i, max(math.floor((room - i * width) / depth + _SLACK), 0))
        for i in range(math.floor(room / width + _SLACK) + 1)
    ]
    lines = [row for row in rows if row != (0, 0)]
    ends = [(1 / i, 0.0) for i, j in lines if j == 0] + [(0.0, 1 / j) for i, j in lines if i == 0]
    edges = [(1 / (2 * i), 1 / (2 * j)) for i, j in lines if i and j]
    corners = [
        ((n - j) / (i * n - m * j), (i - m) / (i * n - m * j))
        for i, j in lines
        for m, n in lines
        if i * n != m * j
    ]
    for a, b in [*ends, *edges, *corners]:
        if a >= 0 and b >= 0 and all(i * a + j * b <= 1 + _SLACK for i, j in lines):
            yield a, b
    yield width / room, depth / room
