"""The finished piece and the wall of its hole as solids, where they stand in the mould."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from mouldgen.job.model import Piece
from mouldgen.job.outline import outline_of, widest_mm
from mouldgen.mould.plan import CupPlan
from mouldgen.size.hole import Hole
from mouldgen.solid.circle import excess, segments
from mouldgen.solid.kernel import Solid, revolve

if TYPE_CHECKING:
    from mouldgen.mould.any_plan import AnyPlan


def finished_solid(
    piece: Piece, *, middle_mm: float, chord_mm: float, same_volume: bool = False
) -> Solid:
    """The finished piece without its hole, drawn around its outline.

    piece : the table of the job file.
    middle_mm : height of its middle [mm].
    chord_mm : tolerance of its widest circle [mm].
    same_volume : draw each circle as the polygon of its area instead, to measure volumes.
    """
    outline = outline_of(piece)
    foot = middle_mm - piece.length / 2.0
    sides = segments(widest_mm(outline), chord_mm=chord_mm)
    shrunk = 1.0 / math.sqrt(excess(sides)) if same_volume else 1.0
    profile = [(shrunk * radius, foot + along) for along, radius in outline]
    ends = [(0.0, foot + along) for along in (outline[-1][0], outline[0][0])]
    # An outline that ends in a point has that end on the axis already.
    return revolve(list(dict.fromkeys([*profile, *ends])), sides=sides)


def finished_of(
    piece: Piece, plan: AnyPlan, *, chord_mm: float, same_volume: bool = False
) -> list[Solid]:
    """Every finished piece of one blank, where it stands or lies in its cell.

    piece : the table of the job file.
    plan : of the mould.
    chord_mm, same_volume : as `finished_solid` takes them.
    """
    if isinstance(plan, CupPlan):
        middle = plan.insert_middle_mm
        return [finished_solid(piece, middle_mm=middle, chord_mm=chord_mm, same_volume=same_volume)]
    one = finished_solid(piece, middle_mm=0.0, chord_mm=chord_mm, same_volume=same_volume)
    return [one.placed(pose.matrix) for pose in plan.poses]


def thread_sleeve(hole: Hole, *, foot_mm: float, thick_mm: float, chord_mm: float) -> Solid:
    """The wall of a hole as a tube: what a thread is cut into, or the skin of a plain hole.

    hole : of the piece.
    foot_mm : height of the piece's lower end [mm].
    thick_mm : of the skin of a plain hole [mm].
    chord_mm : tolerance of its circles [mm].
    """
    inner = hole.drill_mm / 2.0
    outer = hole.largest_mm / 2.0 if hole.thread else inner + thick_mm
    low, high = (foot_mm + along for along in hole.zone_mm(hole.depth_mm))
    ring = [(inner, low), (outer, low), (outer, high), (inner, high)]
    return revolve(ring, sides=segments(outer, chord_mm=chord_mm))
