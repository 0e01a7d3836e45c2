"""The scheduler: what waits, what holds, what fits no window, and what is refused."""

from __future__ import annotations

import datetime as dt

import pytest

from mouldgen.errors import InputError, NoAnswerError
from mouldgen.shop.activity import Activity, Schedule, Stage
from mouldgen.shop.hours import DAY_S, Hours
from mouldgen.shop.schedule import schedule
from mouldgen.shop.timeline import FOREVER, Timeline

HOUR = 3600
WEEK = Hours(dt.date(2026, 11, 30), 8 * HOUR, 8 * HOUR, (True,) * 5 + (False,) * 2)  # a Monday


def at(day: int, hour: float) -> int:
    return round(day * DAY_S + hour * HOUR)


def planned(*activities: Activity, people: int = 1, **places: int) -> Schedule:
    return schedule(activities, hours=WEEK, people=people, places=places)


def work(name: str, hours: float, *, after: tuple[str, ...] = (), by_day: bool = False) -> Activity:
    return Activity(name, (Stage(name, round(hours * HOUR), by_day=by_day),), after)


def test_nothing_to_do_is_over_at_once():
    assert planned().finish_s == 0


def test_one_after_another_for_one_person_and_side_by_side_for_two():
    both = work("turn", 3), work("sand", 4)
    assert planned(*both).finish_s == at(0, 15)
    assert planned(*both, people=2).finish_s == at(0, 12)


def test_hands_in_one_go_wait_for_the_next_day_and_others_go_on_there():
    first = work("first", 6)
    assert planned(first, work("whole", 4, after=("first",))).end_s("whole") == at(1, 12)
    assert planned(first, work("parts", 4, by_day=True, after=("first",))).finish_s == at(1, 10)


def test_drying_goes_on_over_a_free_weekend():
    dry = Activity("dry", (Stage("dry", 0, 5 * DAY_S),), not_before_s=at(0, 8))
    assert planned(dry, work("cut", 1, after=("dry",))).start_s("cut") == at(7, 8)


def test_a_pot_that_is_held_lets_the_next_load_wait():
    load = (Stage("pour", HOUR, 24 * HOUR), Stage("unload", HOUR))
    loads = [Activity(f"load {n}", load, holds=(("pot", 1),)) for n in (1, 2)]
    one, two = planned(*loads, pot=1), planned(*loads, pot=2)
    assert one.start_s("load 2") == one.end_s("load 1")
    assert two.start_s("load 2") == at(0, 9)  # as soon as the hands are free


def test_a_pot_is_free_once_it_is_unloaded_though_the_moulds_are_still_taken():
    load = (
        Stage("pour", HOUR),
        Stage("unload", HOUR, since=(0, 5 * HOUR), frees=("pot",)),
        Stage("demould", HOUR, since=(0, 48 * HOUR)),
    )
    loads = [Activity(f"load {n}", load, holds=(("pot", 1), ("mould", 1))) for n in (1, 2)]
    few, many = planned(*loads, pot=1, mould=1), planned(*loads, pot=1, mould=2)
    assert many.start_s("load 2") == at(0, 15)  # poured at 8 to 9, unloaded at 14 to 15
    assert few.start_s("load 2") == few.end_s("load 1") == at(2, 10)


def test_cure_counts_from_the_pour_and_not_from_when_it_was_carried_out():
    stages = (
        Stage("pour", HOUR),
        Stage("unload", HOUR, since=(0, 20 * HOUR)),
        Stage("cure", 0, since=(0, 24 * HOUR)),
    )
    # Over by 9 on Friday; 20 h later it is 5 in the morning on Saturday, when nobody comes.
    found = planned(Activity("load", stages, not_before_s=at(4, 8)))
    assert found.stages["load"][1].start_s == at(7, 8)
    assert found.end_s("load") == at(7, 9)  # 24 h after the pour are long gone


def test_a_second_pour_comes_in_its_window_and_puts_off_the_first_one_for_it():
    stages = (Stage("pour", HOUR, 4 * HOUR, within_s=6 * HOUR), Stage("again", HOUR))
    poured = Activity("poured", stages, ("first",))
    early, late = planned(work("first", 2), poured), planned(work("first", 3.5), poured)
    assert early.start_s("poured") == at(0, 10)
    # Poured by 12.5 on that day, the second pour would be due from 16.5 to 18.5: closed.
    assert late.start_s("poured") == at(1, 8)
    assert late.stages["poured"][1].start_s == at(1, 13)


def test_a_window_that_only_opens_at_night_is_told():
    stages = (Stage("pour", HOUR, 9 * HOUR, within_s=10 * HOUR), Stage("again", HOUR))
    with pytest.raises(
        NoAnswerError, match="no plan was found in which all of poured comes in its time"
    ):
        planned(Activity("poured", stages))


