"""What the facts of a scan are measured on: volumes between heights, rounds, and its two ends."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import shapely

from mouldgen.errors import ScanError
from mouldgen.insert.facts import End

if TYPE_CHECKING:
    from mouldgen.solid.kernel import Solid
    from mouldgen.solid.mesh import Floats, Mesh

TOUCH_MM = 0.3  # of an end: so much of its height rests on a flat face (our own choice)
FLAT_MM = 4.0  # radius of the round from which an end counts as a flat face (our own choice)
LEAST_MM = 0.75  # of the spot that an end rests on: a leg of that radius meets it
_SPOTS = (90.0, 210.0, 330.0)  # degrees: more places on a flat end


def below_mm3(mesh: Mesh, heights_mm: Floats) -> Floats:
    """Volume below each of some heights, exactly (n,) [mm3].

    By the divergence theorem ``V(h) = integral of min(z, h) dx dy`` over the closed surface; the
    mean of min(z, h) over a triangle is a cubic of h between its corners.

    mesh : closed, wound outward.
    heights_mm : rising [mm].
    """
    corners = mesh.corners.astype(np.float64)
    ab, ac = (corners[:, k] - corners[:, 0] for k in (1, 2))
    level = 0.5 * (ab[:, 0] * ac[:, 1] - ab[:, 1] * ac[:, 0])  # area seen from above, signed
    low, middle, high = np.sort(corners[:, :, 2], axis=1).T
    mean = (low + middle + high) / 3.0
    found = []
    for height in heights_mm:
        # Mean of (h - z), where that is positive.
        under = np.where(height >= high, height - mean, 0.0)
        lower = (height > low) & (height <= middle)
        upper = (height > middle) & (height < high)
        span = (middle - low)[lower] * (high - low)[lower]
        under[lower] = (height - low[lower]) ** 3 / (3.0 * span)
        span = (high - middle)[upper] * (high - low)[upper]
        under[upper] = height - mean[upper] + (high[upper] - height) ** 3 / (3.0 * span)
        found.append(float(level @ (height - under)))
    return np.array(found)


def rounds_mm(mesh: Mesh, heights_mm: Floats) -> Floats:
    """Radius at each height of a round about the axis such that straight lines from one to the
    next enclose the surface (n,) [mm].

    mesh : standing on its axis.
    heights_mm : rising, the first and the last its ends [mm].
    """
    points = mesh.vertices.astype(np.float64)
    away = np.hypot(points[:, 0], points[:, 1])
    last = len(heights_mm) - 2
    piece = np.clip(np.searchsorted(heights_mm, points[:, 2], side="right") - 1, 0, last)
    widest = np.zeros(last + 1)
    np.maximum.at(widest, piece, away)
    # An edge is farthest from the axis at an end, or where it enters a piece.
    edges = np.concatenate([mesh.triangles[:, [k, (k + 1) % 3]] for k in range(3)])
    start, end = piece[edges].min(axis=1), piece[edges].max(axis=1)
    while len(edges := edges[(more := start < end)]):
        start, end = start[more] + 1, end[more]
        a, b = points[edges[:, 0]], points[edges[:, 1]]
        share = (heights_mm[start] - a[:, 2]) / (b[:, 2] - a[:, 2])
        at = np.hypot(*(a[:, :2] + share[:, None] * (b - a)[:, :2]).T)
        np.maximum.at(widest, start, at)
        np.maximum.at(widest, start - 1, at)
    return np.asarray(np.maximum(np.append(widest, 0.0), np.concatenate([[0.0], widest])))


def inner_mm(solid: Solid, heights_mm: Floats) -> float:
    """Radius of the largest circle round the axis inside the sections at some heights [mm]."""
    least = math.inf
    for height in heights_mm:
        section, axis = section_of(solid, float(height)), shapely.Point(0.0, 0.0)
        inside = section.contains(axis)
        least = min(least, float(section.boundary.distance(axis)) if inside else 0.0)
    return least


def section_of(solid: Solid, height_mm: float) -> shapely.Geometry:
    """Its section at a height, holes left out of it.

    height_mm : where [mm].
    """
    rings = [ring for ring in solid.section(height_mm) if len(ring) >= 3]
    outlines = [shapely.Polygon(ring) for ring in rings if _turn(ring) > 0.0]
    holes = [shapely.Polygon(ring) for ring in rings if _turn(ring) < 0.0]
    whole = shapely.union_all([shapely.make_valid(one) for one in outlines])
    return whole.difference(shapely.union_all([shapely.make_valid(one) for one in holes]))


def end_of(mesh: Mesh, solid: Solid, *, upper: bool, envelope_mm: float) -> End:
    """Where one end of a scan can be touched.

    The place that reaches farthest is touched for certain; on an end that is flat, within
    `TOUCH_MM`, three more round the axis are.

    Raises ScanError for a scan as flat as paper.

    mesh, solid : standing on its axis.
    upper : the upper end, else the lower.
    envelope_mm : radius of the round that encloses it [mm].
    """
    points = mesh.vertices.astype(np.float64)
    tip = points[points[:, 2].argmax() if upper else points[:, 2].argmin()]
    height = tip[2] - TOUCH_MM if upper else tip[2] + TOUCH_MM
    section, axis = section_of(solid, height), shapely.Point(0.0, 0.0)
    if section.is_empty:
        raise ScanError(
            f"the scan is {points[:, 2].max() - points[:, 2].min():.2g} mm long along its axis",
            where="[insert] file",
            allowed=f"more than {TOUCH_MM:g} mm",
            try_="Look at its unit: [insert] file_unit.",
        )
    flat = float(section.boundary.distance(axis)) if section.contains(axis) else 0.0
    own = float(section.boundary.distance(shapely.Point(*tip[:2])))
    spots = [(float(tip[0]), float(tip[1]), max(LEAST_MM, own))]
    if flat >= FLAT_MM:
        turns = np.radians(_SPOTS)
        spots += [(0.6 * flat * math.cos(t), 0.6 * flat * math.sin(t), 0.4 * flat) for t in turns]
    return End(
        outer_mm=max(LEAST_MM, flat),
        inner_mm=0.0,
        area_mm2=float(section.area),
        opening_mm=2.0 * envelope_mm,  # a rib meets it where it is drawn, at no other turn
        spots_mm=tuple(spots),
    )


def _turn(ring: Floats) -> float:
    x, y = ring.T
    return float(x @ np.roll(y, -1) - y @ np.roll(x, -1))
