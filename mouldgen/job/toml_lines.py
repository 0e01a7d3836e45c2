"""Tables of a TOML file put in and taken out line by line, so that all other lines stay."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from mouldgen.job import keys

_HEADER = re.compile(r"\s*(\[\[?)\s*([\w.\"' \t-]+?)\s*(\]\]?)\s*(#.*)?$")


@dataclass(frozen=True, eq=False)
class Header:
    """A line such as ``[pour]`` or ``[[colour]]``.

    line : its number, from 0.
    table : its name, without quotes and spaces.
    """

    line: int
    table: str


def headers(lines: Sequence[str]) -> list[Header]:
    """The headers of the tables of a file, in order.

    lines : of the file.
    """
    found, inside = [], ""
    for number, line in enumerate(lines):
        header = None if inside else _HEADER.match(line.rstrip("\r\n"))
        if header and len(header[1]) == len(header[3]):
            found.append(Header(number, re.sub(r"[\s\"']", "", header[2])))
        for marks in ('"""', "'''"):  # a text of more than one line
            if inside in ("", marks) and line.count(marks) % 2:
                inside = "" if inside else marks
    return found


def is_headed(text: str, table: str) -> bool:
    """Whether a table stands below a header of its own.

    table : its name.
    """
    return any(header.table == table for header in headers(text.splitlines()))


def put_table(text: str, table: str, body: Sequence[str], *, line_end: str) -> str:
    """The text with one more table, where the docs have it.

    table : its name; in a list of tables it comes after those that are there.
    body : its lines, without line ends.
    line_end : of a line.
    """
    lines = text.splitlines(keepends=True)
    name = f"[[{table}]]" if table in keys.LISTS else f"[{table}]"
    at = _place(lines, table)
    block = [line + line_end for line in (name, *body)]
    if at == len(lines):
        if lines and not lines[-1].endswith(("\n", "\r")):
            lines[-1] += line_end
        before = [line_end] if lines and lines[-1].strip() else []
        return "".join([*lines, *before, *block])
    before = [line_end] if at and lines[at - 1].strip() else []
    return "".join([*lines[:at], *before, *block, line_end, *lines[at:]])


def drop_table(text: str, table: str, item: int | None, *, comments: bool) -> str:
    """The text without one table, with what is said of the next one.

    table : its name.
    item : which of a list of tables, from 0; None for a table of its own.
    comments : whether the lines of comments inside it stay too.
    """
    lines = text.splitlines(keepends=True)
    found = headers(lines)
    own = [at for at, header in enumerate(found) if header.table == table][item or 0]
    last = next(
        (at for at in range(own + 1, len(found)) if not found[at].table.startswith(f"{table}.")),
        len(found),
    )
    start = found[own].line
    end = _above(lines, found[last].line, start) if last < len(found) else len(lines)
    kept = [line for line in lines[start:end] if comments and line.lstrip().startswith("#")]
    if not comments and (apart := _apart(lines[start:end])):
        return "".join([*lines[:start], *apart, *lines[end:]])
    # The blank line below it goes with it; the one above stays.
    rest = [*lines[:start], *kept, *([_end_of(lines[start])] if kept else []), *lines[end:]]
    while len(rest) > 1 and end == len(lines) and not kept and not rest[-1].strip():
        rest.pop()
    return "".join(rest)


def _apart(table: Sequence[str]) -> Sequence[str]:
    """Comments behind a table's last key, with a blank line between, that are not said of it.

    table : its lines, header first; none is given back where there are no such comments.
    """
    last = max(at for at, line in enumerate(table) if _says(line))
    blank = next((at for at in range(last + 1, len(table)) if not table[at].strip()), len(table))
    rest = table[blank + 1 :]
    return rest if any(line.strip() for line in rest) else ()


def _says(line: str) -> bool:
    return bool(line.strip()) and not line.lstrip().startswith("#")


def _place(lines: Sequence[str], table: str) -> int:
    """The line that a new table begins at."""
    found = headers(lines)
    same = [at for at, header in enumerate(found) if header.table == table]
    if same or "." in table:
        outer = table.partition(".")[0]
        own = [at for at, h in enumerate(found) if h.table.partition(".")[0] == outer]
        later = found[own[-1] + 1 :] if own else []
    else:
        order = list(keys.TABLES)
        rank = order.index(table)
        later = [
            header for header in found
            if (head := header.table.partition(".")[0]) in order and order.index(head) > rank
        ]  # fmt: skip
    return _above(lines, later[0].line, 0) if later else len(lines)


def _above(lines: Sequence[str], header: int, least: int) -> int:
    """The first of the lines of comments that stand right above a header."""
    at = header
    while at - 1 > least and lines[at - 1].lstrip().startswith("#"):
        at -= 1
    return at


def _end_of(line: str) -> str:
    return "\r\n" if line.endswith("\r\n") else "\n"
