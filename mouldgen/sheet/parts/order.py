"""Order and insert on the job sheet."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from mouldgen.job.cells import pieces_per_blank
from mouldgen.sheet.calendar_words import date_words
from mouldgen.sheet.parts.shown import ml, mm, number, share
from mouldgen.sheet.parts.work import SheetWork
from mouldgen.sheet.plain_words import gap, length, percent
from mouldgen.sheet.sheet_data import Facts, Item, Part, Pencil, Value

_USED_AGAIN = ("master", "split", "tray")  # moulds of which the job may say how many there are
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
        own = Value("order.spares", "the customer's own wood", key="order.customers_wood")
        yield "castings begun", (castings, own)
    else:
        sure = share("order.confidence", order.confidence, key="order.confidence")
        good = share("order.yield", order.yield_, key="order.yield")
        yield "castings begun", (castings,)
        yield "enough with a chance of", (sure,)
        yield "share that comes good", (good,)
    if pieces_per_blank(job) > 1:
        key = "piece.saw" if piece.saw else "piece.per_blank"
        yield "pieces a blank", (number("order.per_blank", pieces_per_blank(job), key=key),)
    again = "mould.sets" if job.mould.family in _USED_AGAIN else ""
    yield "moulds printed", (number("order.printed", answer.printed, key=again),)
    yield from _piece_rows(work)
    for at, colour in enumerate(job.colour):
        name, key = f"colour.{at}", f"colour.{at + 1}"  # keys count from one
        told = [
            Value(f"{name}.name", colour.name, key=f"{key}.name"),
            share(f"{name}.share", colour.share, key=f"{key}.share"),
        ]
        if colour.tint is not None:
            tint = f"tint {percent(colour.tint, places=1)}"
            told.append(Value(f"{name}.tint", tint, colour.tint, "1", f"{key}.tint"))
        yield "colour", tuple(told)


def _piece_rows(work: SheetWork) -> Iterator[tuple[str, tuple[Value, ...]]]:
    """The finished piece, and what saw, lathe and drill take."""
    piece, answer = work.job.piece, work.found.answer
    lengths = {
        "piece, across": ("diameter", piece.diameter),
        "piece, long": ("length", piece.length),
        "turned off a side": ("turning", answer.question.turning_mm),
        "faced off each end": ("facing", answer.facing_mm),
        "resin over the insert, at least": ("cover", piece.cover),
        "held by the chuck": ("grip", piece.grip),
        "hole": ("hole", piece.hole),
    }
    for words, (name, value) in lengths.items():
        if value is not None:
            yield words, (_sized(work, "piece", name, value),)
    if piece.thread:
        yield "thread", (Value("piece.thread", piece.thread, key="piece.thread"),)
    if piece.hole_depth is not None:
        deep = _sized(work, "piece", "hole_depth", piece.hole_depth)
        end = Value("piece.hole_from", f"from the {piece.hole_from}", key="piece.hole_from")
        yield "hole, deep", (deep, end)


def _sized(work: SheetWork, table: str, name: str, value_mm: float) -> Value:
    """A length that the job file says under the name that it has on the sheet."""
    return mm(f"{table}.{name}", value_mm, inches=work.inches, key=f"{table}.{name}")


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
        "turn_length": insert.turn_length, "wire": insert.wire, "pitch": insert.pitch,
        "cell": insert.cell, "cell_wall": insert.cell_wall, "hole": insert.hole,
        "bow": insert.bow or None,
    }  # fmt: skip
    for name, value in lengths.items():
        if value is not None:
            sized = _sized(work, "insert", name, value)
            if name == "length" and insert.shape == "scan":  # measured on it, and not to be said
                sized = replace(sized, key="")
            yield name.replace("_", " "), (sized,)
    if insert.flutes is not None:
        yield "flutes", (number("insert.flutes", insert.flutes, key="insert.flutes"),)
    if insert.flute_area is not None:
        area = share("insert.flute_area", insert.flute_area, key="insert.flute_area", places=1)
        yield "taken away by them", (area,)
    yield "round that holds it", (mm("insert.across", 2.0 * facts.envelope_mm, inches=work.inches),)
    displaced = "" if insert.displaced is None else "insert.displaced"
    yield "volume", (ml("insert.volume_ml", facts.volume_ml, key=displaced),)
    dense = f"{facts.density_g_ml:.2f} g/ml"
    density = Value("insert.density", dense, facts.density_g_ml, "g/ml", "insert.density")
    yield "density", (density,)
    if insert.weight is not None:
        weight = Value("insert.weight", f"{insert.weight:g} g", insert.weight, "g", "insert.weight")
        yield "weight", (weight,)
    if insert.moisture is not None:
        yield "moisture", (share("insert.moisture", insert.moisture, key="insert.moisture"),)
    if insert.measured:
        # In one, as they are read and typed one after the other; a calliper shows thousandths.
        told = ", ".join(
            gap(reading, inches=True) if work.inches else length(reading, inches=False)
            for reading in insert.measured
        )
        yield "calliper readings", (Value("insert.measured", told, key="insert.measured"),)
