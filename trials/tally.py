"""Many cases of one domain on all cores: what came of them, and the worst time and memory.

A case is a function of a seed that answers with a word for what came of it, such as "refused".
Whatever it raises is a trouble, and so are more than 30 s of work or 2 GB.  One seed is one case
for ever, so that a trouble can be looked at alone and kept as a test.
"""

from __future__ import annotations

import argparse
import faulthandler
import multiprocessing
import os
import sys
import tempfile
import traceback
from collections import Counter
from collections.abc import Callable, Iterator
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass, field
from pathlib import Path
from time import perf_counter

LIMIT_S = 30.0
PATIENCE = 4.0  # times as long by the clock on the wall, since other work may share the cores
MOST_BYTES = 2 * 2**30
SHOWN = 20  # troubles that are told whole
SAID_EVERY = 500  # cases, of a run that nobody watches

Case = Callable[[int], str]


@dataclass(eq=False)
class Tally:
    """What came of many cases.

    outcomes : how often each word was answered.
    troubles : a seed and what was raised, for each case that went wrong.
    slowest : the longest time that was worked on a case, and its seed [s].
    most_bytes : the most memory that a process held at any time.
    seconds : for all of them [s].
    """

    outcomes: Counter[str] = field(default_factory=Counter)
    troubles: list[tuple[int, str]] = field(default_factory=list)
    slowest: tuple[float, int] = (0.0, -1)
    most_bytes: int = 0
    seconds: float = 0.0
    said: int = 0  # how often it was told how far it came

    @property
    def count(self) -> int:
        """Cases that were run."""
        return sum(self.outcomes.values()) + len(self.troubles)

    def take(self, other: Tally) -> None:
        """Add what came of others."""
        self.outcomes += other.outcomes
        self.troubles += other.troubles
        self.slowest = max(self.slowest, other.slowest)
        self.most_bytes = max(self.most_bytes, other.most_bytes)


def each(case: Case, seeds: range) -> Tally:
    """Run cases one after the other in this process.

    case : what to do with a seed.
    seeds : which.
    """
    found = Tally()
    for seed in seeds:
        began = _worked()
        try:
            found.outcomes[case(seed)] += 1
        except Exception:  # noqa: BLE001 - whatever it is, it is what is looked for
            found.troubles.append((seed, traceback.format_exc()))
        took = _worked() - began
        found.slowest = max(found.slowest, (took, seed))
        if took > LIMIT_S:
            found.troubles.append((seed, f"took {took:.1f} s"))
    found.most_bytes = held_bytes()
    return found


def _worked() -> float:
    """What this process and those that it has waited for have worked [s]."""
    return sum(os.times()[:4])


def on_all_cores(case: Case, seeds: range, *, workers: int, chunk: int = 50) -> Tally:
    """Run cases in processes of their own.

    case : what to do with a seed; a function of a module, so that it can be handed over.
    seeds : which.
    workers : processes.
    chunk : seeds that a process is handed at once.

    A process that hangs or takes too much memory ends, and the seed it was at is a trouble; the
    rest of its chunk is gone on with.
    """
    began = perf_counter()
    found = Tally()
    with tempfile.TemporaryDirectory() as folder:
        chunks = [
            range(at, min(at + chunk, seeds.stop), 1)
            for at in range(seeds.start, seeds.stop, chunk)
        ]
        while chunks:
            chunks = _until_broken(case, chunks, found, workers=workers, folder=Path(folder))
    found.seconds = perf_counter() - began
    return found


def _until_broken(
    case: Case, chunks: list[range], found: Tally, *, workers: int, folder: Path
) -> list[range]:
    """Chunks that are still to be run, none where no process ended in the middle."""
    spawn = multiprocessing.get_context("spawn")
    waiting = list(reversed(chunks))
    out: dict[Future[Tally], range] = {}
    with ProcessPoolExecutor(workers, spawn, initializer=_limits) as pool:
        try:
            while waiting or out:
                while waiting and len(out) < 2 * workers:
                    given = waiting.pop()
                    out[pool.submit(_noted, case, given, folder)] = given
                for done in wait(out, return_when=FIRST_COMPLETED).done:
                    found.take(done.result())
                    del out[done]
                    _say(found)
        except BrokenProcessPool:
            lost = [given for future, given in out.items() if not _finished(future, found)]
            return [*_after_the_dead(lost, found, folder), *reversed(waiting)]
    return []


