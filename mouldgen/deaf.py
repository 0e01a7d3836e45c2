"""Processes that never hear of Ctrl-C: the one that started them decides what ends."""

from __future__ import annotations

import contextlib
import signal
from collections.abc import Iterator


@contextlib.contextmanager
def deaf_to_ctrl_c() -> Iterator[None]:
    """A process that is started meanwhile never hears of Ctrl-C, not even before it can say so."""
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    from multiprocessing import resource_tracker

    resource_tracker.ensure_running()  # it unblocks Ctrl-C when it is started itself
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)
