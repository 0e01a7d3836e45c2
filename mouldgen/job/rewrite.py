"""The text of a job file with one key said otherwise; all else in it stays as the maker wrote it.

Comments, order, blank lines, line ends and quotes are kept.  Only the key itself is looked at;
what it means for the job is told where the text is read.

A key is written as on the sheet: ``name``, ``piece.diameter``, and with a number counted from one
in a list of tables: ``colour.1.share``, ``insert.member.2.at``.
"""

from __future__ import annotations

import copy
import re
from dataclasses import dataclass
from typing import Any

from mouldgen.errors import InternalError, JobError
from mouldgen.job import keys
from mouldgen.job.new_item import draft_of, half_of_last, made_up
from mouldgen.job.toml import parse_toml
from mouldgen.job.toml_items import (
    Path,
    document,
    drop_value,
    push_table,
    put_value,
    shown_value,
    text_of,
)
from mouldgen.job.toml_lines import drop_table, is_headed, put_table
from mouldgen.job.typed import bare_as_before, typed
from mouldgen.job.words import one_line
from mouldgen.job.written import written

LABEL = "the job"  # what messages call the text

Data = dict[str, Any]

_LONE = re.compile(r"(?<!\r)\n")


@dataclass(frozen=True, eq=False)
class Place:
    """Where a key stands.

    table : as `mouldgen.job.keys` names it; empty before the first one.
    item : in a list of tables, from 0; None elsewhere.
    key : of the table; empty for the table itself.
    """

    table: str
    item: int | None
    key: str

    @property
    def path(self) -> Path:
        """From the whole file to the table."""
        steps = tuple(self.table.split(".")) if self.table else ()
        return steps if self.item is None else (*steps, self.item)


def said_otherwise(text: str, key: str, said: str) -> str:
    """The text with one key said otherwise.

    text : of a job file.
    key : such as ``mould.gap`` or ``colour.1.name``.
    said : what a person types, as `mouldgen.job.typed` reads it; empty takes the key away with
        the comment on its line, and a table that is left empty too.

    A key that is new goes where the docs have it, and so does a table that is new.
    Raises JobError for text that is no TOML, for a key that there is not, and for a table of a
    list that is not there.
    """
    place = place_of(key)
    data = _data(text)
    table = _table(data, place)
    if not said.strip():
        return text if table is None or place.key not in table else _without(text, data, place)
    value = typed(written(place.table, place.key), said)
    if table is not None:
        value = bare_as_before(value, table.get(place.key))
    if table is not None and place.key in table and _alike(table[place.key], value):
        return text
    wanted = copy.deepcopy(data)
    if table is None:
        wanted[place.table] = {place.key: value}
        line = f"{place.key} = {shown_value(value)}"
        return _held(put_table(text, place.table, [line], line_end=_line_end(text)), wanted)
    _reach(wanted, place.path)[place.key] = value
    doc = document(text)
    order = tuple(keys.fields(place.table)) if place.table else keys.TOP
    put_value(doc, place.path, place.key, value, order=order, line_end=_line_end(text))
    return _held(_with_line_ends(text_of(doc, before=text), text), wanted)


def added(text: str, key: str) -> str:
    """The text with one more table at the end of a list of them.

    text : of a job file.
    key : ``colour`` or ``insert.member``.

    A new colour takes half of the last one's share; a new member is like the last one and stands
    beside all others.  Raises JobError for text that is no TOML, for what is no such list, and
    for a member where there is no insert.
    """
    if key not in keys.LISTS:
        raise JobError(
            f"{one_line(key)} is no list of tables", where=LABEL, allowed=", ".join(keys.LISTS)
        )
    data = _data(text)
    old = _entries(data, key)
    if key == "colour" and (half := half_of_last(old)):
        text = said_otherwise(text, f"colour.{len(old)}.share", half)
        data = _data(text)
        old = _entries(data, key)
    draft = draft_of(key, old)
    outer, _, name = key.rpartition(".")
    _reach(data, (outer,) if outer else ()).setdefault(name, []).append(draft)
    if old and not is_headed(text, key):  # an array in one line
        doc = document(text)
        push_table(doc, Place(key, None, "").path, draft)
        return _held(text_of(doc, before=text), data)
    lines = [f"{name} = {shown_value(value)}" for name, value in draft.items()]
    return _held(put_table(text, key, lines, line_end=_line_end(text)), data)


def dropped(text: str, key: str) -> str:
    """The text without a table.

    text : of a job file.
    key : ``colour.2``, ``insert.member.1``, or a whole table such as ``pot``.

    The share of a colour goes to the one before it, of the first to the second.
    Raises JobError for text that is no TOML and for a table that is not there.
    """
    place = place_of(key, whole=True)
    data = _data(text)
    if _table(data, place) is None:
        raise JobError(f"there is no table [{place.table}]", where=LABEL)
    if place.table == "colour" and place.item is not None:
        heir, share = made_up(_entries(data, "colour"), place.item)
        if share:
            text = said_otherwise(text, f"colour.{heir + 1}.share", share)
            data = _data(text)
    return _dropped(text, data, place, comments=False)


