"""Values of a TOML file put in, changed and taken out where they stand."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from tomlkit import TOMLDocument
    from tomlkit.items import Array, Item

Path = tuple[str | int, ...]

_MARK = "\N{ZERO WIDTH NO-BREAK SPACE}"  # that some editors begin a file with


def document(text: str) -> TOMLDocument:
    """A file as it is written, its comments and blanks included.

    text : valid TOML.
    """
    import tomlkit  # late: only an edit asks for it

    return tomlkit.parse(text.removeprefix(_MARK))


def text_of(doc: TOMLDocument, *, before: str) -> str:
    """A file as it is to be written, with the mark that it began with.

    doc : of `document`, changed since.
    before : the text that it was read from.
    """
    mark = _MARK if before.startswith(_MARK) else ""
    return mark + doc.as_string()


def shown_value(value: Any) -> str:
    """A value as it stands behind the sign of equality.

    value : text, a number, true or false, a day, or a list of them.
    """
    return _item(value, literal=False).as_string()


def put_value(
    doc: TOMLDocument, path: Path, key: str, value: Any, *, order: Sequence[str], line_end: str
) -> None:
    """Change a value where it stands, or put it into its table.

    doc : the file; it is changed.
    path : from the file to the table, which is there.
    key : of the value.
    value : as `shown_value` takes it.
    order : of the keys of such a table; a new one goes behind those before it.
    line_end : of a line.
    """
    table = _at(doc, path)
    if key not in table:
        _put(table, key, _item(value, literal=False), order=order, line_end=line_end)
        return
    old = table.item(key) if hasattr(table, "item") else table[key]
    if isinstance(old, list) and isinstance(value, list):
        _fill(old, value)  # what stands between its values stays
        return
    new = _item(value, literal=_is_literal(old))
    _keep_column(old, new)
    table[key] = new


def drop_value(doc: TOMLDocument, path: Path, key: str | int) -> bool:
    """Take a value, or a table, away; whether its table is left empty.

    doc : the file; it is changed.
    path : from the file to what holds the value.
    key : of the value, or its number in a list.
    """
    table = _at(doc, path)
    del table[key]
    return len(table) == 0


def push_table(doc: TOMLDocument, path: Path, values: dict[str, Any]) -> None:
    """One more table at the end of a list of tables that is written as an array.

    doc : the file; it is changed.
    path : from the file to the array.
    values : of the table.
    """
    import tomlkit

    table = tomlkit.inline_table()
    for key, value in values.items():
        table.append(key, _item(value, literal=False))
    _at(doc, path).append(table)


def _at(doc: Any, path: Path) -> Any:
    for step in path:
        doc = doc[step]
    return doc


def _put(table: Any, key: str, item: Item, *, order: Sequence[str], line_end: str) -> None:
    from tomlkit.container import Container
    from tomlkit.items import AoT, Table

    container = table.value if isinstance(table, Table) else table
    if not isinstance(container, Container):  # in one line, or in pieces
        table[key] = item
        return
    keyed = [(k, v) for k, v in container.body if k is not None]
    plain = [(k, v) for k, v in keyed if not isinstance(v, Table | AoT)]
    if not plain or any(k.is_dotted() for k, _ in keyed):
        table[key] = item
        return
    item.trivia.trail = line_end
    item.trivia.indent = plain[0][1].trivia.indent
    before = order[: order.index(key)]
    known = [k for k, _ in plain if k.key in before]
    # tomlkit offers no public way to say where a key goes; at the end it would stand below the
    # blank line before the next table.
    if known:
        container._insert_after(max(known, key=lambda k: before.index(k.key)), key, item)
    else:
        at = next(at for at, (k, _) in enumerate(container.body) if k is not None)
        container._insert_at(at, key, item)


def _fill(old: Any, value: list[Any]) -> None:
    """Make a list hold other values, leaving those that are the same."""
    literal = any(_is_literal(item) for item in old)
    for at, new in enumerate(value):
        if at >= len(old):
            old.append(_item(new, literal=literal))
        elif old[at] != new or isinstance(old[at], bool) != isinstance(new, bool):
            if isinstance(new, list) and isinstance(old[at], list):
                _fill(old[at], new)
            else:
                old[at] = _item(new, literal=literal)
    for _ in range(len(old) - len(value)):
        del old[len(old) - 1]


def _item(value: Any, *, literal: bool) -> Item:
    """A value as tomlkit has it.

    literal : whether text stands in single quotes; that with a double one always does.
    """
    import tomlkit

    if isinstance(value, str):
        plain = "'" not in value and value.isprintable()
        wanted = literal or '"' in value or "\\" in value
        return tomlkit.string(value, literal=wanted and plain)
    if isinstance(value, list):
        array: Array = tomlkit.array()
        for one in value:
            array.append(_item(one, literal=literal))
        return array
    if isinstance(value, dt.date):
        return tomlkit.date(value.isoformat())
    found: Item = tomlkit.item(value)
    return found


def _is_literal(item: Any) -> bool:
    from tomlkit.items import String

    return isinstance(item, String) and item.as_string().startswith("'")


def _keep_column(old: Any, new: Item) -> None:
    """Leave the comment behind a value in its column, where there is room."""
    trivia = getattr(old, "trivia", None)
    if trivia is None or not trivia.comment or "\t" in trivia.comment_ws:
        return
    shorter = len(old.as_string()) - len(new.as_string())
    new.trivia.comment_ws = " " * max(len(trivia.comment_ws) + shorter, 1)
