"""The gap with its reasons on the job sheet."""

from __future__ import annotations

import math
from collections.abc import Iterator

from mouldgen.sheet.card_words import temperature
from mouldgen.sheet.gap_words import KINDS, bounds_drawing, first_sentence, size_words
from mouldgen.sheet.parts.shown import gap_mm, number, short_time, svg_drawing
from mouldgen.sheet.parts.work import SheetWork
from mouldgen.sheet.sheet_data import Cell, Facts, Grid, Item, Part, Told, Value


def gap_part(work: SheetWork) -> Part:
    """The gap, what set it, what every rule asks for and why, and the picture."""
    picture = svg_drawing(
        "gap.picture",
        bounds_drawing(work.gap, name=work.job.name).decode(),
        alt="What every rule asks of the gap: a bar covers the gaps that it rules out.",
        caption="Grey: too narrow for the rule. Hatched: too wide. Dot: advice. Line: the gap.",
    )
    return Part("gap", Value("gap.title", "Gap"), (*gap_items(work), picture))


def gap_items(work: SheetWork) -> Iterator[Item]:
    """All of the part but its picture."""
    gap = work.gap
    yield Told(Value("gap.first", first_sentence(gap, inches=work.inches)), loud=True)
    if gap.gap_mm is not None:
        yield Facts("Gap", tuple(_facts(work)))
    yield Facts("Reckoned with", tuple(_pour(work)))
    if gap.remedies:
        yield _remedies(work)
    yield _bounds(work)


def _facts(work: SheetWork) -> Iterator[tuple[str, tuple[Value, ...]]]:
    gap, found = work.gap, work.found
    if gap.gap_mm is not None:
        yield (
            "gap, all round",
            (gap_mm("gap.gap_mm", gap.gap_mm, inches=work.inches, key="mould.gap"),),
        )
    yield "set by", (Value("gap.set_by", gap.set_by),)
    if found.measured_least_mm is not None:
        least = gap_mm("gap.measured_least_mm", found.measured_least_mm, inches=work.inches)
        yield "measured on the solids, nowhere less than", (least,)
    taken = gap_mm("gap.take_up_mm", gap.take_up_mm, inches=work.inches)
    yield "of it taken up by insert and printer", (taken,)
    yield "goes in first", (Value("gap.sequence", gap.sequence, key="pour.sequence"),)


def _pour(work: SheetWork) -> Iterator[tuple[str, tuple[Value, ...]]]:
    """What the maker says of the pour, which the rules go by; in a conflict first of all."""
    pour = work.job.pour
    warm = Value("pour.shop", temperature(pour.shop), pour.shop, "C", "pour.shop")
    yield "in the shop", (warm,)
    yield "mixing takes", (short_time("pour.mix", pour.mix, key="pour.mix"),)
    shut = "under pressure" if work.job.pot is not None else "shut"
    yield f"{shut} after", (short_time("pour.close", pour.close, key="pour.close"),)
    push = Value("pour.push", f"{pour.push:g} N", pour.push, "N", "pour.push")
    within = short_time("pour.push_time", pour.push_time, key="pour.push_time")
    yield "insert pushed home with, within", (push, within)
    if pour.layers > 1:
        yield "pours", (number("pour.layers", pour.layers, key="pour.layers"),)
    if pour.batch is not None:
        batch = Value("pour.batch", f"{pour.batch:g} g", pour.batch, "g", "pour.batch")
        yield "mixed at once", (batch,)


def _bounds(work: SheetWork) -> Grid:
    head = ("rule", "asks for", "mm", *(("in",) if work.inches else ()), "why", "rests on")
    return Grid(
        "What every rule asks for",
        head,
        tuple(tuple(_bound(work, at)) for at in range(len(work.gap.bounds))),
        right=(2, 3) if work.inches else (2,),
        prose=(len(head) - 2, len(head) - 1),
    )


def _bound(work: SheetWork, at: int) -> Iterator[Cell]:
    bound = work.gap.bounds[at]
    name = f"gap.bound.{bound.rule}.{at}"
    yield bound.rule
    yield KINDS[bound.kind]
    size = bound.value_mm
    if size is not None and not math.isfinite(size):  # it does not bind
        size = None
    yield Value(f"{name}.mm", size_words(bound), size, "mm")
    if work.inches:
        in_inches = None if size is None else size / 25.4
        yield Value(f"{name}.in", size_words(bound, inches=True), in_inches, "in")
    yield Value(f"{name}.why", work.said(bound.why))
    yield Value(f"{name}.source", bound.source)


def _remedies(work: SheetWork) -> Grid:
    rows: list[tuple[Cell, ...]] = []
    for at, remedy in enumerate(work.gap.remedies):
        then = (
            "" if remedy.gap_mm is None
            else gap_mm(f"gap.remedy.{at}.gap_mm", remedy.gap_mm, inches=work.inches)
        )  # fmt: skip
        rows.append((Value(f"gap.remedy.{at}", work.said(remedy.text)), then))
    return Grid("What would help", ("what", "gap then"), tuple(rows), right=(1,), boxed=True)
