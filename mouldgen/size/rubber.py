"""A rubber mould of several cavities, and the printed box that it is cast in, in closed form.

Lengths are those of the rubber mould as it is used, heights counted from the inside floor of its
cavities; as it is cast, upside down on the base and before it has shrunk, every length of it is
larger by `RubberSize.scale`.

Seen from above the block is the outline round equal circles, one on each cavity's axis: a round
for one cavity, straight sides with round corners for more, so that rubber stands equally thick
round every plug.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, fields, replace

from mouldgen.size.round import Size, SizeQuestion

# Our own choices, no source.
LAND_MM = 3.0  # of rubber between a bore and the groove for the lid's rim
RELIEF_MM = 0.4  # by which that groove is deeper than the rim is high: the lid rests on the rubber
LEAST_RUBBER_MM = 2.0  # outside that groove
TONGUE_MM = 3.0  # height of the two tongues of the base that the frame's foot stands between
FREEBOARD_MM = 5.0  # frame above the rubber's level
FRAME_DRAFT_DEG = 2.0  # the frame is lifted off the rubber, so it opens downward
PLATE_MM = 3.0
PLUG_WALL_MM = 3.0


@dataclass(frozen=True, eq=False)
class RubberQuestion(SizeQuestion):
    """What the sizes of a rubber mould depend on besides the gap.

    up : cavities in one rubber mould.
    rubber_mm : rubber round each plug, at least [mm].
    between_mm : from one plug to the next, at least [mm].
    rubber_floor_mm : over the plugs [mm].
    shrink : of the rubber's length, as a share.
    frame_mm : printed wall of the frame [mm].
    plate_mm : printed plate that the plugs stand on [mm].
    plug_mm : printed wall of a hollow plug [mm].
    """

    up: int = 1
    rubber_mm: float = 12.0
    between_mm: float = 19.0
    rubber_floor_mm: float = 12.0
    shrink: float = 0.0
    frame_mm: float = 3.2
    plate_mm: float = PLATE_MM
    plug_mm: float = PLUG_WALL_MM

    def whole(self, size: Size) -> RubberSize:
        """The rubber mould and its box round the bore of one cavity.

        size : of a round mould with that bore.
        """
        return in_rubber(self, size)


@dataclass(frozen=True, eq=False, kw_only=True)
class RubberSize(Size):
    """A rubber mould with one of its lids, and its box; `wall_mm` is the least rubber.

    columns, rows : of cavities.
    pitch_mm : from one axis to the next [mm].
    top_mm : radius of the block's corners at the rim, about the outer cavities' axes [mm].
    draft : growth of that radius for each mm of height; `slope` is the bore's.
    rubber_floor_mm : rubber below the cavities' floor [mm].
    groove_mm : inner radius, outer radius and depth of the groove for the lid's rim [mm].
    ledge_mm : radius of the block's corners beside the base's inner tongue [mm].
    tongue_mm : thickness and height of a tongue, in the rubber's own lengths [mm].
    scale : length of the rubber as it is cast over its length as it is used.
    frame_mm, plate_mm, plug_mm : printed walls, as printed [mm].
    clearance_mm : between frame and tongues, a side, as printed [mm].
    """

    columns: int
    rows: int
    pitch_mm: float
    top_mm: float
    draft: float
    rubber_floor_mm: float
    groove_mm: tuple[float, float, float]
    ledge_mm: float
    tongue_mm: tuple[float, float]
    scale: float
    frame_mm: float
    plate_mm: float
    plug_mm: float
    clearance_mm: float

    @property
    def up(self) -> int:
        """Cavities of one rubber mould."""
        return self.columns * self.rows

    @property
    def core_mm(self) -> tuple[float, float]:
        """From the first to the last axis along x and along y [mm]."""
        return (self.columns - 1) * self.pitch_mm, (self.rows - 1) * self.pitch_mm

    @property
    def cells(self) -> tuple[tuple[float, float], ...]:
        """The cavities' axes about the middle of the block, x and y [mm]."""
        wide, deep = self.core_mm
        return tuple(
            (column * self.pitch_mm - wide / 2.0, row * self.pitch_mm - deep / 2.0)
            for row in range(self.rows)
            for column in range(self.columns)
        )

    def corner_mm(self, height_mm: float) -> float:
        """Radius of the block's corners at a height over the cavities' floor [mm]."""
        return self.top_mm - self.draft * (self.rim_mm - height_mm)

    def section_mm2(self, corner_mm: float) -> float:
        """Area inside an outline whose corners have this radius [mm2]."""
        wide, deep = self.core_mm
        return wide * deep + 2.0 * corner_mm * (wide + deep) + math.pi * corner_mm**2

    @property
    def box_ml(self) -> float:
        """Inside of the box up to the rubber's level, the base's tongue left out [ml].

        A section is a square in its height, so Simpson's rule over the drafted part is exact.
        """
        low, high = -self.rubber_floor_mm, self.rim_mm - self.tongue_mm[1]
        mean = (
            self.section_mm2(self.corner_mm(low))
            + 4.0 * self.section_mm2(self.corner_mm((low + high) / 2.0))
            + self.section_mm2(self.corner_mm(high))
        ) / 6.0
        ledge = self.section_mm2(self.ledge_mm) * self.tongue_mm[1]
        return self.scale**3 * (mean * (high - low) + ledge) / 1000.0

    @property
    def plug_ml(self) -> float:
        """One plug with the ring round it, bare of features [ml]."""
        inner, outer, depth = self.groove_mm
        ring = math.pi * (outer**2 - inner**2) * depth / 1000.0
        return self.scale**3 * (self.bore.volume_ml(self.rim_mm) + ring)

    @property
    def rubber_ml(self) -> float:
        """Rubber of one mould as it is cast: the box's inside less the plugs [ml]."""
        return self.box_ml - self.up * self.plug_ml

    @property
    def frame_reach_mm(self) -> float:
        """Radius of the base's corners outside of everything, as printed [mm]."""
        tongue = self.tongue_mm[0] * self.scale
        return self.scale * self.top_mm + self.frame_mm + self.clearance_mm + tongue

    @property
    def frame_height_mm(self) -> float:
        """Height of the frame as printed [mm]."""
        return self.scale * (self.rim_mm + self.rubber_floor_mm) + FREEBOARD_MM

    @property
    def base_mm(self) -> tuple[float, float]:
        """Width and depth of the base as printed [mm]."""
        wide, deep = self.core_mm
        reach = 2.0 * self.frame_reach_mm
        return self.scale * wide + reach, self.scale * deep + reach

    @property
    def lies_mm(self) -> tuple[float, float, float]:
        """Width and depth of the base, and the height of the higher of base and frame [mm]."""
        return *self.base_mm, self.body_height_mm


