"""Opening the castings file: is it one, is it sound, is it of this mouldgen's version.

An older file is copied first and then brought up to date; a newer one is refused.  It is kept
with a write-ahead log and flushed to the disk at every commit, so that a process or a machine that
stops at any moment loses nothing that was reported as written.
"""

from __future__ import annotations

import sqlite3
import time
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

from peewee import OperationalError, SqliteDatabase

from mouldgen.castings.migrations import MIGRATIONS, Step
from mouldgen.castings.troubles import damaged, error_code, not_ours, read_only
from mouldgen.errors import CastingsError, InternalError, SurroundingsError

APPLICATION_ID = int.from_bytes(b"cast", "big")  # tells our file from other programs' databases
WAIT_S = 20.0  # for another process that is writing
OLDEST_SQLITE = (3, 37)  # strict tables


def open_to_write(
    path: Path, *, steps: Sequence[Step] = MIGRATIONS, wait_s: float = WAIT_S
) -> SqliteDatabase:
    """The file, made where it is not there, sound and of the newest version.

    path : of the file; its folder must be there.
    steps : that make the newest version.
    wait_s : how long to wait for another process that is writing [s].

    Raises CastingsError for a file that is none, damaged or newer, SurroundingsError for a folder
    that is not there; what the database raises is for the caller to tell.
    """
    _require_sqlite()
    if not path.parent.is_dir():
        raise SurroundingsError(
            "there is no such folder", where=str(path.parent), try_="Make it, or name another."
        )
    _require_file(path)
    db = _connected(f"{_uri(path)}?mode=rwc", wait_s)
    try:
        _bring_up(db, path, steps, wait_s)
        _require_sound(db, path)
        db.execute_sql("PRAGMA foreign_keys = ON")
    except BaseException:
        db.close()
        raise
    return db


def open_to_read(
    path: Path, *, steps: Sequence[Step] = MIGRATIONS, wait_s: float = WAIT_S
) -> SqliteDatabase:
    """The file to read; of a folder that may not be written too.

    path : of the file, which is there.
    steps, wait_s : as `open_to_write` takes them.

    Raises what `open_to_write` raises.
    """
    try:
        db = open_to_write(path, steps=steps, wait_s=wait_s)
        try:
            db.execute_sql("SELECT 1 FROM loads LIMIT 1").fetchone()  # what a log beside it refuses
        except BaseException:
            db.close()
            raise
    except OperationalError as problem:
        if error_code(problem) not in {sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN}:
            raise
        return _open_unchanging(path, steps)
    return db


def version_of(db: SqliteDatabase) -> int:
    """How many steps a file has been through."""
    return int(_pragma(db, "user_version"))


def _open_unchanging(path: Path, steps: Sequence[Step]) -> SqliteDatabase:
    """A file that may not be written, read as it lies: no log beside it may hold newer rows."""
    log = path.with_name(f"{path.name}-wal")
    if log.exists() and log.stat().st_size:
        raise read_only(path)
    db = _connected(f"{_uri(path)}?mode=ro&immutable=1", 0.0)
    try:
        if _version(db, path, steps) != len(steps):
            raise read_only(path)
        _require_sound(db, path)
    except BaseException:
        db.close()
        raise
    return db


def _connected(uri: str, wait_s: float) -> SqliteDatabase:
    db = SqliteDatabase(uri, timeout=wait_s, uri=True)
    db.connect()
    return db


def _uri(path: Path) -> str:
    return path.resolve().as_uri()


def _require_sqlite() -> None:
    if sqlite3.sqlite_version_info[:2] < OLDEST_SQLITE:
        raise SurroundingsError(
            f"this Python brings SQLite {sqlite3.sqlite_version}, and the castings file needs 3.37",
            try_="Take a newer Python.",
        )


