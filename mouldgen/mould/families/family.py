"""What a family of moulds offers."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from mouldgen.job.model import Insert
from mouldgen.mould.parts import MouldParts
from mouldgen.mould.plan import plan_cup


@dataclass(frozen=True, eq=False)
class Family:
    """A family of moulds that are closed by a lid.

    name : in the job file.
    title : in a sentence, such as ``one-piece cup``.
    release : how the blank comes out, one sentence for the maker.
    make : every solid of a plan, checked once.
    plan : places the features; takes what `plan_cup` takes, and gives the plan that `make` needs.
    against : insert shapes that it does not take, each with the reason.
    casts_each : how often a mould is used where the maker does not say; 0 for once.
    each_casting : parts that every casting takes anew.
    """

    name: str
    title: str
    release: str
    make: Callable[[Any, Insert], MouldParts]
    plan: Callable[..., Any] = plan_cup
    against: Mapping[str, str] = field(default_factory=dict)
    casts_each: int = 0
    each_casting: tuple[str, ...] = ()
