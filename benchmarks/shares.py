"""What a whole build of the demo spends its time on: start, imports, and each step of the work.

    python -m benchmarks.shares

In a new process the steps run twice.  The second run is the work itself; what the first one took
longer is imports and what is kept from then on.  What the process took besides is its start and
end.  Medians of several processes.
"""

from __future__ import annotations

import argparse
import json
import statistics
import sys
import tempfile

from benchmarks import figures
from benchmarks.clock import whole

ROUNDS = 7


def measure(rounds: int = ROUNDS) -> dict[str, float]:
    """Median seconds of each share of a whole build."""
    runs: list[dict[str, float]] = []
    with tempfile.TemporaryDirectory() as out:
        command = [sys.executable, "-m", "benchmarks.ways.steps", out]
        for number in range(rounds + 1):
            spent = whole(command)
            told = json.loads(spent.said)
            first, second = told["first"], told["second"]
            once_more = sum(second.values())
            imports = sum(first.values()) - once_more
            start = spent.wall_s - sum(first.values()) - once_more
            if number:
                runs.append({"start and end of Python": start, "imports": imports, **second})
    return {name: statistics.median(run[name] for run in runs) for name in runs[0]}


def main() -> int:
    """Print the shares."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--rounds", type=int, default=ROUNDS)
    parser.add_argument("--keep", action="store_true", help="keep the figures for docs")
    asked = parser.parse_args()
    found = measure(asked.rounds)
    total = sum(found.values())
    for name, seconds in sorted(found.items(), key=lambda share: -share[1]):
        print(f"{name:<34}{1000.0 * seconds:>8.0f} ms{seconds / total:>7.0%}")
    print(f"{'together':<34}{1000.0 * total:>8.0f} ms")
    if asked.keep:
        figures.keep("shares", {"seconds": found})
    return 0


if __name__ == "__main__":
    sys.exit(main())
