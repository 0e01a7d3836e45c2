"""What kind of value a key of the job file takes, told from its model."""

from __future__ import annotations

import datetime as dt
import types
import typing
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache
from typing import Any, Literal

from pydantic import BeforeValidator
from pydantic.fields import FieldInfo

from mouldgen.job import keys
from mouldgen.job.table import Quantity

Kind = Literal[
    "text", "count", "number", "quantity", "share", "yes-no", "date", "choice", "list"
]  # fmt: skip


@dataclass(frozen=True, eq=False)
class Written:
    """How the value of a key is written.

    kind : a ``quantity`` is text with a unit in it, a ``share`` a number from 0 to 1.
    choices : words that it may be, beside what its kind takes; of a ``choice`` all of them.
    unit : inside, of a quantity that is a measure; empty else.
    items : of a list: what each of its values is, or one for them all.
    size : of a list that is always as long; None where it may be of any length.
    """

    kind: Kind
    choices: tuple[str, ...] = ()
    unit: str = ""
    items: tuple[Written, ...] = ()
    size: int | None = None


@cache
def written(table: str, key: str) -> Written:
    """How a key is written.

    table : as `mouldgen.job.keys` names it; empty before the first one.
    key : of it, one that there is.
    """
    if not table:
        return _of_top(key)
    info = keys.fields(table)[key]
    found = _written(info.annotation, tuple(_unwrapped(info.metadata)))
    # A share of the cost that goes on top may be more than all of it.
    return Written("share") if (table, key) == ("cost", "profit") else found


def _of_top(key: str) -> Written:
    choices = ("mm", "cm", "in") if key == "unit" else ()
    kinds: dict[str, Kind] = {"format": "count", "unit": "choice"}
    return Written(kinds.get(key, "text"), choices)


def _written(annotation: Any, around: tuple[Any, ...] = ()) -> Written:
    """Of a type, with what is annotated on it further out."""
    origin, parts = typing.get_origin(annotation), typing.get_args(annotation)
    if origin is typing.Annotated:
        return _written(parts[0], (*around, *_unwrapped(parts[1:])))
    if origin in (typing.Union, types.UnionType):
        return _either([part for part in parts if part is not type(None)], around)
    measure = next((mark for mark in around if isinstance(mark, Quantity)), None)
    if origin is tuple and not _read_from_text(around):
        return _list(parts)
    if measure is not None or _read_from_text(around):
        return Written("quantity", unit="" if measure is None else measure.unit)
    if origin is Literal:
        return Written("choice", tuple(str(part) for part in parts))
    return Written(_plain(annotation, around))


def _either(parts: list[Any], around: tuple[Any, ...]) -> Written:
    """Of alternatives: the words of the choices, and what else it may be."""
    found = [_written(part, around if len(parts) == 1 else ()) for part in parts]
    others = [one for one in found if one.kind != "choice"]
    words = tuple(word for one in found if one.kind == "choice" for word in one.choices)
    if not others:
        return Written("choice", words)
    first = others[0]
    return Written(first.kind, words, first.unit, first.items, first.size)


def _list(parts: tuple[Any, ...]) -> Written:
    if parts[-1] is ...:
        return Written("list", items=(_written(parts[0]),))
    return Written("list", items=tuple(_written(part) for part in parts), size=len(parts))


def _plain(annotation: Any, around: tuple[Any, ...]) -> Kind:
    if annotation is bool:
        return "yes-no"
    if annotation is int:
        return "count"
    if annotation is dt.date:
        return "date"
    if annotation is float:
        tops = [
            top for mark in around for name in ("lt", "le")
            if (top := getattr(mark, name, None)) is not None
        ]  # fmt: skip
        return "share" if tops and min(tops) <= 1.0 else "number"
    return "text"


def _unwrapped(metadata: Iterable[Any]) -> Iterator[Any]:
    for mark in metadata:  # Field(gt=0) keeps its bounds inside
        yield from (mark.metadata if isinstance(mark, FieldInfo) else (mark,))


def _read_from_text(around: tuple[Any, ...]) -> bool:
    """Whether a reader of ours turns text into the value, such as a price."""
    return any(isinstance(mark, BeforeValidator) for mark in around)
