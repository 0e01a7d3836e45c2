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
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from mouldgen.errors import NoAnswerError
from mouldgen.shop.activity import Activity, Done, Schedule
from mouldgen.shop.hours import Hours
from mouldgen.shop.question import Question
from mouldgen.shop.timeline import FOREVER, Timeline
from mouldgen.shop.validate import validate

_EVERY_ORDER = 9  # stages; more are sampled
_MOST_NODES = 40_000
_WORK = 12_000  # stages put in place over all passes
_FEWEST_PASSES, _MOST_PASSES = 12, 400
_STALE_PASSES = 60  # one after another that end no earlier: the shipped jobs find theirs at once
_STEP_S = 900  # by which a stage that may be interrupted is put off for the window of its next one
_LATER_TRIES = 1500  # such steps: more than two weeks
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
    for activity in activities:
        if _in_window(question, _empty(question), activity, 0, activity.not_before_s) is None:
            raise _never_in_time(activity.name)
    found = _best(question, seed)
    if found is None:
        raise _never_in_time("something")
    validate(activities, found, hours=hours, people=people, places=places)
    return found


def _never_in_time(name: str) -> NoAnswerError:
    return NoAnswerError(
        f"no plan was found in which all of {name} comes in its time",
        where="[resin] recoat",
        try_="Cast fewer moulds at once, work longer days, or start on another day.",
    )


@dataclass(eq=False)
class _State:
    """What is put in place so far."""

    people: Timeline
    places: dict[str, Timeline]
    done: dict[str, list[Done]]

    def copy(self) -> _State:
        places = {kind: line.copy() for kind, line in self.places.items()}
        return _State(self.people.copy(), places, {n: d[:] for n, d in self.done.items()})


@dataclass(frozen=True)
class _Spot:
    """Where a stage would go."""

    name: str
    number: int
    start_s: int
    hands_end_s: int


def _empty(question: Question) -> _State:
    places = {kind: Timeline(number) for kind, number in question.places.items()}
    return _State(Timeline(question.people), places, {name: [] for name in question.activities})


def _spot(question: Question, state: _State, name: str) -> _Spot | None:
    """Where the next stage of an activity goes; None where it must wait for others.

    None as well where it comes too late for the window that the stage before it leaves.
    """
    activity, done = question.activities[name], state.done[name]
    number, start = len(done), activity.not_before_s
    latest = FOREVER
    if number:
        start, within = done[-1].end_s, activity.stages[number - 1].within_s
        since = activity.stages[number].since
        if since is not None:
            start = max(start, done[since[0]].hands_end_s + since[1])
        latest = FOREVER if within is None else done[-1].hands_end_s + within
    else:
        if name in question.twin and not state.done[question.twin[name]]:
            return None
        for before in activity.after:
            whole = state.done[before]
            if len(whole) < len(question.activities[before].stages):
                return None
            start = max(start, whole[-1].end_s)
    found = _in_window(question, state, activity, number, start)
    return None if found is None or found[0] > latest else _Spot(name, number, *found)


def _in_window(
    question: Question, state: _State, activity: Activity, number: int, start: int
) -> tuple[int, int] | None:
    """The earliest start and end of a stage after which the next one can come in its window.

    Where the next one comes too late by a time, it still does after a start that is put off by
    less than that: its own earliest time does not move to the front.
    """
    stage = activity.stages[number]
    for _ in range(_LATER_TRIES):
        found = _earliest(question, state, activity, number, start)
        if found is None or stage.within_s is None or number + 1 == len(activity.stages):
            return found
        end = found[1]
        after = _in_window(question, state, activity, number + 1, end + stage.wait_s)
        if after is None:
            return None
        late = after[0] - end - stage.within_s
        if late <= 0:
            return found
        start = found[0] + (min(late, _STEP_S) if stage.by_day else late)
    return None


def _earliest(
    question: Question, state: _State, activity: Activity, number: int, start: int
) -> tuple[int, int] | None:
    stage, hours = activity.stages[number], question.hours
    while True:
        end = start
        if stage.hands_s:
            if stage.by_day:
                start = hours.span(start)[0]
                end = hours.until(start, stage.hands_s)
            else:
                start = hours.whole(start, stage.hands_s)
                end = start + stage.hands_s
            free = state.people.free_from(start, end)
            if free > start:
                start = free
                continue
        if number == 0:
            free = max(
                (state.places[kind].free_from(start, FOREVER, n) for kind, n in activity.holds),
                default=start,
            )
            if free >= FOREVER:
                return None
            if free > start:
                start = free
                continue
        return start, end


def _put(question: Question, state: _State, spot: _Spot) -> None:
    activity = question.activities[spot.name]
    stage = activity.stages[spot.number]
    end = spot.hands_end_s + stage.wait_s
    if stage.hands_s:
        state.people.take(spot.start_s, spot.hands_end_s)
    if spot.number == 0:
        for kind, number in activity.holds:
            state.places[kind].take(spot.start_s, FOREVER, number)
    state.done[spot.name].append(Done(spot.start_s, spot.hands_end_s, end))
    last = spot.number == len(activity.stages) - 1
    for kind, number in activity.holds:
        if kind in stage.frees:
            state.places[kind].give_back(spot.hands_end_s, number)
        elif last and activity.frees_at(kind) is None:
            state.places[kind].give_back(end, number)


