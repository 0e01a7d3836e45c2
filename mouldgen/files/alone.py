"""Alone in a folder of the maker's: one writes there at a time, and no lock lies about."""

from __future__ import annotations

import contextlib
import os
import re
import time
from collections.abc import Iterator
from pathlib import Path

from mouldgen.errors import SurroundingsError

_PATIENCE_S, _LOOK_S = 5.0, 0.01
_FRESH = re.compile(r"\..+\.[0-9a-f]{8}\.new")


def fresh_beside(path: Path) -> Path:
    """A name that no file has, for what is written before it is moved to its place.

    path : of that place.
    """
    return path.with_name(f".{path.name}.{os.urandom(4).hex()}.new")


@contextlib.contextmanager
def alone_in(folder: Path) -> Iterator[None]:
    """While it lasts nobody else who asks for it writes there; what a killed run left goes.

    folder : that is its own lock; where it can be none, there is none and nothing goes.

    Raises SurroundingsError where another run is there for seconds.
    """
    with contextlib.ExitStack() as held:
        if _held(folder, held):
            for path in folder.iterdir():
                if _FRESH.fullmatch(path.name):
                    with contextlib.suppress(OSError):
                        path.unlink()
        yield


def _held(folder: Path, held: contextlib.ExitStack) -> bool:
    if os.name != "posix":
        return False
    import fcntl

    try:
        lock = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
        held.callback(os.close, lock)
        until = time.monotonic() + _PATIENCE_S
        while time.monotonic() < until:
            with contextlib.suppress(BlockingIOError):
                fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
                return True
            time.sleep(_LOOK_S)
    except OSError:  # a folder that is gone is told where it is written to
        return False
    raise SurroundingsError(
        "another run is writing into this folder", where=str(folder), try_="Try it once more."
    )
