"""Putting stages in place: where the next one of an activity goes, and what it then takes.

What is put in place only takes room away, until a place that was held without an end is freed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from mouldgen.shop.activity import Activity, Done, Schedule
from mouldgen.shop.question import Question
from mouldgen.shop.timeline import FOREVER, Timeline

_STEP_S = 900  # by which a stage that may be interrupted is put off for the window of its next one
_LATER_TRIES = 1500  # such steps: more than two weeks

Times = tuple[int, int]  # when a stage's hands begin, and when they are through [s]
_Key = tuple[int, int, int]  # of which activities, which stage, from when on


@dataclass(eq=False)
class State:
    """What is put in place so far.

    people : when they are at work.
    places : of each kind, when they are held.
    done : the stages of each activity that are put in place.
    ready : for activities of which all that they wait for is over: since when [s].
    asked : where stages would go as it is now; many activities are alike and ask the same.
    """

    people: Timeline
    places: dict[str, Timeline]
    done: dict[str, list[Done]]
    ready: dict[str, int] = field(default_factory=dict)
    asked: dict[_Key, Times | None] = field(default_factory=dict)

    def copy(self) -> State:
        """The same, to go on with without changing this one."""
        places = {kind: line.copy() for kind, line in self.places.items()}
        done = {name: stages[:] for name, stages in self.done.items()}
        return State(self.people.copy(), places, done, self.ready.copy())


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a stage would go.

    name : of its activity.
    number : of the stage.
    start_s : when its hands begin [s].
    hands_end_s : when they are through [s].
    """

    name: str
    number: int
    start_s: int
    hands_end_s: int


def empty(question: Question) -> State:
    """Nothing put in place yet."""
    places = {kind: Timeline(number) for kind, number in question.places.items()}
    return State(Timeline(question.people), places, {name: [] for name in question.activities})


def spot(question: Question, state: State, name: str) -> Spot | None:
    """Where the next stage of an activity goes; None where it must wait for others.

    None as well where it comes too late for the window that the stage before it leaves.
    """
    activity, done = question.activities[name], state.done[name]
    number, latest = len(done), FOREVER
    if number:
        start, within = done[-1].end_s, activity.stages[number - 1].within_s
        since = activity.stages[number].since
        if since is not None:
            start = max(start, done[since[0]].hands_end_s + since[1])
        latest = FOREVER if within is None else done[-1].hands_end_s + within
    else:
        ready = _ready(question, state, activity)
        if ready is None:
            return None
        start = ready
    found = in_window(question, state, activity, number, start)
    return None if found is None or found[0] > latest else Spot(name, number, *found)


def _ready(question: Question, state: State, activity: Activity) -> int | None:
    """Since when all that an activity waits for is over [s]; None where it is not."""
    name = activity.name
    if name in state.ready:
        return state.ready[name]
    if name in question.twin and not state.done[question.twin[name]]:
        return None
    start = activity.not_before_s
    for before in activity.after:
        done = state.done[before]
        if len(done) < len(question.activities[before].stages):
            return None
        start = max(start, done[-1].end_s)
    state.ready[name] = start
    return start


def in_window(
    question: Question, state: State, activity: Activity, number: int, start: int
) -> Times | None:
    """The earliest start and end of a stage after which the next one can come in its window.

    Where the next one comes too late by a time, it still does after a start that is put off by
    less than that: its own earliest time does not move to the front.
    """
    if number == 0:
        start = max(start, places_free_s(state, activity.holds))
        if start >= FOREVER:
            return None
    key = (question.alike[activity.name], number, start)
    if key not in state.asked:
        state.asked[key] = _in_window(question, state, activity, number, start)
    return state.asked[key]


def places_free_s(state: State, holds: Sequence[tuple[str, int]]) -> int:
    """From when on places are free without an end [s]; FOREVER where one is held without an end.

    holds : kinds of places, and how many of each.
    """
    return max((state.places[kind].free_for_good(number) for kind, number in holds), default=0)


def _in_window(
    question: Question, state: State, activity: Activity, number: int, start: int
) -> Times | None:
    stage = activity.stages[number]
    for _ in range(_LATER_TRIES):
        found = _earliest(question, state, activity, number, start)
        if stage.within_s is None or number + 1 == len(activity.stages):
            return found
        end = found[1]
        after = in_window(question, state, activity, number + 1, end + stage.wait_s)
        if after is None:
            return None
        late = after[0] - end - stage.within_s
        if late <= 0:
            return found
        start = found[0] + (min(late, _STEP_S) if stage.by_day else late)
    return None


def _earliest(
    question: Question, state: State, activity: Activity, number: int, start: int
) -> Times:
    """From a time on at which its places are free for good."""
    stage, hours = activity.stages[number], question.hours
    if not stage.hands_s:
        return start, start
    while True:
        if stage.by_day:
            start = hours.span(start)[0]
            end = hours.until(start, stage.hands_s)
        else:
            start = hours.whole(start, stage.hands_s)
            end = start + stage.hands_s
        free = state.people.free_from(start, end)
        if free <= start:
            return start, end
        start = free


def put(question: Question, state: State, chosen: Spot) -> None:
    """Put a stage in place."""
    activity = question.activities[chosen.name]
    stage = activity.stages[chosen.number]
    end = chosen.hands_end_s + stage.wait_s
    if stage.hands_s:
        state.people.take(chosen.start_s, chosen.hands_end_s)
    if chosen.number == 0:
        for kind, number in activity.holds:
            state.places[kind].take(chosen.start_s, FOREVER, number)
    state.done[chosen.name].append(Done(chosen.start_s, chosen.hands_end_s, end))
    last = chosen.number == len(activity.stages) - 1
    for kind, number in activity.holds:
        if kind in stage.frees:
            state.places[kind].give_back(chosen.hands_end_s, number)
        elif last and activity.frees_at(kind) is None:
            state.places[kind].give_back(end, number)
    state.asked.clear()


def whole(question: Question, state: State) -> Schedule | None:
    """The plan, once every stage is in place; None before."""
    for name, activity in question.activities.items():
        if len(state.done[name]) < len(activity.stages):
            return None
    return Schedule({name: tuple(done) for name, done in state.done.items()})
