"""The process of a worker from within: takes a task, does it, answers, until the server is gone."""

from __future__ import annotations

import gc
import logging
import os
import signal
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, ParamSpec, TypeVar

from mouldgen.errors import InternalError, JobError, MouldgenError, SurroundingsError
from mouldgen.memo import Memo

if TYPE_CHECKING:
    from multiprocessing.connection import Connection

    from mouldgen.page.work import Shop

P = ParamSpec("P")
R = TypeVar("R")

LOG = logging.getLogger("mouldgen.page")
MOST_BYTES = 2 * 10**9  # of address space; a set takes a sixth of it, a scan's shell a half
GIVEN_WAY = 10  # of 19
KEPT = 24  # steps; a set has five, and a tab goes back and forth between a few of them


@dataclass(frozen=True, eq=False)
class Bench:
    """What a process is given at its start.

    folder : that is served.
    castings : the castings file, or None for the shop's own.
    no_castings : as if none were logged.
    most_bytes : of memory that it may take; 0 for as much as there is.
    gives_way : whether it lets others go first where all cores are taken.
    """

    folder: Path
    castings: Path | None = None
    no_castings: bool = False
    most_bytes: int = MOST_BYTES
    gives_way: bool = False


class Stopped(BaseException):
    """The server no longer waits; no error, and nothing that works on errors may catch it."""


class WatchedMemo(Memo):
    """A store of steps that stops between two of them, and counts the solids that were made.

    watch : called before each step; raises `Stopped`.
    counted : names of the steps that make solids.
    """

    def __init__(self, most: int, *, watch: Callable[[], None], counted: frozenset[str]) -> None:
        super().__init__(most)
        self.made = 0
        self._watch = watch
        self._counted = counted

    def step(self, run: Callable[P, R], *args: P.args, **named: P.kwargs) -> R:
        """As of `Memo`."""
        self._watch()
        before = self.misses
        result = super().step(run, *args, **named)
        if self.misses > before and f"{run.__module__}.{run.__qualname__}" in self._counted:
            self.made += 1
        return result


def labour(pipe: Connection, bench: Bench) -> None:
    """Do tasks until the other end of the pipe is gone.

    pipe : to the server.
    bench : what there is to work with.
    """
    # Ctrl-C reaches every process of a terminal; the server alone decides what ends.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "1")
    _limit(bench.most_bytes)
    if bench.gives_way and hasattr(os, "nice"):
        os.nice(GIVEN_WAY)
    from mouldgen.page.work import Shop

    shop = Shop(bench, watch=lambda: None)
    shop.warm()
    # What was loaded stays: looking through it for rubbish again and again finds none.
    gc.freeze()
    try:
        pipe.send((0, "ready", None))
        while True:
            order = pipe.recv()
            if order[0] == "do":
                _do(pipe, shop, *order[1:])
    except (EOFError, OSError):
        return


def _do(pipe: Connection, shop: Shop, number: int, task: str, values: dict[str, Any]) -> None:
    from mouldgen.page.work import TASKS

    def watch() -> None:
        while pipe.poll():
            if pipe.recv() == ("stop", number):
                raise Stopped

    shop.watch = watch
    try:
        for answer in TASKS[task](shop, values):
            pipe.send((number, "part", answer))
            watch()
        pipe.send((number, "end", None))
    except Stopped:
        pipe.send((number, "end", None))
    except MouldgenError as problem:
        pipe.send((number, "problem", _retold(shop, problem, values.get("text", ""))))
    except MemoryError:
        # What is left of the memory is of no use: this process ends, and the server knows it.
        pipe.send((number, "spent", _too_much()))
        raise EOFError from None
    except RecursionError:
        deep = JobError("brackets or tables are nested too deeply", allowed="plain tables")
        pipe.send((number, "problem", deep))
    except OSError as problem:
        told = f"{problem.filename}: " if problem.filename else ""
        why = f"{told}the system refused ({problem.strerror or problem})"
        pipe.send((number, "problem", SurroundingsError(why)))
    except Exception as problem:
        LOG.exception("task %s", task)
        pipe.send((number, "problem", unforeseen(problem)))


def _retold(shop: Shop, problem: MouldgenError, text: str) -> MouldgenError:
    """In its reader's units; a bug in telling a problem must not end the process."""
    try:
        return shop.retold(problem, text)
    except Exception as bug:
        LOG.exception("telling %s", problem.id)
        return unforeseen(bug)


def unforeseen(problem: Exception) -> InternalError:
    """What a maker is told of a bug; where it is stands on the terminal of the server."""
    told = " ".join(f"{type(problem).__name__}: {problem}".rstrip(": ").split())
    return InternalError(
        f"mouldgen hit a bug, and it is not your doing ({told})",
        try_="The terminal that mouldgen page runs in shows where.",
    )


def _too_much() -> SurroundingsError:
    return SurroundingsError(
        "this needs more memory than the page may take",
        try_="A coarser scan or fewer facets need less; mouldgen build has no such limit.",
    )


def _limit(most_bytes: int) -> None:
    """Keep this process from taking all memory, where the system lets it."""
    if not most_bytes or os.name != "posix":
        return
    import contextlib
    import resource

    with contextlib.suppress(OSError, ValueError):  # a limit that is lower already stays
        resource.setrlimit(resource.RLIMIT_AS, (most_bytes, most_bytes))
