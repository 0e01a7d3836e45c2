"""The shipped demo, built once a test process."""

from __future__ import annotations

from functools import cache
from typing import Any

from mouldgen.build import build_moulds
from mouldgen.job.load import load_job
from mouldgen.mould_set import MouldSet

DEMO = "boathouse-pegs"


@cache
def demo_set() -> MouldSet:
    """The demo as shipped."""
    loaded = load_job(DEMO)
    return build_moulds(loaded.job, given=loaded.given)


def changed_set(*sets: str) -> MouldSet:
    """The demo with settings such as ``mould.gap=1 mm``."""
    return build_moulds(load_job(DEMO, sets=sets).job)


def job_with(**tables: dict[str, Any]) -> Any:
    """The demo's job with some values replaced, already in mm, s and so on."""
    job = load_job(DEMO).job
    changed = {
        name: getattr(job, name).model_copy(update=values) for name, values in tables.items()
    }
    return job.model_copy(update=changed)