def place_of(key: str, *, whole: bool = False) -> Place:
    """Where a key stands.

    key : as the functions here take it.
    whole : whether it names a table, or one of a list, and no key of it.

    Raises JobError for a key, or a table, that there is not.
    """
    steps = key.split(".")
    known = keys.TABLES | keys.NESTED
    table = next((name for name in (".".join(steps[:2]), steps[0]) if name in known), "")
    rest = steps[len(table.split(".")) :] if table else steps
    item = None
    if table in keys.LISTS:
        if not rest or not re.fullmatch(r"[1-9]\d{0,3}", rest[0]):
            raise JobError(
                f"{one_line(key)} does not say which {table}",
                where=LABEL,
                allowed=f"{table}.1 for the first, {table}.2 for the second",
            )
        item, rest = int(rest[0]) - 1, rest[1:]
    if whole and table and not rest:
        return Place(table, item, "")
    fields = tuple(keys.fields(table)) if table else keys.TOP
    if whole or len(rest) != 1 or rest[0] not in fields or f"{table}.{rest[0]}" in keys.LISTS:
        raise JobError(
            f"there is no {'table' if whole else 'key'} {one_line(key)}",
            where=LABEL,
            allowed=", ".join(keys.TABLES if whole or not table else fields),
        )
    return Place(table, item, rest[0])


def _data(text: str) -> Data:
    return parse_toml(text.encode("utf-8", "surrogatepass"), label=LABEL)


def _table(data: Data, place: Place) -> Data | None:
    """The table that a key stands in, None where there is none yet.  Raises JobError."""
    if not place.table:
        return data
    if place.item is None:
        _require_shape(data, place.table)
        return data.get(place.table)
    old = _entries(data, place.table)
    if place.item >= len(old):
        raise JobError(
            f"there is no {place.table} {place.item + 1}",
            where=LABEL,
            allowed=f"1 to {len(old)}" if old else f"[[{place.table}]] first",
        )
    return old[place.item]


def _entries(data: Data, name: str) -> list[Data]:
    """The tables of a list.  Raises JobError."""
    outer, _, key = name.rpartition(".")
    if outer:
        _require_shape(data, outer)
        if outer not in data:
            raise JobError(f"the table [{outer}] is missing", where=LABEL)
        data = data[outer]
    found = data.get(key, [])
    if not isinstance(found, list) or not all(isinstance(one, dict) for one in found):
        raise JobError(
            f"{name} is not a list of tables",
            where=LABEL,
            allowed=f"[[{name}]] in two pairs of brackets, once for each",
        )
    return found


def _require_shape(data: Data, table: str) -> None:
    if not isinstance(data.get(table, {}), dict):
        keys.check_keys({table: data[table]}, label=LABEL)


def _reach(data: Data, path: Path) -> Any:
    found: Any = data
    for step in path:
        found = found[step]
    return found


def _without(text: str, data: Data, place: Place) -> str:
    """The text without a key, and without its table if that is empty then."""
    wanted = copy.deepcopy(data)
    del _reach(wanted, place.path)[place.key]
    doc = document(text)
    empty = drop_value(doc, place.path, place.key)
    if empty and place.table and is_headed(text, place.table):
        return _dropped(text_of(doc, before=text), wanted, place, comments=True)
    if empty and place.table:
        outer, last = _taken(wanted, place.path)
        drop_value(doc, outer, last)
    return _held(text_of(doc, before=text), wanted)


def _dropped(text: str, data: Data, place: Place, *, comments: bool) -> str:
    """The text without a table.

    comments : whether lines of comments in it stay.
    """
    wanted = copy.deepcopy(data)
    outer, last = _taken(wanted, place.path)
    if is_headed(text, place.table):
        return _held(drop_table(text, place.table, place.item, comments=comments), wanted)
    doc = document(text)
    drop_value(doc, outer, last)
    return _held(text_of(doc, before=text), wanted)


def _taken(data: Data, path: Path) -> tuple[Path, str | int]:
    """Take a table away, and its list if it was the last one; what was taken, and from where."""
    outer, last = path[:-1], path[-1]
    holder = _reach(data, outer)
    del holder[last]
    return (outer, last) if holder or isinstance(last, str) else _taken(data, outer)


def _held(text: str, wanted: Data) -> str:
    """The text, once it is seen to say what it is to say.  Raises InternalError."""
    if not _same(_data(text), wanted):
        raise InternalError(
            "the job's text would have changed in more than one place",
            where=LABEL,
            try_="Change the key in the file itself.",
        )
    return text


def _same(one: Any, other: Any) -> bool:
    """Whether two say the same; what is no number is equal to itself here."""
    if isinstance(one, dict) and isinstance(other, dict):
        return one.keys() == other.keys() and all(_same(one[key], other[key]) for key in one)
    if isinstance(one, list) and isinstance(other, list):
        return len(one) == len(other) and all(map(_same, one, other))
    return bool(one == other) or (one != one and other != other)  # noqa: PLR0124


def _alike(one: Any, other: Any) -> bool:
    if isinstance(one, list) and isinstance(other, list) and len(one) == len(other):
        return all(_alike(a, b) for a, b in zip(one, other, strict=True))
    return type(one) is type(other) and one == other


def _with_line_ends(changed: str, text: str) -> str:
    """The text with the line ends that it had; a last line without one may have been given one."""
    if _line_end(text) == "\n" or _LONE.search(text):
        return changed
    return _LONE.sub("\r\n", changed)


def _line_end(text: str) -> str:
    return "\r\n" if "\r\n" in text else "\n"
