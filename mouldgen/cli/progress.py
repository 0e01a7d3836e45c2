"""Says what takes long, once it has taken long, and only to a person who is watching."""

from __future__ import annotations

import contextlib
import sys
from collections.abc import Iterator

from mouldgen.cli.say import tell

PATIENCE_S = 1.0


@contextlib.contextmanager
def busy(what: str, *, quiet: bool = False) -> Iterator[None]:
    """Tell on a terminal what is being done, where it takes over a second.

    what : such as ``Building the moulds``.
    """
    if quiet or not sys.stderr.isatty():
        yield
        return
    import threading

    timer = threading.Timer(PATIENCE_S, tell, [f"{what} …"])
    timer.daemon = True
    timer.start()
    try:
        yield
    finally:
        timer.cancel()
