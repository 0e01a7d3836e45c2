"""A worker's geometry kernel with one thread.

The kernel's threads (oneTBB) are as many as the cores that the main thread may use when the kernel
is first used, whichever thread uses it.  With a worker on every core they would only be in each
other's way.
"""

from __future__ import annotations

import contextlib
import os
import threading
from collections.abc import Iterator

_begun = threading.Event()


@contextlib.contextmanager
def at_first_on_one_core() -> Iterator[None]:
    """Keep the main thread on one core the first time that this is used in a process.

    Where the system cannot do that, it is as it was.
    """
    if _begun.is_set() or not hasattr(os, "sched_setaffinity"):
        yield
        return
    _begun.set()
    main = os.getpid()
    there = os.sched_getaffinity(main)
    os.sched_setaffinity(main, {sorted(there)[main % len(there)]})
    try:
        yield
    finally:
        os.sched_setaffinity(main, there)
