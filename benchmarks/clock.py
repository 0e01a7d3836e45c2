"""What whole processes take: wall time, processor time, memory.

The memory of a new process counts from where it was forked, so whoever measures loads nothing
large itself.
"""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from time import perf_counter
from typing import TypeVar

ROOT = Path(__file__).parent.parent
TRIES = 3

T = TypeVar("T")


@dataclass(frozen=True, eq=False)
class Spent:
    """What one process took.

    wall_s, cpu_s : from start to end, and of all its threads [s].
    peak_mb : the most memory that it had at once [MB].
    said : its standard output.
    """

    wall_s: float
    cpu_s: float
    peak_mb: float
    said: str


def whole(command: Sequence[str]) -> Spent:
    """Run a command in the project's folder, to its end.

    Raises CalledProcessError where it fails, and AttributeError on a system that does not tell
    what a process took.
    """
    start = perf_counter()
    process = subprocess.Popen(
        list(command), stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, cwd=ROOT,
        env=environment(), text=True,
    )  # fmt: skip
    with process:
        said = process.stdout.read() if process.stdout else ""
        _, status, used = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
    wall = perf_counter() - start
    if process.returncode:
        raise subprocess.CalledProcessError(process.returncode, process.args, said)
    most = used.ru_maxrss / (1e6 if sys.platform == "darwin" else 1e3)
    return Spent(wall, used.ru_utime + used.ru_stime, most, said)


def best_of(
    measure: Callable[[], T], *, figure: Callable[[T], float], bar: float, tries: int = TRIES
) -> T:
    """The first measurement within its bar, or the best of some.

    What else runs on the machine slows whole processes, and the longer ones more.

    measure : once.
    figure : of what was measured, less being better.
    bar : the largest figure that is met.
    tries : the most measurements.
    """
    found: list[T] = []
    while not found or (len(found) < tries and figure(found[-1]) > bar):
        found.append(measure())
    return min(found, key=figure)


def environment() -> dict[str, str]:
    """That of this process, but byte code is kept."""
    # An installed package has its byte code; a checkout where this is set would compile ours
    # anew at each start and compare it with libraries that were compiled at installation.
    return {name: held for name, held in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}


def in_turn(commands: Mapping[str, Sequence[str]], *, rounds: int) -> dict[str, list[Spent]]:
    """Every command once a round, so that a busy moment falls on all; one round more before.

    commands : by their names.
    rounds : that count; the one before them fills the caches.
    """
    found: dict[str, list[Spent]] = {name: [] for name in commands}
    for number in range(rounds + 1):
        for name, command in commands.items():
            spent = whole(command)
            if number:
                found[name].append(spent)
    return found
