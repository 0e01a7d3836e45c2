"""Parts placed before the viewer: turned, fitted to the picture, ready to be drawn.

Directions: z points up; an azimuth of 0 looks at the front (from -y, x to the right), 90 at
the right side (from +x); the elevation is how high the viewer stands, 90 looks straight down.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from mouldgen.errors import InputError
from mouldgen.sheet.raster import Floats, Ints, ZBuffer

RGB = tuple[int, int, int]
Scene = tuple[ArrayLike, ArrayLike, RGB]
Bools = NDArray[np.bool_]

MARGIN = 0.05
"""White space on each side, as a share of the picture's shorter side."""

_FARTHEST = 16.0  # depth of the farthest point: above 0 whatever the rounding [pixels]


@dataclass(frozen=True, eq=False)
class Stage:
    """All parts as one mesh, in the model and in the picture.

    vertices : (n, 3) [mm].
    triangles : (m, 3) by index.
    colours : (m, 3), 0 to 255.
    seen : (n, 3) right, down, towards the viewer [pixels].
    normals : (m, 3) unit vectors; right, up, towards the viewer.
    turn : (3, 3) rows: the model's directions of right, up, towards the viewer.
    scale : [pixels/mm].
    """

    vertices: Floats
    triangles: Ints
    colours: Floats
    seen: Floats
    normals: Floats
    turn: Floats
    scale: float

    @property
    def front(self) -> Bools:
        """Which triangles turn their outside to the viewer (m,)."""
        return self.normals[:, 2] > 0.0


def staged(scenes: Sequence[Scene], *, view: tuple[float, float], width: int, height: int) -> Stage:
    """Place parts so that the whole fills the picture but for `MARGIN`.

    scenes : vertices (n, 3) [mm], triangles (m, 3) and a colour for each part.
    view : azimuth and elevation [degrees].
    width, height : [pixels].

    Raises InputError where there is nothing to draw, or where an array is no mesh.
    """
    vertices, triangles, colours = _joined(scenes)
    turn = turned_to(*view)
    turned = vertices @ turn.T
    used = turned[np.unique(triangles)]
    scale, seen = _fitted(turned, used.min(axis=0), used.max(axis=0), width, height)
    return Stage(
        vertices=vertices,
        triangles=triangles,
        colours=colours,
        seen=seen,
        normals=_normals(turned, triangles),
        turn=turn,
        scale=scale,
    )


def turned_to(azimuth_deg: float, elevation_deg: float) -> Floats:
    """Rows (3, 3): the model's directions of right, up and towards the viewer.

    azimuth_deg, elevation_deg : where the viewer stands, as of `View` [degrees].
    """
    azimuth, elevation = math.radians(azimuth_deg), math.radians(elevation_deg)
    ca, sa, ce, se = math.cos(azimuth), math.sin(azimuth), math.cos(elevation), math.sin(elevation)
    return np.array(((ca, sa, 0.0), (-sa * se, ca * se, ce), (sa * ce, -ca * ce, se)))


def _joined(scenes: Sequence[Scene]) -> tuple[Floats, Ints, Floats]:
    vertices, triangles, colours = [], [], []
    count = 0
    for place, (points, faces, colour) in enumerate(scenes):
        p, f = _mesh(points, faces, where=f"scene {place}")
        vertices.append(p)
        triangles.append(f + count)
        colours.append(np.broadcast_to(np.asarray(colour, np.float64), (len(f), 3)))
        count += len(p)
    if not any(len(f) for f in triangles):
        raise InputError("there is nothing to draw", allowed="at least one triangle")
    return np.vstack(vertices), np.vstack(triangles), np.vstack(colours)


def _mesh(points: ArrayLike, faces: ArrayLike, *, where: str) -> tuple[Floats, Ints]:
    p = np.asarray(points, np.float64)
    f = np.asarray(faces).astype(np.int64)
    if p.ndim != 2 or p.shape[1] != 3 or f.ndim != 2 or f.shape[1] != 3:
        raise InputError(
            f"arrays of shape {p.shape} and {f.shape} are no mesh",
            where=where,
            allowed="vertices (n, 3) and triangles (m, 3)",
        )
    if not np.isfinite(p).all():
        raise InputError("a vertex is not a finite number", where=where)
    if len(f) and (f.min() < 0 or f.max() >= len(p)):
        raise InputError("a triangle names a vertex that is not there", where=where)
    return p, f


def _normals(points: Floats, faces: Ints) -> Floats:
    a, b, c = (points[faces[:, i]] for i in range(3))
    normal: Floats = np.cross(b - a, c - a)
    length = np.linalg.norm(normal, axis=1, keepdims=True)
    return normal / np.where(length > 0.0, length, 1.0)


def _fitted(
    turned: Floats, low: Floats, high: Floats, width: int, height: int
) -> tuple[float, Floats]:
    """The scale; right, down and depth in pixels, so that the whole fills all but the margin."""
    size = np.maximum(high - low, 1e-9)
    room = 2.0 * MARGIN * min(width, height)
    scale = min((width - room) / size[0], (height - room) / size[1])
    scale = min(scale, 0.5 * ZBuffer.MOST_DEPTH / size[2])
    middle = (low + high) / 2.0
    x = width / 2.0 + scale * (turned[:, 0] - middle[0])
    y = height / 2.0 - scale * (turned[:, 1] - middle[1])
    return float(scale), np.column_stack((x, y, _FARTHEST + scale * (turned[:, 2] - low[2])))
