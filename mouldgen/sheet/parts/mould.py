"""The mould and its parts on the job sheet, with a place for the section and for pictures."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from mouldgen.mould.families.release import release_of
from mouldgen.sheet.parts.shown import lasting, ml, mm, number, png_drawing, svg_drawing
from mouldgen.sheet.parts.work import SheetWork
from mouldgen.sheet.plain_words import length
from mouldgen.sheet.sheet_data import Cell, Drawing, Facts, Grid, Item, Part, Slot, Value

_CAPTIONS = {
    "set-apart": ("Taken apart.", "The mould below, the insert over it, the lid over both."),
    "set-section": (
        "Together, cut open.",
        "The closed mould with its insert cut through its axis.",
    ),
    "set-box": ("The box that rubber is cast in.", "Base with its plugs and frame, cut open."),
}


def mould_part(work: SheetWork) -> Part | None:
    """What is printed, in which sizes, and how the blank comes out; None in a conflict."""
    found = work.found
    if found.parts is None or found.answer.size is None:
        return None
    items: list[Item] = [
        Facts("Mould", tuple(mould_rows(work))),
        Slot("section", (_section(work),)),
        Slot("stills", tuple(_stills(work)) if work.stills else ()),
        _parts(work),
        Slot("parts", tuple(_part_stills(work)) if work.stills else ()),
    ]
    return Part("mould", Value("mould.title", "Mould"), tuple(items))


def mould_rows(work: SheetWork) -> Iterator[tuple[str, tuple[Value, ...]]]:
    """What the mould is; what only the pour tells is left out where nothing was poured."""
    found, size, inches = work.found, work.found.answer.size, work.inches
    if size is None:
        return
    yield "family", (Value("mould.family", work.job.mould.family, key="mould.family"),)
    if found.plan is not None and found.plan.body_label is not None:
        yield "lettered", (Value("mould.lettered", found.plan.body_label.text, key="mould.id"),)
    if size.blanks > 1:
        key = "mould.up" if work.job.mould.family == "master" else "mould.cells"
        yield "blanks in one mould", (number("mould.blanks", size.blanks, key=key),)
    yield "cavity to the fill line", (ml("mould.cavity_ml", size.cavity_ml),)
    yield "insert below it", (ml("mould.insert_ml", size.insert_ml),)
    yield "resin to the fill line", (ml("mould.net_ml", size.net_ml),)
    if size.riser_ml >= 0.05:
        yield "stands above it", (ml("mould.riser_ml", size.riser_ml),)
    yield "pour to, over the inside floor", (mm("mould.level_mm", size.level_mm, inches=inches),)
    yield (
        "the blank is to reach",
        (mm("mould.fill_mm", size.fill_mm, inches=inches, key="mould.fill"),),
    )
    yield "wall", (mm("mould.wall_mm", size.wall_mm, inches=inches),)
    yield from _chosen(work)
    if found.riser is not None:
        yield "sinks away", (ml("mould.sinks_ml", found.riser.needed_ml),)
        if not found.riser.fits:
            yield "second pour", (ml("mould.second_ml", found.riser.second_ml),)
    if found.tried is not None:
        yield "attitude", (Value("mould.attitude", work.said(found.tried.reason)),)
    yield "holds the insert", (Value("mould.hold", work.job.mould.hold, key="mould.hold"),)
    yield "release", (Value("mould.release", release_of(work.job.mould)),)
    yield (
        "filament, printed solid",
        (Value("mould.filament_g", f"{found.filament_g:.0f} g", found.filament_g, "g"),),
    )
    plastic = work.job.plastic.title or "as the job says"
    yield "printed in", (Value("mould.plastic", plastic, key="plastic.card"),)


def _chosen(work: SheetWork) -> Iterator[tuple[str, tuple[Value, ...]]]:
    """What else the maker chose about the mould, where it is anything."""
    mould = work.job.mould
    if mould.draft:
        told = f"{mould.draft:g} degree{'' if mould.draft == 1.0 else 's'}"
        lean = Value("mould.draft", told, mould.draft, "deg", "mould.draft")
        yield "sides lean by", (lean,)
    if mould.vent_grooves and mould.family != "tray":  # whose pockets have none
        grooves = number("mould.vent_grooves", mould.vent_grooves, key="mould.vent_grooves")
        yield "vent grooves", (grooves,)
    if mould.lid_screws:
        screws = number("mould.lid_screws", mould.lid_screws, key="mould.lid_screws")
        yield "bolts in the lid", (screws, Value("mould.bolt", mould.bolt, key="mould.bolt"))
    if mould.tenon is not None:
        across = mm("mould.tenon", mould.tenon, inches=work.inches, key="mould.tenon")
        long = mm("mould.tenon_length", mould.tenon_length, inches=work.inches)
        yield "tenon, across and long", (across, replace(long, key="mould.tenon_length"))


def _parts(work: SheetWork) -> Grid:
    head = ("part", "how many", "size as printed", "plastic", "prints in")
    return Grid(
        "Parts to print",
        head,
        tuple(tuple(_part(work, at)) for at in range(len(work.found.printed))),
        right=(1, 3, 4),
        boxed=True,
    )


def _part(work: SheetWork, at: int) -> Iterator[Cell]:
    found = work.found
    part, took = found.printed[at], found.part_times[at]
    yield from part_form(work, at)
    yield ml(f"mould.part.{part.name}.volume_ml", part.mesh.volume_mm3 / 1000.0)
    yield lasting(f"mould.part.{part.name}.print_s", took.seconds)


def part_form(work: SheetWork, at: int) -> Iterator[Value]:
    """A part's name, how many of it there are, and how large it is; a second line changes none.

    at : its number among those that are printed.
    """
    part = work.found.printed[at]
    name = f"mould.part.{part.name}"
    low, high = part.mesh.bounds
    size = " x ".join(
        length(round(float(b - a), 1), inches=work.inches) for a, b in zip(low, high, strict=True)
    )
    yield Value(f"{name}.name", part.name)
    many = work.found.answer.printed if part.count is None else part.count
    yield number(f"{name}.count", many)
    yield Value(f"{name}.size", size)


def _section(work: SheetWork) -> Drawing:
    from mouldgen.sheet.section_picture import section_svg

    return svg_drawing(
        "mould.section",
        section_svg(work.found, title=f"{work.job.name}: section"),
        alt="The closed mould and its insert cut through the axis, with its sizes.",
        caption="Section through the axis.",
    )


def _stills(work: SheetWork) -> Iterator[Drawing]:
    from mouldgen.sheet.set_views import set_pictures

    parts = work.found.parts
    if parts is None:
        return
    for file, data in set_pictures(parts).items():
        stem = file.removesuffix(".png")
        caption, alt = _CAPTIONS[stem]
        yield png_drawing(f"mould.still.{stem}", data, alt=alt, caption=caption)


def _part_stills(work: SheetWork) -> Iterator[Drawing]:
    """Every part that is printed, as it lies on the bed."""
    from mouldgen.sheet.set_views import part_still

    for part in work.found.printed:
        yield png_drawing(
            f"mould.still.part.{part.name}",
            part_still(part),
            alt=f"The {part.name} as it lies on the print bed.",
            caption=f"{part.name}, as printed.",
        )
