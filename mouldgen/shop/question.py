"""What a scheduler is asked: activities, who and what there is, and what follows from them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from mouldgen.errors import InputError, NoAnswerError
from mouldgen.shop.activity import Activity
from mouldgen.shop.hours import Hours


class Question:
    """The activities with what follows from them.

    activities : by name, in the order given.
    after : for each activity those that wait for it.
    alike : for each activity a number that it shares with those of the same stages and places.
    twin, next_twin : for an activity the one before, and after, that is like it in all.
    tails : what still hangs on each stage [s]; an activity comes behind all that wait for it.
    stages : how many there are in all.
    """

    def __init__(
        self,
        activities: Sequence[Activity],
        *,
        hours: Hours,
        people: int,
        places: Mapping[str, int],
    ) -> None:
        self.activities = {activity.name: activity for activity in activities}
        if len(self.activities) != len(activities):
            raise InputError("two activities have one name", allowed="a name for each")
        self.hours = hours
        self.people = people
        self.places = places
        self.after: dict[str, list[str]] = {name: [] for name in self.activities}
        for activity in activities:
            self._require_room(activity)
            for before in activity.after:
                if before not in self.activities:
                    raise InputError(f"{activity.name} waits for {before}, which is not there")
                self.after[before].append(activity.name)
        kinds: dict[tuple[object, ...], int] = {}
        self.alike = {a.name: kinds.setdefault((a.stages, a.holds), len(kinds)) for a in activities}
        self.twin, self.next_twin = self._twins()
        self.tails = self._tails()
        self.stages = sum(len(activity.stages) for activity in activities)

    def _require_room(self, activity: Activity) -> None:
        for kind, number in activity.holds:
            if number > self.places.get(kind, 0):
                raise NoAnswerError(
                    f"{activity.name} takes {number} {kind} at once and there are"
                    f" {self.places.get(kind, 0)}"
                )

    def _twins(self) -> tuple[dict[str, str], dict[str, str]]:
        """For each activity that is like an earlier one in all but its name: that one; and back.

        Which of two twins begins first makes no difference, so the earlier one always does.
        """
        twin: dict[str, str] = {}
        last: dict[tuple[object, ...], str] = {}
        for name, a in self.activities.items():
            after = (frozenset(a.after), frozenset(self.after[name]))
            alike = (a.stages, frozenset(a.holds), a.not_before_s, *after)
            if alike in last:
                twin[name] = last[alike]
            last[alike] = name
        return twin, {before: name for name, before in twin.items()}

    def _tails(self) -> dict[str, tuple[int, ...]]:
        """What still hangs on each stage from its start on, time off left out [s]."""
        tails: dict[str, tuple[int, ...]] = {}
        left = {name: len(after) for name, after in self.after.items()}
        ready = [name for name, number in left.items() if not number]
        while ready:
            name = ready.pop()
            then = max((tails[after][0] for after in self.after[name]), default=0)
            tails[name] = _tails_of(self.activities[name], then)
            for before in self.activities[name].after:
                left[before] -= 1
                if not left[before]:
                    ready.append(before)
        for name in self.activities:
            if name not in tails:
                raise InputError(f"{self._in_ring(name, tails)} waits for itself")
        return tails

    def _in_ring(self, name: str, known: Mapping[str, object]) -> str:
        """One that waits for itself: on from one without an end until a name comes again."""
        seen: set[str] = set()
        while name not in seen:
            seen.add(name)
            name = next(after for after in self.after[name] if after not in known)
        return name

    def tail_from(self, name: str, number: int) -> int:
        """What hangs on a stage from its start on [s]: never less passes until all is over."""
        return self.tails[name][number]


def _tails_of(activity: Activity, then: int) -> tuple[int, ...]:
    """From each stage's start to the end, and what follows it; what came before is forgotten."""
    found = []
    for first in range(len(activity.stages)):
        now = 0
        hands_end: dict[int, int] = {}
        for number, stage in enumerate(activity.stages[first:], first):
            if stage.since is not None and stage.since[0] in hands_end:
                now = max(now, hands_end[stage.since[0]] + stage.since[1])
            hands_end[number] = now + stage.hands_s
            now = hands_end[number] + stage.wait_s
        found.append(now + then)
    return tuple(found)
