"""A block: cups side by side in one body, under one lid.

Body and lid stand about the middle of the block; every bore is the same, so that a bore's own
plan is that of a cup on its axis.  Bores are numbered row by row from the back, left to right.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from typing import TYPE_CHECKING

import numpy as np

from mouldgen.errors import InternalError, JobError
from mouldgen.finding import Finding
from mouldgen.insert.hull import hull
from mouldgen.job.model import Mould, Piece
from mouldgen.job.shop_tables import Printer
from mouldgen.mould.body import filled_solid
from mouldgen.mould.label import LOWEST_LETTERS, Label, lid_label, stroke_of
from mouldgen.mould.lid import engraved, holes, legs
from mouldgen.mould.plan import CupPlan, plan_cup
from mouldgen.mould.socket_solids import lid_fingers
from mouldgen.size import Size, SizeQuestion
from mouldgen.size.block import EAR_LOW_MM, EAR_THICK_MM, EAR_WIDE_MM, BlockSize, ear_top_mm
from mouldgen.solid.circle import around, polygon
from mouldgen.solid.kernel import OVERSHOOT, Solid, box, prism, union

if TYPE_CHECKING:
    from mouldgen.mould.block_hold import BlockHold

# Of all bores together: twelve times twelve of 30 mm, to 0.01 mm, have 53 000 and take 21 s.
MOST_SIDES = 60_000


@dataclass(frozen=True, eq=False)
class BlockPlan(CupPlan):
    """The plan of one bore, and what the block has besides.

    numbers : the lettering of each bore on the lid, as it stands about that bore's axis; None
        where there is no room.
    rows_held_by : what holds lid or inserts of the whole block, or None.
    """

    numbers: tuple[Label | None, ...] = ()
    rows_held_by: BlockHold | None = None

    @property
    def block(self) -> BlockSize:
        """The block's own sizes."""
        return as_block(self.size)

    @property
    def body_genus(self) -> int:
        """Holes through the body: the wells between four bores, and those that hold."""
        held = 0 if self.rows_held_by is None else self.rows_held_by.genus(self.block)[0]
        return (self.block.rows - 1) * (self.block.columns - 1) + held

    @property
    def whole_lid_genus(self) -> int:
        """Holes through the lid over all bores."""
        held = 0 if self.rows_held_by is None else self.rows_held_by.genus(self.block)[1]
        return self.block.blanks * self.lid_genus + held


def as_block(size: Size) -> BlockSize:
    """The size of a block; any other is a fault of ours."""
    if not isinstance(size, BlockSize):
        raise InternalError("a block was planned from the size of another mould")
    return size


def plan_block(
    question: SizeQuestion,
    size: Size,
    *,
    slide_mm: float,
    mould: Mould,
    piece: Piece,
    printer: Printer,
    mould_id: str,
    letter: str = "",
    resin_g_ml: float | None = None,
    layers: int = 1,
) -> BlockPlan:
    """Place the features of a block and its lid; the keywords are those of `plan_cup`.

    Raises JobError as `plan_cup` does, and for too many cells drawn too finely.
    """
    first = f"1 {mould_id}"
    one = plan_cup(
        question,
        size,
        slide_mm=slide_mm,
        mould=mould,
        piece=piece,
        printer=printer,
        mould_id=first,
        letter=letter,
        resin_g_ml=resin_g_ml,
        layers=layers,
    )
    own = {field.name: getattr(one, field.name) for field in fields(CupPlan)}
    block = as_block(size)
    if block.blanks * one.sides > MOST_SIDES:
        finer = block.blanks * one.sides / MOST_SIDES
        raise JobError(
            f"{block.blanks} cells whose circles have {one.sides} sides make a mould of well over a"
            " million triangles: half a minute of work here or more, and slow in any program after",
            where="[mould] chord",
            allowed=f"chord from {math.ceil(1000.0 * mould.chord * finer**2) / 1000.0:g} mm on, or"
            f" at most {MOST_SIDES // one.sides} cells",
            try_="Facets of 0.01 mm are finer than any printer lays plastic.",
        )
    if one.held_by is not None:
        from mouldgen.mould.block_hold import in_block  # late: most blocks have the lid's legs

        held = in_block(one.held_by, block)
        own |= {"held_by": held, "rows_held_by": held}
    if not mould.lettering:
        return BlockPlan(**own)
    taken = [*one.vents, *([one.port] if one.port else [])]
    stroke = stroke_of(printer.line)
    numbers = [one.lid_label or lid_label(("1",), size, stroke, holes=taken)]
    numbers += [
        lid_label((str(number),), size, stroke, holes=taken)
        for number in range(2, block.blanks + 1)
    ]
    plan = BlockPlan(**own, numbers=tuple(numbers))
    bare = [k for k, label in enumerate(numbers, start=1) if label is None]
    return replace(plan, remarks=(*plan.remarks, _no_numbers(bare))) if bare else plan


def _no_numbers(bare: Sequence[int]) -> Finding:
    told = ", ".join(map(str, bare))
    return Finding(
        id="block.no-numbers",
        rule="block",
        severity="note",
        message=f"The lid has no room for the numbers of bores {told}: mark them by hand.",
        limit=LOWEST_LETTERS,
        place="lid",
    )


# ------------------------------------------------------------------------------------ solids


