"""A round mould with its lid in closed form, once its bore is drawn.  No solids.

Heights are measured from the inside floor upward.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, ClassVar

from mouldgen.errors import JobError
from mouldgen.insert.facts import InsertFacts
from mouldgen.size.profile import Profile

if TYPE_CHECKING:
    from mouldgen.size.runner import Runner

# Our own choices, no source.
DEEPEST_MM = 3.0  # of the insert's end that a socket holds
RELIEF_MM = 0.5  # of lettering over its wall


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
    family : of the mould; names the function of this room that draws its bore.
    outline_mm : height over the insert's lower end and radius of the finished piece with its
        turning allowance, rising; empty where the bore does not follow it [mm].
    beyond_mm : how far ears, hooks or a ledge stand out beyond wall and lid [mm].
    """

    # Not of the design of a mould that has none: its id stays what it was.
    joined_later: ClassVar[frozenset[str]] = frozenset({"beyond_mm"})

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
    family: str = "cup"
    outline_mm: tuple[tuple[float, float], ...] = ()
    beyond_mm: float = 0.0

    @property
    def insert_top_mm(self) -> float:
        """Height of the insert's upper end over the inside floor [mm]."""
        return self.pip_mm + self.insert.length_mm

    @property
    def rise_mm(self) -> float:
        """Height of the insert as it is cast [mm]."""
        return self.insert.length_mm

    @property
    def blanks(self) -> int:
        """How many blanks are cast in one mould at once."""
        return 1

    @property
    def lies(self) -> bool:
        """Whether the insert lies in the mould."""
        return False

    @property
    def outside_mm(self) -> float:
        """From the bore to a vent groove's back, or to the lettering on a wall without [mm]."""
        return self.wall_mm + max(self.groove_mm, RELIEF_MM)

    @property
    def finger_mm(self) -> float:
        """The most that a lid's fingers reach down beside the insert [mm]."""
        return min(DEEPEST_MM, self.insert.length_mm / 3.0)

    @property
    def has_runner(self) -> bool:
        """Whether the mould is filled from below, through a runner."""
        return False

    def whole(self, size: Size) -> Size:
        """The mould with all that stands beside its bore; a cup has nothing there.

        size : of a round mould with the bore.
        """
        return size


@dataclass(frozen=True, eq=False)
class Size:
    """A round mould with its lid at one gap; lengths in mm, volumes in ml.

    gap_mm : the radial distance at the insert's lowest section.
    bore : the bare bore.
    foot_mm : its radius at the floor.
    slope : its growth for each mm of height where the gap is asked for, tan(draft).
    fill_mm : height the finished blank must reach.
    level_mm : height to pour to; above `fill_mm` by the riser.
    rim_mm : height of the cup's rim.
    wall_mm : printed wall outside the vent grooves' depth.
    reach_mm : outside radius of the body under the lid's skirt, groove backs included.
    across_mm : largest outside radius of body and lid, with room for lettering on the wall.
    lid_reach_mm : outside radius of the lid.
    body_height_mm, lid_height_mm : of the parts as printed, alone; of the lid with the deepest
        fingers that it may have.
    stack_height_mm : of cup and lid put together.
    cavity_ml : bare cavity to `fill_mm`.
    insert_ml : the part of the insert below `fill_mm`.
    riser_ml : from `fill_mm` to `level_mm`, less what of the insert stands in it.
    """

    gap_mm: float
    bore: Profile
    foot_mm: float
    slope: float
    fill_mm: float
    level_mm: float
    rim_mm: float
    wall_mm: float
    reach_mm: float
    across_mm: float
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

    @property
    def widest_mm(self) -> float:
        """Largest radius of the bore between floor and fill line [mm]."""
        return self.bore.widest_mm(0.0, self.fill_mm)

    def bore_mm(self, height_mm: float) -> float:
        """Radius of the bare bore at a height over the inside floor [mm]."""
        return self.bore.radius_mm(height_mm)

    @property
    def open_mm(self) -> float:
        """Height from which a bore is open to its lid [mm]."""
        return self.rim_mm

    @property
    def blanks(self) -> int:
        """How many blanks are cast in one mould at once."""
        return 1

    @property
    def sides_mm(self) -> tuple[float, float] | None:
        """Width and depth of what it covers; None where it is round [mm]."""
        return None

    @property
    def lid_bore_mm(self) -> float:
        """Radius within which the lid may be pierced [mm]."""
        return self.bore_mm(self.rim_mm)

    @property
    def runner(self) -> Runner | None:
        """The runner that fills it from below, or None."""
        return None

    @property
    def lid_inside(self) -> bool:
        """Whether the lid's rim goes into the bore instead of over the wall."""
        return False

    @property
    def floor_rise_mm(self) -> float:
        """By how much the floor stands higher at the wall than on the axis [mm]."""
        return 0.0

    @property
    def follows(self) -> bool:
        """Whether the bore follows the insert, and by that centres it."""
        return False

    @property
    def halves(self) -> bool:
        """Whether the mould parts in the plane of its axis and the x axis."""
        return False

    @property
    def lies_mm(self) -> tuple[float, float, float] | None:
        """Width, length and height of the body as it is printed, where it lies on its back [mm]."""
        return None


