"""A whole build of the demo twice in one process, and what each of its steps took, as JSON.

python -m benchmarks.ways.steps OUT
"""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from pathlib import Path
from time import perf_counter
from typing import Any

JOB = "boathouse-pegs"
STEPS = {
    "make": "solids, snapped and checked",
    "pour_into": "virtual pour, three attitudes",
    "check_parts": "clearance and soundness",
    "print_parts": "how the parts print",
    "lay_out": "beds",
}


def inside(out: Path) -> dict[str, dict[str, float]]:
    """Seconds of every step in this process, first and second time."""
    start = perf_counter()
    from mouldgen.cli.app import command

    command(["build"])
    begun = perf_counter() - start
    first, second = once(out), once(out)
    return {"first": {"command line": begun, **first}, "second": second}


def once(out: Path) -> dict[str, float]:
    """Seconds of each step of one build and of writing it."""
    from mouldgen.memo import Memo

    spent: dict[str, float] = {}

    class Timed(Memo):
        """A store that keeps nothing but how long each step took."""

        def step(self, run: Callable[..., Any], *args: Any, **named: Any) -> Any:
            start = perf_counter()
            found = run(*args, **named)
            words = STEPS.get(run.__name__, run.__name__)
            spent[words] = spent.get(words, 0.0) + perf_counter() - start
            return found

    at = perf_counter()
    from mouldgen.job.load import load_job

    loaded = load_job(JOB)
    spent["job file"] = perf_counter() - at
    at, before = perf_counter(), sum(spent.values())
    from mouldgen.build import build_moulds

    found = build_moulds(loaded.job, given=loaded.given, memo=Timed(most=0))
    steps = sum(spent.values()) - before
    spent["gap, amounts and all else"] = perf_counter() - at - steps
    at = perf_counter()
    from mouldgen.files.write import write_set
    from mouldgen.sheet.bed_picture import bed_svg

    pictures = [bed_svg(bed, loaded.job.printer, title=JOB) for bed in found.beds]
    write_set(found, out=out, bed_pictures=pictures)
    spent["writing, read back"] = perf_counter() - at
    return spent


if __name__ == "__main__":
    print(json.dumps(inside(Path(sys.argv[1]))))
