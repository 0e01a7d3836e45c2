"""Work for the workers of a catalogue that takes no time, or ends badly on purpose.

What a task is called says what comes of it, and every begin is a byte in a file of its name.
"""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterable, Iterator
from pathlib import Path

from mouldgen.catalogue.crew import Done
from mouldgen.catalogue.row import Row
from mouldgen.catalogue.work import Bench, Task, failed_row
from mouldgen.errors import SurroundingsError
from mouldgen.job.merge import Merged

ROOT = Path(__file__).parents[1]


def bench(folder: Path) -> Bench:
    """A bench whose folder keeps count of what was begun."""
    return Bench(version="", folder=folder)


def tasks(*names: str) -> list[Task]:
    """Tasks of these names, each known by its own."""
    return [Task(name, (), Merged("job.toml", {}, {}), key=name) for name in names]


def begun(folder: Path, name: str) -> int:
    """How often a task was begun."""
    path = folder / f"{name}.begun"
    return path.stat().st_size if path.exists() else 0


def act(bench: Bench, task: Task) -> Row:
    """Do what the name of the task says."""
    with (bench.folder / f"{task.name}.begun").open("ab") as file:
        file.write(b".")
    kind = task.name.split("-")[0]
    if kind == "poison" or (kind == "dies" and begun(bench.folder, task.name) == 1):
        os.kill(os.getpid(), getattr(signal, "SIGKILL", signal.SIGTERM))
    if kind == "slow":
        time.sleep(600.0)
    if kind == "nap":
        time.sleep(0.2)
    if kind == "greedy":
        try:
            bytearray(3 * 2**30)
        except MemoryError:
            return failed_row(task, "no room", "memory")
    if kind == "full":
        raise SurroundingsError("cannot be written: no space left", where="sets")
    return Row(name=task.name, settings=task.settings, ready=True, gap_mm=float(os.getpid()))


def at_once(given: Iterable[Task], bench: Bench) -> Iterator[Done]:
    """Hands that do it in this process, with a row of their own for every name."""
    del bench
    for task in given:
        yield task, canned(task)


def canned(task: Task) -> Row:
    """The row that `at_once` makes."""
    return Row(name=task.name, settings=task.settings, ready=True, gap_mm=len(task.key) / 7.0)


# Workers are started as docs/catalogue.md says: without what costs them half of their time.
CLUSTER = """
import sys
import dask.config
from distributed import LocalCluster

if __name__ == "__main__":
    given = {"MALLOC_TRIM_THRESHOLD_": 134217728, "MALLOC_MMAP_THRESHOLD_": 33554432}
    dask.config.set({"distributed.nanny.pre-spawn-environ": given})
    with LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None) as cluster:
        print(cluster.scheduler_address, flush=True)
        sys.stdin.readline()
"""


def start_cluster(folder: Path) -> tuple[subprocess.Popen[str], str]:
    """Two workers of one thread in processes of their own, and their scheduler's address.

    A line or the end of what it reads ends it.
    """
    program = folder / "cluster.py"  # its workers are spawned from a file
    program.write_text(CLUSTER, encoding="utf-8")
    process = subprocess.Popen(
        [sys.executable, str(program)],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": str(ROOT)},  # the workers load this very file
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
    )
    assert process.stdout is not None
    return process, process.stdout.readline().strip()