def test_three_pours_chain_their_windows():
    stages = (
        Stage("pour", HOUR, 2 * HOUR, within_s=24 * HOUR),
        Stage("again", HOUR, 2 * HOUR, within_s=24 * HOUR),
        Stage("last", HOUR),
    )
    found = planned(Activity("fade", stages), work("other", 2), people=1)
    starts = [done.start_s for done in found.stages["fade"]]
    assert starts == [at(0, 8), at(0, 11), at(0, 14)]
    assert found.start_s("other") == at(0, 9)  # between the pours


def test_twins_begin_in_the_order_that_they_are_given():
    loads = [
        Activity(f"load {n}", (Stage("pour", HOUR, 10 * HOUR),), holds=(("pot", 1),))
        for n in range(6)
    ]
    found = planned(*loads, pot=2)
    starts = [found.start_s(load.name) for load in loads]
    assert starts == sorted(starts)


def test_nothing_begins_before_its_day():
    stage = Stage("pour", HOUR)
    assert planned(Activity("late", (stage,), not_before_s=at(2, 9))).start_s("late") == at(2, 9)


def test_names_that_are_not_there_or_twice_there_or_wait_in_a_ring():
    with pytest.raises(InputError, match="drill waits for face, which is not there"):
        planned(work("drill", 1, after=("face",)))
    with pytest.raises(InputError, match="two activities have one name"):
        planned(work("drill", 1), work("drill", 2))
    with pytest.raises(InputError, match=r"(drill|tap) waits for itself"):
        planned(work("drill", 1, after=("tap",)), work("tap", 1, after=("drill",)))
    with pytest.raises(InputError, match=r"(drill|tap) waits for itself"):
        planned(
            work("face", 1),
            work("drill", 1, after=("face", "tap")),
            work("tap", 1, after=("drill",)),
            work("sand", 1, after=("tap",)),
        )


def test_a_chain_of_thousands_is_planned():
    chain = [work("0", 0.15)]
    chain += [work(str(n), 0.15, after=(str(n - 1),), by_day=True) for n in range(1, 1200)]
    assert planned(*chain).finish_s == at(2 + 4 * 7, 12)  # 180 h: four weeks and a half


def test_what_there_is_no_room_for():
    with pytest.raises(NoAnswerError, match="load takes 3 mould at once and there are 2"):
        planned(Activity("load", (Stage("pour", HOUR),), holds=(("mould", 3),)), mould=2)
    with pytest.raises(NoAnswerError, match="load takes 1 pot at once and there are 0"):
        planned(Activity("load", (Stage("pour", HOUR),), holds=(("pot", 1),)))


def test_a_session_longer_than_a_day_is_told():
    with pytest.raises(NoAnswerError, match=r"9 h of work in one go do not fit a day of 8 h"):
        planned(work("pour", 9))


def test_stages_that_contradict_themselves():
    with pytest.raises(InputError, match="pour takes less than no time"):
        Stage("pour", -1)
    with pytest.raises(InputError, match="must begin within 5 s and not before 6 s"):
        Stage("pour", 1, 6, within_s=5)
    pour = Stage("pour", 1)
    with pytest.raises(InputError, match="load frees mould"):
        Activity("load", (Stage("pour", 1, frees=("mould",)),), holds=(("pot", 1),))
    with pytest.raises(InputError, match="load frees pot, pot"):
        Activity("load", (Stage("out", 1, frees=("pot",)),) * 2, holds=(("pot", 1),))
    with pytest.raises(InputError, match="cure of load counts from stage 1"):
        Activity("load", (pour, Stage("cure", 0, since=(1, 5))))
    with pytest.raises(InputError, match="again of load has a window and counts from an earlier"):
        Activity("load", (Stage("pour", 1, within_s=9), Stage("again", 1, since=(0, 5))))


def test_a_timeline_counts_what_is_taken():
    line = Timeline(2)
    line.take(10, 20)
    line.take(15, 30)
    assert line.free_from(0, 5) == 0
    assert line.free_from(12, 18) == 20  # both are taken from 15 to 20
    assert line.free_from(0, 10, 2) == 0
    assert line.free_from(5, 10, 2) == 5
    assert line.free_from(5, 11, 2) == 30
    assert line.free_from(0, 1, 3) == FOREVER
    line.take(40, FOREVER, 2)
    assert line.free_from(50, 60) == FOREVER
    line.give_back(55, 1)
    assert line.free_from(50, 60) == 55


def test_a_plan_says_whether_nothing_can_end_earlier():
    """Two hours one after another for one person: every order of them was tried."""
    one = Activity("one", (Stage("one", HOUR),))
    two = Activity("two", (Stage("two", HOUR),))
    assert planned(one, two).earliest
    # Twelve with a person each end when the longest does; with one person nobody proves it.
    many = [Activity(f"a{n}", (Stage("a", HOUR * (1 + n % 3)),)) for n in range(12)]
    assert planned(*many, people=12).earliest
    assert not planned(*many).earliest
