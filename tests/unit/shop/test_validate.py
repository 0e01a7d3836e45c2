"""Every way that a plan can be wrong is caught by the check that shares no code with it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable

import pytest

from mouldgen.errors import PlanError
from mouldgen.shop.activity import Activity, Done, Schedule, Stage
from mouldgen.shop.hours import DAY_S, Hours
from mouldgen.shop.schedule import schedule
from mouldgen.shop.validate import validate

HOUR = 3600
FRIDAY = dt.date(2026, 12, 4)
WEEK = Hours(dt.date(2026, 11, 30), 8 * HOUR, 8 * HOUR, (True,) * 5 + (False,) * 2,
             frozenset({FRIDAY}))  # fmt: skip
PLACES = {"pot": 1, "mould": 2}
LOAD = (
    Stage("pour", HOUR, 2 * HOUR, within_s=5 * HOUR),
    Stage("refill", HOUR),
    Stage("unload", HOUR, since=(1, 20 * HOUR), frees=("pot",)),
    Stage("demould", HOUR, since=(1, 40 * HOUR)),
)
JOB = (
    Activity("cut", (Stage("cut", 2 * HOUR),), not_before_s=round(0.4 * DAY_S)),
    Activity("load 1", LOAD, ("cut",), (("pot", 1), ("mould", 1))),
    Activity("load 2", LOAD, ("cut",), (("pot", 1), ("mould", 1))),
    Activity("face", (Stage("face", 9 * HOUR, HOUR, by_day=True),), ("load 1", "load 2")),
)
Times = dict[str, list[Done]]


def at(day: int, hour: float) -> int:
    return round(day * DAY_S + hour * HOUR)


def hands(day: int, hour: float, *, wait: float = 0.0, takes: float = 1.0) -> Done:
    return Done(at(day, hour), at(day, hour + takes), at(day, hour + takes + wait))


def check(times: Times, *, people: int = 1, places: dict[str, int] = PLACES) -> None:
    found = Schedule({name: tuple(done) for name, done in times.items()})
    validate(JOB, found, hours=WEEK, people=people, places=places)


def right() -> Times:
    """Written down by hand, so that nothing of the scheduler is in it."""
    return {
        "cut": [hands(0, 9.6, takes=2)],
        "load 1": [hands(0, 11.6, wait=2), hands(0, 15), hands(1, 12), hands(2, 12)],
        "load 2": [hands(2, 8, wait=2), hands(2, 11), hands(3, 8), hands(7, 8)],
        "face": [Done(at(7, 9), at(8, 10), at(8, 11))],  # 9 to 16 on Monday, 8 to 10 on Tuesday
    }


def test_a_plan_written_down_by_hand_is_sound():
    check(right())


def test_the_plan_that_the_scheduler_makes_of_it_is_sound_and_no_later():
    found = schedule(JOB, hours=WEEK, people=1, places=PLACES)
    validate(JOB, found, hours=WEEK, people=1, places=PLACES)
    assert found.finish_s <= at(8, 11)


def moved(name: str, number: int, by_h: float) -> Callable[[Times], None]:
    def fault(times: Times) -> None:
        done = times[name][number]
        by = round(by_h * HOUR)
        times[name][number] = Done(done.start_s + by, done.hands_end_s + by, done.end_s + by)

    return fault


def put(name: str, number: int, done: Done) -> Callable[[Times], None]:
    def fault(times: Times) -> None:
        times[name][number] = done

    return fault


def left_out(times: Times) -> None:
    del times["cut"]


def one_more(times: Times) -> None:
    times["polish"] = [hands(9, 8)]


def stage_left_out(times: Times) -> None:
    times["load 1"].pop()


def refilled_late(times: Times) -> None:
    times["load 2"][1:3] = [hands(2, 14.1), hands(3, 12)]


FAULTS: dict[str, tuple[Callable[[Times], None], str]] = {
    "left out": (left_out, "does not hold every activity once"),
    "one more": (one_more, "does not hold every activity once"),
    "a stage left out": (stage_left_out, "load 1 has 4 stages, the plan 3"),
    "before it may": (moved("cut", 0, -0.1), "cut begins before it may"),
    "before what it waits for": (moved("load 1", 0, -0.1), "load 1 begins before cut is over"),
    "wait cut short": (
        put("load 1", 0, Done(at(0, 11.6), at(0, 12.6), at(0, 14.5))),
        "load 1, pour: the wait is not as long as it must be",
    ),
    "too few hands": (
        put("load 1", 1, Done(at(0, 15), at(0, 15.5), at(0, 15.5))),
        r"load 1, refill: 1800 s of hands are planned",
    ),
    "too many hands": (
        put("cut", 0, Done(at(0, 9.6), at(0, 11.7), at(0, 11.7))),
        r"cut, cut: 7560 s of hands are planned",
    ),
    "after closing": (moved("load 1", 1, 0.5), "load 1, refill: 1800 s of hands are planned"),
    "before opening": (moved("load 2", 0, -0.5), "load 2, pour: 1800 s of hands are planned"),
    "on a closed day": (moved("load 2", 3, -72), "load 2, demould: 0 s of hands are planned"),
    "on a free day": (
        put("load 2", 3, hands(5, 9)), "load 2, demould: 0 s of hands are planned",
    ),
    "interrupted": (
        put("load 1", 3, Done(at(2, 15.5), at(3, 8.5), at(3, 8.5))),
        "load 1, demould: is interrupted",
    ),
    "second pour too early": (
        put("load 2", 1, hands(2, 10.9)), "load 2: what follows pour begins too early",
    ),
    "second pour too late": (refilled_late, "load 2: what follows pour begins too late"),
    "out of the pot too early": (
        put("load 2", 2, hands(2, 13)), "load 2, unload: begins too early",
    ),
    "out of the mould too early": (
        put("load 2", 3, hands(3, 10)), "load 2, demould: begins too early",
    ),
    "two loads in one pot": (
        put("load 1", 2, hands(2, 9)), "2 pot are needed at once and there are 1",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", FAULTS)
def test_a_planted_fault_is_caught(name):
    times, (fault, message) = right(), FAULTS[name]
    fault(times)
    with pytest.raises(PlanError, match=message):
        check(times)


def test_two_things_at_once_are_caught_and_two_people_do_them():
    times = right()
    times["load 1"][3] = hands(2, 11.5)  # while load 2 is refilled from 11 to 12
    with pytest.raises(PlanError, match="2 people are needed at once and there are 1"):
        check(times)
    check(times, people=2)


def test_moulds_are_held_until_the_demould_though_the_pot_is_free():
    with pytest.raises(PlanError, match="2 mould are needed at once and there are 1"):
        check(right(), places={"pot": 1, "mould": 1})


def test_places_that_there_are_not():
    with pytest.raises(PlanError, match="1 pot are needed at once and there are 0"):
        check(right(), places={"mould": 2})


def test_an_end_and_a_start_at_one_time_do_not_meet():
    times = right()
    times["load 1"][2] = hands(2, 7 + 1)  # out of the pot from 8 to 9
    times["load 1"][3] = hands(2, 11)
    times["load 2"] = [hands(2, 9, wait=2), hands(2, 12), hands(3, 9), hands(7, 8)]
    check(times)
