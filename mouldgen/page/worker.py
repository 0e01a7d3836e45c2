"""A process that does one piece of work at a time, seen from the server.

The server must answer while solids are made, and a scan that takes all memory must not take the
server along.  So work is done by a process of its own, which gets a task's name and plain values
through a pipe and answers through it.  Of two equal tasks of one tab the newer wins; a task that
nobody waits for any more is stopped, and where it does not stop the process is ended and a new
one started.

Nothing polls: a thread sleeps in the pipe until something comes.
"""

from __future__ import annotations

import asyncio
import contextlib
import multiprocessing
import threading
from collections import deque
from collections.abc import AsyncIterator, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from mouldgen.deaf import deaf_to_ctrl_c
from mouldgen.errors import MouldgenError, SurroundingsError

if TYPE_CHECKING:
    from multiprocessing.connection import Connection
    from multiprocessing.context import SpawnProcess

    from mouldgen.page.inside import Bench

QUEUE_S = 30.0  # as long as a browser's user waits for others
START_S = 60.0  # a cold disk
GRACE_S = 1.6  # until a task that is told to stop has stopped; within the two seconds promised


@dataclass(eq=False)
class _Turn:
    """One task: its place in the queue, and what it has answered.

    lane : tasks of equal lanes overtake each other; empty for one that is never overtaken.
    begins : done when the process is free for it.
    said : what the process has answered, not yet handed on.
    sent : whether the process knows of it.
    over : whether the process is done with it, whatever is still to be handed on.
    """

    lane: str
    begins: asyncio.Future[None]
    said: asyncio.Queue[tuple[str, Any]] = field(default_factory=asyncio.Queue)
    sent: bool = False
    over: bool = False


@dataclass(eq=False)
class _Life:
    """One process from its start to its end.

    process : itself.
    pipe : to it.
    ready : done when it takes tasks.
    buried : set when it has ended and nothing of it is left open.
    """

    process: SpawnProcess
    pipe: Connection
    ready: asyncio.Future[None]
    buried: asyncio.Event = field(default_factory=asyncio.Event)


