"""Sixty castings in three resins with two pots are planned in seconds, not minutes."""

from __future__ import annotations

import time

from benchmarks.plan_of_three_resins import BAR_S, activities
from mouldgen.shop.schedule import schedule
from tests.plan_settings import hours


def test_sixty_castings_three_resins_two_pots():
    work = activities()
    poured = sum(a.name.split(" ", 1)[1].startswith("load") for a in work)
    assert poured == 3 * 4
    start = time.process_time()  # what else runs on the machine is not counted
    found = schedule(work, hours=hours(), people=1, places={"pot": 2, "printer": 1})
    assert time.process_time() - start < BAR_S / 2
    assert len(found.stages) == len(work)