def _require_file(path: Path) -> None:
    """What the database would tell less plainly.

    The first bytes are left to the database: a program that opens and closes the file beside it
    lets go of all locks that it holds there itself, by the rules of POSIX.
    """
    if path.is_dir():
        raise CastingsError("is a folder", where=str(path), allowed="a castings file")


def _require_sound(db: SqliteDatabase, path: Path) -> None:
    if _pragma(db, "quick_check(1)") != "ok":
        raise damaged(path)


def _bring_up(db: SqliteDatabase, path: Path, steps: Sequence[Step], wait_s: float) -> None:
    """Make the tables, or run the steps that an older file has not been through."""
    # What was committed is on the disk; a full flush costs some ms a command.
    db.execute_sql("PRAGMA synchronous = FULL")
    version = _version(db, path, steps)
    if version < len(steps):
        if version:
            copy_to(path, _free_name(path, version))
        with db.atomic("IMMEDIATE"):
            version = _version(db, path, steps)  # another process may have been quicker
            for step in steps[version:]:
                for statement in step:
                    db.execute_sql(statement)
            if db.execute_sql("PRAGMA foreign_key_check").fetchone() is not None:
                raise InternalError("a step to a newer castings file leaves rows without a load")
            db.execute_sql(f"PRAGMA application_id = {APPLICATION_ID}")
            db.execute_sql(f"PRAGMA user_version = {len(steps)}")
    if _pragma(db, "journal_mode") != "wal":
        # Nobody waits for this by themselves: two that make the file at once would collide.
        _patiently(lambda: db.execute_sql("PRAGMA journal_mode = WAL").fetchone(), wait_s)


def _patiently(work: Callable[[], Any], wait_s: float) -> None:
    end = time.monotonic() + wait_s
    while True:
        try:
            work()
        except OperationalError as problem:
            busy = error_code(problem) in {sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED}
            if not busy or time.monotonic() > end:
                raise
            time.sleep(0.01)
        else:
            return


def _version(db: SqliteDatabase, path: Path, steps: Sequence[Step]) -> int:
    """The version of a file of ours; 0 for an empty one."""
    version = version_of(db)
    tables = db.execute_sql("SELECT count(*) FROM sqlite_schema").fetchone()[0]
    # Last: all of it appears at once where another process makes the file just now.
    owner = int(_pragma(db, "application_id"))
    if owner != APPLICATION_ID and (owner or version or tables):
        raise not_ours(path)
    if version > len(steps):
        raise CastingsError(
            f"was made by a newer mouldgen: it is version {version}, and this one knows"
            f" {len(steps)}",
            where=str(path),
            try_="Take the newer mouldgen, or let it write the rows with mouldgen log save.",
        )
    return version


def _free_name(path: Path, version: int) -> Path:
    """A name beside the file for a copy of its old version that no file has yet."""
    for number in range(1, 1000):
        end = f"-version-{version}" + (f"-{number}" if number > 1 else "")
        copy = path.with_name(f"{path.stem}{end}{path.suffix}")
        if not copy.exists():
            return copy
    raise SurroundingsError("there are a thousand copies of it already", where=str(path))


def copy_to(path: Path, copy: Path) -> None:
    """A copy of the whole file as it is committed now, all of it or nothing.

    path : of the file.
    copy : of the copy, which must not be there yet.

    What the database raises is for the caller to tell.
    """
    fresh = copy.with_name(f".{copy.name}.part")
    try:
        fresh.unlink(missing_ok=True)
        source, target = sqlite3.connect(path), sqlite3.connect(fresh)
        try:
            source.backup(target)
            # One file, with no log beside it, is what one puts on a stick.
            target.execute("PRAGMA journal_mode = DELETE")
        finally:
            source.close()
            target.close()
        fresh.rename(copy)
    finally:
        fresh.unlink(missing_ok=True)


def _pragma(db: SqliteDatabase, name: str) -> Any:
    return db.execute_sql(f"PRAGMA {name}").fetchone()[0]
