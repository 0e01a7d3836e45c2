"""Order and insert on the job sheet."""

from __future__ import annotations

from collections.abc import Iterator

from mouldgen.job.cells import pieces_per_blank
from mouldgen.sheet.calendar_words import date_words
from mouldgen.sheet.parts.shown import ml, mm, number, share
from mouldgen.sheet.parts.work import SheetWork
from mouldgen.sheet.sheet_data import Facts, Item, Part, Pencil, Value

_READINGS = 6  # blanks for a calliper, where nothing was measured yet


def order_part(work: SheetWork) -> Part:
    """What the customer wants, and how many castings are begun for it."""
    rows = tuple(_order_rows(work))
    return Part("order", Value("order.title", "Order"), (Facts("Order", rows),))


def _order_rows(work: SheetWork) -> Iterator[tuple[str, tuple[Value, ...]]]:
    job, answer = work.job, work.found.answer
    order, piece = job.order, job.piece
    yield "good pieces", (number("order.pieces", order.pieces, key="order.pieces"),)
    if order.due is not None:
        yield "due", (Value("order.due", date_words(order.due), key="order.due"),)
    castings = number("order.castings", answer.moulds)
    if order.customers_wood:
        yield "castings begun", (castings, Value("order.spares", "the customer's own wood"))
    else:
        sure = share("order.confidence", order.confidence, key="order.confidence")
        good = share("order.yield", order.yield_, key="order.yield")
        yield "castings begun", (castings,)
        yield "enough with a chance of", (sure,)
        yield "share that comes good", (good,)
    if pieces_per_blank(job) > 1:
        yield "pieces a blank", (number("order.per_blank", pieces_per_blank(job)),)
    yield "moulds printed", (number("order.printed", answer.printed),)
    yield (
        "piece, across",
        (mm("piece.diameter", piece.diameter, inches=work.inches, key="piece.diameter"),),
    )
    yield "piece, long", (mm("piece.length", piece.length, inches=work.inches, key="piece.length"),)
    if piece.thread:
        yield "thread", (Value("piece.thread", piece.thread, key="piece.thread"),)
    for at, colour in enumerate(job.colour):
        yield (
            "colour",
            (
                Value(f"colour.{at}.name", colour.name, key=f"colour.{at}.name"),
                share(f"colour.{at}.share", colour.share, key=f"colour.{at}.share"),
            ),
        )


def insert_part(work: SheetWork) -> Part:
    """What is cast in, and what was read off the calliper."""
    items: list[Item] = [Facts("Insert", tuple(_insert_rows(work)))]
    if not work.job.insert.measured:
        items.append(Pencil(("calliper readings", *[""] * (_READINGS - 1))))
    items.append(Pencil(("weighed on", "mass")))
    items.append(Pencil(("weighed again on", "mass")))
    return Part("insert", Value("insert.title", "Insert"), tuple(items))


def _insert_rows(work: SheetWork) -> Iterator[tuple[str, tuple[Value, ...]]]:
    insert, facts = work.job.insert, work.found.answer.insert
    yield "shape", (Value("insert.shape", insert.shape, key="insert.shape"),)
    if insert.wood:
        yield "wood", (Value("insert.wood", insert.wood, key="insert.wood"),)
    lengths = {
        "diameter": insert.diameter, "inside": insert.inside, "small": insert.small,
        "width": insert.width, "thickness": insert.thickness, "length": insert.length,
    }  # fmt: skip
    for name, value in lengths.items():
        if value is not None:
            yield name, (mm(f"insert.{name}", value, inches=work.inches, key=f"insert.{name}"),)
    yield "round that holds it", (mm("insert.across", 2.0 * facts.envelope_mm, inches=work.inches),)
    yield "volume", (ml("insert.volume_ml", facts.volume_ml),)
    density = Value("insert.density", f"{facts.density_g_ml:.2f} g/ml", facts.density_g_ml, "g/ml")
    yield "density", (density,)
    if insert.measured:
        yield (
            "calliper readings",
            tuple(
                mm(
                    f"insert.measured.{at}",
                    reading,
                    inches=work.inches,
                    key=f"insert.measured.{at}",
                )
                for at, reading in enumerate(insert.measured)
            ),
        )
