"""Run ways to make the demo's body and lid in one process, and say what each took, as JSON.

    python -m benchmarks.ways.run NUMBERS OUT WAY
    python -m benchmarks.ways.run NUMBERS OUT WAY WAY --warm 20

A way is a module of this folder with `prepare`, `make`, `write` and `facts`; `module:function`
names another `make`.  One way without ``--warm`` is what a whole process does: import, make, write.
With it the ways are made in turn, so that a busy moment falls on all of them.
"""

from __future__ import annotations

import argparse
import json
import sys
from importlib import import_module
from pathlib import Path
from time import perf_counter, process_time
from typing import Any

from benchmarks.ways.reading import read


def cold(way: str, numbers: Any, out: Path) -> dict[str, Any]:
    """What one way takes from its import to its files, by stages [s]."""
    at = [perf_counter()]
    module, make = _loaded(way)
    at.append(perf_counter())
    asked = module.prepare(numbers)
    at.append(perf_counter())
    made = make(asked)
    at.append(perf_counter())
    module.write(made, out)
    at.append(perf_counter())
    stages = ("import_s", "prepare_s", "make_s", "write_s")
    return {stage: at[k + 1] - at[k] for k, stage in enumerate(stages)}


def warm(ways: list[str], numbers: Any, rounds: int) -> dict[str, Any]:
    """Seconds of every round of each way, wall and processor, and what it made."""
    loaded = {way: _loaded(way) for way in ways}
    asked = {way: module.prepare(numbers) for way, (module, _) in loaded.items()}
    found: dict[str, Any] = {way: {"wall_s": [], "cpu_s": []} for way in ways}
    for way, (module, make) in loaded.items():
        found[way]["parts"] = module.facts(make(asked[way]))
    for _ in range(rounds):
        for way, (_, make) in loaded.items():
            wall, cpu = perf_counter(), process_time()
            make(asked[way])
            found[way]["wall_s"].append(perf_counter() - wall)
            found[way]["cpu_s"].append(process_time() - cpu)
    return found


def _loaded(way: str) -> tuple[Any, Any]:
    name, _, function = way.partition(":")
    module = import_module(f"benchmarks.ways.{name}")
    return module, getattr(module, function or "make")


def main() -> int:
    """Run what was asked for and print one JSON object."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("numbers", type=Path)
    parser.add_argument("out", type=Path)
    parser.add_argument("ways", nargs="+")
    parser.add_argument("--warm", type=int, default=0, help="rounds")
    asked = parser.parse_args()
    numbers = read(asked.numbers)
    if asked.warm:
        print(json.dumps(warm(asked.ways, numbers, asked.warm)))
    else:
        print(json.dumps(cold(asked.ways[0], numbers, asked.out)))
    return 0


if __name__ == "__main__":
    sys.exit(main())
