"""One order of all stages: the one whose key is smallest comes next, at its earliest time.

Spots are kept from one stage to the next: what is put in place only takes room away, so a spot
that is still there when its turn comes is still the earliest.  What waits for a place that is
held without an end is looked at anew once one is freed.  Of activities that are alike and wait
for the same places only the first is looked at: the others would begin at the same time.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from heapq import heappop, heappush

from mouldgen.shop.activity import Schedule
from mouldgen.shop.placing import Spot, empty, places_free_s, put, spot, whole
from mouldgen.shop.question import Question
from mouldgen.shop.timeline import FOREVER

Key = Callable[[Spot], tuple[float, ...]]
"""Smaller comes first; of two stages at the same time always the same one, whatever the time."""


def passed(
    question: Question, key: Key, latest: Mapping[str, Sequence[int]] | None = None
) -> Schedule | None:
    """A plan; None where this order leads nowhere.

    key : which spot comes first.
    latest : the latest start of each stage [s]; an order that passes one is given up.
    """
    return _Pass(question, key, latest).run()


@dataclass(eq=False)
class _Alike:
    """Activities of the same first stage and places that are ready when their places are free.

    names : a heap, with their order behind one another.
    ready_s : since when all of them are [s].
    """

    names: list[tuple[tuple[float, ...], int, str]] = field(default_factory=list)
    ready_s: int = 0


@dataclass(eq=False)
class _Waiting:
    """Activities that are alike and found no place.

    alike : those that were ready before.
    others : those that are still to be looked at one by one.
    """

    alike: _Alike = field(default_factory=_Alike)
    others: list[str] = field(default_factory=list)


class _Pass:
    """The state of one order.

    spots : where stages would go, by their key and the order given, with those behind the first.
    waits_for : how many others each activity waits for.
    waiting : those that wait for none, and for which there is no place; by what they ask, and
        whether of their first stage.
    """

    def __init__(
        self, question: Question, key: Key, latest: Mapping[str, Sequence[int]] | None
    ) -> None:
        self._question, self._key, self._latest = question, key, latest
        self._state = empty(question)
        self._rank = {name: at for at, name in enumerate(question.activities)}
        self._spots: list[tuple[tuple[float, ...], int, Spot, _Alike | None]] = []
        self._waiting: dict[tuple[int, bool], _Waiting] = {}
        self._waits_for = {
            name: len(activity.after) + (name in question.twin)
            for name, activity in question.activities.items()
        }

    def run(self) -> Schedule | None:
        """Put every stage in place."""
        for name, number in self._waits_for.items():
            if not number:
                self._look(name)
        while self._spots:
            _, _, chosen, behind = heappop(self._spots)
            now = spot(self._question, self._state, chosen.name)
            if now != chosen:
                self._look_behind(chosen.name, now, behind)
                continue
            if behind is not None:
                self._next_of(behind, chosen)
            if not self._go_on(chosen):
                return None
        return whole(self._question, self._state)

    def _look(self, name: str) -> None:
        self._keep(name, spot(self._question, self._state, name))

    def _keep(self, name: str, found: Spot | None, behind: _Alike | None = None) -> None:
        if found is None:
            self._waiting_like(name).others.append(name)
        else:
            heappush(self._spots, (self._key(found), self._rank[name], found, behind))

    def _waiting_like(self, name: str) -> _Waiting:
        kind = self._question.alike[name], not self._state.done[name]
        return self._waiting.setdefault(kind, _Waiting())

    def _free_s(self, name: str) -> int:
        """From when on the places of an activity are free without an end [s]."""
        return places_free_s(self._state, self._question.activities[name].holds)

    def _next_of(self, behind: _Alike, first: Spot) -> None:
        """The next one of those that are alike, where the first of them was to go."""
        if behind.names:
            name = heappop(behind.names)[-1]
            found = Spot(name, 0, first.start_s, first.hands_end_s)
            heappush(self._spots, (self._key(found), self._rank[name], found, behind))

    def _look_behind(self, name: str, now: Spot | None, behind: _Alike | None) -> None:
        """Keep what has moved, and those behind it with it."""
        if behind is None or not behind.names:
            self._keep(name, now)
        elif now is not None and self._free_s(name) >= behind.ready_s:
            self._keep(name, now, behind)
        elif now is None and self._free_s(name) >= FOREVER:
            waiting = self._waiting_like(name)
            waiting.others.append(name)
            if waiting.alike.names:
                waiting.others += [other for _, _, other in behind.names]
            else:
                waiting.alike = behind
        else:
            self._keep(name, now)
            for _, _, other in behind.names:
                self._look(other)

    def _look_again(self) -> None:
        """At all that found no place, but for what needs places that are still held."""
        for kind, waiting in list(self._waiting.items()):
            names = waiting.others
            first = names[0] if names else waiting.alike.names[0][-1]
            free_s = self._free_s(first) if kind[1] else 0
            if free_s >= FOREVER:
                continue
            del self._waiting[kind]
            alike = waiting.alike
            if alike.ready_s > free_s:
                names, alike = [*names, *(name for _, _, name in alike.names)], _Alike()
            for name in names:
                ready_s = self._state.ready[name]
                if kind[1] and ready_s <= free_s:
                    order = self._key(Spot(name, 0, 0, 0)), self._rank[name], name
                    heappush(alike.names, order)
                    alike.ready_s = max(alike.ready_s, ready_s)
                else:
                    self._look(name)
            if alike.names:
                name = heappop(alike.names)[-1]
                self._look_behind(name, spot(self._question, self._state, name), alike)

    def _put(self, chosen: Spot) -> bool:
        """Put a stage in place; whether all can still be over in time."""
        put(self._question, self._state, chosen)
        latest = self._latest
        return latest is None or chosen.start_s <= latest[chosen.name][chosen.number]

    def _go_on(self, chosen: Spot) -> bool:
        """Put stages in place up to one that has time; whether this leads somewhere."""
        question, name = self._question, chosen.name
        stages = question.activities[name].stages
        if not self._put(chosen):
            return False
        freed = bool(stages[chosen.number].frees)
        twin = question.next_twin.get(name) if chosen.number == 0 else None
        while chosen.number + 1 < len(stages) and stages[chosen.number].within_s is not None:
            following = spot(question, self._state, name)  # at once: its window is still open
            if following is None or not self._put(following):
                return False
            chosen = following
            freed = freed or bool(stages[chosen.number].frees)
        if twin is not None:
            self._one_less(twin)
        if chosen.number + 1 < len(stages):
            self._look(name)
        else:
            freed = True
            for after in question.after[name]:
                self._one_less(after)
        if freed:
            self._look_again()
        return True

    def _one_less(self, name: str) -> None:
        self._waits_for[name] -= 1
        if not self._waits_for[name]:
            self._look(name)
