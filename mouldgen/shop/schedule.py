"""When everything is done: the earliest finish that is found, always the same one.

A pass takes stages one after the other and puts each at the earliest time that people, places,
working hours and what it waits for allow, in a gap where there is one.  Which stage comes next
is a rule: the one that can begin first, weighed against how much still hangs on it.  Many passes
with other weights run, drawn with a seed; few stages are tried in every order.  Every order is
worth trying: taking the stages of the best plan by their starts gives that plan back, so nothing
is lost to the method but the orders that were not tried.

The method is that of serial schedule generation for projects with scarce resources (Kolisch,
European Journal of Operational Research 90 (1996) 320, from memory).
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from mouldgen.errors import NoAnswerError
from mouldgen.shop.activity import Activity, Schedule
from mouldgen.shop.hours import Hours
from mouldgen.shop.latest import latest_starts
from mouldgen.shop.one_pass import passed
from mouldgen.shop.placing import Spot, State, empty, in_window, put, spot, whole
from mouldgen.shop.question import Question
from mouldgen.shop.timeline import FOREVER
from mouldgen.shop.validate import validate

_EVERY_ORDER = 9  # stages; more are sampled
_MOST_NODES = 40_000
_WORK = 12_000  # stages put in place over all passes
_FEWEST_PASSES, _MOST_PASSES = 12, 400
_STALE_PASSES = 60  # one after another that end no earlier: the shipped jobs find theirs at once
_WEIGHTS = (0.0, 0.1, 0.5, 1.0, 3.0, 1e6)


def schedule(
    activities: Sequence[Activity],
    *,
    hours: Hours,
    people: int,
    places: Mapping[str, int],
    seed: int = 0,
) -> Schedule:
    """The plan that is finished first, of all that are found.

    activities : with names of their own; what they wait for is among them.
    people : who work at once, at least 1.
    places : how many there are of each kind that activities hold.
    seed : of the draws.

    What is returned has passed `validate`.

    Raises NoAnswerError where something can never take place, InputError for names that are not
    there or wait for each other.
    """
    question = Question(activities, hours=hours, people=people, places=places)
    if not activities:
        return Schedule({}, earliest=True)
    found = _checked(question, seed, None)
    if found is None:
        raise _never_in_time("something")
    return found


def schedule_before(
    before_s: int,
    activities: Sequence[Activity],
    *,
    hours: Hours,
    people: int,
    places: Mapping[str, int],
    seed: int = 0,
) -> Schedule | None:
    """The plan that is finished first, where one is found that is before a time.

    Passes that cannot be are given up on the way, so that it takes less than `schedule` does.

    before_s : when all is to be over, at the least a second before [s].
    activities, hours, people, places, seed : as `schedule` takes them.

    Raises what `schedule` raises, but for a plan that is not found.
    """
    question = Question(activities, hours=hours, people=people, places=places)
    return _checked(question, seed, before_s) if activities else None


def _checked(question: Question, seed: int, before_s: int | None) -> Schedule | None:
    """The best plan, validated."""
    activities = list(question.activities.values())
    for activity in activities:
        if in_window(question, empty(question), activity, 0, activity.not_before_s) is None:
            raise _never_in_time(activity.name)
    found = _best(question, seed, before_s)
    if found is not None:
        validate(
            activities,
            found,
            hours=question.hours,
            people=question.people,
            places=question.places,
        )
    return found


def _never_in_time(name: str) -> NoAnswerError:
    return NoAnswerError(
        f"no plan was found in which all of {name} comes in its time",
        where="[resin] recoat",
        try_="Cast fewer moulds at once, work longer days, or start on another day.",
    )


def _best(question: Question, seed: int, before_s: int | None) -> Schedule | None:
    fewest = _without_limits(question)
    if before_s is not None and before_s <= fewest:
        return None
    best, every = _sampled(question, seed, fewest, before_s), False
    if question.stages <= _EVERY_ORDER:
        best, every = _in_every_order(question, best, before_s)
    if best is None:
        return None
    return replace(best, earliest=every or best.finish_s <= fewest)


def _sampled(question: Question, seed: int, fewest: int, before_s: int | None) -> Schedule | None:
    """The best of many passes; stops where nothing could be faster.

    A pass that can no longer end as early as the best one, or before `before_s`, is given up.

    fewest : when all would be over with people and places enough [s].
    """
    draw, best = np.random.default_rng(seed), None
    passes = min(_MOST_PASSES, max(_FEWEST_PASSES, _WORK // question.stages))
    latest = None if before_s is None else latest_starts(question, before_s - 1)
    earlier = 0
    for number in range(passes):
        weight = _WEIGHTS[number % len(_WEIGHTS)]
        spread = 0.0 if number < len(_WEIGHTS) else 0.3
        noise = {n: float(draw.uniform(1 - spread, 1 + spread)) for n in question.activities}

        def key(
            spot: Spot, weight: float = weight, noise: Mapping[str, float] = noise
        ) -> tuple[float, ...]:
            tail = question.tail_from(spot.name, spot.number) * noise[spot.name]
            return spot.start_s - weight * tail, -tail

        found = passed(question, key, latest)
        if found is not None and (best is None or _rank(found) < _rank(best)):
            if best is None or found.finish_s < best.finish_s:
                earlier = number
                by = found.finish_s if before_s is None else found.finish_s - 1
                latest = latest_starts(question, by)
            best = found
        if best is not None and best.finish_s <= fewest:
            break
        if number - earlier >= _STALE_PASSES and (best is not None or before_s is not None):
            break
    return best


def _rank(found: Schedule) -> tuple[int, int]:
    return found.finish_s, sum(stages[-1].end_s for stages in found.stages.values())


def _without_limits(question: Question) -> int:
    """When all would be over with people and places enough [s]: nothing is earlier."""
    free = Question(
        list(question.activities.values()),
        hours=question.hours,
        people=len(question.activities),
        places=dict.fromkeys(question.places, FOREVER),
    )
    found = passed(free, lambda found: (found.start_s,))
    return 0 if found is None else found.finish_s


def _in_every_order(
    question: Question, best: Schedule | None, before_s: int | None
) -> tuple[Schedule | None, bool]:
    """Every order of a few stages, but for those that cannot beat the best any more.

    Told beside the best of them: whether all were tried.
    """
    nodes = 0
    before = math.inf if before_s is None else before_s

    def go_on(state: State) -> None:
        nonlocal best, nodes
        nodes += 1
        if nodes > _MOST_NODES:
            return
        found = (spot(question, state, n) for n, a in question.activities.items()
                 if len(state.done[n]) < len(a.stages))  # fmt: skip
        spots = [one for one in found if one is not None]
        most = before if best is None else best.finish_s
        if not spots:
            plan = whole(question, state)
            if plan is not None and plan.finish_s < most:
                best = plan
            return
        if any(s.start_s + question.tail_from(s.name, s.number) >= most for s in spots):
            return
        for one in sorted(spots, key=lambda s: s.start_s):
            then = state.copy()
            put(question, then, one)
            go_on(then)

    go_on(empty(question))
    return best, nodes <= _MOST_NODES
