"""A rubber mould and the printed base and frame that it is cast in, as solids.

The rubber is drawn as it is used, its block's middle on the axis and the cavities' floor at
z = 0.  Base and frame are drawn as they stand while the rubber is poured: upside down to that,
the base's face at z = 0, every length that the rubber takes from them larger by its shrinkage.

Why the frame is one piece that opens downward: a seam down a wall of rubber is what leaks, and
rubber lets go of plastic.  Base and frame meet in a labyrinth instead, and the frame is lifted
off.
"""

from __future__ import annotations

import math

import numpy as np

from mouldgen.errors import InternalError
from mouldgen.mould.label import Label, letter_rings
from mouldgen.mould.plan import RELIEF, CupPlan
from mouldgen.size.rubber import RubberSize
from mouldgen.solid.circle import around, segments
from mouldgen.solid.kernel import OVERSHOOT, Solid, loft, prism, revolve, union
from mouldgen.solid.mesh import Floats

# Our own choices, no source.
LINE_MM = 0.4  # depth of the line that rubber is poured to
AIR_MM = 3.0  # width of the slot that lets the pot's gas under the plugs; its roof prints as it is
LEAST_HOLLOW_MM = 4.0  # radius: a plug as thin as that is solid anyway


def rubber_size(plan: CupPlan) -> RubberSize:
    """The sizes of a rubber mould's plan; InternalError for a plan of another family."""
    if not isinstance(plan.size, RubberSize):
        raise InternalError("a plan without rubber was taken for a rubber mould's")
    return plan.size


def block_solid(plan: CupPlan) -> Solid:
    """Everything that box and base enclose up to the rubber's level, as used."""
    size = rubber_size(plan)
    step = size.rim_mm - size.tongue_mm[1]
    drafted = [
        (_outline(size, size.corner_mm(z), plan.chord_mm), z) for z in (-size.rubber_floor_mm, step)
    ]
    ledge = _outline(size, size.ledge_mm, plan.chord_mm)
    return loft(drafted) + prism([ledge], bottom_mm=step - OVERSHOOT, top_mm=size.rim_mm)


def rubber_solid(plan: CupPlan, cavity: Solid) -> Solid:
    """The rubber mould as used.

    cavity : one, with all its features, on the axis.
    """
    size = rubber_size(plan)
    cut = cavity + _groove(plan, top_mm=size.rim_mm + OVERSHOOT)
    return block_solid(plan) - union([cut.moved(x, y) for x, y in size.cells])


def base_solid(plan: CupPlan, cavity: Solid) -> Solid:
    """The base with its plugs and tongues, standing as the rubber is poured.

    cavity : one, with all its features, on the axis; a plug has its shape.
    """
    size = rubber_size(plan)
    foot = -OVERSHOOT
    reach, tongue = size.frame_reach_mm, size.tongue_mm[0] * size.scale
    high = size.tongue_mm[1] * size.scale
    inner = size.ledge_mm * size.scale

    def upright(corner: float, low: float, top: float) -> Solid:
        ring = _outline(size, corner, plan.chord_mm, scale=size.scale)
        return prism([ring], bottom_mm=low, top_mm=top)

    tongues = [
        upright(outer, foot, high) - upright(outer - tongue, 2.0 * foot, high - foot)
        for outer in (inner + tongue, reach)
    ]
    plug = cavity + _groove(plan, top_mm=size.rim_mm + OVERSHOOT)
    plugs = as_cast(plan, union([plug.moved(x, y) for x, y in size.cells]))
    whole = union([upright(reach, -size.plate_mm, 0.0), *tongues, plugs])
    hollow = _hollow(plan)
    if hollow is None:
        return whole
    cells = [(size.scale * x, size.scale * y) for x, y in size.cells]
    return whole - union([*(hollow.moved(x, y) for x, y in cells), *_air(size)])


def frame_solid(plan: CupPlan) -> Solid:
    """The frame with the line that rubber is poured to, standing on the base."""
    size = rubber_size(plan)
    top, level = size.frame_height_mm, level_mm(size)

    def inside(z: float) -> float:
        return size.scale * size.top_mm - size.draft * z

    # The line's lower edge is the level, so that the rubber takes nothing of its shape.
    line = (level, 0.0), (level + LINE_MM, LINE_MM), (level + 2.0 * LINE_MM, 0.0)
    hollow = [(-OVERSHOOT, 0.0), *line, (top + OVERSHOOT, 0.0)]
    outer = [(z, inside(z) + size.frame_mm) for z in (0.0, top)]
    shell = [_lofted(plan, outer)]
    if plan.body_label is not None:
        shell.append(_raised(plan, plan.body_label, outer))
    return union(shell) - _lofted(plan, [(z, inside(z) + deep) for z, deep in hollow])


