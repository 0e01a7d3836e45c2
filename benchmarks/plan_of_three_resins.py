"""Plan sixty castings in three resins that share two pots and one person, and say how long it took.

    python -m benchmarks.plan_of_three_resins

Three jobs of twenty castings, each with its own resin: demoulded after 5 h, 24 h and 72 h.  Each is
poured in loads of five, its first article shown; the plan has passed its independent check.  Exits
1 where it takes longer than `BAR_S`.
"""

from __future__ import annotations

import sys
import time

from mouldgen.shop.activity import Activity, Schedule
from mouldgen.shop.schedule import schedule
from mouldgen.shop.steps import named, steps_of
from tests.plan_settings import DAY, HOUR, cure, facts, hours

BAR_S = 10.0
RESINS = {"fast ": (5.0, 24.0), "medium ": (24.0, 72.0), "slow ": (72.0, 168.0)}


def activities() -> list[Activity]:
    """The work of all three jobs."""
    found = []
    for prefix, (demould_h, full_h) in RESINS.items():
        out, full = demould_h * HOUR, full_h * HOUR
        job = facts(20, cure=cure(hold_s=out, demould_s=out, full_s=full))
        found += [step.activity for step in named(steps_of(job), prefix)]
    return found


def planned() -> tuple[Schedule, float]:
    """The plan, and how long it took [s]."""
    work = activities()
    start = time.perf_counter()
    found = schedule(work, hours=hours(), people=1, places={"pot": 2, "printer": 1})
    return found, time.perf_counter() - start


def main() -> int:
    """Print the figures."""
    found, seconds = planned()
    stages = sum(len(done) for done in found.stages.values())
    print(f"{len(found.stages)} activities in {stages} stages: {seconds:.2f} s, bar {BAR_S:g} s")
    print(f"all is over after {found.finish_s / DAY:.1f} days")
    return int(seconds > BAR_S)


if __name__ == "__main__":
    sys.exit(main())
