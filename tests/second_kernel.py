"""A cup, its lid and inserts rebuilt on a second geometry kernel (OCC, through build123d).

Nothing of `mouldgen.solid` is used and every surface but a twisted bar's is exact: cylinders,
cones, sheared cylinders, arcs.  The cup's construction takes other roads than the mould's own:
the plastic is built up feature by feature, where the mould carves one cavity; frustums, fill line
and centre cone are primitives of their own, where the mould revolves one profile; a groove is a
disc pushed along the slope of the wall; a rib is a sector of a turned profile.

Importing this file needs build123d, so tests import it inside a fixture.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from build123d import Axis, Face, GeomType, Plane, Rot, Shape, Solid, Wire
from OCP.Bnd import Bnd_Box
from OCP.BRep import BRep_Tool
from OCP.BRepBndLib import BRepBndLib
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeVertex
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.BRepMesh import BRepMesh_IncrementalMesh
from OCP.BRepTools import BRepTools
from OCP.gp import gp_Pnt
from OCP.TopAbs import TopAbs_Orientation
from OCP.TopLoc import TopLoc_Location

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from mouldgen.mould.plan import CupPlan

OVER = 3.0  # mm that a cutter or a foot reaches past a face; the mould uses another length
# As in mouldgen.mould.plan, which a test holds them to: nothing of mouldgen is loaded here, so
# that this construction can be timed by itself.
FILL_LINE, LEAD = 0.4, 0.6


@dataclass(frozen=True)
class Numbers:
    """The plan's numbers, with the bore worked out anew from envelope, gap and draft."""

    plan: CupPlan

    def bore(self, z: float) -> float:
        """Radius of the bore; the gap is asked for at the insert's foot."""
        q = self.plan.question
        growth = math.tan(math.radians(q.draft_deg))
        return q.insert.envelope_mm + self.plan.size.gap_mm + growth * (z - q.pip_mm)

    @property
    def back(self) -> float:
        """From the bore to the back of a groove."""
        return self.plan.question.groove_mm + self.plan.question.wall_mm


def exact_body(plan: CupPlan) -> Shape:
    """The body as an exact solid, the inside floor at z = 0."""
    n, q, rim = Numbers(plan), plan.question, plan.size.rim_mm
    outside = _frustum(
        n.bore(-q.floor_mm) + q.wall_mm, n.bore(rim) + q.wall_mm, bottom=-q.floor_mm, top=rim
    )
    backs = [_sheared(n, a, n.back, bottom=-q.floor_mm, top=rim) for a in plan.groove_angles]
    bore = _frustum(n.bore(0.0), n.bore(rim + OVER), bottom=0.0, top=rim + OVER)
    grooves = [
        _sheared(n, a, q.groove_mm, bottom=q.pip_mm, top=rim + OVER) for a in plan.groove_angles
    ]
    inside = [_centre_cone(plan), *_pips(plan), *_ribs(n)]
    return _one(outside.fuse(*backs).cut(bore, *grooves, *_fill_line(n)).fuse(*inside))


def exact_lid(plan: CupPlan) -> Shape:
    """The lid as an exact solid in its place on the cup."""
    n, q, rim = Numbers(plan), plan.question, plan.size.rim_mm
    inner = n.bore(rim) + n.back + q.clearance_mm
    bottom, top = rim - q.skirt_mm, rim + q.lid_mm
    whole = _round(inner + q.wall_mm, bottom=bottom, top=top)
    hollow = _round(inner, bottom=bottom - OVER, top=rim)
    legs = [
        _round(r, bottom=plan.insert_top_mm, top=rim + q.lid_mm / 2.0, at=(x, y))
        for x, y, r in plan.legs
    ]
    holes = [
        _round(r, bottom=rim - q.lid_mm, top=top + OVER, at=(x, y))
        for x, y, r in [*plan.vents, *([plan.port] if plan.port else [])]
    ]
    disc = whole.cut(hollow)
    if holes:
        disc = disc.cut(*holes)
    return _one(disc.fuse(*legs))


