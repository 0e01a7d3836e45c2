"""The castings file: what was poured, what was found, taking back, and copies.

Every method is one transaction.  A file that is not there reads as empty and is made by the first
pour that is written.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import closing, contextmanager
from pathlib import Path

from peewee import SqliteDatabase

from mouldgen.castings.drafts import LoadDraft, ResultDraft
from mouldgen.castings.journal import Changes, take_back
from mouldgen.castings.migrations import MIGRATIONS, Step
from mouldgen.castings.opening import WAIT_S, copy_to, open_to_read, open_to_write
from mouldgen.castings.queries import all_loads, insert_casting, insert_load, one_load, put_result
from mouldgen.castings.records import Casting, Load
from mouldgen.castings.tables import LOAD_ID, LOADS, Row, by_column, casting_row, result_row
from mouldgen.castings.taking import Taken, take_loads
from mouldgen.castings.troubles import told_plainly
from mouldgen.errors import CastingsError, SurroundingsError, UsageError


class CastingsFile:
    """The file at one place; made by `castings_file`."""

    def __init__(self, path: Path, *, steps: Sequence[Step], wait_s: float) -> None:
        self.path = path
        self._steps = steps
        self._wait_s = wait_s
        self._db: SqliteDatabase | None = None
        self._writes = False

    def close(self) -> None:
        """Let the file go."""
        if self._db is not None:
            self._db.close()
            self._db = None

    # -- reading ---------------------------------------------------------------------------

    def loads(self, *, open_only: bool = False) -> tuple[Load, ...]:
        """All loads in the order in which they were written down; none where there is no file.

        open_only : only those with a casting that has no result yet.

        Raises CastingsError and SurroundingsError where the file cannot be read.
        """
        with told_plainly(self.path):
            db = self._reading()
            if db is None:
                return ()
            with db.atomic("DEFERRED"):  # three queries of one moment
                found = all_loads(db)
        return tuple(load for load in found if load.open or not open_only)

    def load(self, load_id: int) -> Load:
        """One load.  Raises CastingsError where there is none of that number."""
        for load in self.loads():
            if load.id == load_id:
                return load
        raise self._no_load(load_id)

    def castings(self, *, finished_only: bool = False) -> tuple[Casting, ...]:
        """All castings, load by load.

        finished_only : only those with a result.
        """
        return tuple(
            casting
            for load in self.loads()
            for casting in load.castings
            if casting.result is not None or not finished_only
        )

    # -- writing ---------------------------------------------------------------------------

    def pour(self, draft: LoadDraft) -> Load:
        """Write a load down.

        draft : with its castings.

        Raises CastingsError for a value that the file does not take, SurroundingsError where it
        cannot be written.
        """
        with self._change() as (db, changes):
            row = {
                "job": draft.job,
                "number": draft.number,
                "poured_at": draft.poured_at,
                "poured": 1,
                "note": draft.note,
                "mixed_g": draft.mixed_g,
                "left_g": draft.left_g,
            }
            load_id = insert_load(db, changes, row)
            for casting in draft.castings:
                insert_casting(db, changes, casting_row(casting, load_id=load_id))
            changes.write(db, what=f"the pour of load {load_id} ({draft.job}:{draft.number})")
            return one_load(db, load_id)

    def pour_again(self, load_id: int, *, note: str) -> Load:
        """Note a later pour of a load.

        load_id : of the load.
        note : put behind the note that is there.

        Raises CastingsError where there is no such load, and what `pour` raises.
        """
        with self._change() as (db, changes):
            row = self._row(db, load_id)
            changes.before("loads", load_id, row)
            poured, both = row["poured"] + 1, "; ".join(filter(None, (row["note"], note)))
            LOADS.update(by_column(LOADS, {"poured": poured, "note": both})).where(
                load_id == LOAD_ID
            ).execute(db)
            changes.write(db, what=f"pour {poured} of load {load_id} ({row['job']})")
            return one_load(db, load_id)

    def result(
        self, load_id: int, drafts: Sequence[ResultDraft], *, noted_at: str, note: str = ""
    ) -> Load:
        """Write down what was found; what was said of the same castings before is replaced.

        load_id : of the load.
        drafts : of some of its castings or all.
        noted_at : now, ISO 8601 with its offset.
        note : put behind the load's note.

        Raises CastingsError where there is no such load or casting, and what `pour` raises.
        """
        with self._change() as (db, changes):
            row = self._row(db, load_id)
            load = one_load(db, load_id)
            ids = {casting.number: casting.id for casting in load.castings}
            for draft in drafts:
                if draft.number not in ids:
                    raise CastingsError(f"load {load_id} has no casting {draft.number}")
                put_result(
                    db,
                    changes,
                    result_row(draft, casting_id=ids[draft.number], noted_at=noted_at),
                )
            if note:
                changes.before("loads", load_id, row)
                both = "; ".join(filter(None, (row["note"], note)))
                new = by_column(LOADS, {"note": both})
                LOADS.update(new).where(load_id == LOAD_ID).execute(db)
            changes.write(db, what=f"the result of load {load_id} ({load.job}:{load.number})")
            return one_load(db, load_id)

    def take(self, loads: Sequence[Load], *, name: str) -> Taken:
        """Write loads from another file into this one, all of them or none.

        loads : as `mouldgen.castings.transfer` reads them.
        name : of the file that they are from, for the journal and for messages.

        A load is known again by job, number and the moment of its pour.  One that is here already
        gets the results that it has there and not here.

        Raises CastingsError where the two files say different things of one load.
        """
        with self._change() as (db, changes):
            taken = take_loads(db, changes, loads, name=name)
            if taken.loads or taken.results:
                changes.write(db, what=f"what was taken in from {name}")
            return taken

    def export_csv(self) -> str:
        """All rows as CSV, a line a casting."""
        from mouldgen.castings.transfer import to_csv

        return to_csv(self.loads())

    def export_json(self) -> str:
        """All rows as one JSON object."""
        from mouldgen.castings.transfer import to_json

        return to_json(self.loads())

    def import_csv(self, text: str, *, name: str) -> Taken:
        """Take in what `export_csv` wrote, all of it or nothing.

        text : of the file.
        name : of it, for messages.

        Raises CastingsError with line and column of what cannot be used, and what `take` raises.
        """
        from mouldgen.castings.transfer import from_csv

        return self.take(from_csv(text, name=name), name=name)

    def import_json(self, text: str, *, name: str) -> Taken:
        """Take in what `export_json` wrote, all of it or nothing.

        text : of the file.
        name : of it, for messages.

        Raises CastingsError with the place of what cannot be used, and what `take` raises.
        """
        from mouldgen.castings.transfer import from_json

        return self.take(from_json(text, name=name), name=name)

    def undo(self) -> str | None:
        """Take the last command back and say what it was; None where there is nothing to undo.

        Called again it goes further back.
        """
        if not self.path.exists():
            return None
        with self._change() as (db, _):
            return take_back(db)

    def backup(self, copy: Path) -> None:
        """Copy the whole file, also while others write to it.

        copy : a file that is not there yet.

        Raises UsageError where it is there or there is nothing to copy, SurroundingsError where
        the copy cannot be written.
        """
        if copy.exists():
            raise UsageError(
                "there is a file of this name already, and it is never written over",
                where=str(copy),
                try_="Take another name.",
            )
        with told_plainly(self.path):
            if self._reading() is None:
                raise UsageError("there is no castings file to copy yet", where=str(self.path))
        try:
            with told_plainly(copy):
                copy_to(self.path, copy)
        except OSError as problem:
            if isinstance(problem, SurroundingsError):
                raise
            raise SurroundingsError(
                f"the copy cannot be written ({problem.strerror or problem})", where=str(copy)
            ) from problem

    # -- inside ----------------------------------------------------------------------------

    def _reading(self) -> SqliteDatabase | None:
        if self._db is None:
            if not self.path.exists():
                return None
            self._db = open_to_read(self.path, steps=self._steps, wait_s=self._wait_s)
        return self._db

    def _writing(self) -> SqliteDatabase:
        if self._db is None or not self._writes:
            self.close()  # what was opened to read may be unable to write
            self._db = open_to_write(self.path, steps=self._steps, wait_s=self._wait_s)
            self._writes = True
        return self._db

    @contextmanager
    def _change(self) -> Iterator[tuple[SqliteDatabase, Changes]]:
        """One transaction, begun as a writer: it waits for others and then never has to give up."""
        with told_plainly(self.path):
            db = self._writing()
            with db.atomic("IMMEDIATE"):
                yield db, Changes()

    def _row(self, db: SqliteDatabase, load_id: int) -> Row:
        rows = LOADS.select().where(load_id == LOAD_ID).dicts().execute(db)
        row = next(iter(rows), None)
        if row is None:
            raise self._no_load(load_id)
        return dict(row)

    def _no_load(self, load_id: int) -> CastingsError:
        there = [load.id for load in self.loads()]
        return CastingsError(
            f"there is no load {load_id}",
            where=str(self.path),
            allowed=f"one of those that mouldgen log list shows, the last is {there[-1]}"
            if there
            else "",
            try_="" if there else "Nothing is logged yet: mouldgen log pour JOB begins it.",
        )


@contextmanager
def castings_file(
    path: Path, *, steps: Sequence[Step] = MIGRATIONS, wait_s: float = WAIT_S
) -> Iterator[CastingsFile]:
    """The castings file at a place, opened when it is first used and let go at the end.

    path : of the file, which need not be there yet.
    steps : that make the newest version of its tables.
    wait_s : how long to wait for another process that is writing [s].
    """
    with closing(CastingsFile(path, steps=steps, wait_s=wait_s)) as file:
        yield file
