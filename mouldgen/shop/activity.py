"""What a plan is made of: activities in stages, what they wait for and what they hold.

All times are whole seconds.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from mouldgen.errors import InputError


@dataclass(frozen=True)
class Stage:
    """Work of one person's hands, and what has to wait for it.

    what : in words, for the calendar.
    hands_s : of one person [s]; 0 where nobody is needed.
    wait_s : after the hands, until the next stage may begin or the activity is over [s].
    within_s : after the hands, by when the next stage must have begun [s]; None for no limit.
    by_day : may stop at closing time and go on the next working day.
    since : the number of an earlier stage, and how long after its hands this one begins at the
        earliest [s]: what cures goes on curing while it is carried about.
    frees : kinds of places that the activity gives back once these hands are through; the others
        it holds to its end.
    """

    what: str
    hands_s: int
    wait_s: int = 0
    within_s: int | None = None
    by_day: bool = False
    since: tuple[int, int] | None = None
    frees: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if self.hands_s < 0 or self.wait_s < 0:
            raise InputError(f"{self.what} takes less than no time", allowed="0 s or more")
        if self.within_s is not None and self.within_s < self.wait_s:
            raise InputError(
                f"what follows {self.what} must begin within {self.within_s} s and not before"
                f" {self.wait_s} s",
                allowed="a window that is open",
            )


@dataclass(frozen=True)
class Activity:
    """Stages in a row that hold their places from the first one's start on.

    Places are held to the last stage's end, but for those that a stage frees before.

    name : of its own, such as ``load 2``.
    stages : at least one.
    after : names of activities that must be over before.
    holds : places that are taken, such as one pot and six moulds, and how many of each.
    not_before_s : from midnight of the first day [s].
    """

    name: str
    stages: tuple[Stage, ...]
    after: tuple[str, ...] = ()
    holds: tuple[tuple[str, int], ...] = ()
    not_before_s: int = 0

    def __post_init__(self) -> None:
        held = {kind for kind, _ in self.holds}
        freed = [kind for stage in self.stages for kind in stage.frees]
        if len(set(freed)) < len(freed) or not set(freed) <= held:
            raise InputError(
                f"{self.name} frees {', '.join(freed)}", allowed="each kind that it holds, once"
            )
        for number, stage in enumerate(self.stages):
            if stage.since is None:
                continue
            if not 0 <= stage.since[0] < number or stage.since[1] < 0:
                raise InputError(
                    f"{stage.what} of {self.name} counts from stage {stage.since[0]}",
                    allowed="an earlier stage, and 0 s or more",
                )
            if self.stages[number - 1].within_s is not None:
                raise InputError(
                    f"{stage.what} of {self.name} has a window and counts from an earlier stage",
                    allowed="one of both",
                )

    def frees_at(self, kind: str) -> int | None:
        """The number of the stage that gives a kind of places back; None where the end does."""
        return next((n for n, stage in enumerate(self.stages) if kind in stage.frees), None)


@dataclass(frozen=True)
class Done:
    """When a stage takes place.

    start_s : when its hands begin [s].
    hands_end_s : when they are through [s].
    end_s : when its wait is over [s].
    """

    start_s: int
    hands_end_s: int
    end_s: int


@dataclass(frozen=True, eq=False)
class Schedule:
    """When every stage of every activity takes place.

    stages : for each activity its stages, in their order.
    earliest : whether nothing can be over before it: every order was tried, or it ends when it
        would with people and places enough.  Else it is the best of those that were tried.
    """

    stages: Mapping[str, tuple[Done, ...]]
    earliest: bool = False

    def start_s(self, name: str) -> int:
        """When an activity begins [s]."""
        return self.stages[name][0].start_s

    def end_s(self, name: str) -> int:
        """When it is over [s]."""
        return self.stages[name][-1].end_s

    @property
    def finish_s(self) -> int:
        """When all is over [s]; 0 for nothing to do."""
        return max((stages[-1].end_s for stages in self.stages.values()), default=0)
