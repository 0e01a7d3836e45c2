"""Does a part stand by itself on the bed while it is printed?"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from mouldgen.solid.mesh import Floats
from mouldgen.solid.surface import Surface

# A foot looks straight down, within the 2.6 degrees that a first layer levels out.
_FLAT = -0.999


@dataclass(frozen=True, eq=False)
class Standing:
    """A part on the bed.

    foot_mm2 : area that touches it [mm2].
    height_mm : of the part [mm].
    foot_mm : the foot's narrowest width, from one straight edge laid against it to the other
        side [mm].
    tips_at_deg : the lean at which it falls over by its own weight; negative where it does so
        upright, -90 without a foot [degrees].
    middle : its centre of mass [mm].
    """

    foot_mm2: float
    height_mm: float
    foot_mm: float
    tips_at_deg: float
    middle: tuple[float, float, float]


def standing(surface: Surface, *, layer_mm: float) -> Standing:
    """How a part stands.

    surface : faces and edges of a closed mesh in its printing pose.
    layer_mm : height of a layer; what lies no higher than half of it is on the bed [mm].
    """
    heights = surface.corners[:, 2]
    low, high = float(heights.min()), float(heights.max())
    triangles = surface.mesh.triangles
    down = np.flatnonzero(surface.normals[:, 2] < _FLAT)
    feet = down[heights[triangles[down]].max(axis=1) <= low + 0.5 * layer_mm]
    x, y, z = _centre(surface)
    foot_mm2 = float(surface.areas[feet].sum())
    if foot_mm2 <= 0.0:
        return Standing(0.0, high - low, 0.0, -90.0, (x, y, z))
    outline = hull(surface.corners[np.flatnonzero(np.bincount(triangles[feet].ravel()))][:, :2])
    inward = np.roll(outline, -1, axis=0) - outline
    inward = np.column_stack([-inward[:, 1], inward[:, 0]])
    inward /= np.sqrt((inward * inward).sum(axis=1))[:, None]
    inside = float(((np.array([x, y]) - outline) * inward).sum(axis=1).min())
    depths = (outline[None] * inward[:, None]).sum(axis=2)
    return Standing(
        foot_mm2=foot_mm2,
        height_mm=high - low,
        foot_mm=float((depths.max(axis=1) - depths.min(axis=1)).min()),
        tips_at_deg=math.degrees(math.atan2(inside, z - low)),
        middle=(x, y, z),
    )


def _centre(surface: Surface) -> tuple[float, float, float]:
    """Centre of mass of the solid, from the tetrahedra between a corner and each face [mm]."""
    origin = surface.corners[0]
    a, b, c = (surface.corners[corner] - origin for corner in surface.mesh.triangles.T)
    volumes = np.einsum("ij,ij->i", a, surface.normals) * surface.areas / 3.0
    x, y, z = origin + volumes @ (a + b + c) / (4.0 * volumes.sum())
    return float(x), float(y), float(z)


def hull(points: Floats) -> Floats:
    """The convex outline of points, counter-clockwise (k, 2) [mm].

    points : (n, 2), not all on one line [mm].

    Andrew's monotone chain, Information Processing Letters 9(5), 1979.
    """
    points = _outer(points)
    ordered = points[np.lexsort((points[:, 1], points[:, 0]))].tolist()
    lower, upper = _half(ordered), _half(ordered[::-1])
    return np.array(lower[:-1] + upper[:-1])


def _outer(points: Floats) -> Floats:
    """The points that do not lie within the octagon of those farthest out; it saves most."""
    turns = np.arange(8) * (math.pi / 4.0)
    far = points[np.argmax(points @ np.stack([np.cos(turns), np.sin(turns)]), axis=0)]
    side = np.roll(far, -1, axis=0) - far
    off = side[:, 0] * (points[:, 1:] - far[:, 1]) - side[:, 1] * (points[:, :1] - far[:, 0])
    # A side of no length, where one point is farthest in two directions, shuts nothing out.
    outer: Floats = points[((off <= 0.0) & (side != 0.0).any(axis=1)).any(axis=1)]
    return outer


def _half(points: list[list[float]]) -> list[list[float]]:
    kept: list[list[float]] = []
    for x, y in points:
        while len(kept) > 1:
            (ax, ay), (bx, by) = kept[-2:]
            if (bx - ax) * (y - ay) - (by - ay) * (x - ax) > 0.0:
                break
            kept.pop()
        kept.append([x, y])
    return kept
