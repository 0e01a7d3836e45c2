"""An independent check of a layout: shapely's distances, and none of the packers' arithmetic.

A disc is checked through its centre and its radius, a rounded rectangle through the rectangle
within its corners, neither ever as a polygon: one drawn inside the round would show more room
than there is.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

import numpy as np
import shapely

from mouldgen.errors import LayoutError
from mouldgen.packing.shapes import (
    Bed,
    Disc,
    Footprint,
    KeepOut,
    Placed,
    Polygon,
    RectBed,
    RoundedRectangle,
)

ALLOWED_MM = 2e-3  # a tenth of what a printer repeats; positions and sizes are floats


def verify_plates(
    items: Sequence[Footprint],
    bed: Bed,
    plates: Sequence[Sequence[Placed]],
    *,
    margin_mm: float,
    spacing_mm: float,
    keep_outs: Sequence[KeepOut] = (),
) -> None:
    """Check that every item lies once, on the bed less its margin, apart from the others.

    And clear of every keep-out.

    Lengths may fall short by `ALLOWED_MM`.  Raises LayoutError with the item or the pair.
    """
    _each_once(len(items), plates)
    for number, plate in enumerate(plates, start=1):
        where = f"plate {number}"
        cores = np.array([_core(items[placed.item], placed) for placed in plate], dtype=object)
        radii = np.array([_radius(items[placed.item]) for placed in plate])
        _on_bed(plate, cores, radii, bed=bed, margin=margin_mm, where=where)
        _apart(plate, cores, radii, spacing=spacing_mm, where=where)
        for keep_out in keep_outs:
            _clear(plate, cores, radii, keep_out=keep_out, where=where)


def _each_once(count: int, plates: Sequence[Sequence[Placed]]) -> None:
    seen = Counter(placed.item for plate in plates for placed in plate)
    for item, times in sorted(seen.items()):
        if not 0 <= item < count:
            raise LayoutError(f"item {item} is placed and was never given")
        if times > 1:
            raise LayoutError(f"item {item} is placed {times} times")
    for item in range(count):
        if item not in seen:
            raise LayoutError(f"item {item} is on no plate")


def _core(item: Footprint, placed: Placed) -> shapely.Geometry:
    """The centre of a disc, a rectangle within its round corners, the whole of a polygon."""
    if isinstance(item, Disc):
        return shapely.Point(placed.x_mm, placed.y_mm)
    if isinstance(item, Polygon):
        return _polygon(item, placed)
    inset = item.corner_mm if isinstance(item, RoundedRectangle) else 0.0
    width, depth = item.width_mm - 2 * inset, item.depth_mm - 2 * inset
    if placed.turned % 2:
        width, depth = depth, width
    x, y = placed.x_mm - width / 2, placed.y_mm - depth / 2
    return shapely.box(x, y, x + width, y + depth)


def _polygon(item: Polygon, placed: Placed) -> shapely.Geometry:
    # Whole turns by hand: a sine of 90 degrees leaves a rounding error that stays.
    cos, sin = ((1, 0), (0, 1), (-1, 0), (0, -1))[placed.turned % 4]
    corners = np.array(item.corners_mm) @ np.array([[cos, sin], [-sin, cos]])
    middle = (corners.min(axis=0) + corners.max(axis=0)) / 2
    return shapely.Polygon(corners - middle + [placed.x_mm, placed.y_mm])


def _radius(item: Footprint) -> float:
    if isinstance(item, Disc):
        return item.radius_mm
    return item.corner_mm if isinstance(item, RoundedRectangle) else 0.0


def _on_bed(
    plate: Sequence[Placed],
    cores: np.ndarray,
    radii: np.ndarray,
    *,
    bed: Bed,
    margin: float,
    where: str,
) -> None:
    if not plate:
        return
    bounds = shapely.bounds(cores)
    if not np.isfinite(bounds).all():
        raise LayoutError("a position is not a finite number", where=where)
    if isinstance(bed, RectBed):
        room = np.concatenate(
            [bounds[:, :2] - margin, [bed.width_mm, bed.depth_mm] - bounds[:, 2:] - margin], axis=1
        ).min(axis=1)
    else:
        # The largest distance of an outline with straight edges from a point is a corner's.
        centre = shapely.Point(bed.diameter_mm / 2, bed.diameter_mm / 2)
        room = bed.diameter_mm / 2 - margin - shapely.hausdorff_distance(cores, centre)
    short = radii - room
    worst = int(short.argmax())
    if short[worst] > ALLOWED_MM:
        raise LayoutError(
            f"item {plate[worst].item} reaches {short[worst]:.3f} mm over the margin", where=where
        )


def _apart(
    plate: Sequence[Placed],
    cores: np.ndarray,
    radii: np.ndarray,
    *,
    spacing: float,
    where: str,
) -> None:
    first, second = np.triu_indices(len(plate), k=1)
    if len(first) == 0:
        return
    gaps = shapely.distance(cores[first], cores[second]) - radii[first] - radii[second]
    # Two outlines that cross are at distance 0 however deep; how deep shows once they shrink.
    crossing = np.flatnonzero((gaps <= 0) & (radii[first] + radii[second] <= ALLOWED_MM))
    gaps[crossing[_cross(cores[first[crossing]], cores[second[crossing]])]] = -np.inf
    worst = int(gaps.argmin())
    if gaps[worst] < spacing - ALLOWED_MM:
        pair = f"items {plate[first[worst]].item} and {plate[second[worst]].item}"
        told = "overlap" if gaps[worst] < 0 else f"are {gaps[worst]:.3f} mm apart"
        raise LayoutError(f"{pair} {told}", where=where, allowed=f"{spacing:.6g} mm or more")


def _cross(one: np.ndarray, other: np.ndarray) -> np.ndarray:
    """Whether outlines lie over one another by more than may be; points lie over what they are in.

    Either of the two is shrunk, as one that is thinner than that has nothing left.
    """
    found = np.zeros(len(one), dtype=bool)
    for still, moved in ((one, other), (other, one)):
        found |= shapely.intersects(still, shapely.buffer(moved, -ALLOWED_MM, join_style="mitre"))
    return found


def _clear(
    plate: Sequence[Placed],
    cores: np.ndarray,
    radii: np.ndarray,
    *,
    keep_out: KeepOut,
    where: str,
) -> None:
    if not plate:
        return
    zone = shapely.Polygon(keep_out.corners_mm)
    gaps = shapely.distance(cores, zone) - radii
    crossing = np.flatnonzero((gaps <= 0) & (radii <= ALLOWED_MM))
    gaps[crossing[_cross(cores[crossing], np.full(len(crossing), zone))]] = -np.inf
    worst = int(gaps.argmin())
    if gaps[worst] < keep_out.clearance_mm - ALLOWED_MM:
        told = "lies over" if gaps[worst] < 0 else f"is {gaps[worst]:.3f} mm from"
        raise LayoutError(
            f"item {plate[worst].item} {told} a keep-out",
            where=where,
            allowed=f"{keep_out.clearance_mm:.6g} mm or more",
        )
