"""What one more of a thing changes, what holds a plan up, and the calendar that people read."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from itertools import pairwise

import pytest

from mouldgen.shop.activity import Activity, Done, Schedule, Stage
from mouldgen.shop.bottleneck import bottleneck_of
from mouldgen.shop.calendar import calendar_of
from mouldgen.shop.hours import Hours
from mouldgen.shop.load_names import in_order
from mouldgen.shop.setting import Setting
from mouldgen.shop.step import Step
from mouldgen.shop.steps import places_of
from mouldgen.shop.validate import validate
from mouldgen.shop.what_if import Change, changes_of, ready_on, together
from mouldgen.shop.work_facts import BedFacts, WorkFacts
from tests.plan_settings import DAY, HOUR, MONDAY, cure, facts, hours, load, setting


def table(found: Setting, *, with_moulds: WorkFacts | None = None) -> dict[str, Change]:
    def facts_with(more: int, first_article: bool | None) -> WorkFacts:
        base = found.facts if not more or with_moulds is None else with_moulds
        return replace(base, first=None) if first_article is False else base

    finish = found.schedule(found.steps()).finish_s
    changes = changes_of(found, finish, facts_with=facts_with)
    every = together(found, finish, facts_with=facts_with)
    return {change.what: change for change in (*changes, every)}


@pytest.fixture(scope="module")
def one_pot() -> dict[str, Change]:
    return table(setting(facts(cure=cure(hold_s=3.0 * DAY, demould_s=3.0 * DAY))))


def test_four_loads_of_three_days_want_a_pot(one_pot):
    gains = {what: change.earlier_s for what, change in one_pot.items()}
    assert gains["one more pot"] >= 3 * DAY
    assert gains["one more pot"] == max(
        gain for what, gain in gains.items() if what.startswith("one more")
    )
    assert gains["one more printer"] == 0
    assert "one more mould" not in gains  # cups are turned away


def test_more_of_anything_is_never_later_and_all_of_it_not_later_than_any(one_pot):
    every = one_pot["all of the table together"]
    for change in one_pot.values():
        assert change.earlier_s >= 0
        assert every.finish_s <= change.finish_s or change.what == every.what


def test_the_table_is_in_a_fixed_order(one_pot):
    assert list(one_pot) == [
        "one more pot",
        "one more printer",
        "one more person",
        "Saturday worked too",
        "two hours more a day",
        "no first article",
        "all of the table together",
    ]


def test_one_more_mould_that_is_used_again_makes_loads_larger():
    beds = (BedFacts(2 * HOUR, 1, first=True),)
    few = facts(13, reused=True, moulds=2, beds=(*beds, BedFacts(HOUR, 1)), loads=(load(2),) * 6)
    more = replace(
        few, moulds=3, beds=(*beds, BedFacts(HOUR, 1), BedFacts(HOUR, 1)), loads=(load(3),) * 4
    )
    changes = table(setting(few), with_moulds=more)
    assert changes["one more mould"].earlier_s >= DAY


def test_without_a_pot_there_is_no_row_for_one():
    changes = table(setting(facts(cure=cure(hold_s=None))))
    assert "one more pot" not in changes


def test_a_week_without_a_free_day_and_a_day_without_room():
    week = Hours(MONDAY, 0, 24 * HOUR, (True,) * 7)
    changes = table(Setting(facts(), setting().shop, week))
    assert not {"Saturday worked too", "two hours more a day"} & set(changes)
    late = Hours(MONDAY, 16 * HOUR, 8 * HOUR, (True,) * 5 + (False, True))
    changes = table(Setting(facts(), setting().shop, late))
    assert {"Saturday worked too", "two hours more a day"} <= set(changes)  # two hours earlier


def test_the_bottleneck_is_what_gains_most_of_what_is_added(one_pot):
    found = setting(facts(cure=cure(hold_s=3.0 * DAY, demould_s=3.0 * DAY)))
    steps = found.steps()
    schedule = found.schedule(steps)
    held_up = bottleneck_of(steps, schedule, list(one_pot.values())[:-1])
    assert held_up.change is one_pot["one more pot"]
    assert not one_pot["no first article"].adds
    waits = [(wait.what, wait.seconds) for wait in held_up.waits]
    assert waits == sorted(waits, key=lambda wait: -wait[1])
    # The first article's load, its fills and the last load are each cured for three days.
    assert sum(seconds == 3 * DAY for _, seconds in waits) >= 2


def test_where_nothing_helps_the_waits_are_told():
    job = facts(1, first=None, loads=(load(1),), pieces=1, fills=0.0,
                beds=(BedFacts(HOUR, 1, first=True),))  # fmt: skip
    changes = [Change("one more pot", 5, MONDAY, 0, adds=True)]
    found = setting(job)
    held_up = bottleneck_of(found.steps(), found.schedule(found.steps()), changes)
    assert held_up.change is None
    assert [(wait.step, wait.what, wait.seconds) for wait in held_up.waits] == [
        ("dry the wood", "dry the wood", 2 * DAY),
        # Three days from the pour, of which a day in the pot and the hands at its end are over.
        ("load 1", "demould", 2 * DAY - 420),
        ("load 1", "mix and pour", DAY),
    ]


def test_what_ends_at_midnight_belongs_to_the_day_before():
    assert ready_on(hours(), DAY) == MONDAY
    assert ready_on(hours(), DAY + 1) == MONDAY + dt.timedelta(days=1)
    assert ready_on(hours(), 0) == MONDAY


def test_the_calendar_holds_every_hour_of_hands_within_the_day_and_one_at_a_time():
    found = setting()
    steps = found.steps()
    entries = calendar_of(steps, found.schedule(steps), found.hours)
    hands = sum(stage.hands_s for step in steps for stage in step.activity.stages)
    assert sum((entry.end - entry.start).total_seconds() for entry in entries) == hands
    for entry in entries:
        assert entry.start.date() == entry.end.date()
        assert dt.time(8) <= entry.start.time()
        assert entry.end.time() <= dt.time(16)
    for one, other in pairwise(entries):
        assert one.end <= other.start


def test_the_calendar_tells_until_when_a_load_stays_in_the_pot_and_that_work_goes_on():
    found = setting(facts(60, per_load=12))
    steps = found.steps()
    entries = calendar_of(steps, found.schedule(steps), found.hours)
    poured = next(e for e in entries if e.step == "load 1" and e.what == "mix and pour")
    assert poured.until == poured.end + dt.timedelta(days=1)
    assert (poured.count, poured.of) == (12, "mould")
    demould = next(e for e in entries if e.step == "load 1" and e.what == "demould")
    assert demould.until == poured.end + dt.timedelta(days=3)
    broken = [entry for entry in entries if entry.goes_on]
    assert broken
    assert all(entry.end.time() == dt.time(16) and entry.until is None for entry in broken)
    dry = next(e for e in entries if e.what == "dry the wood")
    assert dry.start == dry.end == found.hours.moment(8 * HOUR)
    assert dry.until == found.hours.moment(2 * DAY + 8 * HOUR)


def test_loads_have_the_numbers_of_their_cards_and_the_plan_stays_sound():
    found = setting(replace(facts(), loads=(load(5), load(5), load(4), load(4), load(2))), pots=2)
    steps = found.steps()
    named, schedule = in_order(steps, found.schedule(steps))
    # The first article's is number 1 on its pot card, so that the others begin with 2.
    numbered = [step for step in named if step.activity.name.startswith("load ")]
    assert [(step.activity.name, step.count) for step in sorted(
        numbered, key=lambda step: step.activity.name
    )] == [("load 2", 5), ("load 3", 5), ("load 4", 4), ("load 5", 4), ("load 6", 2)]  # fmt: skip
    for one, other in (("load 2", "load 3"), ("load 4", "load 5")):
        assert schedule.start_s(one) <= schedule.start_s(other)
    validate(
        [step.activity for step in named],
        schedule,
        hours=found.hours,
        people=1,
        places=places_of(found.facts, found.shop),
    )


def test_no_change_ends_later_than_the_plan_as_it_is_though_a_search_may_find_worse():
    """A plan that was over in a second can still be carried out with one thing more."""
    here = setting()
    for change in changes_of(here, 1, facts_with=lambda *_: here.facts):
        assert (change.finish_s, change.earlier_s) == (1, 0)


def test_what_waits_for_a_load_waits_for_it_under_its_new_number():
    def step(name: str, after: tuple[str, ...] = ()) -> Step:
        return Step(Activity(name, (Stage("work", HOUR),), after), 1, "mould")

    steps = (step("load 1"), step("load 2"), step("pack", after=("load 2",)))
    times = {"load 1": 2 * HOUR, "load 2": 0, "pack": HOUR}
    done = {n: (Done(at, at + HOUR, at + HOUR),) for n, at in times.items()}
    renamed, found = in_order(steps, Schedule(done, earliest=True))
    assert [step.activity.name for step in renamed] == ["load 2", "load 1", "pack"]
    assert renamed[2].activity.after == ("load 1",)
    assert found.start_s("load 1") == 0
    assert found.earliest
