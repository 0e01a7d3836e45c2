"""The columns of a castings file written as text: what each holds and what it takes.

A value comes as text from CSV and as a number, a text, true, false or null from JSON.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from mouldgen.errors import CastingsError

SEQUENCES = ("resin-first", "insert-first", "bottom-feed")
OUTCOMES = ("good", "repaired", "scrapped")
_LONGEST_SHOWN = 40
_LARGEST = 2**63 - 1  # that the file can store

Value = str | int | float | bool | None


@dataclass(frozen=True, eq=False)
class Column:
    """One column.

    name : in the heading of the CSV file, and the key of the JSON file.
    row : key of the row of the table; `load_id` in both is the load's own id.
    read : from what was written to the value; raises CastingsError with a clause.
    """

    name: str
    row: str
    read: Callable[[Value], Any]


def _refused(value: Value, allowed: str) -> CastingsError:
    text = "nothing" if value in {None, ""} else f'"{_shown(value)}"'
    return CastingsError(f"{text} cannot be used here", allowed=allowed)


def _shown(value: Value) -> str:
    text = "".join(sign if sign.isprintable() else " " for sign in str(value))
    return text if len(text) <= _LONGEST_SHOWN else f"{text[: _LONGEST_SHOWN - 4]} ..."


def _whole(value: Value) -> int:
    allowed = "a whole number from 1"
    if isinstance(value, bool | float) or value is None:
        raise _refused(value, allowed)
    try:
        number = int(value)
    except ValueError:
        raise _refused(value, allowed) from None
    if not 1 <= number <= _LARGEST:
        raise _refused(value, allowed)
    return number


def _text(value: Value) -> str:
    if not isinstance(value, str):
        raise _refused(value, "a text")
    try:
        value.encode()
    except UnicodeEncodeError:  # half a character, which JSON can write and nothing can store
        raise _refused(ascii(value), "a text") from None
    return value


def _named(value: Value) -> str:
    if not _text(value):
        raise _refused(value, "a name")
    return _text(value)


def _number(allowed: str, takes: Callable[[float], bool]) -> Callable[[Value], float]:
    def read(value: Value) -> float:
        if isinstance(value, bool) or value is None:
            raise _refused(value, allowed)
        try:
            number = float(value)
        except (ValueError, OverflowError):
            raise _refused(value, allowed) from None
        if not math.isfinite(number) or not takes(number):
            raise _refused(value, allowed)
        return number

    return read


def _or_nothing(read: Callable[[Value], Any]) -> Callable[[Value], Any]:
    return lambda value: None if value is None or value == "" else read(value)


def _one_of(names: tuple[str, ...]) -> Callable[[Value], str]:
    def read(value: Value) -> str:
        if not isinstance(value, str) or value not in names:
            raise _refused(value, ", ".join(names))
        return value

    return read


def _when(value: Value) -> str:
    allowed = "a moment with its offset, such as 2026-11-20T18:30:00+01:00"
    text = _text(value)
    try:
        moment = dt.datetime.fromisoformat(text)
    except ValueError:
        raise _refused(value, allowed) from None
    if moment.tzinfo is None:
        raise _refused(value, allowed)
    return text


def _yes(value: Value) -> int:
    if value in {"yes", "no"}:
        return int(value == "yes")
    if isinstance(value, bool):
        return int(value)
    raise _refused(value, "yes or no")


_above = _number("a number above 0", lambda number: number > 0.0)
_not_below = _number("a number from 0", lambda number: number >= 0.0)
_any = _number("a number", lambda _: True)

LOAD = (
    Column("load_id", "id", _whole),
    Column("job", "job", _named),
    Column("load_number", "number", _whole),
    Column("poured_at", "poured_at", _when),
    Column("poured", "poured", _whole),
    Column("note", "note", _text),
    Column("mixed_g", "mixed_g", _or_nothing(_above)),
    Column("left_g", "left_g", _or_nothing(_not_below)),
)
CASTING = (
    Column("casting_id", "id", _whole),
    Column("number", "number", _whole),
    Column("fingerprint", "fingerprint", _text),
    Column("mould_id", "mould_id", _text),
    Column("gap_mm", "gap_mm", _above),
    Column("open_mm", "open_mm", _any),
    Column("air_mm", "air_mm", _or_nothing(_above)),
    Column("resin", "resin", _text),
    Column("wood", "wood", _text),
    Column("shop_c", "shop_c", _any),
    Column("pressure_kpa", "pressure_kpa", _not_below),
    Column("close_min", "close_min", _above),
    Column("sequence", "sequence", _one_of(SEQUENCES)),
    Column("pours", "pours", _whole),
)
RESULT = (
    Column("voids", "voids", _yes),
    Column("worst_mm", "worst_mm", _or_nothing(_above)),
    Column("place", "place", _text),
    Column("rework_min", "rework_min", _not_below),
    Column("outcome", "outcome", _one_of(OUTCOMES)),
    Column("noted_at", "noted_at", _when),
)
COLUMNS = tuple(column.name for column in (*LOAD, *CASTING, *RESULT))
