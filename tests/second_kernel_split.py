"""The halves of a split mould rebuilt on a second geometry kernel (OCC, through build123d).

As in `tests/second_kernel.py` nothing of `mouldgen.solid` is used and every surface is exact:
planes, cylinders, cones, one sheared cone.  The construction takes other roads: each half is a
block of its own that primitives are cut from, where the mould makes both at once and halves them;
the floor, the fill line and the keys are cones, where the mould revolves one profile; a groove is
a whole cylinder and a box, a ridge a cylinder and a box, a gate a cylinder and a prism.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

from build123d import Axis, Box, Face, Plane, Pos, Shape, Solid, Wire

from mouldgen.mould.plan import FILL_LINE, LEAD, CupPlan
from mouldgen.mould.split_hollow import channel_mm
from mouldgen.size.split import (
    BOLT_MM,
    DEEPER_MM,
    EAR_MM,
    FLAT_MM,
    FLOOR_DEG,
    KEY_MM,
    SLOT_MM,
    SplitSize,
    Spot,
    split_size,
)
from tests.second_kernel import OVER, _one, _round

# mm to either side: beyond all of a half
FAR = 500.0


def exact_cavity(plan: CupPlan) -> Solid:
    """The bare cavity to the fill height: a level spot, a cone, a cylinder."""
    return _one(_bore(plan, top=plan.size.fill_mm))


def exact_half(plan: CupPlan, *, back: bool) -> Solid:
    """A half where it belongs, without lettering; keys stand on the back one."""
    size = split_size(plan.size)
    way = 1.0 if back else -1.0
    solid = _block(size, way).cut(*_hollow(plan, size))
    solid = solid.fuse(*_standing(plan, size, way))
    solid = solid.cut(*[_along_y(BOLT_MM / 2.0, spot, size.deep_mm) for spot in size.bolts])
    solid = solid.cut(*_slots(size))
    if back:
        return _one(solid.fuse(*[_peg(spot) for spot in size.keys]))
    return _one(solid.cut(*[_pocket(plan, spot) for spot in size.keys]))


def _bore_mm(plan: CupPlan) -> float:
    return plan.question.insert.envelope_mm + plan.size.gap_mm


def _rise_mm(plan: CupPlan) -> float:
    return math.tan(math.radians(FLOOR_DEG)) * (_bore_mm(plan) - FLAT_MM)


def _bore(plan: CupPlan, *, top: float) -> Shape:
    radius, rise = _bore_mm(plan), _rise_mm(plan)
    return Solid.make_cone(FLAT_MM, radius, rise).fuse(_round(radius, bottom=rise, top=top))


def _block(size: SplitSize, way: float) -> Shape:
    """Half of the block, of its ears and of its chimney, to one side of the parting plane."""
    deep, low = way * size.deep_mm, size.bottom_mm
    out, thick, _ = EAR_MM
    parts = [_box((-size.left_mm, 0.0, low), (size.right_mm, deep, size.rim_mm))]
    parts += [
        _box((-size.left_mm - out, 0.0, z - thick / 2), (size.right_mm + out, deep, z + thick / 2))
        for z in size.ears_mm
    ]
    if size.runner is not None:
        run = size.runner
        parts.append(_box((run.near_mm, 0.0, low), (run.far_mm, deep, run.brim_mm)))
    return parts[0].fuse(*parts[1:])


def _hollow(plan: CupPlan, size: SplitSize) -> list[Shape]:
    """Bore, fill line, grooves and runner."""
    q, radius, rim = plan.question, _bore_mm(plan), size.rim_mm
    found: list[Shape] = [_bore(plan, top=rim + OVER)]
    for middle in (z for line in plan.lines for z in line.grooves_mm):
        low = Plane((0.0, 0.0, middle - FILL_LINE))
        high = Plane((0.0, 0.0, middle))
        found.append(Solid.make_cone(radius, radius + FILL_LINE, FILL_LINE, low))
        found.append(Solid.make_cone(radius + FILL_LINE, radius, FILL_LINE, high))
    for angle in plan.groove_angles:
        x, y = (radius * f(math.radians(angle)) for f in (math.cos, math.sin))
        wide = q.groove_mm
        found.append(_round(wide, bottom=q.pip_mm, top=rim + OVER, at=(x, y)))
        found.append(_box((x - wide, 0.0, q.pip_mm), (x + wide, y, rim + OVER)))
    if size.runner is not None:
        found += _runner(plan, size)
    return found


def _runner(plan: CupPlan, size: SplitSize) -> list[Shape]:
    """Gate with its roof, channel, and a funnel whose inner side stands upright."""
    run = size.runner
    if run is None:
        return []
    r, start = run.radius_mm, _bore_mm(plan) / 2.0
    gate = Solid.make_cylinder(
        r, run.x_mm - start, Plane((start, 0.0, run.gate_mm), z_dir=(1, 0, 0))
    )
    side = r / math.sqrt(2.0)
    corners = [(0.0, 0.0), (side, side), (0.0, math.sqrt(2.0) * r), (-side, side)]
    outline = Wire.make_polygon([(start, y, run.gate_mm + z) for y, z in corners], close=True)
    roof = Solid.extrude(Face(outline), (run.x_mm - start, 0.0, 0.0))
    channel = _round(r, bottom=run.gate_mm - r, top=run.cone_mm, at=(run.x_mm, 0.0))
    # As steep over the brim as under it.
    more = 1.0 + 0.5 / (run.brim_mm - run.cone_mm)
    top, wide = run.cone_mm + more * (run.brim_mm - run.cone_mm), r + more * (run.wide_mm - r)
    funnel = Solid.make_loft(
        [
            Wire.make_circle(r, Plane((run.x_mm, 0.0, run.cone_mm))),
            Wire.make_circle(wide, Plane((run.x_mm + wide - r, 0.0, top))),
        ],
        ruled=True,
    )
    return [gate, roof, channel, funnel]


def _standing(plan: CupPlan, size: SplitSize, way: float) -> list[Shape]:
    """Pips drawn out to the wall and the seat, each with a foot in the floor, none in a groove."""
    radius, foot = _bore_mm(plan), -plan.question.floor_mm / 2.0
    half = _box((-FAR, 0.0, -FAR), (FAR, way * FAR, FAR))
    inside = _round(radius + plan.question.wall_mm / 4.0, bottom=foot, top=size.fill_mm)
    found: list[Shape] = []
    for x, y, r in plan.pips:
        pip = _round(r, bottom=foot, top=plan.question.pip_mm, at=(x, y))
        for out in (1.0, -1.0):
            if out * y > -r:
                pip = pip.fuse(_box((x - r, y, foot), (x + r, out * FAR, plan.question.pip_mm)))
        found += _shared(_shared([pip], inside), half)
    sockets = plan.sockets
    if sockets.lower:
        inner, top = sockets.foot_inner_mm, plan.insert_foot_mm + sockets.foot_depth_mm
        far = radius + plan.question.wall_mm / 4.0
        face = [(inner, foot), (far, foot), (far, top), (inner + LEAD, top), (inner, top - LEAD)]
        outline = Wire.make_polygon([(x, 0.0, z) for x, z in face], close=True)
        ring: Shape = Solid.revolve(Face(outline), 360.0, Axis.Z)
        ways = channel_mm(size)
        for across in (
            _box((-ways, -FAR, -FAR), (ways, FAR, FAR)),
            _box((-FAR, -ways, -FAR), (FAR, ways, FAR)),
        ):
            ring = ring.cut(across)
        found += _shared(ring.solids(), half)
    # What reaches into a wall is in it already; a gate is nowhere near the pips.
    return found


def _shared(shapes: Iterable[Shape], other: Shape) -> list[Shape]:
    """What each of them shares with another, in pieces."""
    found = [shape.intersect(other) for shape in shapes]
    pieces = [one for both in found if both is not None for one in _each(both)]
    return [solid for piece in pieces for solid in piece.solids()]


def _each(found: Shape | Iterable[Shape]) -> Iterable[Shape]:
    return [found] if isinstance(found, Shape) else found


def _slots(size: SplitSize) -> list[Shape]:
    along, deep, half = SLOT_MM
    low, high = size.bottom_mm, size.rim_mm
    return [
        _box((size.right_mm - deep, -half, low - OVER), (size.right_mm + OVER, half, low + along)),
        _box((-size.left_mm - OVER, -half, high - along), (deep - size.left_mm, half, high + OVER)),
    ]


def _peg(spot: Spot) -> Shape:
    """A cone to the front, on a disc that reaches into the half."""
    foot, tip, high = KEY_MM
    cone = Solid.make_cone(foot, tip, high, Plane((spot[0], 0.0, spot[1]), z_dir=(0, -1, 0)))
    disc = Solid.make_cylinder(foot, 1.0, Plane((spot[0], 0.0, spot[1]), z_dir=(0, 1, 0)))
    return cone.fuse(disc)


def _pocket(plan: CupPlan, spot: Spot) -> Shape:
    """Its sides stand off those of the peg by the clearance, across them."""
    foot, tip, high = KEY_MM
    clearance, slope = plan.question.clearance_mm, (foot - tip) / high
    deep = high + max(DEEPER_MM, 1.5 * clearance)
    wide = foot + clearance / math.cos(math.atan(slope))
    plane = Plane((spot[0], OVER, spot[1]), z_dir=(0, -1, 0))
    return Solid.make_cone(wide + slope * OVER, wide - slope * deep, deep + OVER, plane)


def _along_y(radius: float, spot: Spot, reach: float) -> Solid:
    plane = Plane((spot[0], -reach - OVER, spot[1]), z_dir=(0, 1, 0))
    return Solid.make_cylinder(radius, 2.0 * (reach + OVER), plane)


def _box(a: tuple[float, float, float], b: tuple[float, float, float]) -> Shape:
    """Between two opposite corners, whichever is which."""
    middle = tuple((p + q) / 2.0 for p, q in zip(a, b, strict=True))
    return Pos(*middle) * Box(*(abs(p - q) for p, q in zip(a, b, strict=True)))