def block_body(plan: BlockPlan, cavity: Solid, *, wider_mm: float = 0.0) -> Solid:
    """Cups whose walls are joined by webs from the bed to the rim, and two lifting tabs.

    Between four bores a well stays open from end to end: it saves plastic and holds no pressure.

    cavity : of one bore, about its axis.
    wider_mm : by how much the tabs are wider than usual [mm].
    """
    places = plan.block.places
    bare = filled_solid(replace(plan, body_label=None))
    lettered = filled_solid(plan) if plan.body_label is not None else bare
    cups = [(bare if k else lettered).moved(x, y) for k, (x, y) in enumerate(places)]
    held = plan.rows_held_by
    joined = [*_webs(plan), *_ears(plan, wider_mm), *(held.on_block(plan) if held else [])]
    # All cavities at the end: a web that is cut to a bore first shares its surface with the cup
    # that it is joined to, and surfaces that coincide take the kernel ten times as long.
    body = union([*cups, *joined]) - union(cavity.moved(x, y) for x, y in places)
    cut = held.off_block(plan) if held else []
    return body - union(cut) if cut else body


def block_lid(plan: BlockPlan) -> Solid:
    """One plate with a skirt round all bores, and at each of them what a cup's lid has."""
    standing = union([*legs(plan), *lid_fingers(plan)])
    pierced = union(holes(plan)) if plan.lid_genus else None
    parts, cut = [_cap(plan)], []
    lettering = plan.numbers or (None,) * plan.block.blanks
    for (x, y), number in zip(plan.block.places, lettering, strict=True):
        parts.append(standing.moved(x, y))
        if pierced is not None:
            cut.append(pierced.moved(x, y))
        if number is not None:
            cut.append(engraved(plan, number).moved(x, y))
    if plan.lid_note is not None and plan.numbers:
        x, y = plan.block.places[0]
        cut.append(engraved(plan, plan.lid_note).moved(x, y))
    if plan.rows_held_by is not None:
        parts += plan.rows_held_by.on_block_lid(plan)
        cut += plan.rows_held_by.off_block_lid(plan)
    whole = union(parts)
    return whole - union(cut) if cut else whole


def _webs(plan: BlockPlan) -> list[Solid]:
    """Between each two neighbours, as wide as the bore's radius: no slit stays beside it.

    Its radius at the widest, where the backs of grooves stand next to the neighbour's wall.
    """
    block, half = plan.block, 0.5 * plan.size.bore.widest_mm(0.0, plan.size.rim_mm)
    low, high = -plan.question.floor_mm, plan.size.rim_mm
    found = []
    for k, (x, y) in enumerate(block.places):
        if (k + 1) % block.columns:
            found.append(box((x, y - half, low), (x + block.pitch_mm, y + half, high)))
        if k + block.columns < block.blanks:
            found.append(box((x - half, y - block.pitch_mm, low), (x + half, y, high)))
    return found


def _ears(plan: BlockPlan, wider_mm: float) -> list[Solid]:
    """A tab between two bores and one opposite, with a ramp of 45 degrees below."""
    block, size = plan.block, plan.size
    if not block.ear_mm:
        return []
    side = block.core_mm[0 if block.rows > 1 else 1] / 2.0
    top = ear_top_mm(plan.question, size)
    tip = side + size.reach_mm + block.ear_mm
    under = top - EAR_THICK_MM
    low = max(under - (tip - side), EAR_LOW_MM - plan.question.floor_mm)
    start = tip - (under - low)  # of the ramp; what it does not reach stands on the bed
    profile = [(side, low), (start, low), (tip, under), (tip, top), (side, top)]
    profile = [point for k, point in enumerate(profile) if not k or point != profile[k - 1]]
    wide = EAR_WIDE_MM + wider_mm
    slab = prism([np.array(profile)], bottom_mm=-wide / 2.0, top_mm=wide / 2.0)
    # The profile's own right points outward, its own up is the mould's.
    right = slab.placed(((1.0, 0.0, 0.0, 0.0), (0.0, 0.0, -1.0, 0.0), (0.0, 1.0, 0.0, 0.0)))
    right = (
        right.moved(y=block.ear_at_mm)
        if block.rows > 1
        else right.moved(y=-block.ear_at_mm).turned(90.0)
    )
    return [right, right.turned(180.0)]


def _cap(plan: BlockPlan) -> Solid:
    q, size = plan.question, plan.size
    seat, top, bottom = size.rim_mm, size.rim_mm + q.lid_mm, size.rim_mm - q.skirt_mm
    outer = block_outline(plan, size.lid_reach_mm)
    inner = block_outline(plan, size.reach_mm + q.clearance_mm)
    return prism([outer], bottom_mm=bottom, top_mm=top) - prism(
        [inner], bottom_mm=bottom - OVERSHOOT, top_mm=seat
    )


def block_outline(plan: BlockPlan, radius: float) -> list[tuple[float, float]]:
    """Straight sides and round corners about the outer bores' axes.

    plan : of the block.
    radius : of the corners [mm].
    """
    wide, deep = plan.block.core_mm
    corner = around(radius, sides=plan.sides)
    rings = [
        polygon(corner, sides=plan.sides, centre=(x, y))
        for x in {-wide / 2.0, wide / 2.0}
        for y in {-deep / 2.0, deep / 2.0}
    ]
    return list(hull((float(x), float(y)) for ring in rings for x, y in ring))