def _best(question: Question, seed: int) -> Schedule | None:
    fewest = _without_limits(question)
    best, every = _sampled(question, seed, fewest), False
    if question.stages <= _EVERY_ORDER:
        best, every = _in_every_order(question, best)
    if best is None:
        return None
    return replace(best, earliest=every or best.finish_s <= fewest)


_Key = Callable[[_Spot], tuple[float, ...]]


def _sampled(question: Question, seed: int, fewest: int) -> Schedule | None:
    """The best of many passes; stops where nothing could be faster.

    fewest : when all would be over with people and places enough [s].
    """
    draw, best = np.random.default_rng(seed), None
    passes = min(_MOST_PASSES, max(_FEWEST_PASSES, _WORK // question.stages))
    earlier = 0
    for number in range(passes):
        weight = _WEIGHTS[number % len(_WEIGHTS)]
        spread = 0.0 if number < len(_WEIGHTS) else 0.3
        noise = {n: float(draw.uniform(1 - spread, 1 + spread)) for n in question.activities}

        def key(
            spot: _Spot, weight: float = weight, noise: Mapping[str, float] = noise
        ) -> tuple[float, ...]:
            tail = question.tail_from(spot.name, spot.number) * noise[spot.name]
            return spot.start_s - weight * tail, -tail

        found = _passed(question, key)
        if found is not None and (best is None or _rank(found) < _rank(best)):
            earlier = number if best is None or found.finish_s < best.finish_s else earlier
            best = found
        if best is not None and (best.finish_s <= fewest or number - earlier >= _STALE_PASSES):
            break
    return best


def _passed(question: Question, key: _Key) -> Schedule | None:
    """One order; None where it leads nowhere.

    Spots are kept from one stage to the next: what is put in place only takes room away, so a
    spot that is still there when its turn comes is still the earliest.  What waits for a place
    that is held without an end is looked at anew.
    """
    state = _empty(question)
    spots = {name: _spot(question, state, name) for name in question.activities}
    waits_for = {
        name: len(activity.after) + (name in question.twin)
        for name, activity in question.activities.items()
    }
    while spots:
        ready = [spot for spot in spots.values() if spot is not None]
        if not ready:
            return None
        chosen = min(ready, key=key)
        now = _spot(question, state, chosen.name)
        if now != chosen:
            spots[chosen.name] = now
            continue
        _put(question, state, chosen)
        stages = question.activities[chosen.name].stages
        freed = bool(stages[chosen.number].frees)
        twin = question.next_twin.get(chosen.name) if chosen.number == 0 else None
        if twin is not None:
            waits_for[twin] -= 1
        while chosen.number + 1 < len(stages) and stages[chosen.number].within_s is not None:
            following = _spot(question, state, chosen.name)  # at once: its window is still open
            if following is None:
                return None
            _put(question, state, following)
            chosen = following
            freed = freed or bool(stages[chosen.number].frees)
        if chosen.number + 1 < len(stages):
            spots[chosen.name] = _spot(question, state, chosen.name)
        else:
            del spots[chosen.name]
            freed = True
            for name in question.after[chosen.name]:
                waits_for[name] -= 1
        if twin is not None and not waits_for[twin]:
            spots[twin] = _spot(question, state, twin)
        if freed:
            for name in [n for n, spot in spots.items() if spot is None and not waits_for[n]]:
                spots[name] = _spot(question, state, name)
    return _whole(question, state)


def _whole(question: Question, state: _State) -> Schedule | None:
    for name, activity in question.activities.items():
        if len(state.done[name]) < len(activity.stages):
            return None
    return Schedule({name: tuple(done) for name, done in state.done.items()})


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
    found = _passed(free, lambda spot: (spot.start_s,))
    return 0 if found is None else found.finish_s


def _in_every_order(question: Question, best: Schedule | None) -> tuple[Schedule | None, bool]:
    """Every order of a few stages, but for those that cannot beat the best any more.

    Told beside the best of them: whether all were tried.
    """
    nodes = 0

    def go_on(state: _State) -> None:
        nonlocal best, nodes
        nodes += 1
        if nodes > _MOST_NODES:
            return
        found = (_spot(question, state, n) for n, a in question.activities.items()
                 if len(state.done[n]) < len(a.stages))  # fmt: skip
        spots = [spot for spot in found if spot is not None]
        if not spots:
            whole = _whole(question, state)
            if whole is not None and (best is None or whole.finish_s < best.finish_s):
                best = whole
            return
        most = math.inf if best is None else best.finish_s
        if any(s.start_s + question.tail_from(s.name, s.number) >= most for s in spots):
            return
        for spot in sorted(spots, key=lambda s: s.start_s):
            then = state.copy()
            _put(question, then, spot)
            go_on(then)

    go_on(_empty(question))
    return best, nodes <= _MOST_NODES
