"""Small files outside of every job's folder, which tell by a mark that they are ours.

None is ever put over, or removed, that somebody else has made.
"""

from __future__ import annotations

import contextlib
import os
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from mouldgen.errors import SurroundingsError
from mouldgen.files.folder import beside

MARK = "made by mouldgen shortcut"  # every such file has it in a remark
_MOST = 100_000  # ours are far smaller, so nothing larger is read


@dataclass(frozen=True, eq=False)
class OwnFile:
    """A file to be put somewhere.

    path : its place.
    text : what it holds, the mark in it; written in UTF-8.
    runs : whether the system may start it as a program.
    """

    path: Path
    text: str
    runs: bool = False


def put_own(files: Sequence[OwnFile]) -> None:
    """Write the files, each whole or not at all, and the folders that they lie in.

    files : in the order of writing; what others need comes before them.

    Raises SurroundingsError, before anything is written, where one of the places is taken by what
    is not ours; and where the system refuses to write.
    """
    for file in files:
        if os.path.lexists(file.path) and not is_own(file.path):
            raise SurroundingsError(
                "is there already and not made by mouldgen, so it stays as it is",
                where=str(file.path),
                try_="Move it away or give it another name, then try again.",
            )
    for file in files:
        with _told(file.path, "written"):
            file.path.parent.mkdir(parents=True, exist_ok=True)
            _put(file)


def remove_own(paths: Sequence[Path]) -> tuple[tuple[Path, ...], tuple[Path, ...]]:
    """Remove those of the files that are there.

    paths : where they may be.

    Returns the paths removed, and those left alone because somebody else has made them.  Raises
    SurroundingsError where the system refuses.
    """
    there = [path for path in paths if os.path.lexists(path)]
    ours = tuple(path for path in there if is_own(path))
    for path in ours:
        with _told(path, "removed"):
            path.unlink()
    return ours, tuple(path for path in there if path not in ours)


def is_own(path: Path) -> bool:
    """Whether a file has our mark.

    path : of anything.
    """
    try:
        return (
            path.is_file() and path.stat().st_size <= _MOST and MARK.encode() in path.read_bytes()
        )
    except OSError:  # what cannot be read cannot be told to be ours
        return False


def _put(file: OwnFile) -> None:
    fresh = beside(file.path)
    try:
        fresh.write_bytes(file.text.encode("utf-8"))
        if file.runs:
            fresh.chmod(0o755)
        fresh.replace(file.path)
    finally:
        with contextlib.suppress(OSError):
            fresh.unlink(missing_ok=True)


@contextlib.contextmanager
def _told(path: Path, done: str) -> Iterator[None]:
    try:
        yield
    except OSError as problem:
        raise SurroundingsError(
            f"cannot be {done}: {problem.strerror or problem}",
            where=str(path),
            try_="Check the disk's free space and your rights there.",
        ) from problem
