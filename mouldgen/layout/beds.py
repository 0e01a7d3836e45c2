"""The beds of a set of moulds: the first mould alone, the rest on the fewest beds.

The first mould is printed alone so that it can be filled with water before any more are made.
Parts that no mould needs, such as a drip tray, lie on the later beds.

Positions are those of a part's centre, from the corner of the bed with the smallest x and y (for
a round bed, of its bounding square); x runs to the right and y to the back as seen from the
front of the printer.  They are multiples of 1/16 mm, which float32 holds exactly, so that a part
keeps its shape to the last bit wherever it is put.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from mouldgen.errors import JobError, NoAnswerError
from mouldgen.job.shop_tables import Printer
from mouldgen.packing.bound import lower_bound
from mouldgen.packing.pack import Effort, holds_one, pack
from mouldgen.packing.shapes import (
    Bed,
    Disc,
    Footprint,
    KeepOut,
    Placed,
    Polygon,
    RectBed,
    RoundBed,
)

if TYPE_CHECKING:
    from mouldgen.mould.parts import Part

SNAP_MM = 1 / 16


@dataclass(frozen=True, eq=False)
class PartFootprint:
    """A part as the bed sees it.

    name : such as ``body``.
    shape : what it covers in printing pose, its middle on the part's origin; a rectangle may be
        turned by 90 degrees.
    height_mm : its height in printing pose [mm].
    count : how many of it the whole job needs, those of the first mould among them.
    first : how many of it belong to the first mould, which is printed alone.
    """

    name: str
    shape: Footprint
    height_mm: float
    count: int = 1
    first: int = 0


@dataclass(frozen=True, eq=False)
class BedPlace:
    """One part on a bed.

    part : the name of its `PartFootprint`.
    x_mm, y_mm : its centre, from the bed's origin [mm].
    turned : whether it was turned by 90 degrees about the vertical, counter-clockwise; of a
        polygon, how often.
    shape : what it covers while it is not turned.
    """

    part: str
    x_mm: float
    y_mm: float
    turned: int
    shape: Footprint

    @property
    def half_mm(self) -> tuple[float, float]:
        """Half of what it takes in x and in y as it lies [mm]."""
        if isinstance(self.shape, Disc):
            return self.shape.radius_mm, self.shape.radius_mm
        half = self.shape.width_mm / 2, self.shape.depth_mm / 2
        return half[::-1] if self.turned % 2 else half


@dataclass(frozen=True, eq=False)
class BedPlan:
    """One bed, ready to be printed.

    number : from 1.
    first_mould : whether it belongs to the mould that is printed alone and water-tested.
    bed : the bed.
    margin_mm : kept free along its edge [mm].
    items : what lies on it, row by row from the front.
    used_fraction : area of the parts over the area of the bed, margin included.
    keep_outs : where on it nothing may lie.
    """

    number: int
    first_mould: bool
    bed: Bed
    margin_mm: float
    items: tuple[BedPlace, ...]
    used_fraction: float
    keep_outs: tuple[KeepOut, ...] = ()


def bed_of(printer: Printer) -> Bed:
    """The bed of a printer.

    Raises JobError when the sizes that its shape needs are not given.
    """
    if printer.shape == "round" and printer.diameter is not None:
        return RoundBed(printer.diameter)
    if printer.shape == "rectangle" and printer.width is not None and printer.depth is not None:
        return RectBed(printer.width, printer.depth)
    raise JobError(
        f"a {printer.shape} bed needs its size",
        where="[printer]",
        allowed="width and depth for a rectangle, diameter for a round bed",
    )


def keep_outs_of(printer: Printer) -> tuple[KeepOut, ...]:
    """Where on the bed of a printer nothing may lie, such as under its clips."""
    clearance = printer.keep_out_clearance
    return tuple(KeepOut.rectangle(*zone, clearance_mm=clearance) for zone in printer.keep_out)


def footprints_of(parts: Iterable[Part], *, moulds: int) -> tuple[PartFootprint, ...]:
    """Parts as the bed sees them: once a mould, or on the later beds as often as they say.

    parts : names unique.
    moulds : how many moulds are printed in all, at least 1.

    Raises JobError for no moulds.
    """
    if moulds < 1:
        raise JobError(f"there are {moulds} moulds to lay out", allowed="1 or more")
    return tuple(
        PartFootprint(
            part.name,
            part.footprint,
            part.mesh.bounds[1][2],
            count=moulds if part.count is None else part.count,
            first=1 if part.count is None else 0,
        )
        for part in parts
    )


def lay_out(
    parts: Sequence[PartFootprint], *, printer: Printer, effort: Effort = "quick"
) -> tuple[BedPlan, ...]:
    """The beds for all parts.

    Bed 1 holds the first mould and nothing else; it becomes several beds only when the parts of
    one mould do not fit on a bed together.  Every bed has passed `verify_plates`.

    parts : names unique, each as often as its count says.
    effort : how long to look for fewer beds; see `pack`.

    Raises NoAnswerError for a part that the printer cannot hold, JobError for a bed without a
    size or for a count that cannot be, LayoutError when a layout fails its check.
    """
    bed = bed_of(printer)
    for part in parts:
        _require_count(part)
        _require_room(part, bed, printer)
    keep_outs = keep_outs_of(printer)
    plates = [
        (first, plate)
        for first in (True, False)
        for plate in _plates(_rounds(parts, first=first), bed, printer, effort)
    ]
    return tuple(
        BedPlan(number, first, bed, printer.margin, plate, _used(plate, bed), keep_outs)
        for number, (first, plate) in enumerate(plates, start=1)
    )


def least_beds(parts: Sequence[PartFootprint], *, printer: Printer) -> int:
    """Beds that no layout of these parts can do without, the first mould on beds of its own.

    Raises JobError for a bed without a size.
    """
    bed = bed_of(printer)
    return sum(
        lower_bound(
            [part.shape for part in _rounds(parts, first=first)],
            bed,
            margin_mm=printer.margin,
            spacing_mm=printer.spacing,
            keep_outs=keep_outs_of(printer),
        )
        for first in (True, False)
    )


def _rounds(parts: Sequence[PartFootprint], *, first: bool) -> list[PartFootprint]:
    """The parts of the first mould, or all others, round after round with one of each."""
    left = [part.first if first else part.count - part.first for part in parts]
    return [
        part
        for turn in range(max(left, default=0))
        for part, times in zip(parts, left, strict=True)
        if turn < times
    ]


def _plates(
    parts: Sequence[PartFootprint], bed: Bed, printer: Printer, effort: Effort
) -> list[tuple[BedPlace, ...]]:
    """The fewest plates found for these parts, checked."""
    if not parts:
        return []
    found = pack(
        [part.shape for part in parts],
        bed,
        margin_mm=printer.margin,
        spacing_mm=printer.spacing,
        snap_mm=SNAP_MM,
        keep_outs=keep_outs_of(printer),
        effort=effort,
    )
    return [tuple(_place(parts[placed.item], placed) for placed in plate) for plate in found]


def _place(part: PartFootprint, placed: Placed) -> BedPlace:
    turned = placed.turned if isinstance(part.shape, Polygon) else bool(placed.turned)
    return BedPlace(part.name, placed.x_mm, placed.y_mm, turned, part.shape)


def _used(plate: Sequence[BedPlace], bed: Bed) -> float:
    covered = math.fsum(place.shape.area_mm2 for place in plate)
    if isinstance(bed, RectBed):
        return covered / (bed.width_mm * bed.depth_mm)
    return covered / (math.pi * bed.diameter_mm**2 / 4)


def _require_count(part: PartFootprint) -> None:
    if part.count < 1 or not 0 <= part.first <= part.count:
        raise JobError(
            f"of the {part.name} {part.count} are to be laid out, {part.first} of them first",
            allowed="1 or more, and of those none to all first",
        )


def _require_room(part: PartFootprint, bed: Bed, printer: Printer) -> None:
    if part.height_mm > printer.height:
        raise NoAnswerError(
            f"the {part.name} is {part.height_mm:.1f} mm high and the printer reaches "
            f"{printer.height:.6g} mm",
            where="[printer] height",
            try_="Use a taller printer, a lower fill or a shorter insert.",
        )
    keep_outs = keep_outs_of(printer)
    if not holds_one(
        part.shape, bed, margin_mm=printer.margin, snap_mm=SNAP_MM, keep_outs=keep_outs
    ):
        beside = " and its keep-outs" if keep_outs else ""
        raise NoAnswerError(
            f"the {part.name} is {_across(part.shape)}, too wide for {bed} with "
            f"{printer.margin:.6g} mm kept free along its edge{beside}",
            where="[printer]",
            try_="Use a larger bed, a smaller margin, a thinner insert or a smaller gap.",
        )


def _across(shape: Footprint) -> str:
    if isinstance(shape, Disc):
        return f"{2 * shape.radius_mm:.1f} mm across"
    return f"{shape.width_mm:.1f} x {shape.depth_mm:.1f} mm"
