"""Print beds on the job sheet: the print list, and each bed from above."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from mouldgen.sheet.number_words import runs
from mouldgen.sheet.order_words import on_bed
from mouldgen.sheet.parts.shown import mm, number, share, svg_drawing
from mouldgen.sheet.parts.work import SheetWork
from mouldgen.sheet.plain_words import hours
from mouldgen.sheet.sheet_data import Cell, Drawing, Facts, Grid, Item, Part, Told, Value

if TYPE_CHECKING:
    from mouldgen.layout.beds import BedPlan


def beds_part(work: SheetWork) -> Part | None:
    """What lies on which bed; None without one."""
    found = work.found
    if not found.beds:
        return None
    items: list[Item] = [_water_test(work), Facts("Printer", tuple(_printer(work))), _list(work)]
    took = found.print_time
    if took is not None:
        from mouldgen.shop.print_time import basis

        text = (
            f"About {hours(took.seconds)} in all, {took.filament_m:.0f} m of filament 1.75 mm"
            f" thick: {basis(work.job.printer)}."
        )
        items.append(Told(Value("beds.time", text, took.seconds, "s")))
    return Part("beds", Value("beds.title", "Print beds"), (*items, *_drawings(work)))


def _printer(work: SheetWork) -> Iterator[tuple[str, tuple[Value, ...]]]:
    """What the beds and the times are reckoned for."""
    printer, inches = work.job.printer, work.inches
    title = printer.title or f"{printer.shape} bed"
    yield "printer", (Value("printer.name", title, key="printer.card"),)
    line = mm("printer.line", printer.line, inches=inches, key="printer.line")
    layer = mm("printer.layer", printer.layer, inches=inches, key="printer.layer")
    yield "line and layer", (line, layer)
    fit = mm("printer.clearance", printer.clearance, inches=inches, key="printer.clearance")
    yield "a side, for a sliding fit", (fit,)


def _water_test(work: SheetWork) -> Told:
    if work.found.rubber is not None:
        text = "Set the frame on the base and fill it with water to the line, wait ten minutes."
        text += " If it is tight, dry it fully before rubber."
    else:
        text = "First print one mould alone. Fill it with water, wait ten minutes; if it is tight,"
        text += " print the rest. Dry every mould fully before resin."
    return Told(Value("beds.water", text), loud=True)


def _list(work: SheetWork) -> Grid:
    rows: list[tuple[Cell, ...]] = []
    for bed in work.found.beds:
        name = f"beds.{bed.number}"
        first = ": one mould alone, to water-test" if bed.first_mould else ""
        rows.append(
            (
                number(f"{name}.number", bed.number),
                share(f"{name}.used", bed.used_fraction),
                Value(f"{name}.holds", on_bed(bed) + first),
            )
        )
    return Grid(
        "Print list", ("bed", "used", "what lies on it"), tuple(rows), right=(1,), boxed=True
    )


def _drawings(work: SheetWork) -> Iterator[Drawing]:
    """Each bed once; of those that are laid out alike only the first."""
    from mouldgen.sheet.bed_picture import bed_svg

    groups: dict[tuple[tuple[str, float, float, int], ...], list[BedPlan]] = {}
    for bed in work.found.beds:
        key = tuple((item.part, item.x_mm, item.y_mm, item.turned) for item in bed.items)
        groups.setdefault(key, []).append(bed)
    for beds in groups.values():
        first, numbers = beds[0], [bed.number for bed in beds]
        svg = bed_svg(first, work.job.printer, title=f"{work.job.name}, bed {first.number}")
        many = f"Bed{'s' * (len(numbers) > 1)} {runs(numbers)}"
        yield svg_drawing(
            f"beds.{first.number}.picture",
            svg,
            alt=f"Bed {first.number} from above, its front at the foot: {on_bed(first)}.",
            caption=f"{many}: {on_bed(first)}.",
            wide=False,
        )
