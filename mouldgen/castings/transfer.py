"""The castings file as text, and back: CSV with a line a casting, or JSON.

What was written comes back exactly, to the last bit of every number.
"""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

import mouldgen
from mouldgen.castings.columns import CASTING, COLUMNS, LOAD, RESULT, Column
from mouldgen.castings.records import Load
from mouldgen.castings.tables import Row, casting_row, loads_of, result_row
from mouldgen.errors import CastingsError

FORMAT = 1
VERSION = "version"  # column and key of the program that wrote; read over
_LONGEST_FIELD = 1_000_000


def to_csv(loads: Sequence[Load]) -> str:
    """A heading and a line for each casting; a casting that is open has no result columns."""
    out = io.StringIO()
    writer = csv.writer(out)  # lines end as RFC 4180 has them: a bare return in a note is quoted
    writer.writerow([*COLUMNS, VERSION])
    for load in loads:
        head = [_csv(row) for row in _values(LOAD, _load_row(load))]
        for casting, result in _casting_rows(load):
            found = _values(RESULT, result) if result else [None] * len(RESULT)
            told = [*head, *map(_csv, _values(CASTING, casting)), *map(_csv, found)]
            writer.writerow([*told, mouldgen.__version__])
    return out.getvalue()


def to_json(loads: Sequence[Load]) -> str:
    """One object with all loads; null where a casting is open."""
    data = {
        "format": FORMAT,
        VERSION: mouldgen.__version__,
        "loads": [load_data(load) for load in loads],
    }
    return json.dumps(data, indent=1, allow_nan=False) + "\n"


def from_csv(text: str, *, name: str) -> tuple[Load, ...]:
    """The loads of a CSV file.

    text : all of it.
    name : of the file, for messages.

    Raises CastingsError with the line and the column of what cannot be used.
    """
    if len(lines := text.split("\n", 1)) and ";" in lines[0] and "," not in lines[0]:
        raise CastingsError(
            "its columns are divided by semicolons",
            where=name,
            allowed="commas between columns, points in decimals",
            try_="Save it as CSV with commas.",
        )
    return _joined(list(_csv_lines(text.removeprefix("\ufeff"), name)))


def from_json(text: str, *, name: str) -> tuple[Load, ...]:
    """The loads of a JSON file.

    text : all of it.
    name : of the file, for messages.

    Raises CastingsError with the place of what cannot be used, such as
    ``loads[2].castings[0].gap_mm``.
    """
    try:
        data = json.loads(text)
    except (ValueError, RecursionError) as problem:
        raise CastingsError(f"is no JSON ({problem})", where=name) from None
    given = data.get("format") if isinstance(data, dict) else None
    if given != FORMAT or isinstance(given, bool):
        raise CastingsError(
            "is not what mouldgen log save writes",
            where=f"{name} format",
            allowed=f'an object with "format": {FORMAT} and "loads"',
        )
    return _joined(list(_json_lines(data, name)))


Line = tuple[str, Row, Row, Row | None]  # where it stands, load, casting, result


def _csv_lines(text: str, name: str) -> Iterator[Line]:
    usual = csv.field_size_limit(_LONGEST_FIELD)  # of the whole process: it is put back
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    try:
        heading = next(reader, [])
        wanted = (*COLUMNS, VERSION) if VERSION in heading else COLUMNS
        _require_columns(heading, wanted, where=f"{name} line 1")
        start = reader.line_num + 1
        for fields in reader:
            where = f"{name} line {start}"
            start = reader.line_num + 1
            if not fields:
                continue
            if len(fields) != len(heading):
                raise CastingsError(
                    f"has {len(fields)} columns, and the heading has {len(heading)}", where=where
                )
            values = dict(zip(heading, fields, strict=True))
            yield (
                where,
                _read(LOAD, values, f"{where}, column "),
                _read(CASTING, values, f"{where}, column "),
                _read(RESULT, values, f"{where}, column ")
                if any(values[column.name] for column in RESULT)
                else None,
            )
    except csv.Error as problem:
        raise CastingsError(
            f"cannot be read as CSV ({problem})", where=f"{name} line {reader.line_num}"
        ) from None
    finally:
        csv.field_size_limit(usual)


