"""The first thing that the models object to, in a maker's words."""

from __future__ import annotations

from typing import Any

from pydantic import ValidationError

from mouldgen.errors import JobError, UnitError
from mouldgen.job import keys
from mouldgen.job.merge import Merged
from mouldgen.job.words import NAME_ALLOWED, one_line

_TYPES = {
    "int": "a whole number",
    "float": "a number",
    "string": 'text in quotes, such as "ash"',
    "bool": "true or false",
    "date": "a date without quotes, such as 2026-12-18",
    "tuple": "a list in square brackets",
}
_LISTS = {
    ("resin", "ratio"): "[2, 1] for two parts of A to one of B",
    ("resin", "recoat"): '["2 h", "24 h"]',
    ("insert", "measured"): '["29.8 mm", "30.1 mm"]',
    ("mould", "cells"): "[2, 3]",
}
_BOUNDS = {"gt": "more than", "ge": "at least", "lt": "less than", "le": "at most"}
_BOUND_TYPES = {"greater_than", "greater_than_equal", "less_than", "less_than_equal"}
_PATTERNS = {
    ("", "name"): NAME_ALLOWED,
    ("mould", "id"): "capital letters, digits and hyphens, at most 8, such as A1",
}


def first_problem(problem: ValidationError, merged: Merged) -> JobError:
    """The JobError that tells the first problem, with the file, table and key it stands at."""
    errors = problem.errors(include_url=False)
    # A missing table or key first: what depends on it is read with other eyes once it is there.
    first = next((e for e in errors if _is_key(e)), errors[0])
    path = first["loc"][:2]
    together = [e for e in errors if e["loc"][:2] == path]
    table, key, item = _place(first["loc"])
    if _is_key(first):
        return _missing(table, key, item, merged)
    return _wrong(together, table, key, merged.place(table, key, item))


def _is_key(error: Any) -> bool:
    return error["type"] == "missing" and isinstance(error["loc"][-1], str)  # not a list's item


def _place(loc: tuple[int | str, ...]) -> tuple[str, str | None, int | None]:
    """Table, key and number in a list of tables, of what pydantic calls a location."""
    head = str(loc[0])
    if head not in keys.TABLES:
        return "", head, None
    rest = loc[1:]
    nested = f"{head}.{rest[0]}" if rest else ""
    if nested in keys.NESTED and len(rest) > 1:
        head, rest = nested, rest[1:]
    item = rest[0] if rest and isinstance(rest[0], int) else None
    key = next((str(part) for part in rest if isinstance(part, str)), None)
    return head, key, item


def _missing(table: str, key: str | None, item: int | None, merged: Merged) -> JobError:
    if key is None:
        hint = f'[{table}] with card = "..." on the next line' if table in keys.CARDS else ""
        return JobError(
            f"the table [{table}] is missing",
            where=merged.label,
            allowed=hint or f"[{table}] with {', '.join(_needed(table))}",
        )
    card = _card(table, merged)
    where = keys.place(merged.label, table, key, item)
    return JobError(
        f"the key {key} is missing{card}",
        where=where,
        allowed=_example(table, key),
        try_='Give the key, or name a card that has it: card = "...".' if card else "",
    )


def _card(table: str, merged: Merged) -> str:
    if table not in keys.CARDS:
        return ""
    card = merged.data[table].get("card")
    return (
        f", and the card {one_line(str(card))} does not give it"
        if card
        else ", and there is no card"
    )


def _needed(table: str) -> list[str]:
    return [key for key, info in keys.fields(table).items() if info.is_required()]


def _example(table: str, key: str) -> str:
    """What a missing key would look like."""
    told = _PATTERNS.get((table, key)) or _EXAMPLES.get((table, key))
    if told:
        return told
    mark = keys.quantity_of(keys.fields(table)[key])
    if mark is None:  # a new required key without an example: a test looks for these
        return f"a value for {key}"
    return f'a value with its unit, such as {key} = "{_QUANTITIES[mark.unit]}"'


_EXAMPLES = {
    ("", "format"): "format = 1",
    ("order", "pieces"): "a whole number, such as pieces = 18",
    ("insert", "shape"): 'shape = "rod", "flute", "bar" or another',
    ("insert.member", "shape"): 'shape = "rod", "tube", "bar" or "taper"',
    ("insert.member", "at"): 'two lengths, such as at = ["6 mm", "0 mm"]',
    ("colour", "name"): 'text, such as name = "smoke"',
    ("resin", "kind"): 'kind = "epoxy" or "urethane"',
    ("resin", "ratio"): "parts A and B, such as ratio = [2, 1]",
    ("resin", "ratio_basis"): 'ratio_basis = "volume" or "mass"',
    ("rubber", "kind"): 'kind = "tin" or "platinum"',
    ("printer", "shape"): 'shape = "rectangle" or "round"',
}
_QUANTITIES = {
    "mm": "30 mm", "s": "25 min", "C": "21 C", "N": "20 N", "kPa": "50 psi", "g": "100 g",
    "g/ml": "0.68 g/ml", "Pa s": "0.5 Pa s", "ml": "32 ml", "deg": "1.5 deg",
}  # fmt: skip


def _wrong(errors: list[Any], table: str, key: str | None, where: str) -> JobError:
    choices = [
        e["ctx"]["expected"].replace("'", '"') for e in errors if e["type"] == "literal_error"
    ]
    for error in errors:
        unit_error = error.get("ctx", {}).get("error")
        if isinstance(unit_error, UnitError):
            return JobError(
                unit_error.what,
                where=where,
                allowed=", or ".join([*choices, unit_error.allowed]),
                try_=unit_error.try_,
            )
    error = next((e for e in errors if e["type"] != "literal_error"), errors[0])
    what = f"{_shown(error['input'])} does not fit here"
    return JobError(what, where=where, allowed=_allowed(error, table, key, choices))


def _allowed(error: Any, table: str, key: str | None, choices: list[str]) -> str:
    kind = error["type"]
    context = error.get("ctx", {})
    if kind == "literal_error":
        return " or ".join(choices)
    if kind in _BOUND_TYPES and key:
        return _range(table, key)
    if kind == "string_pattern_mismatch":
        return _PATTERNS[table, key or ""]
    if kind == "missing":
        return "a list of two values, such as [2, 1]"
    if kind in ("too_short", "too_long"):
        side, length = next((k, context[k]) for k in ("min_length", "max_length") if k in context)
        return f"a list of at {'least' if side == 'min_length' else 'most'} {length} values"
    if kind == "string_too_short":
        return "text that is not empty"
    if kind == "finite_number":
        return "a number that is not endless"
    told = _TYPES.get(kind.split("_")[0], str(error["msg"]))
    such = _LISTS.get((table, key or "")) if kind.startswith("tuple") else None
    return f"{told}, such as {such}" if such else told


def _range(table: str, key: str) -> str:
    info = keys.fields(table)[key]
    mark = keys.quantity_of(info)
    unit = f" {mark.unit}" if mark else ""
    bounds = [
        f"{words} {getattr(part, name):g}{unit}"
        for part in keys.marks(info)
        for name, words in _BOUNDS.items()
        if getattr(part, name, None) is not None
    ]
    return " and ".join(dict.fromkeys(bounds))


def _shown(value: Any) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    try:
        return f'"{one_line(value)}"' if isinstance(value, str) else one_line(str(value))
    except ValueError:  # a whole number of more digits than Python will print
        return "a number of thousands of digits"
