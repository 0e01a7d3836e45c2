"""What a person types for one key, as the value that stands in the file.

Text that does not fit is kept as it was typed: what is wrong with it is told where a job is read.
"""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Any

from mouldgen.errors import JobError
from mouldgen.job.day import read_day
from mouldgen.job.toml import parse_toml
from mouldgen.job.values_in_line import values_in
from mouldgen.job.written import Written

YES, NO = ("yes", "y", "true"), ("no", "n", "false")

_NUMBER = re.compile(r"[+-]?(\d{1,15}(\.\d{0,15})?|\.\d{1,15})")
_BARE = re.compile(r"[-\N{MINUS SIGN}]?[\d.][\d./\s½¼¾-]*")
# Two counts: 2:1, 2 to 1, 2 x 3, 2 by 3, 2 3.
_BETWEEN = re.compile(r"\s*(?:[,;:x×*]|\bby\b|\bto\b)\s*|\s+", re.IGNORECASE)
_NEXT = re.compile(r"\s+(?=[-\N{MINUS SIGN}]?\.?\d)")  # a space with a number behind it


def typed(written: Written, said: str) -> Any:
    """The value of a key, as `tomllib` would give it.

    written : how the key is written.
    said : what was typed, not empty.

    Numbers and dates become such, ``92 %`` of a share 0.92, ``yes`` true, and words of a choice
    small or large letters as the choice has them.  Quantities stay text with their unit.  A list
    stands between commas or semicolons, and one of lists between semicolons with commas or spaces
    inside, such as ``0 mm 11 mm; 20 mm 12 mm``, or with colons, ``0:11, 20:12 mm``.  A measure
    without a unit takes that of the next one that has one: ``29.7, 30.1 mm``.  A list may be
    typed as the file has it, in square brackets.
    """
    said = said.strip()
    if written.kind == "list":
        return _list(written, said)
    if written.kind in ("count", "number", "share"):
        return _number(said, share=written.kind == "share")
    if written.kind == "yes-no":
        folded = said.casefold()
        return True if folded in YES else False if folded in NO else said
    if written.kind == "date":
        return read_day(said) or said
    return next((word for word in written.choices if word.casefold() == said.casefold()), said)


def bare_as_before(value: Any, before: Any) -> Any:
    """A measure typed without its unit as a number, where the file has a bare number there.

    value : as `typed` gives it.
    before : what the file has; None for nothing.
    """
    if isinstance(value, list):
        had = before if isinstance(before, list) else []
        last = had[-1] if had else None
        return [
            bare_as_before(one, had[at] if at < len(had) else last) for at, one in enumerate(value)
        ]
    bare = isinstance(before, int | float) and not isinstance(before, bool)
    return _number(value, share=False) if bare and isinstance(value, str) else value


def _number(said: str, *, share: bool) -> int | float | str:
    text = said.removesuffix("%").rstrip() if share else said
    if not _NUMBER.fullmatch(text):
        return said
    number = Decimal(text) / 100 if text != said else Decimal(text)
    whole = number == number.to_integral_value() and "." not in said
    return int(number) if whole else float(number)


def _list(written: Written, said: str) -> Any:
    if said.startswith("["):
        try:
            return parse_toml(f"value = {said}".encode(), label="")["value"]
        except (JobError, UnicodeEncodeError):
            return said
    if written.items[0].kind != "list":
        return _with_units(written.items[0], _values(written, _cut(written, said)))
    inner = written.items[0]
    rows = _rows(said)
    flat = iter(_with_units(inner.items[0], [part for row in rows for part in row]))
    return [[next(flat) for _ in row] for row in rows]


def _rows(said: str) -> list[list[str]]:
    """The values of a list of lists."""
    if ":" in said:  # height:radius, as a new job is told it
        rows = [re.split(r"\s*:\s*", row.strip()) for row in re.split(r"[,;]", said)]
    else:
        rows = [
            re.split(r"\s*,\s*" if "," in row else _NEXT, row.strip()) for row in said.split(";")
        ]
    found = ([part for part in row if part] for row in rows)
    return [row for row in found if row]


def _cut(written: Written, said: str) -> list[str]:
    """The values of a plain list."""
    if written.items[0].kind in ("count", "number"):
        parts = _BETWEEN.split(said)
    elif written.items[0].kind == "choice":
        parts = re.split(r"[,;\s]+", said)
    elif written.items[0].kind == "date":
        days = [part.strip() for part in re.split(r"[,;]", said)]
        parts = [one for part in days for one in ([part] if read_day(part) else part.split())]
    elif written.size is None:
        parts = values_in(said)
    else:
        parts = re.split(r"\s*[,;]\s*", said)
        if len(parts) == 1:  # two measures with a space between them
            parts = _NEXT.split(said)
    return [part for part in parts if part]


def _values(written: Written, parts: list[str]) -> list[Any]:
    return [typed(written.items[0], part) for part in parts]


def _with_units(item: Written, parts: list[Any]) -> list[Any]:
    """Measures, each with the unit of the next one that has one."""
    if not item.unit:
        return parts
    unit, found = "", []
    for part in reversed(parts):
        bare = _BARE.match(part)
        rest = part[bare.end() :] if bare else ""
        unit = rest or unit
        found.append(f"{part} {unit}" if bare and not rest and unit else part)
    return found[::-1]