def around_bore(question: SizeQuestion, gap_mm: float, bore: Profile) -> Size:
    """Levels, walls and volumes of a mould round a bore.

    question : what the sizes depend on.
    gap_mm : that the bore was drawn for [mm].
    bore : bare, from the inside floor up.

    Raises JobError where a given fill height leaves the insert's foot in the air.
    """
    q = question
    insert_top = q.insert_top_mm
    fill = insert_top if q.fill_mm is None else q.fill_mm
    if fill <= q.pip_mm:
        raise JobError(
            f"a fill height of {fill:g} mm does not reach the insert, which stands on"
            f" {q.pip_mm:g} mm high pips",
            where="[mould] fill",
            allowed=f"more than {q.pip_mm:g} mm; {insert_top:g} mm covers the insert",
        )
    cavity = bore.volume_ml(fill)
    insert_ml = q.insert.below_ml(min(fill, insert_top) - q.pip_mm)
    above = q.insert.top_ml(max(0.0, insert_top - fill))
    # What sinks away must have stood above the fill line.
    sinks = q.soak_ml + q.shrinkage * (cavity - insert_ml)
    sunk_level = bore.height_mm(cavity + above + sinks)
    level = max(sunk_level, fill, insert_top + q.head_mm)
    rim = level + q.freeboard_mm
    back = q.groove_mm + q.wall_mm  # from the bore to the back of a groove, or to the wall
    reach = bore.widest_mm(rim - q.skirt_mm, rim) + back
    reach += _leaning_mm(bore.between(rim - q.skirt_mm - q.wall_mm, rim), q.wall_mm)
    lid_reach = reach + q.clearance_mm + q.wall_mm
    return Size(
        gap_mm=gap_mm,
        bore=bore,
        foot_mm=bore.radius_mm(0.0),
        slope=math.tan(math.radians(q.draft_deg)),
        fill_mm=fill,
        level_mm=level,
        rim_mm=rim,
        wall_mm=q.wall_mm,
        reach_mm=reach,
        across_mm=max(bore.widest_mm(0.0, rim) + q.outside_mm, lid_reach) + q.beyond_mm,
        lid_reach_mm=lid_reach,
        body_height_mm=q.floor_mm + rim,
        lid_height_mm=q.lid_mm + max(q.skirt_mm, rim - insert_top + q.finger_mm),
        stack_height_mm=q.floor_mm + rim + q.lid_mm,
        cavity_ml=cavity,
        insert_ml=insert_ml,
        riser_ml=bore.volume_ml(level) - cavity - above,
    )


def _leaning_mm(wall: list[tuple[float, float]], thick_mm: float) -> float:
    """How much thicker a wall that closes going up is, level, than it is across [mm].

    A wall that opens is as thick as asked for level already.

    wall : heights and radii of the bore, rising [mm].
    thick_mm : across the wall [mm].
    """
    closes = max((a - b) / (high - low) for (low, a), (high, b) in pairwise(wall))
    return thick_mm * (math.hypot(1.0, max(closes, 0.0)) - 1.0)
