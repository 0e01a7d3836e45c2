"""Make a catalogue of many variants on one core, on two, and on a cluster of two workers.

    python -m benchmarks.many_variants 100
    python -m benchmarks.many_variants 1000 --rounds 1

Variants are boathouse-pegs of so many diameters.  Each way is run in turn, so that a machine which
gets busy slows all of them; the best round of each counts.  Workers are started and loaded before
the clock runs.  Exits 1 where rows differ or a bar is missed: two cores at least 1.8 times as fast
as one (a set shares nothing; the rest is for the process that hands out and keeps), the cluster
within 15 % of two cores (its scheduler stands between).  A killed worker must cost one retry.
"""

from __future__ import annotations

import argparse
import importlib.util
import os
import signal
import subprocess
import sys
import tempfile
from collections.abc import Iterable, Iterator
from functools import partial
from pathlib import Path
from time import perf_counter

from benchmarks import figures
from mouldgen.catalogue.base import base_of
from mouldgen.catalogue.cluster import on_cluster
from mouldgen.catalogue.crew import Done, with_crew
from mouldgen.catalogue.grid import grid_of
from mouldgen.catalogue.run import Hands, make_catalogue
from mouldgen.catalogue.variant import Variant, named
from mouldgen.catalogue.work import Bench, Task
from tests.catalogue_works import start_cluster

FASTER = 1.8
SLOWER = 1.15
JOB = "boathouse-pegs"


def variants(count: int) -> dict[str, Variant]:
    """So many diameters from 28 mm to 32 mm."""
    sizes = ",".join(f"{28.0 + 4.0 * at / count:.4f} mm" for at in range(count))
    return named(grid_of([f"insert.diameter={sizes}"]), job=JOB)


def on_cores(tasks: Iterable[Task], bench: Bench, *, workers: int) -> Iterator[Done]:
    """Hands of this machine."""
    return with_crew(tasks, bench=bench, workers=workers)


def far(tasks: Iterable[Task], bench: Bench, *, scheduler: str) -> Iterator[Done]:
    """Hands of a cluster."""
    return on_cluster(tasks, bench=bench, scheduler=scheduler)


def seconds(hands: Hands, count: int) -> tuple[float, bytes]:
    """From the first row to the last for all the others, and the table [s]."""
    times: list[float] = []
    with tempfile.TemporaryDirectory() as out:
        make_catalogue(
            base_of(JOB),
            variants(count),
            out=Path(out),
            hands=hands,
            watch=lambda _: times.append(perf_counter()),
        )
        table = (Path(out) / f"{JOB}-catalogue" / "catalogue.csv").read_bytes()
    warm = len(times) // 10  # workers start one after the other
    return (times[-1] - times[warm]) * len(times) / (len(times) - 1 - warm), table


def kill_costs(count: int) -> int:
    """How many attempts more than variants there are where one worker is killed in the middle."""
    killed: list[int] = []

    def once(_: object) -> None:
        if not killed:
            child = _a_child()
            killed.append(child)
            os.kill(child, getattr(signal, "SIGKILL", signal.SIGTERM))

    with tempfile.TemporaryDirectory() as out:
        rows = make_catalogue(
            base_of(JOB),
            variants(count),
            out=Path(out),
            hands=partial(on_cores, workers=2),
            watch=once,
        )
    return sum(row.attempts for row in rows.values()) - count


def _a_child() -> int:
    import multiprocessing

    return min(child.pid or 0 for child in multiprocessing.active_children())


def measure(
    ways: dict[str, Hands], *, count: int, rounds: int
) -> tuple[dict[str, float], set[bytes]]:
    """The best seconds of each way, and the different tables that came of them."""
    best = dict.fromkeys(ways, float("inf"))
    tables: set[bytes] = set()
    for _ in range(rounds):
        for name, hands in ways.items():
            took, table = seconds(hands, count)
            best[name] = min(best[name], took)
            tables.add(table)
            print(
                f"{name:10s} {took:8.2f} s  {1000.0 * took / count:6.1f} ms a variant", flush=True
            )
    return best, tables


def main() -> int:
    """Run all ways, print the figures, say whether all is as it should be."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("count", type=int, nargs="?", default=100)
    parser.add_argument("--rounds", type=int, default=3)
    parser.add_argument("--keep", action="store_true", help="keep the figures for docs")
    asked = parser.parse_args()
    ways: dict[str, Hands] = {
        "one core": partial(on_cores, workers=1),
        "two cores": partial(on_cores, workers=2),
    }
    process: subprocess.Popen[str] | None = None
    with tempfile.TemporaryDirectory() as folder:
        if importlib.util.find_spec("distributed") is not None:
            process, address = start_cluster(Path(folder))
            ways["cluster"] = partial(far, scheduler=address)
        try:
            best, tables = measure(ways, count=asked.count, rounds=asked.rounds)
        finally:
            if process is not None:
                process.communicate("\n", timeout=60)
    faster = best["one core"] / best["two cores"]
    slower = best.get("cluster", 0.0) / best["two cores"]
    retries = kill_costs(min(asked.count, 40))
    print(f"two cores are {faster:.2f} times as fast as one; bar {FASTER}")
    print(f"the cluster takes {slower:.2f} times as long as two cores; bar {SLOWER}")
    print(f"a killed worker costs {retries} retry; bar 1")
    print(f"{len(tables)} different table; bar 1")
    if asked.keep:
        figures.keep(
            "many_variants",
            {"count": asked.count, "rounds": asked.rounds, "seconds": best, "retries": retries},
        )
    met = faster >= FASTER and slower <= SLOWER and retries == 1 and len(tables) == 1
    return 0 if met else 1


if __name__ == "__main__":
    sys.exit(main())
