"""The cores of this machine at work: a process each, variants handed out as each gets free."""

from __future__ import annotations

import os
from collections import Counter, deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import FIRST_COMPLETED, BrokenExecutor, wait
from dataclasses import replace
from time import monotonic

from mouldgen.catalogue.row import Row
from mouldgen.catalogue.seat import MOST_BYTES, Seat, Work
from mouldgen.catalogue.work import Bench, Task, failed_row, make_row, too_long
from mouldgen.errors import SurroundingsError

LIMIT_S = 60.0  # a set takes about half a second, a scan's shell several
MOST_DEATHS = 2  # of workers, before what they worked on is given up
_UNBORN = 3  # workers that end before they are ready, one after the other

Done = tuple[Task, Row]


def cores() -> int:
    """How many cores this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def with_crew(
    tasks: Iterable[Task],
    *,
    bench: Bench,
    workers: int,
    limit_s: float = LIMIT_S,
    work: Work = make_row,
    most_bytes: int = MOST_BYTES,
) -> Iterator[Done]:
    """Make variants; each comes with its row, in the order in which they get done.

    tasks : the variants; the next one is asked for when a worker is free for it.
    bench : what every worker is given.
    workers : how many at most.
    limit_s : after which a variant is given up and its worker replaced [s].
    work : what a worker does with a variant.
    most_bytes : of memory that a worker may take; 0 for as much as there is.

    A worker that dies is replaced and costs one retry of what it worked on; a variant whose worker
    died twice is given up.  Whoever stops asking ends the workers.

    Raises SurroundingsError where workers do not start, and what the work raises.
    """
    crew = _Crew(
        iter(tasks), lambda: Seat(bench, work=work, most_bytes=most_bytes, limit_s=limit_s), limit_s
    )
    try:
        while crew.fill(most=workers):
            yield from crew.wait()
    finally:
        crew.close()


class _Crew:
    def __init__(self, tasks: Iterator[Task], seat: Callable[[], Seat], limit_s: float) -> None:
        self._seats: list[Seat] = []
        self._tasks = tasks
        self._seat = seat
        self._limit_s = limit_s
        self._again: deque[Task] = deque()  # what a worker that died had
        self._deaths: Counter[str] = Counter()

    def fill(self, *, most: int) -> bool:
        """Give the free seats something to do; whether anything is being done."""
        free = [seat for seat in self._seats if seat.free]
        coming = len(free) + sum(seat.task is None and not seat.free for seat in self._seats)
        while self._peek(coming + 1) and len(self._seats) < most:
            self._seats.append(self._seat())
            coming += 1
        for seat in free:
            if not self._peek(1):
                break
            seat.give(self._again.popleft())
        return bool(self._again) or any(seat.task is not None for seat in self._seats)

    def _peek(self, number: int) -> bool:
        """Whether so many variants wait, taken from those that are to come."""
        while len(self._again) < number:
            task = next(self._tasks, None)
            if task is None:
                return False
            self._again.append(task)
        return True

    def wait(self) -> Iterator[Done]:
        """What is done once anything is."""
        busy = [seat for seat in self._seats if not seat.free]
        patience = max(0.0, min(seat.until for seat in busy) - monotonic())
        wait([seat.answer for seat in busy], timeout=patience, return_when=FIRST_COMPLETED)
        for seat in busy:
            if seat.answer.done():
                yield from self._answered(seat)
            elif monotonic() >= seat.until:
                yield from self._overdue(seat)

    def _answered(self, seat: Seat) -> Iterator[Done]:
        task = seat.task
        try:
            row = seat.take()
        except BrokenExecutor:
            yield from self._died(seat)
            return
        if task is None or row is None:
            return
        if row.trouble == "memory":
            seat.renew()  # what is left of its memory is of no use
        yield task, replace(row, attempts=1 + self._deaths[task.key])

    def _died(self, seat: Seat) -> Iterator[Done]:
        task = seat.task
        self._renew(seat)
        if task is None:
            return
        self._deaths[task.key] += 1
        if self._deaths[task.key] < MOST_DEATHS:
            self._again.appendleft(task)
            return
        told = f"its worker died {MOST_DEATHS} times, for lack of memory perhaps"
        yield task, failed_row(task, told, "died", attempts=MOST_DEATHS)

    def _overdue(self, seat: Seat) -> Iterator[Done]:
        task = seat.task
        self._renew(seat)
        if task is not None:
            yield task, too_long(task, self._limit_s, attempts=1 + self._deaths[task.key])

    def _renew(self, seat: Seat) -> None:
        seat.renew()
        if seat.unborn >= _UNBORN:
            raise SurroundingsError(
                "worker processes end before they are ready",
                try_="Free some memory, or use fewer of them with --workers.",
            )

    def close(self) -> None:
        """End all workers."""
        for seat in self._seats:
            seat.close()
