"""Whole jobs with the other insert shapes, out of two stated domains (tests/strategies.py)."""

from __future__ import annotations

from collections import Counter

import pytest
from hypothesis import given, settings

from mouldgen.job.model import Job
from tests.property.test_any_job import built_with_nothing_to_fix, count_sound_or_told, many
from tests.strategies import comfortable_jobs_of_more_shapes, wide_jobs_of_more_shapes


@pytest.mark.parametrize("count", [20, pytest.param(40, marks=pytest.mark.heavy)])
def test_comfortable_jobs_of_more_shapes_have_nothing_to_fix(count: int) -> None:
    @settings(many, max_examples=count)
    @given(comfortable_jobs_of_more_shapes())
    def each(job: Job) -> None:
        found = built_with_nothing_to_fix(job)
        insert = found.answer.insert
        assert found.measured_least_mm >= found.answer.size.gap_mm - 1e-3
        assert abs(insert.below_ml(insert.length_mm) - insert.volume_ml) < 1e-9 * insert.volume_ml
        resin = found.amounts.density_g_ml
        by_hand = (insert.volume_ml * resin - insert.mass_g) * 9.80665e-3
        assert abs(found.hold.lift_n - by_hand) <= 1e-9 * (abs(by_hand) + 1.0)

    each()


@pytest.mark.parametrize("count", [30, pytest.param(60, marks=pytest.mark.heavy)])
def test_wide_jobs_of_more_shapes_are_sound_or_say_why_not(count: int) -> None:
    tally: Counter[str] = Counter()

    @settings(many, max_examples=count)
    @given(wide_jobs_of_more_shapes())
    def each(job: Job) -> None:
        count_sound_or_told(job, tally)

    each()
    assert tally["sound"] / tally["all"] >= 0.4, tally
