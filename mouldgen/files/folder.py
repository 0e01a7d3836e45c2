"""A folder that is either the old one or the new one, never half of each.

Everything is written to a sibling folder under a lock and moved into place at the end; a run
that fails leaves what was there.  What the maker put into the old folder goes along.
"""

from __future__ import annotations

import contextlib
import os
import shutil
from collections.abc import Callable, Collection, Iterator, Mapping
from pathlib import Path
from typing import IO

from mouldgen.errors import SurroundingsError


def replace_folder(
    target: Path,
    contents: Mapping[str, bytes],
    *,
    made: Callable[[Path], Collection[str]] | None = None,
) -> None:
    """Put a folder in place with these contents and what others put there, and nothing else.

    target : the folder; its parent is made where it is not there.
    contents : bytes by path relative to the folder, with forward slashes.
    made : paths in the folder that is there, which an earlier run made and that therefore go;
        without it everything goes.

    Raises SurroundingsError where the folder cannot be written or another run holds its lock.
    """
    with told_of(target):
        target.parent.mkdir(parents=True, exist_ok=True)
        if target.exists() and not target.is_dir():
            raise SurroundingsError(
                "is a file where a folder should go",
                where=str(target),
                try_="Move it away, or give another --out folder.",
            )
        with locked(target):
            clear_leftovers(target)
            fresh = beside(target)
            try:
                fresh.mkdir()
                _fill(fresh, contents)
                if made is not None and target.exists():
                    _carry_over(target, fresh, without=made(target))
                _swap(fresh, target)
            finally:
                shutil.rmtree(fresh, ignore_errors=True)


@contextlib.contextmanager
def told_of(path: Path) -> Iterator[None]:
    """Tell in a maker's words what the system refuses while a path is written.

    path : that is named.

    Raises SurroundingsError.
    """
    try:
        yield
    except SurroundingsError:
        raise
    except OSError as error:
        in_the_way = next(
            (at for at in path.parents if os.path.lexists(at) and not at.is_dir()), None
        )
        if in_the_way is not None:
            what = "a link that leads nowhere" if in_the_way.is_symlink() else "a file"
            raise SurroundingsError(
                f"is {what} where a folder should go",
                where=str(in_the_way),
                try_="Move it away, or give another --out folder.",
            ) from error
        raise SurroundingsError(
            f"cannot be written: {error.strerror or error}",
            where=str(path),
            try_="Check the disk's free space and your rights there, or give another --out folder.",
        ) from error


def _fill(folder: Path, contents: Mapping[str, bytes]) -> None:
    for name, data in contents.items():
        path = folder.joinpath(*name.split("/"))
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)


def _carry_over(folder: Path, fresh: Path, *, without: Collection[str]) -> None:
    """Give the fresh folder the files that it does not have, but for those named."""
    for path in _files(folder):
        name = path.relative_to(folder)
        there = fresh / name
        if name.as_posix() in without or os.path.lexists(there) or _unfinished(path):
            continue
        there.parent.mkdir(parents=True, exist_ok=True)
        try:
            os.link(path, there, follow_symlinks=False)  # takes neither time nor room
        except OSError:  # not every file system has links
            shutil.copy2(path, there, follow_symlinks=False)


def _unfinished(path: Path) -> bool:
    """Whether a killed run left this file of its own."""
    return path.name.startswith(".") and path.name.endswith(".new")


def _files(folder: Path) -> Iterator[Path]:
    """Everything below a folder that is no folder; a link to one is not followed."""
    for place, folders, files in os.walk(folder, onerror=_not_passed_over):
        for name in (*files, *folders):
            path = Path(place, name)
            if path.is_symlink() or not path.is_dir():
                yield path


def _not_passed_over(error: OSError) -> None:
    raise error


def _swap(fresh: Path, target: Path) -> None:
    """Two renames: an interruption between them leaves the old folder beside the target."""
    if not target.exists():
        fresh.rename(target)
        return
    aside = target.parent / f".{target.name}.old"
    try:
        target.rename(aside)
        fresh.rename(target)
    except BaseException:  # Ctrl-C too, which comes after any line
        if not target.exists():
            aside.rename(target)
        raise
    shutil.rmtree(aside, ignore_errors=True)


def beside(path: Path) -> Path:
    """Where a file or folder is made before it is moved into place; the lock keeps others off."""
    return path.with_name(f".{path.name}.new")


def clear_leftovers(target: Path) -> None:
    """What a killed run left: bring the old folder back if it was set aside, drop the rest.

    target : the folder, under its lock.
    """
    aside = target.parent / f".{target.name}.old"
    if aside.exists():
        if target.exists():
            shutil.rmtree(aside, ignore_errors=True)
        else:
            aside.rename(target)
    shutil.rmtree(beside(target), ignore_errors=True)


@contextlib.contextmanager
def locked(target: Path) -> Iterator[None]:
    """A folder's lock, which the system itself releases when its process ends, however it ends.

    target : the folder; its parent is there.

    Raises SurroundingsError where another run holds the lock.
    """
    with (target.parent / f".{target.name}.lock").open("a+b") as handle:
        try:
            _take(handle)
        except OSError:
            raise SurroundingsError(
                "is being written by another run",
                where=str(target),
                try_="Wait until it has finished, or give another --out folder.",
            ) from None
        yield
    # The lock file stays: removing it would let two runs lock two different files.


def _take(handle: IO[bytes]) -> None:
    if os.name == "nt":  # pragma: no cover - not run on this system
        import msvcrt

        msvcrt.locking(handle.fileno(), msvcrt.LK_NBLCK, 1)  # type: ignore[attr-defined]
    else:
        import fcntl

        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
