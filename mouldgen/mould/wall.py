"""The outside of a wall round a bore."""

from __future__ import annotations

from mouldgen.size import Size
from mouldgen.size.profile import LEAST_MM, Profile, roofed

_BEYOND = 10.0  # mm over and under the wall, where its ends do not matter
_MITRE = 5.0


def outside(size: Size, *, bottom_mm: float) -> Profile:
    """The outside of the wall, from the print bed to the rim; grooves and lettering left out.

    Nowhere nearer to the bore than the wall is thick, and going up it opens by no more than 45
    degrees, so that a bulge prints without support.

    size : the mould.
    bottom_mm : height of the outside floor [mm].
    """
    inside = size.bore.between(bottom_mm, size.rim_mm)
    if len(inside) == 2:  # one straight wall is as thick as it is asked for, level
        return Profile(tuple((z, r + size.wall_mm) for z, r in inside))
    points = _stood_off(size.bore.between(bottom_mm - _BEYOND, size.rim_mm + _BEYOND), size.wall_mm)
    flipped = roofed([(-z, r) for z, r in reversed(points)])
    whole = Profile(tuple((-z, r) for z, r in reversed(flipped)))
    return Profile(tuple(whole.between(bottom_mm, size.rim_mm)))


def _stood_off(wall: list[tuple[float, float]], by_mm: float) -> list[tuple[float, float]]:
    """Heights and radii at a distance outside of a wall, corners mitred, rising [mm]."""
    import shapely

    inside = [(0.0, wall[0][0]), *((r, z) for z, r in wall), (0.0, wall[-1][0])]
    grown = shapely.Polygon(inside).buffer(by_mm, join_style="mitre", mitre_limit=_MITRE)
    low, high = wall[0][0], wall[-1][0]
    # A mitre's tip over the edge of a bulge thickens nothing where the wall is thin.
    widest = max(r for _, r in wall) + by_mm
    grown = grown.intersection(shapely.box(-widest, low - widest, widest, high + widest))
    out: list[tuple[float, float]] = []
    for r, z in sorted(grown.exterior.coords, key=lambda corner: (corner[1], -corner[0])):
        if r > by_mm and low < z < high and (not out or z > out[-1][0] + LEAST_MM):
            out.append((z, r))
    return [(low, wall[0][1] + by_mm), *out, (high, wall[-1][1] + by_mm)]
