"""Which tables and keys a job file has, taken from the models, in the words of the file."""

from __future__ import annotations

import typing
from collections.abc import Iterable, Iterator
from typing import Any

from pydantic.fields import FieldInfo

from mouldgen.errors import JobError
from mouldgen.job.material_tables import Plastic, Resin, Rubber
from mouldgen.job.model import Colour, Insert, Job, Member, Mould, Piece, Pour
from mouldgen.job.shop_tables import Cost, Extras, Order, Pot, Printer, Shop, Work
from mouldgen.job.table import Quantity, Table
from mouldgen.job.words import nearest, one_line

TABLES: dict[str, type[Table]] = {
    "order": Order,
    "insert": Insert,
    "piece": Piece,
    "mould": Mould,
    "pour": Pour,
    "colour": Colour,
    "resin": Resin,
    "plastic": Plastic,
    "rubber": Rubber,
    "printer": Printer,
    "pot": Pot,
    "extras": Extras,
    "shop": Shop,
    "work": Work,
    "cost": Cost,
}
NESTED: dict[str, type[Table]] = {"insert.member": Member}  # lists of tables inside a table
LISTS = ("colour", *NESTED)  # written [[colour]], once for each
CARDS = {
    "resin": "resins",
    "plastic": "plastics",
    "rubber": "rubbers",
    "printer": "printers",
    "pot": "pots",
}
TOP = tuple(key for key in Job.model_fields if key not in TABLES)
SHOP_TABLES = (
    "order", "mould", "pour", "resin", "plastic", "rubber", "printer", "pot", "shop",
    "work", "cost",
)  # fmt: skip


def fields(table: str) -> dict[str, FieldInfo]:
    """The keys of a table as they are written, in the order of the model."""
    model = NESTED[table] if table in NESTED else TABLES[table]
    return {
        info.alias or name: info for name, info in model.model_fields.items() if not info.exclude
    }


def quantity_of(info: FieldInfo) -> Quantity | None:
    """The mark of a field that is written with its unit, or None."""
    return next((mark for mark in marks(info) if isinstance(mark, Quantity)), None)


def marks(info: FieldInfo) -> Iterator[Any]:
    """All that is annotated on a field, on its alternatives and on a list's items."""
    yield from _unwrapped(info.metadata)
    yield from _inner(info.annotation)


def _inner(annotation: Any) -> Iterator[Any]:
    yield from _unwrapped(getattr(annotation, "__metadata__", ()))
    for part in typing.get_args(annotation):
        if typing.get_origin(annotation) is not typing.Literal:
            yield from _inner(part)


def _unwrapped(metadata: Iterable[Any]) -> Iterator[Any]:
    for mark in metadata:  # Field(gt=0) keeps its bounds inside
        yield from (mark.metadata if isinstance(mark, FieldInfo) else (mark,))


def place(label: str, table: str, key: str | int | None = None, item: int | None = None) -> str:
    """A place in a file as a maker finds it: ``pegs.toml [insert] diameter``."""
    if not table:
        return f"{label} {key}"
    if table in LISTS:
        head = f"{label} [[{table}]]" + ("" if item is None else f" {item + 1}")
    else:
        head = f"{label} [{table}]"
    return head if key is None else f"{head} {key}"


def check_keys(data: dict[str, Any], *, label: str, tables: Iterable[str] = tuple(TABLES)) -> None:
    """Refuse what the format does not know, and tables that are not written as tables.

    data : a file as TOML gives it.
    label : what messages call the file.
    tables : the tables that this file may have.

    Raises JobError for the first table or key that has no place.
    """
    allowed = tuple(tables)
    for name, value in data.items():
        if name in TABLES:
            if name not in allowed:
                raise JobError(
                    f"the table [{name}] belongs in a job file, not here",
                    where=label,
                    allowed=", ".join(f"[{t}]" for t in allowed),
                )
            for item, entry in enumerate(_entries(name, value, label)):
                _check_table(name, entry, label, item)
                _check_nested(name, entry, label)
        elif name not in TOP:
            _refuse_top(name, value, label, allowed)


def _check_nested(name: str, entry: dict[str, Any], label: str) -> None:
    for nested in NESTED:
        table, _, key = nested.partition(".")
        if table == name and key in entry:
            for item, inner in enumerate(_entries(nested, entry[key], label)):
                _check_table(nested, inner, label, item)


def _entries(name: str, value: Any, label: str) -> list[dict[str, Any]]:
    if name in LISTS:
        if isinstance(value, list) and all(isinstance(entry, dict) for entry in value):
            return value
        raise JobError(
            f"{name} is not a list of tables",
            where=label,
            allowed=f"[[{name}]] in two pairs of brackets, once for each {name}",
        )
    if isinstance(value, dict):
        return [value]
    raise JobError(
        f"{name} is not a table",
        where=label,
        allowed=f"[{name}] on a line of its own, its keys below it",
    )


def _check_table(name: str, entry: dict[str, Any], label: str, item: int) -> None:
    known = fields(name)
    for key in entry:
        if key not in known:
            elsewhere = next((t for t in TABLES if t != name and key in fields(t)), None)
            raise JobError(
                f"there is no key {one_line(key)} in this table",
                where=place(label, name, one_line(key), item),
                allowed=", ".join(known),
                try_=_did_you_mean(key, known)
                or (f"The table [{elsewhere}] has a {key}." if elsewhere else ""),
            )


def _refuse_top(name: str, value: Any, label: str, tables: tuple[str, ...]) -> None:
    if isinstance(value, dict | list):
        raise JobError(
            f"there is no table [{one_line(name)}]",
            where=label,
            allowed=", ".join(f"[{t}]" for t in tables),
            try_=_did_you_mean(name, tables),
        )
    home = next((t for t in TABLES if name in fields(t)), None)
    raise JobError(
        f"there is no key {one_line(name)} outside the tables",
        where=label,
        allowed=", ".join(TOP) + " before the first table, all others in one",
        try_=_did_you_mean(name, TOP) or (f"It belongs in [{home}]." if home else ""),
    )


def _did_you_mean(word: str, known: Iterable[str]) -> str:
    found = nearest(word, known)
    return f"Did you mean {found}?" if found else ""
