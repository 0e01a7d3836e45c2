"""What a section through a mould tells in numbers: each length with the place where it is seen.

A number is the set's own; its place is measured on what the plane cuts.  Where the two do not
agree, because the plane cuts a feature slantwise or not at all, the number is told in words and
no arrow points at something else.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, Literal

import numpy as np

from mouldgen.job.outline import outline_of, widest_mm
from mouldgen.mould.plan import CupPlan
from mouldgen.sheet.plane_cut import ends, spans

if TYPE_CHECKING:
    from mouldgen.mould.any_plan import AnyPlan
    from mouldgen.mould_set import MouldSet
    from mouldgen.sheet.section_view import SectionView
    from mouldgen.solid.mesh import Floats

Place = tuple[float, float]
Side = Literal["above", "below", "left", "right"]

# Circles are drawn with facets that leave them by 0.01 mm, at either end of a diameter.
AGREES_MM = 0.05
_INTO_MM = 0.01  # beside a corner, so that a line does not run along a face
_LOOKS = 41  # places at which a wall, a floor or a lid is looked at


@dataclass(frozen=True, eq=False)
class Dimension:
    """One length of a section.

    name : such as ``gap-left``.
    label : in front of the number, such as ``bore at the foot Ø``.
    value_mm : of the set [mm].
    start, end : u and z between which it is seen, rising [mm].
    side : of the section where it is written.
    """

    name: str
    label: str
    value_mm: float
    start: Place
    end: Place
    side: Side

    @property
    def level(self) -> bool:
        """Whether it runs along u."""
        return self.side in {"above", "below"}

    @property
    def seen_mm(self) -> float:
        """The length between its two places [mm]."""
        along = 0 if self.level else 1
        return self.end[along] - self.start[along]


@dataclass(frozen=True, eq=False)
class SectionSizes:
    """The lengths of a section.

    shown : with a place in the section.
    told : label and length [mm] of those that this plane does not show.
    """

    shown: tuple[Dimension, ...]
    told: tuple[tuple[str, float], ...]


def sizes_of(found: MouldSet, view: SectionView) -> SectionSizes:
    """Every length that a maker measures on a mould and its insert.

    found : not in a conflict.
    view : its section.
    """
    plan = found.plan
    if plan is None:
        return SectionSizes((), ())
    shown: list[Dimension] = []
    told: list[tuple[str, float]] = []
    for tried in _all(found, view, plan):
        agreed = next((d for d in tried if abs(d.seen_mm - d.value_mm) <= AGREES_MM), None)
        if agreed is not None:
            shown.append(agreed)
        else:
            told.append((tried[0].label, tried[0].value_mm))
    return SectionSizes(tuple(shown), tuple(dict.fromkeys(told)))


def _all(found: MouldSet, view: SectionView, plan: AnyPlan) -> Iterator[Sequence[Dimension]]:
    """For each length the places where it may be seen, the best first; at least one."""
    yield from _bores(view, plan)
    yield from _gaps(view, plan)
    yield _walls(found, view, plan)
    yield _floors(found, view)
    yield from _of_insert(view, plan)
    yield from _heights(found, view, plan)
    yield _lids(found, view)
    yield from _holes(view, plan)
    yield from _piece(found, view)


def _bores(view: SectionView, plan: AnyPlan) -> Iterator[Sequence[Dimension]]:
    size = plan.size
    if isinstance(plan, CupPlan):
        foot = plan.size.floor_rise_mm
        name, values = "bore", [2.0 * plan.size.bore_mm(z) for z in (foot, size.fill_mm)]
        mark = " Ø"
    else:
        foot, name, mark = 0.0, "pocket", ""
        values = [plan.size.pocket_mm(z)[0] for z in (0.0, size.fill_mm)]
    heights = (foot + _INTO_MM, size.fill_mm - _INTO_MM)
    sides: tuple[Side, Side] = ("below", "above")
    for where, value, z, side in zip(("foot", "top"), values, heights, sides, strict=True):
        left, right = _reach(view.cavity, z)
        label = f"{name} at the {where}{mark}"
        yield (Dimension(f"bore-{where}", label, value, (left, z), (right, z), side),)


def _reach(loops: Sequence[Floats], height: float) -> tuple[float, float]:
    """The outer ends of what a level line meets; nothing gives 0, 0 [mm]."""
    found = spans(loops, height)
    return (found[0][0], found[-1][1]) if found else (0.0, 0.0)


def _gaps(view: SectionView, plan: AnyPlan) -> Iterator[Sequence[Dimension]]:
    z, gap = plan.insert_foot_mm + _INTO_MM, plan.size.gap_mm
    inner, outer = ends(view.envelope)[0], _reach(view.cavity, z)
    yield (Dimension("gap-left", "gap", gap, (outer[0], z), (inner[0], z), "below"),)
    yield (Dimension("gap-right", "gap", gap, (inner[1], z), (outer[1], z), "below"),)


def _walls(found: MouldSet, view: SectionView, plan: AnyPlan) -> Sequence[Dimension]:
    """Beside the cavity; a wall that is thicker by the depth of a vent groove is told as that."""
    size, groove = plan.size, found.answer.sizes.groove_mm
    middle = (plan.insert_foot_mm + size.fill_mm) / 2.0
    heights = [middle, *np.linspace(_INTO_MM, size.rim_mm - _INTO_MM, _LOOKS).tolist()]
    wanted = [("wall", size.wall_mm)]
    if groove:
        wanted.append(("wall with a vent groove's depth", size.wall_mm + groove))
    return [
        Dimension("wall", label, value, (a, z), (b, z), "below")
        for label, value in wanted
        for z in heights
        for part in view.bodies
        for a, b in _outer(spans(part.loops, z))
    ] or [Dimension("wall", "wall", size.wall_mm, (0.0, 0.0), (0.0, 0.0), "below")]


def _outer(found: Sequence[tuple[float, float]]) -> Iterator[tuple[float, float]]:
    """The first and the last of what a line meets, the first one first."""
    if found:
        yield found[0]
        yield found[-1]


def _floors(found: MouldSet, view: SectionView) -> Sequence[Dimension]:
    sizes = found.answer.sizes
    floor = sizes.floor_mm if not found.parts or not found.parts.cast else _rubber_floor(found)
    left, right = ends(view.cavity)[0]
    return [
        Dimension("floor", "floor", floor, (u, a), (u, b), "left")
        for u in np.linspace(left + 0.5, right - 0.5, _LOOKS).tolist()
        for part in view.bodies
        for a, b in spans(part.loops, u, upright=True)[:1]
    ] or [Dimension("floor", "floor", floor, (0.0, 0.0), (0.0, 0.0), "left")]


def _rubber_floor(found: MouldSet) -> float:
    floor: float = getattr(found.answer.size, "rubber_floor_mm", found.answer.sizes.floor_mm)
    return floor


def _of_insert(view: SectionView, plan: AnyPlan) -> Iterator[Sequence[Dimension]]:
    z = (plan.insert_foot_mm + plan.insert_top_mm) / 2.0
    (left, right), (low, high) = ends(view.envelope)
    if isinstance(plan, CupPlan):
        across, wide = "insert Ø", 2.0 * plan.insert.envelope_mm
        along, long = "insert's length", plan.insert.length_mm
    else:
        across, wide = "insert's width", plan.question.laid.width_mm
        along, long = "insert's height", plan.question.laid.tall_mm
    yield (Dimension("insert-across", across, wide, (left, z), (right, z), "below"),)
    yield (Dimension("insert-along", along, long, (left, low), (left, high), "left"),)


def _heights(found: MouldSet, view: SectionView, plan: AnyPlan) -> Iterator[Sequence[Dimension]]:
    size = plan.size
    walls = [loop for part in view.bodies for loop in part.loops]
    (_, (bottom, _)), (_, (_, top)) = ends(walls), ends(view.lid.loops)
    inside = _reach(view.resin, _INTO_MM)[1]
    for name, label, height in (
        ("fill", "fill height", size.fill_mm),
        ("level", "resin to", size.level_mm),
    ):
        edge = _reach(view.resin, height - _INTO_MM)[1]
        yield (Dimension(name, label, height, (inside, 0.0), (edge, height), "right"),)
    low = (_reach(walls, bottom + _INTO_MM)[1], bottom)
    high = (_reach(view.lid.loops, top - _INTO_MM)[1], top)
    # A runner's brim stands higher than the lid, and beside this plane.
    without = size.rim_mm + found.answer.sizes.floor_mm + found.answer.sizes.lid_mm
    yield [
        Dimension("total", label, total, low, high, "right")
        for label, total in (("total height", size.stack_height_mm), ("body and lid", without))
    ]


def _lids(found: MouldSet, view: SectionView) -> Sequence[Dimension]:
    thick = found.answer.sizes.lid_mm
    left, right = ends(view.lid.loops)[0]
    looks = np.linspace(left + _INTO_MM, right - _INTO_MM, 4 * _LOOKS).tolist()
    return [
        Dimension("lid", "lid", thick, (u, a), (u, b), "left")
        for u in looks
        for a, b in spans(view.lid.loops, u, upright=True)[-1:]
    ]


def _holes(view: SectionView, plan: AnyPlan) -> Iterator[Sequence[Dimension]]:
    """Vents and port, seen where the lid has nothing just under its top."""
    vents = plan.vents if isinstance(plan, CupPlan) else ()
    port = () if plan.port is None else (plan.port,)
    z = ends(view.lid.loops)[1][1] - 1.0
    solid = spans(view.lid.loops, z)
    free = [(b, a) for (_, b), (a, _) in pairwise(solid)]
    for name, label, holes in (("vent", "vent Ø", vents), ("port", "port Ø", port)):
        if holes:
            wide = 2.0 * holes[0][2]
            yield [Dimension(name, label, wide, (a, z), (b, z), "above") for a, b in free] or [
                Dimension(name, label, wide, (0.0, z), (0.0, z), "above")
            ]


def _piece(found: MouldSet, view: SectionView) -> Iterator[Sequence[Dimension]]:
    across = 2.0 * widest_mm(outline_of(found.answer.job.piece))
    left, right = min(u for u, _ in view.pieces[0]), max(u for u, _ in view.pieces[0])
    z = min(z for u, z in view.pieces[0] if u > right - _INTO_MM)
    turning = found.answer.question.turning_mm
    yield (Dimension("piece", "piece Ø", across, (left, z), (right, z), "below"),)
    if turning > 0.0:
        to = right + turning
        yield (Dimension("turning", "to turn off", turning, (right, z), (to, z), "below"),)
