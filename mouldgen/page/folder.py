"""The folder that is served: which files it offers, and how one is read and written.

Nothing outside it is read or written, whatever a name says and wherever a link points.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import re
import stat
import threading
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from mouldgen.errors import JobError, SurroundingsError, UsageError
from mouldgen.files.alone import alone_in, fresh_beside
from mouldgen.files.new_file import move_new
from mouldgen.job.find import SHOP_FILE
from mouldgen.job.words import is_reserved, one_line
from mouldgen.page.problem import ConflictError, TooLargeError

MOST_TEXT_BYTES = 256_000
SCAN_ENDINGS = (".stl", ".3mf", ".obj", ".ply", ".off", ".glb")
_MOST_LISTED = 200
_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9 ()+,._-]{0,79}")
_JOB = re.compile(rb"^\s*format\s*=", re.MULTILINE)
_ALLOWED = "letters, digits, blanks and . - _ ( ) + ,"


@dataclass(frozen=True, eq=False)
class Opened:
    """A job file as it was read.

    name : of the file.
    text : what it says.
    stamp : tells whether it has changed since; empty for one that is in no folder.
    """

    name: str
    text: str
    stamp: str


class Folder:
    """A folder with job files.

    path : of it; it is there.
    """

    def __init__(self, path: Path) -> None:
        self.path = path.resolve()
        self._writing = threading.Lock()

    def names(self) -> list[str]:
        """The job files in it, sorted; what does not look like one is left out."""
        found: list[str] = []
        with contextlib.suppress(OSError):
            for path in sorted(self.path.glob("*.toml")):
                if path.name != SHOP_FILE and _plain(path.name, (".toml",)) and _is_job(path):
                    found.append(path.name)
                if len(found) == _MOST_LISTED:
                    break
        return found

    def open(self, name: str) -> Opened:
        """A job file of the folder.

        name : of the file, without a folder.

        Raises UsageError for what is no name, JobError for a file that is none or is not there,
        TooLargeError, SurroundingsError where the system refuses.
        """
        path = self._job(name)
        content = _read(path, name)
        try:
            return Opened(name, content.decode("utf-8-sig"), stamp_of(content))
        except UnicodeDecodeError:
            raise JobError(
                "the text is not UTF-8",
                where=name,
                allowed="text in UTF-8",
                try_="Save the file again with the encoding set to UTF-8.",
            ) from None

    def save(self, name: str, text: str, *, stamp: str, over: bool) -> str:
        """Write a job file, whole or not at all; the stamp that it has then.

        name : of the file, without a folder.
        text : all of it.
        stamp : of the file as the maker saw it; empty for a file that is new.
        over : write over whatever is there.

        Raises ConflictError where another file is there than the maker saw, UsageError for what
        is no name, TooLargeError, SurroundingsError where the system refuses or the file is
        protected against writing.
        """
        path = self._job(name)
        content = text.encode()
        if len(content) > MOST_TEXT_BYTES:
            raise _too_large(name)
        with self._alone(), _told(name):
            _require_writable(path)
            if over:
                _put(path, [content], over=True)
            else:
                _put(path, [content], over=bool(stamp), may=lambda: _require_seen(path, stamp))
        return stamp_of(content)

    def require_free(self, name: str) -> None:
        """Refuse a name that the file of a scan cannot take, before it is looked at.

        name : of the file, without a folder.

        Raises ConflictError where there is a file of that name, UsageError for what is no name.
        """
        if os.path.lexists(self._inside(name, SCAN_ENDINGS)):
            raise _there_already(name)

    def take_scan(self, name: str, pieces: Iterable[bytes]) -> int:
        """Write the file of a scan, never over another; how many bytes it has.

        name : of the file, without a folder.
        pieces : of it, one after the other.

        Raises ConflictError where there is a file of that name, UsageError for what is no name,
        SurroundingsError where the system refuses.
        """
        path = self._inside(name, SCAN_ENDINGS)
        with self._alone(), _told(name):
            if os.path.lexists(path):
                raise _there_already(name)
            return _put(path, pieces, over=False)

    @contextlib.contextmanager
    def _alone(self) -> Iterator[None]:
        """Between a look at a file and its writing no other page writes, of this server or not."""
        with self._writing, alone_in(self.path):
            yield

    def _job(self, name: str) -> Path:
        path = self._inside(name, (".toml",))
        if name.casefold() == SHOP_FILE:
            raise UsageError(
                "this is the shop's own file, not a job", where=name, allowed="a job file"
            )
        return path

    def _inside(self, name: str, endings: tuple[str, ...]) -> Path:
        if not _plain(name, endings):
            raise UsageError(
                f'"{one_line(name)}" is no name of a file that is used here',
                allowed=f"{_ALLOWED}, at most 80, and {' or '.join(endings)} at its end",
            )
        path = self.path / name
        if path.is_symlink() or path.resolve().parent != self.path:
            raise UsageError(
                "this is a link to another place",
                where=name,
                allowed=f"files in {self.path}",
                try_="Copy the file into the folder.",
            )
        return path


def stamp_of(content: bytes) -> str:
    """What tells a file's content from any other."""
    return hashlib.sha256(content).hexdigest()[:32]


