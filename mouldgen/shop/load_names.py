"""Beds and loads numbered as they come: a search takes those that are alike in any order."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from mouldgen.shop.activity import Schedule
from mouldgen.shop.step import Step


def in_order(
    steps: Sequence[Step], schedule: Schedule, *, kind: str = "load"
) -> tuple[tuple[Step, ...], Schedule]:
    """The same steps at the same times, those called ``load 1``, ``load 2`` by their starts.

    steps, schedule : of a plan.
    kind : the word before the number.
    """
    numbered = [
        step.activity.name
        for step in steps
        if step.activity.name.startswith(f"{kind} ")
        and step.activity.name[len(kind) + 1 :].isdigit()
    ]
    by_start = sorted(numbered, key=lambda name: (schedule.start_s(name), schedule.end_s(name)))
    new = {name: f"{kind} {number}" for number, name in enumerate(by_start, start=1)}

    def told(name: str) -> str:
        return new.get(name, name)

    renamed = tuple(
        replace(
            step,
            activity=replace(
                step.activity,
                name=told(step.activity.name),
                after=tuple(told(name) for name in step.activity.after),
            ),
        )
        for step in steps
    )
    stages = {told(name): done for name, done in schedule.stages.items()}
    return renamed, replace(schedule, stages=stages)
