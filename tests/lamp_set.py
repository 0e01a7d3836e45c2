"""The shipped job of lamp finials, whose moulds are cast in rubber, built once a test process."""

from __future__ import annotations

from functools import cache

from mouldgen.answer import answer_job
from mouldgen.build import build_moulds
from mouldgen.job.load import load_job
from mouldgen.mould.families import family_of
from mouldgen.mould.parts import MouldParts
from mouldgen.mould.plan import CupPlan, plan_cup
from mouldgen.mould_set import MouldSet
from mouldgen.size.rubber import RubberSize

LAMP = "lamp-finials"


@cache
def lamp_set(*sets: str) -> MouldSet:
    """The job as shipped, or with settings such as ``mould.up=2``."""
    return build_moulds(load_job(LAMP, sets=sets).job)


@cache
def lamp_plan(*sets: str) -> CupPlan:
    """Its plan alone."""
    job = load_job(LAMP, sets=sets).job
    answer = answer_job(job)
    assert answer.size is not None
    return plan_cup(
        answer.sizes,
        answer.size,
        slide_mm=answer.gap.take_up_mm + job.printer.clearance,
        mould=job.mould,
        piece=job.piece,
        printer=job.printer,
        mould_id="LF-X",
    )


@cache
def lamp_parts(*sets: str) -> MouldParts:
    """The parts of its plan."""
    return family_of("master").make(lamp_plan(*sets), load_job(LAMP, sets=sets).job.insert)


def size_of_rubber(*sets: str) -> RubberSize:
    """The closed form."""
    size = lamp_plan(*sets).size
    assert isinstance(size, RubberSize)
    return size
