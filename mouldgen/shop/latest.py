"""How late each stage may begin if all is to be over by a time, however many people there are."""

from __future__ import annotations

from collections.abc import Mapping

from mouldgen.shop.activity import Activity
from mouldgen.shop.hours import DAY_S, Hours
from mouldgen.shop.question import Question

_NEVER = -1


def latest_starts(question: Question, by_s: int) -> Mapping[str, tuple[int, ...]]:
    """For each activity the latest starts of its stages, from the end of all work back [s].

    by_s : when all is to be over [s].

    Working hours and waits count, people and places do not: what begins later than this is over
    too late in every plan, and below 0 it always is.
    """
    latest: dict[str, tuple[int, ...]] = {}
    for name in question.tails:  # behind all that wait for it
        over = min((latest[after][0] for after in question.after[name]), default=by_s)
        latest[name] = _of_stages(question.activities[name], over, question.hours)
    return latest


def _of_stages(activity: Activity, over: int, hours: Hours) -> tuple[int, ...]:
    through = [over] * len(activity.stages)  # by when the hands of each must be
    starts = [over] * len(activity.stages)
    for number in reversed(range(len(activity.stages))):
        stage = activity.stages[number]
        then = over if number + 1 == len(activity.stages) else starts[number + 1]
        through[number] = min(through[number], then - stage.wait_s)
        starts[number] = _latest(stage.hands_s, through[number], hours, by_day=stage.by_day)
        if stage.since is not None:
            first, least = stage.since
            through[first] = min(through[first], starts[number] - least)
    return tuple(starts)


def _latest(hands_s: int, end: int, hours: Hours, *, by_day: bool) -> int:
    """The latest start of work that is through by a time."""
    left = hands_s
    if not left:
        return end
    for day in range(end // DAY_S, -1, -1):
        if not hours.works_on(day):
            continue
        opens = day * DAY_S + hours.opens_s
        there = min(end, opens + hours.length_s) - opens
        if there >= left:
            return opens + there - left
        if by_day and there > 0:
            left -= there
    return _NEVER