def level_mm(size: RubberSize) -> float:
    """Height of the rubber's level over the base's face [mm]."""
    return size.scale * (size.rim_mm + size.rubber_floor_mm)


def as_cast(plan: CupPlan, used: Solid) -> Solid:
    """What rubber or plug is used as, as it stands on the base while the rubber is poured."""
    size = rubber_size(plan)
    by = size.scale
    turn = np.diag([by, -by, -by])
    return used.placed(np.column_stack([turn, [0.0, 0.0, by * size.rim_mm]]))


def as_used(plan: CupPlan, cast: Solid) -> Solid:
    """What stands on or is the base, where it belongs over the first of the cavities."""
    size = rubber_size(plan)
    x, y = size.cells[0]
    turn = np.diag([1.0, -1.0, -1.0])
    return cast.placed(np.column_stack([turn, [-x, -y, size.rim_mm]]))


def _outline(size: RubberSize, corner_mm: float, chord_mm: float, scale: float = 1.0) -> Floats:
    """The block from above (n, 2) [mm]: round corners drawn around their circles.

    Every flat of a corner touches its circle and the first one faces along x, so that the
    straight sides stand where they should.  All outlines of a size have as many corners.
    """
    sides = 4 * math.ceil(segments(size.frame_reach_mm, chord_mm=chord_mm) / 4)
    turn = (np.arange(sides) + 0.5) * (2.0 * math.pi / sides)
    ring = around(corner_mm, sides=sides) * np.column_stack([np.cos(turn), np.sin(turn)])
    half = scale * np.array(size.core_mm) / 2.0
    corners: Floats = ring + half * np.sign(ring)
    return corners


def _lofted(plan: CupPlan, levels: list[tuple[float, float]]) -> Solid:
    """Through heights and corner radii as printed, rising [mm]."""
    size = rubber_size(plan)
    return loft([(_outline(size, r, plan.chord_mm, scale=size.scale), z) for z, r in levels])


def _groove(plan: CupPlan, *, top_mm: float) -> Solid:
    """The groove round a cavity that the lid's rim goes into, as used."""
    inner, outer, depth = rubber_size(plan).groove_mm
    low = plan.size.rim_mm - depth
    return revolve([(inner, low), (outer, low), (outer, top_mm), (inner, top_mm)], sides=plan.sides)


def _hollow(plan: CupPlan) -> Solid | None:
    """What is left out of a plug from below, under a roof of 45 degrees; None where it is thin."""
    size, sockets, q = rubber_size(plan), plan.sockets, plan.question
    # It ends above all that is cut into the plug's top, and keeps inside the upper ribs.
    foot = q.pip_mm + (sockets.foot_depth_mm if sockets.lower else 0.0)
    radius = size.bore.narrowest_mm(foot, size.rim_mm)
    if sockets.upper == "wall":
        radius = min(radius, sockets.inner_mm)
    radius = size.scale * radius - size.plug_mm
    tip = size.scale * (size.rim_mm - foot) - size.plug_mm
    radius = min(radius, 0.8 * tip)
    if radius < LEAST_HOLLOW_MM:
        return None
    low = -size.plate_mm - OVERSHOOT
    return revolve(
        [(0.0, low), (radius, low), (radius, tip - radius), (0.0, tip)], sides=plan.sides
    )


def _air(size: RubberSize) -> list[Solid]:
    """A slot under each row of plugs, from edge to edge of the base, its roof at 45 degrees."""
    half, reach = AIR_MM / 2.0, size.base_mm[0] / 2.0 + OVERSHOOT
    roof = [
        (-half - OVERSHOOT, -OVERSHOOT),
        (half + OVERSHOOT, -OVERSHOOT),
        (0.0, half),
    ]
    slot = prism([roof], bottom_mm=-reach, top_mm=reach)
    along = np.array([[0.0, 0.0, 1.0], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0]])
    return [
        slot.placed(np.column_stack([along, [0.0, y, -size.plate_mm]]))
        for y in sorted({size.scale * y for _, y in size.cells})
    ]


def _raised(plan: CupPlan, label: Label, outer: list[tuple[float, float]]) -> Solid:
    """Letters up the front of the frame, their faces at an even height over it."""
    size = rubber_size(plan)
    depth = size.scale * size.core_mm[1] / 2.0
    start = depth + outer[-1][1] - 0.5 * size.frame_mm
    letters = prism(letter_rings(label), bottom_mm=start, top_mm=depth + outer[0][1] + 2.0 * RELIEF)
    front = np.array([[0.0, -1.0, 0.0], [0.0, 0.0, -1.0], [1.0, 0.0, 0.0]])
    placed = letters.placed(np.column_stack([front, np.zeros(3)]))
    return placed ^ _lofted(plan, [(z, r + RELIEF) for z, r in outer])
