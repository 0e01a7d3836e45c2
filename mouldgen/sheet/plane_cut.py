"""An upright plane through a mesh: the outlines of the material that it cuts, and lines in them.

On the page u runs along the plane, away from its axis, and z up; an outline runs counter-clockwise
round material and clockwise round a hollow in it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING, TypeAlias

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from mouldgen.solid.mesh import Floats, Integers, Mesh

Loops: TypeAlias = "tuple[Floats, ...]"
Span = tuple[float, float]

LEAST_MM = 1e-6  # points closer to one another are one point


def plane_cut(mesh: Mesh, *, azimuth_deg: float, about: tuple[float, float] = (0.0, 0.0)) -> Loops:
    """Outlines of a closed mesh in an upright plane, each (k, 2) of u and z [mm].

    A corner in the plane counts as behind it, so that every outline closes whatever lies in the
    plane: it is the section just in front of it.

    mesh : closed, wound outward.
    azimuth_deg : direction of u from the x axis [degrees].
    about : x and y of the axis, where u is 0 [mm].
    """
    flat, behind = _turned(mesh, azimuth_deg, about)
    start, end = _crossings(mesh.triangles, behind >= 0.0)
    after = _following(start, end)
    loops = (_loop(after, flat, behind) for _ in iter(lambda: bool(after), False))
    return tuple(loop for loop in loops if len(loop) > 2)


def plane_reach(mesh: Mesh, *, azimuth_deg: float) -> Span:
    """Least and greatest u of a mesh in an upright plane through its axis [mm].

    mesh, azimuth_deg : as `plane_cut` takes them; the plane meets the mesh.
    """
    flat, behind = _turned(mesh, azimuth_deg, (0.0, 0.0))
    a, b = _crossings(mesh.triangles, behind >= 0.0)[0].T
    u = flat[a, 0] + behind[a] / (behind[a] - behind[b]) * (flat[b, 0] - flat[a, 0])
    return float(u.min()), float(u.max())


def _turned(mesh: Mesh, azimuth_deg: float, about: Span) -> tuple[Floats, Floats]:
    """Of every corner u and z, and how far it lies behind the plane."""
    turn = math.radians(azimuth_deg)
    # Exact at quarter turns, where whole faces of moulds lie in the plane.
    c, s = round(math.cos(turn), 15), round(math.sin(turn), 15)
    x, y, z = (mesh.vertices.astype(np.float64) - (*about, 0.0)).T
    return np.column_stack([x * c + y * s, z]), y * c - x * s


def _crossings(
    triangles: NDArray[np.int32], is_back: NDArray[np.bool_]
) -> tuple[Integers, Integers]:
    """The edges by which the plane goes into each triangle that it cuts, and out of it (k, 2).

    An edge is named by its corners, the smaller first.
    """
    faces = triangles.astype(np.int64)
    sides = is_back[faces]
    faces = faces[sides.any(axis=1) & ~sides.all(axis=1)]
    sides = is_back[faces]
    ahead = np.roll(sides, -1, axis=1)
    row = np.arange(len(faces))

    def edge(side: Integers) -> Integers:
        pair = np.column_stack([faces[row, side], faces[row, (side + 1) % 3]])
        named: Integers = np.sort(pair, axis=1)
        return named

    return edge(np.argmax(~sides & ahead, axis=1)), edge(np.argmax(sides & ~ahead, axis=1))


def _following(start: Integers, end: Integers) -> dict[tuple[int, int], list[tuple[int, int]]]:
    after: dict[tuple[int, int], list[tuple[int, int]]] = {}
    for (a, b), (c, d) in zip(start.tolist(), end.tolist(), strict=True):
        after.setdefault((a, b), []).append((c, d))
    return after


def _loop(
    after: dict[tuple[int, int], list[tuple[int, int]]], flat: Floats, behind: Floats
) -> Floats:
    """The next closed outline, taken out of what is left."""
    first = at = next(iter(after))
    edges = []
    while True:
        edges.append(at)
        ways = after[at]
        there = ways.pop()
        if not ways:
            del after[at]
        at = there
        if at == first:
            break
    a, b = np.array(edges).T
    share = (behind[a] / (behind[a] - behind[b]))[:, None]
    return _plain(flat[a] + share * (flat[b] - flat[a]))


def _plain(points: Floats) -> Floats:
    """Without points that repeat one, or that lie on the line between their neighbours."""
    for _ in range(2):
        far = np.abs(points - np.roll(points, 1, axis=0)).max(axis=1) > LEAST_MM
        points = points[far]
        if len(points) < 3:
            break
        back, on = points - np.roll(points, 1, axis=0), np.roll(points, -1, axis=0) - points
        bend = np.abs(back[:, 0] * on[:, 1] - back[:, 1] * on[:, 0])
        points = points[bend > LEAST_MM * np.hypot(*(on + back).T)]
    return points


def area_mm2(loops: Sequence[Floats]) -> float:
    """Area of the material inside outlines, hollows taken off [mm2].

    loops : each (k, 2) [mm].
    """
    return float(
        sum(
            (p[:, 0] * np.roll(p[:, 1], -1) - np.roll(p[:, 0], -1) * p[:, 1]).sum() / 2.0
            for p in loops
        )
    )


def spans(loops: Sequence[Floats], at_mm: float, *, upright: bool = False) -> tuple[Span, ...]:
    """Stretches of material along a line, rising [mm].

    loops : outlines of material, each (k, 2) [mm].
    at_mm : height of a level line, or u of an upright one [mm].
    upright : whether the line is upright.
    """
    along, across = (1, 0) if upright else (0, 1)
    found: list[float] = []
    for p in loops:
        q = np.roll(p, -1, axis=0)
        low, high = p[:, across] > at_mm, q[:, across] > at_mm
        hit = low != high
        share = (at_mm - p[hit, across]) / (q[hit, across] - p[hit, across])
        found += (p[hit, along] + share * (q[hit, along] - p[hit, along])).tolist()
    found.sort()
    return tuple(zip(found[::2], found[1::2], strict=True))


def ends(loops: Sequence[Floats]) -> tuple[Span, Span]:
    """Least and greatest u, and least and greatest z, of outlines [mm].

    loops : one or more, each (k, 2) [mm].
    """
    points = np.concatenate(list(loops))
    (left, low), (right, high) = points.min(axis=0), points.max(axis=0)
    return (float(left), float(right)), (float(low), float(high))
