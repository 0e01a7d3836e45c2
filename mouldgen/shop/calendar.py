"""A schedule as people read it: day by day, from when to when, what, how many."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from mouldgen.shop.activity import Done, Schedule
from mouldgen.shop.hours import Hours
from mouldgen.shop.step import Step


@dataclass(frozen=True, eq=False)
class Entry:
    """A stretch of one person's work on one day.

    start, end : when the hands begin and when they are through, or the shop closes.
    what : is done.
    step : the name of its activity, such as ``load 2``.
    count : how many are worked on.
    of : of what, in the singular.
    goes_on : whether the work goes on the next day.
    until : what follows in the same step can begin no earlier; None where nothing has to wait.
    """

    start: dt.datetime
    end: dt.datetime
    what: str
    step: str
    count: int
    of: str
    goes_on: bool = False
    until: dt.datetime | None = None


def calendar_of(steps: Sequence[Step], schedule: Schedule, hours: Hours) -> tuple[Entry, ...]:
    """Every stretch of hands, and the starts of waits that need none, in the order of time.

    steps : with the activities that the schedule holds.
    hours : that it was made for.
    """
    entries = [entry for step in steps for entry in _entries(step, schedule, hours)]
    return tuple(sorted(entries, key=lambda entry: (entry.start, entry.end, entry.step)))


def _entries(step: Step, schedule: Schedule, hours: Hours) -> Iterator[Entry]:
    activity, done = step.activity, schedule.stages[step.activity.name]
    for number, (stage, at) in enumerate(zip(activity.stages, done, strict=True)):
        until = waits_until_s(step, done, number)
        if stage.hands_s == 0:
            if number == 0 and until is not None:  # such as wood that dries
                moment = hours.moment(at.start_s)
                yield Entry(moment, moment, stage.what, activity.name, step.count, step.of,
                            until=hours.moment(until))  # fmt: skip
            continue
        stretches = list(_stretches(at, hours))
        for start, end in stretches:
            last = end == at.hands_end_s
            yield Entry(
                hours.moment(start),
                hours.moment(end),
                stage.what,
                activity.name,
                step.count,
                step.of,
                goes_on=not last,
                until=hours.moment(until) if last and until is not None else None,
            )


def waits_until_s(step: Step, done: Sequence[Done], number: int) -> int | None:
    """From when on what follows a stage may begin; None where it need not wait [s].

    step : that the stage belongs to.
    done : when its stages take place.
    number : of the stage, from 0.
    """
    at, stages = done[number], step.activity.stages
    until = at.end_s
    if number + 1 < len(stages):
        since = stages[number + 1].since
        if since is not None:
            until = max(until, done[since[0]].hands_end_s + since[1])
    return until if until > at.hands_end_s else None


def _stretches(at: Done, hours: Hours) -> Iterator[tuple[int, int]]:
    """The hands of a stage, day by day [s]."""
    now = at.start_s
    while now < at.hands_end_s:
        start, closes = hours.span(now)
        end = min(closes, at.hands_end_s)
        yield start, end
        now = end
