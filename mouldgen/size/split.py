"""A reusable mould in two halves, in closed form: its bore, and the block round it.

The halves part in the plane through the axis and the x axis.  What the block needs there, from
the bore outward: a level land that seals, then a strip for bolts and keys.  Lengthwise, z runs up
from the inside floor.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, fields

from mouldgen.errors import InternalError, JobError
from mouldgen.size import cup
from mouldgen.size.profile import FAR_MM, Profile
from mouldgen.size.round import Size, SizeQuestion
from mouldgen.size.runner import InsideSize, RunnerQuestion, lid_inside, runner_of

LAND_MM = 8.0  # our own choice: 20 lines of 0.4 mm side by side, level, are tight under a few bolts
FLOOR_DEG = 2.0  # the floor rises outward: the halves leave the blank's end (belief: 2 degrees)
FLAT_MM = 1.0  # radius of the floor's level middle
STRIP_MM = 12.0  # a bolt with a wall of 3 mm on either side
BOLT_MM = 5.5  # hole for M5; from memory: ISO 273, medium
BOLTS_APART_MM = 80.0  # belief: between two bolts the land of a printed block stays closed
END_MM = 16.0  # from a block's end to its first bolt: a pry slot lies before it
KEY_MM = (4.0, 2.0, 4.0)  # radius of a key at its foot and at its tip, and its height
DEEPER_MM = 0.4  # by which a pocket is deeper than its key is high: the land closes first
OUT_OF_LINE_MM = 6.0  # by which one key stands off its fellows' lines
LEAST_APART_MM = 46.0  # between the first and the last bolt: two keys and one out of line
EAR_MM = (4.0, 6.0, 24.0)  # how far an ear stands out, its thickness, from one to the next
SLOT_MM = (10.0, 5.0, 1.6)  # of a pry slot: along the corner, into it, into either half

Spot = tuple[float, float]  # x and z


@dataclass(frozen=True, eq=False)
class SplitQuestion(RunnerQuestion):
    """What the sizes of a split mould depend on besides the gap.

    land_mm : level face round the bore, where the halves meet [mm].
    """

    land_mm: float = LAND_MM

    def whole(self, size: Size) -> Size:
        """The block of two halves round the bore.

        size : of a round mould with the bore.
        """
        return in_block(self, size)


@dataclass(frozen=True, eq=False, kw_only=True)
class SplitSize(InsideSize):
    """A split mould with one of its lids.

    left_mm, right_mm : how far the block reaches from the axis along x, either way [mm].
    deep_mm : thickness of a half, from the parting plane to its back [mm].
    land_mm : level face round the bore [mm].
    bottom_mm : height of the block's foot [mm], below 0.
    bolts : where bolts go through, x and height [mm].
    keys : where keys stand, x and height, the last one out of line [mm].
    """

    left_mm: float
    right_mm: float
    deep_mm: float
    land_mm: float
    bottom_mm: float
    bolts: tuple[Spot, ...]
    keys: tuple[Spot, ...]

    @property
    def halves(self) -> bool:
        """Whether the mould parts in the plane of its axis and the x axis."""
        return True

    @property
    def floor_rise_mm(self) -> float:
        """By how much the floor stands higher at the wall than on the axis [mm]."""
        return rise_mm(self.bore_mm(self.rim_mm))

    @property
    def ears_mm(self) -> tuple[float, ...]:
        """Middles of the ears on either side, heights [mm]."""
        middle = (self.bottom_mm + self.rim_mm) / 2.0
        return middle - EAR_MM[2] / 2.0, middle + EAR_MM[2] / 2.0

    @property
    def lies_mm(self) -> tuple[float, float, float]:
        """Width, length and height of a half as it is printed, lying on its back [mm]."""
        top = self.rim_mm if self.runner is None else self.runner.brim_mm
        width = self.left_mm + self.right_mm + 2.0 * EAR_MM[0]
        return width, top - self.bottom_mm, self.deep_mm + KEY_MM[2]


def split_size(size: Size) -> SplitSize:
    """The sizes as those of a split mould.

    Raises InternalError where they are another family's.
    """
    if not isinstance(size, SplitSize):
        raise InternalError("a split mould was asked for without its block")
    return size


def bore(question: SizeQuestion, gap_mm: float) -> Profile:
    """The bore of a cup without draft, over a floor that is a shallow cone, its point down [mm].

    Raises JobError where a draft is asked for, since two halves that part need none, where the bore
    is too narrow for that floor, and where the insert is so wide that the floor rises into it.
    """
    _over_the_floor(question)
    if question.draft_deg:
        raise JobError(
            f"a draft of {question.draft_deg:g} degrees in a split mould, whose halves part",
            where="[mould] draft",
            allowed="0 deg",
        )
    radius = cup.bore(question, gap_mm).radius_mm(0.0)
    if radius <= FLAT_MM:
        raise JobError(
            f"a bore {2.0 * radius:.2f} mm across leaves no room for the floor of a split mould",
            where="[mould] family",
            allowed=f"a bore of more than {2.0 * FLAT_MM:g} mm",
            try_="Look at the insert's units, or take another family.",
        )
    return Profile(((0.0, FLAT_MM), (rise_mm(radius), radius), (FAR_MM, radius)))


def _over_the_floor(question: SizeQuestion) -> None:
    height = question.pip_mm
    for piece in question.insert.pieces:
        for radius, at in ((piece.lower_mm, height), (piece.upper_mm, height + piece.length_mm)):
            if rise_mm(radius) >= at:
                raise JobError(
                    f"the floor of a split mould leans: {radius:.4g} mm from the axis it is"
                    f" {rise_mm(radius):.3g} mm high, and the insert there {at:.3g} mm",
                    where="[mould] family",
                    allowed=f"a foot of less than {2.0 * _widest_foot_mm(question):.4g} mm across",
                    try_="Take a cup, or check the unit of the insert's size.",
                )
        height += piece.length_mm


def _widest_foot_mm(question: SizeQuestion) -> float:
    """Radius at which the floor is as high as the pips that the insert stands on [mm]."""
    return FLAT_MM + question.pip_mm / math.tan(math.radians(FLOOR_DEG))


def rise_mm(radius_mm: float) -> float:
    """By how much the floor stands higher at the wall than on the axis [mm].

    radius_mm : of the bore [mm].
    """
    return math.tan(math.radians(FLOOR_DEG)) * (radius_mm - FLAT_MM)


def pocket_mm(clearance_mm: float) -> float:
    """How deep the hollow for a key is [mm].

    clearance_mm : between key and hollow, across their sides [mm].
    """
    return KEY_MM[2] + max(DEEPER_MM, 1.5 * clearance_mm)


def in_block(question: SplitQuestion, size: Size) -> SplitSize:
    """The two halves round a bore.

    question : what the sizes depend on.
    size : of a round mould with that bore.

    Raises JobError where the mould is too low for its bolts and keys.
    """
    q = question
    inside = lid_inside(q, size)
    runner = runner_of(q, size, lid_mm=inside.lid_reach_mm)
    radius = size.bore.widest_mm(0.0, size.rim_mm)
    side = radius + q.land_mm + STRIP_MM
    right = side if runner is None else runner.x_mm + runner.radius_mm + q.land_mm + STRIP_MM
    # However narrow the bore, a wall stays behind the hollow for a key.
    deep = max(radius + q.groove_mm, pocket_mm(q.clearance_mm)) + q.wall_mm
    bottom, top = -q.floor_mm, size.rim_mm if runner is None else runner.brim_mm
    columns = -(side - STRIP_MM / 2.0), right - STRIP_MM / 2.0
    bolts, keys = _fasteners(columns, bottom + END_MM, size.rim_mm - END_MM)
    known = {field.name: getattr(inside, field.name) for field in fields(InsideSize)}
    width = side + right + 2.0 * EAR_MM[0]
    return SplitSize(
        **known
        | {
            "runner": runner,
            "across_mm": math.hypot(width / 2.0, deep),
            "body_height_mm": top - bottom,
            "stack_height_mm": top - bottom if runner else size.stack_height_mm,
        },
        left_mm=side,
        right_mm=right,
        deep_mm=deep,
        land_mm=q.land_mm,
        bottom_mm=bottom,
        bolts=bolts,
        keys=keys,
    )


def _fasteners(
    columns: tuple[float, float], low: float, high: float
) -> tuple[tuple[Spot, ...], tuple[Spot, ...]]:
    """Bolts evenly up either column, keys midway between the outer ones, one out of line."""
    room = high - low
    if room < LEAST_APART_MM:
        raise JobError(
            f"a split mould {room + 2.0 * END_MM:.1f} mm high has no room for its bolts and keys",
            where="[mould] family",
            allowed=f"a block at least {LEAST_APART_MM + 2.0 * END_MM:g} mm high",
            try_="Take a cup, or fill higher.",
        )
    spaces = max(1, math.ceil(room / BOLTS_APART_MM))
    bolts = tuple((x, low + room * step / spaces) for x in columns for step in range(spaces + 1))
    apart = room / spaces / (3.0 if spaces == 1 else 2.0)
    keys = [(x, z) for x in columns for z in (low + apart, high - apart)]
    keys[-1] = (keys[-1][0], keys[-1][1] - OUT_OF_LINE_MM)
    return bolts, tuple(keys)
