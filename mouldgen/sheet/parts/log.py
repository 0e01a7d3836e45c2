"""The log on the job sheet: what was found so far, and room to write down what is found."""

from __future__ import annotations

from mouldgen.castings.load_words import found_words, listed
from mouldgen.sheet.number_words import runs
from mouldgen.sheet.parts.shown import number, svg_drawing
from mouldgen.sheet.parts.work import SheetWork
from mouldgen.sheet.sheet_data import Cell, Grid, Item, Part, Told, Value


def log_part(work: SheetWork) -> Part | None:
    """Loads in the castings file, the chance of a void, and blanks; None in a conflict."""
    if work.found.answer.size is None:
        return None
    items: list[Item] = []
    if work.loads:
        items.append(_loads(work))
    else:
        items.append(Told(Value("log.none", "No castings of this job are logged yet.")))
    if work.tuned is not None:
        from mouldgen.sheet.chance_picture import chance_svg

        title = f"{work.job.name}: chance of a void over the gap"
        items.append(
            svg_drawing(
                "log.chance",
                chance_svg(work.tuned, title=title),
                alt="The chance of a void over the gap, as castings tell it.",
                caption="Chance of a void over the gap.",
            )
        )
    if work.cards:
        items.append(_blanks(work))
    return Part("log", Value("log.title", "Log"), tuple(items))


def _loads(work: SheetWork) -> Grid:
    rows: list[tuple[Cell, ...]] = []
    for load in work.loads:
        name = f"log.load.{load.id}"
        rows.append(
            (
                number(f"{name}.id", load.id),
                Value(f"{name}.poured", load.poured_at[:16].replace("T", " ")),
                Value(f"{name}.castings", listed([one.number for one in load.castings])),
                Value(f"{name}.found", found_words(load, inches=work.job.unit == "in")),
                Value(f"{name}.note", load.note) if load.note else "",
            )
        )
    return Grid(
        "Logged loads",
        ("load", "poured", "castings", "found at the lathe", "note"),
        tuple(rows),
        prose=(3, 4),
    )


def _blanks(work: SheetWork) -> Grid:
    rows: list[tuple[Cell, ...]] = []
    for card in work.cards:
        if card.pour == card.pours:
            name = f"log.blank.{card.load}"
            rows.append(
                (
                    number(f"{name}.load", card.load),
                    Value(f"{name}.castings", runs(card.moulds)),
                    *[""] * 5,
                )
            )
    head = (
        "load", "castings", "poured on", "voids in", "worst, mm", "minutes of rework", "scrapped",
    )  # fmt: skip
    return Grid("To write down at the pot and at the lathe", head, tuple(rows))
