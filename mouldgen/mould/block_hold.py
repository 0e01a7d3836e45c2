"""What holds the inserts of a block: a cup's ways, once a bore or once a row of bores.

Screws and glue are at every bore.  Tape, bands and dowels run over a whole row, since what they
hold is the one lid over all bores; so does the ledge.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from mouldgen.errors import JobError
from mouldgen.job.holding import holdings
from mouldgen.mould.block import block_outline
from mouldgen.mould.feature import HoldDown
from mouldgen.mould.hold.band import HALF_MM, Hooks
from mouldgen.mould.hold.dowel import Dowel
from mouldgen.mould.hold.tape import MOST_RAD, PLAY_MM
from mouldgen.size.block import EAR_WIDE_MM, BlockSize
from mouldgen.solid.kernel import OVERSHOOT, Solid, box, prism, union

if TYPE_CHECKING:
    from mouldgen.mould.block import BlockPlan
    from mouldgen.mould.plan import CupPlan

FROM_EAR_MM = 0.5  # from tape or a hook to a lifting tab
NARROWEST_MM = 8.0  # of tape


@dataclass(frozen=True, eq=False, kw_only=True)
class BlockHold(HoldDown):
    """A way to hold a block's lid or its inserts.

    Its solids stand about the middle of the block; only what is in a cavity stands about a bore.

    one : the same for one bore, as a cup has it.
    """

    one: HoldDown

    def in_cavity(self, plan: CupPlan) -> list[Solid]:
        return self.one.in_cavity(plan)

    def genus(self, size: BlockSize) -> tuple[int, int]:
        """Holes that it makes through body and lid.

        size : of the block.
        """
        return size.blanks * self.one.body_genus, 0

    def on_block(self, plan: BlockPlan) -> list[Solid]:  # noqa: ARG002
        """What is joined to the body; the cavities are cut out of it as out of the walls."""
        return []

    def off_block(self, plan: BlockPlan) -> list[Solid]:
        """What is cut away from the body, webs and all, and holds no resin."""
        return [
            solid.moved(x, y) for solid in self.one.off_body(plan) for x, y in plan.block.places
        ]

    def on_block_lid(self, plan: BlockPlan) -> list[Solid]:  # noqa: ARG002
        """What is joined to the lid."""
        return []

    def off_block_lid(self, plan: BlockPlan) -> list[Solid]:  # noqa: ARG002
        """What is cut away from the lid."""
        return []


@dataclass(frozen=True, eq=False, kw_only=True)
class Ring(BlockHold):
    """A ledge round the lid, level with its top.

    wide_mm : of it [mm].
    """

    wide_mm: float

    def on_block_lid(self, plan: BlockPlan) -> list[Solid]:
        size = plan.size
        low, high = size.rim_mm, size.rim_mm + plan.question.lid_mm
        outer = block_outline(plan, size.lid_reach_mm + self.wide_mm)
        inner = block_outline(plan, size.lid_reach_mm - size.wall_mm)
        return [
            prism([outer], bottom_mm=low, top_mm=high)
            - prism([inner], bottom_mm=low - OVERSHOOT, top_mm=high + OVERSHOOT)
        ]


@dataclass(frozen=True, eq=False, kw_only=True)
class Strips(BlockHold):
    """Notches through skirt and rim of the lid, at both ends of every row.

    half_mm : half the width of one [mm].
    """

    half_mm: float

    def off_block_lid(self, plan: BlockPlan) -> list[Solid]:
        size, block, q = plan.size, plan.block, plan.question
        low = size.rim_mm - q.skirt_mm - OVERSHOOT
        high = size.rim_mm + q.lid_mm + OVERSHOOT
        far = block.core_mm[0] / 2.0 + size.lid_reach_mm + 1.0
        strips = [
            box((-far, y - self.half_mm, low), (far, y + self.half_mm, high))
            for y in _row_heights(block)
        ]
        kept = prism(
            [block_outline(plan, size.reach_mm)], bottom_mm=low - OVERSHOOT, top_mm=high + OVERSHOOT
        )
        return [union(strips) - kept]


@dataclass(frozen=True, eq=False, kw_only=True)
class RowHooks(BlockHold):
    """A cup's hooks on the outer bores of every row."""

    def on_block(self, plan: BlockPlan) -> list[Solid]:
        right, left = self.one.on_body(plan)
        half = plan.block.core_mm[0] / 2.0
        return [
            solid.moved(x, y)
            for y in _row_heights(plan.block)
            for solid, x in ((right, half), (left, -half))
        ]

    def off_block(self, plan: BlockPlan) -> list[Solid]:  # noqa: ARG002
        return []


