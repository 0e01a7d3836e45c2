"""A plane cut through parts: what it leaves, and the section it shows."""

from __future__ import annotations

import math

import numpy as np

from mouldgen.errors import InputError
from mouldgen.sheet.raster import Floats, Ints
from mouldgen.sheet.stage import Stage

Plane = tuple[tuple[float, float, float], float]
"""A normal and an offset: what lies beyond, where normal . point > offset, is taken away."""

_EDGE_ON = 1e-6  # below this share the plane is seen from its edge or from behind


def kept(stage: Stage, cut: Plane | None) -> tuple[Floats, Ints, Floats]:
    """What a cut leaves.

    Returns triangles (k, 3, 3) in the picture, the face each comes from (k,), and the rims
    (r, 2, 3), the lines where the cut goes through faces.
    """
    corners = stage.seen[stage.triangles]
    faces = np.arange(len(corners))
    if cut is None:
        return corners, faces, np.empty((0, 2, 3))
    beyond = _beyond(stage, cut)[stage.triangles]
    out = beyond > 0.0
    gone = out.sum(axis=1)
    pieces, owners = [corners[gone == 0]], [faces[gone == 0]]
    rims = []
    for lost in (1, 2):
        at = np.flatnonzero(gone == lost)
        odd = np.argmax(out[at] if lost == 1 else ~out[at], axis=1)
        # The corner that is alone on its side comes first.
        turned = (odd[:, None] + np.arange(3)) % 3
        p = np.take_along_axis(corners[at], turned[:, :, None], axis=1)
        s = np.take_along_axis(beyond[at], turned, axis=1)
        left, rim = _split(p, s, alone_stays=lost == 2)
        pieces += left
        owners += [at] * len(left)
        rims.append(rim)
    return np.concatenate(pieces), np.concatenate(owners), np.concatenate(rims)


def _split(p: Floats, s: Floats, *, alone_stays: bool) -> tuple[list[Floats], Floats]:
    """What is left of triangles whose first corner is alone on its side of the cut.

    p : corners (n, 3, 3).
    s : how far each lies beyond the cut (n, 3).
    """
    near, far = (
        p[:, 0] + (s[:, 0] / (s[:, 0] - s[:, k]))[:, None] * (p[:, k] - p[:, 0]) for k in (1, 2)
    )
    rim = np.stack((near, far), axis=1)
    if alone_stays:
        return [np.stack((p[:, 0], near, far), axis=1)], rim
    return [
        np.stack((near, p[:, 1], p[:, 2]), axis=1),
        np.stack((near, p[:, 2], far), axis=1),
    ], rim


def kept_lines(stage: Stage, edges: Ints, cut: Plane | None) -> Floats:
    """What a cut leaves of edges (k, 2) by index: lines (r, 2, 3) in the picture."""
    ends = stage.seen[edges]
    if cut is None:
        return ends
    beyond = _beyond(stage, cut)[edges]
    a, b = beyond[:, 0], beyond[:, 1]
    crossed = (a > 0.0) != (b > 0.0)
    share = np.divide(a, a - b, out=np.zeros_like(a), where=crossed)
    middle = ends[:, 0] + share[:, None] * (ends[:, 1] - ends[:, 0])
    ends[:, 0] = np.where((a > 0.0)[:, None], middle, ends[:, 0])
    ends[:, 1] = np.where((b > 0.0)[:, None], middle, ends[:, 1])
    kept_ends: Floats = ends[(a <= 0.0) | (b <= 0.0)]
    return kept_ends


def _beyond(stage: Stage, cut: Plane) -> Floats:
    """How far each vertex lies beyond the cut; above 0 is taken away."""
    normal = np.asarray(cut[0], np.float64)
    if not (np.isfinite(normal).all() and normal.any() and math.isfinite(cut[1])):
        raise InputError(
            f"{cut!r} is no plane to cut with", allowed="a normal that is not zero, and an offset"
        )
    return stage.vertices @ normal - cut[1]


def lift_section(stage: Stage, cut: Plane, *, names: Ints, depths: Floats, width: int) -> None:
    """Move what is seen from behind into the cutting plane: it is the section.

    Behind a cut through a solid the first face met is seen from behind, so the section needs
    no faces of its own.  Its depth has to be that of the plane, though, or lines inside the
    material would show.  Changes `depths` in place.
    """
    normal = stage.turn @ np.asarray(cut[0], np.float64)
    if normal[2] <= _EDGE_ON * float(np.linalg.norm(normal)):
        return
    origin, distance = stage.seen[0], _beyond(stage, cut)[0]  # any one vertex places the plane
    section = np.flatnonzero((names >= 0) & ~stage.front[names])
    right = section % width + 0.5 - origin[0]
    up = origin[1] - (section // width + 0.5)
    lift = -(stage.scale * distance + normal[0] * right + normal[1] * up) / normal[2]
    depths[section] = origin[2] + lift
