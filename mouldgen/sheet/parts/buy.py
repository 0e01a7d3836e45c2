"""The buy list on the job sheet."""

from __future__ import annotations

from collections.abc import Iterator

from mouldgen.sheet.parts.work import SheetWork
from mouldgen.sheet.purchase_words import buy_rows, expected_words, purchase_notes, total_words
from mouldgen.sheet.sheet_data import Cell, Grid, Item, Part, Told, Value


def buy_part(work: SheetWork) -> Part | None:
    """What to have in the shop before the first pour; None in a conflict."""
    found, outcome, answer = work.purchase, work.outcome, work.found.answer
    if found is None or outcome is None:
        return None
    notes = (*purchase_notes(found, answer), expected_words(outcome, answer))
    items: list[Item] = [
        Grid(
            "To buy", ("what", "how much", "costs", "which"), tuple(_rows(work)), right=(1, 2),
            boxed=True,
        ),
        Told(Value("buy.total", total_words(found), found.total), loud=True),
        *(Told(Value(f"buy.told.{at}", text)) for at, text in enumerate(notes)),
    ]  # fmt: skip
    return Part("buy", Value("buy.title", "Buy"), tuple(items))


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
