"""The rims of a surface's holes, one after another, and how each is closed.

Wants a surface whose faces are wound alike and whose corners each belong to one fan of faces
(`fans`): a rim then passes a corner once at most, and every rim is a simple ring.
"""

from __future__ import annotations

import numpy as np

from mouldgen.solid.kernel import triangulated
from mouldgen.solid.mesh import Floats, Integers
from mouldgen.solid.sides import Edges, edges_of, together

FLATTEST = 0.05  # area of a rim's shadow below which, as a share of a circle's, it has no plane
# Edges of a rim from which it is closed by a tent: to triangulate it takes the square of them.  An
# end that is missing from a scan of a million triangles has about three thousand.
LONGEST_FLAT = 5000


def fans(triangles: Integers, edges: Edges) -> tuple[Integers, Integers]:
    """The surface with a corner of its own for every fan of faces that only touch at a point.

    triangles : (m, 3), wound alike.
    edges : of the triangles.

    Returns the old number of each new corner (k,), and the triangles in new numbers (m, 3).
    """
    one, other, _ = edges.pairs

    # Wound alike, the start of a side is the end of the side across the edge.
    def after(side: Integers) -> Integers:
        return side - side % 3 + (side + 1) % 3

    name = together(
        triangles.size,
        np.concatenate([one, after(one)]),
        np.concatenate([after(other), other]),
    )
    count = int(name.max(initial=-1)) + 1
    at = np.empty(count, np.int64)
    at[name] = triangles.ravel()
    return at, name.reshape(-1, 3)


def rims(triangles: Integers, edges: Edges) -> list[Integers]:
    """The corners round each hole, in the order in which a patch over it is wound.

    triangles : (m, 3), wound alike, each corner in one fan.
    edges : of the triangles.
    """
    flat = triangles.ravel()
    side = edges.sides[edges.first[edges.uses == 1]]
    start, end = flat[side], flat[side - side % 3 + (side + 1) % 3]
    # A patch runs against the faces round it: from each corner to the one before.
    before = dict(zip(end.tolist(), start.tolist(), strict=True))
    found = []
    while before:
        corner, back = before.popitem()
        ring = [corner]
        while back != ring[0]:
            ring.append(back)
            back = before.pop(back)
        found.append(np.array(ring, np.int64))
    found.reverse()
    return found


def unpinched(
    triangles: Integers, holes: list[Integers], places: Integers
) -> tuple[Integers, list[Integers]]:
    """Rims that pass one place twice, cut there into rims that do not.

    triangles : (m, 3), each corner in one fan.
    holes : their rims, as `rims` gives them.
    places : the same number for corners that lie in one place (n,).

    Returns the triangles, in which the corners of a pinch are one, and all the rims.
    """
    name = np.arange(len(places))
    simple: list[Integers] = []
    for rim in holes:
        if len(set(places[rim].tolist())) == len(rim):
            simple.append(rim)
            continue
        walked: list[int] = []
        at: dict[int, int] = {}  # place -> where on the walk
        for corner, place in zip(rim.tolist(), places[rim].tolist(), strict=True):
            if place in at:
                name[corner] = walked[at[place]]
                ring, walked = walked[at[place] :], walked[: at[place] + 1]
                simple.append(np.array(ring, np.int64))
                for left in ring[1:]:
                    del at[int(places[left])]
            else:
                at[place] = len(walked)
                walked.append(corner)
        simple.append(np.array(walked, np.int64))
    return name[triangles], simple


def closed(
    vertices: Floats, triangles: Integers, holes: list[Integers], *, places: Integers
) -> tuple[Floats, Integers]:
    """Corners and triangles with a patch over every hole; the patches come last.

    vertices : (n, 3) [mm].
    triangles : (m, 3), wound alike, each corner in one fan.
    holes : their rims, as `rims` gives them.
    places : the same number for corners that lie in one place (n,).
    """
    parts, corners = [triangles], [vertices]
    flat = [_flat_patch(vertices[rim], rim) for rim in holes]
    doubtful = _meeting(triangles, flat, places)
    count = len(vertices)
    for rim, patch, doubt in zip(holes, flat, doubtful, strict=True):
        if patch is not None and not doubt:
            parts.append(patch)
            continue
        # A tent over the middle: it has no edge across, so it cannot meet one that is there.
        corners.append(vertices[rim].mean(axis=0)[None])
        parts.append(np.column_stack([rim, np.roll(rim, -1), np.full(len(rim), count)]))
        count += 1
    return np.concatenate(corners), np.concatenate(parts)


def _flat_patch(points: Floats, rim: Integers) -> Integers | None:
    """Triangles over a rim, chosen in its own plane; None where it has none."""
    if len(rim) == 3:
        return rim[None]
    if len(rim) > LONGEST_FLAT:
        return None
    middle = points - points.mean(axis=0)
    ahead = np.concatenate([middle[1:], middle[:1]])
    normal = _cross(middle, ahead).sum(axis=0)
    twice_area = float(np.linalg.norm(normal))
    length = float(np.linalg.norm(ahead - middle, axis=1).sum())
    if twice_area <= FLATTEST * length**2 / (2.0 * np.pi):
        return None
    normal /= twice_area
    across = np.eye(3)[np.abs(normal).argmin()]
    u = _cross(across, normal)
    u /= np.linalg.norm(u)
    plane = np.column_stack([middle @ u, middle @ _cross(normal, u)])
    made = triangulated(plane)
    return rim[made] if len(made) == len(rim) - 2 else None


def _cross(one: Floats, other: Floats) -> Floats:
    """As `numpy.cross` for one or many: of so few, it spends most of its time on their shape."""
    (x, y, z), (u, v, w) = one.T, other.T
    return np.stack([y * w - z * v, z * u - x * w, x * v - y * u], axis=-1)


def _meeting(triangles: Integers, patches: list[Integers | None], places: Integers) -> list[bool]:
    """Whether a patch has an edge that another patch or a face has too, its rim apart."""
    whole = [patch for patch in patches if patch is not None]
    if not whole:
        return [False] * len(patches)
    uses = edges_of(places[np.concatenate([triangles, *whole])]).uses_of_faces
    of_face = np.asarray((uses > 2).any(axis=1))[len(triangles) :]
    found, at = [], 0
    for patch in patches:
        size = 0 if patch is None else len(patch)
        found.append(bool(of_face[at : at + size].any()))
        at += size
    return found
