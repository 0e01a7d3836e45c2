"""A file that is not there yet, put there whole or not at all."""

from __future__ import annotations

import contextlib
import os
from pathlib import Path

from mouldgen.files.alone import alone_in, fresh_beside


def put_new(path: Path, data: bytes) -> None:
    """Write a file beside its place and move it there, never onto another.

    path : of the file; its folder is there.
    data : what it will hold.

    Raises FileExistsError where there is a file, SurroundingsError where another run is writing
    into the folder for long, OSError where the system refuses.
    """
    with alone_in(path.parent):
        if os.path.lexists(path):
            raise FileExistsError
        fresh = fresh_beside(path)
        try:
            with fresh.open("xb") as file:
                file.write(data)
                file.flush()
                os.fsync(file.fileno())
            move_new(fresh, path)
        finally:
            with contextlib.suppress(OSError):
                fresh.unlink(missing_ok=True)


def move_new(fresh: Path, path: Path) -> None:
    """Move a file to a place that no file has, whoever else takes it meanwhile.

    fresh : the file; it may stay there too.
    path : its place.

    Raises FileExistsError where there is a file.
    """
    try:
        os.link(fresh, path)  # refuses where a file is there, which no look beforehand can promise
    except FileExistsError:
        raise
    except OSError:  # not every file system has links
        path.open("xb").close()  # takes the name, or refuses as a link would
        fresh.replace(path)
