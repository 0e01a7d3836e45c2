"""A process that works on one variant at a time, and that can be ended alone.

It is an executor of the standard library with one worker.  A pool of many is broken as a whole when
one of its processes dies, and cannot end the one that takes too long.
"""

from __future__ import annotations

import contextlib
import gc
import multiprocessing
import os
import signal
import sys
import threading
from collections.abc import Callable
from concurrent.futures import Future, ProcessPoolExecutor
from time import monotonic

from mouldgen.catalogue.one_core import at_first_on_one_core
from mouldgen.catalogue.row import Row
from mouldgen.catalogue.work import Bench, Task, make_row, warm
from mouldgen.deaf import deaf_to_ctrl_c

MOST_BYTES = 2 * 2**30  # a set takes a tenth of it
START_S = 120.0  # a cold disk, and many that start at once

Work = Callable[[Bench, Task], Row]


class Seat:
    """One process, started anew whenever it ends.

    bench : what it is given at its start.
    work : what it does with a variant.
    most_bytes : of memory that it may take; 0 for as much as there is.
    limit_s : after which a variant is given up [s].
    task : what it works on; None while it starts and while it waits.
    until : when it must have answered, on the clock of `time.monotonic` [s].
    unborn : how often in a row it did not even start.
    """

    def __init__(self, bench: Bench, *, work: Work, most_bytes: int, limit_s: float) -> None:
        self.task: Task | None = None
        self.unborn = 0
        self._given = (bench, work, most_bytes)
        self._limit_s = limit_s
        self._begin()

    def _begin(self) -> None:
        spawn = multiprocessing.get_context("spawn")
        self._pool = ProcessPoolExecutor(
            max_workers=1, mp_context=spawn, initializer=_sit_down, initargs=self._given
        )
        self._ready = False
        before = {child.pid for child in multiprocessing.active_children()}
        with deaf_to_ctrl_c():  # the first thing that a pool is given starts its process
            self.answer: Future[Row | None] = self._pool.submit(_awake)
        self._pids = {child.pid for child in multiprocessing.active_children()} - before
        self.until = monotonic() + START_S

    @property
    def free(self) -> bool:
        """Whether it is ready and has nothing to do."""
        return self._ready and self.task is None

    def give(self, task: Task) -> None:
        """Begin a variant.

        task : the variant.
        """
        self.task = task
        self.answer = self._pool.submit(_do, task)
        self.until = monotonic() + self._limit_s

    def take(self) -> Row | None:
        """What it has answered, after which it is free; None where it has only started.

        Raises BrokenExecutor where its process has ended, and what the work raised.
        """
        row = self.answer.result()
        self._ready, self.unborn, self.task = True, 0, None
        return row

    def renew(self) -> None:
        """End the process and start another, which has nothing to do."""
        self.unborn += not self._ready
        self.close()
        self.task = None
        self._begin()

    def close(self) -> None:
        """End the process, whatever it does."""
        for child in multiprocessing.active_children():
            if child.pid in self._pids:
                child.kill()
        self._pool.shutdown(wait=True, cancel_futures=True)


# ------------------------------------------------------------------ inside the process

_given: list[tuple[Bench, Work]] = []  # one, once this is a worker


def _sit_down(bench: Bench, work: Work, most_bytes: int) -> None:
    # Ctrl-C reaches every process of a terminal; the one that handed out the work decides.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    _leave_with_parent()
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "1")
    limit_memory(most_bytes)
    if work is make_row:
        warm()
    gc.freeze()  # what was loaded stays
    gc.set_threshold(100_000, 20, 20)
    _given.append((bench, work))


def _awake() -> None:
    """Answers once the process is ready."""


def _do(task: Task) -> Row:
    if not _given:
        raise RuntimeError("a worker was given work before it was ready")
    [(bench, work)] = _given
    with at_first_on_one_core():
        return work(bench, task)


def _leave_with_parent() -> None:
    """End when the process that handed out the work does, even where that is killed."""
    from multiprocessing.connection import wait

    parent = multiprocessing.parent_process()
    if parent is None:
        return

    def watch() -> None:
        wait([parent.sentinel])
        os._exit(1)

    threading.Thread(target=watch, daemon=True).start()


def limit_memory(most_bytes: int) -> None:
    """Keep this process below so much memory, where the system can.

    most_bytes : of data; 0 for as much as there is.
    """
    if not most_bytes or sys.platform == "win32":
        return
    import resource

    # Address space would count what the threads of a large machine only set aside.
    with contextlib.suppress(OSError, ValueError):  # less is allowed already
        resource.setrlimit(resource.RLIMIT_DATA, (most_bytes, most_bytes))