def rows_of(up: int) -> tuple[int, int]:
    """Columns and rows of a full grid that is as square as the number allows.

    up : cavities, at least 1.
    """
    rows = next(k for k in range(math.isqrt(up), 0, -1) if up % k == 0)
    return up // rows, rows


def in_rubber(question: RubberQuestion, size: Size) -> RubberSize:
    """The rubber mould and its box round the bore of one cavity.

    question : what the sizes depend on.
    size : of one cavity, as a printed mould would have it.
    """
    q = question
    columns, rows = rows_of(q.up)
    scale, draft = 1.0 / (1.0 - q.shrink), math.tan(math.radians(FRAME_DRAFT_DEG))
    rim = size.rim_mm
    # The lid's rim goes into a groove: it keeps a land of rubber to the bore and its vent grooves.
    reach = size.bore.widest_mm(rim - q.skirt_mm, rim) + q.groove_mm + LAND_MM
    lid_reach = reach + q.clearance_mm + q.wall_mm
    groove = reach, lid_reach + q.clearance_mm, q.skirt_mm + RELIEF_MM
    thick, high = 3.0 * q.line_mm / scale, TONGUE_MM / scale
    clearance = q.clearance_mm / scale
    sides = [
        r + q.groove_mm + q.rubber_mm + draft * (rim - z) for z, r in size.bore.between(0, rim)
    ]
    # The tongue stands inside the frame where that is narrowest beside it.
    inset = draft * high + clearance + thick
    top = max(*sides, groove[1] + LEAST_RUBBER_MM + inset)
    widest = size.bore.widest_mm(0.0, rim)
    pitch = max(2.0 * (widest + q.groove_mm) + q.between_mm, 2.0 * groove[1] + LEAST_RUBBER_MM)
    core = (columns - 1) * pitch, (rows - 1) * pitch
    whole = RubberSize(
        **{field.name: getattr(size, field.name) for field in fields(Size)},
        columns=columns,
        rows=rows,
        pitch_mm=pitch,
        top_mm=top,
        draft=draft,
        rubber_floor_mm=q.rubber_floor_mm,
        groove_mm=groove,
        ledge_mm=top - inset,
        tongue_mm=(thick, high),
        scale=scale,
        frame_mm=q.frame_mm,
        plate_mm=q.plate_mm,
        plug_mm=q.plug_mm,
        clearance_mm=q.clearance_mm,
    )
    return replace(
        whole,
        wall_mm=q.rubber_mm,
        reach_mm=reach,
        lid_reach_mm=lid_reach,
        across_mm=math.hypot(*core) / 2.0 + max(top, lid_reach),
        body_height_mm=max(whole.frame_height_mm, q.plate_mm + scale * rim),
        stack_height_mm=q.rubber_floor_mm + rim + q.lid_mm,
    )