def exact_turned(points: list[tuple[float, float]]) -> Solid:
    """Heights and radii, straight between them, turned about the axis and closed level."""
    outline = [(0.0, points[0][0]), *((r, z) for z, r in points), (0.0, points[-1][0])]
    profile = Face(Wire.make_polygon([(r, 0.0, z) for r, z in outline], close=True))
    return _one(Solid.revolve(profile, 360.0, Axis.Z))


def exact_drilled(shape: Shape, radius: float) -> Solid:
    """The shape with a hole right through it, along the axis."""
    low, high = exact_bounds(shape)[:, 2]
    return _one(shape.cut(_round(radius, bottom=low - OVER, top=high + OVER)))


def exact_twist(width: float, thickness: float, length: float, *, turn_deg: float) -> Solid:
    """A bar swept along its axis while a helix beside it turns it; the turn's sign is its hand.

    The one skin here that the kernel approximates, by splines.
    """
    x, y = width / 2.0, thickness / 2.0
    section = Wire.make_polygon([(x, y, 0), (-x, y, 0), (-x, -y, 0), (x, -y, 0)], close=True)
    return _one(Solid.extrude_linear_with_rotation(section, (0, 0, 0), (0, 0, length), turn_deg))


def wall_between_mm(inner: Shape, outer: Shape) -> float:
    """Least distance between the turned faces of two shapes, their level ends left out [mm]."""
    turned = [
        [face for face in shape.faces() if face.geom_type != GeomType.PLANE]
        for shape in (inner, outer)
    ]
    return float(min(a.distance_to(b) for a in turned[0] for b in turned[1]))


@dataclass(frozen=True)
class Facets:
    """A tessellation: corners of its triangles, (n, 3, 3) [mm], wound outward."""

    corners: NDArray[np.float64]

    @property
    def volume_mm3(self) -> float:
        a, b, c = (self.corners[:, i] for i in range(3))
        return float(np.einsum("ij,ij->i", a, np.cross(b, c)).sum() / 6.0)

    @property
    def closing_mm2(self) -> float:
        """Length of the sum of all areas as vectors, 0 for a closed surface."""
        a, b, c = (self.corners[:, i] for i in range(3))
        return float(np.linalg.norm(np.cross(b - a, c - a).sum(axis=0)) / 2.0)


def tessellated(shape: Shape, *, deflection_mm: float, angle_rad: float) -> Facets:
    """Triangles within an absolute distance of the exact surface.

    The kernel's own STL export takes the distance as relative to each edge's size, and is then
    several per cent off; the third argument here is that switch.
    """
    BRepTools.Clean_s(shape.wrapped)
    BRepMesh_IncrementalMesh(shape.wrapped, deflection_mm, False, angle_rad, True)
    return facets_of(shape)


def facets_of(shape: Shape) -> Facets:
    """The triangles that a shape has on it."""
    found = []
    for face in shape.faces():
        place = TopLoc_Location()
        facets = BRep_Tool.Triangulation_s(face.wrapped, place)
        move = place.Transformation()
        nodes = np.array(
            [
                (p.X(), p.Y(), p.Z())
                for p in (facets.Node(i).Transformed(move) for i in range(1, facets.NbNodes() + 1))
            ]
        )
        triangles = np.array([[t.Value(k) - 1 for k in (1, 2, 3)] for t in facets.Triangles()])
        if face.wrapped.Orientation() == TopAbs_Orientation.TopAbs_REVERSED:
            triangles = triangles[:, ::-1]
        found.append(nodes[triangles])
    return Facets(np.concatenate(found))


def exact_bounds(shape: Shape) -> NDArray[np.float64]:
    """Lowest and highest x, y, z (2, 3) of the exact surfaces [mm]."""
    box = Bnd_Box()
    BRepTools.Clean_s(shape.wrapped)
    BRepBndLib.AddOptimal_s(shape.wrapped, box, False, False)
    box.SetGap(0.0)
    low, high = box.CornerMin(), box.CornerMax()
    return np.array([[p.X(), p.Y(), p.Z()] for p in (low, high)])


