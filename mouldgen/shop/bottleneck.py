"""What holds a plan up: of what more helps most, and the waits on its longest chain."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from mouldgen.shop.activity import Schedule
from mouldgen.shop.calendar import waits_until_s
from mouldgen.shop.step import Step
from mouldgen.shop.what_if import Change


@dataclass(frozen=True, eq=False)
class Wait:
    """Time that passes without hands on the chain of steps that ends last.

    step : the name of its activity.
    what : the stage that it follows, such as ``demould``.
    seconds : that must pass [s].
    """

    step: str
    what: str
    seconds: int


@dataclass(frozen=True, eq=False)
class Bottleneck:
    """What holds a plan up.

    change : of which the ready date gains most; None where nothing helps.
    waits : on the chain that ends last, the longest first.
    """

    change: Change | None
    waits: tuple[Wait, ...]


def bottleneck_of(
    steps: Sequence[Step], schedule: Schedule, changes: Sequence[Change]
) -> Bottleneck:
    """What holds a plan up.

    steps, schedule : of the plan as it is.
    changes : what one more of each brings; of equal ones the first counts, and what leaves
        something out does not.
    """
    adding = [change for change in changes if change.adds]
    most = max(adding, key=lambda change: change.earlier_s, default=None)
    helps = most is not None and most.earlier_s > 0
    return Bottleneck(most if helps else None, _waits(steps, schedule))


def _waits(steps: Sequence[Step], schedule: Schedule) -> tuple[Wait, ...]:
    by_name = {step.activity.name: step for step in steps}
    if not by_name:
        return ()
    name: str | None = max(by_name, key=schedule.end_s)
    found = []
    while name is not None:
        step, done = by_name[name], schedule.stages[name]
        for number, stage in enumerate(step.activity.stages):
            until = waits_until_s(step, done, number)
            if until is not None:
                found.append(Wait(name, stage.what, until - done[number].hands_end_s))
        name = max(step.activity.after, key=schedule.end_s, default=None)
    return tuple(sorted(found, key=lambda wait: -wait.seconds))
