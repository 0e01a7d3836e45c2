"""An independent check of a plan: none of the scheduler's arithmetic.

Everything is counted anew from the times themselves: working hours day by day with the standard
library's dates, people and places by sweeping over every start and end.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence

from mouldgen.errors import PlanError
from mouldgen.shop.activity import Activity, Done, Schedule, Stage
from mouldgen.shop.hours import Hours


def validate(
    activities: Sequence[Activity],
    schedule: Schedule,
    *,
    hours: Hours,
    people: int,
    places: Mapping[str, int],
) -> None:
    """Check that a schedule can be carried out.

    Every stage once, in its order and its window; hands within working hours, in one go where
    they must be, never more at once than there are people; nothing before what it waits for; no
    more places held than there are.

    people : who work at once.
    places : how many there are of each kind that activities hold.

    Raises PlanError for the first promise that is broken.
    """
    if {a.name for a in activities} != set(schedule.stages) or len(activities) != len(
        schedule.stages
    ):
        raise PlanError("the plan does not hold every activity once")
    for activity in activities:
        _stages(activity, schedule.stages[activity.name], hours)
        for before in activity.after:
            if schedule.stages[before][-1].end_s > schedule.stages[activity.name][0].start_s:
                raise PlanError(f"{activity.name} begins before {before} is over")
    busy = [piece for a in activities for piece in _hands(a, schedule, hours)]
    _never_more(busy, people, "people")
    for kind in {kind for a in activities for kind, _ in a.holds}:
        held = [
            (schedule.stages[a.name][0].start_s, _held_until(a, schedule, kind), number)
            for a in activities
            for name, number in a.holds
            if name == kind
        ]
        _never_more(held, places.get(kind, 0), kind)


def _stages(activity: Activity, done: tuple[Done, ...], hours: Hours) -> None:
    if len(done) != len(activity.stages):
        raise PlanError(f"{activity.name} has {len(activity.stages)} stages, the plan {len(done)}")
    if done[0].start_s < activity.not_before_s:
        raise PlanError(f"{activity.name} begins before it may")
    for stage, at in zip(activity.stages, done, strict=True):
        if at.end_s - at.hands_end_s != stage.wait_s:
            raise PlanError(f"{activity.name}, {stage.what}: the wait is not as long as it must be")
        worked = sum(end - start for start, end in _working(at, hours))
        if worked != stage.hands_s or (stage.hands_s == 0 and at.hands_end_s != at.start_s):
            raise PlanError(f"{activity.name}, {stage.what}: {worked} s of hands are planned")
        if not stage.by_day and stage.hands_s and at.hands_end_s - at.start_s != stage.hands_s:
            raise PlanError(f"{activity.name}, {stage.what}: is interrupted")
        if stage.since is not None:
            first, least = stage.since
            if at.start_s < done[first].hands_end_s + least:
                raise PlanError(f"{activity.name}, {stage.what}: begins too early")
    for (stage, at), after in zip(zip(activity.stages, done, strict=True), done[1:], strict=False):
        _window(activity, stage, at, after)


def _held_until(activity: Activity, schedule: Schedule, kind: str) -> int:
    done = schedule.stages[activity.name]
    for stage, at in zip(activity.stages, done, strict=True):
        if kind in stage.frees:
            return at.hands_end_s
    return done[-1].end_s


def _window(activity: Activity, stage: Stage, at: Done, after: Done) -> None:
    if after.start_s < at.end_s:
        raise PlanError(f"{activity.name}: what follows {stage.what} begins too early")
    if stage.within_s is not None and after.start_s > at.hands_end_s + stage.within_s:
        raise PlanError(f"{activity.name}: what follows {stage.what} begins too late")


def _hands(activity: Activity, schedule: Schedule, hours: Hours) -> Iterator[tuple[int, int, int]]:
    for stage, at in zip(activity.stages, schedule.stages[activity.name], strict=True):
        if stage.hands_s:
            for start, end in _working(at, hours):
                yield start, end, 1


def _working(at: Done, hours: Hours) -> Iterator[tuple[int, int]]:
    """The working time from a stage's start to the end of its hands, day by day."""
    first = dt.datetime.combine(hours.first, dt.time())
    start, end = (first + dt.timedelta(seconds=s) for s in (at.start_s, at.hands_end_s))
    day = start.date()
    while day <= end.date():
        if hours.days[day.weekday()] and day not in hours.closed:
            midnight = dt.datetime.combine(day, dt.time())
            opens = max(start, midnight + dt.timedelta(seconds=hours.opens_s))
            closes = min(end, midnight + dt.timedelta(seconds=hours.opens_s + hours.length_s))
            if opens < closes:
                yield (
                    round((opens - first).total_seconds()),
                    round((closes - first).total_seconds()),
                )
        day += dt.timedelta(days=1)


def _never_more(taken: Sequence[tuple[int, int, int]], most: int, what: str) -> None:
    """Sweep over the starts and ends; an end comes before a start at the same time."""
    changes = sorted(
        [(start, number) for start, end, number in taken if end > start]
        + [(end, -number) for start, end, number in taken if end > start]
    )
    now = 0
    for _, change in changes:
        now += change
        if now > most:
            raise PlanError(f"{now} {what} are needed at once and there are {most}")
