"""A cup with its lid in closed form, as a function of the gap.  No solids.

Heights are measured from the inside floor upward.  The bare cavity is a cylinder, or with a
draft a frustum that opens upward; its radius is reckoned from the lowest section of the insert,
where the gap is asked for.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from mouldgen.errors import JobError
from mouldgen.insert.facts import InsertFacts
from mouldgen.job.allowances import Allowances
from mouldgen.job.model import Mould, Printer

# Our own choices, no source: high enough for resin to run under the insert, thick enough for a
# lid that is lifted off by its edge, deep enough that the lid finds its place by touch.
PIP_MM = 2.0
LID_MM = 2.4
SKIRT_MM = 6.0
GROOVE_MM = 1.2


@dataclass(frozen=True, eq=False)
class SizeQuestion:
    """What the sizes depend on besides the gap.

    insert : the insert.
    fill_mm : height of the blank that the maker asked for, or None [mm].
    head_mm : resin that has to stand above the insert while the level sinks [mm].
    soak_ml : resin that open pores and shut-in air take under pressure [ml].
    shrinkage : of the resin's volume before it gels, as a share.
    freeboard_mm : wall above the level poured to [mm].
    pip_mm : height of the floor pips that the insert stands on [mm].
    wall_mm, floor_mm : printed thickness of wall and floor [mm].
    lid_mm : thickness of the lid's disc [mm].
    skirt_mm : how far the lid reaches down over the cup [mm].
    groove_mm : radius of a vent groove, 0 with none [mm].
    clearance_mm : between cup and lid, a side [mm].
    line_mm : width of one printed line [mm].
    draft_deg : half angle of the bore [degrees].
    """

    insert: InsertFacts
    fill_mm: float | None
    head_mm: float
    soak_ml: float
    shrinkage: float
    freeboard_mm: float
    pip_mm: float
    wall_mm: float
    floor_mm: float
    lid_mm: float
    skirt_mm: float
    groove_mm: float
    clearance_mm: float
    line_mm: float
    draft_deg: float


@dataclass(frozen=True, eq=False)
class Size:
    """A cup with its lid at one gap; lengths in mm, volumes in ml.

    gap_mm : the radial distance at the insert's lowest section.
    foot_mm : radius of the bare bore at the floor.
    slope : growth of the bore's radius for each mm of height, tan(draft).
    fill_mm : height the finished blank must reach.
    level_mm : height to pour to; above `fill_mm` by the riser.
    rim_mm : height of the cup's rim.
    wall_mm : printed wall outside the vent grooves' depth.
    reach_mm : largest outside radius of the cup, groove backs included, at the rim.
    lid_reach_mm : outside radius of the lid.
    body_height_mm, lid_height_mm : of the parts as printed, alone.
    stack_height_mm : of cup and lid put together.
    cavity_ml : bare cavity to `fill_mm`.
    insert_ml : the part of the insert below `fill_mm`.
    riser_ml : from `fill_mm` to `level_mm`, less what of the insert stands in it.
    """

    gap_mm: float
    foot_mm: float
    slope: float
    fill_mm: float
    level_mm: float
    rim_mm: float
    wall_mm: float
    reach_mm: float
    lid_reach_mm: float
    body_height_mm: float
    lid_height_mm: float
    stack_height_mm: float
    cavity_ml: float
    insert_ml: float
    riser_ml: float

    @property
    def net_ml(self) -> float:
        """Resin to `fill_mm`: the bare cavity less the insert [ml]."""
        return self.cavity_ml - self.insert_ml

    def bore_mm(self, height_mm: float) -> float:
        """Radius of the bare bore at a height over the inside floor [mm]."""
        return self.foot_mm + self.slope * height_mm


def frustum_ml(foot_mm: float, slope: float, height_mm: float) -> float:
    """Volume of a frustum from its foot radius, growth and height [ml].

    ``V = pi h (r0^2 + r0 r1 + r1^2) / 3``, the closed form of any geometry text.
    """
    top = foot_mm + slope * height_mm
    return math.pi * height_mm * (foot_mm**2 + foot_mm * top + top**2) / 3000.0


def size_of(question: SizeQuestion, gap_mm: float) -> Size:
    """The cup and lid at one gap [mm].

    Raises JobError where a given fill height leaves the insert's foot in the air or the draft
    closes the bore below the insert.
    """
    q = question
    insert_top = q.pip_mm + q.insert.length_mm
    fill = insert_top if q.fill_mm is None else q.fill_mm
    if fill <= q.pip_mm:
        raise JobError(
            f"a fill height of {fill:g} mm does not reach the insert, which stands on"
            f" {q.pip_mm:g} mm high pips",
            where="[mould] fill",
            allowed=f"more than {q.pip_mm:g} mm; {insert_top:g} mm covers the insert",
        )
    slope = math.tan(math.radians(q.draft_deg))
    foot = q.insert.envelope_mm + gap_mm - slope * q.pip_mm
    if foot <= q.line_mm:
        raise JobError(
            f"a draft of {q.draft_deg:g} degrees closes the bore at the floor",
            where="[mould] draft",
            try_="Take less draft.",
        )
    cavity = frustum_ml(foot, slope, fill)
    insert_ml = q.insert.section_mm2 * (min(fill, insert_top) - q.pip_mm) / 1000.0
    above = q.insert.section_mm2 * max(0.0, insert_top - fill) / 1000.0
    # What sinks away must have stood above the fill line.
    sinks = q.soak_ml + q.shrinkage * (cavity - insert_ml)
    sunk_level = _height_for(foot, slope, cavity + above + sinks)
    level = max(sunk_level, fill, insert_top + q.head_mm)
    rim = level + q.freeboard_mm
    back = q.groove_mm + q.wall_mm  # from the bore to the back of a groove, or to the wall
    reach = foot + slope * rim + back
    lid_reach = reach + q.clearance_mm + q.wall_mm
    return Size(
        gap_mm=gap_mm,
        foot_mm=foot,
        slope=slope,
        fill_mm=fill,
        level_mm=level,
        rim_mm=rim,
        wall_mm=q.wall_mm,
        reach_mm=reach,
        lid_reach_mm=lid_reach,
        body_height_mm=q.floor_mm + rim,
        lid_height_mm=q.lid_mm + max(q.skirt_mm, rim - insert_top),
        stack_height_mm=q.floor_mm + rim + q.lid_mm,
        cavity_ml=cavity,
        insert_ml=insert_ml,
        riser_ml=frustum_ml(foot, slope, level) - cavity - above,
    )


def _height_for(foot_mm: float, slope: float, volume_ml: float) -> float:
    """Height that a volume stands at in a frustum [mm], the inverse of `frustum_ml`."""
    area = math.pi * foot_mm**2
    if slope == 0.0:
        return 1000.0 * volume_ml / area
    # (r0 + s h)^3 - r0^3 = 3 s V / pi
    cube = foot_mm**3 + 3000.0 * slope * volume_ml / math.pi
    return (math.cbrt(cube) - foot_mm) / slope


def cup_question(
    insert: InsertFacts,
    *,
    mould: Mould,
    printer: Printer,
    allowances: Allowances,
    soak_ml: float,
    shrinkage: float,
) -> SizeQuestion:
    """The sizes of a cup from the allowances: walls in whole lines, floors in whole layers.

    insert : the insert.
    mould : what the maker chose about the mould.
    printer : whose lines and layers the walls are made of.
    allowances : of the insert's size class.
    soak_ml : resin that open pores take under pressure [ml].
    shrinkage : of the resin's volume before it gels, as a share.
    """

    def lines(least_mm: float) -> float:
        return math.ceil(least_mm / printer.line - 1e-9) * printer.line

    def layers(least_mm: float) -> float:
        return math.ceil(least_mm / printer.layer - 1e-9) * printer.layer

    return SizeQuestion(
        insert=insert,
        fill_mm=mould.fill,
        head_mm=allowances.head_mm,
        soak_ml=soak_ml,
        shrinkage=shrinkage,
        freeboard_mm=allowances.freeboard_mm,
        pip_mm=layers(PIP_MM),
        wall_mm=lines(allowances.wall_mm),
        floor_mm=layers(allowances.floor_mm),
        lid_mm=layers(LID_MM),
        skirt_mm=layers(SKIRT_MM),
        groove_mm=GROOVE_MM if mould.vent_grooves else 0.0,
        clearance_mm=printer.clearance,
        line_mm=printer.line,
        draft_deg=mould.draft,
    )