@dataclass(frozen=True, eq=False, kw_only=True)
class RowDowels(BlockHold):
    """A cup's bores, through all bores of every row, or of every column.

    columns : whether they run along columns.
    """

    columns: bool

    def genus(self, size: BlockSize) -> tuple[int, int]:
        lines, bores = (size.columns, size.rows) if self.columns else (size.rows, size.columns)
        return lines * (bores + 1), 2 * lines

    def off_block(self, plan: BlockPlan) -> list[Solid]:
        return [
            bore.moved(*place) for bore in self.one.off_body(plan) for place in self._lines(plan)
        ]

    def off_block_lid(self, plan: BlockPlan) -> list[Solid]:
        half = plan.block.core_mm[1 if self.columns else 0] / 2.0
        ends = zip(self.one.off_lid(plan), (half, -half), strict=True)
        return [
            bore.moved(x, y + end) if self.columns else bore.moved(x + end, y)
            for bore, end in ends
            for x, y in self._lines(plan)
        ]

    def _lines(self, plan: BlockPlan) -> list[tuple[float, float]]:
        if self.columns:
            return [(x, 0.0) for x in sorted({x for x, _ in plan.block.places})]
        return [(0.0, y) for y in _row_heights(plan.block)]


def _row_heights(size: BlockSize) -> list[float]:
    """Of the rows, from the front [mm]."""
    return sorted({y for _, y in size.places})


def in_block(one: HoldDown, size: BlockSize) -> BlockHold:
    """What a cup has, for all bores of a block.

    one : for one bore.
    size : of the block.

    Raises JobError where there is no room for it beside the lifting tabs.
    """
    known: dict[str, Any] = {"way": one.way, "share": one.share, "use": one.use, "one": one}
    if one.way in ("screw", "glue"):
        least = size.blanks if one.way == "screw" else 1
        use = f"{one.use}; one at every bore" if one.way == "screw" else f"{one.use} at every bore"
        return BlockHold(**known | {"use": use}, most=size.blanks * one.most, least=least)
    if isinstance(one, Hooks):
        return _hooks(one, size, known)
    if isinstance(one, Dowel):
        columns = one.angle_deg == 90.0  # one of two turns, as it was chosen
        lines = size.columns if columns else size.rows
        use = f"{one.use}; one a {'column' if columns else 'row'}"
        return RowDowels(**known | {"use": use}, most=lines, least=lines, columns=columns)
    if one.way == "tape":
        return _strips(size, known)
    return Ring(**known, wide_mm=size.beyond_mm)


def _hooks(one: Hooks, size: BlockSize, known: dict[str, Any]) -> RowHooks:
    room = size.pitch_mm / 2.0 - EAR_WIDE_MM / 2.0 - HALF_MM - FROM_EAR_MM
    if size.rows > 1 and size.ear_mm and room < 0.0:
        raise JobError(
            f"hooks for a band meet the lifting tab of a block whose bores are only"
            f" {size.pitch_mm:.1f} mm apart",
            where="[mould] hold",
            allowed="tape, dowel, weight or lid on bores so close",
        )
    use = f"{one.use} of a row"
    return RowHooks(**known | {"use": use}, most=size.rows * one.most, least=size.rows)


def _strips(size: BlockSize, known: dict[str, Any]) -> Strips:
    wide = next(way.wide_mm for way in holdings() if way.name == "tape")
    half = min(wide / 2.0 + PLAY_MM, size.reach_mm * math.sin(MOST_RAD))
    if size.rows > 1:
        beside = EAR_WIDE_MM / 2.0 + FROM_EAR_MM if size.ear_mm else size.wall_mm
        half = min(half, size.pitch_mm / 2.0 - beside)
    fits = 2.0 * (half - PLAY_MM)
    if fits < NARROWEST_MM:
        raise JobError(
            f"notches for tape have {max(fits, 0.0):.1f} mm beside the lifting tabs of a block"
            f" whose bores are {size.pitch_mm:.1f} mm apart",
            where="[mould] hold",
            allowed=f"bores that leave {NARROWEST_MM:g} mm, or dowel, weight or lid",
        )
    use = f"the notches take tape {fits:.0f} mm wide, a strip a row"
    more = {"share": fits / wide, "use": use}
    return Strips(**known | more, most=size.rows, least=size.rows, half_mm=half)
