"""Beds and loads numbered as they come: a search takes those that are alike in any order."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from mouldgen.shop.activity import Schedule
from mouldgen.shop.step import Step


def in_order(
    steps: Sequence[Step], schedule: Schedule, *, kind: str = "load"
) -> tuple[tuple[Step, ...], Schedule]:
    """The same steps at the same times, those called ``load 1``, ``load 2`` numbered as on cards.

    Of loads of as many moulds the one that starts first has the lowest number.  A load of fewer
    keeps the number of its pot card, even where it is poured before a fuller one.  Where there is a
    ``first load`` it counts as number 1, as on its card, and the others begin with 2.  A trial in
    other wood is not one of the order's loads and has no number.

    steps, schedule : of a plan.
    kind : the word before the number.
    """
    alike: dict[int, list[str]] = {}
    for step in steps:
        name = step.activity.name
        if name.startswith(f"{kind} ") and name[len(kind) + 1 :].isdigit():
            alike.setdefault(step.count, []).append(name)
    before = sum(step.activity.name == f"first {kind}" for step in steps)
    new: dict[str, str] = {}
    for names in alike.values():
        by_start = sorted(names, key=lambda name: (schedule.start_s(name), schedule.end_s(name)))
        numbers = sorted(int(name[len(kind) + 1 :]) for name in names)
        for name, number in zip(by_start, numbers, strict=True):
            new[name] = f"{kind} {number + before}"

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
