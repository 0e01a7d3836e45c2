"""All steps of a job in one list, from the wood to the last packed piece."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from mouldgen.shop.finishing import finishing_steps, first_article_step
from mouldgen.shop.pouring import load_step, load_steps
from mouldgen.shop.readying import mould_steps, wood_steps
from mouldgen.shop.step import Step, names
from mouldgen.shop.work_facts import WorkFacts


def steps_of(facts: WorkFacts, *, opens_s: int = 0) -> tuple[Step, ...]:
    """What is done for a job, and in which order it must be.

    facts : of the job.
    opens_s : when somebody is there for the first time, to put the wood where it dries [s].

    A first article is cast, finished and shown before the rest is cast; wood that the customer
    brings waits for a trial in other wood.
    """
    wood = wood_steps(facts, opens_s=opens_s)
    moulds, ready = mould_steps(facts)
    cut = names(wood)
    steps = [*wood, *moulds]
    if facts.first is not None:
        first = load_step(
            "trial load" if facts.trial else "first load",
            facts.first,
            facts,
            after=(*ready[: facts.first.moulds], *(() if facts.trial else cut)),
        )
        shown = first_article_step(facts, after=(first.activity.name,))
        steps += [first, shown]
        cut = (*cut, shown.activity.name)
    loads = load_steps(facts, ready=ready, after=cut)
    steps += loads
    done = tuple(step.activity.name for step in loads)
    if facts.first is not None:
        done = (*done, shown.activity.name)
    return (*steps, *finishing_steps(facts, after=done))


@dataclass(frozen=True, eq=False)
class Shop:
    """Who and what there is to work with, beside the hours.

    people : who work at once.
    printers, pots : how many.
    """

    people: int
    printers: int
    pots: int


def places_of(facts: WorkFacts, shop: Shop) -> Mapping[str, int]:
    """How many there are of each kind that steps hold.

    facts : of the job.
    shop : what there is.
    """
    places = {"printer": shop.printers, "pot": shop.pots}
    if facts.reused:
        places["mould"] = facts.moulds
    if facts.rubber is not None:
        places["box"] = 1
    return places


def named(steps: tuple[Step, ...], prefix: str) -> tuple[Step, ...]:
    """The same steps under other names, so that several jobs can share a shop.

    steps : of one job.
    prefix : before each name, and before its moulds and box.
    """
    own = ("mould", "box")

    def other(step: Step) -> Step:
        activity = step.activity
        stages = tuple(
            replace(stage, frees=tuple(f"{prefix}{k}" if k in own else k for k in stage.frees))
            for stage in activity.stages
        )
        return replace(
            step,
            activity=replace(
                activity,
                name=prefix + activity.name,
                stages=stages,
                after=tuple(prefix + name for name in activity.after),
                holds=tuple((f"{prefix}{k}" if k in own else k, n) for k, n in activity.holds),
            ),
        )

    return tuple(other(step) for step in steps)
