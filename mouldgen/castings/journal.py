"""What undoing needs: for each command the rows that it changed, as they were before."""

from __future__ import annotations

import json
from typing import Any

from peewee import Column, SqliteDatabase, Table

from mouldgen.castings.tables import (
    CASTING_ID,
    CASTINGS,
    JOURNAL,
    JOURNAL_ID,
    LOAD_ID,
    LOADS,
    RESULT_CASTING_ID,
    RESULTS,
    Row,
    by_column,
)

_KEYS = {
    "loads": (LOADS, LOAD_ID),
    "castings": (CASTINGS, CASTING_ID),
    "results": (RESULTS, RESULT_CASTING_ID),
}


class Changes:
    """The rows that a command changes, gathered while it does so."""

    def __init__(self) -> None:
        self._changes: list[dict[str, Any]] = []

    def before(self, table: str, key: int, row: Row | None) -> None:
        """Keep a row as it is before it is written.

        table : its table's name.
        key : its primary key.
        row : all of its columns; None where there is none yet.
        """
        self._changes.append({"table": table, "key": key, "row": row})

    def write(self, db: SqliteDatabase, *, what: str) -> None:
        """Put them into the journal.

        what : was done, a clause such as ``the pour of load 12``.
        """
        row = {"what": what, "changes": json.dumps(self._changes)}
        JOURNAL.insert(row).execute(db)


def take_back(db: SqliteDatabase) -> str | None:
    """Undo the last command of the journal and strike it out; None for an empty journal."""
    entry = JOURNAL.select().order_by(JOURNAL_ID.desc()).limit(1).dicts().execute(db)
    last = next(iter(entry), None)
    if last is None:
        return None
    for change in reversed(json.loads(last["changes"])):
        table, key = _KEYS[change["table"]]
        _put_back(db, table, key, change)
    JOURNAL.delete().where(last["id"] == JOURNAL_ID).execute(db)
    return str(last["what"])


def _put_back(db: SqliteDatabase, table: Table, key: Column, change: dict[str, Any]) -> None:
    mine = key == change["key"]
    if change["row"] is None:
        table.delete().where(mine).execute(db)
    elif not table.update(by_column(table, change["row"])).where(mine).execute(db):
        table.insert(change["row"]).execute(db)