def _finished(future: Future[Tally], found: Tally) -> bool:
    if not future.done() or future.exception() is not None:
        return False
    found.take(future.result())
    return True


def _after_the_dead(lost: list[range], found: Tally, folder: Path) -> Iterator[range]:
    """What is left of chunks whose process ended; a seed it was at for long is a trouble."""
    for given in lost:
        note = folder / str(given.start)
        told = note.read_text() if note.exists() else ""
        dead = folder / f"{given.start}.dead"
        lost_at = folder / f"{given.start}.lost"
        hung = dead.exists() and dead.stat().st_size > 0
        # The processes beside one that ends end too: only who ends twice at a seed did it.
        ended = lost_at.exists() and lost_at.read_text() == told
        lost_at.write_text(told)
        if told and (hung or ended):
            seed = int(told)
            over = f"took over {PATIENCE * LIMIT_S:g} s:\n{dead.read_text()}"
            found.troubles.append((seed, over if hung else "its process ended"))
            yield range(given.start, seed)
            yield range(seed + 1, given.stop)
        else:
            yield given


def _noted(case: Case, seeds: range, folder: Path) -> Tally:
    """Run a chunk; a file says at which seed it is, another where it hung."""
    note = folder / str(seeds.start)
    with (folder / f"{seeds.start}.dead").open("w") as dead:

        def watched(seed: int) -> str:
            note.write_text(str(seed))
            faulthandler.dump_traceback_later(PATIENCE * LIMIT_S, exit=True, file=dead)
            try:
                return case(seed)
            finally:
                faulthandler.cancel_dump_traceback_later()

        return each(watched, seeds)


def _limits() -> None:
    if sys.platform == "win32":
        return
    import resource

    resource.setrlimit(resource.RLIMIT_DATA, (MOST_BYTES, MOST_BYTES))


def held_bytes() -> int:
    """The most memory that this process held at any time; 0 where the system does not tell."""
    if sys.platform == "win32":
        return 0
    import resource

    held = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return held if sys.platform == "darwin" else held * 1024


def _say(found: Tally) -> None:
    """How far it came: in place on a terminal, a line now and then in a file."""
    told = f"{found.count} cases, {len(found.troubles)} troubles"
    if sys.stderr.isatty():
        print(f"\r{told}", end="", file=sys.stderr)
    elif found.count // SAID_EVERY > found.said:
        found.said = found.count // SAID_EVERY
        last = [f"seed {seed}: {text.strip().splitlines()[-1]}" for seed, text in found.troubles]
        print("\n  ".join([told, *last[-SHOWN:]]), file=sys.stderr, flush=True)


def report(name: str, found: Tally) -> int:
    """Print what came of a trial; 0 where nothing went wrong."""
    for seed, told in found.troubles[:SHOWN]:
        print(f"--- {name}, seed {seed}\n{told}")
    took, seed = found.slowest
    words = ", ".join(f"{count} {word}" for word, count in found.outcomes.most_common())
    print(
        f"{name}: {found.count} cases in {found.seconds:.0f} s: {words or 'nothing'}; "
        f"{len(found.troubles)} troubles; slowest {took:.2f} s (seed {seed}); "
        f"at most {found.most_bytes / 2**20:.0f} MB",
        flush=True,
    )
    return 1 if found.troubles or not found.count else 0


def main(name: str, case: Case, *, about: str, count: int) -> int:
    """Run a domain's trial from the command line.

    name : of the domain.
    case : what to do with a seed.
    about : one line for ``--help``.
    count : cases where none are asked for.
    """
    parser = argparse.ArgumentParser(description=about)
    parser.add_argument("count", type=int, nargs="?", default=count)
    parser.add_argument("--first", type=int, default=0, help="the first seed")
    parser.add_argument("--workers", type=int, default=os.cpu_count() or 1)
    parser.add_argument("--one", type=int, help="run this seed alone, here")
    asked = parser.parse_args()
    if asked.one is not None:
        print(case(asked.one))
        return 0
    seeds = range(asked.first, asked.first + asked.count)
    return report(name, on_all_cores(case, seeds, workers=asked.workers))
