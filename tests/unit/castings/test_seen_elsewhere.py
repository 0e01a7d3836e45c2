"""Whether castings were cast at gaps like the job's, and where they were."""

from __future__ import annotations

import math

import pytest

from mouldgen.castings.records import Casting
from mouldgen.castings.seen import seen_elsewhere_mm
from tests.casting_rows import TAKEN_MM, counted, job


def test_castings_of_one_gap_stand_for_it_in_a_job_of_another() -> None:
    rows = counted(1, 1.0, 5, 10)

    assert seen_elsewhere_mm(rows, job=job(), gap_mm=2.0 + TAKEN_MM) == pytest.approx(
        1.0 + TAKEN_MM, rel=1e-12
    )
    assert seen_elsewhere_mm(rows, job=job(), gap_mm=1.0 + TAKEN_MM) is None


def test_they_count_by_how_much_wider_they_were_than_air_asked() -> None:
    # Twice the rule's gap of 0.5: in a job whose air asks for 1.5 that is 3.0 open.
    rows = counted(1, 1.0, 0, 10, air_mm=0.5)
    found = seen_elsewhere_mm(rows, job=job(air_mm=1.5), gap_mm=1.5 + TAKEN_MM)

    assert found == pytest.approx(3.0 + TAKEN_MM, rel=1e-12)
    assert seen_elsewhere_mm(rows, job=job(air_mm=1.5), gap_mm=3.0 + TAKEN_MM) is None


def test_a_job_within_their_spread_is_among_them() -> None:
    # As many at 1.0 as at e^0.4: ln(open/air) is 0.2 give or take 0.2.
    rows = [*counted(1, 1.0, 0, 10), *counted(2, math.exp(0.4), 0, 10)]

    def found(wide: float) -> float | None:
        return seen_elsewhere_mm(rows, job=job(), gap_mm=math.exp(wide) + TAKEN_MM)

    assert found(0.399) is found(0.001) is None
    for outside in (0.401, -0.001):
        assert found(outside) == pytest.approx(math.exp(0.2) + TAKEN_MM, rel=1e-12)


@pytest.mark.parametrize(
    "rows",
    [[], counted(1, -0.1, 0, 5), counted(1, 1.0, 0, 5, air_mm=math.inf)],
    ids=["none", "closed", "gelled"],
)
def test_castings_that_say_nothing_of_the_gap_were_cast_nowhere(rows: list[Casting]) -> None:
    assert seen_elsewhere_mm(rows, job=job(), gap_mm=3.0) is None


def test_a_job_that_has_no_open_gap_or_no_air_rule_is_compared_with_none() -> None:
    rows = counted(1, 1.0, 0, 10)

    assert seen_elsewhere_mm(rows, job=job(), gap_mm=TAKEN_MM) is None
    assert seen_elsewhere_mm(rows, job=job(air_mm=math.inf), gap_mm=3.0) is None
