"""Before anything is poured: wood dried and cut, moulds printed, tested with water, released."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from mouldgen.shop.activity import Activity, Stage
from mouldgen.shop.step import Step, batch, names, whole_s
from mouldgen.shop.work_facts import BedFacts, RubberFacts, WorkFacts


def wood_steps(facts: WorkFacts, *, opens_s: int = 0) -> list[Step]:
    """The wood: dried until it no longer loses weight, then cut to size.

    facts : of the job.
    opens_s : when somebody is there for the first time [s].
    """
    steps = []
    if facts.drying and facts.times.dry > 0.0:
        stage = Stage("dry the wood", 0, whole_s(facts.times.dry))
        activity = Activity(stage.what, (stage,), not_before_s=opens_s)
        steps.append(Step(activity, facts.inserts, "insert"))
    return [
        *steps,
        *batch(
            "cut the wood",
            facts.inserts,
            of="insert",
            each_s=facts.times.wood,
            after=names(steps),
        ),
    ]


def mould_steps(facts: WorkFacts) -> tuple[list[Step], list[str]]:
    """The moulds, and for each of them the activity after which it may be filled.

    The first mould is printed alone and tested before any other is printed.
    """
    steps: list[Step] = []
    ready: list[str] = []
    tested: tuple[str, ...] = ()
    for number, bed in enumerate(facts.beds, start=1):
        after = () if bed.first else tested
        steps.append(_print(bed, number, facts, after=after))
        if bed.moulds:
            test = _test(bed, number, facts, after=_printed(facts.beds[:number]))
            steps.append(test)
            ready += [test.activity.name] * bed.moulds
            if not tested:
                tested = (test.activity.name,)
    if facts.rubber is None:
        return steps, ready
    rubber = list(_rubber_steps(facts, facts.rubber, after=ready[-1:]))
    return [*steps, *rubber], [step.activity.name for step in rubber]


def _printed(beds: Sequence[BedFacts]) -> tuple[str, ...]:
    """A mould that is whole with this bed may have parts on any since the first mould's.

    A bed of bodies before one of lids leaves bodies over, which come whole with a later one.
    """
    first = next((n for n, bed in enumerate(beds[:-1]) if bed.moulds), -1)
    return tuple(f"print bed {n + 1}" for n in range(first + 1, len(beds)))


def _print(bed: BedFacts, number: int, facts: WorkFacts, *, after: tuple[str, ...]) -> Step:
    half = facts.times.bed / 2.0
    stages = (
        Stage("start a bed", whole_s(half), whole_s(bed.seconds)),
        Stage("clear the bed", whole_s(half)),
    )
    activity = Activity(f"print bed {number}", stages, after, (("printer", 1),))
    return Step(activity, bed.moulds, "mould")


def _test(bed: BedFacts, number: int, facts: WorkFacts, *, after: tuple[str, ...]) -> Step:
    times = facts.times
    stages = [
        Stage(
            "leak-test",
            whole_s(bed.moulds * times.leak_test),
            whole_s(times.mould_dry),
            by_day=True,
        )
    ]
    if not facts.reused:  # what is used again is released before every pour
        stages.append(Stage("release", whole_s(bed.moulds * times.release), by_day=True))
    activity = Activity(f"test bed {number}", tuple(stages), after)
    return Step(activity, bed.moulds, "mould")


def _rubber_steps(facts: WorkFacts, rubber: RubberFacts, *, after: Sequence[str]) -> Iterator[Step]:
    """Moulds of rubber one after another in their box, under the pressure that is cast with."""
    holds = (("box", 1),) if facts.cure.hold_s is None else (("box", 1), ("pot", 1))
    for number in range(1, rubber.sets + 1):
        stages = (
            Stage("pour the rubber", whole_s(rubber.hands_s), whole_s(rubber.cure_s)),
            Stage("take the rubber out", whole_s(facts.times.demould)),
        )
        yield Step(Activity(f"rubber mould {number}", stages, tuple(after), holds), 1, "mould")
