from __future__ import annotations

import math
from dataclasses import replace

import pytest

from mouldgen.castings.lessons import learned_fills, learned_loss, learned_yield
from mouldgen.castings.records import Casting, Load
from mouldgen.castings.tune import tune
from mouldgen.errors import InternalError
from tests.casting_rows import TAKEN_MM, casting, counted, job, peg_cost


def loads(voids: int, count: int) -> list[Casting]:
    return [one for load in range(count) for one in counted(load, 1.0, voids, 5)]


def shift_of(castings: list[Casting]) -> float:
    return tune(castings, job=job(), cost_at=peg_cost, least_mm=0.5, most_mm=4.0).air_shift


def test_until_there_are_enough_no_gap_moves() -> None:
    assert shift_of([]) == 0.0
    assert shift_of(loads(5, 1)) == 0.0  # five
    assert shift_of(counted(1, 1.0, 10, 30)) == 0.0  # one load


def test_the_shift_moves_the_air_rule_to_the_gap_of_least_cost() -> None:
    rows = loads(3, 8)
    found = tune(rows, job=job(), cost_at=peg_cost, least_mm=0.5, most_mm=4.0)
    assert found.castings == 40
    assert math.exp(found.air_shift) * 1.0 + TAKEN_MM == pytest.approx(
        found.least.gap_mm, rel=1e-12
    )


def test_more_voids_at_the_rules_gap_learn_a_wider_one() -> None:
    shifts = [shift_of(loads(voids, 8)) for voids in range(6)]
    assert shifts == sorted(shifts)
    assert shifts[0] < shifts[-1]


def test_the_shift_carries_over_to_a_job_of_another_size() -> None:
    # Castings at their own air gap of 0.5; the job asks for 1.0: the same s, so the same shift up
    # to what resin costs at either gap.
    small = [replace(one, air_mm=0.5, open_mm=0.5) for one in loads(2, 8)]
    assert shift_of(small) == shift_of(loads(2, 8))


def test_a_yield_is_the_jobs_own_moved_by_what_came_good() -> None:
    rows = [
        casting(1.0, True, number=1, outcome="scrapped"),
        casting(1.0, True, number=2, outcome="repaired"),
        casting(1.0, False, number=3),
        replace(casting(1.0, False, number=4), result=None),
    ]
    # 2 good of 3 on a belief of 0.9 x 12: (10.8 + 2)/(12 + 3)
    assert learned_yield(rows, believed=0.9).mean == pytest.approx(12.8 / 15.0, rel=1e-12)
    assert learned_yield([], believed=0.9).mean == pytest.approx(0.9)


def test_fills_are_the_jobs_own_moved_by_what_was_repaired() -> None:
    rows = [
        casting(1.0, True, number=1, outcome="scrapped"),
        casting(1.0, True, number=2, outcome="repaired"),
        casting(1.0, False, number=3),
    ]
    # 1 filled of 3 on a belief of 0.2 x 12: what is lost is not filled.
    assert learned_fills(rows, believed=0.2, on=12.0).mean == pytest.approx(3.4 / 15.0, rel=1e-12)


def test_a_certain_yield_cannot_be_moved() -> None:
    with pytest.raises(InternalError, match="no share is learned from a belief of 1 on 12"):
        learned_yield([], believed=1.0)


def load_of(mixed_g: float | None, left_g: float | None) -> Load:
    return Load(
        id=1, job="pegs", number=1, poured_at="2026-03-01T10:00:00+00:00", castings=(), note="",
        mixed_g=mixed_g, left_g=left_g,
    )  # fmt: skip


def test_a_loss_is_the_jobs_own_moved_by_what_was_weighed() -> None:
    weighed = [load_of(120.0, 5.0), load_of(130.0, 10.0), load_of(99.0, None)]
    found = learned_loss(weighed, poured_g=lambda _: 100.0, believed=0.05)
    # lost 15 and 20 of 200, on a belief of 5 % of three such loads: (15 + 35)/(300 + 200)
    assert found.share == pytest.approx(50.0 / 500.0, rel=1e-12)
    assert found.loads == 2


def test_without_weighed_loads_the_jobs_own_loss_stands() -> None:
    found = learned_loss([load_of(None, None)], poured_g=lambda _: 0.0, believed=0.08)
    assert (found.share, found.loads) == (0.08, 0)


def test_loads_that_gained_do_not_make_a_loss_below_nothing() -> None:
    found = learned_loss([load_of(50.0, 0.0)] * 9, poured_g=lambda _: 100.0, believed=0.0)
    assert found.share == 0.0


def test_a_load_whose_moulds_take_nothing_is_refused() -> None:
    with pytest.raises(InternalError, match="moulds take nothing"):
        learned_loss([load_of(50.0, 0.0)], poured_g=lambda _: 0.0, believed=0.05)
