"""How long a command takes to start, beside the bare import that it cannot do without.

    python -m benchmarks.start_up

Whole processes, both sides of a pair taken in turn within one run, medians of nine.  A pair that
is over its bar is measured again, twice at most, and its best counts: what else runs on the
machine slows the longer side more.  Says which pair stays over its bar; exits 1 when one is over
by more than `SPREAD`, so that a shared machine does not fail a change that slowed nothing down.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass

from benchmarks.clock import TRIES, best_of

ROUNDS = 9
SPREAD = 1.2  # the same build came out at 4.8 to 6.0 times the import of numpy within an hour
COMMAND = "import sys; from mouldgen.cli import main; sys.exit(main())"


@dataclass(frozen=True, eq=False)
class Pair:
    """Two processes to compare.

    words : arguments after ``mouldgen``.
    beside : the statement it is compared with.
    bar : the largest ratio of the two medians.
    """

    words: tuple[str, ...]
    beside: str
    bar: float


@dataclass(frozen=True, eq=False)
class Timing:
    """What was measured; medians [ms]."""

    pair: Pair
    ours_ms: float
    theirs_ms: float

    @property
    def ratio(self) -> float:
        """Ours over theirs."""
        return self.ours_ms / self.theirs_ms

    @property
    def met(self) -> bool:
        """Whether the ratio is within the bar."""
        return self.ratio <= self.pair.bar


def pairs(out: str) -> tuple[Pair, ...]:
    """The bars; `out` is a folder to build into."""
    return (
        Pair(words=("--help",), beside="import typer", bar=1.25),
        Pair(words=("build", "boathouse-pegs", "--out", out), beside="import numpy", bar=6.0),
    )


def measure(pair: Pair, *, rounds: int = ROUNDS) -> Timing:
    """Medians of both sides, taken in turn so that a busy moment falls on both."""
    ours_command = [sys.executable, "-c", COMMAND, *pair.words]
    theirs_command = [sys.executable, "-c", pair.beside]
    run(ours_command)  # once unmeasured: byte code, file cache
    run(theirs_command)
    ours, theirs = [], []
    for _ in range(rounds):
        ours.append(run(ours_command))
        theirs.append(run(theirs_command))
    return Timing(pair, statistics.median(ours), statistics.median(theirs))


def best(pair: Pair, *, tries: int = TRIES) -> Timing:
    """The first measurement within the bar, or the best of some."""
    return best_of(
        lambda: measure(pair), figure=lambda timing: timing.ratio, bar=pair.bar, tries=tries
    )


def run(command: list[str]) -> float:
    """Wall time of one whole process [ms]; raises when it fails."""
    # An installed package has its byte code; a checkout where this is set would compile ours
    # anew at each start and compare it with libraries that were compiled at installation.
    env = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    quiet = subprocess.DEVNULL
    start = time.perf_counter()
    subprocess.run(command, check=True, stdout=quiet, stdin=quiet, env=env)
    return (time.perf_counter() - start) * 1000


def main() -> int:
    """Measure, print the table, say whether all bars are met."""
    with tempfile.TemporaryDirectory() as out:
        timings = [best(pair) for pair in pairs(out)]
    print(f"{'command':<34}{'ms':>8}   {'beside':<14}{'ms':>8}{'ratio':>8}{'bar':>7}")
    for timing in timings:
        words = " ".join(("mouldgen", *timing.pair.words)).split(" --out")[0]
        print(
            f"{words:<34}{timing.ours_ms:>8.1f}   {timing.pair.beside:<14}{timing.theirs_ms:>8.1f}"
            f"{timing.ratio:>8.2f}{timing.pair.bar:>7.2f}  {'' if timing.met else 'OVER'}"
        )
    return int(any(timing.ratio > SPREAD * timing.pair.bar for timing in timings))


if __name__ == "__main__":
    sys.exit(main())
