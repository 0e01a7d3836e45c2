"""Taking loads of another file in: new ones are added, known ones get the results they lack."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from peewee import SqliteDatabase

from mouldgen.castings.journal import Changes
from mouldgen.castings.queries import all_loads, insert_casting, insert_load, put_result
from mouldgen.castings.records import Load
from mouldgen.castings.tables import (
    CASTING_ID,
    CASTINGS,
    LOAD_ID,
    LOADS,
    casting_row,
    result_row,
)
from mouldgen.errors import CastingsError


@dataclass(frozen=True, eq=False)
class Taken:
    """What came of rows that were read in.

    loads : new ones, with the numbers that they have now.
    renumbered : those whose number was taken: as it was written, and as it is now.
    results : castings of loads that were there already and have a result now.
    there : loads that were there already, all of them the same.
    """

    loads: tuple[int, ...]
    renumbered: tuple[tuple[int, int], ...]
    results: int
    there: int


def take_loads(db: SqliteDatabase, changes: Changes, loads: Sequence[Load], *, name: str) -> Taken:
    """Write them, within a transaction of the caller's.

    loads : of another file.
    name : of that file, for messages.

    A load is known again by job, number and the moment of its pour.

    Raises CastingsError where the two files say different things of one load.
    """
    here = {_known_by(load): load for load in all_loads(db)}
    new: list[int] = []
    renumbered: list[tuple[int, int]] = []
    results = there = 0
    for load in loads:
        mine = here.get(_known_by(load))
        if mine is None:
            load_id = _take_load(db, changes, load)
            new.append(load_id)
            if load_id != load.id:
                renumbered.append((load.id, load_id))
            continue
        added = _take_results(db, changes, mine, load, name=name)
        results += added
        there += not added
    return Taken(tuple(new), tuple(renumbered), results, there)


def _known_by(load: Load) -> tuple[str, int, str]:
    return load.job, load.number, load.poured_at


def _take_load(db: SqliteDatabase, changes: Changes, load: Load) -> int:
    """Write a load of another file; it keeps its numbers where they are free."""
    row = {
        "job": load.job,
        "number": load.number,
        "poured_at": load.poured_at,
        "poured": load.poured,
        "note": load.note,
        "mixed_g": load.mixed_g,
        "left_g": load.left_g,
    }
    if not LOADS.select().where(load.id == LOAD_ID).exists(db):
        row["id"] = load.id
    load_id = insert_load(db, changes, row)
    for casting in load.castings:
        own = casting_row(casting, load_id=load_id)
        if not CASTINGS.select().where(casting.id == CASTING_ID).exists(db):
            own["id"] = casting.id
        casting_id = insert_casting(db, changes, own)
        if casting.result is not None:
            result = casting.result
            row_of = result_row(result, casting_id=casting_id, noted_at=result.noted_at)
            put_result(db, changes, row_of)
    return load_id


def _take_results(
    db: SqliteDatabase, changes: Changes, here: Load, there: Load, *, name: str
) -> int:
    """Give castings that are open here the results of another file; how many there were."""
    clash = CastingsError(
        f"load {there.id} is load {here.id} here, and the two do not say the same of it",
        where=name,
        try_="Nothing was taken in. Put right the one that is wrong, or leave that load out.",
    )
    mine = {casting.number: casting for casting in here.castings}
    if mine.keys() != {casting.number for casting in there.castings}:
        raise clash
    added = 0
    for other in there.castings:
        own = mine[other.number]
        if casting_row(own, load_id=0) != casting_row(other, load_id=0):
            raise clash
        if other.result is None:
            continue
        row = result_row(other.result, casting_id=own.id, noted_at=other.result.noted_at)
        if own.result is None:
            put_result(db, changes, row)
            added += 1
        elif row != result_row(own.result, casting_id=own.id, noted_at=own.result.noted_at):
            raise clash
    return added
