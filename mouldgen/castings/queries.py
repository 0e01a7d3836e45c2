"""Reading whole loads, and writing single rows with what undoing needs."""

from __future__ import annotations

from peewee import SqliteDatabase

from mouldgen.castings.journal import Changes
from mouldgen.castings.records import Load
from mouldgen.castings.tables import (
    CASTING_ID,
    CASTING_LOAD_ID,
    CASTINGS,
    LOAD_ID,
    LOADS,
    RESULT_CASTING_ID,
    RESULTS,
    Row,
    loads_of,
)


def all_loads(db: SqliteDatabase) -> tuple[Load, ...]:
    """All loads in the order in which they were written down."""
    return loads_of(
        LOADS.select().order_by(LOAD_ID).dicts().execute(db),
        CASTINGS.select().dicts().execute(db),
        RESULTS.select().dicts().execute(db),
    )


def one_load(db: SqliteDatabase, load_id: int) -> Load:
    """The load of a number, which is there."""
    mine = load_id == CASTING_LOAD_ID
    ids = CASTINGS.select(CASTING_ID).where(mine)
    return loads_of(
        LOADS.select().where(load_id == LOAD_ID).dicts().execute(db),
        CASTINGS.select().where(mine).dicts().execute(db),
        RESULTS.select().where(RESULT_CASTING_ID.in_(ids)).dicts().execute(db),
    )[0]


def insert_load(db: SqliteDatabase, changes: Changes, row: Row) -> int:
    """Write a load and say its number.

    row : its columns; without ``id`` it gets the next number.
    """
    load_id = int(LOADS.insert(row).execute(db))
    changes.before("loads", load_id, None)
    return load_id


def insert_casting(db: SqliteDatabase, changes: Changes, row: Row) -> int:
    """Write a casting and say its id.

    row : its columns; without ``id`` it gets the next one.
    """
    casting_id = int(CASTINGS.insert(row).execute(db))
    changes.before("castings", casting_id, None)
    return casting_id


def put_result(db: SqliteDatabase, changes: Changes, row: Row) -> None:
    """Write a result in the place of what was said before.

    row : its columns.
    """
    mine = row["casting_id"] == RESULT_CASTING_ID
    before = next(iter(RESULTS.select().where(mine).dicts().execute(db)), None)
    changes.before("results", row["casting_id"], None if before is None else dict(before))
    RESULTS.delete().where(mine).execute(db)
    RESULTS.insert(row).execute(db)