def distances(shape: Shape, points: NDArray[np.float64]) -> NDArray[np.float64]:
    """How far each of the points (n, 3) lies from the exact surface (n,) [mm]."""
    search = BRepExtrema_DistShapeShape()
    search.LoadS1(shape.shell().wrapped)  # the shell: inside the solid counts as well
    found = []
    for x, y, z in points:
        search.LoadS2(BRepBuilderAPI_MakeVertex(gp_Pnt(float(x), float(y), float(z))).Vertex())
        search.Perform()
        found.append(search.Value())
    return np.array(found)


def _round(
    radius: float, *, bottom: float, top: float, at: tuple[float, float] = (0.0, 0.0)
) -> Solid:
    return Solid.make_cylinder(radius, top - bottom, Plane((*at, bottom)))


def _frustum(low: float, high: float, *, bottom: float, top: float) -> Solid:
    if math.isclose(low, high, rel_tol=1e-12):
        return _round(low, bottom=bottom, top=top)
    return Solid.make_cone(low, high, top - bottom, Plane((0.0, 0.0, bottom)))


def _sheared(n: Numbers, angle: float, radius: float, *, bottom: float, top: float) -> Shape:
    """A disc pushed along the wall's slope: level sections stay circles of the same radius."""
    disc = Face(Wire.make_circle(radius, Plane((n.bore(bottom), 0.0, bottom))))
    push = (n.bore(top) - n.bore(bottom), 0.0, top - bottom)
    return Rot(0.0, 0.0, angle) * Solid.extrude(disc, push)


def _fill_line(n: Numbers) -> list[Solid]:
    """The two cones of a V as deep as it is high on either side."""
    level, v = n.plan.size.level_mm, FILL_LINE
    deepest = n.bore(level) + v
    return [
        _frustum(n.bore(level - v), deepest, bottom=level - v, top=level),
        _frustum(deepest, n.bore(level + v), bottom=level, top=level + v),
    ]


def _centre_cone(plan: CupPlan) -> Shape:
    """On a disc that reaches into the floor, so that the two solids share more than a plane."""
    radius, height = plan.centre_pip
    cone = Solid.make_cone(radius, 0.0, height)
    return cone.fuse(_round(radius, bottom=-plan.question.floor_mm / 2.0, top=0.0))


def _pips(plan: CupPlan) -> list[Solid]:
    q = plan.question
    return [_round(r, bottom=-q.floor_mm / 2.0, top=q.pip_mm, at=(x, y)) for x, y, r in plan.pips]


def _ribs(n: Numbers) -> list[Shape]:
    """Sectors of turned profiles; their backs stand in the middle of the wall."""
    plan = n.plan
    sockets = plan.sockets
    inner, foot, top = sockets.inner_mm, plan.insert_foot_mm, plan.insert_top_mm
    deep = n.bore(top) - inner
    low_end, high_start = foot + sockets.depth_mm, top - sockets.depth_mm
    faces = [
        [
            (inner, -plan.question.floor_mm / 2.0),
            (inner, low_end - LEAD),
            (inner + LEAD, low_end),
        ],
        [
            (inner + deep, high_start - deep),
            (inner, high_start),
            (inner, top - LEAD),
            (inner + LEAD, top),
        ],
    ]
    return [_rib(n, angle, face) for angle in sockets.angles for face in faces]


def _rib(n: Numbers, angle: float, face: list[tuple[float, float]]) -> Shape:
    middle = n.plan.question.wall_mm / 2.0
    backs = [(n.bore(z) + middle, z) for z in (face[-1][1], face[0][1])]
    outline = [(r, 0.0, z) for r, z in [*face, *backs]]
    profile = Face(Wire.make_polygon(outline, close=True))
    sweep = math.degrees(n.plan.sockets.width_mm / n.plan.sockets.inner_mm)
    return Rot(0.0, 0.0, angle - sweep / 2.0) * Solid.revolve(profile, sweep, Axis.Z)


def _one(shape: Shape) -> Solid:
    """The single valid solid that the operations must have left."""
    solids = shape.solids()
    if len(solids) != 1 or not solids[0].is_valid:
        raise AssertionError(f"the second kernel left {len(solids)} solids, or an invalid one")
    return solids[0]
