"""The beds of a set of moulds: the first mould alone, the rest on the fewest beds.

The first mould is printed alone so that it can be filled with water before any more are made.

Positions are those of a part's centre, from the corner of the bed with the smallest x and y (for
a round bed, of its bounding square); x runs to the right and y to the back as seen from the
front of the printer.  They are multiples of 1/16 mm, which float32 holds exactly, so that a part
keeps its shape to the last bit wherever it is put.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from mouldgen.errors import JobError, NoAnswerError
from mouldgen.job.model import Printer
from mouldgen.packing.pack import pack
from mouldgen.packing.shapes import Bed, Disc, Placed, RectBed, RoundBed

SNAP_MM = 1 / 16


@dataclass(frozen=True, eq=False)
class PartFootprint:
    """A part as the bed sees it; round in plan.

    name : such as ``body``.
    radius_mm : its largest outside radius in printing pose [mm].
    height_mm : its height in printing pose [mm].
    per_mould : how many of it a mould needs.
    """

    name: str
    radius_mm: float
    height_mm: float
    per_mould: int = 1


@dataclass(frozen=True, eq=False)
class BedPlace:
    """One part on a bed.

    part : the name of its `PartFootprint`.
    x_mm, y_mm : its centre, from the bed's origin [mm].
    turned : whether it was turned by 90 degrees about the vertical.
    radius_mm : its outside radius [mm].
    """

    part: str
    x_mm: float
    y_mm: float
    turned: bool
    radius_mm: float


@dataclass(frozen=True, eq=False)
class BedPlan:
    """One bed, ready to be printed.

    number : from 1.
    first_mould : whether it belongs to the mould that is printed alone and water-tested.
    bed : the bed.
    margin_mm : kept free along its edge [mm].
    items : what lies on it, row by row from the front.
    used_fraction : area of the parts over the area of the bed, margin included.
    """

    number: int
    first_mould: bool
    bed: Bed
    margin_mm: float
    items: tuple[BedPlace, ...]
    used_fraction: float


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


def lay_out(
    parts: Sequence[PartFootprint], *, moulds: int, printer: Printer
) -> tuple[BedPlan, ...]:
    """The beds for a number of moulds.

    Bed 1 holds one whole mould and nothing else; it becomes several beds only when the parts of
    one mould do not fit on a bed together.  Every bed has passed `verify_plates`.

    parts : the parts of one mould, names unique.
    moulds : how many moulds are printed in all, at least 1.

    Raises NoAnswerError for a part that the printer cannot hold, JobError for a bed without a
    size or for no moulds, LayoutError when a layout fails its check.
    """
    if moulds < 1:
        raise JobError(f"there are {moulds} moulds to lay out", allowed="1 or more")
    bed = bed_of(printer)
    for part in parts:
        _require_room(part, bed, printer)
    one = [part for part in parts for _ in range(part.per_mould)]
    plates = [(True, plate) for plate in _plates(one, bed, printer)]
    plates += [(False, plate) for plate in _plates(one * (moulds - 1), bed, printer)]
    return tuple(
        BedPlan(number, first, bed, printer.margin, plate, _used(plate, bed))
        for number, (first, plate) in enumerate(plates, start=1)
    )


def _plates(
    parts: Sequence[PartFootprint], bed: Bed, printer: Printer
) -> list[tuple[BedPlace, ...]]:
    """The fewest plates found for these parts, checked."""
    if not parts:
        return []
    # Late, because the check brings shapely with it and the values of this module do not need it.
    from mouldgen.packing.verify import verify_plates

    discs = [Disc(part.radius_mm) for part in parts]
    margin, spacing = printer.margin, printer.spacing
    plates = pack(discs, bed, margin_mm=margin, spacing_mm=spacing, snap_mm=SNAP_MM)
    verify_plates(discs, bed, plates, margin_mm=margin, spacing_mm=spacing)
    return [tuple(_place(parts[placed.item], placed) for placed in plate) for plate in plates]


def _place(part: PartFootprint, placed: Placed) -> BedPlace:
    return BedPlace(part.name, placed.x_mm, placed.y_mm, placed.turned, part.radius_mm)


def _used(plate: Sequence[BedPlace], bed: Bed) -> float:
    covered = math.fsum(math.pi * place.radius_mm**2 for place in plate)
    if isinstance(bed, RectBed):
        return covered / (bed.width_mm * bed.depth_mm)
    return covered / (math.pi * bed.diameter_mm**2 / 4)


def _require_room(part: PartFootprint, bed: Bed, printer: Printer) -> None:
    if part.height_mm > printer.height:
        raise NoAnswerError(
            f"the {part.name} is {part.height_mm:.1f} mm high and the printer reaches "
            f"{printer.height:.6g} mm",
            where="[printer] height",
            try_="Use a taller printer, a lower fill or a shorter insert.",
        )
    try:
        pack(
            [Disc(part.radius_mm)],
            bed,
            margin_mm=printer.margin,
            spacing_mm=printer.spacing,
            snap_mm=SNAP_MM,
        )
    except NoAnswerError:
        raise NoAnswerError(
            f"the {part.name} is {2 * part.radius_mm:.6g} mm across, too wide for {bed} with "
            f"{printer.margin:.6g} mm kept free along its edge",
            where="[printer]",
            try_="Use a larger bed, a smaller margin, a thinner insert or a smaller gap.",
        ) from None