def _plain(name: str, endings: tuple[str, ...]) -> bool:
    """Whether every system reads the name as that of a file and nothing else."""
    return (
        _NAME.fullmatch(name) is not None
        and ".." not in name
        and name.casefold().endswith(endings)
        and not is_reserved(name)
    )


def _is_job(path: Path) -> bool:
    try:
        if path.is_symlink() or not path.is_file():
            return False
        with path.open("rb") as file:
            return _JOB.search(file.read(65_536)) is not None
    except OSError:
        return False


def _read(path: Path, name: str) -> bytes:
    try:
        if not path.is_file():
            raise JobError("there is no such file", where=name, allowed="a job file of the folder")
        with path.open("rb") as file:
            content = file.read(MOST_TEXT_BYTES + 1)
    except JobError:
        raise
    except OSError as problem:
        raise SurroundingsError(
            f"the file cannot be read ({problem.strerror or problem})", where=name
        ) from problem
    if len(content) > MOST_TEXT_BYTES:
        raise _too_large(name)
    return content


def _require_writable(path: Path) -> None:
    """A file is moved onto another, which asks for no right on that one: so it is asked here."""
    with contextlib.suppress(FileNotFoundError):
        if not path.stat().st_mode & stat.S_IWUSR or not os.access(path, os.W_OK):
            raise SurroundingsError(
                "the file is protected against writing",
                where=path.name,
                try_="Save under another name, or allow it to be written.",
            )


def _require_seen(path: Path, stamp: str) -> None:
    name = path.name
    if not os.path.lexists(path):
        if stamp:
            raise ConflictError(
                "the file is no longer there",
                where=name,
                try_="Save it once more to write it anew.",
            )
        return
    if not stamp:
        raise _there_already(name)
    if stamp_of(_read(path, name)) != stamp:
        raise ConflictError(
            "the file was changed by someone else since it was opened",
            where=name,
            try_="Save under another name, or open it again and lose what was changed here.",
        )


def _put(
    path: Path, pieces: Iterable[bytes], *, over: bool, may: Callable[[], None] = lambda: None
) -> int:
    """Write beside the place and move there; without `over` never onto another file.

    may : called when all is written and only the move is left; raises where it is not to be.
    """
    fresh = fresh_beside(path)
    size = 0
    try:
        with fresh.open("xb") as file:
            for piece in pieces:
                size += file.write(piece)
            file.flush()
            os.fsync(file.fileno())
        may()
        if over:
            with contextlib.suppress(OSError):  # the rights that the maker gave it
                fresh.chmod(path.stat().st_mode)
            fresh.replace(path)
        else:
            _move_new(fresh, path)
    finally:
        with contextlib.suppress(OSError):
            fresh.unlink(missing_ok=True)
    return size


def _move_new(fresh: Path, path: Path) -> None:
    try:
        move_new(fresh, path)
    except FileExistsError:
        raise _there_already(path.name) from None


@contextlib.contextmanager
def _told(name: str) -> Iterator[None]:
    try:
        yield
    except SurroundingsError:
        raise
    except OSError as problem:
        raise SurroundingsError(
            f"the file cannot be written ({problem.strerror or problem})",
            where=name,
            try_="Check the disk's free space and your rights in the folder.",
        ) from problem


def _there_already(name: str) -> ConflictError:
    return ConflictError(
        "there is a file of this name already", where=name, try_="Take another name."
    )


def _too_large(name: str) -> TooLargeError:
    return TooLargeError(
        "this is larger than any job",
        where=name,
        allowed=f"a job file of at most {MOST_TEXT_BYTES // 1000} kB",
    )
