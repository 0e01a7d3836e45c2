"""Searches that are given up once they end too late: nothing that could be in time is lost."""

from __future__ import annotations

import pytest

from mouldgen.shop.activity import Activity, Stage
from mouldgen.shop.latest import latest_starts
from mouldgen.shop.question import Question
from mouldgen.shop.schedule import schedule, schedule_before
from tests.plan_settings import DAY, HOUR, hours, setting

NOON = 12 * HOUR


def question(*activities: Activity) -> Question:
    return Question(activities, hours=hours(), people=1, places={})


def test_latest_starts_leave_out_nights_and_count_waits():
    whole = Activity("whole", (Stage("whole", 5 * HOUR),))
    parts = Activity("parts", (Stage("parts", 5 * HOUR, by_day=True),))
    # By noon on Tuesday: in one go it was begun on Monday at 11, in parts an hour of it was.
    latest = latest_starts(question(whole, parts), DAY + NOON)
    assert latest == {"whole": (11 * HOUR,), "parts": (15 * HOUR,)}


def test_latest_starts_go_back_over_a_window_and_what_follows():
    pour = (Stage("pour", HOUR, 2 * HOUR), Stage("out", HOUR, since=(0, 6 * HOUR)))
    first = Activity("first", pour)
    then = Activity("then", (Stage("then", 2 * HOUR),), after=("first",))
    latest = latest_starts(question(first, then), DAY + 10 * HOUR)
    # Then from 8 on Tuesday; out by 8, so on Monday from 15; 6 h before that the pour is over.
    assert latest == {"then": (DAY + 8 * HOUR,), "first": (8 * HOUR, 15 * HOUR)}


def test_latest_starts_are_below_0_where_there_is_no_time():
    work = Activity("work", (Stage("work", 5 * HOUR),))
    assert latest_starts(question(work), NOON) == {"work": (-1,)}


@pytest.mark.parametrize("pots", [1, 2])
def test_a_search_before_a_time_finds_what_the_whole_search_finds(pots: int):
    job = setting(pots=pots)
    steps = job.steps()
    found = job.schedule(steps)
    again = job.schedule_before(found.finish_s + 1, steps)
    assert again is not None
    assert again.finish_s == found.finish_s
    assert job.schedule_before(found.finish_s, steps) is None


def test_few_stages_before_a_time_are_tried_in_every_order():
    work = [Activity(f"a{n}", (Stage("a", n * HOUR),)) for n in (1, 2, 3)]
    asked = {"hours": hours(), "people": 1, "places": {}}
    assert schedule(work, **asked).finish_s == 14 * HOUR
    assert schedule_before(14 * HOUR, work, **asked) is None
    found = schedule_before(14 * HOUR + 1, work, **asked)
    assert found is not None
    assert found.earliest
    assert schedule_before(14 * HOUR, [], **asked) is None