def _json_lines(data: Any, name: str) -> Iterator[Line]:
    loads = _list(data, "loads", f"{name} ")
    for i, load in enumerate(loads):
        where = f"{name} loads[{i}]"
        _require_object(load, LOAD, ("castings",), where)
        row = _read(LOAD, load, f"{where}.")
        castings = _list(load, "castings", f"{where}.")
        if not castings:
            raise CastingsError("a load without a casting", where=f"{where}.castings")
        for k, casting in enumerate(castings):
            at = f"{where}.castings[{k}]"
            _require_object(casting, CASTING, ("result",), at)
            result = casting["result"]
            if result is not None:
                _require_object(result, RESULT, (), f"{at}.result")
            yield (
                at,
                row,
                _read(CASTING, casting, f"{at}."),
                None if result is None else _read(RESULT, result, f"{at}.result."),
            )


def _joined(lines: Sequence[Line]) -> tuple[Load, ...]:
    """The loads of rows that were read one by one; those of one load need not stand together."""
    loads: dict[int, Row] = {}
    numbers: set[tuple[int, int]] = set()
    ids: set[int] = set()
    castings, results = [], []
    for where, load, casting, result in lines:
        first = loads.setdefault(load["id"], load)
        for key, value in load.items():
            if first[key] != value:
                raise CastingsError(
                    f"says another {_told(key)} of load {load['id']} than a line before",
                    where=where,
                )
        number = (load["id"], casting["number"])
        if number in numbers:
            raise CastingsError(
                f"casting {number[1]} of load {number[0]} is there twice", where=where
            )
        if casting["id"] in ids:
            raise CastingsError(f"the casting_id {casting['id']} is there twice", where=where)
        numbers.add(number)
        ids.add(casting["id"])
        castings.append({**casting, "load_id": load["id"]})
        if result is not None:
            results.append({**result, "casting_id": casting["id"]})
    return loads_of(loads.values(), castings, results)


def _told(key: str) -> str:
    return next(column.name for column in LOAD if column.row == key)


def _read(columns: Iterable[Column], values: Mapping[str, Any], before: str) -> Row:
    row = {}
    for column in columns:
        value = values[column.name]
        where = f"{before}{column.name}"
        if value is not None and not isinstance(value, str | int | float | bool):
            raise CastingsError("a list or an object where one value belongs", where=where)
        try:
            row[column.row] = column.read(value)
        except CastingsError as problem:
            raise problem.at(where) from None
    return row


def _require_object(
    value: Any, columns: Iterable[Column], more: tuple[str, ...], where: str
) -> None:
    if not isinstance(value, dict):
        raise CastingsError("is no object", where=where)
    _require_columns(list(value), (*(column.name for column in columns), *more), where=where)


def _require_columns(given: Sequence[str], wanted: Sequence[str], *, where: str) -> None:
    missing = [name for name in wanted if name not in given]
    unknown = [name for name in given if name not in wanted]
    if missing:
        raise CastingsError(
            f"{', '.join(missing)} {'is' if len(missing) == 1 else 'are'} missing",
            where=where,
            allowed=", ".join(wanted),
        )
    if unknown:
        shown = "".join(sign if sign.isprintable() else " " for sign in unknown[0][:40])
        raise CastingsError(f'there is no column "{shown}"', where=where, allowed=", ".join(wanted))
    if len(given) != len(wanted):
        raise CastingsError("a column is there twice", where=where, allowed=", ".join(wanted))


def _list(data: Mapping[str, Any], key: str, before: str) -> list[Any]:
    found = data.get(key)
    if not isinstance(found, list):
        raise CastingsError("is no list", where=f"{before}{key}")
    return found


def load_data(load: Load) -> dict[str, Any]:
    """A load as its JSON has it."""
    castings = [
        {
            **_named_values(CASTING, casting),
            "result": None
            if result is None
            else {**_named_values(RESULT, result), "voids": bool(result["voids"])},
        }
        for casting, result in _casting_rows(load)
    ]
    return {**_named_values(LOAD, _load_row(load)), "castings": castings}


def _load_row(load: Load) -> Row:
    return {column.row: getattr(load, column.row) for column in LOAD}


def _casting_rows(load: Load) -> Iterator[tuple[Row, Row | None]]:
    for casting in load.castings:
        found = casting.result
        result = (
            None
            if found is None
            else result_row(found, casting_id=casting.id, noted_at=found.noted_at)
        )
        yield {**casting_row(casting, load_id=load.id), "id": casting.id}, result


def _named_values(columns: Iterable[Column], row: Row) -> dict[str, Any]:
    return {column.name: row[column.row] for column in columns}


def _values(columns: Iterable[Column], row: Row) -> list[tuple[str, Any]]:
    return [(column.name, row[column.row]) for column in columns]


def _csv(cell: tuple[str, Any] | None) -> str:
    if cell is None or cell[1] is None:
        return ""
    name, value = cell
    if name == "voids":
        return "yes" if value else "no"
    return repr(value) if isinstance(value, float) else str(value)
