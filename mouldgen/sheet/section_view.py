"""What a section through a mould and its insert shows: where it is cut, and every outline.

All of it is cut out of the meshes, put together as they are cast in.  On the page u runs to the
right from the axis of the first cell and z up from the inside floor.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np

from mouldgen.errors import NoAnswerError
from mouldgen.job.outline import outline_of, widest_mm
from mouldgen.mould.plan import CupPlan
from mouldgen.mould.tray import TrayPlan
from mouldgen.sheet.plane_cut import Loops, area_mm2, ends, plane_cut, plane_reach, spans

if TYPE_CHECKING:
    from mouldgen.mould.any_plan import AnyPlan
    from mouldgen.mould.parts import MouldParts
    from mouldgen.mould_set import MouldSet
    from mouldgen.solid.mesh import Floats

Rings = tuple[tuple[tuple[float, float], ...], ...]

_STEP_DEG = 5  # between the planes that a round mould may be cut in
_CLEAN_MM = 0.05  # by which a plain wall may leave the bare cavity; a rib or a groove is deeper
_ON_MM = 0.01  # a plane so close to an axis goes through it
_BESIDE_MM = 0.5  # from a notch to the plane, at least
_ROUND = 72  # corners of a piece that lies, seen from its end


@dataclass(frozen=True, eq=False)
class CutPart:
    """One part where the plane cuts it.

    name : of the part, such as ``body``.
    loops : its outlines, each (k, 2) of u and z [mm].
    """

    name: str
    loops: Loops


@dataclass(frozen=True, eq=False)
class SectionView:
    """A section through a mould set as it is cast.

    bodies : what stands round the insert.
    lid : the part over it; in rubber one for each cavity, all in here.
    insert : outlines of every insert that the plane meets [mm].
    envelope, cavity : of the first cell, what the gap is measured between [mm].
    resin : outlines of the space inside the bodies, of every cell [mm].
    level_mm : to which resin stands in it [mm].
    pieces, turned : outlines of the finished pieces, and with what is turned off [mm].
    azimuth_deg : direction of u, from the mould's x axis [degrees].
    lid_azimuth_deg : the same of the plane that the lid is cut in; another where the lid is shown
        turned, so that a vent is seen [degrees].
    across : the plane's distance from the first cell's middle along y [mm].
    cells : that the plane goes through.
    where : what the plane goes through: the axis beside grooves and ribs, both halves across
        their parting, a row of cells, or a pocket.
    """

    bodies: tuple[CutPart, ...]
    lid: CutPart
    insert: Loops
    envelope: Loops
    cavity: Loops
    resin: Loops
    level_mm: float
    pieces: Rings
    turned: Rings
    azimuth_deg: float
    lid_azimuth_deg: float
    across: float
    cells: int
    where: Literal["axis", "parting", "row", "pocket"]

    @property
    def parts(self) -> tuple[CutPart, ...]:
        """Bodies, lid and insert."""
        return (*self.bodies, self.lid, CutPart("insert", self.insert))

    @property
    def ends_mm(self) -> tuple[tuple[float, float], tuple[float, float]]:
        """Least and greatest u, and least and greatest z, of all parts [mm]."""
        return ends([loop for part in self.parts for loop in part.loops])


def section_of(found: MouldSet) -> SectionView:
    """Cut a mould set through the axis of its first cell.

    A round mould is cut beside its vent grooves and ribs, where the insert reaches farthest; its
    lid is turned so that a vent is seen, if none is there.  Split moulds are cut across their
    parting, blocks across all bores of a row, and trays across the first piece of the first pocket,
    beside the notch that drains them.

    Raises NoAnswerError where no gap fits the job, so that there is no mould to cut.
    """
    if found.parts is None or found.plan is None:
        raise NoAnswerError(
            "there is no mould to draw a section of: no gap fits this job",
            try_="Look at what the gap's rules ask for, and change what they name.",
        )
    parts, plan = found.parts, found.plan
    x, y = parts.places[0]
    across = _across(plan, row_y=y, long_mm=found.answer.job.piece.length)
    azimuth = _azimuth(parts, plan)
    lid_azimuth = _lid_azimuth(parts, plan, azimuth)
    shifts = _shifts(found, parts, azimuth)
    here, cell = (x, y + across), (0.0, across)
    lid = plane_cut(parts.part("lid").assembled, azimuth_deg=lid_azimuth, about=here)
    pieces, turned = _pieces(found, plan)
    return SectionView(
        bodies=tuple(
            CutPart(part.name, plane_cut(part.assembled, azimuth_deg=azimuth, about=here))
            for part in parts.bodies
        ),
        lid=CutPart("lid", _repeated(lid, shifts if parts.cast else (0.0,))),
        insert=_repeated(plane_cut(parts.insert, azimuth_deg=azimuth, about=cell), shifts),
        envelope=plane_cut(parts.envelope, azimuth_deg=azimuth, about=cell),
        cavity=plane_cut(parts.cavity, azimuth_deg=azimuth, about=cell),
        resin=_repeated(plane_cut(parts.hollow, azimuth_deg=azimuth, about=cell), shifts),
        level_mm=plan.size.level_mm,
        pieces=pieces,
        turned=turned,
        azimuth_deg=azimuth,
        lid_azimuth_deg=lid_azimuth,
        across=across,
        cells=len(shifts),
        where=_where(parts, plan),
    )


def _round_and_single(parts: MouldParts, plan: AnyPlan) -> bool:
    """Whether a mould may be cut in any plane through its axis."""
    one = len(parts.places) == 1 and not parts.cast
    return one and isinstance(plan, CupPlan) and not plan.size.halves


def _across(plan: AnyPlan, *, row_y: float, long_mm: float) -> float:
    """Where along y the plane is, from the middle of the first cell [mm].

    row_y : that middle [mm].
    long_mm : of a piece [mm].

    Through the notch a tray would seem to have no wall on one side.  Beside it the insert seems to
    float, so the plane goes through the nearest legs over the piece, if any.  A piece that stands
    is cut through its axis all the same.
    """
    if isinstance(plan, CupPlan):
        return 0.0
    from mouldgen.mould.tray_solids import NOTCH_MM

    first = plan.poses[0]
    clear = NOTCH_MM / 2.0 + _BESIDE_MM
    if not first.lies or abs(row_y + first.y_mm) >= clear:
        return first.y_mm
    legs = {(front + back) / 2.0 for _, front, _, back in plan.legs}
    fits = [
        y for y in sorted(legs)
        if abs(y - first.y_mm) < long_mm / 2.0 and abs(row_y + y) >= clear
    ]  # fmt: skip
    return min(fits, key=lambda y: abs(y - first.y_mm), default=first.y_mm)


def _where(parts: MouldParts, plan: AnyPlan) -> Literal["axis", "parting", "row", "pocket"]:
    if isinstance(plan, TrayPlan):
        return "pocket"
    if _round_and_single(parts, plan):
        return "axis"
    return "parting" if plan.size.halves else "row"


def _azimuth(parts: MouldParts, plan: AnyPlan) -> float:
    if isinstance(plan, CupPlan) and plan.size.halves:
        return 90.0
    if parts.cast and isinstance(plan, CupPlan):
        # Rows and columns of cavities are alike; across the vent of the lids one of them shows it.
        return 90.0 if any(abs(x) < _ON_MM for x, _, _ in plan.vents) else 0.0
    if not _round_and_single(parts, plan):
        return 0.0
    return float(min(range(0, 180, _STEP_DEG), key=lambda at: _worth(parts, plan, at)))


def _worth(parts: MouldParts, plan: AnyPlan, azimuth: int) -> tuple[float, ...]:
    """Less is better: few ribs and grooves, a wide insert, little lettering on the wall."""
    cavity = plane_cut(parts.cavity, azimuth_deg=azimuth)
    body = [loop for p in parts.bodies for loop in plane_cut(p.assembled, azimuth_deg=azimuth)]
    foot, top = plan.insert_foot_mm, min(plan.insert_top_mm, plan.size.fill_mm)
    heights = (foot + 0.6, (foot + top) / 2.0, top - 0.6)
    marred = sum(_marred(cavity, body, z) for z in heights)
    left, right = plane_reach(parts.insert, azimuth_deg=azimuth)
    return marred, -round(right - left, 1), round(area_mm2(body), 1), azimuth


def _marred(cavity: Loops, body: list[Floats], height: float) -> int:
    """On how many sides a rib or a groove is in the way at a height."""
    bore, walls = spans(cavity, height), spans(body, height)
    if not bore or len(walls) < 2:
        return 2
    inside = (walls[0][1], walls[-1][0])
    return sum(
        abs(one - other) > _CLEAN_MM
        for one, other in zip(inside, (bore[0][0], bore[-1][1]), strict=True)
    )


def _lid_azimuth(parts: MouldParts, plan: AnyPlan, azimuth: float) -> float:
    """That of the mould, turned by as little as shows a vent."""
    if not isinstance(plan, CupPlan) or not plan.vents or parts.cast or len(parts.places) > 1:
        return azimuth
    if plan.held_by is not None:
        return azimuth  # what holds a lid belongs where its counterpart on the wall is
    off = [math.degrees(math.atan2(y, x)) - azimuth for x, y, _ in plan.vents]
    by = min((round(math.remainder(turn, 180.0), 6) for turn in off), key=lambda t: (abs(t), t))
    return azimuth + by


def _shifts(found: MouldSet, parts: MouldParts, azimuth: float) -> tuple[float, ...]:
    """Where the axes of the cells in the plane are, along u from the first [mm]."""
    places = parts.places
    if parts.cast and found.answer.size is not None:
        # All cavities of one rubber mould are alike, and its parts stand about the first.
        places = getattr(found.answer.size, "cells", places)
    if len(places) == 1:
        return (0.0,)
    along, across = (1, 0) if azimuth == 90.0 else (0, 1)
    first = places[0]
    return tuple(
        place[along] - first[along]
        for place in places
        if abs(place[across] - first[across]) < _ON_MM
    )


def _repeated(loops: Loops, shifts: tuple[float, ...]) -> Loops:
    return tuple(loop + np.array([shift, 0.0]) for shift in shifts for loop in loops)


def _pieces(found: MouldSet, plan: AnyPlan) -> tuple[Rings, Rings]:
    """Outlines of finished pieces in the plane, bare and with the turning allowance."""
    bare, turned = [], []
    for ring, wider in _outlines(found, plan):
        bare.append(ring)
        turned.append(wider)
    return tuple(bare), tuple(turned)


def _outlines(
    found: MouldSet, plan: AnyPlan
) -> Iterator[tuple[tuple[tuple[float, float], ...], tuple[tuple[float, float], ...]]]:
    piece, more = found.answer.job.piece, found.answer.question.turning_mm
    outline = outline_of(piece)
    for x, middle, lies in _stands(plan):
        if lies:
            widest = widest_mm(outline)
            yield _circle(x, middle, widest), _circle(x, middle, widest + more)
            continue
        low = middle - piece.length / 2.0
        yield _mirrored(outline, x, low, 0.0), _mirrored(outline, x, low, more)


def _stands(plan: AnyPlan) -> Iterator[tuple[float, float, bool]]:
    """Axis and middle of the pieces in the plane, and whether they lie."""
    if not isinstance(plan, TrayPlan):
        yield 0.0, plan.insert_middle_mm, False
        return
    first = plan.poses[0]
    for pose in plan.poses:
        if abs(pose.y_mm - first.y_mm) < 1e-6:
            yield pose.x_mm, pose.z_mm, pose.lies


def _mirrored(
    outline: tuple[tuple[float, float], ...], x: float, low: float, more: float
) -> tuple[tuple[float, float], ...]:
    right = [(x + radius + more, low + along) for along, radius in outline]
    return (*right, *((2.0 * x - u, z) for u, z in reversed(right)))


def _circle(x: float, z: float, radius: float) -> tuple[tuple[float, float], ...]:
    turns = (2.0 * math.pi * k / _ROUND for k in range(_ROUND))
    return tuple((x + radius * math.cos(t), z + radius * math.sin(t)) for t in turns)
