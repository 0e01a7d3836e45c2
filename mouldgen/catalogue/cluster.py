"""A cluster that is there already at work: variants handed to its scheduler, rows taken back.

Only this file knows the cluster's library, which is an extra and is loaded when it is asked for.
"""

from __future__ import annotations

import contextlib
import importlib.util
import logging
from collections.abc import Iterable, Iterator
from concurrent.futures import CancelledError
from time import monotonic
from typing import Any

from mouldgen.catalogue.crew import LIMIT_S, Done
from mouldgen.catalogue.one_core import at_first_on_one_core
from mouldgen.catalogue.row import Row
from mouldgen.catalogue.seat import Work
from mouldgen.catalogue.work import Bench, Task, failed_row, make_row, too_long
from mouldgen.errors import MouldgenError, SurroundingsError, UsageError

CONNECT_S = 10.0
WORKERS_S = 30.0  # until there is one, also after the last one died
_LOOK_S = 5.0  # how many threads there are is asked for no more often
EXTRA = "pip install 'mouldgen[cluster]'"


def on_cluster(
    tasks: Iterable[Task],
    *,
    bench: Bench,
    scheduler: str,
    limit_s: float = LIMIT_S,
    work: Work = make_row,
) -> Iterator[Done]:
    """Make variants on a cluster; each comes with its row, in the order in which they get done.

    tasks : the variants; as many are out as the cluster has threads.
    bench : what every worker is given.
    scheduler : its address, such as ``tcp://192.168.1.20:8786``.
    limit_s : after which a variant is given up [s].  It is no longer waited for, and its thread
        counts as taken until it ends: nobody can stop it there.
    work : what a worker does with a variant.

    The scheduler itself hands out anew what a worker that dies had, and gives up what kills
    several.

    Raises UsageError without the library, SurroundingsError where no scheduler answers, where no
    worker is there, and what the work raises.
    """
    if importlib.util.find_spec("distributed") is None:
        raise UsageError(
            "a cluster needs a library that is not installed", where="--scheduler", try_=EXTRA
        )
    with _client(scheduler) as client:
        out = _Out(client, iter(tasks), bench=bench, limit_s=limit_s, work=work)
        try:
            while out.fill():
                yield from out.wait(scheduler)
        finally:
            out.cancel()


@contextlib.contextmanager
def _client(scheduler: str) -> Iterator[Any]:
    from distributed import Client

    before = logging.root.manager.disable
    logging.disable(logging.CRITICAL)  # it logs at length what is told here in a sentence
    try:
        try:
            client = Client(scheduler, timeout=CONNECT_S, set_as_default=False)
        except (OSError, TimeoutError, ValueError) as problem:
            raise SurroundingsError(
                "no scheduler answers",
                where=f"--scheduler {scheduler}",
                allowed="an address such as tcp://192.168.1.20:8786",
                try_="Start it, or leave --scheduler out to use the cores of this machine.",
            ) from problem
        with client, client.as_current():
            yield client
    finally:
        logging.disable(before)


class _Out:
    """What is out at the cluster."""

    def __init__(
        self, client: Any, tasks: Iterator[Task], *, bench: Bench, limit_s: float, work: Work
    ) -> None:
        self._client, self._tasks = client, tasks
        self._bench, self._limit_s, self._work = bench, limit_s, work
        self._out: dict[Any, tuple[Task, float]] = {}
        # Given up and not taken back: the scheduler would take their threads for free.
        self._stuck: list[Any] = []
        self._threads, self._looked = 0, float("-inf")
        self._over = False
        self._alone_since: float | None = None

    def fill(self) -> bool:
        """Hand out as many as there is room for; whether anything is out or to come."""
        self._look()
        while not self._over and len(self._out) < self._threads:
            task = next(self._tasks, None)
            if task is None:
                self._over = True
                break
            future = self._client.submit(_at_worker, self._work, self._bench, task, pure=False)
            self._out[future] = (task, monotonic() + self._limit_s)
        return bool(self._out) or not self._over

    def wait(self, scheduler: str) -> Iterator[Done]:
        """What is done within a little while."""
        from distributed import wait

        self._mind_the_last(scheduler)
        if self._out:
            soonest = min(until for _, until in self._out.values()) - monotonic()
            with contextlib.suppress(TimeoutError, CancelledError):  # which of them is seen below
                wait(
                    list(self._out),
                    timeout=min(max(soonest, 0.01), _LOOK_S),
                    return_when="FIRST_COMPLETED",
                )
        for future, (task, until) in list(self._out.items()):
            if future.done():
                del self._out[future]
                yield task, _row(future, task)
            elif monotonic() >= until:
                del self._out[future]
                self._stuck.append(future)
                self._threads -= 1
                yield task, too_long(task, self._limit_s)

    def _look(self) -> None:
        if monotonic() - self._looked < _LOOK_S and self._threads:
            return
        self._looked = monotonic()
        try:
            threads = sum(self._client.nthreads().values())
        except OSError as problem:
            raise _gone() from problem
        self._stuck = [future for future in self._stuck if not future.done()]
        self._threads = max(0, threads - len(self._stuck))

    def _mind_the_last(self, scheduler: str) -> None:
        """Wait for a worker a while where there is none."""
        if self._threads or self._out:
            self._alone_since = None
            return
        self._alone_since = self._alone_since or monotonic()
        if monotonic() - self._alone_since > WORKERS_S:
            raise SurroundingsError(
                "every worker is held up by what took too long"
                if self._stuck
                else "the cluster has no worker",
                where=f"--scheduler {scheduler}",
                try_="Start some; what is done stays, and the same words go on from there.",
            )
        with contextlib.suppress(TimeoutError):
            self._client.wait_for_workers(1, timeout=1.0)

    def cancel(self) -> None:
        """Take back what is out."""
        with contextlib.suppress(Exception):  # a scheduler that is gone has nothing of ours
            self._client.cancel([*self._out, *self._stuck])


def _at_worker(work: Work, bench: Bench, task: Task) -> Row:
    with at_first_on_one_core():
        return work(bench, task)


def _gone() -> SurroundingsError:
    return SurroundingsError(
        "the scheduler is gone",
        where="--scheduler",
        try_="Start it again; what is done stays, and the same words go on from there.",
    )


def _row(future: Any, task: Task) -> Row:
    if future.status == "finished":
        row: Row = future.result()
        return row
    if future.status != "error":  # lost or cancelled, and not by us
        raise _gone()
    problem = future.exception()
    if isinstance(problem, MouldgenError):
        raise problem
    kind = type(problem).__name__
    if kind == "KilledWorker":
        return failed_row(task, "its workers died, for lack of memory perhaps", "died")
    if isinstance(problem, ImportError):
        raise SurroundingsError(
            f"a worker of the cluster cannot run mouldgen ({problem})",
            try_="Install the same version of mouldgen for every worker.",
        )
    return failed_row(task, f"the cluster gave it back undone ({kind}: {problem})", "died")
