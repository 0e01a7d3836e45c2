"""Pot loads for the plan: the mixing sessions of a part of the moulds, as hands by pour."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import groupby
from typing import TYPE_CHECKING

from mouldgen.errors import NoAnswerError
from mouldgen.mix.answered import Answered
from mouldgen.mix.mixing import mixing
from mouldgen.shop.work_facts import LoadFacts

if TYPE_CHECKING:
    from mouldgen.gap.budget import Gap
    from mouldgen.gap.question import GapQuestion
    from mouldgen.insert.facts import InsertFacts
    from mouldgen.job.allowances import Allowances
    from mouldgen.job.model import Job
    from mouldgen.mix.amounts import Amounts
    from mouldgen.size import SizeQuestion
    from mouldgen.size.mould_size import MouldSize


def loads_of(
    answer: Answered,
    fillings: int,
    *,
    at_once: int,
    first_alone: bool = False,
    found: Amounts | None = None,
    up: int = 1,
) -> tuple[LoadFacts, ...]:
    """The loads of some of a job's moulds.

    answer : its closed forms, with a size.
    fillings : cavities with a lid that are filled in all.
    at_once : of these, that moulds and pot take at most.
    first_alone : whether the first is a load of its own.
    found : the amounts of a finished set, or None.
    up : cavities of one mould.

    Raises NoAnswerError where not one of them can be poured in time.
    """
    part = _Part(answer, fillings, at_once)
    made = mixing(part, found=found, most_per_load=at_once, first_alone=first_alone, told=False)
    if made.batches is None:
        stop = next((f for f in made.findings if f.severity == "stop"), None)
        raise NoAnswerError(
            "not one mould can be mixed, poured and shut in time" if stop is None else stop.message,
            where="" if stop is None else stop.place,
        )
    found_loads = []
    for _, sessions in groupby(made.sessions, key=lambda session: session.load):
        pours = list(sessions)
        number = len(pours[0].moulds)
        hands = tuple(each.clock.close_s - each.clock.steps[0].start_s for each in pours)
        found_loads.append(LoadFacts(number, math.ceil(number / up), hands))
    return tuple(found_loads)


@dataclass(frozen=True, eq=False)
class _Part:
    """The closed forms of a job of which only some moulds are filled."""

    whole: Answered
    fillings: int
    printed: int

    @property
    def job(self) -> Job:
        return self.whole.job

    @property
    def insert(self) -> InsertFacts:
        return self.whole.insert

    @property
    def allowances(self) -> Allowances:
        return self.whole.allowances

    @property
    def sizes(self) -> SizeQuestion:
        return self.whole.sizes

    @property
    def moulds(self) -> int:
        return self.whole.moulds

    @property
    def question(self) -> GapQuestion:
        return self.whole.question

    @property
    def gap(self) -> Gap:
        return self.whole.gap

    @property
    def size(self) -> MouldSize | None:
        return self.whole.size
