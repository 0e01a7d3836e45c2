"""Working hours: spans, whole stretches, work over nights and free days."""

from __future__ import annotations

import datetime as dt
import random

import pytest

from mouldgen.errors import NoAnswerError
from mouldgen.job.shop_tables import Shop
from mouldgen.shop.hours import DAY_S, Hours, hours_of

HOUR = 3600
MONDAY = dt.date(2026, 11, 30)


def shop(**more: object) -> Shop:
    from mouldgen.job.load import load_job

    sets = [f"shop.{key}={text}" for key, text in more.items()]
    return load_job("boathouse-pegs", sets=sets).job.shop


def week(**more: object) -> Hours:
    return hours_of(shop(**more), first=MONDAY)


def at(day: int, hour: float) -> int:
    return round(day * DAY_S + hour * HOUR)


def test_eight_hours_from_eight_where_the_shop_does_not_say():
    assert week().span(0) == (at(0, 8), at(0, 16))


@pytest.mark.parametrize(
    ("time", "span"),
    [
        (at(0, 3), (at(0, 8), at(0, 16))),
        (at(0, 9), (at(0, 9), at(0, 16))),
        (at(0, 16), (at(1, 8), at(1, 16))),
        (at(4, 17), (at(7, 8), at(7, 16))),  # Friday evening to Monday
        (at(2, 12), (at(3, 8), at(3, 16))),  # Wednesday is closed
    ],
)
def test_the_next_stretch(time, span):
    assert week(closed="[2026-12-02]").span(time) == span


def test_what_must_not_be_interrupted_goes_to_the_day_that_holds_it():
    assert week().whole(at(0, 14), 2 * HOUR) == at(0, 14)
    assert week().whole(at(0, 14) + 1, 2 * HOUR) == at(1, 8)
    assert week().whole(at(4, 15), 2 * HOUR) == at(7, 8)


def test_work_goes_on_the_next_day():
    assert week().until(at(0, 15), 3 * HOUR) == at(1, 10)
    assert week().until(at(4, 12), 12 * HOUR) == at(7, 16)
    assert week().until(at(0, 16), 0) == at(0, 16)


def test_working_time_between_two_times():
    assert week().between(at(0, 0), at(14, 0)) == 10 * 8 * HOUR
    assert week().between(at(4, 15), at(7, 9)) == 2 * HOUR
    assert week().between(at(5, 1), at(6, 23)) == 0


@pytest.mark.parametrize("seed", range(50))
def test_what_is_worked_is_the_working_time_between_start_and_end(seed):
    draw = random.Random(seed)
    hours = Hours(
        MONDAY,
        opens_s=draw.randrange(0, 12 * HOUR),
        length_s=draw.randrange(HOUR, 12 * HOUR),
        days=(True, *(draw.random() < 0.6 for _ in range(6))),
        closed=frozenset(MONDAY + dt.timedelta(days=draw.randrange(30)) for _ in range(3)),
    )
    start, _ = hours.span(draw.randrange(0, 20 * DAY_S))
    length = draw.randrange(1, 60 * HOUR)
    end = hours.until(start, length)
    assert hours.between(start, end) == length
    assert hours.between(start, end - 1) == length - 1


def test_work_longer_than_a_day_in_one_go_is_refused():
    with pytest.raises(NoAnswerError, match=r"9 h of work in one go do not fit a day of 8 h"):
        week().whole(0, 9 * HOUR)


def test_a_shop_that_never_opens_is_told():
    closed = Hours(MONDAY, 0, HOUR, (False,) * 7)
    with pytest.raises(NoAnswerError, match="nobody works within 400 days after 2026-11-30"):
        closed.span(0)


def test_days_and_times_as_people_read_them():
    assert week().date(at(4, 15)) == dt.date(2026, 12, 4)
    assert week().moment(at(4, 15.5)).isoformat() == "2026-12-04T15:30:00"
