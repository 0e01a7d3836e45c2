"""The buy list on the job sheet."""

from __future__ import annotations

from collections.abc import Iterator

from mouldgen.sheet.parts.shown import money
from mouldgen.sheet.parts.work import SheetWork
from mouldgen.sheet.purchase_words import buy_rows, expected_words, purchase_notes, total_words
from mouldgen.sheet.sheet_data import Cell, Facts, Grid, Item, Part, Told, Value


def buy_part(work: SheetWork) -> Part | None:
    """What to have in the shop before the first pour; None in a conflict."""
    found, outcome, answer = work.purchase, work.outcome, work.found.answer
    if found is None or outcome is None:
        return None
    notes = (*purchase_notes(found, answer), expected_words(outcome, answer))
    items: list[Item] = [
        Grid(
            "To buy", ("what", "how much", "costs", "which"), tuple(_rows(work)), right=(1, 2),
            prose=(3,), boxed=True,
        ),
        Told(Value("buy.total", total_words(found), found.total), loud=True),
        Facts("Prices, in your own money", tuple(_prices(work))),
        *(Told(Value(f"buy.told.{at}", text)) for at, text in enumerate(notes)),
    ]  # fmt: skip
    return Part("buy", Value("buy.title", "Buy"), tuple(items))


def _prices(work: SheetWork) -> Iterator[tuple[str, tuple[Value, ...]]]:
    """What one of each is taken to cost."""
    from mouldgen.job.costs import costs

    job = work.job
    found = costs(job.cost, job.shop)
    yield "an insert", (money("cost.wood", found.wood, key="cost.wood"),)
    if job.piece.thread:
        yield "hardware of a piece", (money("cost.hardware", found.hardware, key="cost.hardware"),)
    once = money("cost.consumables", found.consumables, key="cost.consumables")
    yield "gloves, cups, sticks, abrasive of a casting", (once,)
    for name, said in (("resin", job.resin.price), ("plastic", job.plastic.price)):
        if said is not None:
            amount, unit = said
            big = {"g": "kg", "ml": "l"}[unit]
            told = f"{1000.0 * amount:.4g} per {big}"
            value = Value(f"{name}.price", told, 1000.0 * amount, f"1/{big}", f"{name}.price")
            yield name, (value,)


def _rows(work: SheetWork) -> Iterator[tuple[Cell, ...]]:
    if work.purchase is None:
        return
    for row in buy_rows(work.purchase, work.found.answer):
        name = f"buy.{row.key}"
        yield (
            row.what,
            Value(f"{name}.need", row.how_much, row.number, row.unit),
            Value(f"{name}.cost", row.costs, row.cost),
            Value(f"{name}.which", row.which),
        )
