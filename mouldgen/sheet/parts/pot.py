"""Pot loads on the job sheet."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from mouldgen.job.rating import pressure_words
from mouldgen.sheet.number_words import runs
from mouldgen.sheet.parts.shown import mm, number, svg_drawing
from mouldgen.sheet.parts.work import SheetWork
from mouldgen.sheet.pot_hold import pressure_kpa
from mouldgen.sheet.sheet_data import Cell, Drawing, Facts, Grid, Item, Part, Pencil, Told, Value

if TYPE_CHECKING:
    from mouldgen.job.shop_tables import Pot
    from mouldgen.layout.pot import PotPlan


def pot_part(work: SheetWork) -> Part | None:
    """How often the pot is loaded and where each mould stands; None in a conflict."""
    if work.found.answer.size is None:
        return None
    items: list[Item]
    if work.pot is None:
        items = [Told(Value("pot.none", work.said(work.no_pot)))]
    else:
        plan = work.pot
        items = [
            Facts("Pot", tuple(_rows(work, plan))),
            _loads(work, plan),
            *_drawings(work, plan),
        ]
    if work.job.pot is not None:
        items.append(Pencil(("relief valve checked on", "gauge checked on")))
    return Part("pot", Value("pot.title", "Pot"), tuple(items))


def _rows(work: SheetWork, plan: PotPlan) -> Iterator[tuple[str, tuple[Value, ...]]]:
    pot = plan.pot
    yield "pot", (Value("pot.name", pot.title or "as the job says", key="pot.card"),)
    yield (
        "inside, across",
        (mm("pot.diameter_mm", pot.diameter, inches=work.inches, key="pot.diameter"),),
    )
    yield "usable height", (_height(work, pot),)
    if pot.tiers > 1:
        yield "tiers at most", (number("pot.tiers", pot.tiers, key="pot.tiers"),)
    yield "takes at once", (number("pot.takes", plan.per_tier * plan.tiers),)
    yield "loads", (number("pot.loads", len(plan.loads)),)
    rating, asked = pot.rating, pressure_kpa(work.job)
    blank = "______ psi (______ bar) gauge"
    plate = blank if rating is None else pressure_words(rating)
    yield "its plate says", (Value("pot.rating", plate, rating, "kPa", "pot.rating"),)
    told = blank if asked is None else pressure_words(asked)
    yield "pressure", (Value("pot.pressure", told, asked, "kPa", "pour.pressure"),)


def _height(work: SheetWork, pot: Pot) -> Value:
    """The usable height; what the job says where nothing is taken off it."""
    key = "pot.height" if pot.usable_mm == pot.height else ""
    return mm("pot.usable_mm", pot.usable_mm, inches=work.inches, key=key)


def _loads(work: SheetWork, plan: PotPlan) -> Grid:
    rows: list[tuple[Cell, ...]] = []
    for load in plan.loads:
        name = f"pot.load.{load.number}"
        rows.append(
            (
                number(f"{name}.number", load.number),
                Value(f"{name}.numbers", runs(load.numbers)),
                number(f"{name}.moulds", load.moulds),
                number(f"{name}.tiers", len(load.tiers)),
                number(f"{name}.catches", load.catches),
                mm(f"{name}.left_mm", round(load.left_mm, 1), inches=work.inches),
            )
        )
    head = ("load", "moulds", "how many", "tiers", "catch moulds", "height left")
    return Grid(
        "Loads that the pot takes; the clock of the resin may ask for smaller ones",
        head, tuple(rows), right=(2, 3, 4, 5), boxed=True,
    )  # fmt: skip


def _drawings(work: SheetWork, plan: PotPlan) -> Iterator[Drawing]:
    """One load of each number of moulds; the others stand alike."""
    from mouldgen.sheet.pot_picture import pot_svg

    seen: set[tuple[int, int]] = set()
    for load in plan.loads:
        if (load.moulds, load.catches) in seen:
            continue
        seen.add((load.moulds, load.catches))
        title = f"{work.job.name}, pot load {load.number} of {len(plan.loads)}"
        yield svg_drawing(
            f"pot.load.{load.number}.picture",
            pot_svg(plan, load, title=title),
            alt=f"Load {load.number} from above, the back of the pot at the head.",
            caption=(f"Load {load.number}: mould{'s' * (load.moulds > 1)} {runs(load.numbers)}."),
            wide=len(load.tiers) > 1,
        )
