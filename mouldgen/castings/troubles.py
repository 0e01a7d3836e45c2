"""What goes wrong with the castings file, in plain words."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from peewee import PeeweeException

from mouldgen.errors import CastingsError, MouldgenError, SurroundingsError

RESTORE = (
    "It is left as it is. Put the last copy that mouldgen log copy made in its place, or begin a"
    " new file and take in what mouldgen log save wrote."
)


@contextmanager
def told_plainly(path: Path) -> Iterator[None]:
    """What the database says of a file, as an error for people.

    path : of the castings file.

    Raises CastingsError for what is wrong with the file, SurroundingsError for what is wrong
    round it.
    """
    try:
        yield
    except (UnicodeDecodeError, json.JSONDecodeError) as problem:  # of what was text once
        raise damaged(path) from problem
    except (PeeweeException, sqlite3.Error) as problem:
        raise plain_error(_cause(problem), path) from problem


def plain_error(problem: Exception, path: Path) -> MouldgenError:
    """The error for people that stands for one of the database.

    problem : as peewee or sqlite3 raised it.
    path : of the castings file.
    """
    where = str(path)
    if "decode" in _said(problem):  # a text that is none
        return damaged(path)
    match error_code(problem):
        case sqlite3.SQLITE_NOTADB:
            return not_ours(path)
        case sqlite3.SQLITE_CORRUPT:
            return damaged(path)
        case sqlite3.SQLITE_FULL:
            return SurroundingsError(
                "the disk is full, so nothing was written",
                where=where,
                try_="Make room and log it again; what was logged before is all there.",
            )
        case sqlite3.SQLITE_BUSY | sqlite3.SQLITE_LOCKED:
            return SurroundingsError(
                "another program is writing to it and does not let go, so nothing was written",
                where=where,
                try_="Close what has the file open, and log it again.",
            )
        case sqlite3.SQLITE_READONLY | sqlite3.SQLITE_CANTOPEN | sqlite3.SQLITE_PERM:
            return read_only(path)
        case sqlite3.SQLITE_CONSTRAINT:
            return CastingsError(f"a value that it does not take ({_said(problem)})", where=where)
        case _:
            return SurroundingsError(
                f"the system refused to read or write it ({_said(problem)})",
                where=where,
                try_="Check the disk's free space and your rights there; what was logged before is"
                " all there.",
            )


def _cause(problem: BaseException) -> Exception:
    """What went wrong first: a full disk ends the transaction, which then cannot be taken back."""
    first = problem
    while first.__context__ is not None:
        first = first.__context__
    known = isinstance(first, (PeeweeException, sqlite3.Error))
    found = first if known else problem
    if not isinstance(found, Exception):
        raise found
    return found


def error_code(problem: Exception) -> int:
    """SQLite's primary code of an error; 0 where it has none."""
    source = getattr(problem, "orig", problem)  # peewee keeps what it was told
    return int(getattr(source, "sqlite_errorcode", 0)) & 0xFF


def not_ours(path: Path) -> CastingsError:
    """The error for a file that is something else."""
    return CastingsError(
        "is not a castings file",
        where=str(path),
        allowed="a file that mouldgen log made",
        try_="Name another one with --castings; a CSV or JSON file is taken in with mouldgen log"
        " read.",
    )


def damaged(path: Path) -> CastingsError:
    """The error for a file whose insides do not fit together."""
    return CastingsError("the file is damaged", where=str(path), try_=RESTORE)


def read_only(path: Path) -> SurroundingsError:
    """The error for a file that may not be written, or opened at all."""
    return SurroundingsError(
        "the file or its folder cannot be opened to write, so nothing was written",
        where=str(path),
        try_="Check your rights in that folder, or name another place with --castings.",
    )


def _said(problem: Exception) -> str:
    return " ".join(str(problem.args[-1] if problem.args else problem).split())