class Worker:
    """A process, started anew whenever it ends.

    name : in messages.
    bench : what the process is given at its start.
    """

    def __init__(self, name: str, bench: Bench) -> None:
        self.name = name
        self._bench = bench
        self._line: deque[_Turn] = deque()
        self._now: _Turn | None = None
        self._number = 0
        self._life: _Life | None = None
        self._closed = False
        self._settling: set[asyncio.Task[None]] = set()

    @property
    def pid(self) -> int | None:
        """Of the process; None where there is none at the moment."""
        return None if self._life is None else self._life.process.pid

    @property
    def busy(self) -> bool:
        """Whether something is worked on, or still being stopped."""
        return self._now is not None

    async def start(self) -> None:
        """Start the process and wait until it is ready.

        Raises SurroundingsError where it does not become ready.
        """
        await self._ready()

    async def close(self) -> None:
        """End the process; whoever still waits is told."""
        self._closed = True
        for task in self._settling:
            task.cancel()
        if self._now is not None:
            self._now.said.put_nowait(("ended", None))
            self._done(self._now)
        await self._end()
        for turn in self._line:
            if not turn.begins.done():
                turn.begins.set_exception(_closing())
        self._line.clear()

    @contextlib.asynccontextmanager
    async def work(
        self, task: str, values: Mapping[str, Any], *, limit_s: float, lane: str = ""
    ) -> AsyncIterator[AsyncIterator[Any]]:
        """Do a task; what it answers comes one by one.

        task : its name in `mouldgen.page.work.TASKS`.
        values : plain values that it takes.
        limit_s : after which it is stopped [s], the wait in the queue not counted.
        lane : a newer task of the same lane overtakes it; empty for none.

        Raises what the task raises, SurroundingsError where it takes too long, is overtaken, or
        its process ends.
        """
        turn = _Turn(lane, asyncio.get_running_loop().create_future())
        self._overtake(turn)
        await self._my_turn(turn)
        try:
            await self._give(task, values)
            turn.sent = True
            yield self._answers(turn, asyncio.get_running_loop().time() + limit_s)
        finally:
            if not turn.sent:
                self._done(turn)
            elif not turn.over:  # nobody waits: the caller need not either until it has stopped
                self._keep(asyncio.create_task(self._settle(turn)))

    async def _give(self, task: str, values: Mapping[str, Any]) -> None:
        """Hand a task to the process, or to the next where that one is just ending."""
        for again in (True, False):
            life = await self._ready()
            self._number += 1
            try:
                life.pipe.send(("do", self._number, task, dict(values)))
                return
            except OSError:
                self._lost(life)
                if not again:
                    raise _ended(self.name) from None

    async def _answers(self, turn: _Turn, until: float) -> AsyncIterator[Any]:
        clock = asyncio.get_running_loop().time
        while True:
            try:
                kind, value = await asyncio.wait_for(turn.said.get(), max(until - clock(), 0.0))
            except TimeoutError:
                raise SurroundingsError(
                    "this took too long and was stopped",
                    try_="A coarser scan, fewer facets or fewer points take less time.",
                ) from None
            if kind == "part":
                yield value
                continue
            if kind == "overtaken":
                raise overtaken()
            if kind == "problem":
                raise value
            if kind == "ended":
                raise _ended(self.name)
            return

    # ------------------------------------------------------------------ the queue

    def _overtake(self, turn: _Turn) -> None:
        if not turn.lane:
            return
        for other in self._line:
            if other.lane == turn.lane and not other.begins.done():
                other.begins.set_exception(overtaken())
        if self._now is not None and self._now.lane == turn.lane:
            self._now.said.put_nowait(("overtaken", None))

    async def _my_turn(self, turn: _Turn) -> None:
        self._line.append(turn)
        if self._now is None:
            self._next()
        try:
            await asyncio.wait_for(turn.begins, QUEUE_S)
        except BaseException as problem:
            self._done(turn)  # its turn may have come in the very moment that it was given up
            if isinstance(problem, TimeoutError):
                raise SurroundingsError(
                    "there is too much to do at the moment", try_="Try again in a little while."
                ) from None
            raise

    def _done(self, turn: _Turn) -> None:
        """The process is done with a task.

        Not the caller: one that is slow in taking its answers keeps nobody waiting.
        """
        turn.over = True
        if self._now is turn:
            self._next()

    def _next(self) -> None:
        """The process is free: the next in the queue begins."""
        self._now = None
        while self._line:
            turn = self._line.popleft()
            if not turn.begins.done():
                self._now = turn
                turn.begins.set_result(None)
                return

    async def _settle(self, turn: _Turn) -> None:
        """Stop a task, by ending its process where it does not stop."""
        life = self._life
        if life is not None:
            with contextlib.suppress(OSError):
                life.pipe.send(("stop", self._number))
            try:
                async with asyncio.timeout(GRACE_S):
                    while not turn.over:
                        await turn.said.get()
            except TimeoutError:
                await self._end()
        self._done(turn)
        with contextlib.suppress(MouldgenError):  # whoever comes next is told
            await self._ready()

    def _keep(self, task: asyncio.Task[None]) -> None:
        self._settling.add(task)
        task.add_done_callback(self._settling.discard)

    # ---------------------------------------------------------------- the process

    async def _ready(self) -> _Life:
        if self._closed:
            raise _closing()
        if self._life is not None and not self._life.process.is_alive():
            self._lost(self._life)  # it ended unseen: only a task that it has need suffer for it
        if self._life is None:
            self._life = await self._born()
        life = self._life
        try:
            await asyncio.wait_for(asyncio.shield(life.ready), START_S)
        except TimeoutError:
            await self._end()
            raise _ended(self.name) from None
        return life

    async def _born(self) -> _Life:
        from mouldgen.page.inside import labour

        loop = asyncio.get_running_loop()
        spawn = multiprocessing.get_context("spawn")
        ours, theirs = spawn.Pipe()
        process = spawn.Process(
            target=labour, args=(theirs, self._bench), name=f"mouldgen {self.name}", daemon=True
        )
        try:
            with deaf_to_ctrl_c():
                process.start()
        except OSError as problem:  # no memory, or the folder that it was started in is gone
            ours.close()
            raise SurroundingsError(
                f"the {self.name} process cannot be started ({problem.strerror or problem})",
                try_="Start the page again, in a folder that is there.",
            ) from problem
        finally:
            theirs.close()  # else its end would never be seen
        life = _Life(process, ours, loop.create_future())
        threading.Thread(target=self._listen, args=(life, loop), daemon=True).start()
        return life

    def _listen(self, life: _Life, loop: asyncio.AbstractEventLoop) -> None:
        """Hand on what the process says; ends with it.

        It alone closes the pipe: the number of one that is closed while it is read may be that
        of another file by then.
        """
        with life.pipe, contextlib.suppress(RuntimeError):  # the loop is closed: nobody listens
            try:
                with contextlib.suppress(EOFError, OSError):
                    while True:
                        loop.call_soon_threadsafe(self._heard, life, life.pipe.recv())
            finally:
                loop.call_soon_threadsafe(self._gone, life)

    def _heard(self, life: _Life, message: tuple[int, str, Any]) -> None:
        number, kind, value = message
        if kind == "ready":
            if not life.ready.done():
                life.ready.set_result(None)
        elif life is self._life and number == self._number and self._now is not None:
            if kind == "spent":  # it told what was wrong and ends: the next task needs another
                self._life, kind = None, "problem"
            self._now.said.put_nowait((kind, value))
            if kind != "part":
                self._done(self._now)

    def _gone(self, life: _Life) -> None:
        """The pipe told that the process has ended; it does so once."""
        self._lost(life)
        self._keep(asyncio.create_task(self._bury(life)))

    async def _bury(self, life: _Life) -> None:
        await asyncio.to_thread(life.process.join)
        life.process.close()  # else its files stay open until the rubbish is looked through
        life.buried.set()

    def _lost(self, life: _Life) -> None:
        if not life.ready.done():
            life.ready.set_exception(_ended(self.name))
            life.ready.exception()  # who waits for it is told; else nobody need be
        if life is self._life:
            self._life = None
            if self._now is not None and self._now.sent:
                self._now.said.put_nowait(("ended", None))
                self._done(self._now)

    async def _end(self) -> None:
        life, self._life = self._life, None
        if life is None:
            return
        life.process.kill()
        await life.buried.wait()


def overtaken() -> SurroundingsError:
    """For a task that a newer one of the same tab made idle."""
    return SurroundingsError("a newer change came before this was worked out")


def _closing() -> SurroundingsError:
    return SurroundingsError("the page is being closed", try_="Start it again: mouldgen page.")


def _ended(name: str) -> SurroundingsError:
    return SurroundingsError(
        f"the {name} process that works this out ended before it was done",
        try_="It has been started anew: try again. A scan that needs more memory than there is"
        " ends it each time.",
    )
