"""A line more in a text file that its maker keeps: every byte that was there stays."""

from __future__ import annotations

import contextlib
import os
import shutil
from collections.abc import Callable
from pathlib import Path

from mouldgen.errors import InputError, SurroundingsError
from mouldgen.files.folder import beside, locked

MOST_BYTES = 10_000_000


def read_text(path: Path) -> str:
    """A text file in UTF-8.

    path : of an ordinary file.

    Raises InputError for what is missing, a folder, too large or no text, SurroundingsError where
    the system refuses to read.
    """
    return _text(_bytes(path), path)


def append_line(path: Path, line: str, *, heading: str, check: Callable[[str], object]) -> None:
    """Put a line at the end of a file, under a lock, all of it or nothing.

    The new file is written beside the old one and moved into its place.

    path : the file; it is made, with the heading, where it is not there.
    line : without its end; it gets the kind of end that the file has.
    heading : first line of a new file.
    check : raises where the whole text, the new line with it, is not what the file should hold;
        nothing is written then.

    Raises what `check` and `read_text` raise, SurroundingsError where the file cannot be written.
    """
    place = path.resolve()  # a link stays a link
    try:
        with locked(place):
            there = _bytes(place) if os.path.lexists(place) else b""
            data = _with_line(there, line, heading)
            check(_text(data, path))
            _put(place, data)
    except SurroundingsError as problem:
        raise SurroundingsError(
            problem.what, where=str(path), try_="Wait a moment and try again."
        ) from None
    except OSError as problem:
        raise SurroundingsError(
            f"cannot be written: {problem.strerror or problem}",
            where=str(path),
            try_="Check the disk's free space and your rights there.",
        ) from problem


def _with_line(there: bytes, line: str, heading: str) -> bytes:
    end = b"\r\n" if b"\r\n" in there else b"\n"
    if not there.strip():
        there += heading.encode() + end
    elif not there.endswith((b"\n", b"\r")):
        there += end
    return there + line.encode() + end


def _put(path: Path, data: bytes) -> None:
    fresh = beside(path)
    try:
        with fresh.open("wb") as handle:
            handle.write(data)
            handle.flush()
            os.fsync(handle.fileno())
        if path.exists():
            shutil.copymode(path, fresh)
        fresh.replace(path)
    finally:
        with contextlib.suppress(OSError):
            fresh.unlink(missing_ok=True)


def _text(data: bytes, path: Path) -> str:
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError:
        raise InputError(
            "is no text in UTF-8", where=str(path), try_="Save it as CSV in UTF-8."
        ) from None


def _bytes(path: Path) -> bytes:
    where = str(path)
    try:
        if path.is_dir():
            raise InputError("is a folder", where=where, allowed="a text file")
        if not path.is_file():
            raise FileNotFoundError
        if path.stat().st_size > MOST_BYTES:
            raise InputError("is too large to be a log", where=where, allowed="at most 10 MB")
        return path.read_bytes()
    except (FileNotFoundError, NotADirectoryError):
        raise InputError("there is no such file", where=where, allowed="a text file") from None
    except OSError as problem:
        raise SurroundingsError(
            f"the file cannot be read ({problem.strerror or problem})", where=where
        ) from problem
