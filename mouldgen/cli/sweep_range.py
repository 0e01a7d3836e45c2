"""``table.key=from..to``: which key is swept, over which values, in the unit of the ends."""

from __future__ import annotations

import re
import typing
from collections.abc import Callable
from dataclasses import dataclass
from types import NoneType, UnionType
from typing import Any, Literal, Union

from mouldgen import units
from mouldgen.errors import UnitError, UsageError
from mouldgen.job.words import printable

ALLOWED = 'table.key=from..to, such as pour.shop="15 C..30 C" or order.pieces=10..40'
STEPS = 21
_WHERE = "--sweep"
_READERS: dict[str, Callable[..., float]] = {
    "mm": units.length,
    "s": units.time,
    "C": units.temperature,
    "N": units.force,
    "kPa": units.pressure,
    "g": units.mass,
    "g/ml": units.density,
    "Pa s": units.viscosity,
    "deg": units.angle,
}
_SAME = 1e-9  # two ends closer than this share of themselves are one value


@dataclass(frozen=True, eq=False)
class SweptValue:
    """One value of a sweep.

    value : in the unit of the sweep.
    setting : what ``--set`` would be given for it.
    """

    value: float
    setting: str


@dataclass(frozen=True, eq=False)
class SweepRange:
    """What is swept.

    key : such as ``pour.shop``.
    unit : in which the values are written; empty for pure numbers.
    values : rising.
    """

    key: str
    unit: str
    values: tuple[SweptValue, ...]


def read_sweep(text: str, *, steps: int = STEPS, unit: str | None = None) -> SweepRange:
    """A sweep as it was typed.

    text : such as ``pour.shop=15 C..30 C``; a unit written once goes for both ends.
    steps : how many values, at least 2; fewer where there are not so many whole numbers.
    unit : of the job's bare lengths, or None.

    Raises UsageError, UnitError, and JobError for a key that no job has.
    """
    key, info = _key(text)
    low, high = _ends(text)
    integers, mark = _what(key, info)
    if integers:
        return _of_integers(key, _integer(low), _integer(high), steps)
    if mark is None:
        return _of_numbers(key, _number(low), _number(high), steps)
    return _of_quantities(key, (low, high), mark, steps, unit if mark == "mm" else None)


def _key(text: str) -> tuple[str, Any]:
    from mouldgen.job import keys

    name, equals, _ = text.partition("=")
    table, dot, key = name.strip().partition(".")
    if not (equals and dot and table and key) or "." in key:
        raise UsageError(
            f'"{printable(text)}" is not a range to sweep', where=_WHERE, allowed=ALLOWED
        )
    if table in keys.LISTS:
        raise UsageError(f"{table} cannot be swept key by key", where=_WHERE, allowed=ALLOWED)
    keys.check_keys({table: {key: 0}}, label=_WHERE)
    return f"{table}.{key}", keys.fields(table)[key]


def _ends(text: str) -> tuple[str, str]:
    span = text.partition("=")[2].strip()
    if span[:1] == span[-1:] and span[:1] in ("'", '"'):  # quoted once more than the shell needs
        span = span[1:-1]
    low, dots, high = (part.strip() for part in span.partition(".."))
    if not (dots and low and high) or ".." in high or high.startswith("."):
        raise UsageError(
            f'"{printable(span)}" does not go from one value to another',
            where=_WHERE,
            allowed=ALLOWED,
        )
    return low, high


def _what(key: str, info: Any) -> tuple[bool, str | None]:
    """Whether a key takes whole numbers, and the unit inside of one that is a quantity."""
    from mouldgen.job import keys

    kinds = _kinds(info.annotation)
    if kinds not in ({int}, {float}):
        raise UsageError(
            f"{key} is not a number and cannot be swept", where=_WHERE, allowed=ALLOWED
        )
    mark = keys.quantity_of(info)
    return kinds == {int}, None if mark is None else mark.unit


def _kinds(annotation: Any) -> set[Any]:
    """The plain types of a key, without None and without words such as ``auto``."""
    origin = typing.get_origin(annotation)
    if origin is typing.Annotated:
        return _kinds(typing.get_args(annotation)[0])
    if origin in (Union, UnionType):
        return set().union(*(_kinds(part) for part in typing.get_args(annotation)))
    if origin is Literal:
        words = typing.get_args(annotation)
        return set() if words == ("auto",) else {str}
    return set() if annotation is NoneType else {annotation}


def _of_integers(key: str, low: int, high: int, steps: int) -> SweepRange:
    _must_rise(low, high)
    number = min(steps, high - low + 1)
    values = [low + round(i * (high - low) / (number - 1)) for i in range(number)]
    return SweepRange(key, "", tuple(SweptValue(float(v), f"{key}={v}") for v in values))


def _of_numbers(key: str, low: float, high: float, steps: int, *, unit: str = "") -> SweepRange:
    _must_rise(low, high)
    values = []
    for i in range(steps):
        written = f"{low + i * (high - low) / (steps - 1):.10g}"
        behind = f" {unit}" if unit else ""
        values.append(SweptValue(float(written), f"{key}={written}{behind}"))
    return SweepRange(key, unit, tuple(values))


def _of_quantities(
    key: str, ends: tuple[str, str], mark: str, steps: int, bare: str | None
) -> SweepRange:
    """In the unit of the first end, or of the second where the first has none."""
    read = _READERS[mark]
    try:
        for end in ends:  # each by itself first: what is no quantity must not lend its unit
            read(end if unit_of(end) else f"{end} {mark}")
    except UnitError as problem:
        raise problem.at(f"{_WHERE} {key}") from None
    low, high = ends
    unit = unit_of(low) or unit_of(high) or bare or ""
    low, high = (end if unit_of(end) or not unit else f"{end} {unit}" for end in ends)
    try:
        first, last, zero = read(low), read(high), read(f"0 {unit}")
        one = read(f"1 {unit}") - zero
    except UnitError as problem:
        raise problem.at(f"{_WHERE} {key}") from None
    return _of_numbers(key, (first - zero) / one, (last - zero) / one, steps, unit=unit)


def unit_of(text: str) -> str:
    """What follows the number: from the first letter, quote or degree sign on."""
    for i, sign in enumerate(text):
        exponent = sign in "eE" and re.match(r"[-+]?[0-9]", text[i + 1 :]) and text[:i].strip()
        if (sign.isalpha() or sign in "\"″”°'′’") and not exponent:
            return text[i:].strip()
    return ""


def _must_rise(low: float, high: float) -> None:
    if high - low <= _SAME * max(abs(low), abs(high)):
        raise UsageError(
            "the range does not go up", where=_WHERE, allowed="from the smaller value to the larger"
        )


def _integer(text: str) -> int:
    if not re.fullmatch(r"[-+]?[0-9]{1,9}", text):
        raise UsageError(
            f'"{printable(text)}" is not a whole number', where=_WHERE, allowed=ALLOWED
        )
    return int(text)


def _number(text: str) -> float:
    if not re.fullmatch(r"[-+]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][-+]?[0-9]{1,2})?", text):
        raise UsageError(
            f'"{printable(text)}" is not a plain number', where=_WHERE, allowed=ALLOWED
        )
    return float(text)
