"""One file in a job's folder, put there whole or not at all; what lies beside it stays."""

from __future__ import annotations

import contextlib
from pathlib import Path

from mouldgen.errors import SurroundingsError
from mouldgen.files.folder import clear_leftovers, locked


def put_file(path: Path, data: bytes) -> None:
    """Write a file beside its place and move it there.

    It stays until the whole folder is next replaced.

    path : the file; its folder is made where it is not there.
    data : what it will hold.

    Raises SurroundingsError where it cannot be written or another run is writing the folder.
    """
    folder = path.parent
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        with locked(folder):
            clear_leftovers(folder)
            folder.mkdir(exist_ok=True)
            _put(path, data)
    except SurroundingsError:
        raise
    except OSError as error:
        raise SurroundingsError(
            f"cannot be written: {error.strerror or error}",
            where=str(path),
            try_="Check the disk's free space and your rights there, or give another --out folder.",
        ) from error


def _put(path: Path, data: bytes) -> None:
    fresh = path.with_name(f".{path.name}.new")  # the lock keeps other runs off this name
    try:
        fresh.write_bytes(data)
        fresh.replace(path)
    finally:
        with contextlib.suppress(OSError):
            fresh.unlink(missing_ok=True)
