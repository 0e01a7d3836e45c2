"""A table of variants: a CSV file whose first line names keys of the job file."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Sequence
from pathlib import Path

from mouldgen.catalogue.variant import (
    KEYS_ALLOWED,
    MOST,
    Variant,
    check_count,
    split_key,
    values_of,
)
from mouldgen.errors import InputError, SurroundingsError
from mouldgen.job.typed import typed
from mouldgen.job.words import one_line
from mouldgen.job.written import written

MOST_BYTES = 100_000_000
NAME = "name"


def read_table(path: Path) -> tuple[Variant, ...]:
    """The variants of a CSV file.

    path : of a file in UTF-8, its cells apart by commas, semicolons or tabs.

    Raises InputError for what is no such table, JobError for a key that no job has,
    SurroundingsError where the system refuses to read.
    """
    return table_of(_text(path), label=path.name)


def table_of(text: str, *, label: str) -> tuple[Variant, ...]:
    """The variants of a table.

    text : the file.
    label : what messages call it.

    Cells hold what a person types for the key; an empty one sets nothing.  Raises as `read_table`.
    """
    rows = _rows(text.removeprefix("\N{ZERO WIDTH NO-BREAK SPACE}"), label)
    line, heading = next(rows, (1, []))
    columns = _columns(heading, f"{label} line {line}")
    found: list[Variant] = []
    for line, cells in rows:
        if len(found) == MOST:
            check_count(MOST + 1 + sum(1 for _ in rows), where=label)
        found.append(_variant(len(found) + 1, columns, cells, where=f"{label} line {line}"))
    check_count(len(found), where=label)
    return tuple(found)


def _rows(text: str, label: str) -> Iterator[tuple[int, list[str]]]:
    """Each row that is not blank, with the number of its first line."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=_between(text), strict=True)
    line = 1
    try:
        for cells in reader:
            stripped = [cell.strip() for cell in cells]
            if any(stripped):
                yield line, stripped
            line = reader.line_num + 1
    except csv.Error as problem:
        raise InputError(
            f"cannot be read as a table: {problem}",
            where=f"{label} line {line}",
            allowed="CSV with double quotes round cells that hold a comma",
        ) from None


def _between(text: str) -> str:
    """What stands between the cells: a key holds none of the three."""
    first = next((line for line in text.splitlines() if line.strip()), "")
    return max(",;\t", key=first.count)


def _columns(heading: Sequence[str], where: str) -> list[str]:
    seen: set[str] = set()
    for number, name in enumerate(heading, start=1):
        here = f"{where} column {number}"
        if name and name != NAME:
            split_key(name, where=here)
        if name and name in seen:
            raise InputError(f"there are two columns {one_line(name)}", where=here)
        seen.add(name)
    if not seen - {"", NAME}:
        raise InputError(
            "the first line names no key",
            where=where,
            allowed=f"{KEYS_ALLOWED}, a column each, and a column {NAME} where you like",
        )
    return list(heading)


def _variant(number: int, columns: Sequence[str], cells: Sequence[str], *, where: str) -> Variant:
    if len(cells) < len(columns):
        raise InputError(
            f"there are {len(cells)} cells under {len(columns)} columns",
            where=where,
            try_="Leave a cell empty where nothing is to be set.",
        )
    for at, cell in enumerate(cells, start=1):
        if cell and (at > len(columns) or not columns[at - 1]):
            raise InputError(
                f'the cell "{one_line(cell)}" stands under no key',
                where=f"{where} column {at}",
                allowed="a key above every column",
                try_="A cell that holds a comma stands in double quotes.",
            )
    said = {name: cell for name, cell in zip(columns, cells, strict=False) if name and cell}
    name = said.pop(NAME, "")
    values = [(key, typed(written(*key.split(".")), cell)) for key, cell in said.items()]
    return Variant(number, name, where, tuple(said.items()), values_of(values))


def _text(path: Path) -> str:
    where = str(path)
    try:
        if path.is_dir() or not path.exists():
            what = "is a folder" if path.is_dir() else "there is no such file"
            raise InputError(what, where=where, allowed="a table as CSV")
        if path.stat().st_size > MOST_BYTES:
            raise InputError("is too large", where=where, allowed=f"at most {MOST_BYTES:,} bytes")
        return path.read_bytes().decode("utf-8")
    except UnicodeDecodeError:
        raise InputError(
            "is no text in UTF-8", where=where, try_="Save it as CSV in UTF-8."
        ) from None
    except OSError as problem:
        if isinstance(problem, InputError):
            raise
        raise SurroundingsError(
            f"the file cannot be read ({problem.strerror or problem})", where=where
        ) from problem
