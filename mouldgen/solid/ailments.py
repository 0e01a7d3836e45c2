"""What is wrong with a scan, as numbers; nothing is changed and nothing is guessed."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from mouldgen.solid.loops import fans, rims
from mouldgen.solid.mesh import Floats, Integers, Mesh
from mouldgen.solid.shells import shells_of
from mouldgen.solid.sides import edges_of, there_before
from mouldgen.solid.tidy import uncrowded, without_fins
from mouldgen.solid.winding import winding_of

# Inserts that people cast run from a few millimetres to half a metre; what is outside was
# probably saved in metres, inches or hundredths.  Common practice, no source.
SHORTEST_MM = 5.0
LONGEST_MM = 600.0
MOST_TOLD = 200  # holes and shells that are described one by one


@dataclass(frozen=True, eq=False)
class Hole:
    """One hole in a surface.

    edges : round it.
    around_mm : length of its rim [mm].
    across_mm : diagonal of the box round its rim [mm].
    middle : of its rim (x, y, z) [mm].
    """

    edges: int
    around_mm: float
    across_mm: float
    middle: tuple[float, float, float]


@dataclass(frozen=True, eq=False)
class Shell:
    """One piece of surface.

    triangles : it has.
    volume_mm3 : signed, negative for one wound inward [mm3]; a rough idea only where open.
    open : it has an edge with a face on one side only.
    inside : it lies inside a larger one.
    low, high : its bounds (x, y, z) [mm].
    """

    triangles: int
    volume_mm3: float
    open: bool
    inside: bool
    low: tuple[float, float, float]
    high: tuple[float, float, float]


@dataclass(frozen=True, eq=False)
class Ailments:
    """What is wrong with a scan.

    triangles : it has, flat and doubled ones too.
    flat : triangles without area.
    doubled : triangles over the same corners as another.
    open_edges : edges with a face on one side only.
    crowded_edges : edges that more than two faces share.
    fins : faces that stick out from an edge which has its two faces already.
    turned_faces : faces wound against the most of their piece.
    one_sided_faces : faces of pieces that cannot be wound alike.
    hole_count : how many holes there are.
    holes : of them the largest, the longest rim first.
    shell_count : how many pieces the surface is in.
    shells : of them the largest by area; the first is the body.
    inside_out : the body is wound inward.
    volume_mm3 : as wound [mm3]; of an open scan it means little.
    low, high : bounds (x, y, z) [mm].
    unit_doubt : why the unit is probably wrong, or empty.
    """

    triangles: int
    flat: int
    doubled: int
    open_edges: int
    crowded_edges: int
    fins: int
    turned_faces: int
    one_sided_faces: int
    hole_count: int
    holes: tuple[Hole, ...]
    shell_count: int
    shells: tuple[Shell, ...]
    inside_out: bool
    volume_mm3: float
    low: tuple[float, float, float]
    high: tuple[float, float, float]
    unit_doubt: str

    @property
    def sound(self) -> bool:
        """One closed piece, wound outward, without a fault; its unit may still be in doubt."""
        return self.shell_count == 1 and not (
            self.flat
            or self.doubled
            or self.open_edges
            or self.crowded_edges
            or self.turned_faces
            or self.one_sided_faces
            or self.inside_out
        )


def ailments_of(mesh: Mesh) -> Ailments:
    """What is wrong with a scan.

    mesh : as it was read, corners that agree to the bit made one.
    """
    faces = mesh.triangles.astype(np.int64)
    vertices = mesh.vertices.astype(np.float64)
    a, b, c = faces.T
    lone = faces[(a != b) & (b != c) & (c != a)]
    again = there_before(lone)
    lone = lone[~again]
    corners = vertices[faces]
    area = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]).any(axis=1)
    edges = edges_of(lone)
    winding = winding_of(edges, len(lone))
    turned = winding.turned & ~winding.one_sided
    straight = np.where(turned[:, None], lone[:, ::-1], lone)
    holes, hole_count = _holes(vertices, straight[~winding.one_sided])
    shells, count = _shells(vertices, lone, straight)
    low, high = mesh.bounds
    return Ailments(
        triangles=len(faces),
        flat=int((~area).sum()),
        doubled=int(again.sum()),
        open_edges=int((edges.uses == 1).sum()),
        crowded_edges=int((edges.uses > 2).sum()),
        fins=len(lone) - len(without_fins(lone)) if (edges.uses > 2).any() else 0,
        turned_faces=int(turned.sum()),
        one_sided_faces=int(winding.one_sided.sum()),
        hole_count=hole_count,
        holes=holes,
        shell_count=count,
        shells=shells,
        inside_out=bool(shells) and shells[0].volume_mm3 < 0.0,
        volume_mm3=mesh.volume_mm3,
        low=(low[0], low[1], low[2]),
        high=(high[0], high[1], high[2]),
        unit_doubt=unit_doubt(max(h - lo for lo, h in zip(low, high, strict=True))),
    )


def unit_doubt(longest_mm: float) -> str:
    """Why the unit of a scan is probably wrong, or an empty text.

    longest_mm : its longest side, read in the unit that was stated [mm].
    """
    if longest_mm < SHORTEST_MM:
        return (
            f"it is {longest_mm:.3g} mm at its longest: perhaps it was saved in"
            f" {'inches' if longest_mm * 25.4 >= SHORTEST_MM else 'metres'}"
        )
    if longest_mm > LONGEST_MM:
        return f"it is {longest_mm / 1000.0:.3g} m at its longest: perhaps it was saved in mm"
    return ""


def _holes(vertices: Floats, faces: Integers) -> tuple[tuple[Hole, ...], int]:
    """The largest holes and how many there are, faces at crowded edges left aside."""
    kept = uncrowded(faces)
    if not len(kept):
        return (), 0
    if len(kept) < len(faces):  # at an edge that was crowded nobody has wound them alike yet
        winding = winding_of(edges_of(kept), len(kept))
        kept = np.where(winding.turned[:, None], kept[:, ::-1], kept)[~winding.one_sided]
    faces = kept
    places, faces = fans(faces, edges_of(faces))
    found = rims(faces, edges_of(faces))
    told = sorted(found, key=len, reverse=True)[:MOST_TOLD]
    holes = [_hole(vertices[places[rim]]) for rim in told]
    return tuple(sorted(holes, key=lambda hole: -hole.around_mm)), len(found)


def _hole(points: Floats) -> Hole:
    middle = points.mean(axis=0)
    return Hole(
        edges=len(points),
        around_mm=float(np.linalg.norm(points - np.roll(points, 1, axis=0), axis=1).sum()),
        across_mm=float(np.linalg.norm(np.ptp(points, axis=0))),
        middle=(float(middle[0]), float(middle[1]), float(middle[2])),
    )


def _shells(vertices: Floats, faces: Integers, straight: Integers) -> tuple[tuple[Shell, ...], int]:
    """The largest pieces, and how many there are."""
    if not len(faces):
        return (), 0
    edges = edges_of(faces)
    shells = shells_of(vertices[straight], edges)
    open_ = np.zeros(shells.count, bool)
    open_[shells.of_face[(edges.uses_of_faces == 1).any(axis=1)]] = True
    told = [
        Shell(
            triangles=int(shells.faces[i]),
            volume_mm3=float(shells.volume_mm3[i]),
            open=bool(open_[i]),
            inside=bool(shells.inside[i]),
            low=tuple(shells.low[i].tolist()),
            high=tuple(shells.high[i].tolist()),
        )
        for i in range(min(shells.count, MOST_TOLD))
    ]
    return tuple(told), shells.count
